package decide

import (
	"context"
	"errors"
	"math"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/budget"
)

// maker varies front line, stay length and slack of the test bike.
func maker() Maker {
	return func(x []float64) (*sim.Bike, error) {
		b := bike()
		b.Rings[0].Line, b.Frame.Stay, b.Chain.Slack = x[0], x[1], sim.Radians(x[2])
		return b, b.Validate()
	}
}

var inputs = []budget.Input{
	{Name: "front", Value: 53, U: 0.4},
	{Name: "stay", Value: 440, U: 1, Dist: budget.Rectangular},
	{Name: "slack", Value: 0.6, U: 0.08, Dist: budget.Rectangular},
}

func TestDoubt(t *testing.T) {
	d, err := Propagate(context.Background(), maker, inputs, 112, 400, 5, 2, nil)
	require.NoError(t, err)
	again, err := Propagate(context.Background(), maker, inputs, 112, 400, 5, 1, nil)
	require.NoError(t, err)
	assert.Equal(t, d, again, "one worker and two agree bit for bit")

	for i, g := range d.Gears {
		// Top bend: atan(Δ/L), so u is that of the front line over the length.
		assert.InDelta(t, 0.4/(430*(1+math.Pow(math.Tan(g.Top.Value), 2))), g.Top.U, 0.4/430*0.06)
		if g.Top.Value > 4*g.Top.U { // far from straight the two methods agree
			assert.InDelta(t, g.Top.First[0], g.Top.Monte[0], 0.35*g.Top.U)
			assert.InDelta(t, g.Top.First[1], g.Top.Monte[1], 0.35*g.Top.U)
		}
		if i > 0 {
			// Larger cogs are bent more by a ring that lies outboard.
			assert.GreaterOrEqual(t, g.P[3], d.Gears[i-1].P[3]-1e-9)
		}
	}
	assert.Equal(t, "front", d.Shares[0].Input.Name, "the front chainline is the reading to take better")
	sum := 0.0
	for _, s := range d.Shares {
		sum += s.OnBends
	}
	assert.InDelta(t, 1, sum, 1e-9)
	require.GreaterOrEqual(t, d.Gear, 0)
	p := d.Gears[d.Gear].P[d.Risk]
	assert.Greater(t, p, 0.0)
	assert.Less(t, p, 1.0)
}

func TestNoDoubtWithoutUncertainty(t *testing.T) {
	sure := append([]budget.Input(nil), inputs...)
	for i := range sure {
		sure[i].U = 0
	}
	d, err := Propagate(context.Background(), maker, sure, 112, 20, 1, 2, nil)
	require.NoError(t, err)
	assert.Equal(t, -1, d.Gear)
	for _, g := range d.Gears {
		assert.Equal(t, g.Top.Value, g.Top.Monte[0])
		assert.Zero(t, g.Top.U)
		for _, p := range g.P {
			assert.Contains(t, []float64{0, 1}, p)
		}
	}
}

// An edge's sensitivity against the window found anew with the input moved.
func TestWindowDoubt(t *testing.T) {
	m := maker()
	at := func(x ...float64) *Window {
		b, err := m(x)
		require.NoError(t, err)
		w, err := FindWindow(b, 112)
		require.NoError(t, err)
		return w
	}
	w := at(53, 440, 0.6)
	d, ok, err := PropagateWindow(m, inputs, 112, w)
	require.NoError(t, err)
	require.True(t, ok)
	assert.InDelta(t, 0.4, d.Today.U, 1e-6)
	assert.InDelta(t, 53, d.Today.Line, 1e-9)
	assert.Less(t, d.Possible[0], d.Sure[0])
	assert.Less(t, d.Sure[1], d.Possible[1])
	// Either edge lies in the middle of what is sure and what is possible, with a doubt of its own.
	assert.InDelta(t, 2*w.Safe.From, d.Sure[0]+d.Possible[0], 1e-9)
	assert.InDelta(t, 2*w.Safe.To, d.Sure[1]+d.Possible[1], 1e-9)
	assert.Greater(t, math.Abs(d.Sure[0]-d.Possible[0]-d.Possible[1]+d.Sure[1]), 1e-4)
	var ss [2]float64
	for i, in := range inputs {
		x, y := []float64{53, 440, 0.6}, []float64{53, 440, 0.6}
		x[i] -= 0.1 * in.U
		y[i] += 0.1 * in.U
		a, b := at(x...), at(y...)
		ss[0] += math.Pow((b.Safe.From-a.Safe.From)/0.2, 2)
		ss[1] += math.Pow((b.Safe.To-a.Safe.To)/0.2, 2)
	}
	for i := range ss {
		assert.InDelta(t, math.Sqrt(ss[i]), d.Edges[i].U, 0.02*d.Edges[i].U+1e-4)
	}
}

