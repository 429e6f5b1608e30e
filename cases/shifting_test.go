package cases

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func shifting(t *testing.T, text string) *Shifting {
	s, err := mustParse(t, text).Shifting()
	require.NoError(t, err)
	return s
}

// Words sum to one; what a setting needs is what its windows and shifts say; a cable set
// off its window is told.
func TestShiftingOverTheSets(t *testing.T) {
	s := shifting(t, learner)
	require.Len(t, s.Windows, 12)
	require.Len(t, s.Shifts, 22)
	for _, x := range s.Shifts {
		assert.InDelta(t, 1, x.Crisp+x.Slow+x.Reluctant, 0.01)
		assert.True(t, x.Past[0] <= x.Past[1] && x.Past[1] <= x.Past[2])
	}
	assert.LessOrEqual(t, s.Setting.Width[1], s.Common.Width[1])
	assert.Greater(t, s.Common.Fine, 0.9)

	off := shifting(t, strings.Replace(learner, "tensioner: {cage: 93}", "tensioner: {cage: 93, index_error: -1.2}", 1))
	assert.Less(t, off.Setting.Fine, s.Setting.Fine)
	for i, x := range off.Shifts {
		if x.To < x.From { // outboard, with the pulleys too far inboard
			assert.Greater(t, x.Reluctant, s.Shifts[i].Reluctant)
		}
	}
	bent := shifting(t, strings.Replace(learner, "cage: 93", "cage: 93, hanger: {lean: 3}", 1))
	assert.Less(t, bent.Common.Width[1], s.Common.Width[1])

	gates := shifting(t, strings.Replace(learner, "51]}", "51], gates: [0, 2, 2, 3, 3, 4, 4, 4, 4, 4, 4, 4]}", 1))
	for i, x := range gates.Shifts {
		if x.To > x.From {
			assert.Less(t, x.Reluctant, s.Shifts[i].Reluctant+1e-9)
			assert.LessOrEqual(t, x.Delay, 0.25)
		}
	}
	turned := shifting(t, strings.Replace(learner, "cage: 93", "cage: 93, cable_per_shift: 3.0, adjuster_pitch: 0.8", 1))
	assert.InDelta(t, 0.8*3.65/3.0, turned.Turn, 1e-9)
	assert.Zero(t, s.Turn)
}

func TestShiftingRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"chainpath: 1\nfront: {line: 43, rings: [42]}\nrear: {line: 43, cogs: [18]}\n":                "nothing is indexed",
		"chainpath: 1\nfront: {line: 43, rings: [42]}\nrear: {line: 43, cogs: [18]}\ntensioner: {}\n": "want two and more",
		strings.Replace(learner, "51]}", "51], gates: [1, 2]}", 1):                                    "want one for each of the cogs",
		strings.Replace(learner, "51]}", "51], gate_depth: 0.4}", 1):                                  "given without gates",
	} {
		c, err := Parse("bike.yaml", []byte(text))
		if err == nil {
			_, err = c.Shifting()
		}
		assert.ErrorContains(t, err, want)
	}
}

func BenchmarkShifting(b *testing.B) {
	c, err := Parse("bike.yaml", []byte(learner))
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		_, err := c.Shifting()
		require.NoError(b, err)
	}
}
