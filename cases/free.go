package cases

import (
	"math"
	"reflect"
	"slices"
	"strings"

	"chainpath/sim"
	"chainpath/sim/budget"
	"chainpath/sim/elementary"
	"chainpath/sim/learn"
)

// FreeNumber is one of the numbers that nobody publishes: what it may be before
// anything was seen of any bike.
type FreeNumber struct {
	Name     string // as in tables; a field's path where a case can give it
	Low, Up  float64
	Log      bool // spread evenly by ratio
	Unit     string
	Basis    Basis
	Note     string
	put      func(d *drawing, v float64) // into the numbers that a bike is built from
	Standing float64                     // what the default set has
	// Block names the numbers that are weighted together, by what they decide.
	Block Block
}

// Block is a group of free numbers that the same claims tell about.
type Block int

// The blocks.
const (
	DropNumbers Block = iota
	NoiseNumbers
	CogNumbers
	RingNumbers
	NumBlocks = int(RingNumbers) + 1
)

// BlockOf returns the numbers that a concern tells most about.
func BlockOf(c sim.Concern) Block {
	switch c {
	case sim.NoiseRiding:
		return NoiseNumbers
	case sim.RubsNextCog:
		return CogNumbers
	case sim.RubsNextRing:
		return RingNumbers
	}
	return DropNumbers
}

// branches name the free number of a block that says which of two ways of judging a set has: from
// half of its range on the second. What was seen weighs the sets of each way apart, and either half
// counts as much as the other, because nothing seen so far tells which is right.
var branches = map[Block]string{DropNumbers: "drop by bend", NoiseNumbers: "noise by pull"}

// BranchOf returns the place in FreeNumbers of the number that a block branches by, -1 where it does
// not.
func BranchOf(b Block) int {
	return slices.IndexFunc(freeNumbers, func(f FreeNumber) bool { return f.Name == branches[b] })
}

// At returns the number at a share u of its range, 0 to 1.
func (f *FreeNumber) At(u float64) float64 {
	if f.Log {
		return f.Low * elementary.Pow(f.Up/f.Low, u)
	}
	return f.Low + u*(f.Up-f.Low)
}

// FreeNumbers returns the free numbers in the order in which sets list them.
func FreeNumbers() []FreeNumber { return freeNumbers }

