package cases

import (
	"fmt"
	"runtime"
	"sort"
	"sync"
	"sync/atomic"

	"gonum.org/v1/gonum/stat"

	"chainpath/sim"
	"chainpath/sim/await"
)

// shippedSets are the sets that chances are means over.
var shippedSets = sync.OnceValues(func() ([][]float64, error) { return DecodeSets(setsData) })

// Posterior returns quantiles (shares 0 to 1) of every free number over the shipped sets,
// in the order and units of FreeNumbers. The error wraps ErrSets.
func Posterior(shares [3]float64) ([][3]float64, error) {
	sets, err := shippedSets()
	if err != nil {
		return nil, err
	}
	out := make([][3]float64, len(freeNumbers))
	values := make([]float64, len(sets))
	for i := range freeNumbers {
		for k, set := range sets {
			values[k] = freeNumbers[i].At(set[i])
		}
		sort.Float64s(values)
		for j, p := range shares {
			out[i][j] = stat.Quantile(p, stat.Empirical, values, nil)
		}
	}
	return out, nil
}

// Chances returns the chances of every gear of a case, rings and cogs from small to
// large: means over the sets of free numbers, learned or else shipped, with the readings' tolerances
// and the links' drawn along. The same case gives the same bits on any number of cores and
// wherever the compiler does not fuse a product into a sum: on amd64 and in a browser; on
// arm64, where it does, the printed digits of the golden cases are the same. A load replaces
// the case's; nil keeps that. Errors are *Error, wrap ErrSets, or come from package sim.
func (c *Case) Chances(load *sim.Load) ([]sim.Chances, error) {
	all, err := c.ChancesAlong(load, []float64{0})
	if err != nil {
		return nil, err
	}
	return all[0], nil
}

// ChancesAlong returns the chances of every gear with the rings moved outboard by each of
// the shifts, mm: the same draws everywhere, so that shifts can be compared.
func (c *Case) ChancesAlong(load *sim.Load, shifts []float64) ([][]sim.Chances, error) {
	draws, err := c.draw(load, shifts)
	if err != nil {
		return nil, err
	}
	return c.mean(draws, len(shifts))
}

// oneOf thins the sets for a quick look: every fourth is used.
const oneOf = 4

// QuickChancesAlong is ChancesAlong by a quarter of the sets, with chances of rubbing that
// are surely tiny left at what they are at most: for shades drawn while something moves.
func (c *Case) QuickChancesAlong(load *sim.Load, shifts []float64) ([][]sim.Chances, error) {
	sets, err := c.starts()
	if err != nil {
		return nil, err
	}
	var some []start
	for i := 0; i < len(sets); i += oneOf {
		some = append(some, sets[i])
	}
	draws, err := c.drawSets(some, true, load, shifts)
	if err != nil {
		return nil, err
	}
	return c.mean(draws, len(shifts))
}

// Size is a concern's size in one gear over the drawn sets: its 5, 50 and 95 % points.
type Size [3]float64

// Foreseen is what the drawn sets foretell of one gear.
type Foreseen struct {
	Chances sim.Chances
	Sizes   [sim.NumConcerns]Size // of what Chances has
}

// Foresee returns chances with the sizes beside them, of every gear. Errors are as of
// Chances.
func (c *Case) Foresee(load *sim.Load) ([]Foreseen, error) {
	draws, err := c.draw(load, []float64{0})
	if err != nil {
		return nil, err
	}
	all, err := c.mean(draws, 1)
	if err != nil {
		return nil, err
	}
	out := make([]Foreseen, len(all[0]))
	var values []float64
	for g := range out {
		out[g].Chances = all[0][g]
		for k := range out[g].Sizes {
			values = values[:0]
			for _, d := range draws {
				if d.err == nil {
					values = append(values, d.sizes[0][g][k])
				}
			}
			sort.Float64s(values)
			for i, p := range [...]float64{0.05, 0.5, 0.95} {
				out[g].Sizes[k][i] = stat.Quantile(p, stat.Empirical, values, nil)
			}
		}
	}
	return out, nil
}

// ChancesBySet returns the chances of every gear by each of the drawn sets alone, without
// those whose draw cannot be. Errors are as of Chances.
func (c *Case) ChancesBySet(load *sim.Load) (out [][]sim.Chances, err error) {
	draws, err := c.draw(load, []float64{0})
	if err != nil {
		return nil, err
	}
	for _, d := range draws {
		if d.err == nil {
			out = append(out, d.chances[0])
		}
	}
	return out, nil
}

