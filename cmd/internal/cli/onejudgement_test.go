package cli

import (
	"bufio"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
)

// troubles asks every command that prints the trouble of a bicycle as it is.
func troubles(t *testing.T, name string) map[string]float64 {
	of := func(to any, args ...string) {
		code, out, errs := run(append(args, "--format", "json")...)
		require.Equal(t, ExitDone, code, "%s: %s", args, errs)
		require.NoError(t, json.Unmarshal([]byte(out), to))
	}
	by := map[string]float64{}
	var gears struct {
		Answer struct{ Trouble float64 }
		Lines  struct {
			Front float64 `json:"front_mm"`
		}
	}
	of(&gears, "gears", name)
	by["gears"] = gears.Answer.Trouble
	var window struct {
		Along struct {
			Places []struct {
				Line    float64 `json:"front_line_mm"`
				Trouble float64
			}
		}
	}
	of(&window, "window", name)
	for _, p := range window.Along.Places {
		if p.Line == gears.Lines.Front {
			by["window"] = p.Trouble
		}
	}
	var compare struct {
		SetUps []struct{ Trouble float64 } `json:"set_ups"`
	}
	of(&compare, "compare", name, name)
	by["compare"] = compare.SetUps[0].Trouble
	var parts struct{ Before struct{ Trouble float64 } }
	spacer := filepath.Join(t.TempDir(), "spacer.yaml")
	require.NoError(t, os.WriteFile(spacer, []byte("chainpath_parts: 1\nchanges:\n  - {name: spacer, price: 5, add: {front.line: 0.5}}\n"), 0o644))
	of(&parts, "parts", name, spacer)
	by["parts"] = parts.Before.Trouble
	var next struct {
		Now float64 `json:"trouble_as_it_is"`
	}
	of(&next, "next", name)
	by["next"] = next.Now
	var fix struct{ Trouble float64 }
	of(&fix, "fix", name)
	by["fix"] = fix.Trouble
	line := strconv.FormatFloat(gears.Lines.Front, 'g', -1, 64)
	code, out, errs := run("sweep", name, "--vary", "front.line="+line+","+line)
	if code != ExitDone { // the same value twice is refused: one beside it then
		code, out, errs = run("sweep", name, "--vary", fmt.Sprintf("front.line=%s,%g", line, gears.Lines.Front+1))
	}
	require.Equal(t, ExitDone, code, errs)
	rows, err := csv.NewReader(bufio.NewReader(strings.NewReader(out))).ReadAll()
	require.NoError(t, err)
	for i, column := range rows[0] {
		if column == "trouble" {
			v, err := strconv.ParseFloat(rows[1][i], 64)
			require.NoError(t, err)
			if by["sweep"] = v; math.Abs(v-by["gears"]) < 5.1e-5 { // rows have a digit more
				by["sweep"] = by["gears"]
			}
		}
	}
	return by
}

// The trouble of a bicycle is one number, whatever prints it.
func TestTroubleIsOneNumber(t *testing.T) {
	ofText(t)
	names := cases.Shipped()
	if !long {
		names = []string{"trail", "tourer", "single"}
	}
	for _, name := range names {
		by := troubles(t, name)
		require.Len(t, by, 7, name)
		for command, v := range by {
			assert.Equal(t, by["gears"], v, "%s %s: %v", command, name, by)
		}
	}
}
