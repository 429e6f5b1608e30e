package learn

import (
	"math"
	"slices"

	"chainpath/sim"
	"chainpath/sim/infer"
)

// Surely is how sure an observation counts where nobody says (assumption).
const Surely = 0.9

// Seen is an observation of a bicycle that the model can be held against.
type Seen struct {
	Text  string        // as told
	Path  string        // of the entry that told it
	Gears []int         // ring times the number of cogs and cog
	One   sim.Concern   // what happened, where None is empty
	None  []sim.Concern // what did not happen
	Any   bool          // in at least one of the gears
	Moved float64       // how far outboard of their place the rings stood then, mm: a change that was tried
	Off   int           // how many of Of tries came off
	Of    int           // 0: not counted
	Sure  float64       // chance that it was seen right
	Typed bool          // whether somebody said how sure
}

// Happened reports whether the fault happened in every one of the gears.
func (s *Seen) Happened() bool { return s.None == nil && !s.Any && (s.Of == 0 || s.Off > 0) }

// cleanTries is how many tries without a fault deny it: of a fault that happens in one of ten they
// have a chance below 5 %, 0.9^29. Fewer leave that open.
const cleanTries = 29

// Denies reports whether the entry says that a fault does not happen in its gears.
func (s *Seen) Denies(k sim.Concern) bool {
	return slices.Contains(s.None, k) || s.None == nil && s.One == k && s.Of >= cleanTries && s.Off == 0
}

// Unsure keeps one version's chance of one gear away from 0 and 1: a version is not the bike
// itself, reports are wrong at times, and noise is a matter of opinion. The bikes we know are
// weighed with the same.
func Unsure(k sim.Concern, p float64) float64 {
	least := 0.005
	if k == sim.NoiseRiding {
		least = 0.02
	}
	return math.Min(math.Max(p, least), 1-least)
}

// Chance returns the chance of what was seen under a bike's chances, were it seen right.
func (s *Seen) Chance(all []sim.Chances) float64 {
	at := func(g int, k sim.Concern) float64 { return Unsure(k, all[g][k]) }
	if s.Of > 0 {
		p := at(s.Gears[0], s.One)
		return infer.Binomial(s.Off, s.Of, p)
	}
	p := 1.0
	for _, g := range s.Gears {
		switch {
		case s.None != nil:
			for _, k := range s.None {
				if all[g].Is(k) {
					p *= 1 - at(g, k)
				}
			}
		case !all[g].Is(s.One):
		case s.Any:
			p *= 1 - at(g, s.One)
		default:
			p *= at(g, s.One)
		}
	}
	if s.Any {
		p = 1 - p
	}
	return p
}

// Wrong returns the chance of what was seen where it was seen wrong: any count is as
// likely as any other then, and a yes is a no.
func (s *Seen) Wrong(right float64) float64 {
	if s.Of > 0 {
		return 1 / float64(s.Of+1)
	}
	return 1 - right
}

// Tries are the chances of counts of a fault in tries, by the chance of the fault: that it happens more often
// than it may. All tries are of one bike, so that they are alike.
type Tries struct {
	k      sim.Concern
	known  bool
	counts *infer.Counts
}

// TriesOf returns those of n tries; known says whether the bike's offset is in the chances, as it is where
// something was learned of the fault.
func TriesOf(k sim.Concern, known bool, n int) *Tries {
	return &Tries{k, known, SpreadOf(k).Counts(known, n)}
}

// Of returns the chance that it happens in so many of them.
func (t *Tries) Of(chance float64, happens int) float64 {
	p, s := Unsure(t.k, chance), SpreadOf(t.k)
	if t.known {
		return t.counts.Of(s.LevelAt(p), happens)
	}
	return t.counts.Of(s.Level(p), happens)
}

// SeenOf returns a word about a fault in a gear, ring times the number of cogs and cog.
func SeenOf(k sim.Concern, gear int, happened bool) Seen {
	s := Seen{Text: k.String(), Gears: []int{gear}, Sure: Surely, One: k}
	if !happened {
		s.None = []sim.Concern{k}
	}
	return s
}
