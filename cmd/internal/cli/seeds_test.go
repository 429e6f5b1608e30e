package cli

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The same seed draws the same designs of a random sample, another seed others; left out it is one of
// its own.
func TestSeedsOfASample(t *testing.T) {
	rows := func(seed ...string) string {
		args := append([]string{"sweep", "trail", "--vary", "front.line=48:52", "--sample", "random:4", "-q"}, seed...)
		code, out, errs := run(args...)
		require.Equal(t, ExitDone, code, errs)
		return out
	}
	three := rows("--seed", "3")
	assert.Equal(t, three, rows("--seed", "3"))
	assert.NotEqual(t, three, rows("--seed", "4"))
	assert.NotEqual(t, three, rows())
	code, out, errs := run("sweep", "trail", "--vary", "front.line=48:52:1", "--seed", "3", "-q")
	assert.Equal(t, ExitBadInput, code)
	assert.Empty(t, out)
	assert.Contains(t, errs, "--seed without --sample")
}
