package cases

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const swept = `chainpath: 1
title: to sweep
speeds: 12
frame: {stay: 435}
front: {line: 50, rings: [32]}
rear: {line: 47.5, cogs: [10, 12, 14, 16, 18, 21, 24, 28, 32, 38, 44, 51]}
tensioner: {}
chainstay: {gap: 6, angle: 4}
`

func sweepOf(t *testing.T, plan string) (*Sweep, error) {
	p, err := ParseSweep("plan.yaml", []byte("chainpath_sweep: 1\n"+plan))
	require.NoError(t, err, plan)
	return p.For(mustParse(t, swept))
}

// A grid goes through every pair of values, the last fastest; a field that follows is factor
// times it and an offset; the chainstay stays where it was measured.
func TestDesignsOfAPlan(t *testing.T) {
	s, err := sweepOf(t, `vary:
  - {path: front.line, from: 48, to: 5 cm, step: 1 mm}
  - {path: "front.rings[0]", values: ["30", "34"]}
linked: [{path: frame.stay, follows: front.line, factor: 2, offset: 330}, {path: rear.line, follows: front.line}]
where: [{of: front.line, at_least: 48.5}, {of: stay_mm, at_most: 3}]
`)
	require.NoError(t, err)
	assert.Equal(t, []string{"front_line_mm", "front_rings_0"}, s.Columns)
	assert.Equal(t, "front_line_mm", s.Bounds[0].Of)
	assert.Equal(t, "stay_mm", s.Bounds[1].Of)
	require.Equal(t, 6, s.Plan.Designs())
	base, err := s.base.Bike()
	require.NoError(t, err)
	d := s.Designer()
	x := make([]float64, 2)
	for i, want := range [][2]float64{{48, 30}, {48, 34}, {49, 30}, {49, 34}, {50, 30}, {50, 34}} {
		s.Plan.Design(x, i)
		b, err := d.Bike(x)
		require.NoError(t, err)
		assert.Equal(t, want[0], b.Rings[0].Line)
		assert.Equal(t, int(want[1]), b.Rings[0].Teeth)
		assert.InDelta(t, 2*want[0]+330, b.Frame.Stay, 1e-9)
		assert.InDelta(t, want[0], b.RearLine(), 1e-9)
		assert.Equal(t, base.Stay, b.Stay)
	}
	assert.Equal(t, 50.0, s.base.Front.Line.Value, "the case is left alone")
	// A stay that is varied is none that stays.
	s, err = sweepOf(t, "vary: [{path: chainstay.gap, values: [4, 8]}]\n")
	require.NoError(t, err)
	d = s.Designer()
	low, err := d.Bike([]float64{4})
	require.NoError(t, err)
	face := low.Stay.Face
	high, err := d.Bike([]float64{8})
	require.NoError(t, err)
	assert.InDelta(t, face-4, high.Stay.Face, 1e-9)
	// Samples have a seed and a count.
	s, err = sweepOf(t, "vary: [{path: front.line, from: 48, to: 52}]\nsample: {method: sobol, count: 9, seed: 3}\n")
	require.NoError(t, err)
	assert.Equal(t, 9, s.Plan.Designs())
	assert.Equal(t, uint64(3), s.Plan.Seed)
}

// Designs that cannot be say why, without file and line.
func TestDesignsThatCannotBe(t *testing.T) {
	s, err := sweepOf(t, `vary: [{path: front.line, values: [48, 50]}]
linked: [{path: frame.stay, follows: front.line, factor: 10, offset: 1500}]
`)
	require.NoError(t, err)
	_, err = s.Designer().Bike([]float64{50})
	assert.NoError(t, err, "2000 mm is the end of what may be")
	_, err = s.Designer().Bike([]float64{50.1})
	assert.EqualError(t, err, "frame.stay becomes 2001, want 200 to 2000")
	_, err = s.Designer().Bike([]float64{-130.1})
	assert.EqualError(t, err, "frame.stay becomes 199, want 200 to 2000")
	s, err = sweepOf(t, `vary: [{path: front.line, values: [48, 50]}]
linked: [{path: "front.rings[0]", follows: front.line, factor: 0.5}]
`)
	require.NoError(t, err)
	b, err := s.Designer().Bike([]float64{50})
	require.NoError(t, err)
	assert.Equal(t, 25, b.Rings[0].Teeth)
	_, err = s.Designer().Bike([]float64{49})
	assert.EqualError(t, err, "front.rings[0] becomes 24.5, want a whole number")
	s, err = sweepOf(t, "vary: [{path: \"rear.cogs[0]\", values: [\"10\", \"13\"]}]\n")
	require.NoError(t, err)
	_, err = s.Designer().Bike([]float64{13})
	require.Error(t, err)
	assert.NotContains(t, err.Error(), "bike.yaml")
	assert.Contains(t, err.Error(), "cogs")
}

