package engage

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Between pins the chain is straight; the arriving link has its slope, joints their moments,
// and PinBefore goes from pin to pin.
func TestEntryIsAPolygonOfItsPins(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, c, l, tension := drawEntry(t)
		var e Entry
		require.NoError(t, e.Set(w, c, l, tension))
		_, st := e.Offset(rapid.Float64Range(0.2, 8).Draw(t, "angle") * deg)
		require.Equal(t, Solved, st)
		s1 := FirstOverlap(w, c.PlateHalfHeight)
		assert.InDelta(t, e.Slope(), (e.At(s1+c.Pitch/2)-e.At(s1-c.Pitch/2))/c.Pitch, 1e-9)
		pin := func(k int) float64 { return s1 + (float64(k)-0.5)*c.Pitch } // k 0: before the arriving link's middle
		most := 0.0
		last := len(e.row.Load) - 1 - e.arrive
		for k := -e.arrive; k < last; k++ {
			a, b := e.At(pin(k)), e.At(pin(k+1))
			assert.InDelta(t, a+0.3*(b-a), e.At(pin(k)+0.3*c.Pitch), 1e-9)
			assert.InDelta(t, pin(k), e.PinBefore(pin(k+1)), 1e-9)
			assert.InDelta(t, pin(k), e.PinBefore(pin(k)+0.1*c.Pitch), 1e-9)
			if k > -e.arrive {
				phi := (b - 2*a + e.At(pin(k-1))) / c.Pitch
				most = math.Max(most, c.Stiffness*(math.Abs(phi)-c.Slack))
			}
		}
		assert.InDelta(t, math.Max(most, 0), e.JointMoment(), 1e-6*c.Stiffness)
		assert.InDelta(t, pin(last), e.PinBefore(pin(last)+3*c.Pitch), 1e-9, "beyond the last")
		assert.True(t, math.IsInf(e.PinBefore(pin(-e.arrive)), -1))
		assert.InDelta(t, (c.Width(l)-w.Teeth[l].Tip)/2, e.Clear(), 1e-12)
	})
}

// Links past the tangent point have their tooth's full play, those before it what the plate's
// edge leaves: no seated link passes it, and one of them is at it.
func TestEntryKeepsToItsTeeth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, c, l, tension := drawEntry(t)
		var e Entry
		require.NoError(t, e.Set(w, c, l, tension))
		_, st := e.Offset(rapid.Float64Range(0.5, 8).Draw(t, "angle") * deg)
		require.Equal(t, Solved, st)
		s1 := FirstOverlap(w, c.PlateHalfHeight)
		touching := 0
		for k := 1; k <= 5; k++ {
			kind := l
			if k%2 == 1 {
				kind = l.other()
			}
			s := s1 - float64(k)*c.Pitch
			depth := w.TipRadius*math.Cos(math.Max(s, 0)/w.PitchRadius) - (w.PitchRadius - c.PlateHalfHeight)
			tooth := w.Teeth[kind]
			thick := math.Min(tooth.Full, tooth.Tip+2*math.Max(depth, 0)*math.Tan(tooth.Relief))
			play := (c.Width(kind) - thick) / 2
			assert.LessOrEqual(t, math.Abs(e.At(s)), play+1e-9)
			if math.Abs(e.At(s)) > play-1e-9 {
				touching++
			}
		}
		assert.Positive(t, touching)
	})
}

// Chains and wheels at both ends of their ranges, and angles.
func TestEntryRanges(t *testing.T) {
	var e Entry
	tiny := math.Nextafter(0, 1)
	for _, tension := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		assert.ErrorIs(t, e.Set(wheel(20), chain(0.6), Inner, tension), ErrEntry)
	}
	assert.NoError(t, e.Set(wheel(20), chain(0.6), Inner, 0.1))
	for angle, want := range map[float64]Status{0: Solved, 0.3: Solved, -0.3: Solved, math.Pi/2 + 1e-9: BadInput, -math.Pi/2 - 1e-9: BadInput, math.Inf(1): BadInput} {
		y, st := e.Offset(angle)
		assert.Equal(t, want, st, "%g", angle)
		if angle == 0 || st != Solved {
			assert.Zero(t, y)
		}
	}
	// The tip's lower edge reaches the plates while the ratio of radii is below 1.
	assert.Zero(t, FirstOverlap(Wheel{PitchRadius: 50, TipRadius: 46}, 4))
	assert.Positive(t, FirstOverlap(Wheel{PitchRadius: 50, TipRadius: 46 + 1e-6}, 4))
	assert.InDelta(t, 50*math.Pi/2, FirstOverlap(Wheel{PitchRadius: 50, TipRadius: 52}, 50), 1e-12)
	assert.Zero(t, FirstOverlap(Wheel{PitchRadius: 50, TipRadius: math.NaN()}, 4))
	for _, x := range []Link{Inner, Outer} {
		assert.Equal(t, x, x.other().other())
		assert.NotEqual(t, x, x.other())
	}
	assert.Equal(t, "inner", Inner.String())
	assert.Equal(t, "outer", Outer.String())
	assert.Equal(t, 1.0, Tooth{Tip: 1, Full: 2, Relief: 0.3}.Thickness(0))
	assert.InDelta(t, 1+2*tiny, Tooth{Tip: 1, Full: 2, Relief: 0.3}.Thickness(tiny), 1e-12)
}

