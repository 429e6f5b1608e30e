package cli

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// An option's range as its message says it: its ends are taken, what is just beyond them is
// refused before anything else is looked at, such as a case that there is none of.
func TestRangesOfOptions(t *testing.T) {
	for _, c := range []struct {
		args, option string
		lo, hi, step float64
	}{
		{"parts nosuchcase trail-parts", "top", 1, 6, 1},
		{"parts nosuchcase trail-parts", "most", 1, 5000000, 1},
		{"march nosuchcase", "turns", 0.01, 100000, 0.001},
		{"march nosuchcase", "trials", 0, 100000, 1},
		{"march nosuchcase", "events", 0, 10000000, 1},
		{"budget nosuchcase", "draws", 100, 1000000, 1},
		{"next nosuchcase", "top", 1, 100, 1},
		{"next nosuchcase", "effort", 0, 10, 0.001},
		{"defaults", "speeds", 1, 13, 1},
		{"sweep nosuchcase --vary front.line=48:54:2", "workers", 0, 4096, 1},
		{"bench stiffness --tilt 15 --mass 10 --aside 16", "links", 10, 120, 1},
		{"bench stiffness --tilt 15 --mass 10 --aside 16", "speeds", 1, 14, 1},
		{"bench twist --turn 28", "links", 4, 120, 1},
	} {
		try := func(x float64) (int, string) {
			code, _, errs := run(append(fields(c.args), "--"+c.option+"="+strconv.FormatFloat(x, 'f', -1, 64))...)
			return code, errs
		}
		lo, hi := strconv.FormatFloat(c.lo, 'f', -1, 64), strconv.FormatFloat(c.hi, 'f', -1, 64)
		for _, x := range []float64{c.lo - c.step, c.hi + c.step} {
			code, errs := try(x)
			assert.Equal(t, ExitBadInput, code)
			assert.Contains(t, errs, "out of range, want "+lo+" to "+hi, "%s --%s %g", c.args, c.option, x)
		}
		for _, x := range []float64{c.lo, c.hi} {
			code, errs := try(x)
			assert.NotContains(t, errs, "out of range", "%s --%s %g", c.args, c.option, x)
			assert.Equal(t, strings.Contains(c.args, "nosuchcase"), code != ExitDone && strings.Contains(errs, "nosuchcase"), "%s --%s %g: %s", c.args, c.option, x, errs)
		}
	}
}
