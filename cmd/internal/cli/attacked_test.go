package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Rows of a sweep that was broken off are looked at before it goes on: one that has changed among
// the first, and every one of a few, is found, and nothing is touched.
func TestResumeFindsChangedRows(t *testing.T) {
	dir := t.TempDir()
	whole, rows := filepath.Join(dir, "whole"), filepath.Join(dir, "rows")
	rowsOf(t, whole)
	text, err := os.ReadFile(whole)
	require.NoError(t, err)
	lines := bytes.SplitAfter(text, []byte("\n"))
	again := func(kept, spoilt int) (code int, errs string, same bool) {
		was := make([][]byte, kept+1)
		copy(was, lines)
		if spoilt > 0 {
			was[spoilt] = bytes.Replace(was[spoilt], []byte(",ok,1"), []byte(",ok,9"), 1)
			require.NotEqual(t, lines[spoilt], was[spoilt])
		}
		require.NoError(t, os.WriteFile(rows, bytes.Join(was, nil), 0o644))
		breakOff(t, whole, rows)
		code, _, errs = run("sweep", "trail", "--no-chances", "--vary", "front.line=46:56:0.025", "--vary", "frame.stay=430,431", "-q", "-o", rows, "--resume")
		now, err := os.ReadFile(rows)
		require.NoError(t, err)
		return code, errs, bytes.Equal(now, bytes.Join(was, nil))
	}
	for _, spoilt := range []int{1, 2, 9, 19, 20} {
		code, errs, same := again(20, spoilt)
		assert.Equal(t, ExitBadInput, code, spoilt)
		assert.Regexp(t, `row of .*design \d+.* is not what this sweep computes`, errs)
		assert.True(t, same)
	}
	code, errs, same := again(700, 1)
	assert.Equal(t, ExitBadInput, code)
	assert.Contains(t, errs, "rows has changed: designs 0 to 255 are not as their sweep wrote them")
	assert.True(t, same)
	code, errs, _ = again(700, 0)
	require.Equal(t, ExitDone, code, errs)
	got, err := os.ReadFile(rows)
	require.NoError(t, err)
	assert.True(t, bytes.Equal(text, got))
}

// What is looked at is spread over all rows, whatever their number.
func TestSampledRowsAreSpread(t *testing.T) {
	for _, n := range []int{1, 7, mostSampled, mostSampled + 1, 1000, 12345} {
		s := &scanned{each: 1}
		for i := range n {
			s.rows++
			s.sample(i, []byte{byte(i)})
		}
		assert.LessOrEqual(t, len(s.some), mostSampled)
		assert.GreaterOrEqual(t, len(s.some), min(n, mostSampled/2))
		for k, x := range s.some {
			assert.Equal(t, k*s.each, x.design)
			assert.Equal(t, []byte{byte(x.design)}, x.row)
		}
		assert.Less(t, n-1-s.some[len(s.some)-1].design, s.each, "%d rows", n)
	}
}

// Merged rows never take the place of a shard that they come from, by whatever name.
func TestMergeKeepsItsShards(t *testing.T) {
	dir := t.TempDir()
	a, b := filepath.Join(dir, "a"), filepath.Join(dir, "b")
	rowsOf(t, a, "--shard", "0/2")
	rowsOf(t, b, "--shard", "1/2")
	was, err := os.ReadFile(b)
	require.NoError(t, err)
	link := filepath.Join(dir, "link")
	require.NoError(t, os.Symlink(b, link))
	for _, to := range []string{a, b, link} {
		code, _, errs := run("sweep", "merge", a, b, "-o", to)
		assert.Equal(t, ExitBadInput, code)
		assert.Contains(t, errs, "is one of the shards: name another file with -o")
	}
	now, err := os.ReadFile(b)
	require.NoError(t, err)
	assert.Equal(t, was, now)
}

// A mistake of an observation on the command line is told of the flag: the file has none of it.
func TestSeenIsBlamedForItself(t *testing.T) {
	for seen, want := range map[string]string{
		"32/51 backwards: off 11 of 10": `--seen "32/51 backwards: off 11 of 10": off: 11 of 10 tries`,
		"33/51: quiet":                  `--seen "33/51: quiet": gears: "33/51" names no gear`,
		"32/51: quiet sure 0.2":         `--seen "32/51: quiet sure 0.2": sure 0.2 is out of range`,
	} {
		code, _, errs := run("learn", "trail", "--seen", seen)
		assert.Equal(t, ExitBadInput, code)
		assert.Contains(t, strings.Join(strings.Fields(errs), " "), want)
		assert.NotContains(t, errs, "observations[")
	}
}
