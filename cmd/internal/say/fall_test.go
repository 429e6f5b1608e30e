package say

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Every end of a fall has its sentence, and none says more than was computed.
func TestFallsInWords(t *testing.T) {
	f := Falling{First: 36, Stand: []int{36, 35}, Over: 34, OverAt: 46.9, Touch: 30, TouchOn: 44, TouchAt: 94.7, Seat: 38, SeatAt: 165.4, EndsAt: 300}
	start := "Link 36 stands on its tip and rides round with the tooth, and so does 35. Link 34 goes over the edge 47° later. Link 30 touches the 44 first, after 95°. "
	assert.Equal(t, start+"Here it first sits on the 38, after 165°, and is not at rest after 300°.", Fall(&f))
	f.Seat = 0
	assert.Equal(t, start+"Here it is not at rest after 300°.", Fall(&f))
	f.Rests, f.EndsAt = 38, 253.2
	assert.Equal(t, start+"Here it comes to rest on the 38, after 253°.", Fall(&f))
	f.Rests, f.Past = 0, true
	assert.Contains(t, Fall(&f), "may jam between cog and frame. That is not computed.")
	f.Inboard = true
	assert.Contains(t, Fall(&f), "may jam between cog and spokes. That is not computed.")
	f.Back = true
	assert.Equal(t, "Followed on, link 36 slides back over its tooth, and this chain stays on.", Fall(&f))
	assert.Equal(t, "Of 10 drops followed on, 4 end on the 38, 1 goes beyond the last cog, 1 slides back and stays on, 3 first sit on the 33, 4 are not at rest after 300°.",
		EndsOfFalls(&FallEnds{Of: 10, Back: 1, Open: 4, After: 300, Past: 1, On: []OnCog{{38, 4}}, Seat: []OnCog{{33, 3}}}))
}