// Every mistake of a plan is told with its place, field, value and what is allowed.
func TestPlanMistakes(t *testing.T) {
	for plan, want := range map[string]string{
		"vary: [{path: front.lin, from: 1, to: 2, step: 1}]":                                                                   `vary[0].path: no number "front.lin" in the case, did you mean "front.line"?`,
		"vary: [{path: title, values: [a]}]":                                                                                   "vary[0].path: title names the bike and changes no number",
		"vary: [{path: front.form, values: [plain]}]":                                                                          `vary[0].path: no number "front.form"`,
		"vary: [{path: front.line, values: [50], from: 48}]":                                                                   "vary[0].values: given beside from, to or step, want one of the two",
		"vary: [{path: front.line, values: [50], to: 48}]":                                                                     "given beside from, to or step",
		"vary: [{path: front.line, values: [50], step: 1}]":                                                                    "given beside from, to or step",
		"vary: [{path: front.line, from: 48}]":                                                                                 "vary[0]: front.line: neither values nor from and to, want one of the two",
		"vary: [{path: front.line, to: 48}]":                                                                                   "neither values nor from and to",
		"vary: [{path: front.line, from: -0.1, to: 48, step: 1}]":                                                              "vary[0].from: -0.1 mm of front.line is out of range, want 0 mm to 300 mm",
		"vary: [{path: front.line, from: 48, to: 300.1, step: 1}]":                                                             "vary[0].to: 300.1 mm of front.line is out of range",
		"vary: [{path: front.line, values: [50, 301]}]":                                                                        "vary[0].values[1]: 301 mm of front.line is out of range",
		"vary: [{path: front.line, from: 48, to: 50, step: 1 ± 0.1}]":                                                          `vary[0].step: "1 ± 0.1" of front.line, want a number alone: designs have no tolerance`,
		"vary: [{path: front.line, values: [50 (caliper)]}]":                                                                   "want a number alone: designs have no tolerance",
		"vary: [{path: front.line, values: [x]}]":                                                                              `vary[0].values[0]: "x" is not a length`,
		"vary: [{path: front.line, from: 50, to: 48, step: 1}]":                                                                "vary: front.line from 50 to 48, want them finite and in order",
		"vary: [{path: front.line, from: 48, to: 50}]":                                                                         "vary: front.line in steps of 0, want more than 0",
		"vary: [{path: front.line, from: 48, to: 50, step: -1}]":                                                               "in steps of -1, want more than 0",
		"vary: [{path: \"front.rings[0]\", from: 30, to: 34}]":                                                                 "vary[0]: front.rings[0] is a whole number: want a step, or values",
		"vary: [{path: \"front.rings[0]\", values: [30.5]}]":                                                                   `vary[0].values[0]: "30.5" is not a whole number`,
		"vary: [{path: \"front.rings[1]\", values: [30]}]":                                                                     `no number "front.rings[1]"`,
		"vary: [{path: front.line, values: [50]}, {path: front.line, values: [51]}]":                                           `vary[1].path: "front.line" is given twice`,
		"vary: [{path: front.line, values: [50]}]\nlinked: [{path: front.line, follows: front.line}]":                          `linked[0].path: "front.line" is given twice`,
		"vary: [{path: front.line, values: [50]}]\nlinked: [{path: rear.line, follows: frame.stay}]":                           `linked[0].follows: "frame.stay" is not varied`,
		"vary: [{path: front.line, values: [50]}]\nlinked: [{path: rear.line, follows: front.line, offset: x}]":                `linked[0].offset: "x" is not a length`,
		"vary: [{path: front.line, values: [50]}]\nlinked: [{path: symptoms, follows: front.line}]":                            "linked[0].path: symptoms is what was seen, for diagnose",
		"vary: [{path: front.line, from: 48, to: 52, step: 0.00000000001}, {path: frame.stay, from: 400, to: 450, step: 0.1}]": "designs, want at most",
	} {
		_, err := sweepOf(t, plan+"\n")
		var e *Error
		if assert.ErrorAs(t, err, &e, plan) {
			assert.Equal(t, "plan.yaml", e.File)
			assert.Contains(t, err.Error(), want)
		}
	}
	for _, plan := range []string{
		"vary: [{path: front.line, from: 0, to: 300, step: 10}]", "vary: [{path: front.line, from: 48, to: 48, step: 10}]",
		"vary: [{path: \"front.rings[0]\", from: 30, to: 34, step: 2}]", "vary: [{path: chain.slack, values: [0.6°, 0.02 rad]}]",
	} {
		_, err := sweepOf(t, plan+"\n")
		assert.NoError(t, err, plan)
	}
}

