package engine

import (
	"math"

	"chainpath/sim"
)

// shape is what the views draw, mm: x forward, y to the drive side, z up.
type shape struct {
	Pitch float64     `json:"pitch"`
	Axle  [2]float64  `json:"axle"` // x, z
	Rings []disc      `json:"rings"`
	Cogs  []disc      `json:"cogs"`
	Tyre  *tyre       `json:"tyre"`
	Stay  *stay       `json:"stay"`
	Gears []gearShape `json:"gears"`
}

type disc struct {
	Teeth int     `json:"teeth"`
	Line  float64 `json:"line"`
	Pitch float64 `json:"pitch"` // radius
	Tip   float64 `json:"tip"`   // radius
	Thick float64 `json:"thick"`
}

type tyre struct {
	Outside float64 `json:"outside"` // radius
	Width   float64 `json:"width"`
	Dish    float64 `json:"dish"`
}

type stay struct {
	Face  float64 `json:"face"`
	At    float64 `json:"at"`
	Slope float64 `json:"slope"`
}

// gearShape is a gear's loop in riding order.
type gearShape struct {
	Wheels []wheelShape `json:"wheels"`
	Spans  [][4]float64 `json:"spans"` // x, z of both ends
}

type wheelShape struct {
	Part  string  `json:"part"`
	X     float64 `json:"x"`
	Z     float64 `json:"z"`
	R     float64 `json:"r"`
	Sense int     `json:"sense"` // +1 anticlockwise seen from the drive side
	Wrap  float64 `json:"wrap"`  // rad
	Line  float64 `json:"line"`
}

func shapeOf(b *sim.Bike, r *sim.Result) *shape {
	p := b.Chain.Pitch
	x, z := b.Frame.Axle()
	s := &shape{Pitch: p, Axle: [2]float64{x, z}}
	discs := func(w []sim.Wheel) (out []disc) {
		for _, d := range w {
			out = append(out, disc{d.Teeth, d.Line, d.PitchRadius(p), d.TipRadius(p), d.Thickness()})
		}
		return out
	}
	s.Rings, s.Cogs = discs(b.Rings), discs(b.Cogs)
	if t := b.Tyre; t != nil {
		s.Tyre = &tyre{t.OutsideDiameter() / 2, t.Width, t.Dish}
	}
	if t := b.Stay; t != nil {
		s.Stay = &stay{t.Face, t.Radius, math.Tan(t.Angle)}
	}
	for i := range r.Gears {
		l := &r.Gears[i].Loop
		g := gearShape{}
		for _, k := range l.Path() {
			w, sp := l.Wheels[k], l.Spans[k]
			g.Wheels = append(g.Wheels, wheelShape{k.String(), w.Centre.X, w.Centre.Y, w.Radius, int(w.Sense), l.Wraps[k], l.Line[k]})
			g.Spans = append(g.Spans, [4]float64{sp.From.X, sp.From.Y, sp.To.X, sp.To.Y})
		}
		s.Gears = append(s.Gears, g)
	}
	return s
}
