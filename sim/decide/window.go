package decide

import (
	"context"
	"errors"
	"fmt"
	"math"

	"chainpath/sim"
)

// Edge is one end of an interval of front lines.
type Edge struct {
	Line   float64    // front line, mm
	Open   bool       // the constraint still holds at the search's end
	Margin sim.Margin // the margin that is zero there, with its gear; not set when Open
}

// Bar is the interval of front lines that one kind of constraint allows in one
// direction, over all gears.
type Bar struct {
	Kind      sim.Kind
	Direction sim.Direction
	Both      bool // the constraint is the same in both directions
	Lo, Hi    Edge
	// Empty: no front line does, either because Hi lies inboard of Lo, or
	// because a gear has none of its own (Never).
	Empty bool
	Never *sim.Margin // the gear that has none, at its best line
}

// Overlap is what several bars allow together.
type Overlap struct {
	Lo, Hi   int // indices of the binding bars
	From, To float64
	Empty    bool
	Lacking  float64 // by how much the two exclude each other, mm, when Empty; +Inf never: see Never
	Never    int     // index of a bar that allows nothing at all, or -1
}

// Window is a bike's line window.
type Window struct {
	Front, Rear float64 // today's lines, mm
	From, To    float64 // the search's ends, mm
	Bars        []Bar
	Safe        Overlap // of all but the quiet bars: no drop, no rubbing
	Quiet       Overlap // of all
}

// Reach is how far off today's front line the window is searched, mm.
const Reach = 40.0

// edgeTol is how exactly an edge is found, mm: a millionth of the best reading.
const edgeTol = 1e-8

// gridStep is how finely margins are looked at before edges are found, mm. Every
// constraint allows one interval; narrower ones than the step are found by their
// best line.
const gridStep = 1.0

// shifted returns the bike with its rings moved outboard by d mm.
func shifted(b *sim.Bike, d float64) *sim.Bike {
	c := *b
	c.Rings = append([]sim.Wheel(nil), b.Rings...)
	for i := range c.Rings {
		c.Rings[i].Line += d
	}
	return &c
}

// windowKinds are the constraints that a window is made of, in the order of its
// bars.
var windowKinds = []struct {
	kind sim.Kind
	dir  sim.Direction
	both bool
}{
	{sim.ToClimb, sim.Riding, false},
	{sim.ToClimb, sim.Backwards, false},
	{sim.ToCog, sim.Riding, false},
	{sim.ToCog, sim.Backwards, false},
	{sim.ToRing, sim.Riding, false},
	{sim.ToRing, sim.Backwards, false},
	{sim.ToTyre, sim.Riding, true},
	{sim.ToStay, sim.Riding, true},
	{sim.ToQuiet, sim.Riding, false},
	{sim.ToQuiet, sim.Backwards, false},
}

// windowSearch is one search's state.
type windowSearch struct {
	ctx   context.Context
	bike  *sim.Bike
	links int
	eval  sim.Evaluator
	signs sim.Evaluator  // for the grid, where signs and the order of values are enough
	grid  [][]sim.Margin // by step, all gears' margins
	at    []float64      // front-line shift of each step, mm
	buf   []sim.Margin
}

// FindWindow returns the window of a bike whose chain has links links. Errors
// come from package sim.
func FindWindow(b *sim.Bike, links int) (*Window, error) {
	return FindWindowWithin(context.Background(), b, links)
}

