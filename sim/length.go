package sim

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// evenUp returns the least chain length in links that is at least n pitches:
// even, or odd with a half link.
func (b *Bike) evenUp(n float64) int {
	k := int(math.Ceil(n - 1e-9))
	if (k%2 == 1) != b.Chain.HalfLink {
		k++
	}
	return k
}

// pairInHand is what a chain is longer than its path round largest ring and largest cog
// alone, links: a pair, which may be a little short of it before another pair is added
// (common practice, no published source; how much short is an assumption).
const pairInHand = 1.8

// ChooseLinks returns the chain length: the given one, or what a mechanic would cut: the
// shortest even count (odd with a half link) that goes round the largest ring and cog alone
// with a pair of links in hand, and through the cage there with the margin to spare, where
// the axle is farthest from the bottom bracket. Without a tensioner it is the count
// that closes with the axle nearest to the stated stay.
func (b *Bike) ChooseLinks() (int, error) {
	if b.Chain.Links > 0 {
		return b.Chain.Links, nil
	}
	if b.Tensioner != nil {
		n, err := b.Need()
		return b.evenUp(n), err
	}
	var l Loop
	n, err := b.slotLength(&l, 0, 0, b.Frame.Stay)
	if err != nil {
		return 0, err
	}
	up := b.evenUp(n)
	// The axle takes half of what the chain changes.
	if down := up - 2; n-float64(down) < float64(up)-n {
		return down, nil
	}
	return up, nil
}

// Need returns the pitches of chain that a bike with a tensioner needs at least, and is cut
// for: see ChooseLinks.
func (b *Bike) Need() (float64, error) {
	var l Loop
	t, out := b.Tensioner, b
	if b.Frame.Farthest.Stay > 0 {
		far := *b
		far.Frame.Stay, far.Frame.Drop = b.Frame.Farthest.Stay, b.Frame.Farthest.Drop
		out = &far
	}
	ring, cog := len(b.Rings)-1, len(b.Cogs)-1
	if err := out.lay(&l, ring, cog); err != nil {
		return 0, err
	}
	// A chain of no links is too short at the tightest place, where the
	// search then leaves the loop.
	c := cageRoot{loop: &l, cage: t.Cage}
	if _, err := c.find(t.Folded, t.Stretched, 0, false); err != nil {
		return 0, err
	}
	least := l.length() + b.Chain.Margin
	alone, err := out.slotLength(&l, ring, cog, out.Frame.Stay)
	return max(least, alone+pairInHand), err
}

// slotLength draws the loop of ring and cog alone for a stay length and returns
// its length in pitches. The dropout is horizontal: the drop stays.
func (b *Bike) slotLength(l *Loop, ring, cog int, stay float64) (float64, error) {
	c, r := &b.Cogs[cog], &b.Rings[ring]
	l.N, l.pitch = 2, b.Chain.Pitch
	x, z := Frame{Stay: stay, Drop: b.Frame.Drop}.Axle()
	l.set(AtCog, c.Sprocket, r2.Vec{X: x, Y: z}, c.Line)
	l.set(AtRing, r.Sprocket, r2.Vec{}, r.Line)
	if err := b.putIdler(l); err != nil {
		return 0, err
	}
	if err := l.close(); err != nil {
		return 0, err
	}
	return l.length(), nil
}

// closeSlot finds the axle place in the slot at which the chain is taut.
func (b *Bike) closeSlot(l *Loop, ring, cog, links int) (Fit, error) {
	lo, hi := b.Frame.Stay-b.Slot.Forward, b.Frame.Stay+b.Slot.Back
	if lo <= math.Abs(b.Frame.Drop) {
		return Fit{}, &BikeError{Part: "slot", Problem: fmt.Sprintf("reaches %g mm forward of a %g mm stay", b.Slot.Forward, b.Frame.Stay)}
	}
	want := float64(links)
	n, err := b.slotLength(l, ring, cog, lo)
	if err != nil {
		return Fit{}, err
	}
	if n > want+1e-9 {
		return Fit{Slot: true, Short: wholeLinks(n-want, b.Chain.HalfLink), Missing: (n - want) * b.Chain.Pitch}, nil
	}
	if n, err = b.slotLength(l, ring, cog, hi); err != nil {
		return Fit{}, err
	}
	if n < want-1e-9 {
		slack := (want - n) * b.Chain.Pitch
		return Fit{Slot: true, Slack: slack, Excess: slack}, nil
	}
	most := n
	// The length grows with the stay by a little over two pitches a pitch: the
	// secant with a bisection behind it.
	for range 200 {
		mid := (lo + hi) / 2
		if n, err = b.slotLength(l, ring, cog, mid); err != nil {
			return Fit{}, err
		}
		if math.Abs(n-want) < 1e-11 || hi-lo < 1e-10 {
			break
		}
		if n < want {
			lo = mid
		} else {
			hi = mid
		}
		// Newton's place from here, if it narrows the bracket more.
		if x := mid + (want-n)*b.Chain.Pitch/2; x > lo && x < hi {
			if n, err = b.slotLength(l, ring, cog, x); err != nil {
				return Fit{}, err
			}
			if math.Abs(n-want) < 1e-11 {
				break
			}
			if n < want {
				lo = x
			} else {
				hi = x
			}
		}
	}
	return Fit{Slot: true, Closes: true, Excess: (want - most) * b.Chain.Pitch}, nil
}

// stayLength returns the stay a loop was drawn for, mm.
func (l *Loop) stayLength() float64 {
	c := l.Wheels[AtCog].Centre
	return math.Hypot(c.X, c.Y)
}
