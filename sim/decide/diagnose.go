package decide

import (
	"math"
	"sort"

	"chainpath/sim"
	"chainpath/sim/budget"
)

// Complaint is what a mechanic can see or hear, by its word in case files.
type Complaint string

// The complaints. Which concerns are behind them sim.Hazards has.
const (
	Noise       Complaint = "noise"
	Drop        Complaint = "drop"
	RubsCog     Complaint = "rubs_next_cog"
	RubsRing    Complaint = "rubs_next_ring"
	TyreMark    Complaint = "tyre_mark"
	StayMark    Complaint = "stay_mark"
	DropoutMark Complaint = "dropout_mark"
	SpokeMark   Complaint = "spoke_mark"
	LooseTop    Complaint = "loose_top"
	Skips       Complaint = "skips" // under load: nothing in the model does that

	// Of shifts: bicycles with a fault each, simulated, tell what is behind them.
	SlowToLarger  Complaint = "slow_to_larger"
	SlowToSmaller Complaint = "slow_to_smaller"
	SkipsInOne    Complaint = "skips_in_one"
	SkipsInSome   Complaint = "skips_in_some"
	NoisyInOne    Complaint = "noisy_in_one"
	AfterCrash    Complaint = "after_crash" // what happened before, and no sign itself
	AfterWheel    Complaint = "after_wheel"
)

// OfShifts are the complaints of shifts, with what happened before.
var OfShifts = []Complaint{SlowToLarger, SlowToSmaller, SkipsInOne, SkipsInSome, NoisyInOne, AfterCrash, AfterWheel}

// Complaints are all of them, in the order in which they are told.
var Complaints = []Complaint{Noise, Drop, RubsCog, RubsRing, TyreMark, StayMark, DropoutMark, SpokeMark, LooseTop, Skips, SlowToLarger, SlowToSmaller, SkipsInOne, SkipsInSome, NoisyInOne, AfterCrash, AfterWheel}

// causes lists the kinds of margin that can be behind a complaint.
var causes = map[Complaint][]sim.Kind{
	Noise:    {sim.ToQuiet, sim.ToCog, sim.ToRing, sim.ToSlack},
	Drop:     {sim.ToClimb, sim.ToSlack, sim.ToClose},
	RubsCog:  {sim.ToCog},
	RubsRing: {sim.ToRing},
	TyreMark: {sim.ToTyre},
	StayMark: {sim.ToStay},
	LooseTop: {sim.ToSlack, sim.ToClose},
}

// bothWays are the kinds whose margin holds in both directions.
func bothWays(k sim.Kind) bool {
	return k == sim.ToTyre || k == sim.ToStay || k == sim.ToClose
}

// Symptom is a complaint in a direction and some gears.
type Symptom struct {
	Complaint Complaint
	Direction sim.Direction
	Gears     map[[2]int]bool // ring and cog index; of all gears those in which it shows
}

// Cause is one modelled cause and how it fits a symptom.
type Cause struct {
	Risk      Risk
	Explains  [][2]int // gears with the symptom in which the margin is negative
	Missing   [][2]int // gears with the symptom in which it is not
	Elsewhere [][2]int // gears without the symptom in which it is negative all the same
	Nearest   sim.Margin
}

// Move is a shift of one input within its uncertainty that would explain a
// symptom's gear.
type Move struct {
	Input  budget.Input
	By     float64 // in the input's unit
	Sigmas float64 // |By| in standard uncertainties, at most 2
	Risk   Risk
	Gear   [2]int
}

// Finding is what the model says of one symptom.
type Finding struct {
	Symptom      Symptom
	Explained    []Cause      // with at least one gear explained, best first
	Contradicted []Cause      // modelled causes that no gear of it shows
	Moves        []Move       // when nothing explains it: likeliest first
	Measure      []InputShare // which inputs decide the nearest margin, largest share of its variance first, in OnDoubt
}

// Diagnose holds symptoms against the model of a bike. The maker and inputs give
// the bike's uncertainty; links is its chain length.
func Diagnose(newMaker func() Maker, in []budget.Input, links int, symptoms []Symptom) ([]Finding, error) {
	b, err := newMaker()(nominal(in))
	if err != nil {
		return nil, err
	}
	d := &diagnosis{bike: b, links: links, maker: newMaker(), in: in}
	if d.now, err = d.table(b); err != nil {
		return nil, err
	}
	var out []Finding
	for _, s := range symptoms {
		f, err := d.find(s)
		if err != nil {
			return nil, err
		}
		out = append(out, f)
	}
	return out, nil
}

type diagnosis struct {
	bike  *sim.Bike
	links int
	maker Maker
	in    []budget.Input
	eval  sim.Evaluator
	now   map[[2]int][]float64 // by gear: least margin of each risk
}

