package cases

import (
	"math"
	"reflect"
	"strconv"
	"strings"

	"chainpath/sim/budget"
)

// Given is a quantity that a case gives, with its doubt and how it was read.
type Given struct {
	Path  string
	Value float64
	Unit  string
	U     float64 // standard uncertainty, 0: taken as exact
	// Within is how far off it may be, 95 %.
	Within float64
	From   string // instrument and distribution, in words
	Words  string // what it is, in words

	instrument, said string
}

// Given returns every quantity the case gives, in the order of its fields.
func (c *Case) Given() (out []Given) {
	walk(reflect.ValueOf(c).Elem(), "", func(path string, q *Quantity) {
		if !q.Given {
			return
		}
		g := Given{Path: path, Value: q.Value, Unit: unit(path), Words: meaning(path), From: "given", instrument: q.Instrument, said: c.spell(path, q)}
		if in, ok, err := c.input(path, q); ok && err == nil {
			g.U, g.Within, g.From = in.U, in.Within95(), in.Dist.String()
			switch {
			case q.Instrument != "":
				g.From = q.Instrument + ", " + g.From
			case in.Dist == budget.Repeated:
				g.From = strconv.Itoa(len(q.Readings)) + " readings"
			case q.Spread == 0:
				g.From = "as typed"
			}
		}
		out = append(out, g)
	})
	return out
}

// spell prints a quantity with what stands for ± where only its instrument is named, or it
// was only typed.
func (c *Case) spell(path string, q *Quantity) string {
	within := q.Spread
	if i, ok := instrumentNamed(q.Instrument); ok && within == 0 {
		within = c.Shop.within(i)
	}
	if in, ok := q.typed(path); ok && within == 0 && len(q.Readings) == 0 {
		within = in.U * math.Sqrt(3)
	}
	text := strconv.FormatFloat(q.Value, 'g', 6, 64)
	if within > 0 {
		text += " ± " + strconv.FormatFloat(within, 'g', 3, 64)
	}
	if u := unit(path); u != "" {
		text += " " + u
	}
	return text
}

// meaning returns what a path's field is, in words.
func meaning(path string) string {
	words, _, _ := strings.Cut(tagAt(path).Get("doc"), ";")
	return words
}

// unit returns the base unit of a quantity's path.
func unit(path string) string { return dimensions[tagAt(path).Get("dim")].base }
