package ask

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/sim/decide"
)

// Where no test changes what to do, an assumed number that can be measured and matters is named,
// until it is measured.
func TestNextNamesWhatNobodyMeasured(t *testing.T) {
	const bike = "chainpath: 1\nframe: {stay: 430}\nfront: {line: 43.5 ± 0.2, rings: [34, 50]%s}\nrear: {line: 45 ± 0.2, cogs: 11-34}\n"
	for more, want := range map[string]bool{"": true, ", ring_pitch: 7.5 ± 0.1": false} {
		c, err := cases.Parse("bike.yaml", []byte(strings.Replace(bike, "%s", more, 1)))
		require.NoError(t, err)
		d, err := NextOfLine(c, &decide.Usual, Effort)
		require.NoError(t, err)
		require.True(t, d.Enough)
		assert.Contains(t, d.Answer, "That does not say that the bike is fine.")
		assert.Equal(t, want, strings.Contains(d.Answer, "the distance from chainring to chainring"), d.Answer)
	}
}
