package show

import (
	"fmt"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/sim"
	"chainpath/sim/decide"
)

// Trouble is what is to be expected of a bicycle: by concern the share of time in gears
// that have it, 0 to 1, and their sum by weights.
type Trouble struct {
	Trouble float64            `json:"trouble"`
	Shares  map[string]float64 `json:"shares"`
}

// troubleIn returns the trouble of a case by its chances and riding profile: the one number
// that every command prints.
func troubleIn(c *cases.Case, b *sim.Bike, chances []sim.Chances, w *decide.Weights) (t decide.Trouble, err error) {
	share, err := c.Shares(b)
	if err != nil {
		return t, err
	}
	carried, err := c.Carried()
	if err != nil {
		return t, err
	}
	return decide.Expect(chances, share, w, carried)
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

// chanceCells are the columns of chances, empty where there is no such thing.
func chanceCells[T any](of func(x *T) Chance) (list []column[T]) {
	for k := range sim.NumConcerns {
		list = append(list, column[T]{sim.Concern(k).String(), func(x *T) string { return num(of(x).at(sim.Concern(k))) }})
	}
	return list
}

// troubleTable returns a table of several troubles, for a first column with three heads
// and a last one, none for "", whose cells are still to be put in.
func troubleTable(first [3]string, last string, list []decide.Trouble) *Table {
	var told []sim.Concern // the concerns that any of them has
	for k := range sim.NumConcerns {
		if sim.Hazards[k].Within {
			continue
		}
		for i := range list {
			if list[i].By[k] >= leastShare {
				told = append(told, sim.Concern(k))
				break
			}
		}
	}
	t := &Table{Head: [][]string{{first[0]}, {first[1]}, {first[2]}}, Left: map[int]bool{len(told) + 2: true}}
	for _, k := range told {
		for i, h := range []string{sim.Hazards[k].Head[0], sim.Hazards[k].Head[1], "%"} {
			t.Head[i] = append(t.Head[i], h)
		}
	}
	for i, h := range []string{"fault", "score", ""} {
		t.Head[i] = append(t.Head[i], h)
	}
	if last != "" {
		for i, h := range []string{last, "", ""} {
			t.Head[i] = append(t.Head[i], h)
		}
	}
	for i := range list {
		var row []string
		for _, k := range told {
			row = append(row, fmt.Sprintf("%.1f", 100*list[i].By[k]))
		}
		t.Rows = append(t.Rows, append(row, fmt.Sprintf("%.2f", list[i].Sum)))
	}
	return t
}

// leastShare is from what share of time in any row a concern has a column.
const leastShare = 0.002

// weightNote says what the fault score is made of.
func weightNote(w *decide.Weights) string {
	return Wrap(say.Weights(WeightWords(w)), Columns)
}
