package sim

import (
	"errors"
	"math"

	"chainpath/sim/engage"
)

// Version is one drawn bike, with the free numbers that go with it and the links of its chain.
type Version struct {
	Bike  *Bike
	Free  *Free
	Links int
	Need  float64 // pitches that Links were cut for, as Bike.Need; 0: they are given
}

// Design is a bike to be judged.
type Design struct {
	Bike  *Bike
	Links int  // of its chain; versions have as many more or fewer as when they were prepared
	Cut   bool // each version's chain is cut for the design, where it was cut for the bike
}

// Prepared judges designs by versions of a bike that were drawn, measured and laid once.
//
// A design is the bike with other dimensions: lines, stay, pulls, places of its parts. Of each,
// the bike itself, without doubt, is laid; by how much its facts change from the prepared bike
// to the design, those of every version change too: lengths, places and gaps by the difference; the
// pull of a cage is that of the version's own spring, at the angle and on the arm that it has then,
// and pulls without a cage go by the ratio. Lines are in that exactly; what is left out is how a reading's doubt
// changes the effect of a change, a product of two small things. The bowed gap to a neighbour
// is kept over slope and tension of the run, from those that the version had, and taken as
// linear between. The prepared bike itself is judged exactly. Where a chain comes to rest on a
// stop, or near it, the version is laid anew.
//
// It is scratch, for one goroutine. What it was asked before changes no answer.
type Prepared struct {
	// Sizes asks for the sizes of faults beside their chances; without, what is surely farther
	// off than nine softnesses is not looked at more closely.
	Sizes bool
	// ByBend asks for the chances alone that go by the bend of a run; the rest are left out. What runs beside
	// neighbours and the tyre, which takes longest, is not looked at then.
	ByBend bool
	// Spare, where it is above 0, is by how much cages, which are not known, are longer than the
	// least that takes up the chain, mm.
	Spare float64
	// Judged counts gears of versions, Anew those of them that were laid anew.
	Judged, Anew int

	base     *Bike
	links    int
	versions []prepared
	bases    [][]laidAt // of the prepared bike, by gear
	nows     [][]laidAt // of the design at hand
	changes  [][]change
	cages    []float64 // by how much longer cages changes are looked at with, mm; one is 0
	middle   int       // that one
	leasts   []leastCages
	longer   Bike // with another cage
	cage     Tensioner
	design   *Bike
	shift    shifts
	more     float64 // chain that the design needs more than the prepared bike, pitches
	o        Odds
	chances  []Chances
	sizes    []Sizes
	anew     anew
}

// laidAt is a gear of a bike without doubt, with so many links and one of the cages.
type laidAt struct {
	links int
	cage  int // of Prepared.cages
	facts facts
	loop  Loop
	err   error
}

// prepared is a version with all that is kept of it.
type prepared struct {
	Version
	err       error   // why it cannot be
	facts     []facts // by gear
	loops     []*Loop // of gears that run near the tyre
	others    []otherLinks
	bows      [][3][2]bow
	rings     [][2]engage.Landing
	cogs      [][2]engage.Landing
	idler     engage.Landing
	ring, cog []float64 // lines in the design at hand, mm

	cageWas, cageIs [cageNodes]float64 // shares of Prepared.cages, as prepared and in the design at hand
}

// otherLinks are a version's facts with a chain of other links, all else as it was prepared.
type otherLinks struct {
	links int
	bike  *Bike
	least float64 // cage that takes them up, mm
	facts []facts
	loops []*Loop
	err   error
}

// ErrOther reports a design that differs from the prepared bike in more than dimensions.
var ErrOther = errors.New("sim: another bike than the prepared one")

// Prepare lays the versions of a bike, whose own chain has so many links. Cages of versions differ
// by so many mm either way. Versions, and the bike, must not be written to afterwards. What cannot
// be is visited with its error.
func Prepare(base *Bike, links int, cageWithin float64, versions []Version) *Prepared {
	n := len(base.Rings) * len(base.Cogs)
	p := &Prepared{
		base: base, links: links, versions: make([]prepared, len(versions)),
		bases: make([][]laidAt, n), nows: make([][]laidAt, n), changes: make([][]change, n),
		chances: make([]Chances, n), sizes: make([]Sizes, n),
	}
	p.setCages(cageWithin)
	p.follow(p.bases, base, links)
	facts := make([]facts, n*len(versions))
	for k := range versions {
		v := &p.versions[k]
		v.Version, v.facts, v.loops = versions[k], facts[k*n:(k+1)*n], make([]*Loop, n)
		if v.err = p.measure(v.facts, v.loops, v.Bike, v.Links); v.err == nil {
			v.land()
		}
	}
	return p
}