var freeNumbers = []FreeNumber{
	{"chain.stiffness", 20, 280, true, "N·m/rad", Assumption, "of a joint under tension; a sag test without tension cannot see it", instead("chain.stiffness"), 80, DropNumbers},
	{"chain.slack", 0.3, 1.3, false, "°", Assumption, "of a joint either way", instead("chain.slack"), 0.8, DropNumbers},
	{"chain.bevel", 0.2, 0.9, false, "mm", Assumption, "bevel on the plates' inside edges", instead("chain.bevel"), 0.6, DropNumbers},
	{"chain.width", -1, 1, false, "of within", Practice, "within the trade tables' range for the speeds", func(d *drawing, v float64) {
		d.drawn["chain.width"] = d.defaults.of("chain.width") + v*sizesFor(d.c.Speeds).within
	}, 0, CogNumbers},
	{"chain.rivet_proud", -0.04, 0.04, false, "mm", Assumption, "off the default", func(d *drawing, v float64) {
		d.drawn["chain.rivet_proud"] = max(0, d.defaults.of("chain.rivet_proud")+v)
	}, 0, DropNumbers},
	{"chain.inner_width", -0.04, 0.04, false, "mm", Assumption, "off the nominal", added("chain.inner_width"), 0, DropNumbers},
	{"chain.outer_width", -0.1, 0.1, false, "mm", Assumption, "off what width, rivets and inside width leave: plates and their play", func(d *drawing, v float64) { d.plates = v }, 0, DropNumbers},
	{"chain.plate_height", -0.4, 0.4, false, "mm", Assumption, "off the default", added("chain.plate_height"), 0, DropNumbers},
	{"front.form", 0, 1, false, "", Practice, "single rings of 10 speeds and more that no form is given for alternate, but for a fifth", func(d *drawing, v float64) { d.plain = v < 0.2 }, 0, NoiseNumbers},
	{"front.tooth.tip_thickness", 0.55, 1.35, false, "of the default", Assumption, "tips of rings, narrow and wide", times("front.tooth.tip_thickness", "front.tooth.wide_tip_thickness"), 1, DropNumbers},
	{"rear.tooth.tip_thickness", 0.55, 1.35, false, "of the default", Assumption, "tips of cogs", times("rear.tooth.tip_thickness", "idler.tooth.tip_thickness"), 1, DropNumbers},
	{"front.ring_pitch", -0.7, 0.7, false, "mm", Practice, "ring to ring, off the default", added("front.ring_pitch"), 0, RingNumbers},
	{"rear.cog_pitch", -0.04, 0.04, false, "mm", Practice, "cog to cog, off the default", added("rear.cog_pitch"), 0, CogNumbers},
	{"front.tooth.tip_height", -0.3, 0.3, false, "mm", Assumption, "off the default", added("front.tooth.tip_height"), 0, DropNumbers},
	{"rear.tooth.tip_height", -0.3, 0.3, false, "mm", Assumption, "off the default", added("rear.tooth.tip_height", "idler.tooth.tip_height"), 0, DropNumbers},
	{"rear.tooth.thickness", -0.1, 0.1, false, "mm", Assumption, "off the default", added("rear.tooth.thickness"), 0, CogNumbers},
	{"seat friction", 0.05, 0.18, false, "", Assumption, "seated link on its tooth", alone(1, func(f *sim.Free) *float64 { return &f.Seat }), 0.1, DropNumbers},
	{"drop by bend", 0, 1, false, "", Assumption, "half of the sets judge drops from clusters by the bend alone, half by the links", branch(func(f *sim.Free) *bool { return &f.DropByBend }), 0, DropNumbers},
	{"drop from", 2.4, 3.9, false, "°", Practice, "reports: off above 3.3°, six of ten between 2.7 and 3.3°", alone(degree, func(f *sim.Free) *float64 { return &f.DropBend }), 3.1, DropNumbers},
	{"drop sets in over", 0.06, 0.6, true, "°", Assumption, "the softness of that", alone(degree, func(f *sim.Free) *float64 { return &f.DropSoft }), 0.2, DropNumbers},
	{"cog allowance", 0, 0.8, false, "mm", Assumption, "what shift gates and cut teeth of a cluster take off its hold", alone(1, func(f *sim.Free) *float64 { return &f.Allowance }), 0.15, DropNumbers},
	{"link spread", 0.04, 0.3, true, "mm", Assumption, "how far single links differ sideways", alone(1, func(f *sim.Free) *float64 { return &f.Spread }), 0.05, DropNumbers},
	{"neighbour's room", 0.2, 1.2, false, "mm", Assumption, "relief, chamfer and thin tips beyond full plates and teeth, next cog", alone(1, func(f *sim.Free) *float64 { return &f.Room }), 0.95, CogNumbers},
	{"shift pins", 0, 1.1, false, "mm", Assumption, "how far pins and ramps stand proud of the next ring", func(d *drawing, v float64) {
		if d.f.Pins = v; d.c.Front.Pins != nil {
			d.f.Pins, _ = d.c.pins()
		}
	}, 0.75, RingNumbers},
	{"next cog sets in over", 0.06, 0.6, true, "mm", Assumption, "run-out and single teeth", alone(1, func(f *sim.Free) *float64 { return &f.SoftCog }), 0.15, CogNumbers},
	{"next ring sets in over", 0.08, 1.2, true, "mm", Assumption, "run-out, single pins, and what else is not known", alone(1, func(f *sim.Free) *float64 { return &f.SoftRing }), 0.25, RingNumbers},
	{"dirt, wear, shifting", 0.0005, 0.006, true, "", Assumption, "share of gears in which they lose the chain when riding", alone(1, func(f *sim.Free) *float64 { return &f.Mishap }), 0.002, DropNumbers},
	{"front cage lets go", 0.005, 0.3, true, "", Assumption, "share of chains that climb the ring inside a front cage and still leave", alone(1, func(f *sim.Free) *float64 { return &f.Guard }), 0.02, DropNumbers},
	{"bump", 3, 60, true, "m/s²", Assumption, "how hard rough ground throws the frame while the legs hardly pull", alone(1, func(f *sim.Free) *float64 { return &f.Bump }), 12, DropNumbers},
	{"sway", 0.003, 0.05, true, "mm/(N·m)", Assumption, "how far frame and crank give sideways under the pedals", alone(1e-3, func(f *sim.Free) *float64 { return &f.Sway }), 0.01, DropNumbers},
	{"front cage lets go on a bump", 0.03, 1, true, "", Assumption, "share of chains that a bump lifts off the ring inside a front cage and that leave", alone(1, func(f *sim.Free) *float64 { return &f.BumpGuard }), 0.2, DropNumbers},
	{"teeth ridden over", 0.4, 1.6, true, "of the wrap", Assumption, "share of the smaller wheel's wrap that slack chain must lift over the teeth to come off", alone(1, func(f *sim.Free) *float64 { return &f.Ridden }), 0.8, DropNumbers},
	{"slack sets in over", 0.3, 1, true, "", Assumption, "the softness of that, in ratios of spare chain", alone(1, func(f *sim.Free) *float64 { return &f.RideSoft }), 0.5, DropNumbers},
	{"noise by pull", 0, 1, false, "", Assumption, "half of the sets judge noise by pull times bend, half by bend", branch(func(f *sim.Free) *bool { return &f.ByPull }), 0, NoiseNumbers},
	{"noise from, plain", 2.3, 5.0, false, "°", Practice, "plain rings were called quiet to 2.3 to 3.0°, and are ridden daily at 3 to 4°", alone(degree, func(f *sim.Free) *float64 { return &f.NoiseBend[0] }), 3.2, NoiseNumbers},
	{"noise from, wide and narrow", 2.4, 3.9, false, "°", Practice, "alternating rings were called noisy from 2.8 to 3.3°", alone(degree, func(f *sim.Free) *float64 { return &f.NoiseBend[1] }), 3.1, NoiseNumbers},
	{"noise sets in over", 0.12, 0.8, true, "°", Assumption, "the softness of that", alone(degree, func(f *sim.Free) *float64 { return &f.NoiseSoft }), 0.2, NoiseNumbers},
	{"noise pull, plain", 15, 60, false, "N", Practice, "T·sin(bend)", alone(1, func(f *sim.Free) *float64 { return &f.NoisePull[0] }), 30, NoiseNumbers},
	{"noise pull, wide and narrow", 22, 50, false, "N", Practice, "T·sin(bend); alternating rings were called noisy from 30 to 36 N", alone(1, func(f *sim.Free) *float64 { return &f.NoisePull[1] }), 33, NoiseNumbers},
	{"noise pull sets in over", 1.5, 9, true, "N", Assumption, "the softness of that", alone(1, func(f *sim.Free) *float64 { return &f.NoiseSoftPull }), 2, NoiseNumbers},
	{"noise from, no tensioner", 0.45, 1.3, false, "°", Practice, "a tight chain on a fixed length was told to bind from about 0.8°", alone(degree, func(f *sim.Free) *float64 { return &f.NoiseTight }), 0.8, NoiseNumbers},
	{"noise sets in, no tensioner", 0.04, 0.2, true, "°", Assumption, "the softness of that", alone(degree, func(f *sim.Free) *float64 { return &f.NoiseTightOff }), 0.08, NoiseNumbers},
	{"noise from, idler", 0.5, 5, true, "°", Assumption, "between plates: a long tail's pulley under the tight run rubbed in all but the middle gear; idlers without plates are called silent", alone(degree, func(f *sim.Free) *float64 { return &f.NoiseIdler }), 2.5, NoiseNumbers},
	{"noise sets in, idler", 0.1, 0.8, true, "°", Assumption, "the softness of that", alone(degree, func(f *sim.Free) *float64 { return &f.NoiseIdlerOff }), 0.3, NoiseNumbers},
}

