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
	for _, from := range []string{"defaults --all", "schema"} {
		_, text, _ := seeing(from)
		for _, m := range regexp.MustCompile(`chainpath\s+(measure)\s+(\w+)`).FindAllStringSubmatch(text, -1) {
			found++
			_, help, _ := seeing(m[1] + " " + m[2] + " --help")
			assert.Regexp(t, "chainpath "+m[1]+" "+m[2]+`( CASE)? \[flags\]`, help, from)
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
	_, out, _ := run("shifts", changed(t, "double-cage", "[39.0, 41.2, 46.4, 48.8]", "[30.0, 46.4, 48.8]"), "--all")
	_, table, ok := strings.Cut(out, "cogs that run free of it\n")
	require.True(t, ok)
	table, _, _ = strings.Cut(table, "\n\n")
	rows := strings.Split(table, "\n")
	assert.Regexp(t, `^34-tooth chainring +- +- +none$`, rows[0])
	assert.Regexp(t, `^48-tooth chainring .* to `, rows[1])
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
	_, table, _ := seeing("shifts double-cage --all")
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
	assert.Regexp(t, `34/11 riding, rubs front derailleur cage or guide \d+ %, borderline: with typical values 2.34 mm off the inner plate and -0.03 mm off the outer one at best, at trim 2`, strings.Join(strings.Fields(why), " "))
	_, none, _ := seeing("gears trail --format json")
	assert.Contains(t, none, `"front_cage_trims": null`)
}

// What the file tells is what to do first, worded as felt on few bikes where it is small; a
// straight bike has nothing to do.
func TestShiftsSayWhatToDo(t *testing.T) {
	words := func(args ...string) string {
		code, out, errs := run(append([]string{"shifts"}, args...)...)
		require.Equal(t, ExitDone, code, errs)
		_, out, _ = strings.Cut(out, "\n") // the bike's name
		return strings.Join(strings.Fields(out), " ")
	}
	assert.Regexp(t, "^Set the cable at its best and leave the rest alone. One setting makes every shift", words("double-cage"))
	for put, want := range map[string]string{
		"gaps: [10, 6]\n  hanger: {lean: 0.4}":                       `^The hanger is out: straighten it first. It is felt on few bikes \(\d %\)`,
		"gaps: [10, 6]\n  hanger: {lean: 5}":                         `^The hanger is out: straighten it first. Left alone it will probably be felt \(\d\d of 100 bikes like this`,
		"gaps: [10, 6]\n  index_error: 0.7":                          `^Turn the adjuster out 2 clicks. Whether it is felt could go either way`,
		"gaps: [10, 6]\n  index_error: -1.05":                        `^Turn the adjuster in 3 clicks.`,
		"gaps: [10, 6]\n  index_error: 0.1":                          `^Leave the cable as it is set.`,
		"gaps: [10, 6]\n  ratio: 1.838":                              `^Pull and derailleur do not match: 7 % too much a step.`,
		"gaps: [10, 6]\n  adjuster_range: {clicks: 4}\n  float: 1.5": `^Replace the guide pulley: it is worn, or has too much float.`,
	} {
		assert.Regexp(t, want, words(changed(t, "double-cage", "gaps: [10, 6]", put)), put)
	}
	lines := make([]string, 9) // of the tourer's 9 cogs, the gap from 18 to 21 0.3 mm too wide
	for k := range lines {
		lines[k] = fmt.Sprintf("%.2f", 62.36-4.34*float64(k)-map[bool]float64{true: 0.3}[k > 4])
	}
	assert.Regexp(t, `^A spacer between 18 and 21 is about 0.3 mm too thick. It is felt on few bikes`, words(changed(t, "tourer", "line: 45 ± 0.5", "cog_lines: ["+strings.Join(lines, ", ")+"]")))

	seen := words("road", "--seen", "50/11>12: late 9 of 10", "--seen", "*/12>11: fine", "--seen", "*/23>25,*/25>28: late", "--seen", "*/28>25: fine")
	assert.Regexp(t, `^Most likely \(\d\d %\): turn the adjuster out about \d clicks.`, seen)
	for step, way := range map[string]string{"11>12": "out", "12>11": "in", "25>28": "out", "28>25": "in"} {
		assert.Regexp(t, `^Most likely \(\d\d %\): turn the adjuster `+way+` about \d clicks.`, words("road", "--seen", "50/"+step+": late 9 of 10"))
	}
	code, _, errs := run("shifts", "road", "--seen", "50/11>13: late")
	assert.Equal(t, ExitBadInput, code)
	assert.Contains(t, errs, `--seen "50/11>13: late": gears: "50/11>13" is not one step of the cassette`)
}

// Every shift has its ring, cogs and chance, by names that hold.
func TestShiftsByName(t *testing.T) {
	_, out, _ := seeing("shifts double-cage --format json")
	var d struct {
		Shifts []map[string]any `json:"shifts"`
	}
	require.NoError(t, json.Unmarshal([]byte(out), &d))
	require.Len(t, d.Shifts, 2*18)
	for _, s := range d.Shifts {
		for _, name := range []string{"ring_teeth", "from_teeth", "to_teeth", "chance_late"} {
			assert.IsType(t, 0.0, s[name], name)
		}
		assert.True(t, s["chance_late"].(float64) > 0 && s["chance_late"].(float64) < 1)
	}
}

// Symptoms of shifting are diagnosed, all together, with what to do and the one check that tells
// the first two apart.
func TestDiagnoseShifting(t *testing.T) {
	ofText(t)
	file := changed(t, "road", "\ntensioner:\n", "\nsymptoms:\n  - {what: slow_to_larger}\n  - {what: slow_to_smaller}\n  - {what: after_crash}\ntensioner:\n")
	code, out, errs := run("diagnose", file)
	require.Equal(t, ExitDone, code, errs)
	out = strings.Join(strings.Fields(out), " ")
	assert.Contains(t, out, "Shifting, all of it together: Most likely (")
	assert.Contains(t, out, "To tell them apart, ")
	assert.Contains(t, out, "1. Shifts to larger cogs are slow")
	_, out, _ = run("diagnose", file, "--format", "json")
	var d struct {
		Do       []struct{ Fault, From string } `json:"do"`
		Suspects []struct{ Share float64 }      `json:"shift_suspects"`
		Check    *string                        `json:"check_first"`
	}
	require.NoError(t, json.Unmarshal([]byte(out), &d))
	assert.NotEmpty(t, d.Do)
	assert.Equal(t, "seen", d.Do[0].From)
	require.NotNil(t, d.Check)
	sum := 0.0
	for _, s := range d.Suspects {
		sum += s.Share
	}
	assert.InDelta(t, 1, sum, 0.02)
	_, csv, _ := run("diagnose", file, "--format", "csv")
	assert.Contains(t, csv, "shifting,riding,,cable_friction,")
	alone := changed(t, "road", "\ntensioner:\n", "\nsymptoms:\n  - {what: after_crash}\ntensioner:\n")
	_, out, _ = run("diagnose", alone)
	assert.Contains(t, strings.Join(strings.Fields(out), " "), "tell what is slow or skips as well")
}

// A counted range is written down as the case takes it, and narrows.
func TestBenchAdjuster(t *testing.T) {
	code, out, errs := run("bench", "adjuster", "road", "--clicks", "6", "--first-inboard", "28>25", "--first-outboard", "11>12", "--format", "json")
	require.Equal(t, ExitDone, code, errs)
	var d struct {
		Before, After struct {
			Width [3]float64 `json:"width_mm"`
		}
	}
	require.NoError(t, json.Unmarshal([]byte(out), &d))
	assert.Less(t, d.After.Width[2]-d.After.Width[0], d.Before.Width[2]-d.Before.Width[0])
	assert.InDelta(t, 6*0.2*1.3, d.After.Width[1], 0.2)
	_, text, _ := run("bench", "adjuster", "road", "--clicks", "6", "--first-inboard", "28>25", "--first-outboard", "11>12")
	_, lines, ok := strings.Cut(text, "Into the bike file:\n\ntensioner:\n")
	require.True(t, ok)
	lines, _, _ = strings.Cut(lines, "\n\n")
	_, counted, _ := run("shifts", changed(t, "road", "\ntensioner:\n", "\ntensioner:\n"+lines+"\n"))
	assert.Contains(t, strings.Join(strings.Fields(counted), " "), "The adjuster's counted range of 6 clicks is in it.")
	for args, says := range map[string]string{
		"road":                                   "--clicks is missing",
		"road --clicks 50":                       "--clicks: 50 is out of range",
		"road --clicks 4 --first-inboard 11>12":  `--first-inboard: "11>12", want one shift to a smaller cog`,
		"road --clicks 4 --first-outboard 11>15": `--first-outboard: "11>15" is not one step`,
		"single --clicks 4":                      "nothing is indexed",
	} {
		code, out, errs := run(append([]string{"bench", "adjuster"}, strings.Fields(args)...)...)
		assert.Equal(t, ExitBadInput, code, args)
		assert.Empty(t, out)
		assert.Contains(t, errs, says, args)
	}
}

// Shifts that were seen change no chance of a gear, and learn says so, and what they do change; with
// --write the file keeps them, and shifts says the same of it.
func TestLearnTellsOfShifts(t *testing.T) {
	ofText(t)
	for _, file := range [][]string{{"road", "--seen", "50/19>17: late 3 of 10"}, {changed(t, "road", "\ntensioner:\n", "\nsymptoms:\n  - {what: slow_to_larger}\ntensioner:\n")}} {
		code, _, errs := run(append([]string{"learn"}, file...)...)
		assert.Equal(t, ExitBadInput, code)
		assert.Contains(t, errs, "of shifts alone: chainpath shifts and diagnose use them, and no chance of a gear is learned from them, want at least one, such as {gears: 34/28")
	}
	type lesson struct {
		Gears  json.RawMessage
		Shifts *struct {
			Observations []string
			Words        string
		}
	}
	learn := func(seen ...string) (d lesson) {
		args := []string{"learn", "road", "--seen", "34/28: noise", "--format", "json"}
		for _, x := range seen {
			args = append(args, "--seen", x)
		}
		code, out, errs := run(args...)
		require.Equal(t, ExitDone, code, errs)
		require.NoError(t, json.Unmarshal([]byte(out), &d))
		return d
	}
	shifts := []string{"50/11>12: late 9 of 10", "*/12>11: fine"}
	none, some := learn(), learn(shifts...)
	assert.Nil(t, none.Shifts)
	require.NotNil(t, some.Shifts)
	assert.JSONEq(t, string(none.Gears), string(some.Gears), "no chance of a gear")
	assert.Len(t, some.Shifts.Observations, 2)
	kept := filepath.Join(t.TempDir(), "kept.yaml")
	code, out, errs := run("learn", "road", "--seen", "34/28: noise", "--seen", shifts[0], "--seen", shifts[1], "--write", kept)
	require.Equal(t, ExitDone, code, errs)
	assert.Contains(t, strings.Join(strings.Fields(out), " "), some.Shifts.Words)
	_, told, _ := run("shifts", kept)
	_, do, ok := strings.Cut(some.Shifts.Words, "By shifts: ")
	require.True(t, ok)
	assert.Contains(t, strings.Join(strings.Fields(told), " "), do)
}

// What a slack run makes likely is told of that run, not of the taut one.
func TestASlackRunIsToldOf(t *testing.T) {
	ofText(t)
	for _, c := range []struct{ sag, bumps string }{{"8", "0.3"}, {"30", "0.95"}} {
		file := changed(t, "fixed", "line: 44.5 ± 0.5", "line: 47.2 ± 0.5", "sag: 8 ± 2", "sag: "+c.sag, "bumps: 0.6", "bumps: "+c.bumps)
		_, out, _ := run("gears", file, "--why")
		out = strings.Join(strings.Fields(out), " ")
		if c.bumps == "0.3" {
			assert.NotContains(t, out, "run hangs with")
		} else {
			assert.Contains(t, out, "bottom run hangs with 0.1 N")
		}
	}
}

// The sheet says what to do, what runs free of the cage, and shows the figure of the cable's
// setting.
func TestReportTellsOfShifts(t *testing.T) {
	text := strings.Join(strings.Fields(reportText(t, "road")), " ")
	assert.Contains(t, text, "Set the cable at its best and leave the rest alone.")
	assert.NotContains(t, text, "(100 %)")
	gated := strings.Join(strings.Fields(reportText(t, "double-cage")), " ")
	assert.Regexp(t, `Free of the front cage, by the nominal dimensions: 18 to 32 on the 34-tooth chainring at trim 1 \(39.0 mm\); 12 to 28 on the 34-tooth chainring at trim 2 \(41.2 mm\);`, gated)
	assert.NotContains(t, gated, "where the guide pulley can sit for each cog")
	assert.Equal(t, 1, strings.Count(reportText(t, "double-cage", "--all"), "where the guide pulley can sit for each cog"))
	assert.NotContains(t, text, "front cage, by the nominal")
	assert.NotContains(t, reportText(t, "single"), "guide pulley")
	bent := strings.Join(strings.Fields(reportText(t, changed(t, "trail", "gaps: [14, 6]", "gaps: [14, 6]\n  hanger: {lean: 2}"))), " ")
	assert.Contains(t, bent, "The hanger is out: straighten it first.")
	assert.Contains(t, bent, "Late on some bikes like this: ")
}

func TestCheckCountsOneGear(t *testing.T) {
	_, out, _ := seeing("check fixed")
	assert.Contains(t, out, ", 1 gear, ")
	_, out, _ = seeing("check trail")
	assert.Contains(t, strings.Join(strings.Fields(out), " "), ", 12 gears, ")
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

// A change that touches shifting has the chance of a late shift in the table, before and after, and
// in the answer; others have none.
func TestFixTellsOfLateShifts(t *testing.T) {
	ofText(t)
	list := filepath.Join(t.TempDir(), "changes.yaml")
	require.NoError(t, os.WriteFile(list, []byte("chainpath_parts: 1\ntitle: invented\nchanges:\n  - {name: another wheel, price: 10, group: x, add: {front.line: -3}, set: {tensioner.index_error: 0.5}}\n  - {name: spacers, price: 5, group: x, add: {front.line: -1}}\n"), 0o600))
	code, out, errs := run("fix", "trail", list)
	require.Equal(t, ExitDone, code, errs)
	out = strings.Join(strings.Fields(out), " ")
	assert.Regexp(t, `another wheel( \+ spacers)? \(late shift \d+ %, was \d+ %\)`, out)
	assert.Regexp(t, `The chance of a late shift rises from \d+ % to \d+ %\.`, out)
	assert.NotRegexp(t, `[\d ]spacers \(late shift`, strings.ReplaceAll(out, "+ spacers", "+spacers"))
}
