package sweep

import (
	"encoding/json"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Sobol points of all dimensions as SciPy has them, without a shift
// (testdata/witness/values.py).
func TestSobolIsSciPys(t *testing.T) {
	data, err := os.ReadFile("../../testdata/witness/values.json")
	require.NoError(t, err)
	var w struct{ Sobol [][]float64 }
	require.NoError(t, json.Unmarshal(data, &w))
	require.Len(t, w.Sobol, 64)
	s := newSobol(mostSobol, 0)
	for n, point := range w.Sobol {
		require.Len(t, point, mostSobol)
		for d, x := range point {
			assert.Equal(t, x, s.at(d, uint64(n)), "point %d, dimension %d", n, d)
		}
	}
}
