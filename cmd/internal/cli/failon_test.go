package cli

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cmd/internal/show"
)

// A chain that comes off as it is pushed back is a danger where the brake goes with it, and
// elsewhere a nuisance.
func TestPushedBackOffIsADanger(t *testing.T) {
	p := 0.5
	doc := func(drive string) *show.Gears {
		return &show.Gears{Load: show.Load{Drive: drive}, Gears: []show.Gear{{Chance: show.Chance{"drop_backwards": &p}}}}
	}
	f, err := parseFailOn("danger:0.4")
	require.NoError(t, err)
	assert.Error(t, f.verdict(doc("fixed")))
	assert.Error(t, f.verdict(doc("coaster")))
	assert.NoError(t, f.verdict(doc("freewheel")))
	f, err = parseFailOn("noise_riding")
	require.NoError(t, err)
	assert.NoError(t, f.verdict(doc("fixed")))
}
