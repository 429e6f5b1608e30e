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
	Axle       float64   // axle-spacing name that stands for a range, mm; 0: none
	InchSpread bool      // ± was read in inches, because the value is in them
	Exact      bool      // ± 0 was written: no doubt at all
	// Step is what one in the last place of a typed length is, mm, from which its doubt
	// follows where none was written; 0: nobody typed it.
	Step float64
}

// Instruments are what a quantity can be read with: how the tolerance behind ±,
// or the shop's own for that instrument, is understood.
var Instruments = []Instrument{
	{"caliper", budget.Normal, 0.2, "calipers; ± holds 95 % of readings"},
	{"depth_gauge", budget.Normal, 0.5, "depth gauge from a painted tube; ± holds 95 % of readings"},
	{"tape", budget.Triangular, 2, "tape or ruler; surely within ±, likelier in the middle"},
	{"drawing", budget.Rectangular, 0.5, "a drawing's tolerance; surely within ±"},
	{"catalogue", budget.Rectangular, 0.2, "a maker's tolerance; surely within ±"},
	{"feeler", budget.Normal, 0.1, "feeler gauge; ± holds 95 % of readings"},
	{guessed, budget.Rectangular, 5, "not measured, also written ~430; surely within ±"},
}

// guessed is the instrument of what was not measured.
const guessed = "guess"

// spellings are other ways to write an instrument, blanks and hyphens as _.
var spellings = map[string]string{
	"calipers": "caliper", "depth": "depth_gauge", "depthgauge": "depth_gauge", "feelers": "feeler", "feeler_gauge": "feeler",
	"ruler": "tape", "tape_measure": "tape", "guessed": guessed, "estimate": guessed, "axle": axleSpacing, "axle_name": axleSpacing,
}