// lineDoubt is how far a front or rear line that is given without a tolerance may
// surely be off, mm: a careful reading with a depth gauge from paint.
const lineDoubt = 1.0

// Drawn makes bikes of a case: its uncertain readings and the free numbers drawn.
type Drawn struct {
	c           *Case
	v           *Varied
	numbers     *numbers
	inputs      []budget.Input
	free        map[int]bool // inputs that a free number stands for
	fixed       map[int]bool // inputs that are taken as exact, and not drawn
	x           []float64
	front, rear float64 // doubt of lines without tolerance, mm either way
	normal      bool    // as a normal spread of that size instead
	Links       int     // of the case's own chain

	learned *learnedForm // that placed is for
	placed  []int        // of every reading, its place there; -1: none
}

// Draws prepares a case. Errors are *Error, or come from package sim.
func (c *Case) Draws() (*Drawn, error) {
	u, err := c.Uncertain()
	if err != nil {
		return nil, err
	}
	b, err := c.Bike()
	if err != nil {
		return nil, err
	}
	if err := c.Explain(b.Validate()); err != nil {
		return nil, err
	}
	links, err := b.ChooseLinks()
	if err != nil {
		return nil, c.Explain(err)
	}
	d := &Drawn{c: c, v: u.Vary(), numbers: c.numbers(), inputs: u.Inputs, x: make([]float64, len(u.Inputs)), Links: links, free: map[int]bool{}, fixed: map[int]bool{}, front: lineDoubt, rear: lineDoubt}
	given := map[string]bool{}
	walk(reflect.ValueOf(c).Elem(), "", func(path string, q *Quantity) { given[path] = q.Given })
	for i, in := range u.Inputs {
		for _, f := range freeNumbers {
			if f.Name == in.Name && !given[in.Name] {
				d.free[i], d.v.at[i] = true, nil
			}
		}
		switch {
		case ofLine(in.Name, "front") && !(has(in.Name, "front.ring_lines") && typedAlone(c.Front.Lines)):
			d.front = 0
		case ofLine(in.Name, "rear") && !(has(in.Name, "rear.cog_lines") && typedAlone(c.Rear.Lines)):
			d.rear = 0
		}
	}
	if c.Front.Line.Exact {
		d.front = 0
	}
	if c.Rear.Line.Exact {
		d.rear = 0
	}
	return d, nil
}