// table computes every gear's least margins.
func (d *diagnosis) table(b *sim.Bike) (map[[2]int][]float64, error) {
	t := map[[2]int][]float64{}
	var ms []sim.Margin
	var err error
	for ring := range b.Rings {
		for cog := range b.Cogs {
			if ms, err = d.eval.Gear(ms[:0], b, ring, cog, d.links); err != nil {
				return nil, err
			}
			o := make([]float64, len(Risks))
			leastMargins(o, ms)
			t[[2]int{ring, cog}] = o
		}
	}
	return t, nil
}

// gears returns all gears in order.
func (d *diagnosis) gears() (out [][2]int) {
	for ring := range d.bike.Rings {
		for cog := range d.bike.Cogs {
			out = append(out, [2]int{ring, cog})
		}
	}
	return out
}

// wrong reports whether a margin says that a risk is there.
func wrong(v float64) bool { return v < 0 }

func (d *diagnosis) find(s Symptom) (Finding, error) {
	f := Finding{Symptom: s}
	nearest, gear, at := math.Inf(1), [2]int{}, -1
	for _, kind := range causes[s.Complaint] {
		for r, risk := range Risks {
			if risk.Kind != kind || risk.Direction != s.Direction && !bothWays(kind) {
				continue
			}
			c := Cause{Risk: risk, Nearest: sim.Margin{Kind: kind, Direction: risk.Direction, Value: math.Inf(1)}}
			exists := false
			for _, g := range d.gears() {
				v := d.now[g][r]
				exists = exists || v != none
				switch {
				case s.Gears[g] && wrong(v):
					c.Explains = append(c.Explains, g)
				case s.Gears[g]:
					c.Missing = append(c.Missing, g)
				case wrong(v):
					c.Elsewhere = append(c.Elsewhere, g)
				}
				if s.Gears[g] && v < c.Nearest.Value {
					c.Nearest.Value, c.Nearest.Ring, c.Nearest.Cog = v, g[0], g[1]
				}
			}
			if !exists {
				continue
			}
			if len(c.Explains) > 0 {
				f.Explained = append(f.Explained, c)
			} else {
				f.Contradicted = append(f.Contradicted, c)
			}
			// The margin that decides: the first of the causes, if it is there.
			if at < 0 || len(c.Explains) > 0 && !wrong(nearest) {
				nearest, gear, at = c.Nearest.Value, [2]int{c.Nearest.Ring, c.Nearest.Cog}, r
			}
		}
	}
	sort.SliceStable(f.Explained, func(i, j int) bool { return fit(f.Explained[i]) > fit(f.Explained[j]) })
	if len(f.Explained) == 0 {
		if err := d.moves(&f); err != nil {
			return f, err
		}
	}
	if at >= 0 && nearest < none {
		res, err := d.budgets(gear)
		if err != nil {
			return f, err
		}
		for _, s := range res[at].Shares {
			f.Measure = append(f.Measure, InputShare{Input: d.in[s.Input], OnDoubt: s.Fraction})
		}
	}
	return f, nil
}

// fit says how well a cause matches: gears explained less those missed and those
// elsewhere.
func fit(c Cause) int { return 2*len(c.Explains) - len(c.Missing) - len(c.Elsewhere) }

// budgets returns the first-order budget of each risk's margin in a gear.
func (d *diagnosis) budgets(gear [2]int) ([]budget.Result, error) {
	var ms []sim.Margin
	return budget.FirstOrder(func(x, y []float64) error {
		b, err := d.maker(x)
		if err != nil {
			return err
		}
		if ms, err = d.eval.Gear(ms[:0], b, gear[0], gear[1], d.links); err != nil {
			return err
		}
		leastMargins(y, ms)
		return nil
	}, d.in, len(Risks))
}

// moves looks for single inputs that would explain a symptom nothing explains.
func (d *diagnosis) moves(f *Finding) error {
	for _, c := range f.Contradicted {
		if c.Nearest.Value == none || math.IsInf(c.Nearest.Value, 0) {
			continue
		}
		gear := [2]int{c.Nearest.Ring, c.Nearest.Cog}
		res, err := d.budgets(gear)
		if err != nil {
			return err
		}
		for r, risk := range Risks {
			if risk != c.Risk {
				continue
			}
			for _, s := range res[r].Shares {
				by := -c.Nearest.Value / s.Sensitivity // without end where it moves nothing
				if k := math.Abs(by) / d.in[s.Input].U; k <= 2 {
					f.Moves = append(f.Moves, Move{d.in[s.Input], by, k, risk, gear})
				}
			}
		}
	}
	sort.SliceStable(f.Moves, func(i, j int) bool { return f.Moves[i].Sigmas < f.Moves[j].Sigmas })
	return nil
}
