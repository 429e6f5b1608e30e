package infer

import (
	"math"
	"slices"

	"chainpath/sim/elementary"
)

// Mistakes are how often a teller's words may be wrong, with the weight of each before anything
// was told (assumption).
var (
	Mistakes      = [...]float64{0.01, 0.04, 0.10, 0.25}
	MistakeWeight = [...]float64{0.35, 0.35, 0.20, 0.10}
)

// wrongCount is how often a count is wrong, of the times that a word is (assumption).
const wrongCount = 0.2

// Numbers of tables: places of a rate's probit, and their step; the rows of levels reach to
// mostLevel either way.
const (
	places    = 241
	half      = places / 2
	step      = 0.05
	mostLevel = 9.0
)

// Report is what was told of one fault at one place.
type Report struct {
	Happened bool
	Count    int     // tries that failed, where Of is above 0
	Of       int     // tries; 0: a word
	Mistake  float64 // how often such a report is wrong; 0: the teller's own
}

// grid has the shares of a rate's probit under levels: of level row j, the probit q of the rate
// is normal about q0 + rows·step·j with the deviation √(O/T), cut into places of one step.
type grid struct {
	spread Spread
	q0     float64 // probit of r0, an edge between two places
	stride int     // places from a row to the next
	rows   int     // either way of q0
	cum    []float64
}

func newGrid(s Spread) *grid {
	root := math.Sqrt(s.Try)
	g := &grid{spread: s, q0: Probit(s.Rate), stride: max(1, int(math.Round(0.05/(step*root))))}
	g.rows = int(math.Ceil((mostLevel/root + math.Abs(g.q0)) / (float64(g.stride) * step)))
	n := g.stride*g.rows + half + 1
	g.cum = make([]float64, 2*n+1)
	soft := math.Sqrt(s.Own / s.Try)
	for i := range g.cum {
		g.cum[i] = Normal(float64(i-n) * step / soft)
	}
	return g
}

// share returns how much of a row lies in a place; the outermost take the tails.
func (g *grid) share(row, i int) float64 {
	at := len(g.cum)/2 + i - half - g.stride*(row-g.rows)
	low, up := 0.0, 1.0
	if i > 0 {
		low = g.cum[at]
	}
	if i < places-1 {
		up = g.cum[at+1]
	}
	return up - low
}

// rate returns the rate in the middle of a place. The first half of places is below r0.
func (g *grid) rate(i int) float64 { return Normal(g.q0 + (float64(i-half)+0.5)*step) }

// at returns the row below a level, and how far on the way to the next it is.
func (g *grid) at(level float64) (row int, on float64) {
	x := (level/math.Sqrt(g.spread.Try)-g.q0)/(float64(g.stride)*step) + float64(g.rows)
	x = min(max(x, 0), float64(2*g.rows))
	row = min(int(x), 2*g.rows-1)
	return row, x - float64(row)
}

// Table is what was told of one fault at one place, as a function of the level μ less the
// offset there.
type Table struct {
	g      *grid
	like   [len(Mistakes)][places]float64 // of the reports, the greatest 1
	logs   [len(Mistakes)][]float64       // of its mean over a row
	faults [len(Mistakes)][]float64       // share of the fault among that
	most   float64                        // log of the greatest
}

// NewTable tabulates the reports of one fault at one place.
func NewTable(s Spread, told []Report) *Table {
	t := &Table{g: newGrid(s), most: math.Inf(-1)}
	for e := range t.like {
		for i := range t.like[e] {
			t.like[e][i] = logLike(told, Mistakes[e], t.g.rate(i), i >= half)
			t.most = max(t.most, t.like[e][i])
		}
	}
	for e := range t.like {
		for i, l := range t.like[e] {
			t.like[e][i] = elementary.Exp(l - t.most)
		}
		t.logs[e], t.faults[e] = make([]float64, 2*t.g.rows+1), make([]float64, 2*t.g.rows+1)
		for row := range t.logs[e] {
			below, above := 0.0, 0.0
			for i, l := range t.like[e] {
				if w := t.g.share(row, i) * l; i < half {
					below += w
				} else {
					above += w
				}
			}
			all := max(below+above, math.SmallestNonzeroFloat64)
			t.logs[e][row], t.faults[e][row] = t.most+math.Log(all), above/all
		}
	}
	return t
}

// logLike returns the log likelihood of reports at a rate, above r0 or not.
func logLike(told []Report, mistake, rate float64, isFault bool) (sum float64) {
	for _, r := range told {
		e := mistake
		if r.Mistake > 0 {
			e = r.Mistake
		}
		switch {
		case r.Of > 0:
			e *= wrongCount
			sum += math.Log((1-e)*Binomial(r.Count, r.Of, rate) + e/float64(r.Of+1))
		case r.Happened == isFault:
			sum += math.Log(1 - e)
		default:
			sum += math.Log(e)
		}
	}
	return sum
}

// Binomial returns the chance of k failures of n tries at a rate.
func Binomial(k, n int, rate float64) float64 {
	if rate <= 0 || rate >= 1 {
		if (k == 0 && rate <= 0) || (k == n && rate >= 1) {
			return 1
		}
		return 0
	}
	a, _ := math.Lgamma(float64(n + 1))
	b, _ := math.Lgamma(float64(k + 1))
	c, _ := math.Lgamma(float64(n - k + 1))
	return elementary.Exp(a - b - c + float64(k)*math.Log(rate) + float64(n-k)*math.Log1p(-rate))
}

func between(rows []float64, row int, on float64) float64 {
	return rows[row] + on*(rows[row+1]-rows[row])
}

// Log returns the log likelihood of the reports under mistake e of Mistakes and a level less the
// offset.
func (t *Table) Log(e int, level float64) float64 {
	row, on := t.g.at(level)
	return between(t.logs[e], row, on)
}

// Fault returns the chance of the fault, under the same, by the reports.
func (t *Table) Fault(e int, level float64) float64 {
	row, on := t.g.at(level)
	return between(t.faults[e], row, on)
}

// Compare orders reports, so that sums of them do not depend on the order they came in.
func (r Report) Compare(o Report) int {
	of := func(r Report) [4]float64 {
		x := [4]float64{float64(r.Of), float64(r.Count), r.Mistake, 0}
		if r.Happened {
			x[3] = 1
		}
		return x
	}
	a, b := of(r), of(o)
	return slices.Compare(a[:], b[:])
}
