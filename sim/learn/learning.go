package learn

import (
	"cmp"
	"math"
	"runtime"
	"slices"

	"chainpath/sim"
	"chainpath/sim/infer"
	"chainpath/sim/judge"
)

// Particles is how many possible bicycles learning keeps.
const Particles = 500

// Source is a bicycle to learn about. Who knows what is not known of it is not said here.
type Source struct {
	Nominal *sim.Bike // without doubt
	// Branch says, of every free number, which one says which way each set is judged by; itself: there is none.
	Branch []int
	// Readings are names of what else is drawn, "" where it is not; the last two, whether front and rear
	// line were misread.
	Readings []string
	// Drawer makes what draws possible bicycles, for one goroutine.
	Drawer func() (Drawer, error)
	// Fail makes an error of what was seen; Explain names the field behind one of package sim; Stopped tells that the work was given up.
	Fail    func(format string, args ...any) error
	Explain func(error) error
	Stopped func() error
}

// Drawer draws possible bicycles; it is for one goroutine.
type Drawer interface {
	// Deviated returns the bike at shares of the free numbers and deviates of all readings, 0 to 1.
	Deviated(set []float64, reading func(i int) float64) (*sim.Bike, *sim.Free, error)
	// Chain returns the links of such a bike's chain.
	Chain(b *sim.Bike) (int, error)
}

// Misread is the chance that a line was misread; it was where the deviate is beyond the rest
// (assumption).
const Misread = 0.1

// Learning holds a bicycle against what was seen of it.
type Learning struct {
	Source
	Model   *infer.Model
	prior   *prior
	drawers []Drawer      // one for each goroutine
	names   []string      // of readings
	slot    []int         // of every reading, its place among standard normals; -1: it is not drawn
	faults  []sim.Concern // of which something was seen
	moved   []float64     // how far outboard rings stood when something was seen besides, mm, rising
	also    [][]bool      // gears of which something was seen then
	wanted  []bool        // gears of which something was seen
	beside  bool          // whether something was seen of neighbours
}

// New prepares what was seen of a bicycle that starts from sets of shares of the free numbers. Errors are
// those of the drawer.
func New(from Source, sets [][]float64, seen []Seen) (*Learning, error) {
	l := &Learning{Source: from, prior: newPrior(sets, from.Branch)}
	for range runtime.GOMAXPROCS(0) {
		d, err := from.Drawer()
		if err != nil {
			return nil, err
		}
		l.drawers = append(l.drawers, d)
	}
	n := len(from.Branch)
	for _, name := range from.Readings {
		if name == "" {
			l.slot = append(l.slot, -1)
			continue
		}
		l.names, l.slot = append(l.names, name), append(l.slot, n+len(l.names))
	}
	gears := len(from.Nominal.Rings) * len(from.Nominal.Cogs)
	l.Model = &infer.Model{Numbers: n + len(l.names), Places: infer.Places{Rows: len(from.Nominal.Rings), Each: len(from.Nominal.Cogs)}, Extra: len(lineNames)}
	l.wanted = make([]bool, gears)
	w := l.Judge(0)
	if _, is := w.Of(make([]float64, l.Model.Numbers), nil); !is {
		w.All = nil
	}
	l.tell(seen, w.All)
	return l, nil
}

// tell sorts what was seen by fault, change and gear, so that its order does not matter. What the
// likeliest bicycle, whose chances may be nil, cannot have tells nothing.
func (l *Learning) tell(seen []Seen, likeliest []sim.Chances) {
	l.moved = Changes(seen)
	l.also = make([][]bool, len(l.moved))
	for i := range l.also {
		l.also[i] = make([]bool, len(l.wanted))
	}
	type place struct{ tried, gear int }
	told := make([]map[place][]infer.Report, sim.NumConcerns)
	anys := make([][]infer.Any, sim.NumConcerns)
	add := func(k sim.Concern, at place, r infer.Report) {
		if likeliest != nil && !likeliest[at.gear].Is(k) {
			return
		}
		if told[k] == nil {
			told[k] = map[place][]infer.Report{}
		}
		told[k][at] = append(told[k][at], r)
		l.want(at.tried)[at.gear] = true
	}
	for i := range seen {
		s := &seen[i]
		tried, mistake := l.tried(s), 0.0
		if s.Typed {
			mistake = 1 - s.Sure
		}
		if s.Any {
			anys[s.One] = append(anys[s.One], infer.Any{Places: s.Gears, Tried: tried, Mistake: mistake})
			for _, g := range s.Gears {
				l.want(tried)[g] = true
			}
			continue
		}
		for _, g := range s.Gears {
			for _, k := range s.None {
				add(k, place{tried, g}, infer.Report{Mistake: mistake})
			}
			if s.None == nil {
				add(s.One, place{tried, g}, infer.Report{Happened: true, Count: s.Off, Of: s.Of, Mistake: mistake})
			}
		}
	}
	for k := range told {
		if told[k] == nil && anys[k] == nil {
			continue
		}
		f := infer.Fault{Spread: *SpreadOf(sim.Concern(k)), Any: anys[k]}
		for at, reports := range told[k] {
			slices.SortFunc(reports, infer.Report.Compare)
			f.Told = append(f.Told, infer.Told{Place: at.gear, Tried: at.tried, Table: infer.NewTable(f.Spread, reports)})
		}
		slices.SortFunc(f.Told, func(a, b infer.Told) int {
			return cmp.Or(cmp.Compare(a.Tried, b.Tried), cmp.Compare(a.Place, b.Place))
		})
		l.beside = l.beside || sim.Concern(k) == sim.RubsNextCog || sim.Concern(k) == sim.RubsNextRing
		l.faults, l.Model.Faults = append(l.faults, sim.Concern(k)), append(l.Model.Faults, f)
	}
	l.Model.Tried = len(l.moved)
}

