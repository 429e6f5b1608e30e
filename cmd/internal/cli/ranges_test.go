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
		{"sweep region nosuchcase --keep stay_mm>=0", "share", 0.5, 0.99, 0.001},
		{"sweep region nosuchcase --keep stay_mm>=0", "draws", 64, 16384, 1},
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

// The same for readings, load and what else is a quantity. Where a command wants more of them, they are
// given with it.
func TestRangesOfQuantities(t *testing.T) {
	const (
		stiffness = "bench stiffness --links 20 --speeds 12"
		front     = "line front"
		rear      = "line rear"
		sag       = "slack --links 30 --links 12"
	)
	all := map[string]string{"tilt": "15", "mass": "10", "aside": "16", "slack": "0.7", "turn": "28", "rim": "622", "bottom-top": "6", "front-back": "-2",
		"tube-width": "48.6", "thickness": "2", "gap": "4.9", "reading": "30", "dropouts": "147.5", "stack": "41.7", "protrusion": "0.9"}
	for _, c := range []struct {
		args, with, option string
		lo, hi             float64
	}{
		{stiffness, "mass aside slack", "tilt", 2, 40},
		{stiffness, "tilt aside slack", "mass", 1, 60},
		{stiffness, "tilt mass slack", "aside", 0.5, 300},
		{stiffness, "tilt mass aside", "slack", 0.05, 5},
		{"bench twist --links 20", "", "turn", 2, 160},
		{"bench twist --links 100", "", "turn", 10, 800},
		{"bench hanger", "bottom-top", "rim", 200, 700},
		{"bench hanger", "", "bottom-top", -80, 80},
		{"bench hanger", "", "front-back", -80, 80},
		{front, "gap", "tube-width", 15, 120},
		{front, "tube-width", "gap", -20, 80},
		{front, "tube-width", "reading", -20, 80},
		{front + " --face outer", "tube-width gap", "thickness", 0, 6},
		{rear, "stack gap", "dropouts", 80, 250},
		{rear, "dropouts gap", "stack", 1, 80},
		{rear, "dropouts stack gap", "protrusion", 0, 20},
		{rear, "dropouts stack", "gap", -5, 60},
		{"gears single", "", "torque", 0, 400},
		{"gears single", "", "tension", 0, 6000},
		{"gears single --cadence 90", "", "power", 0, 2500},
		{"gears single --power 200", "", "cadence", 10, 200},
	} {
		args := fields(c.args)
		for _, name := range strings.Fields(c.with) {
			args = append(args, "--"+name+"="+all[name])
		}
		lo, hi := strconv.FormatFloat(c.lo, 'g', -1, 64), strconv.FormatFloat(c.hi, 'g', -1, 64)
		for _, x := range []float64{c.lo - 0.001, c.hi + 0.001, c.lo, c.hi} {
			_, _, errs := run(append(args[:len(args):len(args)], "--"+c.option+"="+strconv.FormatFloat(x, 'f', -1, 64)+" ± 0")...)
			if x < c.lo || x > c.hi {
				assert.Contains(t, errs, "out of range, want "+lo+" to "+hi, "%v --%s %g", args, c.option, x)
			} else {
				assert.NotContains(t, errs, "out of range", "%v --%s %g", args, c.option, x)
			}
		}
	}
	for _, x := range []string{"0.09", "382"} { // 30 links are 381 mm
		_, _, errs := run(append(fields(sag), "--mass", "2.3", "--sag", x, "--sag", "15")...)
		assert.Contains(t, errs, "out of range, want 0.1 to 381", x)
	}
	for _, x := range []string{"0.49", "10.1"} {
		_, _, errs := run(append(fields(sag), "--mass", x, "--sag", "160", "--sag", "15")...)
		assert.Contains(t, errs, "out of range, want 0.5 to 10", x)
	}
}

// The lengths that a chain's side play is measured on, each: whichever of the two is out of range.
func TestRangesOfFreeLengths(t *testing.T) {
	for _, links := range [][2]int{{1, 12}, {61, 12}, {30, 1}, {30, 61}, {2, 30}, {60, 12}} {
		code, _, errs := run("slack", "--links", strconv.Itoa(links[0]), "--sag", "1", "--links", strconv.Itoa(links[1]), "--sag", "15", "--mass", "2.3")
		if bad := min(links[0], links[1]); bad < 2 || max(links[0], links[1]) > 60 {
			assert.Equal(t, ExitBadInput, code, "%v", links)
			assert.Contains(t, errs, "is out of range, want 2 to 60", "%v", links)
		} else {
			assert.NotContains(t, errs, "out of range", "%v", links)
		}
	}
}

// What a march is asked for and cannot have; the options' own rules, before any case is read.
func TestMarchRefuses(t *testing.T) {
	for args, want := range map[string]string{
		"--turns 0.5 --places 180.1":        "--places 180.1 is out of range, want 0 to 180",
		"--turns 0.5 --places -0.1":         "--places -0.1 is out of range, want 0 to 180",
		"--turns 0.5 --places 180 --rows x": `--rows "x", want events, places or trials`,
		"--rows places":                     "--rows places without --places",
		"--rows trials":                     "--rows trials without --trials",
		"--image gif":                       "--image",
		"--format yaml":                     "--format",
	} {
		code, _, errs := run(append(fields("march nosuchcase"), fields(args)...)...)
		assert.Equal(t, ExitBadInput, code, args)
		assert.Contains(t, errs, want, args)
	}
	for _, args := range []string{"--turns 0.5 --places 0,180", "--rows places --places 1", "--rows trials --trials 1"} {
		_, _, errs := run(append(fields("march nosuchcase"), fields(args)...)...)
		assert.Contains(t, errs, "nosuchcase", args)
	}
}
