package exchange

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/spatial/r3"
)

// hangs is a run between two places that is longer than straight: it hangs as the parabola of that
// length, which a slack chain's catenary is near.
type hangs struct {
	from, to r3.Vec
	sag      float64
	at       []float64 // the length up to each of so many even places along the chord, over the whole
}

const chords = 256 // of which a hanging run's length is summed

// hanging returns the run between two places that has a length, mm.
func hanging(from, to r3.Vec, long float64) *hangs {
	h := &hangs{from: from, to: to}
	lo, hi := 0.0, long
	for range 60 {
		h.sag = (lo + hi) / 2
		if h.measure() < long {
			lo = h.sag
		} else {
			hi = h.sag
		}
	}
	return h
}

func (h *hangs) place(t float64) r3.Vec {
	p := r3.Add(h.from, r3.Scale(t, r3.Sub(h.to, h.from)))
	p.Z -= 4 * h.sag * t * (1 - t)
	return p
}

// measure sums the length up along the run.
func (h *hangs) measure() (sum float64) {
	h.at = append(h.at[:0], 0)
	for i := range chords {
		sum += r3.Norm(r3.Sub(h.place(float64(i+1)/chords), h.place(float64(i)/chords)))
		h.at = append(h.at, sum)
	}
	for i := range h.at {
		h.at[i] /= math.Max(sum, math.SmallestNonzeroFloat64)
	}
	return sum
}

// along returns the place at a share of the length.
func (h *hangs) along(share float64) r3.Vec {
	i := min(max(sort.SearchFloat64s(h.at, share), 1), chords)
	f := (share - h.at[i-1]) / (h.at[i] - h.at[i-1])
	return h.place((float64(i-1) + f) / chords)
}
