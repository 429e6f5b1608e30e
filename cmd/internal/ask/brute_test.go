package ask

import (
	"context"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/sim"
	"chainpath/sim/decide"
)

// Invented change lists: of a bike with one chainring and of one with two.
var bruteLists = map[string]string{
	"trail": `chainpath_parts: 1
changes:
  - {name: offset 3, group: offset, price: 55, add: {front.line: -3}}
  - {name: offset 6, group: offset, price: 60, add: {front.line: -6}}
  - {name: spacers, group: spacers, price: 8, steps: {path: front.line, from: -2, to: 2, step: 1}}
  - {name: ring of 30, group: ring, price: 48, set: {front.rings: [30]}}
  - {name: ring of 34, group: ring, price: 52, set: {front.rings: [34]}}
  - {name: chain, price: 35, set: {chain.slack: 0.6}}
  - {name: stay, price: 30, add: {frame.stay: 10}}
`,
	"road": `chainpath_parts: 1
changes:
  - {name: spacers, group: front, price: 5, steps: {path: front.line, from: -2, to: 2, step: 1}}
  - {name: spindle, group: front, price: 40, add: {front.line: 3}}
  - {name: hub spacers, group: rear, price: 8, steps: {path: rear.line, from: -2, to: 2, step: 1}}
  - {name: other rings, price: 110, set: {front.rings: [36, 52]}}
  - {name: chain, price: 35, set: {chain.slack: 0.6}}
`,
}

// Every combination of two change lists, judged by every version one by one: the first five are those
// that are found by screening and a shortlist, with the same fault score.
func TestBestAgainstBruteForce(t *testing.T) {
	names := []string{"trail", "road"}
	if testing.Short() || os.Getenv("CHAINPATH_LONG") == "" {
		names = names[:1]
	}
	all := func(sim.Concern) bool { return true }
	for _, name := range names {
		c, err := cases.Load(name, nil)
		require.NoError(t, err)
		if name == "road" { // ridden in crossed gears, so that something is worth a change
			c, err = c.Set("riding", "{ratio: 2, spread: 1.3}")
			require.NoError(t, err)
		}
		cat, err := cases.ParseCatalogue("list.yaml", []byte(bruteLists[name]))
		require.NoError(t, err)
		s, err := Screen(context.Background(), c, cat, all, &decide.Usual, 10000, nil)
		require.NoError(t, err)
		found := s.Look()

		n := len(s.Plan.Options)
		group := make([]int, n)
		for g, list := range s.Plan.Groups {
			for _, i := range list {
				group[i] = g
			}
		}
		var every []decide.Effect
		var pick func(from int, picks []int, price float64)
		pick = func(from int, picks []int, price float64) {
			if e, err := s.Judging.Expect(picks); err == nil {
				every = append(every, decide.Effect{Index: len(every), Picks: slices.Clone(picks), Price: price, Judged: e.Judged})
			}
			for i := from; i < n; i++ {
				if !slices.ContainsFunc(picks, func(k int) bool { return group[k] == group[i] }) {
					pick(i+1, append(slices.Clone(picks), i), price+s.Plan.Options[i].Price)
				}
			}
		}
		pick(0, nil, 0)
		assert.Len(t, every, s.Size-s.Failed, "all but those that cannot be")
		best := decide.Best(every)
		t.Logf("%s: %d combinations, %d worth their price", name, len(every), len(best))
		require.GreaterOrEqual(t, len(best), 2, name)
		for i := range min(5, len(best)) {
			require.Less(t, i, len(found.Best))
			assert.Equal(t, sortedNames(s.Plan, best[i].Picks), sortedNames(s.Plan, found.Best[i].Picks), "%s, number %d", name, i+1)
			assert.InDelta(t, best[i].Sum(), found.Best[i].Sum(), 1e-12)
			assert.InDelta(t, best[i].Price, found.Best[i].Price, 1e-9)
		}
	}
}

func sortedNames(p *decide.Plan, picks []int) (names []string) {
	for _, i := range picks {
		names = append(names, p.Options[i].Name)
	}
	slices.Sort(names)
	return names
}
