package cli

import (
	"encoding/csv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is asked of a sweep together is what each gives alone, column by column.
func TestColumnsTogetherAreThoseAlone(t *testing.T) {
	rows := func(more ...string) map[string][]string {
		code, out, errs := run(append([]string{"sweep", "trail", "--vary", "front.line=48:52:2", "-q"}, more...)...)
		require.Equal(t, ExitDone, code, errs)
		all, err := csv.NewReader(strings.NewReader(out)).ReadAll()
		require.NoError(t, err)
		by := map[string][]string{}
		for i, name := range all[0] {
			for _, r := range all[1:] {
				by[name] = append(by[name], r[i])
			}
		}
		return by
	}
	together := rows("--loss", "--shifts")
	plain, compared := rows("--no-chances"), 0
	for _, alone := range []string{"--chances", "--loss", "--shifts", "--no-chances"} {
		for name, cells := range rows(alone) {
			assert.Equal(t, cells, together[name], "%s of %s", name, alone)
			assert.Len(t, cells, 3)
			if plain[name] == nil && strings.Join(cells, "") != "" { // some faults there are none of
				compared++
			}
		}
	}
	assert.Greater(t, compared, 20)
}
