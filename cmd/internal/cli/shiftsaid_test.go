package cli

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
)

// The sheet that is handed over says what hangs on the chain of a cog that brakes, of each kind
// once, and nothing of it where none does.
func TestReportSaysWhatBrakes(t *testing.T) {
	text := reportText(t, "fixed")
	first, _, ok := strings.Cut(text, `<div class="side">`)
	require.True(t, ok)
	assert.Equal(t, 1, strings.Count(first, "Without its chain a fixed cog brakes nothing"))
	assert.Contains(t, first, "Keep another brake")
	assert.NotContains(t, reportText(t, "single"), "brakes nothing")
	for brakes, name := range map[bool]string{true: "fixed", false: "single"} {
		_, march, _ := seeing("march " + name)
		_, json, _ := seeing("gears --format json " + name)
		for _, text := range []string{march, json} {
			assert.Equal(t, brakes, strings.Contains(strings.Join(strings.Fields(text), " "), "Without its chain a fixed cog brakes nothing"), name)
		}
	}
}

// Every bench test and worksheet that the defaults and the schema send a reader to is there.
func TestDefaultsNameCommandsThatAreThere(t *testing.T) {
	found := 0
	for _, from := range []string{"defaults", "schema"} {
		_, text, _ := seeing(from)
		for _, m := range regexp.MustCompile(`chainpath\s+(measure)\s+(\w+)`).FindAllStringSubmatch(text, -1) {
			found++
			_, help, _ := seeing(m[1] + " " + m[2] + " --help")
			assert.Contains(t, help, "chainpath "+m[1]+" "+m[2]+" [flags]", from)
		}
	}
	assert.GreaterOrEqual(t, found, 3)
}

// changed writes a shipped case with changes into a file and returns its path.
func changed(t *testing.T, name string, pairs ...string) string {
	text, err := cases.ShippedText(name)
	require.NoError(t, err)
	for i := 0; i < len(pairs); i += 2 {
		require.Contains(t, string(text), pairs[i])
	}
	path := filepath.Join(t.TempDir(), "bike.yaml")
	require.NoError(t, os.WriteFile(path, []byte(strings.NewReplacer(pairs...).Replace(string(text))), 0o600))
	return path
}

// A ring on which the cage, wherever it stands, rubs in every gear is named.
func TestShiftsNameARingThatRunsNowhereFree(t *testing.T) {
	_, out, _ := run("shifts", changed(t, "double-cage", "[39.0, 41.2, 46.4, 48.8]", "[30.0, 46.4, 48.8]"))
	_, table, ok := strings.Cut(out, "cogs that run free of it\n")
	require.True(t, ok)
	table, _, _ = strings.Cut(table, "\n\n")
	rows := strings.Split(table, "\n")
	assert.Regexp(t, `^ring of 34 +- +- +none$`, rows[0])
	assert.Regexp(t, `^ring of 48 .* to `, rows[1])
}

// Every gear has its room to both plates at every trim: what the cage moves the one gets narrower
// and the other wider, the best trim is the one told, and the table's free cogs are those with room.
func TestEveryTrimHasItsRoom(t *testing.T) {
	var d struct {
		Gears []struct {
			Ring  int `json:"ring_teeth"`
			Cog   int `json:"cog_teeth"`
			Clear struct {
				Best  float64 `json:"front_cage_mm"`
				Trim  int     `json:"front_cage_trim"`
				Trims []struct {
					Trim  int     `json:"trim"`
					Place float64 `json:"position_mm"`
					Inner float64 `json:"inner_mm"`
					Outer float64 `json:"outer_mm"`
				} `json:"front_cage_trims"`
			} `json:"clearances"`
		} `json:"gears"`
	}
	_, out, _ := seeing("gears double-cage --format json")
	require.NoError(t, json.Unmarshal([]byte(out), &d))
	_, csv, _ := seeing("gears double-cage --format csv")
	_, table, _ := seeing("shifts double-cage")
	require.Len(t, d.Gears, 20)
	free := 0
	for _, g := range d.Gears {
		c := g.Clear
		require.Len(t, c.Trims, 4)
		best, at := c.Trims[0], c.Trims[0]
		for i, x := range c.Trims {
			assert.Equal(t, i+1, x.Trim)
			assert.InDelta(t, x.Place-at.Place, at.Inner-x.Inner, 2e-6)
			assert.InDelta(t, x.Place-at.Place, x.Outer-at.Outer, 2e-6)
			if min(x.Inner, x.Outer) > min(best.Inner, best.Outer) {
				best = x
			}
			if min(x.Inner, x.Outer) >= 0 {
				free++
			}
		}
		assert.Equal(t, best.Trim, c.Trim)
		assert.InDelta(t, min(best.Inner, best.Outer), c.Best, 1e-9)
		assert.Contains(t, csv, fmt.Sprintf(",%v,%d,", c.Best, c.Trim))
	}
	assert.Greater(t, free, 10)
	assert.Contains(t, table, "cogs that run free of it")
	_, why, _ := seeing("gears double-cage --why")
	assert.Regexp(t, `34/11, riding, rubs front derailleur cage or guide \d+ %, borderline: with typical values 2.34 mm off the inner plate and -0.03 mm off the outer one at best, at trim 2`, strings.Join(strings.Fields(why), " "))
	_, none, _ := seeing("gears trail --format json")
	assert.Contains(t, none, `"front_cage_trims": null`)
}

