package cases

import (
	"math"

	"chainpath/sim"
)

// What nobody measured follows from what a bicycle that rides shows: its cage takes up its
// chain, and its axle stands where its chain is taut.

// Room that a cage has beyond the least one that takes up the chain, mm, and how far a
// usual one may differ from what is taken (assumptions).
const (
	cageRoom   = 4.0
	cageSpare  = 1.0
	cageWithin = 10.0
)

// derived are numbers that follow from the rest of a case, where it does not give them.
type derived struct {
	cage  float64 // pulley centre to pulley centre, mm; 0: the default's
	least float64 // of that, with which the chain is taken up, mm
	apart float64 // of that, with which the pulleys keep clear of each other, mm
}

// derive works out what follows from the rest; it is asked of cases that were found good.
func (c *Case) derive() error {
	c.derived = derived{}
	b, err := c.Bike()
	if err != nil {
		return err
	}
	if err := c.setLinksAside(b); err != nil {
		return err
	}
	b.Chain.Links = c.Chain.Links
	if c.loose {
		c.room = c.axleRoom() // the count may have been set aside
	}
	if c.Tensioner == nil || c.Tensioner.Cage.Given {
		return nil
	}
	t := b.Tensioner
	c.derived.apart = t.Guide.TipRadius(b.Chain.Pitch) + t.Tension.TipRadius(b.Chain.Pitch) + cageSpare
	// The chain's length hangs a little on the cage, and the cage on the chain's length: the
	// shortest cage that takes up the chain that goes with it.
	usual := b.Tensioner.Cage
	for range 4 {
		links, err := b.ChooseLinks()
		if err != nil {
			return c.Explain(err)
		}
		least, err := b.LeastCage(links)
		if err != nil {
			return c.Explain(err)
		}
		room := max(usual, math.Ceil(least+cageRoom))
		if c.derived.cage > 0 && room >= c.derived.cage {
			return nil
		}
		c.derived.cage, c.derived.least = room, least
		if least <= b.Tensioner.Cage && room >= b.Tensioner.Cage {
			return nil
		}
		b.Tensioner.Cage = room
	}
	return nil
}

// defaultOf returns what holds for a number that the case does not give, in its base unit.
func (c *Case) defaultOf(path string) (float64, bool) {
	if path == "tensioner.cage" && c.derived.cage > 0 {
		return c.derived.cage, true
	}
	v, ok := defaultsFor(c.Speeds)[path]
	return v, ok
}

// takesUp gives a drawn bike whose cage is not known one that takes up its chain.
func (c *Case) takesUp(b *sim.Bike, links int) error {
	if b.Tensioner == nil || c.derived.cage == 0 {
		return nil
	}
	least, err := b.LeastCage(links)
	if least > 0 {
		b.Tensioner.Cage = max(b.Tensioner.Cage, least+cageSpare)
	}
	return err
}

// axleRoom returns how far the axle is looked for on either side of the stay where no slot
// is given and no tensioner takes up the chain, mm. A stay that was measured is where the
// axle stands now, in whatever slot or eccentric there is: where no chain length is given,
// the whole chain that fits nearest, half a pair of links either way, fits; where one is,
// the doubt of the stay and of a worn chain is the room. A stay that was not measured is
// where the chain is taut.
func (c *Case) axleRoom() (r sim.Slot) {
	switch {
	case c.stayAssumed() && c.Chain.Links > 0:
		return sim.Slot{Forward: usualStay - leastStay, Back: mostStay - usualStay}
	case c.stayAssumed():
		return sim.Slot{Forward: stayWithin + halfPair, Back: stayWithin + halfPair}
	}
	room := halfPair
	if c.Chain.Links > 0 {
		room = wornChain
	}
	if in, ok, err := c.input("frame.stay", &c.Frame.Stay); ok && err == nil {
		room += math.Sqrt(3) * in.U
	}
	return sim.Slot{Forward: room, Back: room}
}

// halfPair is half of what a pair of links moves the axle, mm, with a little for the pitch
// polygon; wornChain what half of a chain's wear and play does (assumption).
const (
	halfPair  = 7.0
	wornChain = 1.0
)
