package ensemble

import (
	"encoding/json"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Weighted quantiles and the effective size by NumPy (testdata/witness/values.py).
func TestQuantilesAreNumPys(t *testing.T) {
	data, err := os.ReadFile("../../testdata/witness/values.json")
	require.NoError(t, err)
	var w struct {
		Weighted struct {
			Weight, Value, At, Quantile []float64
			Size                        float64
		}
	}
	require.NoError(t, json.Unmarshal(data, &w))
	require.NotEmpty(t, w.Weighted.At)
	x := &Weighted{Weight: w.Weighted.Weight}
	assert.Equal(t, w.Weighted.Quantile, x.Quantiles(w.Weighted.Value, w.Weighted.At...))
	assert.InDelta(t, w.Weighted.Size, EffectiveSize(x.Weight), 1e-12)
}
