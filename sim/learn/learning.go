package learn

import (
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

// tell sorts what was seen by fault and gear, so that its order does not matter. What the
// likeliest bicycle, whose chances may be nil, cannot have tells nothing.
func (l *Learning) tell(seen []Seen, likeliest []sim.Chances) {
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
		if s.Typed {
			mistake = 1 - s.Sure
		}
		if s.Any {
			anys[s.One] = append(anys[s.One], infer.Any{Places: s.Gears, Mistake: mistake})
			for _, g := range s.Gears {
				l.wanted[g] = true
			}
			continue
		}
		for _, g := range s.Gears {
			for _, k := range s.None {
				add(k, g, infer.Report{Mistake: mistake})
			}
			if s.None == nil {
				add(s.One, g, infer.Report{Happened: true, Count: s.Off, Of: s.Of, Mistake: mistake})
			}
		}
	}
	for k := range told {
		if told[k] == nil && anys[k] == nil {
			continue
		}
		f := infer.Fault{Spread: *SpreadOf(sim.Concern(k)), Any: anys[k]}
		for g, reports := range told[k] {
			if len(reports) > 0 {
				slices.SortFunc(reports, infer.Report.Compare)
				f.Told = append(f.Told, infer.Told{Place: g, Table: infer.NewTable(f.Spread, reports)})
			}
		}
		l.beside = l.beside || sim.Concern(k) == sim.RubsNextCog || sim.Concern(k) == sim.RubsNextRing
		l.faults, l.Model.Faults = append(l.faults, sim.Concern(k)), append(l.Model.Faults, f)
	}
}

// lineNames are the lines that a bicycle may be off by beside its case.
var lineNames = [...]string{"front line off the case's", "rear line off the case's", "front less rear, off"}

// Judge is what one goroutine judges possible bicycles with.
type Judge struct {
	Set []float64     // of the last one
	All []sim.Chances // of its gears

	l *Learning
	d Drawer
	o sim.Odds
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
	links, err := w.d.Chain(b)
	if err != nil {
		return nil, false
	}
	w.o.Only, w.o.Alone = wanted, wanted != nil && !w.l.beside
	return b, w.o.Gears(w.All, b, f, links) == nil
}

// evaluate is the Evaluate of package infer.
func (w *Judge) evaluate(numbers, levels []float64) bool {
	b, is := w.Of(numbers, w.l.wanted)
	if !is {
		return false
	}
	for h, k := range w.l.faults {
		for g := range w.All {
			levels[h*len(w.All)+g] = math.NaN()
			if w.l.wanted[g] && w.All[g].Is(k) {
				levels[h*len(w.All)+g] = SpreadOf(k).Level(Unsure(k, w.All[g][k]))
			}
		}
	}
	front, rear := judge.MeanLine(b.Rings)-judge.MeanLine(w.l.Nominal.Rings), judge.MeanLine(b.Cogs)-judge.MeanLine(w.l.Nominal.Cogs)
	copy(levels[len(levels)-len(lineNames):], []float64{front, rear, front - rear})
	return true
}
