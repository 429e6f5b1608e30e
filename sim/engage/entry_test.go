package engage

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const deg = math.Pi / 180

// wheel returns a plain wheel with the prototype's teeth: 1.8 mm thick, 1.0 at
// the tip, relief 17°, tips 2.3 mm above the pitch circle.
func wheel(teeth int) Wheel {
	r := 12.7 / (2 * math.Sin(math.Pi/float64(teeth)))
	t := Tooth{Tip: 1.0, Full: 1.8, Relief: 17 * deg}
	return Wheel{PitchRadius: r, TipRadius: r + 2.3, Teeth: [2]Tooth{t, t}}
}

// chain returns the prototype's 12-speed chain with a joint slack in degrees.
func chain(slack float64) Chain {
	return Chain{Pitch: 12.7, InnerWidth: 2.18, OuterWidth: 4.0, PlateHalfHeight: 4.0, Bevel: 0.4, Slack: slack * deg, Stiffness: 10000}
}

func offset(t require.TestingT, w Wheel, c Chain, l Link, tension, angle float64) float64 {
	var e Entry
	require.NoError(t, e.Set(w, c, l, tension))
	y, st := e.Offset(angle)
	require.Equal(t, Solved, st)
	return y
}

// The orders of magnitude the model's prototype gave, from the project's own
// model description, not published: about 0.58 mm at 1°, 0.9 at 2°, 1.2 at 3°,
// hardly dependent on tension; a worn chain (1.5° slack) at 3° 1.35.
func TestPrototypeOrdersOfMagnitude(t *testing.T) {
	for _, slack := range []float64{0.5, 0.6, 0.7} {
		for _, tension := range []float64{10, 100, 600} {
			c := chain(slack)
			assert.InDelta(t, 0.58, offset(t, wheel(32), c, Inner, tension, 1*deg), 0.02)
			assert.InDelta(t, 0.90, offset(t, wheel(32), c, Inner, tension, 2*deg), 0.06)
			assert.InDelta(t, 1.20, offset(t, wheel(32), c, Inner, tension, 3*deg), 0.18)
		}
	}
	assert.InDelta(t, 1.35, offset(t, wheel(32), chain(1.5), Inner, 100, 3*deg), 0.01)
}

func TestFirstOverlap(t *testing.T) {
	w := wheel(32)
	s := FirstOverlap(w, 4)
	// There the tip stands exactly at the plates' lower edge.
	assert.InDelta(t, w.PitchRadius-4, w.TipRadius*math.Cos(s/w.PitchRadius), 1e-12)
	assert.Zero(t, FirstOverlap(Wheel{PitchRadius: 50, TipRadius: 45}, 4))
}

func TestThickness(t *testing.T) {
	h := Tooth{Tip: 1, Full: 1.8, Relief: 45 * deg}
	assert.Equal(t, 1.0, h.Thickness(-3))
	assert.InDelta(t, 1.4, h.Thickness(0.2), 1e-12)
	assert.Equal(t, 1.8, h.Thickness(9))
}

func TestMoreLinksChangeNothing(t *testing.T) {
	for _, teeth := range []int{10, 11, 32, 51} {
		for _, tension := range []float64{1, 8, 100, 700} {
			for l := Inner; l <= Outer; l++ {
				for _, angle := range []float64{0.5, 2, 5} {
					var a, b Entry
					require.NoError(t, a.Set(wheel(teeth), chain(0.6), l, tension))
					require.NoError(t, b.set(wheel(teeth), chain(0.6), l, tension, MaxAngle, seatedLinks+8, spareLinks+30))
					ya, _ := a.Offset(angle * deg)
					yb, _ := b.Offset(angle * deg)
					assert.InDelta(t, yb, ya, 1e-6, "%d teeth, %g N, %v, %g°", teeth, tension, l, angle)
				}
			}
		}
	}
}

// A row for the angle alone lies as one for every angle does.
func TestSetForLiesAsSet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, c, l, tension := drawEntry(t)
		angle := rapid.Float64Range(0.001, 15).Draw(t, "angle") * deg
		var a, b Entry
		require.NoError(t, a.Set(w, c, l, tension))
		require.NoError(t, b.SetFor(w, c, l, tension, -angle))
		assert.LessOrEqual(t, len(b.row.Load), len(a.row.Load))
		ya, _ := a.Offset(angle)
		yb, _ := b.Offset(angle)
		assert.InDelta(t, ya, yb, 1e-6)
		for s := -30.0; s < 200; s += 7 {
			assert.InDelta(t, a.At(s), b.At(s), 1e-6, "at %g mm", s)
		}
	})
	assert.ErrorIs(t, new(Entry).SetFor(wheel(20), chain(0.6), Inner, 9, math.NaN()), ErrEntry)
	assert.ErrorIs(t, new(Entry).SetFor(wheel(20), chain(0.6), Inner, 9, 2), ErrEntry)
}

