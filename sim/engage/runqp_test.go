package engage

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
)

// quadratic is min ½x'Hx + c'x subject to a'x <= b for rows (a, b).
type quadratic struct {
	h    *mat.SymDense
	c    []float64
	rows []map[int]float64
	most []float64
}

func newQuadratic(n int) *quadratic {
	return &quadratic{h: mat.NewSymDense(n, nil), c: make([]float64, n)}
}

// square adds ½k(a'x - b)².
func (q *quadratic) square(k float64, a map[int]float64, b float64) {
	for i, x := range a {
		q.c[i] -= k * b * x
		for j, y := range a {
			if i <= j {
				q.h.SetSym(i, j, q.h.At(i, j)+k*x*y)
			}
		}
	}
}

func (q *quadratic) bound(a map[int]float64, most float64) {
	q.rows = append(q.rows, a)
	q.most = append(q.most, most)
}

// between adds |a'x - b| <= most.
func (q *quadratic) between(a map[int]float64, b, most float64) {
	q.bound(a, b+most)
	minus := map[int]float64{}
	for i, x := range a {
		minus[i] = -x
	}
	q.bound(minus, most-b)
}

// solve is a primal-dual interior point, dense: Nocedal and Wright, Numerical
// Optimization, 2nd ed., sec. 16.6, with a fixed centring.
func (q *quadratic) solve(t *testing.T) []float64 {
	n, m := len(q.c), len(q.rows)
	x, s, z := make([]float64, n), make([]float64, m), make([]float64, m)
	dot := func(a map[int]float64, x []float64) (sum float64) {
		for i, v := range a {
			sum += v * x[i]
		}
		return sum
	}
	for k := range s {
		s[k], z[k] = 1, 1
	}
	const centring = 0.1
	dx := mat.NewVecDense(n, nil)
	for range 200 {
		gap := 0.0
		for k := range s {
			gap += s[k] * z[k] / float64(m)
		}
		rd := mat.NewVecDense(n, nil)
		rd.MulVec(q.h, mat.NewVecDense(n, x))
		for i, c := range q.c {
			rd.SetVec(i, rd.AtVec(i)+c)
		}
		k := mat.NewSymDense(n, nil)
		k.CopySym(q.h)
		rp, rc := make([]float64, m), make([]float64, m)
		right := mat.NewVecDense(n, nil)
		off := 0.0
		for j, a := range q.rows {
			rp[j] = dot(a, x) + s[j] - q.most[j]
			rc[j] = s[j]*z[j] - centring*gap
			off = math.Max(off, math.Abs(rp[j]))
			w := (z[j]*rp[j] - rc[j]) / s[j]
			for i, v := range a {
				rd.SetVec(i, rd.AtVec(i)+v*z[j])
				right.SetVec(i, right.AtVec(i)-v*w)
				for i2, v2 := range a {
					if i <= i2 {
						k.SetSym(i, i2, k.At(i, i2)+v*v2*z[j]/s[j])
					}
				}
			}
		}
		if gap < 1e-13 && off < 1e-11 && mat.Norm(rd, math.Inf(1)) < 1e-9 {
			return x
		}
		right.SubVec(right, rd)
		var ch mat.Cholesky
		require.True(t, ch.Factorize(k))
		if err := ch.SolveVecTo(dx, right); err != nil { // badly conditioned towards the end, as such methods are
			require.IsType(t, mat.Condition(0), err)
		}
		step := 1.0
		ds, dz := make([]float64, m), make([]float64, m)
		for j, a := range q.rows {
			ds[j] = -rp[j] - dot(a, dx.RawVector().Data)
			dz[j] = -(rc[j] + z[j]*ds[j]) / s[j]
			if ds[j] < 0 {
				step = math.Min(step, -0.99*s[j]/ds[j])
			}
			if dz[j] < 0 {
				step = math.Min(step, -0.99*z[j]/dz[j])
			}
		}
		for i := range x {
			x[i] += step * dx.AtVec(i)
		}
		for j := range s {
			s[j] += step * ds[j]
			z[j] += step * dz[j]
		}
	}
	require.Fail(t, "interior point did not arrive")
	return nil
}

