package cases

import (
	"math"
	"math/rand/v2"
	"sort"

	"gonum.org/v1/gonum/stat"

	"chainpath/sim"
)

// Bounds of a guide pulley's float where a case does not say it, mm (assumption), and the
// random stream it is drawn from.
const (
	leastFloat  = 0.2
	mostFloat   = 1.0
	floatStream = 23
)

// crispWait is the mean wait for a place to cross, turns of the wheel, up to which a shift
// is called crisp (assumption).
const crispWait = 0.25

// Shifting is what the drawn sets say of indexing and of shifts.
type Shifting struct {
	Windows  []IndexedGear // of every ring with every cog
	Common   CommonSetting // in which every gear runs; Binds are places in Windows
	Setting  CommonSetting // in which it also shifts, both ways; Binds are places in Shifts
	Straight Size          // width of the latter with a straight hanger, mm
	Along    []LineSetting // the common window with the rings elsewhere
	Shifts   []ShiftChance // on every ring, from cog to cog, from the smallest up
	Turn     float64       // what a turn of the adjuster moves the pulley, mm; 0: not known
	Now      float64       // the setting as the case has it: pulleys outboard of the cog, mm
	Sets     int
}

// IndexedGear is a gear's index window: 5, 50 and 95 % points, mm outboard of the cog.
type IndexedGear struct {
	Ring, Cog int
	From, To  Size
	Binds     [2]sim.Binding // what ends it most often
	Off       float64        // what a bent hanger does in this gear, mm
	Fine      float64        // chance that the pulley stands inside, as the case has it
}

// CommonSetting is the cable's one setting for all gears.
type CommonSetting struct {
	From, To, Width Size
	Exists          float64 // chance that there is one
	Fine            float64 // chance that today's is one
	Binds           [2]int  // what ends it most often
}

// LineSetting is the common window with the rings moved outboard.
type LineSetting struct {
	Shift float64 // mm
	Width float64 // median
}

// ShiftChance is a shift over the drawn sets.
type ShiftChance struct {
	Ring, From, To               int // indices
	Past                         Size
	Lean                         float64 // mean, mm
	Places, Degree, Delay, Never float64
	Of                           int
	Crisp, Slow, Reluctant       float64 // chances that sum to 1
}

// lineShifts are where the rings are tried, mm outboard of today's place.
var lineShifts = []float64{-4, -3, -2, -1, 0, 1, 2, 3, 4}

// Shifting computes index windows and shifts, riding. Errors are *Error, wrap ErrSets, or
// come from package sim.
func (c *Case) Shifting() (*Shifting, error) {
	nominal, err := c.Bike()
	if err != nil {
		return nil, err
	}
	switch {
	case nominal.Tensioner == nil:
		return nil, c.fail("tensioner", "none: nothing is indexed and nothing shifts")
	case len(nominal.Cogs) < 2:
		return nil, c.fail("rear.cogs", "one cog, want two and more: nothing is indexed and nothing shifts")
	}
	sets, err := c.starts()
	if err != nil {
		return nil, err
	}
	s := &Shifting{Sets: len(sets), Now: nominal.Tensioner.IndexError, Turn: c.adjusterTurn(nominal)}
	sum := newShiftSums(nominal)
	d, err := c.Draws()
	if err != nil {
		return nil, err
	}
	var o sim.Odds
	var failed error
	for k := range sets {
		if err := c.Stopped(); err != nil {
			return nil, err
		}
		if err := sum.add(c, d, &o, sets[k]); err != nil {
			failed = err
		}
	}
	if len(sum.common.width) < len(sets)/2 {
		return nil, c.Explain(failed)
	}
	sum.into(s)
	return s, nil
}

// adjusterTurn returns what a turn of the cable's adjuster moves the pulley, mm; 0 where
// cable or pitch are not given.
func (c *Case) adjusterTurn(b *sim.Bike) float64 {
	t := c.Tensioner
	if t == nil || !t.Cable.Given || !t.Adjuster.Given {
		return 0
	}
	step := (b.Cogs[0].Line - b.Cogs[len(b.Cogs)-1].Line) / float64(len(b.Cogs)-1)
	return t.Adjuster.Value * step / t.Cable.Value
}

