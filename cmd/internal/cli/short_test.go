package cli

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cmd/internal/show"
)

// shortened is the trail case with fewer cogs and a chain that is too short for the larger.
func shortened(t *testing.T, links int) string {
	bike, err := os.ReadFile("../../../cases/shipped/trail.yaml")
	require.NoError(t, err)
	few := strings.Replace(string(bike), "[10, 12, 14, 16, 18, 21, 24, 28, 32, 38, 44, 51]", "[10, 18, 38, 44, 51]", 1)
	require.NotEqual(t, string(bike), few)
	few = strings.Replace(few, ", cogs: [14]", ", cogs: [18]", 1)
	file := filepath.Join(t.TempDir(), "bike.yaml")
	require.NoError(t, os.WriteFile(file, fmt.Appendf([]byte(few), "\nchain:\n  links: %d\n", links), 0o644))
	return file
}

// A gear that the chain is too short for has no bends, losses, chances and verdicts but
// that, in every command; one in which it fits has them all.
func TestShortChainIsToldOfAlone(t *testing.T) {
	file := shortened(t, 108)
	code, out, errs := run("gears", file, "--format", "json")
	require.Equal(t, ExitDone, code, errs)
	var doc show.Gears
	require.NoError(t, json.Unmarshal([]byte(out), &doc))
	short := 0
	for _, g := range doc.Gears {
		if !strings.Contains(g.CloseNote, "too short") {
			assert.NotNil(t, g.Top.Bend)
			assert.NotNil(t, g.Loss)
			continue
		}
		short++
		assert.Nil(t, g.Top.Bend)
		assert.Nil(t, g.Bottom.Length)
		assert.Nil(t, g.Loss)
		assert.Empty(t, g.Riding)
		assert.Nil(t, g.Clearances.Tyre)
		assert.Nil(t, g.Chance["noise_riding"])
		assert.Equal(t, 1.0, *g.Chance["cannot_close"])
		require.Len(t, g.Verdicts, 2)
		for _, v := range g.Verdicts {
			assert.Equal(t, "cannot_close", v.Code)
		}
	}
	assert.Greater(t, short, 1)
	assert.Less(t, short, 5)
	for _, args := range [][]string{
		{"gears", file, "--format", "csv"}, {"gears", file, "--why"}, {"window", file}, {"compare", file, "trail"}, {"compare", file, "trail", "--format", "csv"},
		{"diagnose", file}, {"draw", file, "--out", t.TempDir()}, {"report", file, "-o", filepath.Join(t.TempDir(), "r.html")},
		{"sweep", file, "--vary", "front.line=48,50", "--loss", "-q"}, {"budget", file, "--draws", "100"},
	} {
		code, out, errs := run(args...)
		assert.Equal(t, ExitDone, code, "%v: %s", args, errs)
		assert.NotContains(t, out, "NaN", args)
		assert.NotContains(t, out, "Inf", args)
	}
}

// No share of a loss without input, and none above all of it.
func TestLossOfNothingAndOfAll(t *testing.T) {
	share := func(args ...string) (out []*float64) {
		code, text, errs := run(append([]string{"gears", "trail", "--format", "json"}, args...)...)
		require.Equal(t, ExitDone, code, errs)
		var doc show.Gears
		require.NoError(t, json.Unmarshal([]byte(text), &doc))
		for _, g := range doc.Gears {
			out = append(out, g.Loss.Percent)
		}
		return out
	}
	for _, p := range share("--torque", "0") {
		assert.Nil(t, p)
	}
	all := 0
	for _, p := range share("--torque", "0.01") {
		require.NotNil(t, p)
		assert.LessOrEqual(t, *p, 100.0)
		if *p == 100 {
			all++
		}
	}
	assert.Greater(t, all, 0)
	code, out, errs := run("gears", "trail", "--torque", "0")
	require.Equal(t, ExitDone, code, errs)
	assert.NotContains(t, out, "NaN")
}
