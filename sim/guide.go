package sim

import "math"

// guided is what the short run from the guide pulley onto a cog alone decides of indexing
// and shifting: neither the frame nor the lines of ring and cluster are in it.
type guided struct {
	of      guidedOf
	known   bool
	run     guideRun
	window  IndexWindow // but for a bent hanger and the top run
	out, in Shift       // to the next smaller and the next larger cog, but for a bent hanger and lean
}

// guidedOf is what it is found from.
type guidedOf struct {
	own, smaller, larger Wheel // their lines beside own's, to the nearest 1e-9 mm, so that they are alike wherever the cluster stands
	guide                Sprocket
	chain                [8]float64
	ends                 [2]Sprocket // the smallest and the largest cog, between which the guide pulley's gap goes
	gap                  [2]float64
	float                float64
	room, allowance      float64
	gates                [2]int
	depth                float64
}

// guide returns what a cog's guide run decides by a set of free numbers; it is found again
// only where something in it has changed.
func (o *Odds) guide(b *Bike, cog int, f *Free) *guided {
	for len(o.guides) <= cog {
		o.guides = append(o.guides, guided{})
	}
	k, c, t := &o.guides[cog], &b.Chain, b.Tensioner
	of := guidedOf{
		own: b.beside(cog, cog), guide: t.Guide,
		chain: [8]float64{c.Pitch, c.InnerWidth, c.OuterWidth, c.PlateHalfHeight, c.Bevel, c.Width, c.Proud, c.Pin},
		ends:  [2]Sprocket{b.Cogs[0].Sprocket, b.Cogs[len(b.Cogs)-1].Sprocket}, gap: t.Gap, float: t.Float, room: f.Room, allowance: f.allowance(b), depth: b.Gates.Depth,
	}
	if cog > 0 {
		of.smaller = b.beside(cog, cog-1)
	}
	if cog+1 < len(b.Cogs) {
		of.larger = b.beside(cog, cog+1)
	}
	for i := range of.gates {
		if cog+i < len(b.Gates.Each) {
			of.gates[i] = b.Gates.Each[cog+i]
		}
	}
	if !k.known || k.of != of {
		b.guided(k, cog, &of)
	}
	return k
}

// beside returns a cog with its line beside another's.
func (b *Bike) beside(own, cog int) Wheel {
	w := b.Cogs[cog]
	w.Line = math.Round((w.Line-b.Cogs[own].Line)*1e9) / 1e9
	return w
}

func (b *Bike) guided(k *guided, cog int, of *guidedOf) {
	r := b.runOnto(cog, b.guideLength(cog), of.float)
	*k = guided{of: *of, known: true, run: r}
	climbs := r.climbs(of.allowance)
	k.window = IndexWindow{From: -climbs, To: climbs, Binds: [2]Binding{ClimbsInboard, ClimbsOutboard}}
	if cog > 0 {
		if at := r.meets(&of.own, &of.smaller, &b.Chain, of.room); at < k.window.To {
			k.window.To, k.window.Binds[1] = at, MeetsSmaller
		}
		k.out = b.crossing(cog, cog-1)
		k.out.Past = r.leaves(of.allowance) - of.smaller.Line
	}
	if cog+1 < len(b.Cogs) {
		if at := r.meets(&of.own, &of.larger, &b.Chain, of.room); -at > k.window.From {
			k.window.From, k.window.Binds[0] = -at, MeetsLarger
		}
		k.in = b.crossing(cog, cog+1)
		k.in.Past = b.caught(&r, cog)
	}
}

// guideLength returns the length of the run from the guide pulley onto a cog, which crosses
// between them, mm: √(d² - (r1 + r2)²), the same whatever the frame.
func (b *Bike) guideLength(cog int) float64 {
	d, c, g := b.guideReach(cog), &b.Cogs[cog], &b.Tensioner.Guide
	across := c.PitchRadius(b.Chain.Pitch) + g.PitchRadius(b.Chain.Pitch)
	return math.Sqrt(max(0, d*d-across*across))
}
