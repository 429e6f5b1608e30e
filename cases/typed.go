package cases

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"chainpath/sim/budget"
)

// stepOf returns what one in the last place of a typed number is, in its own unit: 1 of
// 430, 0.1 of 43.5, 1/16 of 16 3/16, 10 of 4.3e2.
func stepOf(number string) float64 {
	if at := strings.LastIndexByte(number, '/'); at >= 0 {
		below, err := strconv.Atoi(number[at+1:])
		if err != nil || below == 0 {
			return 0
		}
		return 1 / float64(below)
	}
	digits, exponent, _ := strings.Cut(strings.ToLower(number), "e")
	e, _ := strconv.Atoi(exponent) // "": 0
	_, decimals, _ := strings.Cut(digits, ".")
	return math.Pow(10, float64(e-len(decimals)))
}

// leastTyped is what calipers that are read to a hundredth are off by, mm (assumption).
const leastTyped = 0.02

// typedDoubt returns how far a length may be off, surely, that was typed with a last place
// of so many mm and no ±: half of it where that is a ruler's (430: ± 0.5), and one of it
// where calipers give decimals, which show more than they hold (43.5: ± 0.1). Assumptions.
func typedDoubt(step float64) float64 {
	if step >= 0.5 {
		return step / 2
	}
	return max(step, leastTyped)
}

// typed returns a length that was typed without ± as an uncertain input; ok is false for
// what is no length, for ± 0, and for what no person typed.
func (q *Quantity) typed(path string) (in budget.Input, ok bool) {
	if q.Exact || q.Step == 0 {
		return in, false
	}
	a := typedDoubt(q.Step)
	if least, err := strconv.ParseFloat(tagAt(path).Get("least"), 64); err == nil {
		a = max(a, least)
	}
	return budget.Input{Name: path, Value: q.Value, U: budget.FromHalfWidth(budget.Rectangular, a), Dist: budget.Rectangular}, true
}

// spelled returns a value with as many decimals as it was typed with, in inches where it was
// typed in those, or else with the ± that follows from how it was typed.
func (q Quantity) spelled() string {
	plain := strconv.FormatFloat(q.Value, 'g', -1, 64)
	if q.Step == 0 || math.Abs(stepOf(plain)-q.Step) < 1e-12 {
		return plain
	}
	if n := -math.Round(math.Log10(q.Step)); n >= 0 && n < 9 && math.Abs(math.Pow(10, -n)/q.Step-1) < 1e-9 {
		text := strconv.FormatFloat(q.Value, 'f', int(n), 64)
		if v, err := strconv.ParseFloat(text, 64); err == nil && v == q.Value {
			return text
		}
	}
	if text, ok := inInches(q.Value, q.Step); ok {
		return text
	}
	return plain + " ± " + strconv.FormatFloat(typedDoubt(q.Step), 'g', 6, 64)
}

// inInches returns a value in mm as it is typed in inches with a last place of so many mm.
func inInches(value, step float64) (text string, ok bool) {
	v, s := value/inch, step/inch
	for n := range 7 { // decimals
		if math.Abs(s*math.Pow(10, float64(n))-1) > 1e-9 {
			continue
		}
		text := strconv.FormatFloat(v, 'f', n, 64)
		x, err := strconv.ParseFloat(text, 64)
		return text + " in", err == nil && x*inch == value
	}
	below := math.Round(1 / s)
	if below < 2 || below > 64 || math.Abs(s*below-1) > 1e-9 {
		return "", false
	}
	whole := math.Trunc(v)
	above := math.Round(math.Abs(v-whole) * below)
	sign := ""
	if v < 0 {
		sign = "-"
	}
	text = fmt.Sprintf("%s%g %g/%g in", sign, math.Abs(whole), above, below)
	back, err := dimensions["length"].convert(strings.TrimSuffix(text, " in"), "in")
	return text, err == nil && back == value
}
