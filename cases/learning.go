package cases

import (
	"math"
	"runtime"
	"slices"

	"chainpath/sim"
	"chainpath/sim/await"
	"chainpath/sim/infer"
	"chainpath/sim/judge"
)

// particles is how many possible bicycles learning keeps.
const particles = 500

// learning holds a case against what was seen of it.
type learning struct {
	c       *Case
	prior   *prior
	drawers []*Drawn // one for each goroutine
	names   []string // of readings
	slot    []int    // of every reading, its place among standard normals; -1: it is not drawn
	nominal *sim.Bike
	faults  []sim.Concern // of which something was seen
	model   *infer.Model
	wanted  []bool // gears of which something was seen
	beside  bool   // whether something was seen of neighbours
}

// newLearning prepares what was seen of a case, which starts from sets. Ready is what a caller
// does to everything that draws; nil for nothing. Errors are as of Draws.
func (c *Case) newLearning(sets [][]float64, seen []Seen, ready func(d *Drawn)) (*learning, error) {
	l := &learning{c: c, prior: newPrior(sets)}
	var err error
	if l.nominal, err = c.Bike(); err != nil {
		return nil, err
	}
	for range runtime.GOMAXPROCS(0) {
		d, err := c.Draws()
		if err != nil {
			return nil, err
		}
		if ready != nil {
			ready(d)
		}
		l.drawers = append(l.drawers, d)
	}
	n := len(freeNumbers)
	for _, name := range l.drawers[0].readingNames() {
		if name == "" {
			l.slot = append(l.slot, -1)
			continue
		}
		l.names, l.slot = append(l.names, name), append(l.slot, n+len(l.names))
	}
	gears := len(l.nominal.Rings) * len(l.nominal.Cogs)
	l.model = &infer.Model{Numbers: n + len(l.names), Places: infer.Places{Rows: len(l.nominal.Rings), Each: len(l.nominal.Cogs)}, Extra: len(lineNames)}
	l.wanted = make([]bool, gears)
	w := l.drawer(0)
	if _, is := w.judge(make([]float64, l.model.Numbers), nil); !is {
		w.all = nil
	}
	l.tell(seen, w.all)
	return l, nil
}

// tell sorts what was seen by fault and gear, so that its order does not matter. What the
// likeliest bicycle, whose chances may be nil, cannot have tells nothing.
func (l *learning) tell(seen []Seen, likeliest []sim.Chances) {
	told := make([][][]infer.Report, sim.NumConcerns) // by concern and gear
	anys := make([][]infer.Any, sim.NumConcerns)
	add := func(k sim.Concern, g int, r infer.Report) {
		if likeliest != nil && !likeliest[g].Is(k) {
			return
		}
		if told[k] == nil {
			told[k] = make([][]infer.Report, len(l.wanted))
		}
		told[k][g], l.wanted[g] = append(told[k][g], r), true
	}
	for i := range seen {
		s := &seen[i]
		mistake := 0.0
		if s.typed {
			mistake = 1 - s.Sure
		}
		if s.isAny {
			anys[s.one] = append(anys[s.one], infer.Any{Places: s.Gears, Mistake: mistake})
			for _, g := range s.Gears {
				l.wanted[g] = true
			}
			continue
		}
		for _, g := range s.Gears {
			for _, k := range s.none {
				add(k, g, infer.Report{Mistake: mistake})
			}
			if s.none == nil {
				add(s.one, g, infer.Report{Happened: true, Count: s.Off, Of: s.Of, Mistake: mistake})
			}
		}
	}
	for k := range told {
		if told[k] == nil && anys[k] == nil {
			continue
		}
		f := infer.Fault{Spread: *spreadOf(sim.Concern(k)), Any: anys[k]}
		for g, reports := range told[k] {
			if len(reports) > 0 {
				slices.SortFunc(reports, infer.Report.Compare)
				f.Told = append(f.Told, infer.Told{Place: g, Table: infer.NewTable(f.Spread, reports)})
			}
		}
		l.beside = l.beside || sim.Concern(k) == sim.RubsNextCog || sim.Concern(k) == sim.RubsNextRing
		l.faults, l.model.Faults = append(l.faults, sim.Concern(k)), append(l.model.Faults, f)
	}
}

