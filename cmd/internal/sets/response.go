package main

import (
	"fmt"
	"io"
	"math"
	"sync"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/samplemv"

	"chainpath/geom"
	"chainpath/sim"
	"chainpath/sim/engage"
)

// Numbers of marched runs that a response is fitted to, and of those it is tried on.
const (
	fitted = 12000
	tried  = 2000
)

// How runs are carried for a response: a share of what coarser ones are off by is theirs, not the
// fit's.
const (
	pitches = 18
	seated  = 7
)

// weak holds the coefficients towards zero, against points that nearly repeat.
const weak = 1e-6

// sample is a marched run.
type sample struct {
	q  engage.Query
	a  engage.Offsets
	ok bool
}

// classes are the upper ends of the bends by which it is told how far a response lies off, degrees.
var classes = [...]float64{1.5, 3, 4, 5.5}

// makeResponse marches runs over the whole range and fits the response, and says by kind of wheel and
// class of bends how far it lies off on runs it was not fitted to.
func makeResponse(w io.Writer) (*engage.Response, error) {
	var r engage.Response
	fmt.Fprintln(w, "off by, root mean square, mm, on runs that it was not fitted to:\n| wheel | links |", "bend to 1.5° | 3° | 4° | 5.5° |")
	for i, kind := range engage.Kinds() {
		s := marchAll(kind, i, fitted+tried)
		a := mat.NewSymDense(engage.NumTerms, nil)
		b := [2]*mat.VecDense{mat.NewVecDense(engage.NumTerms, nil), mat.NewVecDense(engage.NumTerms, nil)}
		var t [engage.NumTerms]float64
		n := 0.0
		for _, x := range s[:fitted] {
			if !x.ok {
				continue
			}
			n++
			x.q.Terms(kind, &t)
			v := mat.NewVecDense(engage.NumTerms, t[:])
			a.SymRankOne(a, 1, v)
			b[0].AddScaledVec(b[0], x.a.Inner, v)
			b[1].AddScaledVec(b[1], x.a.Outer, v)
		}
		for i := range engage.NumTerms {
			a.SetSym(i, i, a.At(i, i)+weak*n)
		}
		var chol mat.Cholesky
		if !chol.Factorize(a) {
			return nil, fmt.Errorf("response: normal equations are singular")
		}
		for k := range b {
			var c mat.VecDense
			if err := chol.SolveVecTo(&c, b[k]); err != nil {
				return nil, err
			}
			copy(r[i][k][:], c.RawVector().Data)
		}
		off(w, kind, &r[i], s[fitted:])
	}
	return &r, nil
}

// off prints how far a fit lies off runs that it was not fitted to.
func off(w io.Writer, kind engage.Kind, fit *[2][engage.NumTerms]float64, runs []sample) {
	var t [engage.NumTerms]float64
	var sums [2][len(classes)]float64
	var counts [len(classes)]float64
	for _, x := range runs {
		if !x.ok {
			continue
		}
		x.q.Terms(kind, &t)
		class := 0
		for class < len(classes)-1 && sim.Degrees(x.q.Bend) > classes[class] {
			class++
		}
		counts[class]++
		for k, y := range [2]float64{x.a.Inner, x.a.Outer} {
			sum := 0.0
			for i, c := range fit[k] {
				sum += c * t[i]
			}
			sums[k][class] += (max(sum, 0) - y) * (max(sum, 0) - y)
		}
	}
	name := [2]string{"idle", "driven"}[kind.Duty] + map[bool]string{false: ", plain", true: ", wide and narrow"}[kind.Alternate]
	for k := range sums {
		fmt.Fprintf(w, "| %s | %s |", name, engage.Link(k))
		for class, sum := range sums[k] {
			fmt.Fprintf(w, " %.3f |", math.Sqrt(sum/counts[class]))
		}
		fmt.Fprintln(w)
	}
}

// marchAll marches n runs spread over the range of a kind of wheel by a Halton sequence.
func marchAll(kind engage.Kind, seed, n int) []sample {
	dims := len(engage.ResponseRanges(kind)) + 1
	points := mat.NewDense(n, dims, nil)
	samplemv.Halton{Kind: samplemv.Owen, Q: unit{dims}, Src: source(int64(seed) + 1)}.Sample(points)
	out := make([]sample, n)
	var wg sync.WaitGroup
	const workers = 2
	for w := range workers {
		wg.Add(1)
		go func() {
			defer wg.Done()
			var m engage.Marcher
			for i := w; i < n; i += workers {
				out[i] = marchOne(&m, kind, points.RawRowView(i))
			}
		}()
	}
	wg.Wait()
	return out
}

// relief is that of the teeth that are marched; only how deep they are full counts.
const relief = 17

func marchOne(m *engage.Marcher, kind engage.Kind, u []float64) sample {
	r := engage.ResponseRanges(kind)
	at := func(i int) float64 { return r[i][0] + u[i]*(r[i][1]-r[i][0]) }
	tension, hold := math.Exp(math.Log(2)+u[len(r)]*math.Log(12.5)), 1.0
	if kind.Duty == engage.Driven {
		tension, hold = math.Exp(math.Log(60)+u[len(r)]*math.Log(25)), 0.85
	}
	q := engage.Query{
		Bend: sim.Radians(at(0)), Tension: tension, Stiffness: math.Exp(at(1)) * tension * sim.Pitch, Slack: sim.Radians(at(2)),
		Contact: at(3), Seat: at(4), Teeth: math.Round(1 / at(5)), PlayInner: at(6), PlayOuter: at(7), Overlap: at(8), Deep: at(9), Length: 1 / at(10),
	}
	const halfPlate = 4
	tooth := func(full float64) engage.Tooth {
		return engage.Tooth{Tip: full - 2*q.Deep*math.Tan(sim.Radians(relief)), Full: full, Relief: sim.Radians(relief)}
	}
	narrow, wide := 2.4, 2.4
	if kind.Alternate {
		wide = 3.4
	}
	wheel := func(teeth int, overlap float64, in, out engage.Tooth) engage.Wheel {
		p := geom.PolygonRadius(sim.Pitch, teeth)
		return engage.Wheel{PitchRadius: p, TipRadius: p + overlap - halfPlate, Teeth: [2]engage.Tooth{engage.Inner: in, engage.Outer: out}}
	}
	chain := engage.Chain{Pitch: sim.Pitch, InnerWidth: narrow + 2*q.PlayInner, OuterWidth: wide + 2*q.PlayOuter, PlateHalfHeight: halfPlate, Bevel: 0.4, Slack: q.Slack, Stiffness: q.Stiffness}
	other := engage.Tooth{Tip: 1, Full: 1.6, Relief: sim.Radians(relief)}
	run := engage.Run{
		Chain: chain, To: wheel(int(q.Teeth), q.Overlap, tooth(narrow), tooth(wide)), From: wheel(32, halfPlate+2.3, other, other), Length: q.Length, Tension: tension,
		Contact: q.Contact, Seat: q.Seat, ToHold: hold, Tooth: 2.4,
	}
	// Where links lie on the wheel that they leave comes by the length of the run, and is not known
	// of a bike: the mean over two that differ by half a pitch.
	x := sample{q: q, ok: true}
	for _, more := range [2]float64{-sim.Pitch / 4, sim.Pitch / 4} {
		run.Length = q.Length + more
		a, err := m.Arrive(&run, q.Bend, engage.MarchOptions{Pitches: pitches, Seated: seated})
		x.a.Inner, x.a.Outer, x.ok = x.a.Inner+a.Inner/2, x.a.Outer+a.Outer/2, x.ok && err == nil
	}
	return x
}
