package await

import (
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// All goroutines come to their end, and the first panic is the caller's, with the place.
func TestPanicIsTheCallers(t *testing.T) {
	var g Group
	var done atomic.Int32
	for i := range 8 {
		g.Go(func() {
			if i == 3 {
				var list []int
				_ = list[i]
			}
			done.Add(1)
		})
	}
	defer func() {
		p, ok := recover().(*Panic)
		require.True(t, ok)
		assert.Equal(t, int32(7), done.Load())
		assert.ErrorContains(t, p, "index out of range [3] with length 0")
		assert.ErrorContains(t, p, "await_test.go")
	}()
	g.Wait()
}

func TestWaitsForAll(t *testing.T) {
	var g Group
	var done atomic.Int32
	for range 8 {
		g.Go(func() { done.Add(1) })
	}
	g.Wait()
	assert.Equal(t, int32(8), done.Load())
}