// arriving puts up a run without friction as a quadratic problem, energies in units of
// T/p, and returns the place of one link at its first overlap; another has no tooth. With
// |φ| <= t for the line contact and free turns |v| <= φ0 for the slack,
//
//	M|φ| = min M·t, ½k max(|φ| - φ0, 0)² = min ½k(φ - v)²
func arriving(t *testing.T, r *Run, bend float64, how MarchOptions, link, freed int) float64 {
	how.fill()
	c := r.Chain
	s1 := FirstOverlap(r.To, c.PlateHalfHeight)
	behind := int(math.Ceil(s1/c.Pitch)) + how.Seated
	end := r.Length + float64(how.Seated+1)*c.Pitch
	if how.Half > 0 {
		end = how.Half
	}
	at := func(pin int) float64 { return s1 + (float64(pin-behind)-0.5)*c.Pitch }
	n := 1
	for at(n-1) < end-1e-9 {
		n++
	}
	unit := r.Tension / c.Pitch
	q := newQuadratic(3*n - 4)
	for i := 0; i+1 < n; i++ {
		q.square(1, map[int]float64{i: -1, i + 1: 1}, 0)
	}
	for i := 1; i+1 < n; i++ {
		v, turn := n+i-1, 2*n-2+i-1
		phi := map[int]float64{i - 1: 1 / c.Pitch, i: -2 / c.Pitch, i + 1: 1 / c.Pitch}
		with := func(j int, x, sign float64) map[int]float64 {
			a := map[int]float64{j: x}
			for k, y := range phi {
				a[k] = sign * y
			}
			return a
		}
		q.square(c.Stiffness/unit, with(v, -1, 1), 0)
		q.between(map[int]float64{v: 1}, 0, c.Slack)
		q.c[turn] = r.Tension * r.Contact / 2 / unit
		q.bound(with(turn, -1, 1), 0)
		q.bound(with(turn, -1, -1), 0)
	}
	across := r.Length * math.Sin(bend)
	for i := 0; i+1 < n; i++ {
		number := link - behind + i
		s := s1 + float64(i-behind)*c.Pitch
		w, centre, before := r.To, 0.0, s
		if s > r.Length/2 {
			w, centre, before = r.From, across, r.Length-s
		}
		if number == freed || how.Half > 0 && s > r.Length/2 || before > FirstOverlap(w, c.PlateHalfHeight)-1e-9 {
			continue
		}
		kind := Link(number & 1)
		depth := w.TipRadius*math.Cos(math.Max(before, 0)/w.PitchRadius) - w.PitchRadius + c.PlateHalfHeight
		play := (c.Width(kind) - w.Teeth[kind].Thickness(depth)) / 2
		for _, lever := range []float64{r.Tooth / 2 / c.Pitch, -r.Tooth / 2 / c.Pitch} {
			q.between(map[int]float64{i: 0.5 - lever, i + 1: 0.5 + lever}, centre, play)
		}
	}
	if how.Half > 0 {
		q.square(10*r.Tension/unit, map[int]float64{n - 1: 1}, at(n-1)*math.Sin(bend))
	}
	y := q.solve(t)
	return (y[behind] + y[behind+1]) / 2
}

// Without friction the equilibria are those of an interior-point method on the lifted
// problem, dense, half runs and whole ones.
func TestRunAgainstInteriorPoint(t *testing.T) {
	var m Marcher
	worst := 0.0
	for i := range 20 {
		run, bend := drawnRun(rand.New(rand.NewPCG(uint64(i), 3)), Duty(i/2%2))
		run.Seat = 0
		var how MarchOptions
		if i%2 == 1 {
			how.Half = 205
		}
		a, err := m.Arrive(&run, bend, how)
		require.NoError(t, err)
		in, out := arriving(t, &run, bend, how, 0, noLink), arriving(t, &run, bend, how, 1, 0)
		worst = math.Max(worst, math.Max(math.Abs(in-a.Inner), math.Abs(out-a.Outer)))
		assert.InDelta(t, in, a.Inner, 1e-6, "run %d, inner, mm", i)
		assert.InDelta(t, out, a.Outer, 1e-6, "run %d, outer, mm", i)
	}
	t.Logf("arriving links within %.2g mm", worst)
}
