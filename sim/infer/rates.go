package infer

// Rates are what is known of a rate: shares of places of its probit.
type Rates struct {
	g     *grid
	share [places]float64
	sum   float64
}

// RateCounter gathers levels for Rates.
type RateCounter struct {
	g    *grid
	t    *Table                   // nil: nothing was told of the place
	rows [len(Mistakes)][]float64 // how many levels are at a row, by mistake
}

// Counter returns a counter of levels less the offset, at a place of which a table tells.
func (t *Table) Counter() *RateCounter { return newCounter(t.g, t) }

// Counter returns a counter of levels: less the offset, or where none is known, as they are.
func (s *Spread) Counter(known bool) *RateCounter {
	if !known {
		return newCounter(newGrid(s.unseen()), nil)
	}
	return newCounter(newGrid(*s), nil)
}

func newCounter(g *grid, t *Table) *RateCounter {
	c := &RateCounter{g: g, t: t}
	for e := range c.rows {
		c.rows[e] = make([]float64, 2*g.rows+1)
	}
	return c
}

// Add counts a level under mistake e.
func (c *RateCounter) Add(e int, level float64) {
	row, on := c.g.at(level)
	c.rows[e][row] += 1 - on
	c.rows[e][row+1] += on
}

// Rates returns what is known of the rate, each level counting alike.
func (c *RateCounter) Rates() *Rates {
	r := &Rates{g: c.g}
	var part [places]float64
	for e := range c.rows {
		for row, n := range c.rows[e] {
			if n == 0 {
				continue
			}
			sum := 0.0
			for i := range part {
				part[i] = c.g.share(row, i)
				if c.t != nil {
					part[i] *= c.t.like[e][i]
				}
				sum += part[i]
			}
			if sum > 0 {
				for i := range part {
					r.share[i] += n / sum * part[i]
				}
				r.sum += n
			}
		}
	}
	return r
}

// Mean returns the mean rate; NaN never: 0 where nothing was counted.
func (r *Rates) Mean() float64 { return r.mean(func(i int) float64 { return r.g.rate(i) }) }

// Fault returns the chance that the rate is above r0.
func (r *Rates) Fault() float64 {
	return r.mean(func(i int) float64 {
		if i < half {
			return 0
		}
		return 1
	})
}

// Above returns the chance that the rate is above another.
func (r *Rates) Above(rate float64) float64 {
	return r.mean(func(i int) float64 {
		if r.g.rate(i) > rate {
			return 1
		}
		return 0
	})
}

// Count returns the chance of k failures in the next n tries.
func (r *Rates) Count(k, n int) float64 {
	return r.mean(func(i int) float64 { return Binomial(k, n, r.g.rate(i)) })
}

// Next returns how many of the next n tries fail at least and at most, with the chance in the
// middle: the least counts whose chances sum to (1-middle)/2 and to (1+middle)/2.
func (r *Rates) Next(n int, middle float64) (least, most int) {
	sum := 0.0
	least = -1
	for k := range n + 1 {
		sum += r.Count(k, n)
		if least < 0 && sum >= (1-middle)/2 {
			least = k
		}
		if sum >= (1+middle)/2 {
			return least, k
		}
	}
	return max(least, 0), n
}

func (r *Rates) mean(of func(i int) float64) float64 {
	if r.sum == 0 {
		return 0
	}
	sum := 0.0
	for i, w := range r.share {
		sum += w * of(i)
	}
	return sum / r.sum
}

// Counts are chances of how many of some tries fail, by level.
type Counts struct {
	g      *grid
	chance [][]float64 // by count and row
}

// Counts returns those of n tries at a place of which nothing was told: of levels less the offset, or where
// none is known, as they are. A place that fails often or never does so in all of its tries alike.
func (s *Spread) Counts(known bool, n int) *Counts {
	c := &Counts{g: s.Counter(known).g}
	var like [places]float64
	for k := range n + 1 {
		for i := range like {
			like[i] = Binomial(k, n, c.g.rate(i))
		}
		rows := make([]float64, 2*c.g.rows+1)
		for row := range rows {
			for i, l := range like {
				rows[row] += float64(c.g.share(row, i) * l)
			}
		}
		c.chance = append(c.chance, rows)
	}
	return c
}

// Of returns the chance of k failures at a level.
func (c *Counts) Of(level float64, k int) float64 {
	row, on := c.g.at(level)
	return float64((1-on)*c.chance[k][row]) + float64(on*c.chance[k][row+1])
}
