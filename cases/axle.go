package cases

import (
	"fmt"
	"math"
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
	{110, 109, 111}, {120, 119, 121}, {126, 125, 127}, {130, 129, 131}, {135, 134, 136},
	{141, 140, 142}, {142, 135, 142}, {148, 141, 148}, {150, 143, 150}, {157, 150, 157},
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

// fromAxle turns the name of an axle spacing into the range that it stands for.
func (q Quantity) fromAxle(text string) (Quantity, error) {
	if q.Spread > 0 {
		return Quantity{}, fmt.Errorf("%q: the name of an axle spacing has a range of its own, want no ±", text)
	}
	for _, a := range axleWidths {
		if math.Abs(a.name-q.Value) < 1e-9 {
			q.Axle, q.Value, q.Spread = a.name, (a.from+a.to)/2, (a.to-a.from)/2
			return q, nil
		}
	}
	return Quantity{}, fmt.Errorf("%q: no axle spacing of that name, known are %s; else measure between the dropouts", text, axleNames())
}
