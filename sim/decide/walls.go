package decide

import (
	"context"
	"math"

	"chainpath/sim"
)

// End is one end of where the chainring may stand.
type End struct {
	Line      float64 // front line, mm
	Open      bool    // nothing ends it within Reach
	Ring, Cog int     // the gear that ends it, by indices; not set when Open
}

// Room is the front lines at which ring and chain keep the room that is asked for beside one part.
type Room struct {
	Part   string // tyre or stay
	Lo, Hi End
	None   bool // at no front line; Lo and Hi are where it lacks least
}

// Walls are the rooms that hold the chainring: beside tyre and chainstay, where the bike has those.
type Walls struct {
	Front, Rear float64 // today's lines, mm
	Rooms       []Room
}

// Reach is how far off today's front line walls are looked for, mm.
const Reach = 40.0

// Tolerance and first step of that, mm. Every room allows one interval.
const (
	wallTol  = 1e-8
	wallStep = 1.0
)

// parts are what walls stand at, with the least gap there.
var parts = []struct {
	name string
	of   func(o *sim.Outcome) sim.Extreme
}{
	{"tyre", func(o *sim.Outcome) sim.Extreme { return o.Tyre }},
	{"stay", func(o *sim.Outcome) sim.Extreme { return o.Stay }},
}

// shifted returns the bike with its rings moved outboard by d mm.
func shifted(b *sim.Bike, d float64) *sim.Bike {
	c := *b
	c.Rings = append([]sim.Wheel(nil), b.Rings...)
	for i := range c.Rings {
		c.Rings[i].Line += d
	}
	return &c
}

// FindWalls returns the walls of a bike whose chain has links links. Errors are the context's, or
// come from package sim.
func FindWalls(ctx context.Context, b *sim.Bike, links int) (*Walls, error) {
	if err := b.Validate(); err != nil {
		return nil, err
	}
	w := &Walls{Front: b.FrontLine(), Rear: b.RearLine()}
	if b.Tyre == nil && b.Stay == nil {
		return w, nil
	}
	s := &wallSearch{ctx: ctx, bike: b, links: links}
	for d := -Reach; d <= Reach; d += wallStep {
		o, err := s.at(d)
		if err != nil {
			return nil, err
		}
		s.shifts, s.grid = append(s.shifts, d), append(s.grid, o)
	}
	for _, p := range parts {
		if !p.of(&s.grid[0]).Valid {
			continue
		}
		s.of = p.of
		r, err := s.room()
		if err != nil {
			return nil, err
		}
		r.Part = p.name
		r.Lo.Line += w.Front
		r.Hi.Line += w.Front
		w.Rooms = append(w.Rooms, r)
	}
	return w, nil
}

type wallSearch struct {
	ctx    context.Context
	bike   *sim.Bike
	links  int
	e      sim.Outcomes
	shifts []float64
	grid   []sim.Outcome
	of     func(o *sim.Outcome) sim.Extreme
}

func (s *wallSearch) at(d float64) (o sim.Outcome, err error) {
	if err = s.ctx.Err(); err == nil {
		err = s.e.Outcome(&o, shifted(s.bike, d), s.links)
	}
	return o, err
}

func (s *wallSearch) gap(d float64) (sim.Extreme, error) {
	o, err := s.at(d)
	return s.of(&o), err
}

// room finds the interval about the shift with the largest gap.
func (s *wallSearch) room() (r Room, err error) {
	best := 0
	for i := range s.grid {
		if s.of(&s.grid[i]).Value > s.of(&s.grid[best]).Value {
			best = i
		}
	}
	inside := s.shifts[best]
	if most := s.of(&s.grid[best]); most.Value < 0 {
		if inside, most, err = s.summit(best); err != nil {
			return r, err
		}
		if most.Value < 0 {
			at := End{Line: inside, Ring: most.Ring, Cog: most.Cog}
			return Room{Lo: at, Hi: at, None: true}, nil
		}
	}
	if r.Lo, err = s.end(best, inside, -1); err != nil {
		return r, err
	}
	r.Hi, err = s.end(best, inside, +1)
	return r, err
}

// end returns where the gap gets negative going from inside to one side.
func (s *wallSearch) end(best int, inside float64, side int) (End, error) {
	in := inside
	for i := best; i >= 0 && i < len(s.shifts); i += side {
		if float64(side)*(s.shifts[i]-inside) <= 0 {
			continue
		}
		if s.of(&s.grid[i]).Value >= 0 {
			in = s.shifts[i]
			continue
		}
		out := s.shifts[i]
		x := s.of(&s.grid[i])
		for math.Abs(out-in) > wallTol {
			mid := (in + out) / 2
			g, err := s.gap(mid)
			if err != nil {
				return End{}, err
			}
			if g.Value >= 0 {
				in = mid
			} else {
				out, x = mid, g
			}
		}
		return End{Line: in, Ring: x.Ring, Cog: x.Cog}, nil
	}
	return End{Line: float64(side) * Reach, Open: true}, nil
}

// summit returns the shift with the largest gap near a step, and that.
func (s *wallSearch) summit(best int) (x float64, most sim.Extreme, err error) {
	lo, hi := s.shifts[max(best-1, 0)], s.shifts[min(best+1, len(s.shifts)-1)]
	x, most = s.shifts[best], s.of(&s.grid[best])
	const g = 0.6180339887498949
	for hi-lo > wallTol {
		var at [2]float64
		for i, d := range [2]float64{hi - g*(hi-lo), lo + g*(hi-lo)} {
			e, err := s.gap(d)
			if err != nil {
				return x, most, err
			}
			if at[i] = e.Value; e.Value > most.Value {
				x, most = d, e
			}
		}
		if at[0] > at[1] {
			hi = lo + g*(hi-lo)
		} else {
			lo = hi - g*(hi-lo)
		}
	}
	return x, most, nil
}
