package engage

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// drawnWheel is a wheel and chain of what drawnRun draws, with its tension.
func drawnWheel(seed int, load Duty) (Wheel, Chain, float64) {
	rng := rand.New(rand.NewPCG(uint64(seed), 6))
	r, _ := drawnRun(rng, load)
	w, c := r.To, r.Chain
	c.Contact, c.Seat = r.Contact, r.Seat
	w.Driven = load == Driven
	w.Allowance = 0.3 * rng.Float64()
	return w, c, r.Tension
}

// Below a limit the link it is of lies within its band and above it beyond, to what taking
// offsets as linear between 24 bends leaves; below the limit of coming off one of the two lies
// within, and the link named is the one that was last.
func TestLimitsAreWhereBandsEnd(t *testing.T) {
	const leaves = 0.01 // mm
	quiets, climbs, by := 0, 0, [2]int{}
	for seed := range 200 {
		w, c, tension := drawnWheel(seed, Duty(seed%2))
		l := w.Limits(c, tension)
		touch := func(bend float64) float64 {
			return w.Arrive(c, bend, tension, limitRun).Inner - (c.InnerWidth-w.Teeth[Inner].Tip)/2
		}
		over := func(bend float64) [2]float64 {
			in, out := w.Beyond(c, w.Arrive(c, bend, tension, limitRun))
			return [2]float64{in, out}
		}
		last := 5 * deg
		assert.True(t, l.Quiet >= 0 && (l.Quiet <= last || l.Quiet == MaxAngle))
		assert.True(t, l.Climb >= l.Quiet && (l.Climb <= last || l.Climb == MaxAngle))
		if l.Quiet == MaxAngle {
			assert.LessOrEqual(t, touch(last), 0.0)
		} else if l.Quiet > 0 {
			quiets++
			assert.InDelta(t, 0, touch(l.Quiet), leaves)
			for b := 0.0; b < l.Quiet; b += last / 200 {
				assert.Less(t, touch(b), leaves)
			}
		}
		if l.Climb == MaxAngle {
			x := over(last)
			assert.LessOrEqual(t, math.Min(x[0], x[1]), 0.0)
		} else if l.Climb > 0 {
			climbs++
			x := over(l.Climb)
			assert.InDelta(t, 0, math.Min(x[0], x[1]), leaves)
			if math.Abs(x[0]-x[1]) > 2*leaves {
				by[l.ClimbLink]++
				assert.Less(t, x[l.ClimbLink], x[l.ClimbLink.other()])
			}
		}
	}
	assert.Greater(t, quiets, 100)
	assert.Greater(t, climbs, 50)
	assert.Positive(t, by[Inner])
	assert.Positive(t, by[Outer])
}

// Where a straight margin passes zero, and at once where it was there before.
func TestCrossing(t *testing.T) {
	assert.InDelta(t, 2.75, crossing(3, 1, -3, 1), 1e-12)
	assert.InDelta(t, 2.5, crossing(3, 2, -1, 0.3333333333333333), 1e-12)
	assert.Equal(t, 3.0, crossing(3, 1, math.Inf(-1), 1))
	assert.Equal(t, 2.0, crossing(3, 1, 0, 1))
	assert.InDelta(t, 2, crossing(3, 1, -1e-12, 1), 1e-9)
}

// Offsets of bands are by hand: half of width less tip, the bevel on top, the allowance off.
func TestBeyondByHand(t *testing.T) {
	w := Wheel{Teeth: [2]Tooth{{Tip: 1}, {Tip: 2.4}}, Allowance: 0.1}
	c := Chain{InnerWidth: 2.2, OuterWidth: 4, Bevel: 0.4}
	assert.InDelta(t, 0.6, w.Clear(c, Inner), 1e-12)
	assert.InDelta(t, 0.8, w.Clear(c, Outer), 1e-12)
	in, out := w.Beyond(c, Offsets{Inner: 1.1, Outer: 1})
	assert.InDelta(t, 0.2, in, 1e-12)
	assert.InDelta(t, -0.1, out, 1e-12)
}

