package sim

import "math"

// Shift is one step of a cluster, riding, by one set of free numbers. Without gates it is
// what plain teeth would do.
type Shift struct {
	From, To int // indices of cogs
	// Past is how far past the target cog's plane the guide pulley must go before the
	// first link is caught (inboard) or the chain lets go (outboard), mm; < 0: before it.
	// Lean and a bent hanger are in it, what the cable is set off is not.
	Past float64
	// Places is on how many of a turn's places the phase of the two cogs lets a link
	// cross, of Of that there are: chord from the last seated tooth to the first a whole
	// number of pitches, within the play. It is a mean over how the cogs stand to each
	// other, which no case says, but with gates.
	Places float64
	Of     int
	Never  float64 // share of ways they may stand in which there is no such place at all
	Degree float64 // of the wheel, in all, over which it may cross
	Delay  float64 // mean wait for such a place with the right kind of link, turns of the wheel; one where there is none
	// Lean is by how much the top run, which pulls seated links to its side, helps (> 0)
	// or hinders, mm: nothing where friction holds them before the last.
	Lean float64
}

// Gates are a cluster's shift gates, where they are given.
type Gates struct {
	Each  []int   // of every cog towards the next smaller one; nil: not known
	Depth float64 // how far aside of its teeth a gate catches the chain, mm
}

// crossPlay is how far a crossing chain may be off a whole number of pitches either way,
// mm: roller in tooth space, pin in bush (assumption; nothing is published).
const crossPlay = 0.35

// Shifts fills the steps of a cluster from one cog to the next, inboard and outboard, from
// the smallest cog up: 2(n-1) of them, with the chain on one ring. Errors are as of Gears.
func (o *Odds) Shifts(to []Shift, b *Bike, f *Free, ring, links int) error {
	o.guides.review(b, f)
	var from near
	for cog := range b.Cogs {
		y := &o.s.laid
		if err := y.lay(b, &o.loop, ring, cog, links, &from); err != nil {
			return err
		}
		out, in := y.steps(&o.guides, f)
		if cog > 0 {
			to[2*cog-1] = out
		}
		if cog+1 < len(b.Cogs) {
			to[2*cog] = in
		}
	}
	return nil
}

// steps returns the steps from a gear's cog to the next smaller and to the next larger one;
// where there is none it is not filled in.
func (y *laid) steps(g *guides, f *Free) (out, in Shift) {
	b, k := y.b, g.at(y.b, y.cog)
	lean := y.leans(&k.run, f)
	if y.cog > 0 {
		out = k.out
		out.Lean = lean
		out.Past += -g.off[y.cog-1] - lean
	}
	if y.cog+1 < len(b.Cogs) {
		in = k.in
		in.Lean = -lean
		in.Past += g.off[y.cog+1] + lean
	}
	return out, in
}

// Setting is what the shifts leave the cable's one setting, as Overlap says it: to shift
// outboard the pulleys must stand far enough outboard, to shift inboard far enough inboard.
func Setting(shifts []Shift) (from, to float64, binds [2]int) {
	from, to = math.Inf(-1), math.Inf(1)
	for i := range shifts {
		s := &shifts[i]
		if s.To < s.From && s.Past > from {
			from, binds[0] = s.Past, i
		}
		if s.To > s.From && -s.Past < to {
			to, binds[1] = -s.Past, i
		}
	}
	return from, to, binds
}

// caught returns how far past the next larger cog's plane the pulley stands when its teeth
// first reach into an outer link.
func (b *Bike) caught(r *guideRun, cog int) float64 {
	own, next := &b.Cogs[cog], &b.Cogs[cog+1]
	c := &b.Chain
	apart := -b.beside(cog, cog+1).Line
	into := (c.OuterWidth-next.Tooth.Tip)/2 + c.Bevel // how far off the plane a link still takes a tip
	if g := &b.Gates; cog+1 < len(g.Each) && g.Each[cog+1] > 0 {
		into = max(into, c.Width/2+next.Tooth.Full/2+g.Depth)
	}
	low, rim := own.PitchRadius(c.Pitch)-c.PlateHalfHeight, next.TipRadius(c.Pitch)
	s := math.Sqrt(max(0, rim*rim-low*low)) // where the strand comes under its tips
	return r.reach(apart-into, s, 0) - apart
}

// leans returns how far the top run pulls the links that arrive outboard, mm: seated links
// each hold by friction, so that of T·sin(bend) nothing is left after N·sin(bend)/(2πμ) of
// them.
func (y *laid) leans(r *guideRun, f *Free) float64 {
	if f.Seat <= 0 || y.pulls.Top[Riding] <= 0 {
		return 0
	}
	held := math.Sin(y.top.Bend) / (2 * math.Pi * f.Seat) * y.loop.teeth[AtCog]
	if held < y.loop.Seat(AtCog)-1 {
		return 0
	}
	return math.Copysign(r.seat, y.top.Across)
}

// crossing returns how many places of a turn let a link cross from one cog to a neighbour.
//
// The chain lies on the smaller cog as far as its tangent point, then straight to the larger
// one. From a tooth of the smaller to one of the larger that straight piece ends at, the
// chain is N1·(Δ - Δt)/2π + √(r2² - r1² + a²)/p pitches long, Δ the angle between them, Δt
// = acos(r1/r2), a how far apart the cogs are. One tooth of the smaller on is one pitch, so
// that tooth j of the larger alone decides: its fraction is that of j·N1/N2 and of how the
// cogs stand. These are N2/gcd(N1, N2) fractions, even ones, each gcd times a turn.
func (b *Bike) crossing(from, to int) Shift {
	small, large := min(from, to), max(from, to)
	n1, n2 := b.Cogs[small].Teeth, b.Cogs[large].Teeth
	s := Shift{From: from, To: to, Of: n2}
	if g := &b.Gates; large < len(g.Each) && g.Each[large] > 0 {
		n := float64(g.Each[large])
		s.Places, s.Degree = n, n*360/float64(n2)
		s.Delay = 1 / (2 * n) // gates are made for the kind of link that comes
		return s
	}
	turns := gcd(n1, n2)
	kinds := n2 / turns
	share := 2 * crossPlay / b.Chain.Pitch // of the fractions that pass
	// Of evenly spread fractions share·kinds lie within the play on the mean over how the
	// cogs stand: whole ones surely, the rest with a chance.
	many := share * float64(kinds)
	whole, part := math.Modf(many)
	s.Places = share * float64(n2)
	s.Degree = 360 * share
	if whole == 0 {
		s.Never = 1 - part
	}
	// n places of a turn, half of them met by an outer link, are waited for 1/n turns on the
	// mean where they lie evenly; for no place at all a whole turn is counted.
	wait := func(places float64) float64 { return min(1, 1/places) }
	s.Delay = (1-part)*wait(whole*float64(turns)) + part*wait((whole+1)*float64(turns))
	return s
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
