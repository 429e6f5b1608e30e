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
	Lead               Span    // idler to ring, Top is then cog to idler; zero without one
	Tensions           Tensions
	Sags               Sags // without a tensioner
	Drive              Drive
	Arrivals           [2][]Arrival // by Direction
	Clearances         Clearances
	Front              FrontRoom // in the front cage or guide, at the trim that suits it best
	Rooms              Rooms     // of ring, cogs and chain to what stands beside them
	Verdicts           []Verdict
	noiseFrom          float64
	taut               float64 // see laid
	tensioned          bool
	flex               float64 // room wished beside the chainstay, mm
}

// Ratio returns ring teeth over cog teeth.
func (g *Gear) Ratio() float64 { return float64(g.RingTeeth) / float64(g.CogTeeth) }

// Worst returns the arrival of a direction that is nearest to its climb limit in
// proportion, or furthest past it; those that the chain can leave come first.
func (g *Gear) Worst(d Direction) Arrival {
	worst := g.Arrivals[d][0]
	for _, a := range g.Arrivals[d][1:] {
		if a.nearer(worst) {
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

// Gear computes one gear alone, rings and cogs by index, with a chain of so many
// links. The bike must be valid. Errors are Evaluate's.
func (b *Bike) Gear(ring, cog, links int) (*Gear, error) {
	var s solver
	var from near
	g, err := b.gear(&s, ring, cog, links, &from)
	return &g, err
}

// gear computes one gear.
func (b *Bike) gear(s *solver, ring, cog, links int, from *near) (Gear, error) {
	g := Gear{
		Ring: ring, Cog: cog,
		RingTeeth: b.Rings[ring].Teeth, CogTeeth: b.Cogs[cog].Teeth,
		RingLine: b.Rings[ring].Line, CogLine: b.Cogs[cog].Line,
	}
	l, y := &g.Loop, &s.laid
	if err := y.lay(b, l, ring, cog, links, from); err != nil {
		return g, err
	}
	g.CageAngle, g.Stay = l.cageAngle(), l.stayLength()
	g.Fit, g.Tensions, g.taut = y.fit, y.pulls, y.taut
	g.Top, g.Bottom, g.Guide, g.Lead = y.top, y.bottom, y.guide, y.lead
	arrivals, _ := y.all()
	for i := range arrivals {
		p := &arrivals[i]
		g.Arrivals[p.direction] = append(g.Arrivals[p.direction], s.arrive(p, b.Chain.Chain, y.length(p)))
	}
	var err error
	if g.Clearances, err = y.clearances(s); err != nil {
		return g, err
	}
	g.Front, g.Rooms = b.frontRoom(b.Rings[ring].Line, y.onRing()), b.rooms(l, cog, b.RingStayGap())
	g.noiseFrom, g.tensioned = b.NoiseFrom, b.Tensioner != nil
	if b.Stay != nil {
		g.flex = b.Stay.Flex
	}
	if !g.tensioned {
		g.Sags, g.Drive = b.slackRuns(l), b.Drive
	}
	g.judge()
	return g, nil
}
