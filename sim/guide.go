package sim

import "math"

// guides keeps what every cog's guide run decides while nothing in it changes, and of a cog
// between others that come and go the last few.
type guides struct {
	of   guidesOf
	cogs []guidedCog
	off  []float64 // by cog: where a bent hanger puts the guide pulley, beside that of the middle one, mm
}

// mostGuided bounds how many are kept of a cog.
const mostGuided = 16

type guidedCog struct {
	of   guidedOf
	now  int // in kept; -1: not looked for yet
	kept []guided
	next int // to be given up, when there are most
}

// guidesOf is what all of them are found from, beside the cogs.
type guidesOf struct {
	guide           Sprocket
	chain           [8]float64
	ends            [2]Sprocket // the smallest and the largest cog, between which the guide pulley's gap goes
	gap             [2]float64
	float           float64
	room, allowance float64
}

// guided is what the short run from the guide pulley onto a cog alone decides:
// neither the frame nor the lines of ring and cluster are in it.
type guided struct {
	of     [3]guidedOf // the next smaller cog, its own, the next larger one
	run    guideRun
	window IndexWindow // but for a bent hanger and the top run
}

// guidedOf is what a cog has in it.
type guidedOf struct {
	cog  Sprocket
	step float64 // its line beside the next smaller one's, to the nearest 1e-9 mm, so that it is alike wherever the cluster stands
}

// review forgets what does not hold for a bike and a set of free numbers; the bike must have
// a tensioner.
func (g *guides) review(b *Bike, f *Free) {
	if len(b.Cogs) == 0 {
		return
	}
	c, t := &b.Chain, b.Tensioner
	of := guidesOf{
		guide: t.Guide,
		chain: [8]float64{c.Pitch, c.InnerWidth, c.OuterWidth, c.PlateHalfHeight, c.Bevel, c.Width, c.Proud, c.Pin},
		ends:  [2]Sprocket{b.Cogs[0].Sprocket, b.Cogs[len(b.Cogs)-1].Sprocket}, gap: t.Gap, float: t.Float, room: f.Room, allowance: f.allowance(b),
	}
	if g.of != of || len(g.cogs) != len(b.Cogs) {
		g.of = of
		for len(g.cogs) < len(b.Cogs) {
			g.cogs = append(g.cogs, guidedCog{})
		}
		g.cogs = g.cogs[:len(b.Cogs)]
		for i := range g.cogs {
			k := &g.cogs[i]
			k.now, k.kept, k.next = -1, k.kept[:0], 0
		}
	}
	for i := range g.cogs {
		of := guidedOf{cog: b.Cogs[i].Sprocket}
		if i > 0 {
			of.step = b.beside(i-1, i).Line
		}
		if g.cogs[i].of == of {
			continue
		}
		g.cogs[i].of = of
		for j := max(i-1, 0); j <= min(i+1, len(g.cogs)-1); j++ { // neighbours have it in them
			g.cogs[j].now = -1
		}
	}
	g.off = b.hangerOffs(g.off[:0])
}

// at returns what a cog's guide run decides, on a bike that was reviewed; it holds until the
// next review.
func (g *guides) at(b *Bike, cog int) *guided {
	c := &g.cogs[cog]
	if c.now >= 0 {
		return &c.kept[c.now]
	}
	var of [3]guidedOf
	for i := range of {
		if j := cog + i - 1; j >= 0 && j < len(g.cogs) {
			of[i] = g.cogs[j].of
		}
	}
	for i := range c.kept {
		if c.kept[i].of == of {
			c.now = i
			return &c.kept[i]
		}
	}
	if len(c.kept) < mostGuided {
		c.kept, c.now = append(c.kept, guided{}), len(c.kept)
	} else {
		c.now, c.next = c.next, (c.next+1)%mostGuided
	}
	k := &c.kept[c.now]
	*k = b.guided(cog, &g.of)
	k.of = of
	return k
}

// beside returns a cog with its line beside another's.
func (b *Bike) beside(own, cog int) Wheel {
	w := b.Cogs[cog]
	w.Line = math.Round((w.Line-b.Cogs[own].Line)*1e9) / 1e9
	return w
}

// guided finds what a cog's guide run decides.
func (b *Bike) guided(cog int, of *guidesOf) (k guided) {
	r := b.runOnto(cog, b.guideLength(cog), of.float)
	k.run = r
	own := b.beside(cog, cog)
	climbs := r.climbs(of.allowance)
	k.window = IndexWindow{From: -climbs, To: climbs, Binds: [2]Binding{ClimbsInboard, ClimbsOutboard}}
	if cog > 0 {
		smaller := b.beside(cog, cog-1)
		if at := r.meets(&own, &smaller, &b.Chain, of.room, climbs); at < k.window.To {
			k.window.To, k.window.Binds[1] = at, MeetsSmaller
		}
	}
	if cog+1 < len(b.Cogs) {
		larger := b.beside(cog, cog+1)
		if at := r.meets(&own, &larger, &b.Chain, of.room, climbs); -at > k.window.From {
			k.window.From, k.window.Binds[0] = -at, MeetsLarger
		}
	}
	return k
}

// guideLength returns the length of the run from the guide pulley onto a cog, which crosses
// between them, mm: √(d² - (r1 + r2)²), the same whatever the frame.
func (b *Bike) guideLength(cog int) float64 {
	d, c, g := b.guideReach(cog), &b.Cogs[cog], &b.Tensioner.Guide
	across := c.PitchRadius(b.Chain.Pitch) + g.PitchRadius(b.Chain.Pitch)
	return math.Sqrt(max(0, d*d-across*across))
}
