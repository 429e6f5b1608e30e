package cases

import (
	"encoding/binary"
	"hash/fnv"
	"math"
	"reflect"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// bits returns a checksum of every number in a value, all its digits.
func bits(values ...any) uint64 {
	h := fnv.New64a()
	var walk func(v reflect.Value)
	walk = func(v reflect.Value) {
		switch v.Kind() {
		case reflect.Float64:
			_ = binary.Write(h, binary.LittleEndian, math.Float64bits(v.Float()))
		case reflect.Slice, reflect.Array:
			for i := range v.Len() {
				walk(v.Index(i))
			}
		case reflect.Struct:
			for i := range v.NumField() {
				walk(v.Field(i))
			}
		case reflect.Pointer, reflect.Interface:
			if !v.IsNil() {
				walk(v.Elem())
			}
		}
	}
	for _, v := range values {
		walk(reflect.ValueOf(v))
	}
	return h.Sum64()
}

// Chances of shipped cases, of their rings elsewhere, sizes and what is learned have the same bits on one core and on all. .ci/run
// compares what is told here with that of WebAssembly and of arm64.
func TestBitsOfChances(t *testing.T) {
	sums := func() (out []uint64) {
		for _, name := range []string{"trail", "tourer", "fixed", "idler", "gravel"} {
			c, err := Load(name, nil)
			require.NoError(t, err)
			chances, err := c.ChancesAlong([]float64{0, -4, 2.3})
			require.NoError(t, err)
			require.NotEmpty(t, chances)
			seen, err := c.Foresee()
			require.NoError(t, err)
			out = append(out, bits(chances, seen))
		}
		l := taught(t, learner, "32/51 backwards: off 3 of 10", "32/44: noise")
		return append(out, bits(l.Moves, l.Before, l.After))
	}
	all := sums()
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	assert.Equal(t, all, sums())
	t.Logf("bits %x", all)
}
