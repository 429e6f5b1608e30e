package show

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/sim"
)

// What chances are called, at both sides of every threshold; none is ever 0 or 1.
func TestWordsOfChances(t *testing.T) {
	for _, c := range []struct {
		p                    float64
		sure, mark, two, per string
	}{
		{0, "", " ", "<0.01", "1 %"},
		{0.00499, "", " ", "<0.01", "1 %"},
		{0.005, "", " ", "0.01", "1 %"},
		{0.01, "", " ", "0.01", "1 %"},
		{0.0999, "", " ", "0.10", "10 %"},
		{0.10, "unlikely", "~", "0.10", "10 %"},
		{0.3499, "unlikely", "~", "0.35", "35 %"},
		{0.35, "cannot tell", "?", "0.35", "35 %"},
		{0.6499, "cannot tell", "?", "0.65", "65 %"},
		{0.65, "likely", "!", "0.65", "65 %"},
		{0.99, "likely", "!", "0.99", "99 %"},
		{0.995, "likely", "!", "0.99", "99 %"}, // the nearest float64 is a little less
		{0.9951, "likely", "!", ">0.99", "99 %"},
		{1, "likely", "!", ">0.99", "99 %"},
	} {
		assert.Equal(t, c.sure, Sureness(c.p), c.p)
		assert.Equal(t, c.mark, markOf(c.p), c.p)
		assert.Equal(t, c.two, ChanceText(c.p), c.p)
		assert.Equal(t, c.per, percent(c.p), c.p)
	}
	at := func(p float64) *float64 { return &p }
	assert.Equal(t, "there is no such thing", chanceWords(nil, "x"))
	for p, want := range map[float64]string{0.0099: "below 0.01", 0.01: "0.01", 0.5: "0.50", 0.99: "0.99", 0.9901: "above 0.99"} {
		assert.Equal(t, want, chanceWords(at(p), ""), p)
		assert.Equal(t, want+", maybe", chanceWords(at(p), "maybe"), p)
	}
	assert.Equal(t, "\x1b[31m", colourOf("!", false))
	assert.Equal(t, "\x1b[1;33m", colourOf("?", true))
	assert.Equal(t, "\x1b[36m", colourOf("~", false))
	assert.Empty(t, colourOf(" ", true))
}

func TestWordsOfSizes(t *testing.T) {
	of := func(unit string) sim.Concern {
		return sim.Concerns(func(h *sim.Hazard) bool { return h.Unit == unit })[0]
	}
	for want, c := range map[string]struct {
		unit string
		size cases.Size
	}{
		"0.5° past the edge (-1.2 to +2)":      {"deg", cases.Size{-1.2, 0.5, 2}},
		"0.5° short of the edge (-2 to -0.1)":  {"deg", cases.Size{-2, -0.5, -0.1}},
		"1.3 mm past the edge (+0.25 to +2.1)": {"mm", cases.Size{0.25, 1.26, 2.1}},
		"0 mm past the edge (-1 to +1)":        {"mm", cases.Size{-1, 0, 1}},
	} {
		assert.Equal(t, want, byHow(of(c.unit), c.size))
	}
	meets := sim.Concerns(func(h *sim.Hazard) bool { return h.Meets })[0]
	other := sim.Concerns(func(h *sim.Hazard) bool { return !h.Meets })[0]
	for _, c := range []struct {
		k    sim.Concern
		sure string
		size cases.Size
		want string
	}{
		{meets, "unlikely", cases.Size{-1, 0, 1}, "close"},
		{meets, "cannot tell", cases.Size{-1, 0, 1}, "close"},
		{meets, "likely", cases.Size{-1, 0, 1}, "likely"},
		{meets, "unlikely", cases.Size{0, 0.5, 1}, "unlikely"},
		{meets, "unlikely", cases.Size{-1, -0.5, 0}, "unlikely"},
		{other, "unlikely", cases.Size{-1, 0, 1}, "unlikely"},
	} {
		assert.Equal(t, c.want, closely(c.k, c.sure, c.size), "%+v", c)
	}
	assert.Equal(t, "0.50 °", amount(-0.5, "deg"))
	assert.Equal(t, "0.50 mm", amount(0.5, "mm"))
	assert.Equal(t, "3.00 N", amount(3, "n"))
	assert.Empty(t, tempered(1))
	assert.Equal(t, ", what was seen counted by the power of 0.25 to keep it there", tempered(0.25))
}