// The response is its coefficients times the terms that it was fitted with, never below zero,
// and beyond its ranges what it is at their ends.
func TestResponseIsTheSumOfItsTerms(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	for i := range 400 {
		load := Kinds()[i%kinds]
		span := ResponseRanges(load)
		v := [variables]float64{}
		for k := range v {
			v[k] = span[k][0] + rng.Float64()*(span[k][1]-span[k][0])
		}
		at := func(v [variables]float64) Query {
			const tension = 40
			return Query{
				Bend: v[0] * deg, Tension: tension, Stiffness: math.Exp(v[1]) * tension * 12.7, Slack: v[2] * deg, Contact: v[3],
				Seat: v[4], Teeth: 1 / v[5], PlayInner: v[6], PlayOuter: v[7], Overlap: v[8], Deep: v[9], Length: 1 / v[10],
			}
		}
		q := at(v)
		var terms [NumTerms]float64
		q.Terms(load, &terms)
		want := [2]float64{}
		for k := range want {
			for n, x := range terms {
				want[k] += response[load.index()][k][n] * x
			}
			want[k] = math.Max(want[k], 0)
		}
		got := q.Arrive(load)
		assert.InDelta(t, want[0], got.Inner, 1e-9)
		assert.InDelta(t, want[1], got.Outer, 1e-9)
		// One variable at a time at its end, and beyond it.
		for k := range v {
			for end, by := range []float64{-0.3, 0.3} {
				x, y := v, v
				x[k] = span[k][end]
				y[k] = span[k][end] + by*(span[k][1]-span[k][0])
				if k == 5 || k == 10 {
					y[k] = math.Max(y[k], span[k][end]/2) // stays an inverse
				}
				a, b := at(x), at(y)
				p, q := a.Arrive(load), b.Arrive(load)
				assert.InDelta(t, p.Inner, q.Inner, 1e-9)
				assert.InDelta(t, p.Outer, q.Outer, 1e-9)
			}
		}
	}
	// Terms by hand: the first, those of one variable, its square and its cube, and the bend beyond slack.
	q := Query{Bend: 2.5 * deg, Tension: 1, Stiffness: 12.7 * math.Exp(6.7), Slack: 0.825 * deg, Contact: 4.45, Seat: 0.12, Teeth: 2 / (1./56 + 1./9), PlayInner: 0.27, PlayOuter: 1.1, Overlap: 6.25, Deep: 1.4, Length: 430}
	var terms [NumTerms]float64
	q.Terms(Kind{}, &terms)
	length := (2/430. - 1/700. - 1/140.) / (1/140. - 1/700.)
	assert.Equal(t, 1.0, terms[0])
	assert.InDelta(t, 0, terms[1], 1e-12)
	assert.InDelta(t, length, terms[cubed-3], 1e-9)
	assert.InDelta(t, length*length, terms[cubed-2], 1e-9)
	assert.InDelta(t, length*length*length, terms[cubed-1], 1e-9)
	assert.InDelta(t, 2.5-0.825, terms[cubed], 1e-9)
	assert.InDelta(t, 0, terms[cubed+1], 1e-9)
	assert.InDelta(t, (2.5-0.825)*length, terms[NumTerms-1], 1e-9)
	q.Bend = 0.8 * deg
	q.Terms(Kind{}, &terms)
	assert.Zero(t, terms[cubed])
	again := response
	assert.Equal(t, response, decodeResponse(again.Encode()))
	assert.Panics(t, func() { decodeResponse(make([]byte, 7)) })
}

