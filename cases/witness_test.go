package cases

import (
	"encoding/json"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/budget"
	"chainpath/sim/learn"
)

// Counted tries and the deviates of readings beside SciPy's binomial and normal
// distributions (testdata/witness/values.py).
func TestTriesAndDeviatesAreSciPys(t *testing.T) {
	data, err := os.ReadFile("../testdata/witness/values.json")
	require.NoError(t, err)
	var w struct {
		Binomial [][4]float64
		Normal   [][2]float64
	}
	require.NoError(t, json.Unmarshal(data, &w))
	require.NotEmpty(t, w.Binomial)
	for _, c := range w.Binomial {
		s := learn.Seen{Gears: []int{0}, Sure: learn.Surely, Of: int(c[0]), Off: int(c[1]), One: sim.DropBackwards}
		all := make([]sim.Chances, 1)
		all[0][sim.DropBackwards] = c[2]
		assert.InEpsilon(t, c[3], s.Chance(all), 1e-9, "%v", c)
	}
	require.NotEmpty(t, w.Normal)
	for _, n := range w.Normal {
		want := n[1]
		if want > 3 || want < -3 {
			continue // tails beyond three are cut
		}
		assert.InDelta(t, want, deviate(budget.Normal, n[0]), 1e-9, "%v", n)
	}
}
