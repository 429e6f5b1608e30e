package indexing

import (
	"math"
	"math/rand/v2"
	"sort"

	"chainpath/sim/elementary"
)

// History is what happened before shifts went wrong.
type History struct{ Crash, Swap bool }

// Suspect is a fault as the cause of what was seen.
type Suspect struct {
	Fault  Fault
	Share  float64 // chance that it is the one, of those listed
	Like   float64 // likelihood of what was seen under it, in a unit of its own
	Size   float64 // mean, unsigned, in Plant's unit
	Signed float64 // mean
	At     int     // likeliest place; -1: it has none
	AtIs   float64 // chance of that place, were it the fault
}

// stream is the random stream of simulated bicycles.
const stream = 29

// Bicycle is a simulated one.
type Bicycle struct {
	Rear  *Rear
	Draw  *Draw
	Plant Plant
}

// Inferred holds the simulated bikes that fit what was seen, and the faults they have.
type Inferred struct {
	Suspects []Suspect // likeliest first
	Left     []Bicycle
	Size     float64 // how many simulated bicycles what was seen leaves, in effect
}

// Infer simulates bicycles that have a fault each, so many of each fault, and weighs them by
// how likely they show what was seen and by how often each fault is the one. The unknowns are
// gone through in turn. Left are so many bicycles drawn from that.
func Infer(base *Rear, a *Around, unknowns []Unknowns, faults []Fault, was History, seen []Sight, each, left int) *Inferred {
	n := len(base.Planes)
	r, on := new(Rear), newRings(max(1, len(a.Straight)))
	var logs []float64
	var plants []Plant
	draws := Draws(unknowns, n, each) // alike for every fault
	most := math.Inf(-1)
	for _, f := range faults {
		rng := rand.New(rand.NewPCG(uint64(f), stream+1))
		prior := math.Log(kinds[f].prior(was))
		for i := range each {
			r.from(base)
			p := f.Draw(base, a, rng)
			p.Into(r)
			on.of(r, draws[i], p, a)
			log := prior
			for _, s := range seen {
				log += s.Log(r, on.each)
			}
			most = math.Max(most, log)
			logs, plants = append(logs, log), append(plants, p)
		}
	}
	weights, sum, squares := make([]float64, len(logs)), 0.0, 0.0
	for i, l := range logs {
		weights[i] = elementary.Exp(l - most)
		sum += weights[i]
		squares += weights[i] * weights[i]
	}
	out := &Inferred{Size: sum * sum / squares}
	for k := range faults {
		own := k * each
		s := suspect(plants[own:own+each], weights[own:own+each], n)
		s.Like = s.Share / kinds[faults[k]].prior(was)
		s.Share /= sum
		out.Suspects = append(out.Suspects, s)
	}
	sort.SliceStable(out.Suspects, func(i, j int) bool { return out.Suspects[i].Share > out.Suspects[j].Share })
	i, passed := 0, weights[0]
	for k := range left { // evenly along the weights
		for at := (float64(k) + 0.5) / float64(left) * sum; passed < at && i+1 < len(weights); {
			i++
			passed += weights[i]
		}
		own := base.Clone()
		plants[i].Into(own)
		if plants[i].Fault == ChainLine {
			own.Leans(plants[i].Size, a.Straight[0])
		}
		out.Left = append(out.Left, Bicycle{own, draws[i%each], plants[i]})
	}
	return out
}

// Draws returns so many bicycles of n cogs, the unknowns gone through in turn; always the same ones.
func Draws(unknowns []Unknowns, n, each int) []*Draw {
	draws := make([]*Draw, each)
	for i := range draws {
		draws[i] = unknowns[i%len(unknowns)].Draw(n, rand.New(rand.NewPCG(uint64(i), stream)))
	}
	return draws
}

// rings are the margins on each ring: the same but where the top run's lean is the fault.
type rings struct {
	own   []Margins
	each  []*Margins
	leant Rear
}

func newRings(n int) *rings { return &rings{own: make([]Margins, n), each: make([]*Margins, n)} }

func (o *rings) of(r *Rear, d *Draw, p Plant, a *Around) {
	if p.Fault != ChainLine {
		o.own[0].Of(r, d)
		for i := range o.each {
			o.each[i] = &o.own[0]
		}
		return
	}
	// One setting for all of them: that which is best on the first.
	for i := range o.each {
		o.leant.from(r)
		o.leant.Leans(p.Size, a.Straight[i])
		o.own[i].Of(&o.leant, d)
		o.own[i].Adjust = o.own[0].Adjust
		o.each[i] = &o.own[i]
	}
}

func (k *kind) prior(was History) float64 {
	p := k.share
	if was.Crash {
		p *= k.crash
	}
	if was.Swap {
		p *= k.swap
	}
	return p
}

// suspect gathers a fault's simulated bicycles.
func suspect(plants []Plant, weights []float64, n int) Suspect {
	s := Suspect{Fault: plants[0].Fault, At: -1}
	places := make([]float64, n)
	for i, x := range weights {
		s.Share += x
		s.Size += x * math.Abs(plants[i].Size)
		s.Signed += x * plants[i].Size
		if at := plants[i].At; at >= 0 {
			places[at] += x
		}
	}
	if s.Share == 0 {
		return s
	}
	s.Size, s.Signed = s.Size/s.Share, s.Signed/s.Share
	for k, x := range places {
		if x > 0 && x/s.Share > s.AtIs {
			s.At, s.AtIs = k, x/s.Share
		}
	}
	return s
}