// The closed form's bent part ends where its slope has come to the bend angle and its
// curvature to the slack's, by differences; and its limits, by hand.
func TestClosedFormEndsStraight(t *testing.T) {
	for _, f := range []closedForm{
		{Pitch: 12.7, Tension: 60, Stiffness: 10000, Slack: 0.0105},
		{Pitch: 12.7, Tension: 8, Stiffness: 2000, Slack: 0.02},
		{Pitch: 12.7, Tension: 700, Stiffness: 30000, Slack: 0.003},
	} {
		for _, theta := range []float64{0.01, 0.05, 0.2} {
			s, h := f.bent(theta), 1e-4
			assert.InDelta(t, theta, f.slope(theta, s-h), 1e-6)
			assert.InDelta(t, theta, f.slope(theta, s+h), 1e-12)
			assert.InEpsilon(t, f.Slack/f.Pitch, (f.slope(theta, s)-f.slope(theta, s-h))/h, 1e-3, "there the joints' moment is none")
			assert.InDelta(t, s, f.bent(-theta), 1e-12)
		}
		assert.InDelta(t, 60/f.Tension*f.Stiffness/10000, math.Pow(f.lambda(), 2)/math.Pow(closedForm{Pitch: 12.7, Tension: 60, Stiffness: 10000}.lambda(), 2), 1e-12)
	}
	assert.InDelta(t, 10, closedForm{Pitch: 12.5, Tension: 100, Stiffness: 800}.lambda(), 1e-12)
	loose := closedForm{Pitch: 12.7, Tension: 60, Slack: 0.02}
	assert.Zero(t, loose.bent(0.05), "joints without stiffness: all at the clamp")
	assert.Equal(t, 0.05*30, loose.offset(0.05, 30))
	assert.Equal(t, 0.05, loose.slope(0.05, 1e-3))
	assert.Equal(t, math.MaxFloat64, closedForm{Pitch: 12.7, Tension: 60, Stiffness: 10000}.bent(0.05))
	assert.Zero(t, closedForm{Pitch: 12.7, Tension: 60}.bent(0.05))
	// Hardly any stiffness: asinh(x) is ln 2x.
	soft := closedForm{Pitch: 10, Tension: 1, Stiffness: 1e-21, Slack: 0.1}
	assert.InEpsilon(t, 1e-10*math.Log(2*0.5/(0.01*1e-10)), soft.bent(0.5), 1e-9)
}

// Moments about each joint from where the links' weights lie in the plane, over and over
// until the shape stays: another way to the cantilever's sag.
func TestSagByMoments(t *testing.T) {
	for _, c := range []struct {
		n        int
		slack, k float64
	}{{1, 0.01, 30}, {2, 0.02, 20}, {3, 0.3, 3}, {7, 0.05, 200}, {12, 0.01, 1000}} {
		h := Cantilever{Links: c.n, Pitch: 10, Weight: 0.05}
		turn := make([]float64, c.n)
		sag := 0.0
		for range 4000 {
			x, y, a := 0.0, 0.0, 0.0
			joint, middle := make([]float64, c.n), make([]float64, c.n)
			for i := range c.n {
				joint[i] = x
				a = math.Min(a+turn[i], math.Pi/2)
				middle[i] = x + h.Pitch/2*math.Cos(a)
				x += h.Pitch * math.Cos(a)
				y += h.Pitch * math.Sin(a)
			}
			sag = y
			for i := range c.n {
				moment := 0.0
				for j := i; j < c.n; j++ {
					moment += h.Weight * (middle[j] - joint[i])
				}
				turn[i] += 0.2 * (c.slack + moment/c.k - turn[i])
			}
		}
		assert.InDelta(t, sag, h.Sag(c.slack, c.k), 1e-8, "%+v", c)
	}
	// Soft joints hang plumb.
	assert.InDelta(t, 30, Cantilever{Links: 3, Pitch: 10, Weight: 5}.Sag(math.Pi/2, 1), 1e-9)
}