// settingSums gathers a common setting.
type settingSums struct {
	low, high, width []float64
	exists, fine     float64
	ends             [2]map[int]int
}

func (s *settingSums) take(low, high, now float64, ends [2]int) {
	s.low, s.high, s.width = append(s.low, low), append(s.high, high), append(s.width, high-low)
	s.ends[0][ends[0]]++
	s.ends[1][ends[1]]++
	if low <= high {
		s.exists++
	}
	if low <= now && now <= high {
		s.fine++
	}
}

func (s *settingSums) common() CommonSetting {
	made := float64(len(s.width))
	return CommonSetting{
		From: points(s.low), To: points(s.high), Width: points(s.width),
		Exists: OffTheEnds(s.exists / made), Fine: OffTheEnds(s.fine / made), Binds: [2]int{mostOf(s.ends[0]), mostOf(s.ends[1])},
	}
}

// shiftSums gathers what every set gives.
type shiftSums struct {
	rings, cogs       int
	windows           []sim.IndexWindow
	from, to          [][]float64 // by gear
	binds             [][2]map[sim.Binding]int
	fine              []float64
	common, setting   settingSums
	straight          []float64
	along             [][]float64
	shifts            []sim.Shift
	past              [][]float64
	lean, place, wait []float64
	never, degree     []float64
	words             [][3]float64
	of                []int
}

func newShiftSums(b *sim.Bike) *shiftSums {
	n, m := len(b.Rings)*len(b.Cogs), len(b.Rings)*2*(len(b.Cogs)-1)
	s := &shiftSums{rings: len(b.Rings), cogs: len(b.Cogs), windows: make([]sim.IndexWindow, n), from: make([][]float64, n), to: make([][]float64, n),
		binds: make([][2]map[sim.Binding]int, n), fine: make([]float64, n), along: make([][]float64, len(lineShifts)),
		shifts: make([]sim.Shift, 2*(len(b.Cogs)-1)), past: make([][]float64, m), words: make([][3]float64, m), of: make([]int, m)}
	for _, x := range []*[]float64{&s.lean, &s.place, &s.wait, &s.never, &s.degree} {
		*x = make([]float64, m)
	}
	for g := range s.binds {
		s.binds[g] = [2]map[sim.Binding]int{{}, {}}
	}
	s.common.ends, s.setting.ends = [2]map[int]int{{}, {}}, [2]map[int]int{{}, {}}
	return s
}

// add takes what one set gives.
func (s *shiftSums) add(c *Case, d *Drawn, o *sim.Odds, from start) error {
	b, f, err := d.Bike(from.set, rand.New(rand.NewPCG(from.seed, readingStream)).Float64)
	if err != nil {
		return err
	}
	links, err := d.Chain(b)
	if err != nil {
		return err
	}
	if !c.Tensioner.Float.Given {
		b.Tensioner.Float = leastFloat + (mostFloat-leastFloat)*rand.New(rand.NewPCG(from.seed, floatStream)).Float64()
	}
	var widths []float64
	at := 0.0
	for _, shift := range append(lineShifts[:len(lineShifts):len(lineShifts)], 0) { // today's place last: its windows stay
		for i := range b.Rings {
			b.Rings[i].Line += shift - at
		}
		at = shift
		if err := o.Index(s.windows, b, f, links); err != nil {
			return err
		}
		low, high, _ := sim.Overlap(s.windows)
		widths = append(widths, high-low)
	}
	for i := range lineShifts {
		s.along[i] = append(s.along[i], widths[i])
	}
	now := b.Tensioner.IndexError
	low, high, ends := sim.Overlap(s.windows)
	s.common.take(low, high, now, ends)
	for g, w := range s.windows {
		s.from[g], s.to[g] = append(s.from[g], w.From), append(s.to[g], w.To)
		s.binds[g][0][w.Binds[0]]++
		s.binds[g][1][w.Binds[1]]++
		if x := now + w.Off; x >= w.From && x <= w.To {
			s.fine[g]++
		}
	}
	all := make([]sim.Shift, 0, len(s.past))
	for ring := range b.Rings {
		if err := o.Shifts(s.shifts, b, f, ring, links); err != nil {
			return err
		}
		all = append(all, s.shifts...)
	}
	from2, to2, binds := sim.Setting(all)
	s.setting.take(math.Max(low, from2), math.Min(high, to2), now, binds)
	s.straight = append(s.straight, s.straightened(all))
	s.takeShifts(all, now)
	return nil
}

