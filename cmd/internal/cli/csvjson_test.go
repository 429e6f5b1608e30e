package cli

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// answering are the commands that take --format, with what they are asked here; CHANGES is a change list.
// Rows of a sweep have no document, and a chart reads them; those of a region are all its designs, of which the
// document names the best.
var answering = map[string][]string{
	"gears": {"gears tourer"}, "diagnose": {"diagnose trail"}, "shifts": {"shifts road"}, "next": {"next single", "next single CHANGES"}, "fix": {"fix trail", "fix single CHANGES"},
	"simulate":  {"simulate trail --cog 51 --turns 0.2 --trials 3", "simulate trail --cog 51 --turns 0.2 --trials 3 --rows trials", "simulate trail --cog 51 --turns 0.2 --places 0,30 --rows places"},
	"learn":     {"learn single --seen */17:quiet"},
	"accuracy":  {"accuracy single --draws 100"},
	"chainline": {"chainline single-tensioner"}, "compare": {"compare single fixed"}, "limit": {"limit single front.line"}, "case defaults": {"case defaults --all"},
	"measure front": {"measure front --tube-width 48.6 --gap 29.9"}, "measure rear": {"measure rear --dropouts 147.5 --stack 41.7 --gap 4.9"},
	"measure sag":    {"measure sag --links 30 --sag 160±3 --links 12 --sag 15±1 --mass 2.3±0.02"},
	"measure widths": {"measure widths --inner 2.2 --plate 0.8"}, "measure twist": {"measure twist --links 20 --turn 28"}, "measure hanger": {"measure hanger --bottom-top 6±1 --front-back -2±1"},
	"measure stiffness": {"measure stiffness --links 20 --speeds 12 --tilt 15 --mass 10 --aside 16 --slack 0.7"},
	"measure adjuster":  {"measure adjuster road --clicks 4 --first-inboard 28>25 --first-outboard 11>12"},
	"sweep":             nil, "sweep chart": nil, "sweep region": nil,
}

// numbersIn collects the numbers of a JSON document.
func numbersIn(v any, in map[float64]bool) {
	switch x := v.(type) {
	case float64:
		in[x] = true
	case map[string]any:
		for _, y := range x {
			numbersIn(y, in)
		}
	case []any:
		for _, y := range x {
			numbersIn(y, in)
		}
	}
}

// Of every command that has formats the CSV is rectangular and has no number that the JSON has not, to the last
// figure; a format that is none is refused before anything else.
func TestCSVHasNoNumberOfItsOwn(t *testing.T) {
	ofText(t)
	var walk func(c *cobra.Command)
	walk = func(c *cobra.Command) {
		if c.Hidden { // an earlier name
			return
		}
		for _, sub := range c.Commands() {
			walk(sub)
		}
		if name := strings.TrimPrefix(c.CommandPath(), "chainpath "); c.Flags().Lookup("format") != nil && c.IsAvailableCommand() {
			_, known := answering[name]
			assert.True(t, known, name)
		}
	}
	walk(newRoot(streams{strings.NewReader(""), io.Discard, io.Discard, nil}))
	changes := filepath.Join(t.TempDir(), "changes.yaml")
	require.NoError(t, os.WriteFile(changes, []byte("chainpath_parts: 1\nchanges:\n  - {name: out, price: 5, add: {front.line: 1}}\n  - {name: back, price: 7, add: {rear.line: -1}}\n"), 0o644))
	for _, list := range answering {
		for _, args := range list {
			args = strings.ReplaceAll(args, "CHANGES", changes)
			code, out, errs := run(append(fields(args), "--format", "cvs")...)
			assert.Equal(t, ExitBadInput, code, args)
			assert.Contains(t, errs, `"cvs"`, args)
			assert.Empty(t, out)
			code, out, errs = run(append(fields(args), "--format", "csv")...)
			require.Equal(t, ExitDone, code, "%s: %s", args, errs)
			rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
			require.NoError(t, err, args)
			require.Greater(t, len(rows), 1, args)
			code, out, errs = run(append(fields(args), "--format", "json")...)
			require.Equal(t, ExitDone, code, "%s: %s", args, errs)
			var doc any
			require.NoError(t, json.Unmarshal([]byte(out), &doc), args)
			have, some := map[float64]bool{}, 0
			numbersIn(doc, have)
			for _, r := range rows[1:] {
				for i, cell := range r {
					if name := rows[0][i]; name == "rank" || name == "number" { // places in a list
						continue
					}
					if x, err := strconv.ParseFloat(cell, 64); err == nil {
						some++
						assert.True(t, have[x], "%s: %s %s", args, rows[0][i], cell)
					}
				}
			}
			assert.Positive(t, some, args)
		}
	}
}
