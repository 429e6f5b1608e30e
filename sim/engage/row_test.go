package engage

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// drawRow draws a row with plays and loads of no particular order.
func drawRow(t *rapid.T) *pinRow {
	n := rapid.IntRange(3, 14).Draw(t, "pins")
	r := &pinRow{
		Pitch:     12.7,
		Tension:   rapid.Float64Range(5, 800).Draw(t, "tension"),
		Stiffness: rapid.Float64Range(1000, 30000).Draw(t, "stiffness"),
		Slack:     drawSlack(t),
		Play:      make([]float64, n-1),
		Load:      make([]float64, n),
	}
	for i := range r.Play {
		r.Play[i] = rapid.Float64Range(0.05, 2).Draw(t, "play")
		if i > 0 && rapid.Bool().Draw(t, "free") {
			r.Play[i] = math.Inf(1)
		}
	}
	sum := 0.0
	for i := range r.Load {
		r.Load[i] = rapid.Float64Range(-20, 20).Draw(t, "load")
		sum += r.Load[i]
	}
	if math.Abs(sum) < 1e-3 { // no side to lean to: the minimum is not unique
		r.Load[0] += 1
	}
	return r
}

// drawSlack draws a joint slack in rad: none, or from 0.05° up.
func drawSlack(t *rapid.T) float64 {
	if rapid.Bool().Draw(t, "no slack") {
		return 0
	}
	return rapid.Float64Range(0.001, 0.035).Draw(t, "slack")
}

// interiorPoint solves the same problem another way: dense, by Newton's method
// on a log barrier, with the dead zone written out as bounded free turns v:
// ½k max(|φ|-φ0, 0)² = min over |v| <= φ0 of ½k (φ - v)².
func interiorPoint(r *pinRow) []float64 {
	n := len(r.Load)
	m := n - 2
	size := n + m
	if r.Slack == 0 { // the free turns are none: leave them out
		size = n
	}
	h := mat.NewSymDense(size, nil)
	add := func(i, j int, v float64) {
		if i <= j {
			h.SetSym(i, j, h.At(i, j)+v)
		}
	}
	for i := 0; i+1 < n; i++ {
		t := r.Tension / r.Pitch
		add(i, i, t)
		add(i+1, i+1, t)
		add(i, i+1, -t)
	}
	for j := 0; j < m; j++ {
		c := map[int]float64{j: 1 / r.Pitch, j + 1: -2 / r.Pitch, j + 2: 1 / r.Pitch}
		if r.Slack > 0 {
			c[n+j] = -1
		}
		for a, va := range c {
			for b, vb := range c {
				if a <= b {
					add(a, b, r.Stiffness*va*vb)
				}
			}
		}
	}
	type bound struct {
		i, j int // (x[i] + x[j])/2, or x[i] when j < 0
		c    float64
	}
	var bounds []bound
	for i, c := range r.Play {
		if !math.IsInf(c, 0) {
			bounds = append(bounds, bound{i, i + 1, c})
		}
	}
	for j := n; j < size; j++ {
		bounds = append(bounds, bound{j, -1, r.Slack})
	}
	value := func(b bound, x []float64) float64 {
		if b.j < 0 {
			return x[b.i]
		}
		return (x[b.i] + x[b.j]) / 2
	}
	energy := func(x []float64, mu float64) float64 {
		v := mat.NewVecDense(size, x)
		e := mat.Inner(v, h, v) / 2
		for i, f := range r.Load {
			e -= f * x[i]
		}
		for _, b := range bounds {
			g := value(b, x)
			if math.Abs(g) >= b.c {
				return math.Inf(1)
			}
			e -= mu * (math.Log(b.c-g) + math.Log(b.c+g))
		}
		return e
	}
	x := make([]float64, size)
	for mu := 10.0; mu > 1e-14; mu /= 4 {
		for range 60 {
			grad := mat.NewVecDense(size, nil)
			grad.MulVec(h, mat.NewVecDense(size, x))
			for i, f := range r.Load {
				grad.SetVec(i, grad.AtVec(i)-f)
			}
			k := mat.NewSymDense(size, nil)
			k.CopySym(h)
			for _, b := range bounds {
				g := value(b, x)
				g1 := mu/(b.c-g) - mu/(b.c+g)
				g2 := mu/((b.c-g)*(b.c-g)) + mu/((b.c+g)*(b.c+g))
				ids, w := []int{b.i, b.j}, 0.5
				if b.j < 0 {
					ids, w = ids[:1], 1
				}
				for _, p := range ids {
					grad.SetVec(p, grad.AtVec(p)+w*g1)
					for _, q := range ids {
						if p <= q {
							k.SetSym(p, q, k.At(p, q)+w*w*g2)
						}
					}
				}
			}
			var ch mat.Cholesky
			if !ch.Factorize(k) {
				break
			}
			var d mat.VecDense
			if ch.SolveVecTo(&d, grad) != nil {
				break
			}
			dec := mat.Dot(grad, &d)
			if dec < 1e-22 {
				break
			}
			t, e0 := 1.0, energy(x, mu)
			y := make([]float64, size)
			for ; t > 1e-12; t /= 2 {
				for i := range x {
					y[i] = x[i] - t*d.AtVec(i)
				}
				if energy(y, mu) <= e0-1e-4*t*dec {
					break
				}
			}
			if t <= 1e-12 {
				break
			}
			copy(x, y)
		}
	}
	return x[:n]
}

func TestRowAgainstInteriorPoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRow(t)
		var s solve
		require.Equal(t, Solved, s.Solve(r, false))
		for i, want := range interiorPoint(r) {
			assert.InDelta(t, want, s.Place(i), 1e-6, "pin %d, mm", i)
		}
	})
}

// The conditions of a minimum, checked from the energy itself: every pin is in
// balance, teeth only push back, nothing passes its bound.
func TestRowIsInBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRow(t)
		var s solve
		require.Equal(t, Solved, s.Solve(r, false))
		n := len(r.Load)
		force := append([]float64(nil), r.Load...)
		for i := 0; i+1 < n; i++ {
			f := r.Tension / r.Pitch * (s.Place(i+1) - s.Place(i))
			force[i] += f
			force[i+1] -= f
			h := s.Held(i)
			force[i] -= h / 2
			force[i+1] -= h / 2
			m := s.middle(i)
			assert.LessOrEqual(t, math.Abs(m), r.Play[i]+1e-12)
			if h != 0 {
				assert.InDelta(t, r.Play[i], math.Copysign(1, h)*m, 1e-11, "a tooth pushes only where it touches")
			}
		}
		for i := 1; i+1 < n; i++ {
			phi := bend(s.y, i, r.Pitch)
			mo := r.Stiffness * math.Copysign(math.Max(math.Abs(phi)-r.Slack, 0), phi) / r.Pitch
			force[i-1] -= mo
			force[i] += 2 * mo
			force[i+1] -= mo
		}
		for i, f := range force {
			assert.InDelta(t, 0, f, 1e-6, "pin %d, N", i)
		}
	})
}

func TestRowMirroredAndWarm(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRow(t)
		var a, b solve
		require.Equal(t, Solved, a.Solve(r, false))
		require.Equal(t, Solved, b.Solve(r, false))
		for i := range r.Load {
			r.Load[i] = -r.Load[i]
		}
		require.Equal(t, Solved, b.Solve(r, true)) // warm, from the other side
		for i := range r.Load {
			assert.InDelta(t, a.Place(i), -b.Place(i), 1e-9)
		}
	})
}

// clamp is a half-infinite span of fine pitch clamped at s = 0: the joint
// stiffness per length k·p and the slack per length φ0/p are those of the
// coarse chain.
func clamp(p, length, tension, kp, kappa, end float64, load func(s float64) float64) (*pinRow, int) {
	held := 4
	n := held + 1 + int(math.Round(length/p))
	r := &pinRow{Pitch: p, Tension: tension, Stiffness: kp / p, Slack: kappa * p, Play: make([]float64, n-1), Load: make([]float64, n)}
	for i := range r.Play {
		if i >= held {
			r.Play[i] = math.Inf(1)
		}
	}
	for i := range r.Load {
		if load != nil && i >= held {
			r.Load[i] = p * load(float64(i-held)*p)
		}
	}
	r.Load[n-1] += end
	return r, held
}

