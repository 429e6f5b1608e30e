package sim

import (
	"math"

	"chainpath/sim/elementary"
	"chainpath/sim/engage"
)

// logistic returns 1/(1 + e^-x).
func logistic(x float64) float64 { return elementary.Logistic(x) }

// either returns the chance of at least one of two independent things.
func either(p, q float64) float64 { return 1 - (1-p)*(1-q) }

// Odds judges gears of drawn bikes. It is scratch, for one goroutine.
type Odds struct {
	// Sizes, where it is not nil, has a place for every gear, which Gears fills.
	Sizes []Sizes
	// Only, where it is not nil, says which gears Gears judges; the others' places stay as they are.
	Only []bool
	// Alone leaves neighbours out: the chances of rubbing them are none that count.
	Alone    bool
	s        solver
	facts    facts // of the gear at hand
	rooms    [3]touched
	loop     Loop
	ringStay Gap   // of the bike at hand
	size     Sizes // of the gear at hand
	guides   guides
}

// Hangs reports whether the chain of a gear without a tensioner pulls so little that it is called slack: what
// comes off it then goes by its spare chain most.
func (g *Gear) Hangs(d Direction) bool {
	pull := g.Tensions.Bottom[d]
	if d == Backwards {
		pull = g.Tensions.Top[d]
	}
	return g.Loop.N < 4 && pull < slackChain
}

// softTyre is the width over which meeting the tyre sets in, mm: how far a wheel runs
// out and a tyre's knobs differ along a turn (assumption).
const softTyre = 0.7

// slackChain is the tension below which a chain without a tensioner counts as slack in words, N.
// slackLine is by how much lines may differ for spare chain to count e times as much, mm: the trade
// has a slack chain come off from about 3 mm (2 to 5) on, common practice, no published source.
const (
	slackChain   = 2.0
	slackLine    = 3.0
	walled       = 10.0 // how far a chain stands from leaving towards a wall, mm: surely
	leastMeeting = 4.0  // straight gaps beyond it are not looked at more closely, mm
)

// Gears fills the chances of every gear of one drawn bike with one set of free
// numbers; to has a place for every ring with every cog, rings and cogs from small to
// large. Errors wrap ErrOverlap or come from package engage.
func (o *Odds) Gears(to []Chances, b *Bike, f *Free, links int) error {
	o.ringStay = b.RingStayGap()
	for ring := range b.Rings {
		var from near
		for cog := range b.Cogs {
			i := ring*len(b.Cogs) + cog
			if o.Only != nil && !o.Only[i] {
				continue
			}
			if err := o.gear(&to[i], b, f, ring, cog, links, &from); err != nil {
				return err
			}
			if o.Sizes != nil {
				o.Sizes[i] = o.size
			}
		}
	}
	return nil
}

func (o *Odds) gear(c *Chances, b *Bike, f *Free, ring, cog, links int, from *near) error {
	if err := o.measure(&o.facts, b, ring, cog, links, from); err != nil {
		return err
	}
	o.judge(c, b, f, ring, cog, &o.facts, &landings{})
	return nil
}

