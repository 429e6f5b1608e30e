package cli

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
)

// caseWith writes a shipped case with something put behind it, and returns its file.
func caseWith(t *testing.T, name, more string) string {
	code, text, errs := run("cases", name)
	require.Equal(t, ExitDone, code, errs)
	file := filepath.Join(t.TempDir(), "bike.yaml")
	require.NoError(t, os.WriteFile(file, []byte(text+"\n"+more+"\n"), 0o644))
	return file
}

// Draws that no bicycle can have do not end the run: they are made again, and told.
func TestBudgetWithDrawsThatCannotBe(t *testing.T) {
	file := caseWith(t, "trail", "chain:\n  inner_width: 2.2 ± 0.6")
	code, out, errs := run("budget", file, "--draws", "300", "--format", "json")
	require.Equal(t, ExitDone, code, errs)
	var d show.Budget
	require.NoError(t, json.Unmarshal([]byte(out), &d))
	assert.Equal(t, 300, d.Draws)
	assert.Greater(t, d.Redrawn, 30)
	code, out, errs = run("budget", file, "--draws", "300")
	require.Equal(t, ExitDone, code, errs)
	assert.Contains(t, strings.Join(strings.Fields(out), " "), "draws were made again, because such a bike cannot be")
	// A shop's tolerance beyond the range is cut off.
	code, out, errs = run("budget", caseWith(t, "trail", "chain:\n  bevel: 0.05 (caliper)"), "--draws", "300", "--format", "json")
	require.Equal(t, ExitDone, code, errs)
	assert.Contains(t, out, `"redrawn": 0`)
}

// A ± that reaches outside the range is refused, at its place.
func TestSpreadOutsideItsRange(t *testing.T) {
	file := caseWith(t, "trail", "chain:\n  bevel: 0.1 ± 0.15")
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	line := strings.Count(string(text[:strings.Index(string(text), "bevel:")]), "\n") + 1
	for _, c := range []string{"gears", "budget", "window", "check"} {
		code, out, errs := run(c, file)
		assert.Equal(t, ExitBadInput, code)
		assert.Empty(t, out)
		assert.Contains(t, errs, file+":"+strconv.Itoa(line)+":10: chain.bevel: 0.1 mm ± 0.15 mm reaches -0.05 mm, want 0 mm to 1.5 mm")
	}
	code, _, errs := run("gears", "trail", "--torque", "5 ± 10")
	assert.Equal(t, ExitBadInput, code)
	assert.Contains(t, errs, "--torque: 5 ± 10 reaches out of range, want 0 to 400")
}

// A tolerance of an axle path counts, as that of a stay does.
func TestAxlePathKeepsTolerance(t *testing.T) {
	code, text, errs := run("cases", "full-suspension")
	require.Equal(t, ExitDone, code, errs)
	with := strings.Replace(text, "stay: 433.0", "stay: 433.0 ± 2", 1)
	require.NotEqual(t, text, with)
	with = regexp.MustCompile(`\n  travel: [^\n]*`).ReplaceAllString(with, "\n  travel: 0")
	file := filepath.Join(t.TempDir(), "bike.yaml")
	require.NoError(t, os.WriteFile(file, []byte(with), 0o644))
	code, out, errs := run("budget", file, "--draws", "200", "--format", "json")
	require.Equal(t, ExitDone, code, errs)
	var d show.Budget
	require.NoError(t, json.Unmarshal([]byte(out), &d))
	i := slices.IndexFunc(d.Inputs, func(in show.BudgetInput) bool { return in.Path == "frame.axle_path[0].stay" })
	require.GreaterOrEqual(t, i, 0, "no input of the path")
	assert.InDelta(t, 2/math.Sqrt(3), d.Inputs[i].U, 1e-6)
	assert.Greater(t, d.Inputs[i].OnBends, 0.0)
	assert.Zero(t, d.Redrawn)
	// Written and read again it is still there.
	c, err := cases.Parse("x", []byte(with))
	require.NoError(t, err)
	again, err := cases.Format(c)
	require.NoError(t, err)
	assert.Contains(t, string(again), "stay: 433 ± 2")
	// One that reaches too far is refused where it stands.
	_, err = cases.Parse("x", []byte(strings.Replace(text, "stay: 433.0", "stay: 433.0 ± 300", 1)))
	assert.ErrorContains(t, err, "frame.axle_path[0].stay: 433 mm ± 300 mm reaches 133 mm")
}

