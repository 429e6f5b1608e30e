package sim

import "math"

// Binding is what ends an index window.
type Binding int

// What may end a window, outboard and inboard.
const (
	ClimbsOutboard Binding = iota // links land on the cog's tips: the chain tries to leave towards the smaller cog
	MeetsSmaller                  // the run beside the next smaller cog
	ClimbsInboard                 // the chain tries to leave towards the larger cog
	MeetsLarger                   // the run beside the next larger cog
	TopMeetsLarger                // the top run beside it, which the seated links take along
)

// Words returns the binding as a mechanic would say it.
func (b Binding) Words() string {
	return [...]string{"tries to leave outboard", "touches the next smaller cog", "tries to leave inboard", "touches the next larger cog", "top run touches the next larger cog"}[b]
}

func (b Binding) String() string {
	return [...]string{"climbs_outboard", "meets_smaller", "climbs_inboard", "meets_larger", "top_meets_larger"}[b]
}

// IndexWindow is where the guide pulley may stand in a gear, riding: mm outboard of the
// cog's middle plane, with what ends it inboard and outboard. From > To: nowhere.
type IndexWindow struct {
	From, To float64
	Binds    [2]Binding // at From, at To
	Off      float64    // what a bent hanger puts the pulley aside in this gear, beside the cog it is set on, mm
}

// Hanger is how far the derailleur's hanger is bent. Its effect on the middle cog is taken
// up by the cable's adjuster; what is left is the difference from gear to gear.
type Hanger struct {
	Lean float64 // the cage leans outboard going down, rad
	Toe  float64 // it turns outboard going forward, rad
}

// off returns where a bent hanger puts a point of a gear's cage outboard, beside where
// it puts the guide pulley of the middle cog, mm.
func (b *Bike) hangerOff(x, z float64) float64 {
	h := &b.Tensioner.Hanger
	if *h == (Hanger{}) {
		return 0
	}
	gx, gz := b.guideCentre(len(b.Cogs) / 2)
	return h.off(x-gx, gz-z)
}

// hangerOffs appends where a bent hanger puts the guide pulley of every cog outboard, beside
// where it puts that of the middle one, mm.
func (b *Bike) hangerOffs(to []float64) []float64 {
	h := &b.Tensioner.Hanger
	if *h == (Hanger{}) {
		for range b.Cogs {
			to = append(to, 0)
		}
		return to
	}
	s, k := math.Sincos(b.Tensioner.Direction) // along which the guide pulley moves from cog to cog
	middle := b.guideReach(len(b.Cogs) / 2)
	for cog := range b.Cogs {
		way := b.guideReach(cog) - middle
		to = append(to, h.off(way*s, way*k))
	}
	return to
}

// off returns how far outboard a bent hanger puts a point so far forward of and below another
// beside that, mm.
func (h *Hanger) off(forward, below float64) float64 { return h.Lean*below + h.Toe*forward }

// guideCentre returns where the guide pulley of a cog stands in the side view, mm.
func (b *Bike) guideCentre(cog int) (x, z float64) {
	x, z = b.Frame.Axle()
	reach := b.guideReach(cog)
	s, k := math.Sincos(b.Tensioner.Direction)
	return x + reach*s, z - reach*k
}

// Index fills every gear's index window by one set of free numbers; to has a place for
// every ring with every cog. The bike must have a tensioner. Errors are as of Gears.
func (o *Odds) Index(to []IndexWindow, b *Bike, f *Free, links int) error {
	o.guides.review(b, f)
	for ring := range b.Rings {
		var from near
		for cog := range b.Cogs {
			y := &o.s.laid
			if err := y.lay(b, &o.loop, ring, cog, links, &from); err != nil {
				return err
			}
			w := &to[ring*len(b.Cogs)+cog]
			if err := o.window(w, y, o.guides.at(b, cog), f); err != nil {
				return err
			}
		}
	}
	return nil
}

// window fills a gear's index window from what its guide run decides.
func (o *Odds) window(w *IndexWindow, y *laid, k *guided, f *Free) error {
	*w = k.window
	w.Off = o.guides.off[y.cog]
	n := y.besideCog()
	if n == nil || k.touches(n.straightLeast(&y.b.Chain)+f.Room) <= w.From {
		return nil
	}
	return o.touch(w, n, &y.b.Chain, k, f)
}

// besideCog returns the top run beside the next larger cog; nil where there is none.
func (y *laid) besideCog() *beside {
	_, neighbours := y.all()
	for i := range neighbours {
		if neighbours[i].kind == toCog {
			return &neighbours[i]
		}
	}
	return nil
}

// touch narrows a window by the top run beside the next larger cog: seated links lie where
// they came in, so that it begins aside too.
func (o *Odds) touch(w *IndexWindow, n *beside, c *Chain, k *guided, f *Free) error {
	g, err := o.meet(n, c, k.run.seat-f.Room)
	if err != nil || !g.Valid {
		return err
	}
	if at := k.touches(g.MM + f.Room); at > w.From {
		w.From, w.Binds[0] = at, TopMeetsLarger
	}
	return nil
}

// touches returns how far outboard the guide pulley stands when the top run, which begins
// where seated links lie and stands a gap off the next larger cog with them in the middle,
// touches it, mm; -Inf where the gap is wider than seated links can lie aside.
func (k *guided) touches(gap float64) float64 {
	r := &k.run
	if gap >= r.seat {
		return math.Inf(-1)
	}
	from := -r.play - gap // seated links as far inboard as the gap is wide
	if gap < 0 {          // they must lie outboard
		from = r.play - gap
	}
	if gap < -r.seat { // farther than they can: it touches wherever the pulley stands
		from = max(from, k.window.To+nowhere)
	}
	return from
}

// nowhere is by how much a window without any place is turned over at least, mm.
const nowhere = 0.01
