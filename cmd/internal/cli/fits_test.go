package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
)

// One file, asked by five commands: they agree on whether the chain fits, and on where it
// hangs. The bicycles are invented; the last two have a chain that does not reach, and one
// that is too long for their cage.
func TestCommandsAgreeOnWhetherItFits(t *testing.T) {
	ofText(t)
	for _, x := range []struct {
		args, more  string
		fits, tight bool
	}{
		{"--rings 42 --cogs 16 --front 42.5 --rear 42 --stay 402", "", true, true},
		{"--rings 32T --cogs 10-51 --front 52 --rear 12x148 --stay 440", "", true, true},
		{"--rings 50/34 --cogs 11-28 --speeds 7 --front 43.5 --rear 130 --stay 410", "", true, true},
		{"--rings 32 --cogs 10-51 --front 52 --rear 148 --stay 440", "chain: {links: 112}\n", false, true},
		{"--rings 28,48 --cogs 11-34 --speeds 8 --front 47 --rear 135 --stay 440", "tensioner: {cage: 58}\n", true, false},
	} {
		file := filepath.Join(t.TempDir(), "bike.yaml")
		code, said, errs := run(append([]string{"mybike", "-o", file}, strings.Fields(x.args)...)...)
		require.Equal(t, ExitDone, code, errs)
		if x.more == "" {
			assert.Equal(t, x.fits, !strings.Contains(said, "does not fit"), x.args)
		}
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(file, append(text, x.more...), 0o644))

		of := func(to any, args ...string) {
			code, out, errs := run(append(args, "--format", "json")...)
			require.Equal(t, ExitDone, code, errs)
			require.NoError(t, json.Unmarshal([]byte(out), to))
		}
		var gears show.Gears
		of(&gears, "gears", file)
		share := map[string]float64{}
		worst := map[string]float64{}
		c, err := cases.Load(file, nil)
		require.NoError(t, err)
		b, err := c.Bike()
		require.NoError(t, err)
		time, err := c.Shares(b)
		require.NoError(t, err)
		for i, g := range gears.Gears {
			for _, name := range []string{"cannot_close", "chain_too_long"} {
				if p := g.Chance[name]; p != nil { // none of a chain that does not reach
					worst[name] = max(worst[name], *p)
					share[name] += *p * time[i]
				}
			}
		}
		assert.Equal(t, x.fits, worst["cannot_close"] < 0.35, x.args)
		assert.Equal(t, x.tight, worst["chain_too_long"] < 0.35, x.args)

		var window struct {
			Lines struct {
				Front float64 `json:"front_mm"`
			} `json:"lines"`
			Along struct {
				Places []struct {
					Line   float64            `json:"front_line_mm"`
					Shares map[string]float64 `json:"shares"`
				} `json:"places"`
			} `json:"along"`
		}
		of(&window, "window", file)
		found := false
		for _, p := range window.Along.Places {
			if p.Line == window.Lines.Front {
				found = true
				for name, s := range share {
					assert.InDelta(t, s, p.Shares[name], 1e-3, "%s: %s", x.args, name)
				}
			}
		}
		assert.True(t, found, "today's line is among the window's places")

		var compared struct {
			SetUps []struct {
				Shares map[string]float64 `json:"shares"`
			} `json:"set_ups"`
		}
		of(&compared, "compare", file, file)
		for name, s := range share {
			assert.InDelta(t, s, compared.SetUps[0].Shares[name], 1e-3, "%s: %s", x.args, name)
		}

		code, out, errs := run("check", file)
		require.Equal(t, ExitDone, code, errs)
		assert.NotContains(t, out, "cannot", x.args)

		var next struct {
			Now float64 `json:"trouble_as_it_is"`
		}
		of(&next, "next", file)
		if !x.fits { // a gear in twelve that surely does not fit, ten times as bad as noise
			assert.Greater(t, next.Now, 10*share["cannot_close"]*0.9, x.args)
		}
	}
}

// In a folder that cannot be written to mybike answers all the same, and says that nothing
// was saved; a file that was named is another matter.
func TestMybikeAnswersWhereItCannotWrite(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("wants a folder that not even root may write to")
	}
	t.Chdir("/proc")
	bike := []string{"mybike", "--rings", "30", "--cogs", "11-42", "--front", "51,5", "--rear", "12x148", "--stay", "435", "--teeth", "narrow-wide"}
	code, out, errs := run(bike...)
	assert.Equal(t, ExitDone, code, errs)
	assert.Contains(t, out, "30 x 11-42, 1x11")
	assert.Contains(t, out, "30/42")
	assert.Contains(t, errs, "nothing was saved")
	assert.Contains(t, strings.Join(strings.Fields(errs), " "), "-o FILE")
	code, out, _ = run(append(bike, "-o", "mine.yaml")...)
	assert.NotEqual(t, ExitDone, code)
	assert.Empty(t, out)
}

// Completion knows the names in a case.
func TestCompletionKnowsTheCase(t *testing.T) {
	for args, want := range map[string][]string{
		"march trail --cog":     {"10", "51"},
		"march tourer --ring":   {"26", "36", "48"},
		"sweep trail --vary":    {"front.line=", "chain.slack=", "rear.cogs[11]=", "tensioner.cage="},
		"learn trail --seen":    {"32/51:", "32/51 backwards:"},
		"parts trail":           {"trail-parts"},
		"next trail":            {"trail-parts"},
		"report trail --parts":  {"trail-parts"},
		"gears":                 {"trail", "timing-chain"},
		"mybike --teeth":        {"narrow-wide", "plain"},
		"gears trail --fail-on": {"danger"},
	} {
		code, out, errs := run(append(append([]string{"__complete"}, strings.Fields(args)...), "")...)
		require.Equal(t, ExitDone, code, errs)
		got := strings.Split(out, "\n")
		for _, w := range want {
			assert.Contains(t, got, w, args)
		}
	}
	_, out, _ := run("__complete", "sweep", "single", "--vary", "")
	assert.NotContains(t, out, "tensioner", "no field of a part that the case has not")
	for _, args := range [][]string{{"__complete", "march", "nosuch.yaml", "--cog", ""}, {"__complete", "march", "-", "--cog", ""}} {
		code, out, _ := run(args...)
		assert.Equal(t, ExitDone, code)
		assert.True(t, strings.HasPrefix(out, ":"), out)
	}
}
