package sim

// Gear is one gear's result.
type Gear struct {
	Ring, Cog          int // indices
	RingTeeth          int
	CogTeeth           int
	RingLine, CogLine  float64 // y, mm
	Fit                Fit
	Loop               Loop // side view
	CageAngle          float64
	Stay               float64 // as drawn: with a slot the axle's place, mm
	Top, Bottom, Guide Span    // Guide is zero without a tensioner
	Tensions           Tensions
	Arrivals           [2][]Arrival // by Direction
	Clearances         Clearances
	Verdicts           []Verdict
}

// Ratio returns ring teeth over cog teeth.
func (g *Gear) Ratio() float64 { return float64(g.RingTeeth) / float64(g.CogTeeth) }

// Worst returns the arrival of a direction that is worst graded, of equals the
// one nearest to its climb limit in proportion, or furthest past it.
func (g *Gear) Worst(d Direction) Arrival {
	worst := g.Arrivals[d][0]
	for _, a := range g.Arrivals[d][1:] {
		if a.Grade > worst.Grade || a.Grade == worst.Grade && a.nearer(worst) {
			worst = a
		}
	}
	return worst
}

// Result is a bike's result: every ring with every cog, rings from small to
// large, cogs from small to large.
type Result struct {
	Front, Rear float64 // lines, mm
	Links       int
	Chosen      bool // whether the length was chosen here
	Tensioned   bool // whether there is a tensioner
	Gears       []Gear
}

// Evaluate computes every gear of a bike. Errors wrap ErrBike or ErrOverlap, or
// come from package engage.
func (b *Bike) Evaluate() (*Result, error) {
	if err := b.Validate(); err != nil {
		return nil, err
	}
	links, err := b.ChooseLinks()
	if err != nil {
		return nil, err
	}
	r := &Result{
		Front: b.FrontLine(), Rear: b.RearLine(),
		Links: links, Chosen: b.Chain.Links == 0, Tensioned: b.Tensioner != nil,
		Gears: make([]Gear, 0, len(b.Rings)*len(b.Cogs)),
	}
	var s solver
	for ring := range b.Rings {
		var from near
		for cog := range b.Cogs {
			g, err := b.gear(&s, ring, cog, links, &from)
			if err != nil {
				return nil, err
			}
			r.Gears = append(r.Gears, g)
		}
	}
	return r, nil
}

// gear computes one gear.
func (b *Bike) gear(s *solver, ring, cog, links int, from *near) (Gear, error) {
	g := Gear{
		Ring: ring, Cog: cog,
		RingTeeth: b.Rings[ring].Teeth, CogTeeth: b.Cogs[cog].Teeth,
		RingLine: b.Rings[ring].Line, CogLine: b.Cogs[cog].Line,
	}
	l := &g.Loop
	var err error
	if g.Fit, err = b.closeNear(l, ring, cog, links, from); err != nil {
		return g, err
	}
	g.CageAngle, g.Stay = l.CageAngle(), l.StayLength()
	g.Top, g.Bottom = spanOf(l, Top, +1), spanOf(l, Bottom, -1)
	if b.Tensioner != nil {
		g.Guide = spanOf(l, Guide, -1)
	}
	g.Tensions = b.pulls(l, g.Fit)
	if err = b.arrivals(s, &g); err != nil {
		return g, err
	}
	if g.Clearances, err = b.clearances(s, l, ring, cog, g.Tensions); err != nil {
		return g, err
	}
	g.judge()
	return g, nil
}

// arrivals judges every wheel a span runs onto.
func (b *Bike) arrivals(s *solver, g *Gear) error {
	c := b.Chain.Chain
	var plan [6]planned
	n := b.plan(&plan, g.Ring, g.Cog, g.Top.Bend, g.Bottom.Bend, g.Guide.Bend, &g.Tensions)
	for _, p := range plan[:n] {
		a, err := s.arrive(p.at, p.wheel.Entry(c.Pitch), c, p.bend, p.pull, p.driven())
		if err != nil {
			return err
		}
		g.Arrivals[p.direction] = append(g.Arrivals[p.direction], a)
	}
	return nil
}
