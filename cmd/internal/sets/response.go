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
	fitted = 8000
	tried  = 1000
)

// weak holds the coefficients towards zero, against points that nearly repeat.
const weak = 1e-6

// sample is a marched run.
type sample struct {
	q  engage.Query
	a  engage.Offsets
	ok bool
}

// makeResponse marches runs over the whole range and fits the response, and says how
// far it lies off on runs it was not fitted to.
func makeResponse(w io.Writer) (*engage.Response, error) {
	var r engage.Response
	for load := engage.Idle; load <= engage.Driven; load++ {
		s := marchAll(load, fitted+tried)
		var good []sample
		for _, x := range s[:fitted] {
			if x.ok {
				good = append(good, x)
			}
		}
		a := mat.NewSymDense(engage.NumTerms, nil)
		b := [2]*mat.VecDense{mat.NewVecDense(engage.NumTerms, nil), mat.NewVecDense(engage.NumTerms, nil)}
		var t [engage.NumTerms]float64
		for _, x := range good {
			x.q.Terms(load, &t)
			v := mat.NewVecDense(engage.NumTerms, t[:])
			a.SymRankOne(a, 1, v)
			b[0].AddScaledVec(b[0], x.a.Inner, v)
			b[1].AddScaledVec(b[1], x.a.Outer, v)
		}
		for i := range engage.NumTerms {
			a.SetSym(i, i, a.At(i, i)+weak*float64(len(good)))
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
			copy(r[load][k][:], c.RawVector().Data)
		}
		var off [2]float64
		n := 0
		for _, x := range s[fitted:] {
			if !x.ok {
				continue
			}
			x.q.Terms(load, &t)
			n++
			for k, y := range [2]float64{x.a.Inner, x.a.Outer} {
				sum := 0.0
				for i, c := range r[load][k] {
					sum += c * t[i]
				}
				off[k] += (sum - y) * (sum - y)
			}
		}
		fmt.Fprintf(w, "response %d: %d runs of %d fitted; off by %.3f mm (inner) and %.3f mm (outer), root mean square, on %d others\n",
			load, len(good), fitted, math.Sqrt(off[0]/float64(n)), math.Sqrt(off[1]/float64(n)), n)
	}
	return &r, nil
}

// marchAll marches n runs spread over the range of a load by a Halton sequence.
func marchAll(load engage.Duty, n int) []sample {
	dims := len(engage.ResponseRanges(load)) + 1
	points := mat.NewDense(n, dims, nil)
	samplemv.Halton{Kind: samplemv.Owen, Q: unit{dims}, Src: source(int64(load) + 1)}.Sample(points)
	out := make([]sample, n)
	var wg sync.WaitGroup
	const workers = 2
	for w := range workers {
		wg.Add(1)
		go func() {
			defer wg.Done()
			var m engage.Marcher
			for i := w; i < n; i += workers {
				out[i] = marchOne(&m, load, points.RawRowView(i))
			}
		}()
	}
	wg.Wait()
	return out
}

func marchOne(m *engage.Marcher, load engage.Duty, u []float64) sample {
	r := engage.ResponseRanges(load)
	at := func(i int) float64 { return r[i][0] + u[i]*(r[i][1]-r[i][0]) }
	tension, hold := math.Exp(math.Log(2)+u[9]*math.Log(12.5)), 1.0
	if load == engage.Driven {
		tension, hold = math.Exp(math.Log(60)+u[9]*math.Log(25)), 0.85
	}
	q := engage.Query{
		Bend: sim.Radians(at(0)), Tension: tension, Stiffness: math.Exp(at(1)) * tension * sim.Pitch, Slack: sim.Radians(at(2)),
		Contact: at(3), Seat: at(4), Teeth: math.Round(1 / at(5)), PlayInner: at(6), PlayOuter: at(7), Length: 1 / at(8),
	}
	const full = 1.6
	wheel := func(teeth int) engage.Wheel {
		t := engage.Tooth{Tip: 1, Full: full, Relief: sim.Radians(17)}
		p := geom.PolygonRadius(sim.Pitch, teeth)
		return engage.Wheel{PitchRadius: p, TipRadius: p + 2.3, Teeth: [2]engage.Tooth{t, t}}
	}
	run := engage.Run{
		Chain: engage.Chain{Pitch: sim.Pitch, InnerWidth: full + 2*q.PlayInner, OuterWidth: full + 2*q.PlayOuter, PlateHalfHeight: 4, Bevel: 0.4, Slack: q.Slack, Stiffness: q.Stiffness},
		To:    wheel(int(q.Teeth)), From: wheel(32), Length: q.Length, Tension: tension,
		Contact: q.Contact, Seat: q.Seat, ToHold: hold, Tooth: 2.4,
	}
	a, err := m.Arrive(&run, q.Bend, engage.MarchOptions{})
	return sample{q, a, err == nil}
}
