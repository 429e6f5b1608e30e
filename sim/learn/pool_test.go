package learn

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Each bike is foretold by those of its kind where there are two others, else by the whole shop, and
// those of its own turn are left out with it.
func TestLeavingOneBikeOut(t *testing.T) {
	bike := func(name string, speeds int) *Pooling { return &Pooling{Name: name, Speeds: speeds} }
	shop := []*Pooling{bike("a", 11), bike("b", 11), bike("c", 11), bike("d", 12)}
	names := func(list []*Pooling) (all string) {
		for _, b := range list {
			all += b.Name
		}
		return all
	}
	assert.Equal(t, "bc", names(kindWithout(shop, 0, 4, 11)))
	assert.Equal(t, "abc", names(kindWithout(shop, 3, 4, 0)))
	assert.Empty(t, names(kindWithout(shop, 3, 4, 12)))
	assert.Equal(t, "b", names(kindWithout(shop, 0, 2, 11)), "a and c in one turn")
	assert.Equal(t, "abcd", names(kindWithout(shop, -1, 1, 0)))
}
