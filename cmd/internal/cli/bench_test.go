package cli

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
)

const benchBike = `chainpath: 1
title: of the bench
frame: {stay: 430, drop: 60}
front: {line: 49, rings: [36]}
rear: {line: 44.5, cogs: [11, 13, 15, 18, 21, 24, 28]}
`

// What a bench test prints goes into a case as it stands.
func TestBenchLinesAreRead(t *testing.T) {
	for _, args := range [][]string{
		{"bench", "stiffness", "--tilt", "15 ± 0.5", "--mass", "10", "--aside", "16", "--slack", "0.7 ± 0.1"},
		{"bench", "twist", "--links", "20", "--turn", "28"},
		{"bench", "widths", "--inner", "2.19", "--plate", "0.8", "--over-plates", "5.5", "--over-rivets", "5.6", "--height", "8.5"},
		{"slack", "--links", "12", "--sag", "15", "--links", "30", "--sag", "160", "--mass", "2.3"},
	} {
		code, out, errs := run(args...)
		require.Equal(t, ExitDone, code, errs)
		_, lines, ok := strings.Cut(out, "Into the bike file:\n\n")
		require.True(t, ok, out)
		lines, _, _ = strings.Cut(lines, "\n\n")
		c, err := cases.Parse("bench.yaml", []byte(benchBike+lines+"\n"))
		require.NoError(t, err, lines)
		assert.NotEqual(t, cases.Chain{}, c.Chain)
	}
}

func TestBenchRefuses(t *testing.T) {
	for args, want := range map[string]string{
		"bench stiffness --tilt 15 --mass 10 --aside 16":            "--slack is missing",
		"bench stiffness --tilt 15 --mass 10 --aside 290 --slack 1": "measure again",
		"bench stiffness --tilt 60 --mass 10 --aside 9 --slack 1":   "--tilt: 60 is out of range",
		"bench stiffness --links 3 --tilt 9 --mass 9 --aside 9":     "--links 3 is out of range",
		"bench stiffness --speeds 99 --tilt 9 --mass 9 --aside 9":   "--speeds 99 is out of range",
		"bench twist --links 20":                                    "--turn is missing",
		"bench twist --links 2 --turn 9":                            "--links 2 is out of range",
		"bench twist --turn 1e9":                                    "out of range",
		"bench hanger":                                              "no reading",
		"bench hanger --bottom-top 200":                             "--bottom-top",
		"bench widths":                                              "no reading",
		"bench widths --over-plates 5.5":                            "no reading that a field follows from",
		"bench widths --over-plates 5.5 --over-rivets 5":            "as wide or wider",
		"bench widths --inner 2,,19":                                "--inner",
		"next nosuch":                                               "nosuch",
		"next trail --effort -1":                                    "--effort -1 is out of range",
		"next trail --top 0":                                        "--top 0 is out of range",
		"next trail --weight drop=1":                                "no fault",
		"next trail nosuch.yaml":                                    "nosuch.yaml",
	} {
		code, out, errs := run(strings.Fields(args)...)
		assert.Equal(t, ExitBadInput, code, args)
		assert.Contains(t, errs, want, args)
		assert.Empty(t, out, args)
		assert.Equal(t, 1, strings.Count(errs, "\n"), errs)
	}
}

// A half width of √3 times the standard uncertainty (JCGM 100, 4.3.7), and none that leaves the
// field's range.
func TestWithinFieldByHand(t *testing.T) {
	lo, hi, _, _, err := cases.Bounds("chain.slack")
	require.NoError(t, err)
	mid := figures((lo + hi) / 2)
	assert.Equal(t, fmt.Sprintf("%g ± 0.1732", mid), withinField("chain.slack", mid, 0.1), "0.1 times 1.7321")
	assert.Equal(t, fmt.Sprintf("%g ± 0.25", figures(lo+0.25)), withinField("chain.slack", lo+0.25, 10))
	assert.Equal(t, fmt.Sprintf("%g ± 0.25", figures(hi-0.25)), withinField("chain.slack", hi-0.25, 10))
	assert.Equal(t, "7 ± 17.32", withinField("no.field", 7, 10), "no range is known")
}

// What a caliper can read at each place of a chain and its wheels, mm: a reading beyond is a slip.
func TestBenchWidthsAtTheirEnds(t *testing.T) {
	ranges := map[string][2]float64{"inner": {1.5, 6}, "plate": {0.4, 2}, "over-plates": {3, 14}, "over-rivets": {3, 14}, "height": {5, 12},
		"ring-tip": {0.2, 4}, "ring-wide-tip": {0.2, 6}, "ring-root": {0.8, 4}, "cog-tip": {0.2, 4}, "cog-root": {0.8, 4}}
	require.Len(t, ranges, len(benchWidths))
	for name, ends := range ranges {
		for i, end := range ends {
			out := float64(2*i - 1)
			_, _, errs := run("bench", "widths", "--"+name, fmt.Sprint(end))
			assert.NotContains(t, errs, "out of range", "%s %g", name, end)
			var code int
			code, _, errs = run("bench", "widths", "--"+name, fmt.Sprint(end+0.01*out))
			assert.Equal(t, ExitBadInput, code)
			assert.Contains(t, errs, fmt.Sprintf("%g to %g", ends[0], ends[1]), "%s %g", name, end+0.01*out)
		}
	}
}