func has(path string, starts ...string) bool {
	for _, s := range starts {
		if strings.HasPrefix(path, s) {
			return true
		}
	}
	return false
}

// ofLine reports whether a reading is one that the front or the rear line follows from.
func ofLine(path, end string) bool {
	return has(path, end+".line", end+".measured", end+".ring_lines", end+".cog_lines")
}

// typedAlone reports whether lines of single wheels were typed without ± and instrument:
// then their own doubt is that of wheel to wheel, and all may be off together as well.
func typedAlone(own []Quantity) bool {
	for _, q := range own {
		if q.Spread > 0 || q.Exact || q.Instrument != "" || len(q.Readings) > 0 {
			return false
		}
	}
	return len(own) > 0
}

// Assume makes lines uncertain by a normal spread, mm, whatever the case says, and takes
// what else was typed without ± as exact: of a bicycle that is known from reports the
// doubt is in that spread.
func (d *Drawn) Assume(front, rear float64) {
	d.front, d.rear, d.normal = front, rear, true
	typed := map[string]bool{}
	walk(reflect.ValueOf(d.c).Elem(), "", func(path string, q *Quantity) {
		typed[path] = q.Given && q.Spread == 0 && q.Instrument == "" && len(q.Readings) == 0
	})
	for i, in := range d.inputs {
		if typed[in.Name] || ofLine(in.Name, "front") || ofLine(in.Name, "rear") {
			d.fixed[i] = true
		}
	}
}

