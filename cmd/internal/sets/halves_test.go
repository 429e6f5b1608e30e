package main

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Half of every known bike's gears foretell the other half far better than nothing does, and the
// larger cogs the smaller ones no worse: what help scores states, here by fewer draws.
func TestHalvesAreForetoldAsStated(t *testing.T) {
	if os.Getenv("CHAINPATH_LONG") == "" {
		t.Skip("learns three hundred times: CI does")
	}
	p, err := readPanel("../../../testdata/field")
	require.NoError(t, err)
	draws := priorDraws(2000)
	chances, err := p.foretell(draws)
	require.NoError(t, err)
	splits, err := p.halves(draws, chances, 500)
	require.NoError(t, err)
	for i, most := range [][2]float64{{0.055, 0.052}, {0.067, 0.060}} {
		s := splits[i]
		two, better, worse := s.most()
		t.Logf("learned from %s: %d better, %d worse", s.title, better, worse)
		for j, without := range [][]int{nil, two} {
			was, is, above, n, err := s.score(without)
			require.NoError(t, err)
			t.Logf("%d answers: %.4f with nothing, %.4f learned, above by %.4f (%.4f to %.4f)", n, was, is, above.Value, above.Low, above.Up)
			assert.LessOrEqual(t, is, most[j])
			assert.Less(t, is, was)
			if i == 0 {
				assert.Positive(t, above.Low)
			}
		}
	}
}
