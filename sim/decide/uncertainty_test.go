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

	for _, g := range d.Gears {
		// Top bend: atan(Δ/L), so u is that of the front line over the length.
		assert.InDelta(t, 0.4/(430*(1+math.Pow(math.Tan(g.Top.Value), 2))), g.Top.U, 0.4/430*0.06)
		if g.Top.Value > 4*g.Top.U { // far from straight the two methods agree
			assert.InDelta(t, g.Top.First[0], g.Top.Monte[0], 0.35*g.Top.U)
			assert.InDelta(t, g.Top.First[1], g.Top.Monte[1], 0.35*g.Top.U)
		}
	}
	sum := 0.0
	for _, s := range d.Shares {
		sum += s.Share
	}
	assert.InDelta(t, 1, sum, 1e-9)
	assert.Greater(t, d.Shares[0].Share, 0.9, "the front chainline is the reading to take better")
}

func TestNoDoubtWithoutUncertainty(t *testing.T) {
	sure := append([]budget.Input(nil), inputs...)
	for i := range sure {
		sure[i].U = 0
	}
	d, err := Propagate(context.Background(), maker, sure, 112, 20, 1, 2, nil)
	require.NoError(t, err)
	for _, g := range d.Gears {
		assert.Equal(t, g.Top.Value, g.Top.Monte[0])
		assert.Zero(t, g.Top.U)
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

// Shares by hand: a mean over both runs of all gears, in the order of the inputs.
func TestSharesByHand(t *testing.T) {
	in := []budget.Input{{Name: "a"}, {Name: "b"}, {Name: "c"}}
	of := func(a, b, c float64) budget.Result {
		return budget.Result{Shares: []budget.Contribution{{Input: 0, Fraction: a}, {Input: 1, Fraction: b}, {Input: 2, Fraction: c}}}
	}
	var d Uncertainty
	d.share(in, []budget.Result{of(0.1, 0.8, 0.1), of(0.2, 0.6, 0.2), of(0.2, 0.5, 0.3), of(0.1, 0.1, 0.8)})
	require.Len(t, d.Shares, 3)
	for i, want := range []float64{0.15, 0.5, 0.35} {
		assert.Equal(t, in[i], d.Shares[i].Input)
		assert.InDelta(t, want, d.Shares[i].Share, 1e-15)
	}
}