// judge fills a gear's chances, and o.size, from its facts. b is the bike that they are of: its
// chain, teeth and front cage count, and where its wheels stand does not.
func (o *Odds) judge(c *Chances, b *Bike, f *Free, ring, cog int, x *facts, w *landings) {
	*c, o.size = Chances{}, Sizes{}
	t := &x.pulls
	top, lead, bottom := x.top.span(), x.lead.span(), x.bottom.span()
	onRing := &top
	if x.idled {
		onRing = &lead
	}
	o.size[DoesNotClose] = x.fit.Missing
	if !x.fit.Mounts() {
		c[DoesNotClose] = 1
	}
	c[ChainTooLong], o.size[ChainTooLong] = x.tooLong, x.fit.beyond()
	c[NoiseRiding], o.size[NoiseRiding] = b.noise(f, ring, onRing.Bend, t.Top[Riding])
	c[DropSmooth], o.size[DropSmooth] = b.dropAtRing(f, ring, onRing, t.Top[Riding], engage.Driven, w.ring[engage.Driven])
	c[DropRiding], o.size[DropRiding] = b.thrown(f, ring, onRing, t.Bottom[Riding], t.Top[Riding], w.ring[engage.Idle])
	c[RubsFrontCage] = -1
	switch room := b.frontRoom(x.ringLine, onRing); {
	case room.Valid:
		c[RubsFrontCage], o.size[RubsFrontCage] = logistic(-room.Least()/softFront), -room.Least()
		held := b.letsGo(ring, &room, onRing.Across < 0)
		c[DropSmooth] *= held
		c[DropRiding] *= held
	case len(b.Rings) > 1: // a front cage stands about the top run, though nothing is known of it
		c[DropSmooth] *= f.Guard
		c[DropRiding] *= f.BumpGuard
	}
	if x.idled {
		o.atIdler(c, DropSmooth, b, f, &top, t.Top[Riding], w)
		if b.Idler.Held {
			c[NoiseRiding] = either(c[NoiseRiding], f.noiseAtIdler(top.Bend))
			o.size[NoiseRiding] = max(o.size[NoiseRiding], Degrees(top.Bend-f.NoiseIdler))
		}
	}
	atCog, pastCog := o.dropAtCog(b, f, cog, &top, t.Top[Backwards], w.cog[engage.Idle])
	pushed := engage.Idle
	if b.Drive != Freewheel {
		pushed = engage.Driven
	}
	atRing, pastRing := b.dropAtRing(f, ring, &bottom, t.Bottom[Backwards], pushed, w.ring[pushed])
	c[DropBackwards], o.size[DropBackwards] = either(atCog, atRing), max(pastCog, pastRing)
	if b.Drive == Fixed { // the legs slow a wheel that rolls forwards
		slowed, past := b.leaves(f, &b.Cogs[cog].Sprocket, &bottom, t.Bottom[Backwards], engage.Driven, f.allowance(b), w.cog[engage.Driven])
		c[DropBackwards], o.size[DropBackwards] = either(c[DropBackwards], slowed), max(o.size[DropBackwards], past)
	}
	if x.idled {
		o.atIdler(c, DropBackwards, b, f, &lead, t.Top[Backwards], w)
	}
	o.size[TopSlackBackwards] = -x.bare.Top[Backwards]
	if b.Tensioner == nil {
		c[TopSlackBackwards] = -1
		across := max(math.Abs(top.Across), math.Abs(lead.Across))
		loose := b.slackDrop(f, ring, cog, bottom.Length, t.Bottom[Riding], across)
		c[DropRiding] = either(c[DropRiding], loose)
		c[DropBackwards] = either(c[DropBackwards], loose)
	} else if x.bare.Top[Backwards] <= 0 {
		c[TopSlackBackwards] = 1
	}
	o.rubs(c, x, f)
	c[DropRiding] = either(either(c[DropRiding], c[DropSmooth]), f.Mishap)
	o.size[DropRiding] = max(o.size[DropRiding], o.size[DropSmooth])
	o.parts(c, RubsTyreAt, x.tyre, softTyre)
	for i := range partGaps {
		o.parts(c, partGaps[i].of, x.parts[i], partGaps[i].soft)
	}
	x.rooms.touch(c, &o.size, &o.rooms)
}

// parts fills in the chance that parts meet by their gap, mm; +Inf: one of them is not there.
func (o *Odds) parts(c *Chances, k Concern, gap, soft float64) {
	if c[k] = -1; !math.IsInf(gap, 1) {
		c[k], o.size[k] = meets(gap, soft)
	}
}

// atIdler puts what may happen at the idler into the chance of coming off one way.
func (o *Odds) atIdler(c *Chances, k Concern, b *Bike, f *Free, span *Span, pull float64, w *landings) {
	p, past := b.dropAtIdler(f, span, pull, w.idler)
	c[k], o.size[k] = either(c[k], p), max(o.size[k], past)
}

// meets returns the chance that parts meet, which sets in over a soft width, and by how
// much they do.
func meets(gap, soft float64) (chance, overlap float64) { return logistic(-gap / soft), -gap }