func drawEntry(t *rapid.T) (Wheel, Chain, Link, float64) {
	w, c := wheel(rapid.IntRange(9, 60).Draw(t, "teeth")), chain(drawSlack(t)/deg)
	c.Stiffness = rapid.Float64Range(1000, 30000).Draw(t, "stiffness")
	if rapid.Bool().Draw(t, "wide/narrow") {
		w.Teeth[Outer] = Tooth{Tip: 2.4, Full: 3.5, Relief: 17 * deg}
	}
	return w, c, rapid.SampledFrom([]Link{Inner, Outer}).Draw(t, "link"), rapid.Float64Range(1, 800).Draw(t, "tension")
}

func TestOffsetIsOddAndNeverFalls(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, c, l, tension := drawEntry(t)
		var e Entry
		require.NoError(t, e.Set(w, c, l, tension))
		last := 0.0
		for a := 0.25; a < 12; a += 0.25 {
			y, st := e.Offset(a * deg)
			require.Equal(t, Solved, st)
			assert.GreaterOrEqual(t, y, last-1e-9)
			last = y
			m, _ := e.Offset(-a * deg)
			assert.InDelta(t, -y, m, 1e-12)
		}
	})
}

func TestProfilePassesThroughTheArrivingLinkAndEndsStraight(t *testing.T) {
	var e Entry
	require.NoError(t, e.Set(wheel(32), chain(0.6), Inner, 100))
	y, _ := e.Offset(2 * deg)
	assert.InDelta(t, y, e.At(e.s1), 1e-12)
	assert.InDelta(t, math.Sin(2*deg), (e.At(2000)-e.At(1000))/1000, 1e-12)
	assert.Less(t, math.Abs(e.At(-30)), 0.5)
}

func TestBadEntries(t *testing.T) {
	var e Entry
	good := func() (Wheel, Chain) { return wheel(20), chain(0.6) }
	for name, spoil := range map[string]func(w *Wheel, c *Chain) float64{
		"tension":     func(w *Wheel, c *Chain) float64 { return 0 },
		"tension NaN": func(w *Wheel, c *Chain) float64 { return math.NaN() },
		"tip":         func(w *Wheel, c *Chain) float64 { w.TipRadius = 1; return 9 },
		"thick":       func(w *Wheel, c *Chain) float64 { w.Teeth[0].Full = 2.3; return 9 },
		"relief":      func(w *Wheel, c *Chain) float64 { w.Teeth[1].Relief = 0; return 9 },
		"pitch":       func(w *Wheel, c *Chain) float64 { c.Pitch = 0; return 9 },
		"stiffness":   func(w *Wheel, c *Chain) float64 { c.Stiffness = math.Inf(1); return 9 },
		"slack":       func(w *Wheel, c *Chain) float64 { c.Slack = math.Inf(1); return 9 },
	} {
		w, c := good()
		tension := spoil(&w, &c)
		assert.ErrorIs(t, e.Set(w, c, Inner, tension), ErrEntry, name)
	}
	w, c := good()
	require.NoError(t, e.Set(w, c, Inner, 9))
	_, st := e.Offset(math.NaN())
	assert.Equal(t, BadInput, st)
}

func BenchmarkSolve(b *testing.B) {
	var e Entry
	_ = e.Set(wheel(32), chain(0.6), Inner, 8)
	b.ReportAllocs()
	for b.Loop() {
		e.solved = false // cold
		e.Offset(2.3 * deg)
	}
}

// BenchmarkInteriorPoint is the same problem by the tests' dense method, to
// compare with BenchmarkSolve inside one run.
func BenchmarkInteriorPoint(b *testing.B) {
	var e Entry
	_ = e.Set(wheel(32), chain(0.6), Inner, 8)
	e.row.Load[len(e.row.Load)-1] = 8 * math.Sin(2.3*deg)
	b.ReportAllocs()
	for b.Loop() {
		interiorPoint(&e.row)
	}
}

