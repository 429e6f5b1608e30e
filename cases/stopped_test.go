package cases

import (
	"context"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/decide"
)

// lasting is a context that ends once it has been asked so often whether it has.
type lasting struct {
	context.Context
	asked, most atomic.Int64
}

func (l *lasting) Err() error {
	if l.asked.Add(1) > l.most.Load() {
		return context.Canceled
	}
	return nil
}

// Wherever in it a long computation is given up, that is told, and nothing is answered beside it: at
// the first looks at the context, at the last ones and at some in between.
func TestWorkGivenUpAnywhereIsTold(t *testing.T) {
	base := mustParse(t, learner+"observations:\n  - {gears: 32/51, direction: backwards, what: off, off: 3, of: 10}\n")
	b, links, err := base.chained()
	require.NoError(t, err)
	w, err := decide.FindWalls(t.Context(), b, links)
	require.NoError(t, err)
	for name, ask := range map[string]func(c *Case) (any, any, error){
		"chances": func(c *Case) (any, any, error) { x, err := c.Chances(); return x, nil, err },
		"foresee": func(c *Case) (any, any, error) { x, err := c.Foresee(); return x, nil, err },
		"bends":   func(c *Case) (any, any, error) { x, err := c.BendsAt(); return x, nil, err },
		"outlook": func(c *Case) (any, any, error) {
			if _, err := c.Outlook([]float64{0, 1}); err != nil {
				return nil, nil, err
			}
			return true, true, nil
		},
		"along": func(c *Case) (any, any, error) {
			x, y, err := c.Along(w, &decide.Usual)
			return x, y, err
		},
		"windows": func(c *Case) (any, any, error) { x, err := c.Windows(); return x, nil, err },
		"judging": func(c *Case) (any, any, error) {
			cat, err := ParseCatalogue("p.yaml", []byte("chainpath_parts: 1\nchanges:\n  - {name: a, add: {frame.drop: 1}}\n"))
			if err != nil {
				return nil, nil, err
			}
			k, err := cat.For(c)
			if err != nil {
				return nil, nil, err
			}
			_, err = k.Judging(func(sim.Concern) bool { return true }, &decide.Usual)
			return nil, nil, err
		},
		"learning": func(c *Case) (any, any, error) { _, err := c.Learn("v", nil); return nil, nil, err },
	} {
		try := func(most int64) (asked int64, err error) {
			ctx := &lasting{Context: t.Context()}
			ctx.most.Store(most)
			x, y, err := ask(base.Within(ctx))
			if err != nil {
				assert.Empty(t, x, name)
				assert.Empty(t, y, name)
			}
			return ctx.asked.Load(), err
		}
		all, err := try(1 << 60)
		require.NoError(t, err, name)
		require.Greater(t, all, int64(20), name)
		last := all - 10 // how often it is asked hangs on the cores by a few looks
		for _, most := range []int64{0, 1, 2, all / 3, all / 2, 2 * all / 3, last - 2, last - 1, last} {
			_, err := try(most)
			assert.ErrorIs(t, err, context.Canceled, "%s, after %d of %d looks", name, most, all)
		}
		_, err = try(all + 10)
		assert.NoError(t, err, name)
	}
}
