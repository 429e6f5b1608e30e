package cases

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestParseQuantity(t *testing.T) {
	for _, c := range []struct {
		text, dim     string
		value, spread float64
	}{
		{"435", "length", 435, 0},
		{"17.1 in", "length", 434.34, 0},
		{`17.1"`, "length", 434.34, 0},
		{"43.5 cm", "length", 435, 0},
		{"0.435m", "length", 435, 0},
		{"53 ± 0.5", "length", 53, 0.5},
		{"53±0.5", "length", 53, 0.5},
		{"53 +/- 0.5", "length", 53, 0.5},
		{"53 +- 0.5 mm", "length", 53, 0.5},
		{"43.5 cm ± 1 mm", "length", 435, 1},
		{"43.5 cm ± 0.1", "length", 435, 1},
		{"43.5 ± 0.1 cm", "length", 435, 1},
		{"-2.5", "length", -2.5, 0},
		{"1e2", "length", 100, 0},
		{"0.5", "length", 0.5, 0},
		{"3°", "angle", 3, 0},
		{"0.1 rad", "angle", 18 / math.Pi, 0},
		{"40 N·m", "moment", 40, 0},
		{"40 Nm ± 5", "moment", 40, 5},
		{"1200 N·mm", "moment", 1.2, 0},
		{"10 N·m/rad", "rate", 10, 0},
		{"1 Nm/deg", "rate", 180 / math.Pi, 0},
		{"2 N·m/°", "rate", 360 / math.Pi, 0},
		{"90 rpm", "speed", 90, 0},
		{"80 1/min", "speed", 80, 0},
		{"0.6 kN", "force", 600, 0},
		{"2", "number", 2, 0},
		{"16 3/4 in", "length", 425.45, 0},
		{`16 3/4" ± 1/8`, "length", 425.45, 3.175},
		{"3/8 in", "length", 9.525, 0},
		{`17"`, "length", 431.8, 0},
		{"430±5", "length", 430, 5},
		{"~430", "length", 430, 0},
		{"~17 in ± 1/2 in", "length", 431.8, 12.7},
		{"53,5", "length", 53.5, 0},
		{"0,435 m", "length", 435, 0},
		{"53,5 ± 0,5", "length", 53.5, 0.5},
		{"16 3/4", "length", 425.45, 0},
		{"3/4", "length", 19.05, 0},
		{"148 (axle spacing)", "length", 144.5, 3.5},
		{"142 mm (axle)", "length", 138.5, 3.5},
		{"135 (axle name)", "length", 135, 1},
	} {
		q, err := ParseQuantity(c.text, c.dim)
		require.NoError(t, err, c.text)
		assert.InDelta(t, c.value, q.Value, 1e-9, c.text)
		assert.InDelta(t, c.spread, q.Spread, 1e-9, c.text)
		assert.True(t, q.Given)
	}
}

func TestParseQuantityRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"":                   `"" is not a length, want a number in mm, cm, ", in, m`,
		"wide":               `"wide" is not a length, want a number in mm, cm, ", in, m`,
		"46 or so":           `"46 or so": "or so" behind the number is no unit, want a number in mm, cm, ", in, m alone; a guess is ~46`,
		"53 kg":              `"53 kg": unit kg is not a length, want a number in mm, cm, ", in, m`,
		"1,053":              `"1,053" is not a length: it could be 1.053 or 1053, write one of them`,
		"1,053.5":            `"1,053.5" is not a length: write a decimal point, not a comma`,
		"16 3/4 mm":          `"16 3/4 mm": a fraction goes with inches, write 16 3/4 in`,
		"16 3/5 in":          `"16 3/5 in": 16 3/5 is no fraction of a ruler, want halves to 64ths such as 16 3/4`,
		"3/0 in":             `"3/0 in": 3/0 is no fraction of a ruler, want halves to 64ths such as 16 3/4`,
		"~48 (caliper)":      `"~48 (caliper)": ~ is a guess, (caliper) a reading, want one of the two`,
		"149 (axle spacing)": `"149 (axle spacing)": no axle spacing of that name, known are 110, 114, 120, 126, 130, 132.5, 135, 140, 141, 142, 145, 148, 150, 157, 160, 170, 177, 190, 197; else measure between the dropouts`,
		"148 ± 1 (axle)":     `"148 ± 1 (axle)": the name of an axle spacing has a range of its own, want no ±`,
		"053":                `"053": leading zero, write 53`,
		"1.2.3":              `"1.2.3" is not a length, want a number in mm, cm, ", in, m`,
		"1e999":              `"1e999": 1e999 is not a finite number`,
		"53 ± -1":            `"53 ± -1" is not a length, want a number in mm, cm, ", in, m`,
		"53 ± 0x2":           `"53 ± 0x2" is not a length, want a number in mm, cm, ", in, m`,
		"NaN":                `"NaN" is not a length, want a number in mm, cm, ", in, m`,
		".nan":               `".nan" is not a length, want a number in mm, cm, ", in, m`,
	} {
		_, err := ParseQuantity(text, "length")
		require.Error(t, err, text)
		if want != "" {
			assert.EqualError(t, err, want)
		}
	}
}

