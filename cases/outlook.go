package cases

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"sort"

	"chainpath/sim"
	"chainpath/sim/decide"
	"chainpath/sim/elementary"
	"chainpath/sim/judge"
	"chainpath/sim/learn"
)

// Outlook holds the chances of a bike by each version, with the chainring moved by each of some
// shifts.
type Outlook struct {
	c      *Case
	b      *sim.Bike
	draws  []judge.Draw
	starts []start
	tries  map[triesAt]*learn.Tries // as they were asked for
}

// Outlook looks at a case with its rings moved outboard by each of the shifts, mm; the
// first is 0. Errors are as of Chances.
func (c *Case) Outlook(shifts []float64) (*Outlook, error) {
	o := &Outlook{c: c}
	var err error
	if o.b, err = c.Bike(); err != nil {
		return nil, err
	}
	if o.starts, err = c.starts(); err != nil {
		return nil, err
	}
	o.draws, err = c.draw(shifts)
	return o, err
}

// Sets returns the chances of every gear by each version that can be, with the rings as they are.
func (o *Outlook) Sets() (out [][]sim.Chances) {
	for _, d := range o.draws {
		if d.Err == nil {
			out = append(out, d.Chances[0])
		}
	}
	return out
}

// Mean returns the mean chance of a concern in some gears by a version that can be; a gear that has no such
// thing counts 0.
func (o *Outlook) Mean(version int, gears []int, k sim.Concern) (sum float64) {
	for _, g := range gears {
		sum += max(o.draws[version].Chances[0][g][k], 0) / float64(len(gears))
	}
	return sum
}

// Choice returns the trouble of every shift under every set; sets that cannot be weigh
// nothing. Errors wrap decide.ErrWeights.
func (o *Outlook) Choice(w *decide.Weights) (*decide.Choice, error) {
	share, err := o.c.Shares(o.b)
	if err != nil {
		return nil, err
	}
	mounts, err := o.c.mounts()
	if err != nil {
		return nil, err
	}
	c := &decide.Choice{Weight: make([]float64, len(o.draws))}
	for k, d := range o.draws {
		for i := range d.Chances { // none of a draw that cannot be
			if i >= len(c.Trouble) {
				c.Trouble = append(c.Trouble, make([]float64, len(o.draws)))
			}
			t, err := ofSet(d.Chances[i], o.starts[k].set, mounts, share, w)
			if err != nil {
				return nil, err
			}
			c.Weight[k], c.Trouble[i][k] = 1, t.Sum
		}
	}
	return c, nil
}

// Test is something that can be tried or measured on a bike as it is, with the chance of
// each outcome under every drawn set.
type Test struct {
	Text    string
	Minutes float64 // about, by our own guess
	Likely  decide.Experiment
}

// tried are the concerns that there is a trial of, what is counted first.
func tried() []sim.Concern {
	list := sim.Concerns(func(h *sim.Hazard) bool { return h.Trial.Minutes > 0 })
	slices.SortStableFunc(list, func(a, b sim.Concern) int { return sim.Hazards[b].Trial.Of - sim.Hazards[a].Trial.Of })
	return list
}

// gauge is an unknown that a hand tool measures.
type gauge struct {
	name    string  // of a free number
	within  float64 // standard uncertainty in its unit (assumption)
	text    string
	minutes float64
}

var gauges = []gauge{
	{"chain.slack", 0.1, "measure the chain's side play with two sags: chainpath measure sag", 15},
	{"chain.stiffness", 15, "measure the joints' stiffness with a hung weight: chainpath measure stiffness", 15},
	{"chain.width", 0.15, "measure the chain's width over the rivets with calipers", 1},
	{"chain.inner_width", 0.02, "measure the inside width of an inner link with calipers", 2},
	{"chain.plate_height", 0.05, "measure the plates' height with calipers", 1},
	{"front.tooth.tip_thickness", 0.06, "measure the chainring's tips with calipers: chainpath measure widths", 3},
	{"rear.tooth.tip_thickness", 0.06, "measure the cogs' tips with calipers: chainpath measure widths", 3},
	{"rear.tooth.thickness", 0.03, "measure the cogs' teeth at the root with calipers: chainpath measure widths", 3},
	{"front.ring_pitch", 0.15, "measure from chainring to chainring with a depth gauge", 3},
	{"shift pins", 0.15, "measure how far pins and ramps stand proud of the larger chainring's inner side", 3},
}

// lines are read as well as this with calipers and depth gauge, mm (assumption).
const lineWithin = 0.3

