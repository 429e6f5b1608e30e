package decide

import (
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
