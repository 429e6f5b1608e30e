package cases

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/stat"

	"chainpath/sim"
)

// Spread is a number that is drawn, by its field or its name among the free numbers, with its share
// of what spreads a result between the versions of the bike, 0 to 1: that of the variance which a
// straight line in it alone takes up. Shares of numbers that go together overlap.
type Spread struct {
	Name  string
	Share float64
}

// leastSpread is the least share that is told: with 200 versions one of 60 numbers that have nothing to do with a
// result reaches it once in 300 times (Student's t of a correlation, 198 degrees of freedom).
const leastSpread = 0.08

// Spread tells which numbers spread a result most, the largest share first; of gives the result of a
// version that can be. Errors are as of Draws.
func (o *Outlook) Spread(of func(version int) float64) (list []Spread, err error) {
	d, err := o.c.Draws()
	if err != nil {
		return nil, err
	}
	var made []int
	var y []float64
	for k := range o.draws {
		if o.draws[k].Err == nil {
			made, y = append(made, k), append(y, of(k))
		}
	}
	x := make([]float64, len(made))
	add := func(name string, of func(k int) float64) {
		for i, k := range made {
			x[i] = of(k)
		}
		r := stat.Correlation(x, y, nil)
		if share := r * r; share >= leastSpread { // not where one of them is the same in all
			list = append(list, Spread{name, share})
		}
	}
	for i, in := range d.inputs {
		if !d.free[i] && !d.fixed[i] {
			add(in.Name, func(k int) float64 { return o.draws[k].Read[i] })
		}
	}
	for i, doubt := range [...]float64{d.front, d.rear} {
		if doubt > 0 {
			add([...]string{"front.line", "rear.line"}[i], func(k int) float64 { return o.draws[k].Lines[i] })
		}
	}
	for i := range freeNumbers {
		add(freeNumbers[i].Name, func(k int) float64 { return o.starts[k].set[i] })
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].Share > list[j].Share })
	return list, nil
}

// Doubtful is the chance that is most in doubt: that nearest to a half.
type Doubtful struct {
	Gear    int // ring times the number of cogs and cog
	Concern sim.Concern
	Chance  float64
	By      []Spread
}

// leastDoubt is how near to 0 or 1 no chance is in doubt: below it nothing is spoken of.
const leastDoubt = 0.1

// Doubtful returns the chance that is most in doubt and what spreads it; nil where all are clear.
// Errors are as of Draws.
func (o *Outlook) Doubtful(chances []sim.Chances) (*Doubtful, error) {
	var d *Doubtful
	for g := range chances {
		for k, p := range chances[g] {
			if p >= leastDoubt && p <= 1-leastDoubt && (d == nil || math.Abs(p-0.5) < math.Abs(d.Chance-0.5)) {
				d = &Doubtful{Gear: g, Concern: sim.Concern(k), Chance: p}
			}
		}
	}
	if d == nil {
		return nil, nil
	}
	var err error
	d.By, err = o.Spread(func(k int) float64 { return o.draws[k].Chances[0][d.Gear][d.Concern] })
	return d, err
}
