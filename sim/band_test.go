package sim

import "chainpath/geom"

// closedBand is a closed band over wheels in the order of travel, by package geom alone: Spans[i]
// runs from wheel i to the next, the last back to the first, Wraps[i] is the angle over which
// it lies on wheel i.
type closedBand struct {
	Spans []geom.Span
	Wraps []float64
}

// bandOver returns the closed band over the wheels. Errors are geom's.
func bandOver(wheels []geom.Wheel) (b closedBand, err error) {
	n := len(wheels)
	b = closedBand{make([]geom.Span, n), make([]float64, n)}
	for i := range wheels {
		if err := b.Spans[i].Between(&wheels[i], &wheels[(i+1)%n]); err != nil {
			return b, err
		}
	}
	for i, w := range wheels {
		b.Wraps[i] = geom.Wrap(w.Sense, b.Spans[(i+n-1)%n].Dir, b.Spans[i].Dir)
	}
	return b, nil
}