// measure lays every gear of a bike, and keeps the loops that run near the tyre.
func (p *Prepared) measure(to []facts, loops []*Loop, b *Bike, links int) error {
	p.o.ringStay = b.RingStayGap()
	for ring := range b.Rings {
		var from near
		for cog := range b.Cogs {
			g := ring*len(b.Cogs) + cog
			if err := p.o.measure(&to[g], b, ring, cog, links, &from); err != nil {
				return err
			}
			if to[g].tyre < keepTyre {
				l := p.o.loop
				loops[g] = &l
			}
		}
	}
	return nil
}

// with returns what is kept of a version with so many links.
func (p *Prepared) with(v *prepared, links int) *otherLinks {
	for i := range v.others {
		if x := &v.others[i]; x.links == links {
			return x
		}
	}
	x := otherLinks{links: links, bike: v.Bike, facts: v.facts, loops: v.loops}
	if p.Spare > 0 {
		x.least, x.err = v.Bike.LeastCage(links)
	}
	if links != v.Links && x.err == nil {
		x.facts, x.loops = make([]facts, len(v.facts)), make([]*Loop, len(v.facts))
		if x.bike, x.err = p.takingUp(v.Bike, links); x.err == nil {
			x.err = p.measure(x.facts, x.loops, x.bike, links)
		}
	}
	v.others = append(v.others, x)
	return &v.others[len(v.others)-1]
}

// takingUp returns a bike whose cage, if it is not known, takes up so many links.
func (p *Prepared) takingUp(b *Bike, links int) (*Bike, error) {
	if p.Spare == 0 {
		return b, nil
	}
	least, err := b.LeastCage(links)
	if err != nil || least+p.Spare <= b.Tensioner.Cage {
		return b, err
	}
	return b.caged(least + p.Spare), nil
}

// land prepares the wheels of a version for arriving links.
func (v *prepared) land() {
	b, f := v.Bike, v.Free
	c := b.Chain.Chain
	c.Seat = f.Seat
	var d engage.Lander
	of := func(s *Sprocket, driven bool, allowance float64) engage.Landing {
		w := s.Entry(c.Pitch)
		w.Allowance, w.Driven = allowance, driven
		return d.Land(w, c)
	}
	v.rings, v.cogs = make([][2]engage.Landing, len(b.Rings)), make([][2]engage.Landing, len(b.Cogs))
	for _, driven := range [2]engage.Duty{engage.Idle, engage.Driven} {
		for i := range b.Rings {
			v.rings[i][driven] = of(&b.Rings[i].Sprocket, driven == engage.Driven, 0)
		}
		if driven == engage.Driven && b.Drive != Fixed {
			continue
		}
		for i := range b.Cogs {
			v.cogs[i][driven] = of(&b.Cogs[i].Sprocket, driven == engage.Driven, f.allowance(b))
		}
	}
	if b.Idler != nil {
		v.idler = of(&b.Idler.Sprocket, false, 0)
	}
	v.ring, v.cog = make([]float64, len(b.Rings)), make([]float64, len(b.Cogs))
}

func (v *prepared) landings(ring, cog int) landings {
	r, c := &v.rings[ring], &v.cogs[cog]
	return landings{[2]*engage.Landing{&r[0], &r[1]}, [2]*engage.Landing{&c[0], &c[1]}, &v.idler}
}

// Visit takes what a version gives of a design: chances and, where they were asked for, sizes
// of every gear, rings and cogs from small to large, which hold until the next; or why it
// cannot be.
type Visit func(version int, chances []Chances, sizes []Sizes, err error)

