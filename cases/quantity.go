package cases

import (
	"fmt"
	"math"
	"regexp"
	"sort"
	"strconv"
	"strings"

	"chainpath/sim/budget"
)

// Quantity is a number from a case file in the base unit of its dimension, with
// the tolerance it was given.
type Quantity struct {
	Value      float64
	Spread     float64   // what stands behind ±; 0: none given
	Instrument string    // what it was read with, "" when not named
	Readings   []float64 // repeated readings, of which Value is the mean
	Given      bool      // false: not in the file, a default holds
}

// Instruments are what a quantity can be read with: how the tolerance behind ±,
// or the shop's own for that instrument, is understood.
var Instruments = []Instrument{
	{"caliper", budget.Normal, 0.2, "calipers; ± holds 95 % of readings"},
	{"depth_gauge", budget.Normal, 0.5, "depth gauge from a painted tube; ± holds 95 % of readings"},
	{"tape", budget.Triangular, 2, "tape or ruler; surely within ±, likelier in the middle"},
	{"drawing", budget.Rectangular, 0.5, "a drawing's tolerance; surely within ±"},
	{"catalogue", budget.Rectangular, 0.2, "a maker's tolerance; surely within ±"},
}

// Instrument is one way to come by a length.
type Instrument struct {
	Name   string
	Dist   budget.Dist
	Within float64 // shop default of ±, mm (assumption)
	Note   string
}

func instrumentNamed(name string) (Instrument, bool) {
	for _, i := range Instruments {
		if i.Name == name {
			return i, true
		}
	}
	return Instrument{}, false
}

func instrumentNames() string {
	var n []string
	for _, i := range Instruments {
		n = append(n, i.Name)
	}
	return strings.Join(n, ", ")
}

// Q returns a given quantity without tolerance.
func Q(v float64) Quantity { return Quantity{Value: v, Given: true} }

// plus returns the quantity moved by an amount, with the tolerance and scatter it had.
func (q Quantity) plus(x float64) Quantity {
	q.Value += x
	if len(q.Readings) > 0 {
		moved := make([]float64, len(q.Readings))
		for i, r := range q.Readings {
			moved[i] = r + x
		}
		q.Readings = moved
	}
	return q
}

// Or returns the value, or a default when the file gives none.
func (q Quantity) Or(def float64) float64 {
	if q.Given {
		return q.Value
	}
	return def
}

// dimension is a kind of quantity: its base unit and what each unit is in it.
type dimension struct {
	name  string
	base  string // base unit as printed
	units map[string]float64
}

var dimensions = map[string]*dimension{
	"length": {"a length", "mm", map[string]float64{"mm": 1, "cm": 10, "m": 1000, "in": 25.4, `"`: 25.4}},
	"angle":  {"an angle", "°", map[string]float64{"°": 1, "deg": 1, "rad": 180 / math.Pi}},
	"force":  {"a force", "N", map[string]float64{"N": 1, "kN": 1000}},
	"moment": {"a moment", "N·m", map[string]float64{"N·m": 1, "Nm": 1, "N m": 1, "N·mm": 1e-3, "Nmm": 1e-3}},
	"rate":   {"a moment per angle", "N·m/rad", map[string]float64{"N·m/rad": 1, "Nm/rad": 1, "N·m/°": 180 / math.Pi, "Nm/deg": 180 / math.Pi}},
	"power":  {"a power", "W", map[string]float64{"W": 1, "kW": 1000}},
	"speed":  {"a cadence", "1/min", map[string]float64{"1/min": 1, "rpm": 1}},
	"number": {"a number", "", map[string]float64{}},
}

// unitNames lists the units a dimension takes, for messages.
func (d *dimension) unitNames() string {
	var n []string
	for u := range d.units {
		n = append(n, u)
	}
	sort.Slice(n, func(i, j int) bool {
		if a, b := d.units[n[i]], d.units[n[j]]; a != b {
			return a < b
		}
		return n[i] < n[j]
	})
	return strings.Join(n, ", ")
}

// format prints a value in the base unit.
func (d *dimension) format(v float64) string {
	s := strconv.FormatFloat(v, 'g', 10, 64)
	if d.base == "" || d.base == "°" {
		return s + d.base
	}
	return s + " " + d.base
}

var quantityForm = regexp.MustCompile(`^\s*([+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?)\s*(1/min|[^0-9±+\-\s][^0-9±+]*?)?\s*(?:(?:±|\+/-|\+-)\s*((?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?)\s*(1/min|[^0-9±+\-\s][^0-9±+]*?)?)?\s*$`)