// FindWindowWithin is FindWindow that ends with the context, and then has its error.
func FindWindowWithin(ctx context.Context, b *sim.Bike, links int) (*Window, error) {
	if err := b.Validate(); err != nil {
		return nil, err
	}
	w := &Window{Front: b.FrontLine(), Rear: b.RearLine()}
	s := &windowSearch{ctx: ctx, bike: b, links: links, signs: sim.Evaluator{Signs: true}}
	w.From, w.To = w.Front-Reach, w.Front+Reach
	for d := -Reach; d <= Reach; d += gridStep {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		m, err := s.signs.Margins(nil, shifted(b, d), links)
		if err != nil {
			return nil, err
		}
		s.at, s.grid = append(s.at, d), append(s.grid, m)
	}
	for _, k := range windowKinds {
		bar := Bar{Kind: k.kind, Direction: k.dir, Both: k.both}
		any, err := s.bar(&bar)
		if err != nil {
			return nil, err
		}
		if any {
			bar.Lo.Line += w.Front
			bar.Hi.Line += w.Front
			w.Bars = append(w.Bars, bar)
		}
	}
	w.Safe = overlap(w.Bars, func(b Bar) bool { return b.Kind != sim.ToQuiet })
	w.Quiet = overlap(w.Bars, func(Bar) bool { return true })
	return w, nil
}

// bar intersects the intervals of every margin of a kind and direction. Only
// those whose edge can be the binding one are refined.
func (s *windowSearch) bar(b *Bar) (any bool, err error) {
	first := s.grid[0]
	b.Lo = Edge{Line: math.Inf(-1)}
	b.Hi = Edge{Line: math.Inf(1)}
	for j := range first {
		if first[j].Kind != b.Kind || first[j].Direction != b.Direction {
			continue
		}
		any = true
		best := 0
		for i := range s.grid {
			if s.grid[i][j].Value > s.grid[best][j].Value {
				best = i
			}
		}
		inside := s.at[best]
		if s.grid[best][j].Value < 0 {
			if inside, err = s.summit(j, best); err != nil {
				return any, err
			}
			v, err := s.value(j, inside)
			if err != nil {
				return any, err
			}
			if v < 0 {
				m := first[j]
				m.Value = v
				b.Empty, b.Never = true, &m
				b.Lo.Line, b.Hi.Line = inside, inside
				return any, nil
			}
		}
		lo, err := s.edge(j, best, inside, -1, b.Lo.Line)
		if err != nil {
			return any, err
		}
		if lo.Line > b.Lo.Line {
			b.Lo = lo
		}
		hi, err := s.edge(j, best, inside, +1, b.Hi.Line)
		if err != nil {
			return any, err
		}
		if hi.Line < b.Hi.Line {
			b.Hi = hi
		}
	}
	b.Empty = b.Empty || any && b.Lo.Line > b.Hi.Line
	return any, nil
}

// edge returns where margin j gets negative going from inside to one side; bound
// is an edge known already, inside of which this one must lie to matter.
func (s *windowSearch) edge(j, best int, inside float64, side int, bound float64) (Edge, error) {
	in := inside
	for i := best; i >= 0 && i < len(s.at); i += side {
		if float64(side)*(s.at[i]-inside) <= 0 {
			continue
		}
		if float64(side)*(s.at[i]-bound) > gridStep { // cannot bind any more
			return Edge{Line: s.at[i]}, nil
		}
		if s.grid[i][j].Value < 0 {
			line, err := s.root(j, in, s.at[i])
			return Edge{Line: line, Margin: s.grid[0][j]}, err
		}
		in = s.at[i]
	}
	return Edge{Line: float64(side) * Reach, Open: true}, nil
}

// value computes margin j at a shift.
func (s *windowSearch) value(j int, d float64) (float64, error) {
	want := s.grid[0][j]
	if err := s.ctx.Err(); err != nil {
		return 0, err
	}
	var err error
	if s.buf, err = s.eval.Gear(s.buf[:0], shifted(s.bike, d), want.Ring, want.Cog, s.links); err != nil {
		return 0, err
	}
	// The same thing may be listed more than once in a gear (top and bottom
	// strand): take the one at the same place in the list.
	n := 0
	for k := j - 1; k >= 0 && s.grid[0][k].Ring == want.Ring && s.grid[0][k].Cog == want.Cog; k-- {
		n++
	}
	if !s.buf[n].Same(want) {
		return 0, errors.New("decide: margins changed their order")
	}
	return s.buf[n].Value, nil
}