// Whatever is tried first, the row ends where it lies.
func TestWhatIsTriedFirstChangesNothing(t *testing.T) {
	right, of := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		w, c, l, tension := drawEntry(t)
		var e Entry
		require.NoError(t, e.Set(w, c, l, tension))
		sine := math.Sin(rapid.Float64Range(0.1, 12).Draw(t, "angle") * deg)
		e.row.Load[len(e.row.Load)-1] = tension * sine
		var plain, tried solve
		require.Equal(t, Solved, plain.settle(&e.row, false, -1))
		require.Equal(t, Solved, tried.settle(&e.row, false, rapid.IntRange(0, 30).Draw(t, "bent")))
		assert.InDeltaSlice(t, plain.y, tried.y, 1e-7)
		assert.InDelta(t, forces(&plain, &e.row), forces(&tried, &e.row), 1e-6*tension)
		if e.row.Slack > 0 {
			of++
			if triedFirst(&tried, &e, sine) {
				right++
				assert.InDeltaSlice(t, plain.y, tried.y, 1e-7)
			}
		}
	})
	assert.Greater(t, float64(right), 0.5*float64(of), "%d of %d", right, of) // of a bicycle's rows nearly all, see below
}

// forces returns the sum of what the teeth hold, N.
func forces(s *solve, r *pinRow) (sum float64) {
	for i := range r.Play {
		sum += s.Held(i)
	}
	return sum
}

// triedFirst reports whether what a cold solve tries first is the equilibrium.
func triedFirst(s *solve, e *Entry, sine float64) bool {
	e.row.Load[len(e.row.Load)-1] = e.row.Tension * sine
	s.resize(len(e.row.Load))
	return s.start(&e.row) == Solved && s.lone(&e.row, e.bends(sine)) && s.several(&e.row)
}

// What is tried first is right for nearly every row of a bicycle.
func TestWhatIsTriedFirstIsMostlyRight(t *testing.T) {
	right, of := 0, 0
	for _, teeth := range []int{11, 17, 28, 42, 51} {
		for _, slack := range []float64{0.4, 0.8, 1.4} {
			for _, tension := range []float64{5, 30, 160, 700} {
				for l := Inner; l <= Outer; l++ {
					var e Entry
					require.NoError(t, e.Set(wheel(teeth), chain(slack), l, tension))
					for angle := 0.2; angle < 5; angle += 0.4 {
						of++
						var s solve
						if triedFirst(&s, &e, math.Sin(angle*deg)) {
							right++
						}
					}
				}
			}
		}
	}
	assert.Greater(t, float64(right), 0.97*float64(of), "%d of %d", right, of)
}

// A row that one tooth holds, by hand. Where its slack takes the whole bend, the links before
// the tooth lie straight, the one on it at half the bend, those after it at the whole. Where it
// does not, one joint on each side is bent: the link before the one on the tooth has the slope
// v with T·p·v = k·(θ/2 - v - φ0).
func TestLoneByHand(t *testing.T) {
	row := func(slack float64) (*pinRow, *solve) {
		r := &pinRow{Pitch: 10, Tension: 50, Stiffness: 1500, Slack: slack, Load: make([]float64, 9), Play: make([]float64, 8)}
		for i := range r.Play {
			r.Play[i] = math.Inf(1)
			if i < 4 {
				r.Play[i] = 1 - 0.1*float64(i)
			}
		}
		r.Load[8] = 50 * 0.03
		s := new(solve)
		s.resize(9)
		require.Equal(t, Solved, s.start(r))
		return r, s
	}
	for _, c := range []struct{ slack, v float64 }{{0.02, 0}, {0.009, 1500 * 0.006 / 2000}} {
		for guess := range 4 {
			r, s := row(c.slack)
			require.True(t, s.lone(r, guess))
			require.True(t, s.several(r))
			// Link 3 is the narrowest: its middle at 0.7 mm, its pins 10 mm apart.
			before := 0.625 - 10*c.v
			want := []float64{before, before, before, 0.625, 0.775, 0.775 + 10*(0.03-c.v)}
			for len(want) < 9 {
				want = append(want, want[len(want)-1]+10*0.03)
			}
			assert.InDeltaSlice(t, want, s.y, 1e-12, "slack %g, guess %d", c.slack, guess)
			for i := range r.Play {
				held := 0.0
				if i == 3 {
					held = 1.5
				}
				assert.InDelta(t, held, s.Held(i), 1e-12)
			}
		}
	}
	r, s := row(0)
	assert.False(t, s.lone(r, 0), "without slack every joint is bent")
	r, s = row(0.0001)
	assert.False(t, s.lone(r, 4), "more bent joints than there are before the tooth")
}