// draw computes what every set gives.
func (c *Case) draw(load *sim.Load, shifts []float64) ([]drawn, error) {
	sets, err := c.starts()
	if err != nil {
		return nil, err
	}
	return c.drawSets(sets, false, load, shifts)
}

func (c *Case) drawSets(sets []start, coarse bool, load *sim.Load, shifts []float64) ([]drawn, error) {
	draws := make([]drawn, len(sets))
	return draws, c.eachOf(len(sets), func(d *Drawn) func(k int) {
		o := new(sim.Odds)
		return func(k int) { draws[k] = d.along(o, sets[k], load, shifts) }
	})
}

// eachOf does something for every number below n, on all cores, until the case is stopped;
// start makes what a goroutine does it with. Errors are as of Draws.
func (c *Case) eachOf(n int, start func(d *Drawn) func(k int)) error {
	var next atomic.Int64
	var wg await.Group
	for range min(n, runtime.GOMAXPROCS(0)) {
		d, err := c.Draws()
		if err != nil {
			return err
		}
		do := start(d)
		wg.Go(func() {
			for k := int(next.Add(1)) - 1; k < n && c.Stopped() == nil; k = int(next.Add(1)) - 1 {
				do(k)
			}
		})
	}
	wg.Wait()
	return c.Stopped()
}

// drawn is what one set gives: chances and sizes by shift and gear, or why it cannot be.
type drawn struct {
	chances [][]sim.Chances
	sizes   [][]sim.Sizes
	lines   [2]float64 // means of the rings and of the cogs as drawn, before a shift, mm
	err     error
}

// readingStream sets the random stream of readings apart from others of the same seed.
const readingStream = 20

// along returns what one draw gives at every shift.
func (d *Drawn) along(o *sim.Odds, from start, load *sim.Load, shifts []float64) drawn {
	b, f, links, err := d.begin(from, load)
	if err != nil {
		return drawn{err: err}
	}
	out := drawn{chances: make([][]sim.Chances, len(shifts)), sizes: make([][]sim.Sizes, len(shifts))}
	out.lines = [2]float64{meanLine(b.Rings), meanLine(b.Cogs)}
	at := 0.0
	for i, s := range shifts {
		for j := range b.Rings {
			b.Rings[j].Line += s - at
		}
		at = s
		out.chances[i] = make([]sim.Chances, len(b.Rings)*len(b.Cogs))
		out.sizes[i] = make([]sim.Sizes, len(b.Rings)*len(b.Cogs))
		o.Sizes = out.sizes[i]
		if err := o.Gears(out.chances[i], b, f, links); err != nil {
			return drawn{err: err}
		}
	}
	return out
}

// mean returns the means over draws, in their order. A draw may take a dimension past
// what can be; where half of them do, that is an error.
func (c *Case) mean(draws []drawn, shifts int) ([][]sim.Chances, error) {
	out := make([][]sim.Chances, shifts)
	made := 0
	var failed error
	for _, d := range draws {
		if d.err != nil {
			failed = d.err
			continue
		}
		made++
		for i, gears := range d.chances {
			if out[i] == nil {
				out[i] = make([]sim.Chances, len(gears))
			}
			for g := range gears {
				for k, p := range gears[g] {
					out[i][g][k] += p
				}
			}
		}
	}
	if made < len(draws)/2 {
		return nil, c.Explain(fmt.Errorf("%d of %d draws cannot be: %w", len(draws)-made, len(draws), failed))
	}
	for _, gears := range out {
		for g := range gears {
			for k, sum := range gears[g] {
				gears[g][k] = settled(sim.Concern(k), sum/float64(made))
			}
		}
	}
	return out, c.onlyMounted(out)
}

// onlyMounted leaves a gear that the case's chain is too short for no chance but that.
func (c *Case) onlyMounted(all [][]sim.Chances) error {
	mounts, err := c.mounts()
	if err != nil {
		return err
	}
	for _, gears := range all {
		for g := range gears {
			for k := range gears[g] {
				if !mounts[g] && sim.Concern(k) != sim.DoesNotClose {
					gears[g][k] = -1
				}
			}
		}
	}
	return nil
}

// settled returns a mean chance as it is told.
func settled(k sim.Concern, p float64) float64 {
	switch {
	case p < 0: // there is no such thing
		return -1
	case k == sim.DoesNotClose && (p == 0 || p == 1):
		return p // geometry beyond every doubt: in every draw alike
	}
	return OffTheEnds(p)
}