// Gears judges a design by every version, in their order. Errors wrap ErrOther, or are as of
// Odds.Gears where the design itself cannot be.
func (p *Prepared) Gears(d Design, visit Visit) error {
	if !p.Takes(d.Bike) {
		return ErrOther
	}
	if err := p.start(&d); err != nil {
		return err
	}
	for k := range p.versions {
		v := &p.versions[k]
		links, err := 0, v.err
		if err == nil {
			links, err = p.linksOf(v, &d)
		}
		if err == nil {
			err = p.version(v, d.Bike, links)
		}
		visit(k, p.chances, p.sizes, err)
	}
	return nil
}

// needDoubt is how much of a link a version's need of chain in a design may be off by the
// difference alone; where that decides, it is worked out.
const needDoubt = 0.01

// linksOf returns the links that a version has in a design.
func (p *Prepared) linksOf(v *prepared, d *Design) (int, error) {
	if !d.Cut || v.Need == 0 {
		return v.Links + d.Links - p.links, nil
	}
	n := v.Need + p.more
	if p.more != 0 && v.Bike.evenUp(n-needDoubt) != v.Bike.evenUp(n+needDoubt) {
		var err error
		if n, err = p.carried(v).Need(); err != nil {
			return 0, err
		}
	}
	return v.Bike.evenUp(n), nil
}

// start forgets the design before.
func (p *Prepared) start(d *Design) error {
	for g := range p.nows {
		p.nows[g], p.changes[g] = p.nows[g][:0], p.changes[g][:0]
	}
	p.design = d.Bike
	p.shift.between(p.base, d.Bike)
	p.anew.of, p.more, p.leasts = nil, 0, p.leasts[:0]
	if d.Cut && d.Bike.Tensioner != nil {
		is, err := d.Bike.Need()
		if err != nil {
			return err
		}
		was, err := p.base.Need()
		if err != nil {
			return err
		}
		p.more = is - was
	}
	p.follow(p.nows, d.Bike, d.Links)
	return nil
}

// follow lays the gears of a bike without doubt with its own links, in a row.
func (p *Prepared) follow(all [][]laidAt, b *Bike, links int) {
	p.o.ringStay = b.RingStayGap()
	for ring := range b.Rings {
		var from near
		for cog := range b.Cogs {
			g := ring*len(b.Cogs) + cog
			all[g] = append(all[g], laidAt{links: links, cage: p.middle})
			p.layOne(&all[g][0], b, ring, cog, &from)
		}
	}
}

// layOne fills in the facts of a bike without doubt but for its neighbours.
func (p *Prepared) layOne(at *laidAt, b *Bike, ring, cog int, from *near) {
	x := &at.facts
	if at.err = p.o.lay(x, b, ring, cog, at.links, from); at.err != nil {
		return
	}
	x.parted(b, &p.o.loop)
	x.rooms = b.rooms(&p.o.loop, cog, p.o.ringStay)
	at.loop = p.o.loop
}

// From where on the gap to the tyre is taken from a version's own loop, mm, and of what gears
// loops are kept for that.
const (
	nearTyre = 8.0
	keepTyre = 30.0
)

// movedLoop returns a loop with the wheels of a design's gear moved along their axles.
func (s *shifts) movedLoop(l *Loop, ring, cog int) *Loop {
	moved := &s.loop
	*moved = *l
	moved.Line[AtRing] += s.rings[ring]
	for _, at := range [...]Part{AtCog, AtGuide, AtTension} {
		moved.Line[at] += s.cogs[cog]
	}
	return moved
}

// tyred returns a version's bike with the tyre that it has in the design.
func (p *Prepared) tyred(v *prepared) *Bike {
	s := &p.shift
	if *p.design.Tyre == *p.base.Tyre {
		return v.Bike
	}
	own, was, is := v.Bike.Tyre, p.base.Tyre, p.design.Tyre
	s.tyre = Tyre{
		BeadSeat: own.BeadSeat + is.BeadSeat - was.BeadSeat, Section: own.Section + is.Section - was.Section,
		Width: own.Width + is.Width - was.Width, Dish: own.Dish + is.Dish - was.Dish, Mud: own.Mud + is.Mud - was.Mud,
	}
	s.bike = *v.Bike
	s.bike.Tyre = &s.tyre
	return &s.bike
}