func TestQuantityReadsBackWhatItPrints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := strconv.FormatFloat(rapid.Float64Range(-1e4, 1e4).Draw(t, "value"), 'f', rapid.IntRange(0, 6).Draw(t, "decimals"), 64)
		if rapid.Bool().Draw(t, "inches") {
			text += " in"
		}
		if rapid.Bool().Draw(t, "tolerance") {
			text += " ± " + strconv.FormatFloat(rapid.Float64Range(0, 10).Draw(t, "spread"), 'f', 1, 64)
		}
		q, err := ParseQuantity(text, "length")
		require.NoError(t, err)
		back, err := ParseQuantity(q.String(), "length")
		require.NoError(t, err)
		a, ok, _ := AsInput("x", q)
		b, too, _ := AsInput("x", back)
		assert.Equal(t, ok, too)
		assert.InDelta(t, a.U, b.U, 1e-7*a.U+1e-12, "%s, %s", text, q)
		assert.Equal(t, a.Value, b.Value)
		assert.Equal(t, q.Exact, back.Exact)
	})
}

// However an instrument is written, it is the same one.
func TestInstrumentsAreReadAsTheTradeWritesThem(t *testing.T) {
	for text, want := range map[string]string{
		"48.6 (depth gauge)": "depth_gauge", "48.6 (depth_gauge)": "depth_gauge", "48.6 (Depth-Gauge)": "depth_gauge",
		"4.9 (feeler)": "feeler", "4.9 (feeler gauge)": "feeler", "430 (guess)": guessed, "~430": guessed,
		"430 (ruler)": "tape", "48.6 (calipers)": "caliper", "157 (axle spacing)": axleSpacing,
	} {
		q, err := ParseQuantity(text, "length")
		require.NoError(t, err, text)
		assert.Equal(t, want, q.Instrument, text)
		back, err := ParseQuantity(q.String(), "length")
		require.NoError(t, err, q.String())
		assert.Equal(t, q, back, text)
	}
}

// ± without a unit behind inches is in inches; what was read with an instrument says so.
func TestInchTolerancesAreTold(t *testing.T) {
	q, err := ParseQuantity(`17 ± 1/8" (tape)`, "length")
	require.NoError(t, err)
	assert.InDelta(t, 3.175, q.Spread, 1e-9)
	assert.False(t, q.InchSpread, "the unit stands behind ±")
	q, err = ParseQuantity(`17 in ± 0.5 (tape)`, "length")
	require.NoError(t, err)
	assert.InDelta(t, 12.7, q.Spread, 1e-9)
	assert.True(t, q.InchSpread)
}

func FuzzParseQuantity(f *testing.F) {
	for _, s := range []string{"53", "17.1 in", "53 ± 0.5", "43.5 cm ± 1 mm", "010", "80 1/min", "-", "1e9", "±", "16 3/4 in", "~430", "148 (axle spacing)"} {
		f.Add(s, "length")
	}
	f.Fuzz(func(t *testing.T, text, dim string) {
		if _, ok := dimensions[dim]; !ok {
			return
		}
		q, err := ParseQuantity(text, dim)
		if err != nil {
			return
		}
		for _, v := range []float64{q.Value, q.Spread} {
			assert.False(t, math.IsNaN(v) || math.IsInf(v, 0), text)
		}
		assert.GreaterOrEqual(t, q.Spread, 0.0)
	})
}
