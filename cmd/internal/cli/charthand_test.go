package cli

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/plots"
)

// handRows are rows of two varied numbers and a result that one design has not.
func handRows() *table {
	return &table{names: []string{"design", "a", "b", "status", "z", "w"}, vary: 2, x: [][]float64{
		{0, 1, 2, 3}, {1, 1, 2, 2}, {5, 6, 5, 6}, {math.NaN(), math.NaN(), math.NaN(), math.NaN()}, {10, math.NaN(), 30, 40}, {4, 3, 2, 1}}}
}

// The region of a chart holds what is at a bound itself, all bounds at once, and nothing that is not there.
func TestRegionByHand(t *testing.T) {
	for _, c := range []struct {
		feasible []string
		want     []bool
	}{
		{[]string{"z>=30"}, []bool{false, false, true, true}},
		{[]string{"z<=30"}, []bool{true, false, true, false}},
		{[]string{"z>=10", "w<=2"}, []bool{false, false, true, true}},
		{[]string{"w>=2", "w<=3"}, []bool{false, true, true, false}},
		{nil, nil},
	} {
		var g plots.Chart
		o := &chartOptions{feasible: c.feasible}
		require.NoError(t, o.region(handRows(), &g))
		assert.Equal(t, c.want, g.Feasible, "%v", c.feasible)
	}
	var g plots.Chart
	require.NoError(t, (&chartOptions{feasible: []string{"z>=10", "w<=2"}}).region(handRows(), &g))
	assert.Equal(t, "z>=10 and w<=2", g.Said)
}

// A level of a map is drawn from the least result to the greatest, of any of the results; one beyond is
// refused. Over one number a line across shows where it lies.
func TestLevelsThatAreReached(t *testing.T) {
	for level, want := range map[float64]string{10: "", 40: "", 25: "", 9.99: "--level 9.99: no design reaches it, z goes from 10 to 40", 40.01: "z goes from 10 to 40"} {
		o := &chartOptions{x: "a", y: "b", z: []string{"z"}, levels: []float64{30, level}}
		err := o.drawable(handRows())
		if want == "" {
			assert.NoError(t, err, "%g", level)
		} else {
			assert.ErrorContains(t, err, want)
		}
		o.y = ""
		assert.NoError(t, o.drawable(handRows()), "%g", level)
	}
	o := &chartOptions{x: "a", y: "b", z: []string{"z", "w"}, levels: []float64{2}}
	assert.NoError(t, o.drawable(handRows()), "the second result reaches it")
	o.z = []string{"w", "z"}
	assert.NoError(t, o.drawable(handRows()))
}

// What a number does is told by the designs that have a result.
func TestSharesOfWhatThereIs(t *testing.T) {
	d, err := (&chartOptions{effects: "z"}).shares(handRows(), "folder/rows.csv")
	require.NoError(t, err)
	assert.Equal(t, 3, d.Designs)
	d, err = (&chartOptions{effects: "w"}).shares(handRows(), "rows.csv")
	require.NoError(t, err)
	assert.Equal(t, 4, d.Designs)
	require.Len(t, d.Rows(), 3, "a, b and both")
}

// Of torque, tension and power one is taken, and what else a rider does stays; a cadence alone goes
// beside the case's own load.
func TestLoadOfFlags(t *testing.T) {
	base := func() *cases.Case {
		c, err := cases.Load("trail", nil)
		require.NoError(t, err)
		c.Load.Torque, c.Load.FreehubDrag, c.Load.Cadence = cases.Q(50), cases.Q(0.2), cases.Q(80)
		return c
	}
	for _, x := range []struct {
		l                               loadFlags
		torque, tension, power, cadence float64
		problem                         string
	}{
		{loadFlags{}, 50, 0, 0, 80, ""},
		{loadFlags{cadence: "90"}, 50, 0, 0, 90, ""},
		{loadFlags{torque: "0"}, 0, 0, 0, 80, ""},
		{loadFlags{torque: "400"}, 400, 0, 0, 80, ""},
		{loadFlags{torque: "400.1"}, 0, 0, 0, 0, "--torque: 400.1 is out of range, want 0 to 400"},
		{loadFlags{torque: "399 ± 2"}, 0, 0, 0, 0, "--torque: 399 ± 2 reaches out of range, want 0 to 400"},
		{loadFlags{torque: "1 ± 1"}, 1, 0, 0, 80, ""},
		{loadFlags{tension: "6000"}, 0, 6000, 0, 80, ""},
		{loadFlags{power: "200", cadence: "10"}, 0, 0, 200, 10, ""},
		{loadFlags{power: "200", cadence: "9.9"}, 0, 0, 0, 0, "--cadence: 9.9 is out of range, want 10 to 200"},
		{loadFlags{power: "200"}, 0, 0, 0, 0, "--power without --cadence"},
		{loadFlags{torque: "3", tension: "3"}, 0, 0, 0, 0, "more than one of --torque, --tension and --power"},
		{loadFlags{torque: "3", power: "3", cadence: "60"}, 0, 0, 0, 0, "more than one of"},
	} {
		c := base()
		err := x.l.apply(c)
		if x.problem != "" {
			assert.ErrorContains(t, err, x.problem)
			continue
		}
		require.NoError(t, err)
		l := &c.Load
		assert.Equal(t, [4]float64{x.torque, x.tension, x.power, x.cadence}, [4]float64{l.Torque.Value, l.Tension.Value, l.Power.Value, l.Cadence.Value}, "%+v", x.l)
		assert.Equal(t, 0.2, l.FreehubDrag.Value)
	}
}