// lineNames are the lines that a bicycle may be off by beside its case.
var lineNames = [...]string{"front line off the case's", "rear line off the case's", "front less rear, off"}

// drawer is what one goroutine judges possible bicycles with.
type drawer struct {
	l   *learning
	d   *Drawn
	o   sim.Odds
	set []float64
	all []sim.Chances
}

func (l *learning) drawer(i int) *drawer {
	return &drawer{l: l, d: l.drawers[i], set: make([]float64, len(freeNumbers)), all: make([]sim.Chances, len(l.wanted))}
}

// judge fills all with the chances of the wanted gears, or all with nil, and returns the bike.
func (w *drawer) judge(numbers []float64, wanted []bool) (*sim.Bike, bool) {
	w.l.prior.set(w.set, numbers)
	b, f, err := w.d.deviated(w.set, func(i int) float64 {
		if at := w.l.slot[i]; at >= 0 {
			return infer.Normal(numbers[at])
		}
		return 0.5
	})
	if err != nil {
		return nil, false
	}
	links, err := w.d.Chain(b)
	if err != nil {
		return nil, false
	}
	w.o.Only, w.o.Alone = wanted, wanted != nil && !w.l.beside
	return b, w.o.Gears(w.all, b, f, links) == nil
}

// evaluate is the Evaluate of package infer.
func (w *drawer) evaluate(numbers, levels []float64) bool {
	b, is := w.judge(numbers, w.l.wanted)
	if !is {
		return false
	}
	for h, k := range w.l.faults {
		for g := range w.all {
			levels[h*len(w.all)+g] = math.NaN()
			if w.l.wanted[g] && w.all[g].Is(k) {
				levels[h*len(w.all)+g] = spreadOf(k).Level(Unsure(k, w.all[g][k]))
			}
		}
	}
	front, rear := meanLine(b.Rings)-meanLine(w.l.nominal.Rings), meanLine(b.Cogs)-meanLine(w.l.nominal.Cogs)
	copy(levels[len(levels)-len(lineNames):], []float64{front, rear, front - rear})
	return true
}

func meanLine(w []sim.Wheel) float64 {
	sum := 0.0
	for i := range w {
		sum += w[i].Line
	}
	return sum / float64(len(w))
}

// learnt is a possible bicycle, with what the model and what was seen say of it.
type learnt struct {
	*infer.Particle
	set     []float64
	chances []sim.Chances // by the model alone
	faults  [][]float64   // chances of the faults of which something was seen, by gear; NaN: none
}

// run draws possible bicycles by what was seen. The same seed gives the same ones. Errors are
// *Error, or the case's Stopped.
func (l *learning) run(n int, seed uint64) (*infer.Cloud, []learnt, error) {
	cloud, err := l.cloud(n, seed)
	if err != nil {
		return nil, nil, err
	}
	all := make([]learnt, n)
	var wg await.Group
	for i := range l.drawers {
		wg.Go(func() {
			w := l.drawer(i)
			for k := i; k < n && l.c.Stopped() == nil; k += len(l.drawers) {
				all[k] = w.learnt(cloud.Particles[k])
			}
		})
	}
	wg.Wait()
	if err := l.c.Stopped(); err != nil {
		return nil, nil, err
	}
	all = slices.DeleteFunc(all, func(x learnt) bool { return x.chances == nil })
	if 2*len(all) < n {
		return nil, nil, l.c.fail("observations", "%d of %d possible bikes that fit them cannot be in other gears", n-len(all), n)
	}
	return cloud, all, nil
}

// cloud is run but for what is worked out of every possible bicycle at the end.
func (l *learning) cloud(n int, seed uint64) (*infer.Cloud, error) {
	var eval []infer.Evaluate
	for i := range l.drawers {
		eval = append(eval, l.drawer(i).evaluate)
	}
	cloud, err := infer.Learn(l.model, n, seed, eval, l.c.Stopped)
	switch {
	case l.c.Stopped() != nil:
		return nil, l.c.Stopped()
	case err != nil:
		return nil, l.c.fail("observations", "they leave too little to learn from: %s", err)
	}
	return cloud, nil
}

