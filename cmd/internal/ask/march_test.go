package ask

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/sim"
	"chainpath/sim/march"
)

// varied are fields over ranges in which bicycles are valid for the most part, far beyond
// what is usual.
var varied = map[string][]string{
	"trail":           {"tensioner.hanger.lean=-6:6", "tensioner.hanger.toe=-6:6", "tensioner.index_error=-3:3", "front.line=40:62", "rear.line=42:54", "frame.stay=405:460", "tensioner.gaps[1]=4:12", "chain.slack=0.1:2"},
	"trail-short":     {"tensioner.hanger.lean=-6:6", "front.line=42:60", "chain.slack=0.1:2"},
	"road":            {"tensioner.hanger.lean=-5:5", "front.line=38:50", "frame.stay=400:450"},
	"tourer":          {"tensioner.hanger.lean=-5:5", "front.line=40:55", "chain.slack=0.1:2"},
	"single":          {"front.line=38:50", "chain.slack=0.1:2"},
	"full-suspension": {"tensioner.hanger.lean=-5:5", "frame.travel=0:140", "front.line=42:60"},
}

// Random valid bicycles, far out of line, are all marched to the end or to a drop, in any
// gear and either way; nothing in it is NaN.
func TestMarchAlwaysAnswers(t *testing.T) {
	n, turns := 48, 0.4
	if os.Getenv("CHAINPATH_LONG") != "" {
		n, turns = 600, 1
	} else if testing.Short() {
		n = 12
	}
	marched, cannot, climbs := 0, 0, 0
	names := []string{"trail", "trail-short", "road", "tourer", "single", "full-suspension"}
	for i := range n {
		rng := rand.New(rand.NewPCG(32, uint64(i)))
		name := names[i%len(names)]
		c, err := cases.Load(name, nil)
		require.NoError(t, err)
		p := &cases.SweepPlan{}
		for _, text := range varied[name] {
			v, err := cases.VaryFlag(text)
			require.NoError(t, err)
			p.Vary = append(p.Vary, v)
		}
		p.Sample = &cases.Sample{Method: "random", Count: n, Seed: 7}
		w, err := p.For(c)
		require.NoError(t, err, name)
		x := make([]float64, len(w.Plan.Variables))
		w.Plan.Design(x, i)
		d := w.Designer()
		b, err := d.Bike(x)
		if err != nil {
			cannot++
			continue
		}
		a := Attempt{Case: d.Case(), Ring: rng.IntN(len(b.Rings)), Cog: rng.IntN(len(b.Cogs)), Way: sim.Direction(rng.IntN(2)), Seed: uint64(i)}
		a.Set = march.Set{Turns: turns}
		if rng.IntN(2) == 0 {
			a.Set.Tolerance = march.Tolerance{Width: 0.2 * rng.Float64(), Bevel: 0.2 * rng.Float64(), Slack: 0.02 * rng.Float64(), RunOut: 2 * rng.Float64()}
		}
		one, err := a.Drawn(0)
		if err != nil {
			assert.True(t, errors.Is(err, march.ErrCannot), "%v", err)
			cannot++
			continue
		}
		what := fmt.Sprintf("bicycle %d: %s %v, ring %d, cog %d, %s, %+v", i, name, x, a.Ring, a.Cog, a.Way, a.Set.Tolerance)
		out, err := one.March.Run(uint64(i), 0, march.Observer{Arrival: func(_ float64, _ sim.Part, _ int, off float64) {
			assert.False(t, math.IsNaN(off) || math.IsInf(off, 0), what)
		}})
		require.NoError(t, err, what)
		assert.True(t, out.Dropped || math.Abs(out.Turned-2*math.Pi*turns) < 1e-9, what)
		marched++
		for _, x := range out.At {
			climbs += x.Climbs
		}
	}
	t.Log(marched, "marched,", cannot, "cannot be or do not close,", climbs, "climbs")
	assert.Greater(t, marched, n*2/3)
	assert.Positive(t, climbs)
}