// straightened returns how wide the setting of one set would be with a straight hanger, which
// is what it is but for how far a bent one puts the pulleys aside, mm.
func (s *shiftSums) straightened(all []sim.Shift) float64 {
	windows, shifts := append([]sim.IndexWindow(nil), s.windows...), append([]sim.Shift(nil), all...)
	for i := range windows {
		windows[i].Off = 0
	}
	for i := range shifts {
		x := &shifts[i]
		if off := s.windows[x.To].Off; x.To < x.From {
			x.Past += off
		} else {
			x.Past -= off
		}
	}
	low, high, _ := sim.Overlap(windows)
	from, to, _ := sim.Setting(shifts)
	return math.Min(high, to) - math.Max(low, from)
}

func (s *shiftSums) takeShifts(all []sim.Shift, now float64) {
	for j, x := range all {
		s.past[j] = append(s.past[j], x.Past)
		s.lean[j] += x.Lean
		s.place[j], s.of[j] = s.place[j]+x.Places, x.Of
		s.wait[j] += x.Delay
		s.never[j] += x.Never
		s.degree[j] += x.Degree
		missing := x.Past + now // of the way inboard
		if x.To < x.From {
			missing = x.Past - now
		}
		switch {
		case missing > 0:
			s.words[j][2]++
		case x.Delay <= crispWait:
			s.words[j][0]++
		default:
			s.words[j][1]++
		}
	}
}

// into works the sums out.
func (s *shiftSums) into(to *Shifting) {
	made := float64(len(s.common.width))
	for g := range s.windows {
		to.Windows = append(to.Windows, IndexedGear{
			Ring: g / s.cogs, Cog: g % s.cogs, From: points(s.from[g]), To: points(s.to[g]),
			Binds: [2]sim.Binding{mostOf(s.binds[g][0]), mostOf(s.binds[g][1])}, Off: s.windows[g].Off, Fine: OffTheEnds(s.fine[g] / made),
		})
	}
	to.Common, to.Setting, to.Straight = s.common.common(), s.setting.common(), points(s.straight)
	for i, x := range lineShifts {
		to.Along = append(to.Along, LineSetting{x, points(s.along[i])[1]})
	}
	for j := range s.past {
		x := s.shifts[j%len(s.shifts)]
		to.Shifts = append(to.Shifts, ShiftChance{
			Ring: j / len(s.shifts), From: x.From, To: x.To, Past: points(s.past[j]), Lean: s.lean[j] / made,
			Places: s.place[j] / made, Of: s.of[j], Degree: s.degree[j] / made, Delay: s.wait[j] / made, Never: s.never[j] / made,
			Crisp: OffTheEnds(s.words[j][0] / made), Slow: OffTheEnds(s.words[j][1] / made), Reluctant: OffTheEnds(s.words[j][2] / made),
		})
	}
}

// points returns the 5, 50 and 95 % points; values are sorted.
func points(values []float64) (s Size) {
	sort.Float64s(values)
	for i, p := range [...]float64{0.05, 0.5, 0.95} {
		s[i] = stat.Quantile(p, stat.Empirical, values, nil)
	}
	return s
}

// mostOf returns the most frequent key, of equals the least.
func mostOf[K ~int](count map[K]int) (most K) {
	best := -1
	for k, n := range count {
		if n > best || n == best && k < most {
			most, best = k, n
		}
	}
	return most
}
