package decide

import (
	"cmp"
	"math"
	"slices"

	"chainpath/sim"
)

// Rule says when a change is worth telling. The thresholds were tried on known bicycles; prices and
// worths are assumptions.
type Rule struct {
	Weights Weights
	Worth   float64 // of fault score 1, money
	Told    float64 // the same where a fault was complained of
	Hour    float64 // of work, money

	Readings bool // what reads wrong is put right first; without it for scores alone
}

// UsualRule is the rule where nothing else is said.
func UsualRule() Rule { return Rule{Weights: Usual, Worth: 400, Told: 800, Hour: 40, Readings: true} }

// Pays returns what it is worth to lower the fault score by 1, money: more where faults were told of.
func (r *Rule) Pays(told bool) float64 {
	if told {
		return max(r.Worth, r.Told)
	}
	return r.Worth
}

// Chances from which a fault counts, and what a cure has to reach.
const (
	Explaining  = 0.35 // of a fault that was complained of: from here the chainline explains it
	Naming      = 0.5  // of one that nobody complained of
	NamingHarm  = 0.2  // the same where it can throw the rider or lock the wheel
	leastBurden = 0.05 // of a named fault in the fault score
	halved      = 0.5  // what is left of a fault's chances after a cure
	leastSurer  = 0.8  // share of the versions on which a cure has to help
	mostNew     = 0.25 // of the gain, what newly becomes likely
	mostDrop    = 0.1  // chance of a drop when riding after a cure, or so much more than before:
	moreDrop    = 0.05
	leastTold   = 0.05 // share of time that a fault which was complained of counts at least
)

// Design is what is to be expected of a bike: chances by gear, and shares of time, which sum to 1.
type Design struct {
	Chances []sim.Chances
	Share   []float64
}

// Named is a fault in some gears that advice is about: complained of, or by itself likely.
type Named struct {
	Of        sim.Concern
	Gears     []int
	Told      bool    // complained of
	Complaint int     // which, where it was
	Most      float64 // its greatest chance
	Burden    float64 // in the fault score
}

// Level is the chance below which the fault is cured.
func (f *Named) Level() float64 {
	switch {
	case f.Told:
		return Explaining
	case sim.Hazards[f.Of].Harm == sim.Danger:
		return NamingHarm
	}
	return Naming
}

// Contact reports whether one look shows if the fault is there: parts touch, or the chain does not
// fit.
func (f *Named) Contact() bool { return sim.Hazards[f.Of].Meets || f.Of == sim.DoesNotClose }

// sum is that of the fault's chances in a design, greatest and all.
func (f *Named) sum(d *Design) (sum, most float64) {
	for _, g := range f.Gears {
		p := max(d.Chances[g][f.Of], 0)
		sum, most = sum+p, max(most, p)
	}
	return sum, most
}

func (f *Named) fill(d *Design, w *Weights, c *Carried) {
	for _, g := range f.Gears {
		p := d.Chances[g][f.Of]
		f.Most = max(f.Most, p)
		f.Burden += d.Share[g] * w[f.Of] * max(p-c.Least[f.Of], 0)
	}
}

// Faults returns what a bike has by itself that is worth a word, the heaviest first. Gears that are
// never used count nothing.
func (r *Rule) Faults(d *Design, c *Carried) (out []Named) {
	for k := range sim.NumConcerns {
		f := Named{Of: sim.Concern(k), Complaint: -1}
		for g := range d.Chances {
			if d.Share[g] > 0 && d.Chances[g][k] >= f.Level() {
				f.Gears = append(f.Gears, g)
			}
		}
		if f.fill(d, &r.Weights, c); f.Burden >= leastBurden {
			out = append(out, f)
		}
	}
	slices.SortStableFunc(out, func(a, b Named) int { return cmp.Compare(b.Burden, a.Burden) })
	return out
}