// Changes lists how far outboard rings stood when something was seen besides, mm, each once and rising.
func Changes(seen []Seen) (moved []float64) {
	for i := range seen {
		if m := seen[i].Moved; m != 0 {
			moved = append(moved, m)
		}
	}
	slices.Sort(moved)
	return slices.Compact(moved)
}

// tried returns the number of the change that something was seen with; 0: none.
func (l *Learning) tried(s *Seen) int { return 1 + slices.Index(l.moved, s.Moved) }

// want returns the gears of which something was seen with a change, by its number.
func (l *Learning) want(tried int) []bool {
	if tried == 0 {
		return l.wanted
	}
	return l.also[tried-1]
}

// lineNames are the lines that a bicycle may be off by beside its case.
var lineNames = [...]string{"front line off the case's", "rear line off the case's", "front less rear, off"}

// Judge is what one goroutine judges possible bicycles with.
type Judge struct {
	Set []float64     // of the last one
	All []sim.Chances // of its gears

	l     *Learning
	d     Drawer
	o     sim.Odds
	free  *sim.Free // of the last one
	links int
}

// Judge returns that of goroutine i, from 0.
func (l *Learning) Judge(i int) *Judge {
	return &Judge{l: l, d: l.drawers[i], Set: make([]float64, len(l.Branch)), All: make([]sim.Chances, len(l.wanted))}
}

// Of fills All with the chances of the wanted gears, or all with nil, of the bicycle at standard normals,
// and returns it; it may be one that cannot be.
func (w *Judge) Of(numbers []float64, wanted []bool) (*sim.Bike, bool) {
	w.l.prior.set(w.Set, numbers)
	b, f, err := w.d.Deviated(w.Set, func(i int) float64 {
		if at := w.l.slot[i]; at >= 0 {
			return infer.Normal(numbers[at])
		}
		return 0.5
	})
	if err != nil {
		return nil, false
	}
	if w.links, err = w.d.Chain(b); err != nil {
		return nil, false
	}
	w.free = f
	return b, w.judge(b, wanted)
}

func (w *Judge) judge(b *sim.Bike, wanted []bool) bool {
	w.o.Only, w.o.Alone = wanted, wanted != nil && !w.l.beside
	return w.o.Gears(w.All, b, w.free, w.links) == nil
}

// evaluate is the Evaluate of package infer.
func (w *Judge) evaluate(numbers, levels []float64) bool {
	b, is := w.Of(numbers, w.l.wanted)
	if !is {
		return false
	}
	w.levels(levels, 0)
	moved := *b
	for i, by := range w.l.moved {
		moved.Rings = slices.Clone(b.Rings)
		for r := range moved.Rings {
			moved.Rings[r].Line += by
		}
		if !w.judge(&moved, w.l.also[i]) {
			return false
		}
		w.levels(levels, 1+i)
	}
	front, rear := judge.MeanLine(b.Rings)-judge.MeanLine(w.l.Nominal.Rings), judge.MeanLine(b.Cogs)-judge.MeanLine(w.l.Nominal.Cogs)
	copy(levels[len(levels)-len(lineNames):], []float64{front, rear, front - rear})
	return true
}

// levels fills those of a change from All.
func (w *Judge) levels(levels []float64, tried int) {
	wanted := w.l.want(tried)
	for h, k := range w.l.faults {
		own := levels[(tried*len(w.l.faults)+h)*len(w.All):]
		for g := range w.All {
			own[g] = math.NaN()
			if wanted[g] && w.All[g].Is(k) {
				own[g] = SpreadOf(k).Level(Unsure(k, w.All[g][k]))
			}
		}
	}
}