// Two lengths have to differ by half of the shorter, and be two links at least.
func TestSagLengths(t *testing.T) {
	for _, c := range []struct {
		a, b int
		good bool
	}{{2, 3, true}, {1, 3, false}, {4, 6, true}, {5, 7, false}, {6, 9, true}, {7, 10, false}, {10, 15, true}, {10, 14, false}} {
		a, b := held(c.a), held(c.b)
		s, k, err := FromSags(a, b, a.Sag(0.01, 5000), b.Sag(0.01, 5000))
		if !c.good {
			assert.ErrorContains(t, err, "half as many again", "%+v", c)
			assert.Zero(t, s)
			assert.Zero(t, k)
			continue
		}
		require.NoError(t, err, "%+v", c)
		assert.InEpsilon(t, 0.01, s, 1e-3)
		assert.InEpsilon(t, 5000, k, 0.05)
	}
	light := held(10)
	for _, weight := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		light.Weight = weight
		_, _, err := FromSags(light, held(30), 5, 60)
		assert.ErrorIs(t, err, ErrSag)
		_, _, err = FromSags(held(8), light, 5, 60)
		assert.ErrorIs(t, err, ErrSag)
	}
}

// A hung chain of two links by hand: without contact and slack, for small angles, the joint
// moments are T times what hangs aside.
func TestHungOfTwoLinks(t *testing.T) {
	const k, tension, pitch, tilt = 5000.0, 40.0, 12.7, 1e-4
	h := Hung{Links: 2, Pitch: pitch, Tension: tension, Tilt: tilt}
	// a2 below a1 below the clamp: k(a1 - a2) = T·p·a2, k(tilt - a1) = T·p(a1 + a2).
	q := tension * pitch / k
	a2 := tilt / ((1+q)*(1+q) + q)
	a1 := (1 + q) * a2
	assert.InEpsilon(t, pitch*(a1+a2), h.Aside(0, k), 1e-3) // leastContact is some of it
}

// Fields at both ends of their ranges, and the ends of the stiffness that is looked for.
func TestHungRanges(t *testing.T) {
	good := Hung{Links: 40, Pitch: 12.7, Tension: 100, Tilt: 0.1, Contact: 4}
	tiny := math.Nextafter(0, 1)
	for _, c := range []struct {
		change func(h *Hung)
		good   bool
	}{
		{func(h *Hung) { h.Links = 2 }, true}, {func(h *Hung) { h.Links = 1 }, false},
		{func(h *Hung) { h.Pitch = tiny }, true}, {func(h *Hung) { h.Pitch = 0 }, false}, {func(h *Hung) { h.Pitch = math.Inf(1) }, false},
		{func(h *Hung) { h.Tension = tiny }, true}, {func(h *Hung) { h.Tension = 0 }, false}, {func(h *Hung) { h.Tension = math.NaN() }, false},
		{func(h *Hung) { h.Tilt = tiny }, true}, {func(h *Hung) { h.Tilt = 0 }, false},
		{func(h *Hung) { h.Tilt = math.Pi/4 - 1e-9 }, true}, {func(h *Hung) { h.Tilt = math.Pi / 4 }, false},
		{func(h *Hung) { h.Contact = 0 }, true}, {func(h *Hung) { h.Contact = -tiny }, false}, {func(h *Hung) { h.Contact = math.Inf(1) }, false},
	} {
		h := good
		c.change(&h)
		if c.good {
			assert.NoError(t, h.Valid(), "%+v", h)
		} else {
			assert.ErrorIs(t, h.Valid(), ErrHung, "%+v", h)
		}
	}
	for _, k := range []float64{1.02e3, 0.98e7} {
		got, err := good.Stiffness(good.Aside(0.01, k), 0.01)
		require.NoError(t, err)
		assert.InEpsilon(t, k, got, 0.05)
	}
	for _, k := range []float64{0.9e3, 1.2e7} {
		_, err := good.Stiffness(good.Aside(0.01, k), 0.01)
		assert.ErrorContains(t, err, "measure again", "%g", k)
	}
	_, err := good.Stiffness(good.Aside(0, 1e5), 0)
	assert.NoError(t, err, "no slack is a slack")
	for _, slack := range []float64{-tiny, 0.1, math.NaN()} {
		_, err := good.Stiffness(20, slack)
		assert.ErrorContains(t, err, "want a slack below the tilt")
	}
}

// slope returns y'(s), rad as small angles, for a bend angle θ in rad, θ >= 0.
func (f closedForm) slope(theta, s float64) float64 {
	l, k0 := f.lambda(), f.Slack/f.Pitch
	if s <= 0 {
		return 0
	}
	if k0 == 0 || l == 0 {
		if l == 0 {
			return theta
		}
		return -theta * math.Expm1(-s/l)
	}
	bent := f.bent(theta)
	if s >= bent {
		return theta
	}
	return k0 * l * (math.Sinh(bent/l) - math.Sinh((bent-s)/l))
}
