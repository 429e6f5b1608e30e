package ask

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/cmd/internal/show"
	"chainpath/sim"
)

// Every gear has one mark in each direction; none with a fault of a tenth and more, of whatever kind, has that for
// nothing, what it is marked by is of the highest level there is, and gears that do not fit are marked so.
func TestNoFaultIsMarkedAsNone(t *testing.T) {
	seen := map[sim.Mark]bool{}
	names := cases.Shipped()
	if os.Getenv("CHAINPATH_LONG") == "" {
		names = []string{"trail", "tourer", "single"}
	}
	for _, name := range names {
		c, err := cases.Load(name, nil)
		require.NoError(t, err)
		b, err := c.Bike()
		require.NoError(t, err)
		for _, more := range []int{0, -8, 8} { // and with a chain that is too more for some gears, or too long
			if more != 0 && b.Tensioner == nil {
				continue
			}
			bike := *b
			if more != 0 {
				links, err := b.ChooseLinks()
				require.NoError(t, err)
				c.Chain.Links = links + more
				nb, err := c.Bike()
				require.NoError(t, err)
				bike = *nb
			}
			r, err := bike.Evaluate()
			require.NoError(t, err)
			doc, err := show.FromResult(c, &bike, r, nil)
			require.NoError(t, err)
			require.NoError(t, doc.AddChances(c, &bike, r))
			f, err := Figure(c, &bike, r, &doc)
			require.NoError(t, err)
			for d, way := range f.Ways {
				require.Len(t, way.Marks, len(doc.Gears), "%s: a mark for every gear", name)
				for i := range way.Marks {
					m, g := &way.Marks[i], &doc.Gears[i]
					most := say.Quiet
					for k := range sim.Hazards {
						h := &sim.Hazards[k]
						if p := g.Chance[h.Code]; p != nil && h.Ways[d] && (sim.Direction(d) == sim.Riding || !h.Ways[sim.Riding]) {
							most = max(most, say.LevelOf(*p))
						}
					}
					w := m.Worst()
					assert.GreaterOrEqual(t, say.LevelOf(w.Chance), most, "%s %d/%d", name, m.RingTeeth, m.CogTeeth)
					if say.LevelOf(w.Chance) > say.Quiet {
						assert.NotEmpty(t, w.Words)
						assert.Contains(t, f.Glyphs, w.Mark)
						seen[w.Mark] = true
					}
					if !r.Gears[i].Fit.Mounts() {
						assert.False(t, m.Fits)
						if sim.Direction(d) == sim.Riding {
							assert.Equal(t, sim.UnfitMark, w.Mark, "%s %d/%d", name, m.RingTeeth, m.CogTeeth)
						}
					}
				}
			}
		}
	}
	for _, m := range []sim.Mark{sim.BackMark, sim.NoiseMark, sim.RubMark, sim.UnfitMark, sim.SlackMark} {
		assert.True(t, seen[m], m)
	}
}