// maxQuantity is the longest text of a number with all that goes with it, bytes.
const maxQuantity = 120

// ParseQuantity reads a number with or without unit and tolerance, such as
// `53`, `17.1 in`, `53 ± 0.5`, `53 +/- 0.5 mm` or `43.5 cm ± 1 mm`, and behind it
// in brackets what a length was read with, `76 ± 0.5 (caliper)`. The dimension
// is one of length, angle, force, moment, rate, power, speed and number; a
// missing unit is its base unit: mm, °, N, N·m, N·m/rad, W, 1/min. A unit only
// behind the tolerance holds for both numbers. Numbers have a decimal point; a
// leading zero as in 010 is refused, because other readers take it for octal.
func ParseQuantity(text, dim string) (Quantity, error) {
	d, ok := dimensions[dim]
	if !ok {
		panic("cases: unknown dimension " + dim)
	}
	if len(text) > maxQuantity {
		return Quantity{}, fmt.Errorf("%q: %d characters, want %s", shorten(text), len(text), d.name)
	}
	whole := text
	instrument := ""
	if i := instrumentForm.FindStringSubmatchIndex(text); i != nil {
		instrument, text = text[i[2]:i[3]], text[:i[0]]
		if _, ok := instrumentNamed(instrument); !ok {
			return Quantity{}, fmt.Errorf("%q: no instrument %q, want one of %s", whole, instrument, instrumentNames())
		}
		if dim != "length" {
			return Quantity{}, fmt.Errorf("%q: an instrument goes with a length, not with %s", whole, d.name)
		}
	}
	m := quantityForm.FindStringSubmatch(text)
	if m == nil {
		if strings.Contains(text, ",") {
			return Quantity{}, fmt.Errorf("%q is not %s: write a decimal point, not a comma", text, d.name)
		}
		return Quantity{}, fmt.Errorf("%q is not %s, want a number%s", text, d.name, d.hint())
	}
	v, err := d.number(m[1])
	if err != nil {
		return Quantity{}, fmt.Errorf("%q: %w", text, err)
	}
	unit, spreadUnit := m[2], m[4]
	if m[3] != "" {
		if unit == "" {
			unit = spreadUnit
		} else if spreadUnit == "" {
			spreadUnit = unit
		}
	}
	q := Quantity{Given: true, Instrument: instrument}
	if q.Value, err = d.convert(v, unit); err != nil {
		return Quantity{}, fmt.Errorf("%q: %w", text, err)
	}
	if m[3] != "" {
		u, err := d.number(m[3])
		if err != nil {
			return Quantity{}, fmt.Errorf("%q: %w", text, err)
		}
		if q.Spread, err = d.convert(u, spreadUnit); err != nil {
			return Quantity{}, fmt.Errorf("%q: %w", text, err)
		}
	}
	return q, nil
}

func (d *dimension) hint() string {
	if len(d.units) == 0 {
		return " without a unit"
	}
	return " in " + d.unitNames()
}

// instrumentForm is the instrument in brackets behind a quantity.
var instrumentForm = regexp.MustCompile(`\s*\(([^()]*)\)\s*$`)

var leadingZero = regexp.MustCompile(`^[+-]?0[0-9]`)

func (d *dimension) number(s string) (float64, error) {
	if leadingZero.MatchString(s) {
		return 0, fmt.Errorf("leading zero, write %s", strings.TrimLeft(s, "+-0"))
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		return 0, fmt.Errorf("%s is not a finite number", s)
	}
	return v, nil
}

func (d *dimension) convert(v float64, unit string) (float64, error) {
	if unit == "" {
		return v, nil
	}
	f, ok := d.units[strings.TrimSpace(unit)]
	if !ok {
		return 0, fmt.Errorf("unit %s is not %s, want a number%s", strings.TrimSpace(unit), d.name, d.hint())
	}
	return v * f, nil
}

// String prints the quantity as ParseQuantity reads it, in the base unit without
// naming it.
func (q Quantity) String() string {
	s := strconv.FormatFloat(q.Value, 'g', -1, 64)
	if q.Spread > 0 {
		s += " ± " + strconv.FormatFloat(q.Spread, 'g', -1, 64)
	}
	if q.Instrument != "" {
		s += " (" + q.Instrument + ")"
	}
	return s
}
