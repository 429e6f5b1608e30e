package cli

import (
	"encoding/csv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// An export has the chain of the gears that are asked for, one or more, and of all where none is.
func TestExportHasTheGearsAskedFor(t *testing.T) {
	for gears, want := range map[string][]string{
		"":                                {"chain_34_13", "chain_34_19", "chain_34_28", "chain_48_13", "chain_48_19", "chain_48_28"},
		"--gear 48/19":                    {"chain_48_19"},
		"--gear 34/28 --gear 48/13":       {"chain_34_28", "chain_48_13"},
		"--gear 34/28,34/13 --gear 48/28": {"chain_34_28", "chain_34_13", "chain_48_28"},
	} {
		code, out, errs := run(strings.Fields("export " + small + " --as csv " + gears)...)
		require.Equal(t, ExitDone, code, errs)
		rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
		require.NoError(t, err)
		chains := map[string]bool{}
		for _, r := range rows {
			if strings.HasPrefix(r[0], "chain_") && !strings.HasPrefix(r[0], "chain_envelope_") {
				chains[r[0]] = true
			}
		}
		assert.Len(t, chains, len(want), gears)
		for _, w := range want {
			assert.True(t, chains[w], "%s: %s", gears, w)
		}
	}
}