// root finds the sign change of margin j between a shift inside and one outside,
// by secant with bisection behind it, and returns the inside end.
func (s *windowSearch) root(j int, in, out float64) (float64, error) {
	fin, err := s.value(j, in)
	if err != nil {
		return 0, err
	}
	fout, err := s.value(j, out)
	if err != nil {
		return 0, err
	}
	for i := 0; i < 80 && math.Abs(out-in) > edgeTol; i++ {
		x := (in + out) / 2
		if i%3 != 2 {
			x = in + (out-in)*fin/(fin-fout)
			// A little to either side in turn, so that both ends close in.
			x += math.Copysign(edgeTol/3, out-in) * float64(1-2*(i%2))
		}
		if !(x > min(in, out) && x < max(in, out)) {
			x = (in + out) / 2
		}
		f, err := s.value(j, x)
		if err != nil {
			return 0, err
		}
		if f >= 0 {
			in, fin = x, f
		} else {
			out, fout = x, f
		}
	}
	return in, nil
}

// summit returns the shift with the largest margin j near a grid step, of those that it looks
// at: where a margin jumps, what they close in on may lie on the wrong side.
func (s *windowSearch) summit(j, best int) (float64, error) {
	lo, hi := s.at[max(best-1, 0)], s.at[min(best+1, len(s.at)-1)]
	const g = 0.6180339887498949
	x, most := s.at[best], math.Inf(-1)
	take := func(at, v float64) {
		if v > most {
			x, most = at, v
		}
	}
	for range 40 {
		a, b := hi-g*(hi-lo), lo+g*(hi-lo)
		fa, err := s.value(j, a)
		if err != nil {
			return 0, err
		}
		fb, err := s.value(j, b)
		if err != nil {
			return 0, err
		}
		take(a, fa)
		take(b, fb)
		if fa > fb {
			hi = b
		} else {
			lo = a
		}
	}
	return x, nil
}

// overlap intersects the bars that are wanted.
func overlap(bars []Bar, want func(Bar) bool) Overlap {
	o := Overlap{Lo: -1, Hi: -1, Never: -1}
	for i, b := range bars {
		if !want(b) {
			continue
		}
		if b.Never != nil {
			o.Empty, o.Never = true, i
			continue
		}
		if o.Lo < 0 || b.Lo.Line > bars[o.Lo].Lo.Line {
			o.Lo = i
		}
		if o.Hi < 0 || b.Hi.Line < bars[o.Hi].Hi.Line {
			o.Hi = i
		}
	}
	if o.Lo < 0 || o.Hi < 0 {
		o.Empty = true
		return o
	}
	o.From, o.To = bars[o.Lo].Lo.Line, bars[o.Hi].Hi.Line
	if o.From > o.To {
		o.Empty, o.Lacking = true, o.From-o.To
	}
	return o
}

// Words returns what a bar clears, as people read it.
func (b Bar) Words() string {
	what := map[sim.Kind]string{
		sim.ToClimb: "no chain drop", sim.ToQuiet: "no noise", sim.ToCog: "clear of the next cog", sim.ToRing: "clear of the next chainring",
		sim.ToTyre: "clear of the tyre", sim.ToStay: "clear of the chainstay",
	}[b.Kind]
	if b.Both {
		return what
	}
	return what + ", " + [...]string{"riding", "back-pedalling"}[b.Direction]
}

// Name returns a bar's name in output.
func (b Bar) Name() string {
	what := map[sim.Kind]string{
		sim.ToClimb: "no climbing", sim.ToQuiet: "quiet", sim.ToCog: "clear of next cog", sim.ToRing: "clear of next ring",
		sim.ToTyre: "clear of tyre", sim.ToStay: "clear of chainstay",
	}[b.Kind]
	if b.Both {
		return what
	}
	return fmt.Sprintf("%s, %s", what, b.Direction)
}
