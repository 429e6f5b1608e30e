package cases

import (
	"math"

	"chainpath/sim"
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

// BendsAt returns those bends for every arrival of every gear, in the order of
// sim.Gear.Arrivals, none of a gear that the chain does not go round. Errors are as of
// Chances.
func (c *Case) BendsAt() ([][]BendAt, error) {
	b, links, err := c.chained()
	if err != nil {
		return nil, err
	}
	all, err := c.bentBySet()
	if err != nil {
		return nil, err
	}
	out := make([][]BendAt, len(b.Rings)*len(b.Cogs))
	var o sim.Odds
	for g := range out {
		arrivals, err := o.Bent(b, &sim.Free{}, g/len(b.Cogs), g%len(b.Cogs), links, nil)
		if err != nil {
			return nil, c.Explain(err)
		}
		for i := range arrivals {
			out[g] = append(out[g], bendAt(all, g, i, &arrivals[i]))
		}
	}
	return out, nil
}

// bendAt returns the bends of an arrival, by what every set gives of it; a set in which the
// chain meets other wheels there counts nothing.
func bendAt(all [][][]sim.Bent, gear, i int, is *sim.Bent) BendAt {
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

// bentBySet returns what every set's arrivals would do from no bend on to the greatest, by
// gear; nil of a set that cannot be.
func (c *Case) bentBySet() ([][][]sim.Bent, error) {
	sets, err := c.starts()
	if err != nil {
		return nil, err
	}
	bends := make([]float64, bendMost+1)
	for i := range bends {
		bends[i] = float64(i) * bendStep
	}
	all := make([][][]sim.Bent, len(sets))
	return all, c.eachOf(len(sets), func(d *Drawn) func(k int) {
		o := new(sim.Odds)
		return func(k int) {
			if bent, err := d.bent(o, sets[k], bends); err == nil {
				sets[k].shiftBends(bent, len(c.Front.Rings))
				all[k] = bent
			}
		}
	})
}

// bent returns what one draw's arrivals would do at the bends, by gear.
func (d *Drawn) bent(o *sim.Odds, from start, bends []float64) ([][]sim.Bent, error) {
	b, f, links, err := d.begin(from)
	if err != nil {
		return nil, err
	}
	out := make([][]sim.Bent, len(b.Rings)*len(b.Cogs))
	for g := range out {
		if out[g], err = o.Bent(b, f, g/len(b.Cogs), g%len(b.Cogs), links, bends); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// begin returns a bike drawn from where a set starts, with its set and chain.
func (d *Drawn) begin(from start) (*sim.Bike, *sim.Free, int, error) {
	b, f, err := d.drawn(from)
	if err != nil {
		return nil, nil, 0, err
	}
	links, err := d.Chain(b)
	return b, f, links, err
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
	logit := func(p float64) float64 {
		p = min(max(p, 1e-12), 1-1e-12)
		return math.Log(p / (1 - p))
	}
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
