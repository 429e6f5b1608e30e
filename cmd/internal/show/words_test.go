package show

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cmd/internal/say"
	"chainpath/sim"
)

// The least chance that a level has, and the colours of levels; the words are package say's.
func TestLevelsHaveColours(t *testing.T) {
	assert.Equal(t, "\x1b[31m", colourOf(say.Probable, false))
	assert.Equal(t, "\x1b[1;33m", colourOf(say.Either, true))
	assert.Equal(t, "\x1b[36m", colourOf(say.Unlikely, false))
	assert.Empty(t, colourOf(say.Quiet, true))
	at := func(p float64) *float64 { return &p }
	assert.Equal(t, "not worked out", chanceWords(nil))
	assert.Equal(t, "50 of 100 bikes like this", chanceWords(at(0.5)))
	told := timeWords(map[string]float64{sim.Concern(0).String(): 0.005, sim.Concern(1).String(): 0.0049})
	assert.Equal(t, "; share of riding time with a fault: "+sim.Concern(0).Words()+" 0 %", told)
	assert.Empty(t, timeWords(nil))
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
