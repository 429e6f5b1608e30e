package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Rows with chances are the same bytes on one core and on several, in shards and gone on with: what
// a worker judged before changes no bit of a row. Chains and teeth are varied beside lines.
func TestRowsOfChancesDoNotDependOnTheWay(t *testing.T) {
	dir := t.TempDir()
	path := func(n string) string { return filepath.Join(dir, n) }
	args := []string{"sweep", "trail", "--vary", "front.rings[0]=30,32", "--vary", "front.line=46:56:1", "--vary", "frame.stay=430,438", "-q"}
	sweep := func(to string, more ...string) []byte {
		code, _, errs := run(append(append(append([]string{}, args...), "-o", path(to)), more...)...)
		require.Equal(t, ExitDone, code, errs)
		text, err := os.ReadFile(path(to))
		require.NoError(t, err)
		return text
	}
	want := sweep("one", "--workers", "1")
	require.Equal(t, 45, bytes.Count(want, []byte("\n")))
	assert.Equal(t, string(want), string(sweep("three", "--workers", "3")))
	merged := []string{"sweep", "merge", "-o", path("merged")}
	for i := range 3 {
		sweep("shard"+strconv.Itoa(i), "--shard", strconv.Itoa(i)+"/3")
		merged = append(merged, path("shard"+strconv.Itoa(i)))
	}
	code, _, errs := run(merged...)
	require.Equal(t, ExitDone, code, errs)
	text, err := os.ReadFile(path("merged"))
	require.NoError(t, err)
	assert.Equal(t, string(want), string(text))

	// Broken off in the middle of a row, without an end.
	half := want[:len(want)*3/5]
	require.NoError(t, os.WriteFile(path("half"), half, 0o644))
	breakOff(t, path("one"), path("half"))
	assert.Equal(t, string(want), string(sweep("half", "--resume")))
}
