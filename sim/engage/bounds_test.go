package engage

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"sort"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// spread is the middle, the 95th of a hundred and the largest of some differences.
type spread [3]float64

func spreadOf(x []float64) spread {
	sort.Float64s(x)
	return spread{x[len(x)/2], x[len(x)*95/100], x[len(x)-1]}
}

// tiny is the bend below which a run lies inside its play and has no single place.
const tiny = 0.15 * deg

// What a march's coarseness and its solver's speed change in arrivals, over whole runs
// from all over the range of responses: the bounds in Marcher's comment.
func TestCoarseness(t *testing.T) {
	runs := 120
	if os.Getenv("CHAINPATH_LONG") != "" {
		runs = 300
	}
	variants := []struct {
		name  string
		how   MarchOptions
		plain bool
		most  spread // mm
	}{
		{"12 steps a pitch", MarchOptions{Steps: 12}, false, spread{1e-4, 0.03, 0.42}},
		{"18 pitches", MarchOptions{Pitches: 18}, false, spread{0.005, 0.045, 0.3}},
		{"7 seated links", MarchOptions{Seated: 7}, false, spread{0.006, 0.09, 0.3}},
		{"plain solver", MarchOptions{}, true, spread{5e-6, 5e-5, 5e-4}},
	}
	var m Marcher
	far := make([][]float64, len(variants))
	for i := range runs {
		run, bend := drawnRun(rand.New(rand.NewPCG(uint64(i), 1)), Duty(i%2))
		if bend < tiny {
			continue
		}
		m.plain = false
		a, err := m.Arrive(&run, bend, MarchOptions{})
		require.NoError(t, err)
		for k, v := range variants {
			m.plain = v.plain
			b, err := m.Arrive(&run, bend, v.how)
			require.NoError(t, err)
			far[k] = append(far[k], math.Abs(a.Inner-b.Inner), math.Abs(a.Outer-b.Outer))
		}
	}
	for k, v := range variants {
		got := spreadOf(far[k])
		t.Logf("%s: %.2g mm (median), %.2g (95 %%), %.2g (largest)", v.name, got[0], got[1], got[2])
		for i := range got {
			assert.LessOrEqual(t, got[i], v.most[i], fmt.Sprintf("%s, mm", v.name))
		}
	}
}

// The same on the check rows, half runs.
func TestCoarsenessOfCheckRows(t *testing.T) {
	var m Marcher
	for i, k := range checkRows {
		r := k.run()
		a, err := m.Arrive(&r, k.bend*deg, MarchOptions{Half: k.half})
		require.NoError(t, err)
		for _, v := range []struct {
			how  MarchOptions
			most float64 // mm
		}{{MarchOptions{Half: k.half, Pitches: 18}, 0.021}, {MarchOptions{Half: k.half, Steps: 12}, 0.036}} {
			b, err := m.Arrive(&r, k.bend*deg, v.how)
			require.NoError(t, err)
			assert.InDelta(t, a.Inner, b.Inner, v.most, "row %d, %+v", i+1, v.how)
			assert.InDelta(t, a.Outer, b.Outer, v.most, "row %d, %+v", i+1, v.how)
		}
	}
}