// Bike returns the case with its readings at random deviates and the free numbers at a
// set's shares, each 0 to 1.
func (d *Drawn) Bike(set []float64, random func() float64) (*sim.Bike, *sim.Free, error) {
	return d.bike(set, func(int) float64 { return random() }, [2]float64{1, 1})
}

// bike returns the case with its readings at deviates u, which are asked for by the place in
// inputs, then for the doubts of front and rear lines that have none of their own; and the free
// numbers at a set's shares. What front and rear lines are off is times so much.
func (d *Drawn) bike(set []float64, u func(i int) float64, off [2]float64) (*sim.Bike, *sim.Free, error) {
	for i, in := range d.inputs {
		if d.x[i] = in.Value; d.fixed[i] {
			continue
		}
		share := u(i)
		if !d.free[i] {
			switch {
			case ofLine(in.Name, "front"):
				d.x[i] += off[0] * in.U * lineDeviate(share)
			case ofLine(in.Name, "rear") && in.Name != dropoutRead:
				d.x[i] += off[1] * in.U * lineDeviate(share)
			default:
				d.x[i] += in.U * deviate(in.Dist, share)
			}
		}
	}
	spread := func(size, share float64) float64 {
		if d.normal {
			return size * deviate(budget.Normal, share)
		}
		return size / math.Sqrt(3) * lineDeviate(share)
	}
	d.numbers.off = [2]float64{off[0] * spread(d.front, u(len(d.inputs))), off[1] * spread(d.rear, u(len(d.inputs)+1))}
	d.v.set(d.x)
	f := d.numbers.draw(d.v.c, set)
	b, err := d.v.build(d.numbers)
	return b, f, err
}

// dropoutRead is the reading that tells a room too, and is drawn as one by whatever door it came in.
const dropoutRead = "rear.measured.gap"

// Chain returns the length of a drawn bike's chain: the case's own, or where the tool
// chooses it and a tensioner takes it up, what goes with the drawn bike. A cage that is not
// known becomes one that takes that up.
func (d *Drawn) Chain(b *sim.Bike) (links int, err error) {
	links = d.Links
	if b.Tensioner == nil {
		return links, nil
	}
	for { // a longer cage may ask for another chain; it is never made shorter again
		if d.c.Chain.Links == 0 {
			if links, err = b.ChooseLinks(); err != nil {
				return 0, err
			}
		}
		cage := b.Tensioner.Cage
		if err = d.c.takesUp(b, links); err != nil || b.Tensioner.Cage == cage {
			return links, err
		}
	}
}

// lineDeviate returns how many standard uncertainties what tells of a line is off at a share of its
// draws: however it was typed, it has no end, beside being misread. With those misread its
// standard deviation is the standard uncertainty, as a budget has it.
func lineDeviate(u float64) float64 {
	return deviate(budget.Normal, u) / math.Sqrt(1-learn.Misread+learn.Misread*misreadTimes*misreadTimes)
}

// deviate returns how many standard uncertainties a distribution lies off at a share of
// its draws; tails beyond three are cut.
func deviate(dist budget.Dist, u float64) float64 {
	switch dist {
	case budget.Rectangular:
		return math.Sqrt(3) * (2*u - 1)
	case budget.Triangular:
		if u < 0.5 {
			return math.Sqrt(6) * (math.Sqrt(2*u) - 1)
		}
		return math.Sqrt(6) * (1 - math.Sqrt(2*(1-u)))
	}
	return math.Max(-3, math.Min(math.Sqrt2*math.Erfinv(2*u-1), 3))
}

// standing returns what the default set has of a free number.
func standing(name string) float64 {
	for i := range freeNumbers {
		if freeNumbers[i].Name == name {
			return freeNumbers[i].Standing
		}
	}
	panic("cases: no free number " + name)
}
