package sim

import (
	"math"

	"chainpath/geom"
	"chainpath/sim/engage"
)

// guideHold is how much of the way over which a pulley's teeth reach the chain that leaves
// it they still hold it aside: fitted to marched runs (TestGuideRunAgainstMarches).
const guideHold = 0.4

// guideRun is the short run from the guide pulley onto a cog, riding, seen from above.
// With joints that turn freely by their slack and a few newtons of pull it lies straight
// from the place that the cog's teeth leave the seated links to the one that the pulley's
// leave it: plays are taken up, nothing is bent. Places are mm off the cog's middle plane
// towards the pulley's side.
//
// Of 1500 marched runs of 22 to 80 mm (package engage, friction and history included) it
// misses where an inner link arrives by 0.10 mm (median; 0.17 mm root mean square), and the
// outer one behind it by 0.14 (0.19): the plays at both ends are known less well.
type guideRun struct {
	length float64    // tangent point to tangent point, mm
	free   float64    // of it, what no pulley's tooth holds, mm
	enter  float64    // first overlap before the cog's tangent point, mm
	seat   float64    // how far seated links can lie aside, mm
	play   float64    // how far the pulley can lie aside without moving the chain, mm
	bands  [2]float64 // by engage.Link: where a plate lands on a tooth's tip, mm
	pitch  float64
}

// runOnto returns the run onto a cog. float is how far the pulley slides along its axle
// either way, mm.
func (b *Bike) runOnto(cog int, length, float float64) guideRun {
	c, g := &b.Chain, &b.Tensioner.Guide
	own := b.Cogs[cog].Entry(c.Pitch)
	g1 := g.Entry(c.Pitch)
	r := guideRun{
		length: length, pitch: c.Pitch,
		enter: engage.FirstOverlap(own, c.PlateHalfHeight),
		seat:  (c.InnerWidth - b.Cogs[cog].Tooth.Full) / 2,
		play:  (c.InnerWidth-g.Tooth.Full)/2 + float,
	}
	r.free = max(1, length-guideHold*engage.FirstOverlap(g1, c.PlateHalfHeight))
	for l := range r.bands {
		r.bands[l] = (c.Chain.Width(engage.Link(l))-own.Teeth[l].Tip)/2 + c.Bevel
	}
	return r
}

// pulled returns how far aside the chain comes off a pulley that stands so far aside.
func (r *guideRun) pulled(aside float64) float64 { return max(0, aside-r.play) }

// reach returns how far aside the pulley stands when the chain at a distance before the
// tangent point, of the run that begins so much before it, freed of the last tooth, has come
// to a place.
func (r *guideRun) reach(place, s, freed float64) float64 {
	if place <= r.seat {
		return max(0, place) + r.play
	}
	return r.play + r.seat + (place-r.seat)/min(1, (s+freed)/(r.free+freed))
}

// climbs returns how far aside the pulley stands when an inner link's plate lands on a
// tip: from there on the chain tries to leave the cog. allowance is what cut teeth take off
// the cog's hold, mm.
func (r *guideRun) climbs(allowance float64) float64 {
	return r.reach(r.bands[engage.Inner]-allowance, r.enter, 0)
}

// strip returns the run as a strip beside the axle with the pulley so far aside, to the
// outboard side or (side -1) inboard.
func (r *guideRun) strip(w *Wheel, c *Chain, aside float64, side int) geom.Strip {
	e := r.pulled(aside)
	u := min(r.seat, e)
	return geom.Strip{
		Height: w.PitchRadius(c.Pitch), Half: c.PlateHalfHeight,
		Start: w.Line + float64(side)*u, Drift: float64(side) * (e - u) / r.free, To: r.free,
	}
}

// meets returns how far aside the pulley stands when the run meets a neighbour of the cog,
// with room put onto the gap, mm; most where it does not before that, +Inf where it never
// comes beside its teeth.
func (r *guideRun) meets(own, next *Wheel, c *Chain, room, most float64) float64 {
	side := 1
	if next.Line < own.Line {
		side = -1
	}
	gap := func(aside float64) (float64, bool) {
		n := neighbour{own: *own, next: *next, chain: c, strand: r.strip(own, c, aside, side)}
		g := n.straight()
		return g.MM + room, g.Valid
	}
	// The gap is the least of many lines in how far aside the chain is pulled.
	if g, ok := gap(most); !ok {
		return math.Inf(1)
	} else if g >= 0 {
		return most
	}
	lo := r.play
	g0, _ := gap(lo)
	if g0 <= 0 {
		return lo // met as it is seated in the middle
	}
	hi := lo + math.Abs(own.Line-next.Line)
	g1, _ := gap(hi)
	for range 30 {
		if g1 >= 0 {
			return hi // it would be past the neighbour
		}
		x := lo + (hi-lo)*g0/(g0-g1)
		g, _ := gap(x)
		if math.Abs(g) < 1e-6 || hi-lo < 1e-6 {
			return x
		}
		if g > 0 {
			lo, g0 = x, g
		} else {
			hi, g1 = x, g
		}
	}
	// Where seated links have taken up their play the gap falls more slowly than before, and
	// the secant from the play creeps: halve what is left.
	for hi-lo > 1e-6 {
		x := (lo + hi) / 2
		if g, _ := gap(x); g > 0 {
			lo = x
		} else {
			hi = x
		}
	}
	return lo
}
