package main

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"slices"

	"chainpath/cases"
	"chainpath/sim/indexing"
)

// How many sets of indexing's numbers the reports are held against, and bicycles of each.
const (
	weighedShifts = 3000
	bicyclesEach  = 20
	reportErrs    = 0.02
)

// weighShifts prints what each report leaves of the room of a straight bike, were the sets
// weighed by it: of a trouble by which shifts it is in, given that there is one, because reports
// are selected for that; of a bike that works by its working.
func weighShifts(w io.Writer, bikes []shiftBike) {
	rng := rand.New(rand.NewPCG(28, 28))
	sets := make([]indexing.Unknowns, weighedShifts)
	for i := range sets {
		sets[i] = cases.ShiftUnknowns(func() float64 { return rng.Float64() })
	}
	all := make([]float64, len(sets))
	fmt.Fprintln(w, "\n| weighed by | room, share of the pitch: 5, 50, 95 % | effective sets |\n|---|---|---|")
	for _, b := range bikes {
		logs := make([]float64, len(sets))
		for i, u := range sets {
			logs[i] = b.log(u, rng)
			all[i] += logs[i]
		}
		leftOf(w, b.name, sets, logs)
	}
	leftOf(w, "all", sets, all)
}

// log returns the log likelihood of a bicycle's reports under one set.
func (b *shiftBike) log(u indexing.Unknowns, rng *rand.Rand) float64 {
	var m indexing.Margins
	told, trouble, some := 0.0, 0.0, false
	for j := range bicyclesEach {
		r := b.rears[j%len(b.rears)]
		m.Of(r, u.Draw(len(r.Planes), rng))
		worst, p := 0.0, 1.0
		for _, s := range indexing.Shifts(len(r.Planes)) {
			x := indexing.Late(m.Whole(s))
			worst = max(worst, x)
			x = reportErrs + (1-2*reportErrs)*x
			if late, known := b.answers[s]; known && late {
				p, some = p*x, true
			} else if known {
				p *= 1 - x
			}
		}
		told, trouble = told+p/bicyclesEach, trouble+worst/bicyclesEach
	}
	if !some {
		return math.Log(1 - trouble + 1e-9)
	}
	return math.Log(told+1e-9) - math.Log(trouble+0.01)
}

func leftOf(w io.Writer, name string, sets []indexing.Unknowns, logs []float64) {
	order, most := make([]int, len(sets)), slices.Max(logs)
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(sets[a].Room, sets[b].Room) })
	sum, squares := 0.0, 0.0
	for _, l := range logs {
		x := math.Exp(l - most)
		sum, squares = sum+x, squares+x*x
	}
	at := func(share float64) float64 {
		passed := 0.0
		for _, i := range order {
			if passed += math.Exp(logs[i] - most); passed >= share*sum {
				return sets[i].Room
			}
		}
		return sets[order[len(order)-1]].Room
	}
	fmt.Fprintf(w, "| %s | %.2f, %.2f, %.2f | %.0f |\n", name, at(0.05), at(0.5), at(0.95), sum*sum/squares)
}
