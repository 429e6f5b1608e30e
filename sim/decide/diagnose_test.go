package decide

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/budget"
)

func diagnose(t *testing.T, front float64, in []budget.Input, s Symptom) Finding {
	t.Helper()
	in = append([]budget.Input(nil), in...)
	in[0].Value = front
	f, err := Diagnose(maker, in, 112, []Symptom{s})
	require.NoError(t, err)
	require.Len(t, f, 1)
	return f[0]
}

func cogs(i ...int) map[[2]int]bool {
	m := map[[2]int]bool{}
	for _, k := range i {
		m[[2]int{0, k}] = true
	}
	return m
}

func TestDropOnTheLargestCogIsExplainedByClimbing(t *testing.T) {
	f := diagnose(t, 60, inputs, Symptom{Drop, sim.Backwards, cogs(4)})
	require.NotEmpty(t, f.Explained)
	c := f.Explained[0]
	assert.Equal(t, Risk{sim.ToClimb, sim.Backwards}, c.Risk)
	assert.Equal(t, [][2]int{{0, 4}}, c.Explains)
	assert.Less(t, c.Nearest.Value, 0.0)
	assert.Empty(t, f.Moves)
}

func TestSymptomNothingExplains(t *testing.T) {
	exact := append([]budget.Input(nil), inputs...)
	for i := range exact {
		exact[i].U /= 1000
	}
	f := diagnose(t, 48, exact, Symptom{Drop, sim.Riding, cogs(2)})
	assert.Empty(t, f.Explained)
	assert.NotEmpty(t, f.Contradicted)
	assert.Empty(t, f.Moves)

	f = diagnose(t, 48, exact, Symptom{Skips, sim.Riding, cogs(2)})
	assert.Empty(t, f.Explained)
	assert.Empty(t, f.Contradicted, "nothing modelled skips")
}

// A margin that is positive by less than its uncertainty: the input that would
// turn it is named, and turned by that much it does.
func TestInputWithinItsUncertaintyExplains(t *testing.T) {
	s := Symptom{Noise, sim.Riding, cogs(4)}
	front := 0.0
	for front = 40; front < 50; front += 0.1 { // the last line at which the largest cog is just quiet
		if f := diagnose(t, front+0.1, inputs, s); len(f.Explained) > 0 {
			break
		}
	}
	f := diagnose(t, front-0.3, inputs, s)
	require.Empty(t, f.Explained)
	require.NotEmpty(t, f.Moves)
	m := f.Moves[0]
	assert.Equal(t, "front", m.Input.Name)
	assert.LessOrEqual(t, m.Sigmas, 2.0)
	moved := diagnose(t, front-0.3+m.By*1.02, inputs, s)
	assert.NotEmpty(t, moved.Explained)
	assert.NotEmpty(t, f.Measure)
	assert.Equal(t, "front", f.Measure[0].Input.Name)
}

