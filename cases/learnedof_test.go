package cases

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What was learned of one cassette is told of another by the place in it: the ends stay the ends, in
// between the nearest counts, and of two as near the larger cog. One wheel takes the first, or what there is.
func TestPlacesInAnotherCassette(t *testing.T) {
	for _, c := range []struct {
		of, to int
		want   []int
	}{
		{5, 5, []int{0, 1, 2, 3, 4}},
		{3, 5, []int{0, 2, 4}},
		{5, 3, []int{0, 1, 1, 2, 2}}, // 0, 0.5, 1, 1.5, 2
		{2, 12, []int{0, 11}},
		{4, 3, []int{0, 1, 1, 2}},                            // 0, 0.67, 1.33, 2
		{11, 12, []int{0, 1, 2, 3, 4, 6, 7, 8, 9, 10, 11}},   // i·1.1: 5.5 is the sixth
		{12, 11, []int{0, 1, 2, 3, 4, 5, 5, 6, 7, 8, 9, 10}}, // i·10/11
		{1, 9, []int{0}},
		{3, 1, []int{0, 0, 0}},
	} {
		var got []int
		for i := range c.of {
			got = append(got, scaled(i, c.of, c.to))
		}
		assert.Equal(t, c.want, got, "%d to %d", c.of, c.to)
	}
	f := &learnedForm{rings: 2, cogs: 3}
	assert.Equal(t, 5, f.place(9, 2, 5), "the largest of five is the largest of three")
	assert.Equal(t, 4, f.place(7, 2, 5))
	assert.Equal(t, 1, f.place(2, 1, 5), "one chainring is the first")
}