// Every field of a run, wheel and chain: good at both ends of what its comment allows, and
// refused beyond them.
func TestRunsAreGoodWithinTheirRanges(t *testing.T) {
	inf, nan := math.Inf(1), math.NaN()
	tiny := math.Nextafter(0, 1)
	for name, c := range map[string]struct {
		at        func(r *Run) *float64
		good, bad []float64
	}{
		"length":       {func(r *Run) *float64 { return &r.Length }, []float64{0.1, 500}, []float64{0, -1, inf, nan}},
		"tension":      {func(r *Run) *float64 { return &r.Tension }, []float64{tiny, 5000}, []float64{0, -1, inf, nan}},
		"contact":      {func(r *Run) *float64 { return &r.Contact }, []float64{0, 99.9}, []float64{-tiny, 100, inf, nan}},
		"seat":         {func(r *Run) *float64 { return &r.Seat }, []float64{0, 9.9}, []float64{-tiny, 10, inf, nan}},
		"to hold":      {func(r *Run) *float64 { return &r.ToHold }, []float64{tiny, 1}, []float64{0, -1, 1.001, nan}},
		"tooth length": {func(r *Run) *float64 { return &r.Tooth }, []float64{0, 12.69}, []float64{-tiny, 12.7, inf, nan}},
		"plate":        {func(r *Run) *float64 { return &r.Chain.PlateHalfHeight }, []float64{0.1, 20}, []float64{0, -1, 90, inf, nan}},
		"stiffness":    {func(r *Run) *float64 { return &r.Chain.Stiffness }, []float64{0, 1e6}, []float64{-tiny, nan}},
		"slack":        {func(r *Run) *float64 { return &r.Chain.Slack }, []float64{0, 0.1}, []float64{-tiny, nan}},
		"bevel":        {func(r *Run) *float64 { return &r.Chain.Bevel }, []float64{0, 1}, []float64{-tiny, nan}},
		"pitch":        {func(r *Run) *float64 { return &r.Chain.Pitch }, []float64{0.1, 13}, []float64{0, -1, nan}},
		"inner width":  {func(r *Run) *float64 { return &r.Chain.InnerWidth }, []float64{1.6, 3}, []float64{1.599, nan}},
		"outer width":  {func(r *Run) *float64 { return &r.Chain.OuterWidth }, []float64{1.6, 5}, []float64{1.599, nan}},
		"tip radius":   {func(r *Run) *float64 { return &r.To.TipRadius }, []float64{80, 200}, []float64{-1, 60, inf, nan}},
		"radius left":  {func(r *Run) *float64 { return &r.From.PitchRadius }, []float64{60, 70}, []float64{-1, 0, 4, 80, nan}},
		"tip":          {func(r *Run) *float64 { return &r.To.Teeth[Inner].Tip }, []float64{0.1, 1.6}, []float64{0, -1, 1.61, nan}},
		"relief":       {func(r *Run) *float64 { return &r.From.Teeth[Outer].Relief }, []float64{0.01, 1.5}, []float64{0, -1, math.Pi / 2, nan}},
	} {
		try := func(x float64) error {
			r := testRun(32, 1.6, false)
			*c.at(&r) = x
			return r.Validate()
		}
		for _, x := range c.good {
			assert.NoError(t, try(x), "%s %g", name, x)
		}
		for _, x := range c.bad {
			assert.ErrorIs(t, try(x), ErrEntry, "%s %g", name, x)
		}
	}
	r := testRun(32, 1.6, false)
	var m Marcher
	for _, bend := range []float64{0, 0.01} {
		_, err := m.Arrive(&r, bend, MarchOptions{Pitches: 2, Steps: 2})
		require.NoError(t, err)
	}
	for _, bend := range []float64{-tiny, nan, MaxAngle + 1e-9} {
		_, err := m.Arrive(&r, bend, MarchOptions{})
		require.ErrorIs(t, err, ErrEntry)
	}
}

func BenchmarkFindLimits(b *testing.B) {
	w, c := wheel(32), chain(0.6)
	b.ReportAllocs()
	for b.Loop() {
		w.Limits(c, 60)
	}
}