// noise returns the chance that a rider calls a run onto the chainring noisy, and how far its
// angle is over the one from which it is called so, degrees.
//
//	P = 1/(1 + e^-((β - β0)/s))            half of the versions of a bike
//	P = 1/(1 + e^-((T·sin β - F0)/s_F))    the other half
//
// β chain angle of the run, rad; β0, s where noise begins and how softly, rad, of plain and of
// narrow-wide teeth, and of a bike without a tensioner; T tension of the run, N; F0, s_F the same
// of the sideways force, N. Source: reports alone, common practice; no mechanism is known that
// tells better, and no published law.
func (b *Bike) noise(f *Free, ring int, bend, pull float64) (chance, past float64) {
	form := 0
	if b.Rings[ring].WideNarrow() {
		form = 1
	}
	switch {
	case b.Tensioner == nil:
		return logistic((bend - f.NoiseTight) / f.NoiseTightOff), Degrees(bend - f.NoiseTight)
	case f.ByPull:
		from := math.Asin(min(1, f.NoisePull[form]/max(pull, f.NoisePull[form])))
		return logistic((pull*math.Sin(bend) - f.NoisePull[form]) / f.NoiseSoftPull), Degrees(bend - from)
	}
	return logistic((bend - f.NoiseBend[form]) / f.NoiseSoft), Degrees(bend - f.NoiseBend[form])
}

// noiseAtIdler returns the chance that a rider calls a run under the pull of the drive noisy that
// comes at a chain angle, rad, onto an idler between plates, which it rubs. Source: one report, of a
// derailleur's pulley on a long tail that rubbed in all but the middle gear; well-made idlers without
// plates are called silent, and are taken so (common practice, no published source).
func (f *Free) noiseAtIdler(bend float64) float64 {
	return logistic((bend - f.NoiseIdler) / f.NoiseIdlerOff)
}

// leaves returns the chance that the chain drops off a wheel that it arrives on, and how far
// past both holds links land, mm.
//
//	past = min(y_i - g_i, y_o - g_o)    P = 1/(1 + e^-(past/s))
//
// y_i, y_o where an inner link lands at first overlap and the outer one behind it, sideways off
// the tooth, mm, by the response of package engage to chain angle, tension and length of the run;
// g_i, g_o up to where a tooth still guides each back, less what shift ramps and cut teeth take
// off that hold (Wheel.Beyond), mm; s by how much single links differ, mm. The chain drops only
// when both are past. Source: our own mechanics on assumptions; its numbers are weighted by known
// bikes.
func (b *Bike) leaves(f *Free, s *Sprocket, span *Span, pull float64, load engage.Duty, allowance float64, known *engage.Landing) (chance, past float64) {
	if known != nil {
		past = known.Past(span.Bend, max(pull, leastTension), span.Length)
		if span.Bend == 0 {
			return 0, past
		}
		return logistic(past / f.Spread), past
	}
	c := b.Chain.Chain
	c.Seat = f.Seat
	w := s.Entry(c.Pitch)
	w.Allowance, w.Driven = allowance, load == engage.Driven
	if span.Bend == 0 {
		in, out := w.Beyond(c, engage.Offsets{})
		return 0, min(in, out)
	}
	in, out := w.Beyond(c, w.Arrive(c, span.Bend, max(pull, leastTension), span.Length))
	past = min(in, out)
	return logistic(past / f.Spread), past
}

// dropAtCog returns the chance that the chain leaves the cog when the top run arrives
// on it, backwards. It falls outboard, towards smaller cogs or off the smallest, or
// inboard off the largest; towards a larger cog stands a wall.
func (o *Odds) dropAtCog(b *Bike, f *Free, cog int, top *Span, pull float64, known *engage.Landing) (chance, past float64) {
	last := len(b.Cogs) - 1
	if top.Across < 0 && cog < last { // the ring lies inboard of the cog
		return 0, -walled
	}
	byBend := f.DropByBend && last > 0 && pull > 0
	if !byBend || o.Sizes != nil {
		chance, past = b.leaves(f, &b.Cogs[cog].Sprocket, top, pull, engage.Idle, f.allowance(b), known)
	}
	if byBend {
		chance = logistic((top.Bend - f.DropBend) / f.DropSoft)
	}
	return chance, past
}

