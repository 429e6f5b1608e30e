package cases

import (
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"chainpath/sim"
)

// Cases with fields drawn from all of their allowed ranges are computed or
// refused with a reason that names a field: no panic, no solve that stalls.
func TestWholeRangesAreComputedOrRefused(t *testing.T) {
	computed := 0
	for seed := range uint64(few(80, 240)) {
		rnd := rand.New(rand.NewPCG(seed, 1))
		name := Shipped()[seed%uint64(len(Shipped()))]
		c, err := Load(name, nil)
		require.NoError(t, err)
		c.Symptoms, c.Riding = nil, nil
		var spoil func(v reflect.Value, path string)
		spoil = func(v reflect.Value, path string) {
			for i := range v.NumField() {
				f := v.Type().Field(i)
				p := join(path, f.Tag.Get("yaml"))
				x := v.Field(i)
				switch {
				case f.Tag.Get("yaml") == "" || strings.HasPrefix(p, "front.ring_lines") || strings.HasPrefix(p, "rear.cog_lines"):
				case x.Type() == quantityType:
					lo, hi, _ := rangeOf(f.Tag)
					if given := x.Interface().(Quantity).Given; rnd.Float64() < 0.12 && (given || x.CanSet() && hasDefault(c, p)) {
						x.Set(reflect.ValueOf(Q(lo + (hi-lo)*rnd.Float64())))
					}
				case x.Kind() == reflect.Pointer && !x.IsNil():
					spoil(x.Elem(), p)
				case x.Kind() == reflect.Struct:
					spoil(x, p)
				}
			}
		}
		spoil(reflect.ValueOf(c).Elem(), "")
		b, err := c.Bike()
		var e *Error
		if err != nil {
			require.ErrorAs(t, err, &e)
			continue
		}
		_, err = b.Evaluate()
		if err != nil {
			require.ErrorAs(t, c.Explain(err), &e, "seed %d: %v", seed, err)
			continue
		}
		links, err := b.ChooseLinks()
		require.NoError(t, err)
		_, err = new(sim.Outcomes).Bends(nil, b, links)
		require.NoError(t, err, "seed %d", seed)
		computed++
	}
	require.Greater(t, computed, few(20, 60))
	t.Log(computed, "computed")
}

func hasDefault(c *Case, path string) bool {
	_, ok := defaultsFor(c.Speeds)[path]
	return ok
}
