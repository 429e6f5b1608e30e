package geom

import (
	"fmt"
)

// PathError says between which two wheels of a path no span can be drawn.
type PathError struct {
	From, To int // indices into the wheels
	Err      error
}

func (e *PathError) Error() string {
	return fmt.Sprintf("wheel %d to wheel %d: %v", e.From, e.To, e.Err)
}

// Unwrap returns the reason: ErrOverlap or ErrNumber.
func (e *PathError) Unwrap() error { return e.Err }

// Path is a closed band over wheels in the order of travel. Spans[i] runs from
// wheel i to the next one, the last back to wheel 0; Wraps[i] is the angle over
// which the band lies on wheel i.
type Path struct {
	Wheels []Wheel
	Spans  []Span
	Wraps  []float64
}

// Close returns the closed path over the wheels, at least two of them.
// An impossible span gives a *PathError.
func Close(wheels []Wheel) (Path, error) {
	p := Path{
		Wheels: wheels,
		Spans:  make([]Span, len(wheels)),
		Wraps:  make([]float64, len(wheels)),
	}
	return p, p.update()
}

// update computes the spans and wraps again after wheels were moved, without
// allocating. On an error the path is left part old, part new.
func (p *Path) update() error {
	n := len(p.Wheels)
	if n < 2 || len(p.Spans) != n || len(p.Wraps) != n {
		return fmt.Errorf("geom: a closed path needs two wheels or more and as many spans and wraps, got %d, %d, %d", n, len(p.Spans), len(p.Wraps))
	}
	for i := range p.Wheels {
		j := (i + 1) % n
		s, err := Tangent(p.Wheels[i], p.Wheels[j])
		if err != nil {
			return &PathError{From: i, To: j, Err: err}
		}
		p.Spans[i] = s
	}
	for i := range p.Wheels {
		p.Wraps[i] = Wrap(p.Wheels[i].Sense, p.Spans[(i+n-1)%n].Dir, p.Spans[i].Dir)
	}
	return nil
}

// Length returns the length of the band: its spans and its arcs.
func (p *Path) Length() float64 {
	sum := 0.0
	for i, s := range p.Spans {
		sum += s.Length + p.Wheels[i].Radius*p.Wraps[i]
	}
	return sum
}
