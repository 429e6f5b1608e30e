package show

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
)

// A side without a limit has none in a figure, whichever it is.
func TestLimitsOfAFigure(t *testing.T) {
	for _, x := range []struct{ from, to float64 }{{math.Inf(-1), math.Inf(1)}, {43.25, math.Inf(1)}, {math.Inf(-1), 52}, {43.25, 52}} {
		f := &Figure{}
		f.SetWalls(x.from, "stay", x.to, "tyre")
		for _, s := range []struct {
			want float64
			got  *float64
			by   string
			name string
		}{{x.from, f.From, f.FromBy, "stay"}, {x.to, f.To, f.ToBy, "tyre"}} {
			if math.IsInf(s.want, 0) {
				assert.Nil(t, s.got)
				assert.Empty(t, s.by)
				continue
			}
			require.NotNil(t, s.got)
			assert.Equal(t, s.want, *s.got)
			assert.Equal(t, s.name, s.by)
		}
	}
}

// A gap that rounds to nothing has no sign.
func TestGapsThatRoundToNothing(t *testing.T) {
	g := &sim.Gear{}
	g.Front = sim.FrontRoom{Valid: true, Trim: 1, Gap: [2]float64{-0.004, -0.0049}}
	assert.Equal(t, "with typical values 0.00 mm off the inner plate and 0.00 mm off the outer one at best, at trim 2", because(g, sim.Riding, sim.RubsFrontCage))
	g.Front.Gap = [2]float64{-0.006, 0.254}
	assert.Equal(t, "with typical values -0.01 mm off the inner plate and 0.25 mm off the outer one at best, at trim 2", because(g, sim.Riding, sim.RubsFrontCage))
}

// What does not fit the other observations is said on the first screen, what fits is not.
func TestWhatDoesNotFitIsSaid(t *testing.T) {
	d := &Learning{Case: "Bike", Answer: &Answer{Words: "It is quiet."}, Seen: []LearnedFrom{{Text: "32/51: noise"}, {Text: "32/10: drop", Words: "Count that one again."}}}
	var out strings.Builder
	require.NoError(t, LearningText(&out, d, false, false, ""))
	assert.Contains(t, out.String(), "Count that one again.")
	d.Seen[1].Words = ""
	out.Reset()
	require.NoError(t, LearningText(&out, d, false, false, ""))
	assert.NotContains(t, out.String(), "Count that one again.")
}

// Shares of a variance in per cent, to a tenth, the rest last.
func TestEffectsInPerCent(t *testing.T) {
	var out strings.Builder
	require.NoError(t, EffectsTable(&out, &Effects{From: "rows.csv", Result: "noise_riding_most", Designs: 64, Effects: []Effect{{"front.line", "", 0.756}, {"front.line", "frame.stay", 0.0449}}, Rest: 0.199}))
	var rows []string
	for _, line := range strings.Split(out.String(), "\n") {
		if f := strings.Fields(line); len(f) > 1 && strings.ContainsAny(f[len(f)-1], "0123456789") {
			rows = append(rows, strings.Join(f, " "))
		}
	}
	assert.Equal(t, []string{"front.line 75.6", "front.line frame.stay 4.5", "the rest 19.9"}, rows)
}