func TestSmallPitchLimitIsTheClosedForm(t *testing.T) {
	const kp, kappa, T = 10000 * 12.7, 0.6 * math.Pi / 180 / 12.7, 60.0
	f := closedForm{Pitch: 12.7, Tension: T, Stiffness: 10000, Slack: 0.6 * math.Pi / 180}
	theta := 2.5 * math.Pi / 180
	at := func(p, x float64) float64 {
		r, clamped := clamp(p, 160, T, kp, kappa, T*theta, nil)
		var s solve
		require.Equal(t, Solved, s.Solve(r, false))
		return s.Place(clamped + int(math.Round(x/p)))
	}
	for _, x := range []float64{4, 12, 20, 40, 60, 100, 140} {
		want := f.offset(theta, x)
		e4, e2, e1 := at(0.4, x)-want, at(0.2, x)-want, at(0.1, x)-want
		assert.InDelta(t, 0, e1, 5e-3, "mm at %g mm", x)
		// First order in the pitch (the clamp sits between two pins): halving it
		// halves the error, and Richardson's rule takes it out.
		assert.InDelta(t, 2, e4/e2, 0.1)
		assert.InDelta(t, 2, e2/e1, 0.1)
		assert.InDelta(t, 0, 2*e1-e2, 1e-5, "mm at %g mm", x)
	}
}

func TestClosedFormSlopeIsTheDerivativeOfOffset(t *testing.T) {
	for _, f := range []closedForm{
		{Pitch: 12.7, Tension: 60, Stiffness: 10000, Slack: 0.0105},
		{Pitch: 12.7, Tension: 600, Stiffness: 8000},
		{Pitch: 12.7, Tension: 600, Slack: 0.02},
	} {
		theta := 0.05
		for _, x := range []float64{0.7, 5, 17, 33, 80, 200} {
			d := (f.offset(theta, x+1e-4) - f.offset(theta, x-1e-4)) / 2e-4
			assert.InDelta(t, f.slope(theta, x), d, 1e-8, "%+v at %g", f, x)
		}
		assert.Zero(t, f.offset(theta, -1))
		assert.Zero(t, f.slope(theta, 0))
		assert.Zero(t, f.bent(0))
	}
	// κ0 → 0 is the textbook beam.
	small := closedForm{Pitch: 12.7, Tension: 60, Stiffness: 10000, Slack: 1e-9}
	beam := closedForm{Pitch: 12.7, Tension: 60, Stiffness: 10000}
	assert.InDelta(t, beam.offset(0.05, 40), small.offset(0.05, 40), 1e-6)
}

// Tie rod under axial pull and a uniform side load, simply supported:
// l 200 in, 2.5 in square, E 30e6 psi, F 21972.6 lb, q 1.79253 lb/in gives
// 0.19945 in at the middle, 0.0032352 rad at the ends, 4580.1 in·lb; without F
// 0.38241 in, 0.0061185 rad, 8962.7 in·lb. Timoshenko, Strength of Materials
// II, 3rd ed., art. 6, as used for a verification case of a finite-element code.
//
// One half of it is a row clamped at the middle, with the support's reaction as
// the load at its end. Units here are in and lb throughout.
func TestTensionedBeam(t *testing.T) {
	const l, q = 200.0, 1.79253
	ei := 30e6 * math.Pow(2.5, 4) / 12
	for _, c := range []struct{ name, pull, sag, slope, moment any }{
		{"with pull", 21972.6, 0.19945, 0.0032352, 4580.1},
		{"without pull", 1e-6, 0.38241, 0.0061185, 8962.7},
	} {
		t.Run(c.name.(string), func(t *testing.T) {
			// Two pitches and Richardson's rule take out the first-order error of
			// the clamp between two pins.
			solve := func(p float64) (sag, slope, moment float64) {
				r, at := clamp(p, l/2, c.pull.(float64), ei, 0, 0, func(float64) float64 { return -q })
				n := len(r.Load)
				r.Load[n-1] += q*l/2 + q*p/2 // half a pitch of load at the end pin
				r.Load[at] += q * p / 2
				var s solve
				require.Equal(t, Solved, s.Solve(r, false))
				sag = s.Place(n-1) - s.Place(at)
				slope = (1.5*s.Place(n-1) - 2*s.Place(n-2) + 0.5*s.Place(n-3)) / p
				moment = ei * bend(s.y, at+1, p) / p
				return
			}
			d1, s1, m1 := solve(0.5)
			d2, s2, m2 := solve(0.25)
			assert.InEpsilon(t, c.sag, 2*d2-d1, 2e-4)
			assert.InEpsilon(t, c.slope, 2*s2-s1, 2e-4)
			assert.InEpsilon(t, c.moment, 2*m2-m1, 2e-4)
		})
	}
}