// lines puts a version's wheels where the design has them.
func (v *prepared) lines(s *shifts) {
	for i := range v.ring {
		v.ring[i] = v.Bike.Rings[i].Line + s.rings[i]
	}
	for i := range v.cog {
		v.cog[i] = v.Bike.Cogs[i].Line + s.cogs[i]
	}
}

// version judges all gears of a version, with so many links.
func (p *Prepared) version(v *prepared, b *Bike, links int) error {
	v.lines(&p.shift)
	o := &p.o
	o.Sizes = nil
	if p.Sizes {
		o.Sizes = p.sizes
	}
	kept := p.with(v, links)
	if kept.err != nil {
		return kept.err
	}
	had, loops := kept.facts, kept.loops
	p.cagesOf(v, kept)
	cogs := len(b.Cogs)
	for g := range had {
		ring, cog := g/cogs, g%cogs
		p.Judged++
		x := had[g]
		ch := p.change(b, g, links)
		if !ch.none || links != v.Links {
			ok, err := p.moved(&x, v, ch, g, loops[g])
			if err != nil {
				return err
			}
			if !ok {
				p.Anew++
				if err := p.again(&x, v, ring, cog, links); err != nil {
					return err
				}
			}
		}
		w := v.landings(ring, cog)
		o.judge(&p.chances[g], v.Bike, v.Free, ring, cog, &x, &w)
		if p.Sizes {
			p.sizes[g] = o.size
		}
		if p.ByBend {
			p.chances[g].byBend()
		}
	}
	return nil
}

// byBend leaves out what does not go by the bend of a run.
func (c *Chances) byBend() {
	for k := range c {
		if !Hazards[k].ByBend {
			c[k] = -1
		}
	}
}

// softest is beyond how many softnesses a gap is not looked at more closely without Sizes: a
// chance of 1.2e-4.
const softest = 9

// moved puts a version's facts where the design has them, l being its loop where it runs near the
// tyre; it reports false where that cannot be told so.
func (p *Prepared) moved(x *facts, v *prepared, ch *change, g int, l *Loop) (bool, error) {
	if !p.move(ch, x, v, g/len(v.cog)) {
		return false, nil
	}
	if p.ByBend {
		return true, nil
	}
	if l != nil && x.tyre < nearTyre {
		x.tyre = nearTyre
		moved, b := p.shift.movedLoop(l, g/len(v.cog), g%len(v.cog)), p.tyred(v)
		for run, gap := range x.tyres {
			if gap < nearTyre {
				gap = b.tyreRun(moved, run) + x.besideLines[run]
			}
			x.tyre = min(x.tyre, gap)
		}
	}
	return true, p.bowed(x, v, g)
}

// bowed finds the gaps to a version's neighbours in a design.
func (p *Prepared) bowed(x *facts, v *prepared, g int) error {
	if v.bows == nil {
		v.bows = make([][3][2]bow, len(v.facts))
	}
	cogs := len(v.cog)
	ring, cog := g/cogs, g%cogs
	for i := range x.beside[:x.besides] {
		s := &x.beside[i]
		n := beside{kind: s.kind, span: s.span}
		n.runs(x)
		soft, off, apart := v.Free.SoftCog, v.Free.Room, 0.0
		if s.kind == toCog {
			n.own, n.next = &v.Bike.Cogs[cog], &v.Bike.Cogs[cog+1]
			apart = v.cog[cog] - v.cog[cog+1]
		} else {
			soft, off = v.Free.SoftRing, -v.Free.Pins
			n.own, n.next = &v.Bike.Rings[ring], &v.Bike.Rings[ring+1]
			apart = v.ring[ring] - v.ring[ring+1]
		}
		enough := math.Inf(1)
		if !p.Sizes {
			enough = softest*soft - off
		}
		had := &v.facts[g]
		var err error
		if s.gap, err = p.bow(&v.bows[g][i][0], &n, v, had, had.beside[i].gap, apart, enough); err != nil {
			return err
		}
		if s.kind == toRing && v.Bike.PinsAt > 0 && !math.IsInf(s.gap, 1) {
			low := n.pinned(v.Bike)
			if s.pins, err = p.bow(&v.bows[g][i][1], &low, v, had, had.beside[i].pins, apart, enough); err != nil {
				return err
			}
		}
	}
	return nil
}