// What slack prints for the case reads back with a tolerance, also where none was
// given: then as read with a tape.
func TestSlackIsNeverPastedAsExact(t *testing.T) {
	u := map[string]float64{}
	for name, sag := range map[string][2]string{"said": {"15 ± 1", "160 ± 3"}, "tape": {"15 (tape)", "160 (tape)"}, "unsaid": {"15", "160"}} {
		code, out, errs := run("slack", "--links", "12", "--sag", sag[0], "--links", "30", "--sag", sag[1], "--mass", "2.3 ± 0.02")
		require.Equal(t, ExitDone, code, errs)
		assert.Equal(t, name == "unsaid", strings.Contains(out, "Assumed, because no tolerance was given: --sag 15 (tape), --sag 160 (tape)\n"), out)
		_, part, _ := strings.Cut(out, "Into the bike file:\n")
		part, _, _ = strings.Cut(part, "\nThe case's stiffness")
		c, err := cases.Load(caseWith(t, "trail", part), nil)
		require.NoError(t, err)
		assert.Greater(t, c.Chain.Slack.Spread, 0.0)
		assert.False(t, c.Chain.Stiffness.Given, "not that without tension")
		u[name] = c.Chain.Slack.Spread
	}
	assert.Equal(t, u["tape"], u["unsaid"])
	assert.NotEqual(t, u["said"], u["tape"])
}

// A line worked out from readings has their uncertainty: by hand, of independent
// readings the root of the sum of squares (JCGM 100:2008, 5.1.2).
func TestLineKeepsTolerances(t *testing.T) {
	for _, c := range []struct {
		args string
		want float64
	}{
		{"front|--tube-width|48.6 ± 0.3 (caliper)|--gap|29.9 ± 0.7", math.Hypot(0.3/2/2, 0.7/math.Sqrt(3))},
		{"front|--tube-width|34|--reading|23.65 ± 0.3|--reading|31.15 ± 0.3|--face|outer|--thickness|1.8 ± 0.1", math.Sqrt(0.3*0.3/3/2 + 0.1*0.1/4/3 + 0.5*0.5/4/3)},
		{"rear|--dropouts|147.5 (caliper)|--stack|42.6|--protrusion|0.9 ± 0.1|--gap|4.9 ± 0.3", math.Sqrt(0.05*0.05 + 0.05*0.05/3 + 0.3*0.3/3 + 0.1*0.1/4/3)},
	} {
		args := append([]string{"line"}, strings.Split(c.args, "|")...)
		code, out, errs := run(append(args, "--format", "json")...)
		require.Equal(t, ExitDone, code, errs)
		var w worksheet
		require.NoError(t, json.Unmarshal([]byte(out), &w))
		require.NotNil(t, w.U, c.args)
		assert.InEpsilon(t, c.want, *w.U, 1e-3, c.args)
		code, out, errs = run(args...)
		require.Equal(t, ExitDone, code, errs)
		assert.Contains(t, out, " mm, known to ±")
	}
	code, out, errs := run("line", "front", "--tube-width", "48.6 ± 0", "--gap", "29.9 ± 0", "--format", "json")
	require.Equal(t, ExitDone, code, errs)
	assert.Contains(t, out, `"u_mm": null`)
	// Typed alone: calipers to a tenth, and half a millimetre across the air.
	code, out, errs = run("line", "front", "--tube-width", "48.6", "--gap", "29.9")
	require.Equal(t, ExitDone, code, errs)
	assert.Contains(t, out, "front chainline 54.20 mm, known to ±0.58 mm. Into the bike file:\n\nfront:\n  line: 54.20 ± 0.58 (depth gauge)\n")
}

// Where a tolerance is not counted it is not taken.
func TestToleranceThatIsNotCountedIsRefused(t *testing.T) {
	plan := filepath.Join(t.TempDir(), "plan.yaml")
	require.NoError(t, os.WriteFile(plan, []byte("chainpath_sweep: 1\nvary:\n- {path: chain.slack, values: [0.6, 1]}\nwhere:\n- {of: stay_mm, at_least: 0 ± 1}\n"), 0o644))
	for args, says := range map[string]string{
		"gears " + caseWith(t, "trail", "instruments:\n  caliper: 0.2 ± 0.1"):         "instruments.caliper: \"0.2 ± 0.1\", want a number alone",
		"gears " + caseWith(t, "single", "limits:\n  quiet: 1 ± 0.1"):                 "limits.quiet: \"1 ± 0.1\", want a number alone",
		"gears " + caseWith(t, "trail", "tolerances:\n  run_out: [0.1, 0.2]"):         "tolerances.run_out: a list, want a number alone",
		"gears " + caseWith(t, "wide-tyre", "riding:\n  ratio: 2 ± 1\n  spread: 1.5"): "riding.ratio: \"2 ± 1\", want a number alone",
		"sweep trail --vary chain.slack=0.6±0.1,1":                                    "designs have no tolerance",
		"sweep trail --plan " + plan:                                                  "plan.yaml:5:27: where[0].at_least: \"0 ± 1\", want a number alone",
	} {
		code, out, errs := run(strings.Fields(args)...)
		assert.Equal(t, ExitBadInput, code, args)
		assert.Empty(t, out)
		assert.Contains(t, errs, says)
	}
}
