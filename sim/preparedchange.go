package sim

import "math"

// change is what a gear of the bike without doubt is and was: in a design, and as prepared, with
// so many links.
type change struct {
	links int
	none  bool // nothing differs
	even  bool // with one cage as with another
	nodes [cageNodes]changeNode
}

// addGrounds adds a share of those numbers of others that are not taken by differences alone.
func (m *places) addGrounds(n *places, w float64) {
	for d := range m.bare.Top {
		m.bare.Top[d] += w * n.bare.Top[d]
		m.bare.Bottom[d] += w * n.bare.Bottom[d]
	}
	m.slope, m.angle, m.lever = m.slope+w*n.slope, m.angle+w*n.angle, m.lever+w*n.lever
}

// changeNode is a change with the cage of one of Prepared.cages.
type changeNode struct {
	ok      bool
	idled   bool
	rest    rest
	was, is places
	moves   places // is less was
}

// places are the facts that change smoothly.
type places struct {
	top, lead, bottom run
	bare              Tensions
	tyre              [2]float64 // of facts.tyres
	parts             [numPartGaps]float64
	lined             [2]float64 // what of tyre, as it is, is not by the lines
	rooms             [3]float64
	slope, angle      float64
	lever, wrap       float64
	excess            float64
}

func (x *facts) places() places {
	m := places{
		top: x.top, lead: x.lead, bottom: x.bottom, bare: x.bare,
		tyre:  [2]float64{known(x.tyres[0]), known(x.tyres[1])},
		rooms: [3]float64{x.rooms.Stay.MM, x.rooms.Dropout.MM, x.rooms.Wheel.MM},
		slope: x.slope, angle: x.angle, lever: x.lever, wrap: x.wrap, excess: x.fit.Excess,
	}
	for i, gap := range x.parts {
		m.parts[i] = known(gap)
	}
	return m
}

// known returns a gap, 0 of none.
func known(gap float64) float64 {
	if math.IsInf(gap, 1) {
		return 0
	}
	return gap
}

// add adds a share of others.
func (m *places) add(n *places, w float64) {
	m.addGrounds(n, w)
	m.top, m.lead, m.bottom = m.top.plus(n.top, w), m.lead.plus(n.lead, w), m.bottom.plus(n.bottom, w)
	for i := range m.parts {
		m.parts[i] += w * n.parts[i]
	}
	for i := range m.tyre {
		m.tyre[i], m.lined[i] = m.tyre[i]+w*n.tyre[i], m.lined[i]+w*n.lined[i]
	}
	for i := range m.rooms {
		m.rooms[i] += w * n.rooms[i]
	}
	m.excess, m.wrap = m.excess+w*n.excess, m.wrap+w*n.wrap
}

// How near to where a chain lies otherwise nothing is told by differences: mm of chain to where
// cage or axle come to rest; the change of length by the cage's angle, pitches/rad, and the arm on
// which the chain turns it, mm, which fall to none where the cage is at its tightest; the wrap of
// the guide pulley, and how far the cage is from its tight stop, rad.
const (
	restBand   = 1.0
	leastSlope = -2.0
	leastArm   = 10.0
	leastWrap  = 0.2
	leastAngle = 0.05
)

// Near the folded stop, mm of chain, what a version's chain has more or less than the bike's
// turns the cage by another angle in the design than it did before, as that slope changes; by
// how much it may, as a share, for differences to tell.
const (
	nearFolded = -40.0
	mostSlope  = 0.5
)

// closeTyre is how near to the tyre a run is that a version is laid anew for, where its cage is
// another than the bike's and a change does other things with it, mm: which point of the bottom
// run is nearest changes with the cage.
const closeTyre = 6.0

// farTurned is by how much the cage turns, in the design and in this version, from where on a chain
// of other links than the version had is looked at itself, rad: the pull of the cage is told too badly.
const farTurned = 0.4

// nearSlack is how near to slack a top run is looked at itself, N.
const nearSlack = 0.5

// change returns what a gear is and was with so many links.
func (p *Prepared) change(b *Bike, g, links int) *change {
	list := p.changes[g]
	for i := range list {
		if c := &list[i]; c.links == links {
			return c
		}
	}
	p.changes[g] = append(list, change{links: links})
	c := &p.changes[g][len(list)]
	for i := range p.cages {
		if p.shift.across && p.cages[i] != 0 {
			continue // nothing moves the cage
		}
		was, is := p.at(&p.bases[g], p.base, g, links, i), p.at(&p.nows[g], b, g, links, i)
		if p.cages[i] == 0 {
			c.none = was.err == nil && is.err == nil && was.facts == is.facts
		}
		n := &c.nodes[i]
		if *n = changeOf(was, is, b); n.ok && b.Tyre != nil {
			for run, gap := range b.tyreRuns(p.shift.movedLoop(&was.loop, g/len(b.Cogs), g%len(b.Cogs))) {
				n.is.lined[run] = n.is.tyre[run] - gap
			}
		}
		n.moves = n.is
		n.moves.add(&n.was, -1)
	}
	c.even = len(p.cages) == 1 || p.shift.across || c.nodes[0].alike(&c.nodes[p.middle]) && c.nodes[cageNodes-1].alike(&c.nodes[p.middle])
	return c
}