// Causes by hand, from margins of five gears: where each explains, misses and shows elsewhere, the nearest of
// the gears with the symptom, the order of those that explain, and what there is none of. A margin of zero is
// none that is wrong; tyre, stay and closing hold in both directions.
func TestCausesByHand(t *testing.T) {
	quiet, cog, ring := Risk{sim.ToQuiet, sim.Riding}, Risk{sim.ToCog, sim.Riding}, Risk{sim.ToRing, sim.Riding}
	tyre, back, slack := Risk{sim.ToTyre, sim.Riding}, Risk{sim.ToQuiet, sim.Backwards}, Risk{sim.ToSlack, sim.Backwards}
	climb, closing := Risk{sim.ToClimb, sim.Riding}, Risk{sim.ToClose, sim.Riding}
	gears := func(i ...int) (out [][2]int) {
		for _, k := range i {
			out = append(out, [2]int{0, k})
		}
		return out
	}
	type cause struct {
		risk                         Risk
		explains, missing, elsewhere [][2]int
		nearest                      float64
		at                           int
	}
	for name, c := range map[string]struct {
		margins      map[Risk][5]float64
		symptom      Symptom
		explained    []cause
		contradicted []cause
		measured     int // the gear whose margin decides, -1: none
		of           Risk
	}{
		"the better fit first": {
			map[Risk][5]float64{quiet: {-1, 2, -3, 4, none}, cog: {-1, -2, 5, 5, 5}, back: {-9, -9, -9, -9, -9}},
			Symptom{Noise, sim.Riding, cogs(0, 1)},
			[]cause{{cog, gears(0, 1), nil, nil, -2, 1}, {quiet, gears(0), gears(1), gears(2), -1, 0}}, nil, 0, quiet,
		},
		"alike, in their order": {
			map[Risk][5]float64{quiet: {-1, 1, 1, 1, 1}, ring: {-2, 1, 1, 1, 1}, cog: {0, 1, 1, 1, 1}},
			Symptom{Noise, sim.Riding, cogs(0)},
			[]cause{{quiet, gears(0), nil, nil, -1, 0}, {ring, gears(0), nil, nil, -2, 0}},
			[]cause{{cog, nil, gears(0), nil, 0, 0}}, 0, quiet,
		},
		"the first that explains is measured": {
			map[Risk][5]float64{quiet: {3, 2, 1, -1, 5}, cog: {4, -0.5, 4, 4, 4}},
			Symptom{Noise, sim.Riding, cogs(1, 2)},
			[]cause{{cog, gears(1), gears(2), nil, -0.5, 1}},
			[]cause{{quiet, nil, gears(1, 2), gears(3), 1, 2}}, 1, cog,
		},
		"backwards the slack run": {
			map[Risk][5]float64{back: {2, 2, 2, 2, 2}, slack: {none, none, -4, -5, none}},
			Symptom{Noise, sim.Backwards, cogs(3)},
			[]cause{{slack, gears(3), nil, gears(2), -5, 3}},
			[]cause{{back, nil, gears(3), nil, 2, 3}}, 3, slack,
		},
		"a tyre's mark, whichever way": {
			map[Risk][5]float64{tyre: {-1, -1, 0, 2, 3}},
			Symptom{TyreMark, sim.Backwards, cogs(0, 1)},
			[]cause{{tyre, gears(0, 1), nil, nil, -1, 0}}, nil, 0, tyre,
		},
		"a chain that cannot close": {
			map[Risk][5]float64{closing: {2, 2, 2, 2, -7}, climb: {-1, -1, -1, -1, -1}},
			Symptom{Drop, sim.Backwards, cogs(4)},
			[]cause{{closing, gears(4), nil, nil, -7, 4}}, nil, 4, closing,
		},
		"nothing there": {
			map[Risk][5]float64{quiet: {-1, -1, -1, -1, -1}},
			Symptom{StayMark, sim.Riding, cogs(0)}, nil, nil, -1, quiet,
		},
	} {
		d := &diagnosis{bike: bike(), links: 112, maker: maker(), in: inputs, now: map[[2]int][]float64{}}
		number := func(r Risk) int { return slices.Index(Risks, r) }
		for g := range 5 {
			o := make([]float64, len(Risks))
			for k, r := range Risks {
				o[k] = none
				if v, ok := c.margins[r]; ok {
					o[k] = v[g]
				}
			}
			d.now[[2]int{0, g}] = o
		}
		f, err := d.find(c.symptom)
		require.NoError(t, err, name)
		told := func(list []Cause) (out []cause) {
			for _, x := range list {
				assert.Equal(t, [2]any{x.Risk.Kind, x.Risk.Direction}, [2]any{x.Nearest.Kind, x.Nearest.Direction}, name)
				out = append(out, cause{x.Risk, x.Explains, x.Missing, x.Elsewhere, x.Nearest.Value, x.Nearest.Cog})
			}
			return out
		}
		assert.Equal(t, c.explained, told(f.Explained), name)
		assert.Equal(t, c.contradicted, told(f.Contradicted), name)
		if c.measured < 0 {
			assert.Empty(t, f.Measure, name)
			continue
		}
		all, err := d.budgets([2]int{0, c.measured})
		require.NoError(t, err, name)
		require.Len(t, f.Measure, len(all[number(c.of)].Shares), name)
		for i, s := range all[number(c.of)].Shares {
			assert.Equal(t, InputShare{Input: inputs[s.Input], OnDoubt: s.Fraction}, f.Measure[i], name)
		}
	}
}

// What would explain a symptom that nothing does: each input moved by its margin over its sensitivity, where
// that is at most two standard uncertainties; the smallest move first.
func TestMovesByHand(t *testing.T) {
	quiet := slices.Index(Risks, Risk{sim.ToQuiet, sim.Riding})
	d := &diagnosis{bike: bike(), links: 112, maker: maker(), in: inputs}
	all, err := d.budgets([2]int{0, 4})
	require.NoError(t, err)
	front := 0.0
	for _, s := range all[quiet].Shares {
		if inputs[s.Input].Name == "front" {
			front = s.Sensitivity
		}
	}
	require.NotZero(t, front)
	for sigmas, told := range map[float64]bool{0.5: true, 1.99: true, 2.01: false, -1: true} {
		v := math.Abs(sigmas * 0.4 * front) // the front line's uncertainty is 0.4 mm
		f := Finding{Contradicted: []Cause{{Risk: Risks[quiet], Nearest: sim.Margin{Value: v, Cog: 4}},
			{Risk: Risks[quiet], Nearest: sim.Margin{Value: none, Cog: 4}}, {Risk: Risks[quiet], Nearest: sim.Margin{Value: math.Inf(1)}}}}
		require.NoError(t, d.moves(&f))
		found := false
		for i, m := range f.Moves {
			assert.LessOrEqual(t, m.Sigmas, 2.0)
			assert.InDelta(t, m.Sigmas, math.Abs(m.By)/m.Input.U, 1e-12)
			assert.Equal(t, Risks[quiet], m.Risk)
			assert.Equal(t, [2]int{0, 4}, m.Gear)
			assert.True(t, i == 0 || f.Moves[i-1].Sigmas <= m.Sigmas)
			if m.Input.Name == "front" {
				found = true
				assert.InDelta(t, -v/front, m.By, 1e-9)
				assert.InDelta(t, math.Abs(sigmas), m.Sigmas, 1e-9)
			}
		}
		assert.Equal(t, told, found, "%g", sigmas)
	}
}
