package cases

import (
	"slices"

	"chainpath/sim/judge"
)

// mostVersions is how many sets of drawn bikes are kept: of as many combinations of what is not a
// dimension.
const mostVersions = 6

// keptVersions are sets of drawn bikes by what they are drawn for, those used last. For one
// goroutine.
type keptVersions[K comparable] struct {
	list []keptVersion[K] // the one used last at the end
}

type keptVersion[K comparable] struct {
	key []K
	of  *judge.Versions
}

// get returns the drawn bikes of a key; nil where they are not kept.
func (k *keptVersions[K]) get(key []K) *judge.Versions {
	at := slices.IndexFunc(k.list, func(x keptVersion[K]) bool { return slices.Equal(x.key, key) })
	if at < 0 {
		return nil
	}
	x := k.list[at]
	k.list = append(slices.Delete(k.list, at, at+1), x)
	return x.of
}

// put keeps those of a key, and lets go of those that were not used for longest.
func (k *keptVersions[K]) put(key []K, of *judge.Versions) {
	if len(k.list) == mostVersions {
		k.list = slices.Delete(k.list, 0, 1)
	}
	k.list = append(k.list, keptVersion[K]{key, of})
}
