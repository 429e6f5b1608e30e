package cases

import (
	"math"
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
		{"90 rpm", "speed", 90, 0},
		{"80 1/min", "speed", 80, 0},
		{"0.6 kN", "force", 600, 0},
		{"2", "number", 2, 0},
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
		"":         `"" is not a length, want a number in mm, cm, ", in, m`,
		"wide":     `"wide" is not a length, want a number in mm, cm, ", in, m`,
		"53 kg":    `"53 kg": unit kg is not a length, want a number in mm, cm, ", in, m`,
		"53,5":     `"53,5" is not a length: write a decimal point, not a comma`,
		"053":      `"053": leading zero, write 53`,
		"1.2.3":    `"1.2.3" is not a length, want a number in mm, cm, ", in, m`,
		"1e999":    `"1e999": 1e999 is not a finite number`,
		"53 ± -1":  `"53 ± -1" is not a length, want a number in mm, cm, ", in, m`,
		"53 ± 0x2": `"53 ± 0x2" is not a length, want a number in mm, cm, ", in, m`,
		"NaN":      `"NaN" is not a length, want a number in mm, cm, ", in, m`,
		".nan":     `".nan" is not a length, want a number in mm, cm, ", in, m`,
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
		q := Quantity{Value: rapid.Float64Range(-1e4, 1e4).Draw(t, "value"), Given: true}
		if rapid.Bool().Draw(t, "tolerance") {
			q.Spread = rapid.Float64Range(0, 10).Draw(t, "spread")
		}
		back, err := ParseQuantity(q.String(), "length")
		require.NoError(t, err)
		assert.Equal(t, q, back)
	})
}

func FuzzParseQuantity(f *testing.F) {
	for _, s := range []string{"53", "17.1 in", "53 ± 0.5", "43.5 cm ± 1 mm", "010", "80 1/min", "-", "1e9", "±"} {
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