// A bicycle that cannot be as it is has no doubt to tell of: its maker's error comes back.
func TestPropagateOfNoBicycle(t *testing.T) {
	none := errors.New("no such bicycle")
	_, err := Propagate(t.Context(), func() Maker { return func([]float64) (*sim.Bike, error) { return nil, none } }, nil, 100, 100, 1, 1, nil)
	assert.ErrorIs(t, err, none)
}

// Draws that are given up: what there is by then comes with the error, counted; before the first there is
// nothing.
func TestPropagateGivenUp(t *testing.T) {
	for _, after := range []int64{0, 40} {
		ctx, end := context.WithCancel(t.Context())
		var done atomic.Int64
		made := func() Maker {
			m := maker()
			return func(x []float64) (*sim.Bike, error) {
				if done.Load() >= after {
					end()
				}
				return m(x)
			}
		}
		d, err := Propagate(ctx, made, inputs, 112, 100000, 5, 1, &done)
		require.ErrorIs(t, err, ErrStopped)
		if after == 0 {
			assert.Nil(t, d)
			continue
		}
		require.NotNil(t, d)
		assert.GreaterOrEqual(t, d.Draws, int(after))
		assert.Less(t, d.Draws, 100000)
		assert.Len(t, d.Gears, 5)
	}
}

// Gears are told by ring and cog, and each has its own doubt.
func TestDoubtOfTwoRings(t *testing.T) {
	two := func() Maker {
		m := maker()
		return func(x []float64) (*sim.Bike, error) {
			b, err := m(x)
			if err == nil {
				small := b.Rings[0]
				small.Teeth, small.Line = 30, small.Line-8
				b.Rings = []sim.Wheel{small, b.Rings[0]}
				b.Cogs = b.Cogs[:3]
			}
			return b, err
		}
	}
	d, err := Propagate(t.Context(), two, inputs, 112, 100, 5, 2, nil)
	require.NoError(t, err)
	require.Len(t, d.Gears, 6)
	b, err := two()(nominal(inputs))
	require.NoError(t, err)
	r, err := b.Evaluate()
	require.NoError(t, err)
	for i, g := range d.Gears {
		assert.Equal(t, [2]int{i / 3, i % 3}, [2]int{g.Ring, g.Cog})
		assert.InDelta(t, r.Gears[i].Top.Bend, g.Top.Value, 1e-3, "%d", i)
	}
}

// Shares by hand: a mean over both runs of all gears, the largest first, and beside it those of the margin
// that decides the most doubtful verdict, be it of the first gear; none where every verdict is certain.
func TestSharesByHand(t *testing.T) {
	in := []budget.Input{{Name: "a"}, {Name: "b"}, {Name: "c"}}
	of := func(a, b, c float64) budget.Result {
		return budget.Result{Shares: []budget.Contribution{{Input: 0, Fraction: a}, {Input: 1, Fraction: b}, {Input: 2, Fraction: c}}}
	}
	per := 2 + len(Risks)
	first := make([]budget.Result, 2*per)
	first[2+3], first[per+2] = of(0.7, 0.1, 0.2), of(0.3, 0.3, 0.4)
	for _, c := range []struct {
		gear, risk int
		doubt      map[string]float64
	}{{0, 3, map[string]float64{"a": 0.7, "b": 0.1, "c": 0.2}}, {1, 0, map[string]float64{"a": 0.3, "b": 0.3, "c": 0.4}}, {-1, 0, map[string]float64{"a": 0, "b": 0, "c": 0}}} {
		d := &Uncertainty{Gear: c.gear, Risk: c.risk, Gears: []GearUncertainty{
			{Top: BendUncertainty{firstResult: of(0.1, 0.8, 0.1)}, Bottom: BendUncertainty{firstResult: of(0.2, 0.6, 0.2)}},
			{Top: BendUncertainty{firstResult: of(0.2, 0.5, 0.3)}, Bottom: BendUncertainty{firstResult: of(0.1, 0.1, 0.8)}},
		}}
		d.share(in, first, per)
		require.Len(t, d.Shares, 3)
		for i, want := range []struct {
			name string
			on   float64
		}{{"b", 0.5}, {"c", 0.35}, {"a", 0.15}} {
			assert.Equal(t, want.name, d.Shares[i].Input.Name)
			assert.InDelta(t, want.on, d.Shares[i].OnBends, 1e-15)
			assert.Equal(t, c.doubt[want.name], d.Shares[i].OnDoubt)
		}
	}
}
