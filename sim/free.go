package sim

// Free are the numbers of level 2 that nobody publishes and that differ from bike to
// bike: one possible set of them. With them goes a bike whose chain and teeth were
// drawn as well.
type Free struct {
	Seat      float64 // μ between a seated link and its tooth
	Allowance float64 // a: what shift gates and cut teeth of a cluster take off a cog's hold, mm
	Spread    float64 // s: by how much single links differ sideways, mm, > 0
	Room      float64 // what relief, chamfer and thin tips of a neighbour give beyond full plates and teeth, mm
	Pins      float64 // how far a ring's shift pins and ramps stand proud of its inner side, mm
	SoftCog   float64 // over what gap, mm, rubbing the next cog sets in: run-out and single teeth
	SoftRing  float64 // the same of the next ring
	Mishap    float64 // share of gears in which dirt, wear or a shift in the same moment lose the chain when riding, 0 to 1
	Guard     float64 // share of the chains that leave the ring inside a front cage, 0 to 1
	Bump      float64 // a: how hard rough ground throws the frame while the legs hardly pull, m/s², >= 0
	Sway      float64 // c: how far frame and crank give sideways under the pedals, mm/(N·mm), >= 0
	BumpGuard float64 // the same as Guard of chains that a bump has lifted
	Ridden    float64 // share of its wrap round the smaller wheel that spare chain must lift over the teeth, > 0
	RideSoft  float64 // how softly that sets in, in ratios of spare chain, > 0
	ByPull    bool    // noise follows T·sin(bend), else the bend alone

	// Whether a drop from a cluster's cog goes by the top run's bend alone, from which
	// bend on and how softly, rad; else by where links land.
	DropByBend         bool
	DropBend, DropSoft float64

	// From which bend, rad, or pull, N, on a run under the drive is called noisy:
	// by a plain and by a wide and narrow ring, and how softly that sets in.
	NoiseBend                 [2]float64
	NoisePull                 [2]float64
	NoiseSoft, NoiseSoftPull  float64
	NoiseTight, NoiseTightOff float64 // the same bend and softness without a tensioner, rad
	NoiseIdler, NoiseIdlerOff float64 // the same at an idler under the pull of the drive that has plates at its sides, rad
}

// allowance returns what shift gates and cut teeth take off a cog's hold, mm: nothing
// of a cog alone, which has none.
func (f *Free) allowance(b *Bike) float64 {
	if len(b.Cogs) == 1 {
		return 0
	}
	return f.Allowance
}

// Put puts into a bike's chain and wheels what level 2 takes of a set when links
// arrive, so that a march has the same.
func (f *Free) Put(b *Bike) {
	b.Chain.Seat = f.Seat
	for i := range b.Rings {
		b.Rings[i].Allowance = 0
	}
	for i := range b.Cogs {
		b.Cogs[i].Allowance = f.allowance(b)
	}
}