// alike reports whether two cages' changes are the same to what counts: hundredths of a millimetre,
// tenths of a thousandth in angle and arm.
func (n *changeNode) alike(m *changeNode) bool {
	if !n.ok || !m.ok || n.rest != m.rest || n.idled != m.idled {
		return false
	}
	off := func(was, is, wasM, isM float64) float64 { return math.Abs((is - was) - (isM - wasM)) }
	return off(n.was.bottom.length, n.is.bottom.length, m.was.bottom.length, m.is.bottom.length) < 0.01 &&
		off(n.was.tyre[0], n.is.tyre[0], m.was.tyre[0], m.is.tyre[0]) < 0.005 && off(n.was.lined[0], n.is.lined[0], m.was.lined[0], m.is.lined[0]) < 0.005 &&
		off(n.was.tyre[1], n.is.tyre[1], m.was.tyre[1], m.is.tyre[1]) < 0.005 && off(n.was.lined[1], n.is.lined[1], m.was.lined[1], m.is.lined[1]) < 0.005 &&
		off(n.was.angle, n.is.angle, m.was.angle, m.is.angle) < 3e-4 &&
		off(n.was.excess, n.is.excess, m.was.excess, m.is.excess) < 0.05 &&
		math.Abs(n.is.lever/n.was.lever-m.is.lever/m.was.lever) < 3e-4
}

// placesOf returns what the bike without doubt is and was with a version's cages, and where its
// chain rests; false where that cannot be told.
func (p *Prepared) placesOf(c *change, v *prepared, was, is *places) (*changeNode, bool) {
	middle := &c.nodes[p.middle]
	if !middle.ok {
		return nil, false
	}
	if len(p.cages) == 1 || c.even && v.cageIs == v.cageWas {
		*was, *is = middle.was, middle.is
		return middle, true
	}
	for i := range p.cages {
		if n := &c.nodes[i]; !n.ok || n.rest != middle.rest || n.idled != middle.idled {
			*was, *is = middle.was, middle.is
			return middle, v.cageWas[p.middle] == 1 && v.cageIs[p.middle] == 1
		}
	}
	*was = places{}
	if v.cageIs == v.cageWas { // of most numbers the differences alone count
		for i := range p.cages {
			was.addGrounds(&c.nodes[i].was, v.cageWas[i])
		}
		*is = *was
		for i := range p.cages {
			is.add(&c.nodes[i].moves, v.cageWas[i])
		}
		return middle, true
	}
	*is = places{}
	for i := range p.cages {
		was.add(&c.nodes[i].was, v.cageWas[i])
		is.add(&c.nodes[i].is, v.cageIs[i])
	}
	return middle, true
}

// at returns a gear of a bike without doubt, with so many links and one of the cages.
func (p *Prepared) at(list *[]laidAt, b *Bike, g, links, cage int) *laidAt {
	for i := range *list {
		if x := &(*list)[i]; x.links == links && x.cage == cage {
			return x
		}
	}
	*list = append(*list, laidAt{links: links, cage: cage})
	x := &(*list)[len(*list)-1]
	if p.cages[cage] != 0 {
		p.longer, p.cage = *b, *b.Tensioner
		p.cage.Cage += p.cages[cage]
		p.longer.Tensioner = &p.cage
		b = &p.longer
	}
	longer, err := p.takingUp(b, links)
	if x.err = err; err == nil {
		p.o.ringStay = b.RingStayGap()
		p.layOne(x, longer, g/len(b.Cogs), g%len(b.Cogs), &near{})
	}
	return x
}

// caged returns a bike with another cage.
func (b *Bike) caged(cage float64) *Bike {
	longer, t := *b, *b.Tensioner
	t.Cage = cage
	longer.Tensioner = &t
	return &longer
}

func changeOf(from, to *laidAt, b *Bike) (c changeNode) {
	if from.err != nil || to.err != nil {
		return c
	}
	was, is := &from.facts, &to.facts
	c.was, c.is = was.places(), is.places()
	c.idled, c.rest = is.idled, is.fit.rest()
	c.ok = was.idled == is.idled && was.fit.rest() == is.fit.rest() && is.clear(b) && was.clear(b)
	for _, t := range []*Tensions{&was.bare, &is.bare} {
		c.ok = c.ok && t.Top[Riding] > 0 && t.Bottom[Riding] > 0 && t.Bottom[Backwards] > 0
	}
	return c
}

func (r run) plus(s run, w float64) run { return run{r.length + w*s.length, r.across + w*s.across} }

// moved puts a run where it is, by where another was and is.
func (r run) moved(was, is run) run {
	return run{r.length + is.length - was.length, r.across + is.across - was.across}
}

// rest tells where cage or axle stand.
type rest int