// Tests lists what can be tried or measured, without what has been seen already.
func (o *Outlook) Tests() (list []Test, err error) {
	seen, err := o.c.Seen()
	if err != nil {
		return nil, err
	}
	for _, k := range tried() {
		t := &sim.Hazards[k].Trial
		for g := range len(o.b.Rings) * len(o.b.Cogs) {
			if wasSeen(seen, g, k) {
				continue
			}
			if e := o.tried(g, k, t.Of); e != nil {
				ring, cog := o.b.Rings[g/len(o.b.Cogs)].Teeth, o.b.Cogs[g%len(o.b.Cogs)].Teeth
				list = append(list, Test{fmt.Sprintf(t.Text, ring, cog), t.Minutes, e})
			}
		}
	}
	given := map[string]bool{}
	walk(reflect.ValueOf(o.c).Elem(), "", func(path string, q *Quantity) { given[path] = q.Given })
	for _, g := range gauges {
		if i := freeNumber(g.name); !given[g.name] {
			list = append(list, Test{g.text, g.minutes, o.measured(g.within, func(k int) float64 { return freeNumbers[i].At(o.starts[k].set[i]) })})
		}
	}
	for i, text := range [...]string{"measure the front chainline again: chainpath measure front", "measure the rear chainline again: chainpath measure rear"} {
		list = append(list, Test{text, 5, o.measured(lineWithin, func(k int) float64 { return o.draws[k].Lines[i] })})
	}
	return list, nil
}

// wasSeen reports whether something of a concern was seen in a gear.
func wasSeen(seen []learn.Seen, gear int, k sim.Concern) bool {
	for i := range seen {
		s := &seen[i]
		of := s.Moved == 0 && s.One == k
		for _, n := range s.None {
			of = of || s.Moved == 0 && n == k
		}
		for _, g := range s.Gears {
			if of && g == gear {
				return true
			}
		}
	}
	return false
}

func freeNumber(name string) int {
	for i := range freeNumbers {
		if freeNumbers[i].Name == name {
			return i
		}
	}
	panic("cases: no free number " + name)
}

// tried returns the outcomes of trying a gear: how often of so many it happened, or whether
// it did; nil where there is no such thing.
func (o *Outlook) tried(gear int, k sim.Concern, of int) decide.Experiment {
	s := learn.Seen{Gears: []int{gear}, Sure: learn.Surely, Of: of, One: k}
	count := o.counts(k, of)
	e := make(decide.Experiment, max(of, 1)+1)
	for n := range e {
		e[n] = make([]float64, len(o.draws))
		for i, d := range o.draws {
			if d.Err != nil {
				e[n][i] = 1 / float64(len(e))
				continue
			}
			p := d.Chances[0][gear]
			if !p.Is(k) {
				return nil
			}
			right := s.Chance(d.Chances[0])
			switch {
			case of > 0:
				right = count.Of(p[k], n)
			case n == 0:
				right = 1 - right
			}
			e[n][i] = s.Sure*right + (1-s.Sure)*s.Wrong(right)
		}
	}
	return e
}

// counts returns the chances of counts of tries; nil of none.
func (o *Outlook) counts(k sim.Concern, of int) *learn.Tries {
	if of == 0 {
		return nil
	}
	at := triesAt{k, o.c.Learned != nil && slices.Contains(o.c.Learned.Faults, k.String()), of}
	if o.tries[at] == nil {
		if o.tries == nil {
			o.tries = map[triesAt]*learn.Tries{}
		}
		o.tries[at] = learn.TriesOf(k, at.known, of)
	}
	return o.tries[at]
}

// triesAt are tries of a fault; known says whether the bike's offset is known.
type triesAt struct {
	k     sim.Concern
	known bool
	of    int
}

// readings is into how many likely ranges what a tool reads is cut.
const readings = 8

// measured returns the outcomes of reading a number with a standard uncertainty: the chance
// of each of the ranges that hold equally many sets.
func (o *Outlook) measured(within float64, of func(set int) float64) decide.Experiment {
	var values []float64
	for k, d := range o.draws {
		if d.Err == nil {
			values = append(values, of(k))
		}
	}
	sort.Float64s(values)
	edges := []float64{math.Inf(-1)}
	for i := 1; i < readings; i++ {
		edges = append(edges, values[i*len(values)/readings])
	}
	edges = append(edges, math.Inf(1))
	e := make(decide.Experiment, readings)
	for n := range e {
		e[n] = make([]float64, len(o.draws))
		for k, d := range o.draws {
			if d.Err != nil {
				e[n][k] = 1.0 / readings
				continue
			}
			below := func(x float64) float64 { return elementary.Erfc((of(k)-x)/(math.Sqrt2*within)) / 2 }
			e[n][k] = below(edges[n+1]) - below(edges[n])
		}
	}
	return e
}