func TestSmallWords(t *testing.T) {
	assert.Equal(t, "the front lies 1.2 mm outboard", difference(1.24))
	assert.Equal(t, "the front lies 1.2 mm inboard", difference(-1.24))
	for _, d := range []float64{0, 0.05, -0.05} {
		assert.Equal(t, "the front lies in the rear line", difference(d))
	}
	assert.Equal(t, "the front lies 0.1 mm outboard", difference(0.051))
	assert.Equal(t, "the front lies 0.1 mm inboard", difference(-0.051))
	for n, want := range map[int]string{0: "", 1: "a", 2: "a or b", 3: "a, b or c"} {
		assert.Equal(t, want, orList([]string{"a", "b", "c"}[:n]))
	}
	assert.Empty(t, capital(""))
	assert.Equal(t, "Off", capital("off"))
	assert.Equal(t, "off", lower("Off"))
	for _, c := range []struct {
		a, b [2]int
		want bool
	}{{[2]int{0, 1}, [2]int{1, 0}, true}, {[2]int{1, 0}, [2]int{0, 1}, false}, {[2]int{1, 0}, [2]int{1, 1}, true}, {[2]int{1, 1}, [2]int{1, 1}, false}, {[2]int{1, 2}, [2]int{1, 1}, false}} {
		assert.Equal(t, c.want, before(c.a, c.b), "%v %v", c.a, c.b)
	}
	assert.Empty(t, brakeCaution(sim.Freewheel))
	assert.Contains(t, brakeCaution(sim.Fixed), "Keep another brake")
	for want, n := range map[string][2]int{
		"More trouble than any of 12 known good bicycles with a derailleur.":    {12, 0},
		"More trouble than 5 of 12 known good bicycles with a derailleur.":      {5, 7},
		"More trouble than 1 of 12 known good bicycles with a derailleur.":      {1, 11},
		"No more trouble than any of 12 known good bicycles with a derailleur.": {0, 12},
	} {
		assert.Equal(t, want, usualWords(n[0], n[1], true))
		assert.Equal(t, strings.Replace(want, "with a derailleur", "without a tensioner", 1), usualWords(n[0], n[1], false))
	}
	told := timeWords(map[string]float64{sim.Concern(0).String(): 0.005, sim.Concern(1).String(): 0.0049})
	assert.Equal(t, "; of the time in gears that have it, by chances: "+sim.Concern(0).Words()+" 0 %", told)
	assert.Empty(t, timeWords(nil))
}

func TestWidthsOfShifting(t *testing.T) {
	turn := 0.4
	assert.Equal(t, "1.2 mm", (&Shifting{}).mm(1.2))
	assert.Equal(t, "1.2 mm (3.0 turns of the adjuster)", (&Shifting{Turn: &turn}).mm(1.2))
}

func TestNumbersInMachineOutput(t *testing.T) {
	assert.Equal(t, 1.234568, round(1.2345678))
	assert.Equal(t, -1.234568, round(-1.2345678))
	assert.False(t, math.Signbit(round(-1e-9)), "no negative zero")
	assert.Equal(t, 180.0, deg(math.Pi))
	assert.Nil(t, optional(false, 1))
	assert.Equal(t, 1.5, *optional(true, 1.5))
	assert.Empty(t, num(nil))
	assert.Equal(t, "0.000001", num(optional(true, 1e-6)))
	for cell, want := range map[string]string{"": "", "-5": "-5", "+1e3": "+1e3", "-a": "'-a", "=1": "'=1", "@x": "'@x", "\tx": "'\tx", "\rx": "'\rx", "a=": "a="} {
		assert.Equal(t, want, harmless(cell), cell)
	}
	gaps := func(a, b float64) [2]sim.Gap { return [2]sim.Gap{{Valid: true, MM: a}, {Valid: true, MM: b}} }
	assert.Equal(t, 1.0, least(gaps(1, 2)).MM)
	assert.Equal(t, 1.0, least(gaps(2, 1)).MM)
	assert.Equal(t, 2.0, least([2]sim.Gap{{Valid: true, MM: 2}, {MM: 1}}).MM, "there is none that way")
	assert.Equal(t, 1.0, nearer(gaps(2, 1)).MM)
	assert.Equal(t, 1.0, nearer(gaps(1, 2)).MM)
	assert.Equal(t, 0.3, share(0.30001))
	assert.Equal(t, 0.3001, share(0.30005))
	for x, want := range map[float64]string{1: "1", 1.2345678: "1.234568", math.NaN(): "", math.Inf(1): "", math.Inf(-1): ""} {
		assert.Equal(t, want, string(appendNumber(nil, x)))
	}
	assert.Empty(t, appendExtreme(nil, &sim.Extreme{Value: 3}, 1))
	assert.Equal(t, "6", string(appendExtreme(nil, &sim.Extreme{Value: 3, Valid: true}, 2)))
	assert.Equal(t, "30 of 120 designs (25 %), 2 a second, 0:00:45 left", Progress(30, 120, 2))
	assert.Equal(t, "0 of 7400 designs (0 %), 1 a second, 2:03:20 left", Progress(0, 7400, 1))
	assert.Equal(t, "0 of 0 designs (0 %), 0 a second, ? left", Progress(0, 0, 0))
}

// A design that cannot be has its number, its values and why; all else is empty in CSV, and
// in JSON "" for words and null for numbers.
func TestRowOfADesignThatCannotBe(t *testing.T) {
	row := &SweepRow{Design: 7, Values: []float64{48.5}, Status: `no "place", yet`}
	csv := NewSweepFormat([]string{"front_line_mm"}, SweepColumns{}, false)
	text := string(csv.Append(nil, row))
	names := csv.Names()
	assert.Equal(t, `7,48.5,"no ""place"", yet"`+strings.Repeat(",", len(names)-3)+"\n", text)
	json := NewSweepFormat([]string{"front_line_mm"}, SweepColumns{}, true)
	want := `{"design":7,"front_line_mm":48.5,"status":"no \"place\", yet"`
	for i := range json.columns[3:] {
		c := &json.columns[3+i]
		if want += `,"` + c.name + `":null`; c.text {
			want = strings.TrimSuffix(want, "null") + `""`
		}
	}
	assert.Equal(t, want+"}\n", string(json.Append(nil, row)))
	row.Status = "too short"
	require.Contains(t, string(csv.Append(nil, row)), "7,48.5,too short,")
	require.Contains(t, string(json.Append(nil, row)), `"status":"too short",`)
}