// Danger returns a likely contact that can throw the rider or lock the wheel, in whatever gears,
// however little they are used: a look costs nothing. It has no gears where there is none.
func (r *Rule) Danger(d *Design) (worst Named) {
	for _, k := range sim.ToldOrder() {
		f := Named{Of: k, Complaint: -1}
		for g := range d.Chances {
			if p := d.Chances[g][k]; p >= Naming && sim.Hazards[k].Harm == sim.Danger && f.Contact() {
				f.Gears, f.Most = append(f.Gears, g), max(f.Most, p)
			}
		}
		if len(f.Gears) > 0 {
			return f
		}
	}
	return worst
}

// Explained returns the fault behind a complaint, of those that can be: the likeliest in its gears;
// ok is false where none is likely enough. All its gears count as one fault, whatever the chance in
// each.
func (r *Rule) Explained(d *Design, c *Carried, behind []sim.Concern, gears []int, complaint int) (f Named, ok bool) {
	f = Named{Of: -1, Gears: gears, Told: true, Complaint: complaint}
	for _, k := range behind {
		for _, g := range gears {
			if p := d.Chances[g][k]; p > f.Most {
				f.Of, f.Most = k, p
			}
		}
	}
	if f.Of < 0 {
		return f, false
	}
	f.fill(d, &r.Weights, c)
	return f, f.Most >= Explaining
}

// Cost is what a change asks for.
type Cost struct{ Price, Minutes float64 }

// Of is the cost in money.
func (r *Rule) Of(c Cost) float64 { return c.Price + c.Minutes/60*r.Hour }

// Cure is what a change does to faults.
type Cure struct {
	Left    float64 // share of the faults' chances that is left
	Most    float64 // greatest chance that is left, of the fault whose it is
	Below   bool    // every fault is below its level
	Avoided float64 // of the fault score
	Net     float64 // what that is worth, less the cost, money
}

// Cure judges a change by what it does to faults; surer is the share of the versions of the bike on
// which it lowers the fault score. ok is false where it is no cure: it leaves more than half, does
// not surely help, does not pay, or brings faults of its own.
func (r *Rule) Cure(was, is *Design, faults []Named, c *Carried, cost Cost, surer float64) (x Cure, ok bool) {
	if len(is.Chances) != len(was.Chances) || len(faults) == 0 {
		return x, false
	}
	before, after, worth, gain := 0.0, 0.0, r.Worth, 0.0
	x.Below = true
	for i := range faults {
		f := &faults[i]
		b, _ := f.sum(was)
		a, most := f.sum(is)
		before, after = before+b, after+a
		x.Most, x.Below = max(x.Most, most), x.Below && most < f.Level()
		if f.Told {
			worth = r.Pays(true)
			share := 0.0
			for _, g := range f.Gears {
				share += was.Share[g]
			}
			gain += r.Weights[f.Of] * (1 - a/b) * max(share, leastTold)
		}
	}
	t0, e0 := Expect(was.Chances, was.Share, &r.Weights, c)
	t1, e1 := Expect(is.Chances, is.Share, &r.Weights, c)
	if e0 != nil || e1 != nil || !(before > 0) {
		return x, false
	}
	x.Left, x.Avoided = after/before, t0.Sum-t1.Sum
	gain += x.Avoided
	x.Net = gain*worth - r.Of(cost)
	return x, x.Left <= halved && surer >= leastSurer && x.Net > 0 && r.newFaults(was, is) <= mostNew*gain && !drops(was, is)
}

// newFaults is what becomes likely that was not, in the fault score.
func (r *Rule) newFaults(was, is *Design) (sum float64) {
	for g := range is.Chances {
		for k, p := range is.Chances[g] {
			if p >= Explaining && was.Chances[g][k] < Explaining {
				sum += is.Share[g] * r.Weights[k] * (p - max(was.Chances[g][k], 0))
			}
		}
	}
	return sum
}

// drops reports whether a change makes a drop when riding likelier than may be.
func drops(was, is *Design) bool {
	for g := range is.Chances {
		for _, k := range [...]sim.Concern{sim.DropRiding, sim.DropSmooth} {
			if is.Chances[g][k] > math.Max(mostDrop, was.Chances[g][k]+moreDrop) {
				return true
			}
		}
	}
	return false
}
