package show

import (
	"fmt"

	"chainpath/sim"
	"chainpath/sim/decide"
)

// Trouble is what is to be expected of a bicycle: by concern the share of time in gears
// that have it, 0 to 1, and their sum by weights.
type Trouble struct {
	Trouble float64            `json:"trouble"`
	Shares  map[string]float64 `json:"shares"`
}

func troubleOf(t *decide.Trouble) Trouble {
	d := Trouble{share(t.Sum), map[string]float64{}}
	for k, s := range t.By {
		d.Shares[sim.Concern(k).String()] = share(s)
	}
	return d
}

func weightsOf(w *decide.Weights) map[string]float64 {
	by := map[string]float64{}
	for k, x := range w {
		by[sim.Concern(k).String()] = x
	}
	return by
}

// chanceColumns are the columns of a gear's chances in CSV.
func chanceColumns() (names []string) {
	for k := range sim.NumConcerns {
		names = append(names, sim.Concern(k).String())
	}
	return names
}

// cells are what they hold; empty where there is no such thing.
func (c *Chance) cells() (row []string) {
	for k := range sim.NumConcerns {
		row = append(row, num(c.at(sim.Concern(k))))
	}
	return row
}

// told are the concerns that tables of trouble have a column for, with its heads.
var told = []struct {
	concern sim.Concern
	head    [2]string
}{
	{sim.NoiseRiding, [2]string{"noise", ""}},
	{sim.DropRiding, [2]string{"off", "riding"}},
	{sim.DropBackwards, [2]string{"off", "back"}},
	{sim.RubsNextCog, [2]string{"next", "cog"}},
	{sim.RubsNextRing, [2]string{"next", "ring"}},
	{sim.RubsTyreAt, [2]string{"tyre", ""}},
	{sim.TopSlackBackwards, [2]string{"top", "slack"}},
}

// troubleTable returns a table of several troubles, for a first column with three heads
// and a last one without, whose cells are still to be put in.
func troubleTable(first [3]string, list []decide.Trouble) *Table {
	t := &Table{Head: [][]string{{first[0]}, {first[1]}, {first[2]}}, Left: map[int]bool{len(told) + 2: true}}
	for _, c := range told {
		for i, h := range []string{c.head[0], c.head[1], "%"} {
			t.Head[i] = append(t.Head[i], h)
		}
	}
	for i, h := range []string{"trouble", "", ""} {
		t.Head[i] = append(t.Head[i], h, "")
	}
	for i := range list {
		var row []string
		for _, c := range told {
			cell := "-" // there is no such thing on these bikes
			for j := range list {
				if list[j].By[c.concern] > 0 {
					cell = fmt.Sprintf("%.1f", 100*list[i].By[c.concern])
				}
			}
			row = append(row, cell)
		}
		t.Rows = append(t.Rows, append(row, fmt.Sprintf("%.2f", list[i].Sum)))
	}
	return t
}

func troubleNote(w *decide.Weights) string {
	return Wrap("% of time in gears that have it, by chances over the drawn sets; trouble is their sum by weights ("+weightWords(w)+").", 80)
}