// thrown returns the chance that the chain leaves the ring as rough ground or a sprint throws it, at a
// moment when the legs hardly pull, and how far past both holds links land then, mm.
//
//	Δy' = |Δy| + c·M    ψ = atan(m·a·L/(2 T))    x' = x(β') + r·ψ·sin β'
//
// Δy sideways difference of the run's ends, mm; M moment at the cranks of the ride, N·mm, under which
// frame and crank give sideways by c, mm/(N·mm), and swing back at the dead centre; β' the chain angle
// by Δy'; m mass per length of the run, kg/mm; a how hard the ground throws the frame, m/s²; L length
// of the run, mm, T its pull, N, which is the cage's while the legs rest; ψ by how much that lifts the
// run's end, rad, so that it meets the ring, of pitch radius r, mm, by r·ψ later along the chain; x
// where links land, mm. Source: our own statics of a string under an even load; a and c are weighted
// by known bikes. A drive without a tensioner has no such run: slackDrop tells of it.
func (b *Bike) thrown(f *Free, ring int, span *Span, pull, riding float64, known *engage.Landing) (chance, past float64) {
	if b.Tensioner == nil || span.Across < 0 && ring < len(b.Rings)-1 {
		return 0, -walled
	}
	r := b.Rings[ring].PitchRadius(b.Chain.Pitch)
	swung := Span{Length: span.Length, Across: math.Abs(span.Across) + f.Sway*riding*r}
	swung.Bend = math.Atan(swung.Across / swung.Length)
	pull = max(pull, leastTension)
	_, past = b.leaves(f, &b.Rings[ring].Sprocket, &swung, pull, engage.Idle, 0, known)
	psi := math.Atan(b.Chain.Weight * f.Bump / Gravity * span.Length / (2 * pull)) // weight over gravity is mass
	past += r * psi * swung.Across / math.Hypot(swung.Across, swung.Length)
	return logistic(past / f.Spread), past
}

// slackDrop returns the chance that a chain without a tensioner comes off because it is slack.
//
//	e = (w·L/H)²·L/24     n = h·W·q     P = 1/(1 + exp(-(ln(e/n) + |Δy|/3 mm)/s))
//
// e spare chain, mm, of a run of length L, mm, and weight per length w, N/mm, that hangs in a shallow
// parabola with the pull H, N (textbook statics of a hanging cable); n what the chain takes to lie on
// the tips over a share q of the smaller wheel's half turn W: h = tip over pitch circle plus half a
// plate, mm; Δy how far the lines differ, mm; s how softly that sets in. Source: our own estimate, the
// trade's 3 mm; q and s drawn. It rises smoothly with spare chain and line difference. Bumps, which
// make a hanging chain swing, are not worked out.
func (b *Bike) slackDrop(f *Free, ring, cog int, length, pull, across float64) float64 {
	left := 1 - b.Load.Bumps // of the weight: it leaves the shape
	spare := math.Inf(1)
	switch {
	case left > 0 && pull > 0:
		x := left * b.Chain.Weight * length / pull
		spare = x * x * length / 24
	case b.Load.Sag > 0:
		spare = 8 * b.Load.Sag * b.Load.Sag / (3 * length)
	}
	s := &b.Cogs[cog].Sprocket
	if b.Rings[ring].Teeth < s.Teeth {
		s = &b.Rings[ring].Sprocket
	}
	need := (s.TipHeight + b.Chain.PlateHalfHeight) * math.Pi * f.Ridden
	return logistic((math.Log(min(spare, mostSpare)/need) + across/slackLine) / f.RideSoft)
}

// mostSpare is spare chain beyond which more makes no difference, mm.
const mostSpare = 1000.0

// dropAtRing returns the chance that the chain leaves the ring. Towards a larger ring
// stands a wall.
func (b *Bike) dropAtRing(f *Free, ring int, span *Span, pull float64, load engage.Duty, known *engage.Landing) (chance, past float64) {
	if span.Across < 0 && ring < len(b.Rings)-1 { // the cog lies outboard of the ring
		return 0, -walled
	}
	return b.leaves(f, &b.Rings[ring].Sprocket, span, pull, load, 0, known)
}

// rubs fills the chances of meeting a neighbour, the worse of both directions.
func (o *Odds) rubs(c *Chances, x *facts, f *Free) {
	c[RubsNextCog], c[RubsNextRing] = -1, -1
	ring := math.Inf(1)
	for i := range x.beside[:x.besides] {
		g := &x.beside[i]
		if g.kind == toRing {
			near := g.gap
			if !math.IsInf(g.pins, 1) { // teeth alone beyond the pins, and pins as far as they reach
				near = min(near+f.Pins, g.pins)
			}
			ring = min(ring, near)
			c[RubsNextRing], o.size[RubsNextRing] = 0, -leastMeeting
			continue
		}
		c[RubsNextCog], o.size[RubsNextCog] = 0, -leastMeeting
		if !math.IsInf(g.gap, 1) {
			c[RubsNextCog], o.size[RubsNextCog] = meets(g.gap+f.Room, f.SoftCog)
		}
	}
	if !math.IsInf(ring, 1) {
		c[RubsNextRing], o.size[RubsNextRing] = meets(ring-f.Pins, f.SoftRing)
	}
}