// A bent hanger is named where its results stand, with what it puts the pulleys aside; a straight
// one is not.
func TestShiftsSayWhatABentHangerDoes(t *testing.T) {
	_, straight, _ := seeing("shifts double-cage")
	assert.NotContains(t, straight, "hanger is bent")
	file := changed(t, "double-cage", "gaps: [10, 6]", "gaps: [10, 6]\n  hanger: {lean: 2}")
	_, out, _ := run("shifts", file)
	assert.Contains(t, strings.Join(strings.Fields(out), " "), "The hanger is bent (tensioner.hanger): set right under the middle cog, the pulleys stand")
}

// What a bent hanger takes away is how much wider the setting would be without it, which is what
// the same bike with a straight one has.
func TestWhatABentHangerTakesAway(t *testing.T) {
	type doc struct {
		Setting struct {
			Width [3]float64 `json:"width_mm"`
		} `json:"setting"`
		Upright *[3]float64 `json:"setting_width_hanger_straight_mm"`
		Notes   []string    `json:"notes"`
	}
	of := func(bike string) (d doc) {
		code, out, errs := run("shifts", bike, "--format", "json")
		require.Equal(t, ExitDone, code, errs)
		require.NoError(t, json.Unmarshal([]byte(out), &d))
		return d
	}
	straight, bent := of("trail"), of(changed(t, "trail", "gaps: [14, 6]", "gaps: [14, 6]\n  hanger: {lean: 2, toe: 1}"))
	assert.Nil(t, straight.Upright)
	require.NotNil(t, bent.Upright)
	assert.InDeltaSlice(t, straight.Setting.Width[:], bent.Upright[:], 1e-5)
	assert.Less(t, bent.Setting.Width[1], straight.Setting.Width[1]-1)
	assert.Contains(t, strings.Join(bent.Notes, " "), "With a straight one the setting that makes every shift would be about 0.4 mm wide; as it is there is none.")
	// Cogs of 10 and 12 teeth: six fractions of a turn, 0.33 of which pass on the mean.
	assert.Contains(t, strings.Join(straight.Notes, " "), "10 and 12 (67 %),")
}

// What a slack run makes likely is told of that run, not of the taut one.
func TestASlackRunIsToldOf(t *testing.T) {
	for _, c := range []struct{ sag, bumps string }{{"8", "0.3"}, {"30", "0.95"}} {
		file := changed(t, "fixed", "line: 44.5 ± 0.5", "line: 47.2 ± 0.5", "sag: 8 ± 2", "sag: "+c.sag, "bumps: 0.6", "bumps: "+c.bumps)
		_, out, _ := run("gears", file, "--why")
		out = strings.Join(strings.Fields(out), " ")
		if c.bumps == "0.3" {
			assert.NotContains(t, out, "counts as slack")
		} else {
			assert.Contains(t, out, "bottom run counts as slack with 0.1 N")
		}
	}
}

// The sheet names each shift with its ring where there are several, and not one by one where all
// wait alike.
func TestReportTellsShiftsOnce(t *testing.T) {
	text := strings.Join(strings.Fields(reportText(t, "road")), " ")
	assert.Contains(t, text, "Every shift is likely to be slow or reluctant")
	assert.NotContains(t, text, "(1.00)")
	gated := strings.Join(strings.Fields(reportText(t, "double-cage")), " ")
	assert.NotContains(t, gated, "Every shift is likely")
	// What runs free of the cage, and the figure of the cable's setting, stand there too.
	assert.Regexp(t, `Free of the front cage, by the nominal dimensions: 18 to 32 on the ring of 34 at trim 1 \(39.0 mm\); 12 to 28 on the ring of 34 at trim 2 \(41.2 mm\);`, gated)
	assert.Equal(t, 1, strings.Count(gated, "where the guide pulley can sit for each cog"))
	assert.NotContains(t, text, "front cage, by the nominal")
	assert.NotContains(t, reportText(t, "single"), "guide pulley")
	bent := reportText(t, changed(t, "trail", "gaps: [14, 6]", "gaps: [14, 6]\n  hanger: {lean: 2}"))
	assert.Contains(t, strings.Join(strings.Fields(bent), " "), "The hanger is bent")
}

func TestCheckCountsOneGear(t *testing.T) {
	_, out, _ := seeing("check fixed")
	assert.Contains(t, out, ", 1 gear, ")
	_, out, _ = seeing("check trail")
	assert.Contains(t, out, ", 12 gears, ")
}

// What was measured is told with what it is of, and which of several it is.
func TestMeasuresAreNamed(t *testing.T) {
	for path, want := range map[string]string{
		"front.line": "x", "front.cage.positions[1]": "front cage: x (2)", "front.measured.readings[0]": "x (1)",
		"rear.measured.gap": "x", "front.shift_pins.height": "front shift pins: x", "rear.cog_lines[11]": "x (12)",
	} {
		assert.Equal(t, want, givenName(path, "x"), path)
	}
	text := reportText(t, "double-cage")
	assert.Equal(t, 1, strings.Count(text, "innermost first (4): 48.8"))
	assert.Contains(t, text, "front cage: between the plates")
}
