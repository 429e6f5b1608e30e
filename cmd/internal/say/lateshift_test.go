package say

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"chainpath/sim"
)

// What a change does to shifting is said where it does much, either way, beside what else it does.
func TestLateShiftIsSaid(t *testing.T) {
	var none *LateShift
	for _, l := range []*LateShift{none, {0.3, 0.34}, {0.34, 0.3}, {0.3, 0.3}} {
		assert.Empty(t, l.Words())
		assert.Empty(t, l.Aside())
	}
	more, less := &LateShift{0.03, 0.41}, &LateShift{0.998, 0.05}
	assert.Equal(t, "The chance of a late shift rises from 3 % to 41 %.", more.Words())
	assert.Equal(t, "The chance of a late shift falls from 99 % to 5 %.", less.Words())
	assert.Equal(t, " (late shift 41 %, was 3 %)", more.Aside())
	assert.NotEmpty(t, (&LateShift{0.25, 0.3}).Words(), "just enough")

	helps := 0.9
	c := Change{Name: "another hub", Before: 0.29, After: 0.18, Helps: &helps, Shifts: more}
	const first = "Price not known. Fault score from 0.29 to 0.18. It helps on 90 of 100 bikes like this."
	assert.Equal(t, []string{first, more.Words()}, c.Lines(), "not: nothing gets likelier")
	assert.Equal(t, 1, c.Worse())
	assert.Equal(t, "another hub. The fault score falls from 0.29 to 0.18. It helps on 90 of 100 bikes like this. "+more.Words(), c.Option())
	c.More = []Moved{{sim.NoiseRiding, "32/10", 0.05, 0.14}}
	assert.Equal(t, []string{first, "Likelier: noise in 32/10.", more.Words()}, c.Lines())
	assert.Equal(t, 2, c.Worse())
	c.Shifts = less
	assert.Equal(t, []string{first, less.Words(), "Likelier: noise in 32/10."}, c.Lines())
	assert.Equal(t, 1, c.Worse())
	c.More = nil
	assert.Equal(t, []string{first, less.Words(), "Nothing gets likelier."}, c.Lines())
	assert.Zero(t, c.Worse())
}
