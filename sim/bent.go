package sim

import "chainpath/sim/engage"

// Bent holds what an arrival would do at other bends of its run, all else unchanged: for each bend
// the chance that a run onto the chainring is called noisy when riding, and that the chain drops
// off that wheel. A slice is nil where there is no such fault.
type Bent struct {
	Direction  Direction
	At         Part
	Noise, Off []float64
}

// Bent returns what every arrival of a gear would do at each of the bends, >= 0, rad, in the
// order of Gear.Arrivals; none where the chain does not go round. How a slack chain jumps
// and bumps are not in it. Errors wrap ErrOverlap.
func (o *Odds) Bent(b *Bike, f *Free, ring, cog, links int, bends []float64) ([]Bent, error) {
	y := &o.s.laid
	var from near
	if err := y.lay(b, &o.loop, ring, cog, links, &from); err != nil {
		return nil, err
	}
	if !y.fit.Mounts() {
		return nil, nil
	}
	arrivals, _ := y.all()
	out := make([]Bent, len(arrivals))
	for i := range arrivals {
		p := &arrivals[i]
		out[i].Direction, out[i].At = p.direction, p.at
		off, noise := o.bent(p, f)
		for _, bend := range bends {
			if off != nil {
				out[i].Off = append(out[i].Off, off(bend))
			}
			if noise != nil {
				out[i].Noise = append(out[i].Noise, noise(bend))
			}
		}
	}
	return out, nil
}

// bent returns the chances of an arrival by its bend.
func (o *Odds) bent(p *planned, f *Free) (off, noise func(bend float64) float64) {
	y := &o.s.laid
	b := y.b
	span := y.arriving(p)
	at := func(bend float64) *Span {
		s := span
		s.Bend = bend
		return &s
	}
	switch {
	case p.at == AtRing && p.direction == Riding:
		held := 1.0
		switch room := b.frontRoom(b.Rings[y.ring].Line, y.onRing()); {
		case room.Valid:
			held = b.letsGo(y.ring, &room, span.Across < 0)
		case len(b.Rings) > 1:
			held = f.Guard
		}
		off = func(bend float64) float64 {
			chance, _ := b.dropAtRing(f, y.ring, at(bend), p.pull, engage.Driven, nil)
			return held * chance
		}
		noise = func(bend float64) float64 {
			chance, _ := b.noise(f, y.ring, bend, p.pull)
			return chance
		}
	case p.at == AtRing:
		off = func(bend float64) float64 {
			chance, _ := b.dropAtRing(f, y.ring, at(bend), p.pull, p.load(), nil)
			return chance
		}
	case p.at == AtCog && p.direction == Backwards && p.driven:
		off = func(bend float64) float64 {
			chance, _ := b.leaves(f, p.wheel, at(bend), p.pull, engage.Driven, f.allowance(b), nil)
			return chance
		}
	case p.at == AtCog && p.direction == Backwards:
		off = func(bend float64) float64 {
			chance, _ := o.dropAtCog(b, f, y.cog, at(bend), p.pull, nil)
			return chance
		}
	case p.at == AtIdler:
		if !p.held {
			off = func(bend float64) float64 {
				chance, _ := b.dropAtIdler(f, at(bend), p.pull, nil)
				return chance
			}
		}
		if p.direction == Riding && b.Idler.Held {
			noise = f.noiseAtIdler
		}
	}
	return off, noise
}

// load returns how the wheel arrived at goes with the chain.
func (p *planned) load() engage.Duty {
	if p.driven {
		return engage.Driven
	}
	return engage.Idle
}