// instrumentOf returns the name of an instrument however it is written.
func instrumentOf(text string) string {
	name := strings.NewReplacer(" ", "_", "-", "_").Replace(strings.ToLower(strings.TrimSpace(text)))
	if plain, ok := spellings[name]; ok {
		return plain
	}
	return name
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
	q.Axle = 0
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

const (
	numberForm = `(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?`
	inchForm   = `(?:[0-9]+\s+)?[0-9]+/[0-9]+` // 16 3/4 or 3/4
	unitForm   = `1/min|[^0-9±+\-\s][^0-9±+]*?`
)

// lastPlace turns a typed number's last place into the base unit; of lengths alone.
func (d *dimension) lastPlace(number, unit string) float64 {
	if d != dimensions["length"] {
		return 0
	}
	f := d.units[unit]
	switch {
	case unit == "" && strings.Contains(number, "/"):
		f = inch
	case unit == "":
		f = 1
	}
	return stepOf(strings.TrimLeft(number, "+-")) * f
}

var quantityForm = regexp.MustCompile(`^\s*([+-]?(?:` + inchForm + `|` + numberForm + `))\s*(` + unitForm + `)?\s*(?:(?:±|\+/-|\+-)\s*(` + inchForm + `|` + numberForm + `)\s*(` + unitForm + `)?)?\s*$`)

// maxQuantity is the longest text of a number with all that goes with it, bytes.
const maxQuantity = 120

// ParseQuantity reads a number with or without unit and tolerance, such as
// `53`, `17.1 in`, `16 3/4 in`, `53 ± 0.5`, `53 +/- 0.5 mm` or `43.5 cm ± 1 mm`, and behind it
// in brackets what a length was read with, `76 ± 0.5 (caliper)`; `~430` is
// `430 (guess)`, and `148 (axle spacing)` is the range of widths between dropouts
// that the name stands for. The dimension
// is one of length, angle, force, moment, rate, power, speed and number; a
// missing unit is its base unit: mm, °, N, N·m, N·m/rad, W, 1/min; a fraction without one is
// in inches. A unit only behind the tolerance holds for both numbers, and so does one only
// behind the value. A decimal comma is read as a point where no thousands can be meant; a
// leading zero as in 010 is refused, because other readers take it for octal. Behind ± a 0
// says that a number is exact; without ± the doubt of a length follows from its last place.
func ParseQuantity(text, dim string) (Quantity, error) {
	d, ok := dimensions[dim]
	if !ok {
		panic("cases: unknown dimension " + dim)
	}
	if len(text) > maxQuantity {
		return Quantity{}, fmt.Errorf("%q: %d characters, want %s", shorten(text), len(text), d.name)
	}
	q, rest, err := d.instrument(text)
	if err != nil {
		return Quantity{}, err
	}
	m := quantityForm.FindStringSubmatch(pointed(rest))
	if m == nil {
		return Quantity{}, d.notOne(rest)
	}
	bad := func(err error) (Quantity, error) { return Quantity{}, fmt.Errorf("%q: %w", rest, err) }
	unit, spreadUnit := strings.TrimSpace(m[2]), strings.TrimSpace(m[4])
	if m[3] != "" {
		if unit == "" {
			unit = spreadUnit
		} else if spreadUnit == "" {
			spreadUnit = unit
			q.InchSpread = q.Instrument != "" && d.units[unit] == inch
		}
	}
	if q.Value, err = d.convert(m[1], unit); err != nil {
		return bad(err)
	}
	if m[3] != "" {
		if q.Spread, err = d.convert(m[3], spreadUnit); err != nil {
			return bad(err)
		}
		q.Exact = q.Spread == 0
	}
	q.Step = d.lastPlace(m[1], unit)
	if q.Instrument == axleSpacing {
		return q.fromAxle(text)
	}
	return q, nil
}

// instrument takes off what a text says of how it was read.
func (d *dimension) instrument(text string) (q Quantity, rest string, err error) {
	q.Given, rest = true, text
	if i := instrumentForm.FindStringSubmatchIndex(text); i != nil {
		named := text[i[2]:i[3]]
		q.Instrument, rest = instrumentOf(named), text[:i[0]]
		if _, ok := instrumentNamed(q.Instrument); !ok && q.Instrument != axleSpacing {
			return q, "", fmt.Errorf("%q: no instrument %q, want one of %s", text, named, instrumentNames())
		}
	}
	if about, ok := strings.CutPrefix(strings.TrimSpace(rest), "~"); ok {
		if q.Instrument != "" && q.Instrument != guessed {
			return q, "", fmt.Errorf("%q: ~ is a guess, (%s) a reading, want one of the two", text, q.Instrument)
		}
		q.Instrument, rest = guessed, about
	}
	if q.Instrument != "" && d != dimensions["length"] {
		return q, "", fmt.Errorf("%q: an instrument goes with a length, not with %s", text, d.name)
	}
	return q, rest, nil
}

// decimalComma is a comma between digits that stands for a decimal point; three digits
// behind one to three others may be thousands.
var (
	decimalComma = regexp.MustCompile(`([0-9]),([0-9]+)`)
	thousands    = regexp.MustCompile(`(?:^|[^0-9,.])[1-9][0-9]{0,2},[0-9]{3}(?:[^0-9]|$)`)
)

// pointed returns a text with decimal points for its decimal commas.
func pointed(text string) string {
	if strings.Contains(text, ".") || thousands.MatchString(text) {
		return text
	}
	return decimalComma.ReplaceAllString(text, "$1.$2")
}

// notOne says why a text is no quantity.
func (d *dimension) notOne(text string) error {
	switch {
	case thousands.MatchString(text) && !strings.Contains(text, "."):
		return fmt.Errorf("%q is not %s: it could be %s or %s, write one of them", text, d.name, strings.ReplaceAll(text, ",", "."), strings.ReplaceAll(text, ",", ""))
	case strings.Contains(text, ","):
		return fmt.Errorf("%q is not %s: write a decimal point, not a comma", text, d.name)
	}
	return fmt.Errorf("%q is not %s, want a number%s", text, d.name, d.hint())
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

// inch is 25.4 mm (ISO 80000-3).
const inch = 25.4

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

// fraction reads 16 3/4 or 3/4, with a divisor that a ruler has.
func (d *dimension) fraction(s string) (float64, error) {
	sign := 1.0
	if rest, minus := strings.CutPrefix(s, "-"); minus {
		sign, s = -1, rest
	}
	parts := strings.Fields(strings.TrimPrefix(s, "+"))
	whole := 0.0
	if len(parts) == 2 {
		var err error
		if whole, err = d.number(parts[0]); err != nil {
			return 0, err
		}
	}
	above, below, _ := strings.Cut(parts[len(parts)-1], "/")
	n, e1 := strconv.Atoi(above)
	k, e2 := strconv.Atoi(below)
	if e1 != nil || e2 != nil || k > 64 || k&(k-1) != 0 || k < 2 || n >= k {
		return 0, fmt.Errorf("%s is no fraction of a ruler, want halves to 64ths such as 16 3/4", s)
	}
	return sign * (whole + float64(n)/float64(k)), nil
}

// convert reads a number and turns it from its unit into the base unit.
func (d *dimension) convert(text, unit string) (float64, error) {
	read := d.number
	if strings.Contains(text, "/") {
		if unit == "" && d == dimensions["length"] {
			unit = "in" // nobody writes fractions of a millimetre
		}
		if d.units[unit] != inch {
			return 0, fmt.Errorf("a fraction goes with inches, write %s in", text)
		}
		read = d.fraction
	}
	v, err := read(text)
	if err != nil || unit == "" {
		return v, err
	}
	f, ok := d.units[unit]
	if !ok {
		if strings.Contains(unit, " ") { // words, no unit
			guess := ""
			if d == dimensions["length"] {
				guess = "; a guess is ~" + text
			}
			return 0, fmt.Errorf("%q behind the number is no unit, want a number%s alone%s", unit, d.hint(), guess)
		}
		return 0, fmt.Errorf("unit %s is not %s, want a number%s", unit, d.name, d.hint())
	}
	return v * f, nil
}

// String prints the quantity as ParseQuantity reads it, in the base unit without
// naming it.
func (q Quantity) String() string {
	if q.Axle != 0 {
		return strconv.FormatFloat(q.Axle, 'g', -1, 64) + " (axle spacing)"
	}
	if q.Spread == 0 && q.Instrument == "" && !q.Exact {
		return q.spelled()
	}
	s := strconv.FormatFloat(q.Value, 'g', -1, 64)
	if q.Spread > 0 || q.Exact {
		s += " ± " + strconv.FormatFloat(q.Spread, 'g', -1, 64)
	}
	if q.Instrument != "" {
		s += " (" + q.Instrument + ")"
	}
	return s
}
