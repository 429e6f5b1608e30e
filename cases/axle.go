package cases

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// axleSpacing is what stands in brackets behind the name of an axle spacing.
const axleSpacing = "axle_spacing"

// axleWidths are the widths between the dropouts' inside faces, as clamped, that the
// trade's names of axle spacings may stand for, mm. Names of thru-axles count the
// ends of the hub, which on many frames sit up to 3.5 mm deep in each dropout; a hub
// between flat faces is the name, within what frames are off. Common practice, no
// published source, from memory: measure.
var axleWidths = []struct{ name, from, to float64 }{
	{110, 109, 111}, {114, 113, 115}, {120, 119, 121}, {126, 125, 127}, {130, 129, 131}, {132.5, 131.5, 133.5}, {135, 134, 136}, {140, 139, 141},
	{141, 140, 142}, {142, 135, 142}, {145, 144, 146}, {148, 141, 148}, {150, 143, 150}, {157, 150, 157}, {160, 159, 161},
	{170, 169, 171}, {177, 170, 177}, {190, 189, 191}, {197, 190, 197},
}

// axleNames lists the known names.
func axleNames() string {
	var n []string
	for _, a := range axleWidths {
		n = append(n, strconv.FormatFloat(a.name, 'g', -1, 64))
	}
	return strings.Join(n, ", ")
}

// axleNamed returns the range of widths between dropouts that a known name stands for.
func axleNamed(name float64) Quantity {
	for _, a := range axleWidths {
		if math.Abs(a.name-name) < 1e-9 {
			return Quantity{Value: (a.from + a.to) / 2, Spread: (a.to - a.from) / 2, Instrument: axleSpacing, Axle: a.name, Given: true}
		}
	}
	return Quantity{}
}

// fromAxle turns the name of an axle spacing into the range that it stands for.
func (q Quantity) fromAxle(text string) (Quantity, error) {
	if q.Spread > 0 || q.Exact {
		return Quantity{}, fmt.Errorf("%q: the name of an axle spacing has a range of its own, want no ±", text)
	}
	if a := axleNamed(q.Value); a.Given {
		return a, nil
	}
	return Quantity{}, fmt.Errorf("%q: no axle spacing of that name, known are %s; else measure between the dropouts", text, axleNames())
}

// axleForm is an axle by its thickness and its spacing, 12x148 or 148x12, in mm.
var axleForm = regexp.MustCompile(`^\s*(?:[0-9]{1,2}(?:\.[0-9])?\s*(?:mm)?\s*[xX×]\s*([0-9]{3})|([0-9]{3})\s*[xX×]\s*[0-9]{1,2}(?:\.[0-9])?)\s*(?:mm)?\s*$`)

// spacingOf returns the spacing in the name of an axle, such as 148 of 12x148; "" for what
// is none.
func spacingOf(text string) string {
	m := axleForm.FindStringSubmatch(text)
	if m == nil {
		return ""
	}
	return m[1] + m[2]
}

// What is usual between the end of a hub and the smallest cog, mm, and how far cogs at
// their usual pitch differ from a stack (common practice, no published source; the trade
// measures 2.5 to 5).
const usualGap, gapWithin, stackWithin = 3.75, 1.25, 1.0

// inferRear fills in what of a measured rear line was not measured: the stack of such a
// cassette, and the usual gap. That counts from the end of the hub: behind the name of
// an axle spacing whose dropouts hold the hub's ends in recesses it is nearly there that both
// meet, and not at the dropouts' faces. So 142 gives a rear line of about 45 mm with 11
// speeds, and 148 one of about 47 mm with 12, as the trade knows them.
func (c *Case) inferRear() {
	m := c.Rear.Measured
	if m == nil {
		return
	}
	guess := func(v, within float64) Quantity {
		return Quantity{Value: v, Spread: within, Instrument: guessed, Given: true}
	}
	if n := len(c.Rear.Cogs); !m.Stack.Given && n > 0 {
		s := sizesFor(c.Speeds)
		m.Stack = guess(math.Round(10*(float64(n-1)*c.Rear.Pitch.Or(s.cogPitch)+c.Rear.Tooth.Thickness.Or(s.cog)))/10, stackWithin)
		c.inferred["rear.measured.stack"] = true
	}
	if !m.Gap.Given {
		m.Gap = guess(usualGap, gapWithin)
		c.inferred["rear.measured.gap"] = true
		for _, a := range axleWidths {
			switch {
			case a.name != m.Dropouts.Axle:
			case a.to-a.from > 2: // in recesses
				m.Dropouts.Value, m.Dropouts.Spread = a.from+2, 2
			default:
				m.Dropouts.Value, m.Dropouts.Spread = a.name, 1
			}
		}
		if len(c.Rear.Cogs) == 1 { // a cog alone is where its hub has it, not beside the dropout
			u := usualRearOf(len(c.Front.Rings))
			if gap := m.Dropouts.Value/2 - m.Stack.Value/2 - u.value; gap > usualGap {
				m.Gap = guess(math.Round(10*gap)/10, u.within)
			}
		}
	}
}
