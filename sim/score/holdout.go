package score

import (
	"fmt"
	"sort"
)

// holdOut predicts every item by a rule fitted without its group: for each group
// fit gets the items of all the others, in their order, and returns a rule, which
// is asked for the group's own. It returns the chances in the order of items.
// Errors wrap ErrInput for fewer than two groups or a chance outside 0 to 1, and
// pass on those of fit with the name of the group held out.
func holdOut[T any](items []T, group func(T) string, fit func(rest []T) (func(T) float64, error)) ([]float64, error) {
	members := map[string][]int{}
	for i, x := range items {
		members[group(x)] = append(members[group(x)], i)
	}
	if len(members) < 2 {
		return nil, fmt.Errorf("%w: number of groups %d, want at least 2", ErrInput, len(members))
	}
	names := make([]string, 0, len(members))
	for name := range members {
		names = append(names, name)
	}
	sort.Strings(names) // so that the first error is always the same
	p := make([]float64, len(items))
	for _, name := range names {
		rest := make([]T, 0, len(items)-len(members[name]))
		for _, x := range items {
			if group(x) != name {
				rest = append(rest, x)
			}
		}
		rule, err := fit(rest)
		if err != nil {
			return nil, fmt.Errorf("without %q: %w", name, err)
		}
		for _, i := range members[name] {
			if p[i] = rule(items[i]); !chance(p[i]) {
				return nil, fmt.Errorf("%w: without %q: chance %g, want 0 to 1", ErrInput, name, p[i])
			}
		}
	}
	return p, nil
}
