package judge

import (
	"math"

	"chainpath/sim"
	"chainpath/sim/elementary"
)

// Marks are the chances whose bends mark an arrival: seldom, as likely as not, nearly always.
var Marks = [3]float64{0.1, 0.5, 0.9}

// The bends that arrivals are looked at, rad: beyond the last a run is never bent.
const (
	bendStep = 0.5 * math.Pi / 180
	bendMost = 12 // steps
)

// BendAt is an arrival with the bends at which the mean chances over the drawn sets, of this
// wheel alone, are Marks, rad; NaN: none up to 6°, or there is no such thing.
type BendAt struct {
	Direction  sim.Direction
	At         sim.Part
	Noise, Off [3]float64
}

// Bends returns the bends that arrivals are looked at, from none on, rad.
func Bends() []float64 {
	bends := make([]float64, bendMost+1)
	for i := range bends {
		bends[i] = float64(i) * bendStep
	}
	return bends
}

// BendAtOf returns the bends of an arrival, by what every set gives of it at Bends; a set in which the
// chain meets other wheels there counts nothing.
func BendAtOf(all [][][]sim.Bent, gear, i int, is *sim.Bent) BendAt {
	var noise, off curve
	for _, set := range all {
		if set == nil || i >= len(set[gear]) {
			continue
		}
		if a := &set[gear][i]; a.At == is.At && a.Direction == is.Direction {
			noise.add(a.Noise)
			off.add(a.Off)
		}
	}
	x := BendAt{Direction: is.Direction, At: is.At}
	for m, p := range Marks {
		x.Noise[m], x.Off[m] = noise.reaches(p), off.reaches(p)
	}
	return x
}

// curve is a mean chance by bend.
type curve struct {
	sum []float64
	n   float64
}

func (c *curve) add(chances []float64) {
	if chances == nil {
		return
	}
	if c.sum == nil {
		c.sum = make([]float64, len(chances))
	}
	c.n++
	for i, p := range chances {
		c.sum[i] += p
	}
}

// reaches returns the bend from which the mean is p, rad: between two bends the logarithm
// of the odds is taken as straight. NaN: it is not reached, or passed from the first.
func (c *curve) reaches(p float64) float64 {
	logit := func(p float64) float64 { return elementary.Logit(p, 1e-12) }
	if c.n == 0 || c.sum[0]/c.n >= p {
		return math.NaN()
	}
	for i := 1; i < len(c.sum); i++ {
		if c.sum[i]/c.n < p {
			continue
		}
		from, to := logit(c.sum[i-1]/c.n), logit(c.sum[i]/c.n)
		return (float64(i-1) + (logit(p)-from)/(to-from)) * bendStep
	}
	return math.NaN()
}