func TestBadRows(t *testing.T) {
	good := func() *pinRow {
		return &pinRow{Pitch: 12.7, Tension: 10, Stiffness: 1e4, Slack: 0.01, Play: []float64{0.1, math.Inf(1), math.Inf(1)}, Load: []float64{0, 0, 0, 1}}
	}
	var s solve
	require.Equal(t, Solved, s.Solve(good(), false))
	for name, spoil := range map[string]func(*pinRow){
		"tension 0":   func(r *pinRow) { r.Tension = 0 },
		"tension NaN": func(r *pinRow) { r.Tension = math.NaN() },
		"stiffness":   func(r *pinRow) { r.Stiffness = math.Inf(1) },
		"slack":       func(r *pinRow) { r.Slack = -1 },
		"play":        func(r *pinRow) { r.Play[0] = math.NaN() },
		"negative":    func(r *pinRow) { r.Play[0] = -0.1 },
		"load":        func(r *pinRow) { r.Load[2] = math.Inf(-1) },
		"short":       func(r *pinRow) { r.Play = r.Play[:1] },
	} {
		r := good()
		spoil(r)
		assert.Equal(t, BadInput, s.Solve(r, false), name)
		assert.ErrorIs(t, r.Validate(), ErrBadInput, name)
		assert.ErrorIs(t, BadInput.Err(), ErrBadInput)
	}
	r := good()
	r.Play[0] = math.Inf(1)
	assert.Equal(t, Adrift, s.Solve(r, false))
	assert.NoError(t, Solved.Err())
	assert.Equal(t, "adrift", Adrift.String())
}

// Validate returns an error wrapping ErrBadInput that names what is wrong.
func (r *pinRow) Validate() error {
	n := len(r.Load)
	if n < 3 || len(r.Play) != n-1 {
		return fmt.Errorf("%w: %d pins with %d links", ErrBadInput, n, len(r.Play))
	}
	pos := func(x float64) bool { return x > 0 && !math.IsInf(x, 0) }
	if !pos(r.Pitch) || !pos(r.Tension) || !(pos(r.Stiffness) || r.Stiffness == 0) || !(pos(r.Slack) || r.Slack == 0) {
		return fmt.Errorf("%w: pitch %g, tension %g, stiffness %g, slack %g", ErrBadInput, r.Pitch, r.Tension, r.Stiffness, r.Slack)
	}
	for i, c := range r.Play {
		if !(c >= 0) {
			return fmt.Errorf("%w: play %g of link %d", ErrBadInput, c, i)
		}
	}
	for i, f := range r.Load {
		if math.IsNaN(f) || math.IsInf(f, 0) {
			return fmt.Errorf("%w: load %g on pin %d", ErrBadInput, f, i)
		}
	}
	return nil
}

// Solve is settle of a row that may be wrong, without a guess.
func (s *solve) Solve(r *pinRow, warm bool) Status {
	if r.Validate() != nil {
		return BadInput
	}
	return s.settle(r, warm, -1)
}

// Place returns the lateral place of pin i after a solve, mm.
func (s *solve) Place(i int) float64 { return s.y[i] }

// Held returns the force with which the tooth holds link i, N, positive towards
// the negative side; 0 for a link that touches nothing.
func (s *solve) Held(i int) float64 {
	if s.held[i] == 0 {
		return 0
	}
	return s.z[s.mul[i]]
}