// learnt judges all gears of a possible bicycle; one that cannot be in gears of which nothing was
// seen has no chances.
func (w *drawer) learnt(p *infer.Particle) learnt {
	x := learnt{Particle: p}
	if _, is := w.judge(p.Numbers, nil); !is {
		return x
	}
	x.set, x.chances = slices.Clone(w.set), slices.Clone(w.all)
	for h, k := range w.l.faults {
		gears := make([]float64, len(w.all))
		for g := range gears {
			switch {
			case w.l.wanted[g]:
				gears[g] = w.l.model.FaultAt(p, h, g)
			case w.all[g].Is(k):
				gears[g] = spreadOf(k).Fault(Unsure(k, w.all[g][k]), p.Offsets[h][g])
			default:
				gears[g] = math.NaN()
			}
		}
		x.faults = append(x.faults, gears)
	}
	return x
}

// at returns the chance of a fault in a gear by all that was seen; below 0: there is none.
func (x *learnt) at(l *learning, g int, k sim.Concern) float64 {
	if h := slices.Index(l.faults, k); h >= 0 && x.chances[g].Is(k) {
		return x.faults[h][g]
	}
	return x.chances[g][k]
}

// sum returns the chances of all faults that can be observed.
func (x *learnt) sum(l *learning) (sum float64) {
	for g := range x.chances {
		for k := range sim.NumConcerns {
			if p := x.at(l, g, sim.Concern(k)); p > 0 && sim.Hazards[k].Seen != "" {
				sum += p
			}
		}
	}
	return sum
}

// start returns a possible bicycle as sets are kept, with what was learned of it.
func (x *learnt) start(l *learning, form *learnedForm) start {
	s := start{set: x.set, own: &learnedOf{form: form}}
	for _, z := range x.Numbers[len(freeNumbers):] {
		s.own.readings = append(s.own.readings, infer.Normal(z))
	}
	for h, k := range l.faults {
		offsets := slices.Clone(x.Offsets[h])
		for g, fault := range x.faults[h] {
			if !math.IsNaN(fault) && l.wanted[g] {
				offsets[g] = offsetOf(k, x.chances[g][k], fault)
			}
		}
		s.own.offsets = append(s.own.offsets, offsets)
	}
	return s
}

func (l *learning) form() *learnedForm {
	return &learnedForm{readings: l.names, faults: l.faults, rings: len(l.nominal.Rings), cogs: len(l.nominal.Cogs)}
}

// rates returns what is known of the share of tries in which a fault happens in a gear; nil where
// there is no such thing.
func (l *learning) rates(all []learnt, k sim.Concern, g int) *infer.Rates {
	h := slices.Index(l.faults, k)
	c := spreadOf(k).Counter(h >= 0)
	if h >= 0 {
		for _, t := range l.model.Faults[h].Told {
			if t.Place == g {
				c = t.Table.Counter()
			}
		}
	}
	for i := range all {
		x := &all[i]
		if !x.chances[g].Is(k) {
			return nil
		}
		level := spreadOf(k).Level(Unsure(k, x.chances[g][k]))
		if h >= 0 {
			level -= x.Offsets[h][g]
		}
		c.Add(x.Mistake, level)
	}
	return c.Rates()
}

// FaultsFrom returns the chances of every gear of a case by sets and what was seen, with its front
// and rear lines uncertain by so much (Drawn.Assume): means over the possible bicycles, kept off 0
// and 1. Errors are as of Learn.
func (c *Case) FaultsFrom(sets [][]float64, seen []Seen, front, rear float64) ([]sim.Chances, error) {
	l, err := c.newLearning(sets, seen, func(d *Drawn) { d.Assume(front, rear) })
	if err != nil {
		return nil, err
	}
	_, all, err := l.run(particles, 0)
	if err != nil {
		return nil, err
	}
	return l.means(all), nil
}

// means returns the mean chances over possible bicycles, before they are written down.
func (l *learning) means(all []learnt) []sim.Chances {
	out := make([]sim.Chances, len(l.wanted))
	for g := range out {
		for k := range sim.NumConcerns {
			sum := 0.0
			for i := range all {
				sum += all[i].at(l, g, sim.Concern(k)) / float64(len(all))
			}
			out[g][k] = judge.Settled(sim.Concern(k), sum)
		}
	}
	return out
}