// The flag's three ways to say what is varied.
func TestVaryFlag(t *testing.T) {
	for text, want := range map[string]Vary{
		"front.line=46:56:0.25": {Path: "front.line", From: "46", To: "56", Step: "0.25"},
		"front.line=46:56":      {Path: "front.line", From: "46", To: "56"},
		"front.line=46,48 mm":   {Path: "front.line", Values: []string{"46", "48 mm"}},
		"front.line=46":         {Path: "front.line", Values: []string{"46"}},
	} {
		got, err := VaryFlag(text)
		require.NoError(t, err)
		assert.Equal(t, want, got)
	}
	for _, text := range []string{"", "front.line", "=46", "front.line=", "front.line=1:2:3:4"} {
		_, err := VaryFlag(text)
		assert.Error(t, err, text)
	}
}

// What a plan is known by: every number of case and plan that decides rows, none that does not.
func TestFactsOfAPlan(t *testing.T) {
	s, err := sweepOf(t, `vary: [{path: front.line, from: 48, to: 50, step: 0.5}, {path: frame.stay, values: [430, 440]}]
linked: [{path: rear.line, follows: front.line, factor: 0.5, offset: 22}]
where: [{of: front.line, at_least: 48.5, at_most: 49}]
`)
	require.NoError(t, err)
	c, plan := s.Facts()
	assert.Equal(t, map[string]string{
		"vary[0].path": "front.line", "vary[0].from": "48", "vary[0].to": "50", "vary[0].step": "0.5",
		"vary[1].path": "frame.stay", "vary[1].values[0]": "430", "vary[1].values[1]": "440",
		"linked[0].path": "rear.line", "linked[0].follows": "front.line", "linked[0].factor": "0.5", "linked[0].offset": "22",
		"where[0].of": "front_line_mm", "where[0].at_least": "48.5", "where[0].at_most": "49", "sample.method": "grid",
	}, plan)
	assert.Equal(t, "435", c["frame.stay"])
	assert.Equal(t, "51", c["rear.cogs[11]"])
	assert.NotContains(t, c, "title")
	s, err = sweepOf(t, "vary: [{path: front.line, from: 48, to: 52}]\nsample: {method: random, count: 9, seed: 3}\n")
	require.NoError(t, err)
	_, plan = s.Facts()
	assert.Equal(t, "random 9 3", plan["sample.method"]+" "+plan["sample.count"]+" "+plan["sample.seed"])
}

// Fields that can change no column are refused with the reason, those that do are not.
func TestReach(t *testing.T) {
	for path, want := range map[string]string{
		"front.line=48,50": "", "friction.pin=0.08,0.12": "without --loss", "chain.bevel=0.3,0.5": "with --no-chances", "friction.pin=0.1,0.1": "",
	} {
		v, err := VaryFlag(path)
		require.NoError(t, err)
		p := &SweepPlan{file: "plan.yaml", Vary: []Vary{v}}
		s, err := p.For(mustParse(t, swept))
		require.NoError(t, err)
		err = s.Reach(p, Reached{})
		if want == "" {
			assert.NoError(t, err, path)
		} else {
			assert.ErrorContains(t, err, want, path)
			assert.NoError(t, s.Reach(p, Reached{Losses: true, Chances: true}))
			assert.ErrorContains(t, s.Reach(p, Reached{Shifts: true}), want, path)
		}
	}
}

