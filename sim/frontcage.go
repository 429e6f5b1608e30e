package sim

// FrontCage is what stands about the top run beside the rings: the cage of a front
// derailleur, or a chain guide, which is a cage with one place.
type FrontCage struct {
	Inside   float64   // between its plates, mm
	Places   []float64 // where its middle may stand, y, mm, from inboard to outboard
	From, To float64   // from where to where along the top run, mm behind the ring's tangent point
}

// FrontRoom is a gear's room in the front cage at the trim that suits it best.
type FrontRoom struct {
	Valid bool
	Trim  int        // index of the place
	Gap   [2]float64 // to the inner and the outer plate, mm
}

// Least returns the smaller of both gaps, mm.
func (r *FrontRoom) Least() float64 { return min(r.Gap[0], r.Gap[1]) }

// at returns the gaps with the cage at one of its places: of the whole width of the chain,
// straight from ring to cog, which along the cage's few centimetres it is to a tenth of a
// millimetre; ahead of the tangent point it lies on the ring.
func (f *FrontCage) at(trim int, ring, lean, width float64) (gap [2]float64) {
	a, b := ring+lean*max(0, f.From), ring+lean*max(0, f.To)
	half := f.Inside / 2
	return [2]float64{
		min(a, b) - width/2 - (f.Places[trim] - half),
		f.Places[trim] + half - (max(a, b) + width/2),
	}
}

// room returns the room of a run that leaves a ring, at one of the cage's places.
func (f *FrontCage) room(trim int, ring float64, run *Span, width float64) FrontRoom {
	return FrontRoom{true, trim, f.at(trim, ring, -run.Across/run.Length, width)} // going back from the ring
}

// frontRoom returns the room of a gear, whose ring stands at a line, at the trim where the smaller gap is widest.
func (b *Bike) frontRoom(line float64, top *Span) (r FrontRoom) {
	f := b.FrontCage
	if f == nil {
		return r
	}
	for i := range f.Places {
		x := f.room(i, line, top, b.Chain.Width)
		if !r.Valid || x.Least() > r.Least() {
			r = x
		}
	}
	return r
}

// FrontRooms returns the room of a gear that mounts at every place of the front cage, from
// inboard to outboard; nothing without one.
func (b *Bike) FrontRooms(g *Gear) (rooms []FrontRoom) {
	f := b.FrontCage
	if f == nil {
		return nil
	}
	run := g.OnRing()
	for k := range f.Places {
		rooms = append(rooms, f.room(k, g.RingLine, &run, b.Chain.Width))
	}
	return rooms
}

// TrimFree returns for every place of the front cage which cogs run on a ring without
// meeting it.
func (b *Bike) TrimFree(ring int, result *Result) (cogs [][]int) {
	f := b.FrontCage
	if f == nil {
		return nil
	}
	cogs = make([][]int, len(f.Places))
	for i := range result.Gears {
		g := &result.Gears[i]
		if g.Ring != ring || !g.Fit.Mounts() {
			continue
		}
		for k, room := range b.FrontRooms(g) {
			if room.Least() >= 0 {
				cogs[k] = append(cogs[k], g.Cog)
			}
		}
	}
	return cogs
}

// softFront is the width over which rubbing a front cage or guide sets in, mm: rings run
// out, frames and cages give (assumption). softHold is the same of whether it holds a
// chain that has climbed.
const (
	softFront = 0.4
	softHold  = 0.7
)

// letsGo returns the share of chains that climb the ring towards a side and still leave it,
// past the edge of the cage's plate: they need as much room beside the ring as half of the
// chain and half of the teeth are wide.
func (b *Bike) letsGo(ring int, r *FrontRoom, outboard bool) float64 {
	room := r.Gap[0]
	if outboard {
		room = r.Gap[1]
	}
	falls := (b.Chain.Width + b.Rings[ring].Thickness()) / 2
	return logistic((room - falls) / softHold)
}