const (
	holds  rest = iota // at the place that the chain gives them
	loose              // at the stop, with chain left over
	strain             // the chain is too short
)

func (f *Fit) rest() rest {
	switch {
	case f.Short > 0:
		return strain
	case f.Closes:
		return holds
	}
	return loose
}

// clear reports whether a gear's facts are those of a chain that would lie alike were a
// dimension a little other, on a bike with these parts.
func (x *facts) clear(b *Bike) bool {
	if x.fit.rest() == strain || math.Abs(x.fit.Excess) < restBand {
		return false
	}
	if b.Tensioner == nil { // Excess is from the back end of the slot; the front end is about so far
		return x.fit.Excess > 2*restBand-2*(b.Slot.Forward+b.Slot.Back)
	}
	return x.slope < leastSlope && x.lever > leastArm && x.wrap > leastWrap && x.angle < b.Tensioner.Stretched-leastAngle
}

// pull finds the pulls of a version: with a cage, of its own spring at the angle and on the lever
// that it has in the design, else by the ratio.
func (x *facts) pull(was, is *places, b *Bike, p *Prepared) {
	x.bare.Top[Riding] *= is.bare.Top[Riding] / was.bare.Top[Riding]
	drag := (x.bare.Top[Backwards] - x.bare.Bottom[Backwards]) + (is.bare.Top[Backwards] - is.bare.Bottom[Backwards]) - (was.bare.Top[Backwards] - was.bare.Bottom[Backwards])
	if t := b.Tensioner; t != nil {
		x.lever *= is.lever / was.lever
		now, then := p.design.Tensioner, p.base.Tensioner
		moment := t.Spring + now.Spring - then.Spring + (t.SpringRate+now.SpringRate-then.SpringRate)*x.angle
		x.bare.Bottom[Riding] = moment / max(x.lever, leastLever)
		x.bare.Bottom[Backwards] = x.bare.Bottom[Riding]
	} else {
		x.bare.Bottom[Riding] *= is.bare.Bottom[Riding] / was.bare.Bottom[Riding]
		x.bare.Bottom[Backwards] *= is.bare.Bottom[Backwards] / was.bare.Bottom[Backwards]
	}
	x.bare.Top[Backwards] = x.bare.Bottom[Backwards] + drag
}

// move changes a version's facts; it reports false where they cannot be told so.
func (p *Prepared) move(c *change, x *facts, v *prepared, ring int) bool {
	var was, is places
	rest, b := x.fit.rest(), v.Bike
	n, ok := p.placesOf(c, v, &was, &is)
	if !ok || x.idled != n.idled || rest != n.rest {
		return false
	}
	x.top, x.lead, x.bottom = x.top.moved(was.top, is.top), x.lead.moved(was.lead, is.lead), x.bottom.moved(was.bottom, is.bottom)
	off := x.angle - was.angle // what this version's chain turns the cage otherwise
	x.slope += is.slope - was.slope
	x.fit.Excess += is.excess - was.excess
	if rest == holds && b.Tensioner != nil {
		if math.Abs(is.slope-was.slope) > mostSlope*math.Abs(x.slope) {
			return false
		}
		if c.links != v.Links && math.Abs(is.angle-was.angle)+math.Abs(off) > farTurned {
			return false
		}
		x.angle = is.angle + off*was.slope/is.slope
		if x.fit.Excess > nearFolded {
			folded := b.Tensioner.Folded + p.design.Tensioner.Folded - p.base.Tensioner.Folded
			x.fit.Excess = x.slope * (x.angle - folded) * b.Chain.Pitch
		}
	} else {
		x.angle += is.angle - was.angle
	}
	x.wrap += is.wrap - was.wrap
	x.pull(&was, &is, b, p)
	if rest == loose {
		x.fit.Slack = x.fit.Excess
	}
	x.tooLong = x.fit.TooLong()
	x.pulls = x.bare
	if b.Tensioner != nil {
		x.pulls.slacken(x.tooLong)
	}
	x.ringLine = v.ring[ring]
	for i := range x.parts {
		x.parts[i] += is.parts[i] - was.parts[i]
	}
	for i := range x.tyres {
		x.tyres[i] += is.tyre[i] - was.tyre[i]
		x.besideLines[i] = is.lined[i] - was.lined[i]
	}
	x.tyre = min(x.tyres[0], x.tyres[1])
	if x.tyre < closeTyre && !c.even && math.Abs(v.Bike.Tensioner.Cage-p.base.Tensioner.Cage) > alikeCage {
		return false
	}
	for i, g := range [...]*Gap{&x.rooms.Stay, &x.rooms.Dropout, &x.rooms.Wheel} {
		g.MM += is.rooms[i] - was.rooms[i]
	}
	if b.Tensioner != nil && math.Abs(x.bare.Top[Backwards]) < nearSlack {
		return false
	}
	after := holds
	if x.fit.Excess > 0 {
		after = loose
	}
	return after == rest && x.clear(b)
}