// Numbers of a case as given, worked out, and by default; ranges and what has none.
func TestNumbersOfACase(t *testing.T) {
	c := mustParse(t, swept)
	for path, want := range map[string]float64{"front.line": 50, "rear.line": 47.5, "frame.stay": 435, "front.rings[0]": 32, "rear.cogs[11]": 51, "chainstay.gap": 6} {
		got, err := c.Number(path)
		require.NoError(t, err, path)
		assert.Equal(t, want, got, path)
	}
	slack, err := c.Number("chain.slack")
	require.NoError(t, err)
	assert.Equal(t, defaultsFor(12)["chain.slack"], slack)
	for _, path := range []string{"title", "front.lin", "rear.cogs[12]", "rear.cogs[-1]", "rear.cogs[x]", "tyre.mud", "tyre.width"} {
		_, err := c.Number(path)
		if path == "tyre.mud" { // a default of a tyre that is not there
			continue
		}
		assert.Error(t, err, path)
	}
	lo, hi, unit, _, err := Bounds("front.rings[0]")
	if err == nil {
		assert.True(t, lo < hi && unit == "")
	}
	_, _, _, _, err = Bounds("front.lin")
	assert.ErrorContains(t, err, `no range of "front.lin"`)
}

// Whatever is uncertain of a case: given tolerances by their distribution, defaults by their
// half width (JCGM 100, 4.3.7: a/√3), and those alone that count.
func TestUncertainInputs(t *testing.T) {
	c := mustParse(t, `chainpath: 1
speeds: 12
front: {line: 50 ± 0.6, rings: [32]}
rear: {line: 47.5 ± 0.4 (caliper), cogs: [10, 51]}
tensioner: {}
tyre: {size: 57-622, width: [57.1, 57.3, 57.5]}
`)
	u, err := c.Uncertain()
	require.NoError(t, err)
	by := map[string]float64{}
	for _, in := range u.Inputs {
		by[in.Name] = in.U
		assert.True(t, in.Lo < in.Hi, in.Name)
		assert.True(t, in.Value >= in.Lo && in.Value <= in.Hi, in.Name)
	}
	assert.InDelta(t, 0.6/math.Sqrt(3), by["front.line"], 1e-12)
	assert.InDelta(t, 0.4/1.96, by["rear.line"], 0.005, "± holds 95 % of a normal distribution: 1.96, rounded to 2")
	assert.InDelta(t, math.Hypot(0.2/math.Sqrt(3), 0.1/math.Sqrt(3)), by["tyre.width"], 1e-9, "of the mean of three, typed to a tenth")
	assert.InDelta(t, stayWithin/math.Sqrt(3), by["frame.stay"], 1e-9)
	assert.Contains(t, by, "rear.cog_pitch")
	assert.NotContains(t, by, "front.ring_pitch", "a single ring")
	v := u.Vary()
	x := make([]float64, len(u.Inputs))
	for i, in := range u.Inputs {
		if x[i] = in.Value; in.Name == "front.line" {
			x[i] = 51.25
		}
	}
	b, err := v.Bike(x)
	require.NoError(t, err)
	assert.Equal(t, 51.25, b.Rings[0].Line)
	for i, in := range u.Inputs {
		if in.Name == "front.line" {
			x[i] = 400
		}
	}
	b, err = v.Bike(x)
	require.NoError(t, err)
	assert.Equal(t, 300.0, b.Rings[0].Line, "beyond its range counts as its end")
	assert.Equal(t, 50.0, c.Front.Line.Value)
}

// What a case says of tools, limits and riding is not a length that somebody measured.
func TestUncertainLeavesOutWhatIsSaidOfOtherThings(t *testing.T) {
	c, err := Load("trail", nil)
	require.NoError(t, err)
	before, err := c.Uncertain()
	require.NoError(t, err)
	told := Quantity{Value: 2, Spread: 0.1, Given: true}
	c.Riding.Ratio, c.Riding.Spread = told, told
	c.Limits.Quiet = told
	c.Spread.RunOut = told
	after, err := c.Uncertain()
	require.NoError(t, err)
	assert.Equal(t, before.Inputs, after.Inputs)
	require.NotEmpty(t, after.Inputs)
	for _, in := range after.Inputs {
		assert.NotRegexp(t, `^(instruments|tolerances|limits|riding)\.`, in.Name)
	}
}
