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

// A file that this sweep did not write is left as it is, byte for byte, whatever it
// holds.
func TestResumeTouchesNoOtherFile(t *testing.T) {
	for name, text := range map[string]string{
		"notes":           "notes without an end of line",
		"lines":           "some notes\nmore of them\n",
		"object":          "{\"a\": 1}\n",
		"open object":     `{"a": 1`,
		"binary":          "\x7fELF\x02\x01\x01\x00\x00\x10",
		"number":          "12",
		"head and notes":  "design,front_line_mm,status\nnot a row",
		"other's columns": "design,frame_stay_mm,status,links\n",
	} {
		for _, format := range []string{"csv", "jsonl"} {
			file := filepath.Join(t.TempDir(), "rows")
			require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
			code, _, errs := run("sweep", "trail", "--vary", "front.line=50,51", "-q", "--format", format, "-o", file, "--resume")
			assert.Equal(t, ExitBadInput, code, "%s, %s", name, format)
			assert.Contains(t, errs, file, "%s, %s", name, format)
			got, err := os.ReadFile(file)
			require.NoError(t, err)
			assert.Equal(t, text, string(got), "%s, %s", name, format)
		}
	}
}

// rowsOf runs a sweep of 802 designs into a file, which takes four blocks.
func rowsOf(t *testing.T, file string, more ...string) {
	args := []string{"sweep", "trail", "--no-chances", "--vary", "front.line=46:56:0.025", "--vary", "frame.stay=430,431", "-q", "-o", file}
	code, _, errs := run(append(args, more...)...)
	require.Equal(t, ExitDone, code, errs)
}

// Whatever changes a number keeps rows from being gone on with, and is named; what
// changes none does not.
func TestResumeNamesTheDifference(t *testing.T) {
	file := filepath.Join(t.TempDir(), "rows")
	rowsOf(t, file)
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	bike, err := os.ReadFile("../../../cases/shipped/trail.yaml")
	require.NoError(t, err)
	edited := func(from, to string) string {
		name := filepath.Join(t.TempDir(), "bike.yaml")
		text := strings.Replace(string(bike), from, to, 1)
		require.NotEqual(t, string(bike), text)
		require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
		return name
	}
	for _, c := range []struct {
		name string
		more []string
		says string
	}{
		{"trail", []string{"--loss"}, "loss: false against true"},
		{"trail", []string{"--one-chain"}, "one_chain: false against true"},
		{"trail", []string{"--torque", "55"}, "case, load.torque: 40 against 55"},
		{"trail", []string{"--where", "stay_mm>=-100"}, "plan, where[0].at_least: not given against -100"},
		{"trail", []string{"--shard", "0/2"}, "holds the whole sweep, not shard 0 of 2"},
		{"trail", []string{"--format", "jsonl"}, "--format: csv against jsonl"},
		{"trail", []string{"--no-chances=false"}, "chances: false against true"},
		{"trail", []string{"--vary", "chain.slack=0.9"}, "plan, vary[2].path"},
		{edited("title: ", "title: the new "), nil, ""},
		{"trail-short", nil, "case, "},
	} {
		args := []string{"sweep", c.name, "--no-chances", "--vary", "front.line=46:56:0.025", "--vary", "frame.stay=430,431", "-q", "-o", file, "--resume"}
		code, _, errs := run(append(args, c.more...)...)
		if c.says == "" {
			assert.Equal(t, ExitDone, code, errs)
		} else {
			assert.Equal(t, ExitBadInput, code, c.says)
			assert.Contains(t, errs, c.says)
		}
		got, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.True(t, bytes.Equal(want, got), c.says)
	}
	// Rows that were edited are not gone on with.
	require.NoError(t, os.WriteFile(file, bytes.Replace(want, []byte(",ok,"), []byte(",OK,"), 1), 0o644))
	code, _, errs := run("sweep", "trail", "--no-chances", "--vary", "front.line=46:56:0.025", "--vary", "frame.stay=430,431", "-q", "-o", file, "--resume")
	assert.Equal(t, ExitBadInput, code)
	assert.Contains(t, errs, "has changed: designs 0 to 255 are not as their sweep wrote them")
	last := bytes.LastIndexByte(want[:len(want)-1], '\n') + 1
	require.NoError(t, os.WriteFile(file, want[:last], 0o644))
	code, _, errs = run("sweep", "trail", "--no-chances", "--vary", "front.line=46:56:0.025", "--vary", "frame.stay=430,431", "-q", "-o", file, "--resume")
	assert.Equal(t, ExitBadInput, code)
	assert.Contains(t, errs, "has changed since its sweep ended with 802 rows")
}

// merge refuses what is not one whole sweep, and says why; with --partial it lists
// the holes.
func TestMergeRefusesWhatIsNotWhole(t *testing.T) {
	dir := t.TempDir()
	path := func(n string) string { return filepath.Join(dir, n) }
	rowsOf(t, path("whole"))
	for i, n := range []string{"0", "1", "2"} {
		rowsOf(t, path(n), "--shard", string(rune('0'+i))+"/3")
	}
	rowsOf(t, path("half"), "--shard", "1/2")
	rowsOf(t, path("torque"), "--torque", "60", "--shard", "1/3")
	one, err := os.ReadFile(path("1"))
	require.NoError(t, err)
	spoil := func(name string, text []byte) {
		require.NoError(t, os.WriteFile(path(name), text, 0o644))
		breakOff(t, path("1"), path(name))
	}
	lines := bytes.SplitAfter(one, []byte("\n"))
	spoil("broken", bytes.Join(lines[:100], nil))
	stoppedIn(t, path("broken"))
	spoil("torn", one[:len(one)/2])
	stoppedIn(t, path("torn"))
	spoil("ragged", bytes.Replace(one, []byte(",ok,"), []byte(","), 1))
	spoil("twice", append(bytes.Clone(one), lines[len(lines)-2]...))
	zero, err := os.ReadFile(path("0"))
	require.NoError(t, err)
	spoil("stray", append(bytes.Clone(lines[0]), bytes.SplitAfter(zero, []byte("\n"))[1]...))
	require.NoError(t, os.WriteFile(path("bare"), one, 0o644))
	for _, c := range []struct{ files, says string }{
		{"0 2", "rows are missing: all designs of shard 1 of 3"},
		{"0 broken 2", "rows are missing: designs from 355 on of shard 1 of 3 (" + path("broken")},
		{"0 torn 2", "rows are missing: designs from "},
		{"0 ragged 2", "ragged:2: not a whole row"},
		{"0 twice 2", "twice:258: design 511 after design 511"},
		{"0 stray 2", "stray:2: design 0 is not of shard 1 of 3"},
		{"0 1 1 2", "both hold shard 1 of 3"},
		{"0 whole", "whole the whole sweep: want shards of one division"},
		{"0 half 2", "half shard 1 of 2: want shards of one division"},
		{"0 torque 2", "are of different sweeps: case, load.torque: 40 against 60"},
		{"0 bare 2", "no " + path("bare") + ".run.json beside it"},
	} {
		args := []string{"sweep", "merge", "-o", path("out")}
		for _, f := range strings.Fields(c.files) {
			args = append(args, path(f))
		}
		code, _, errs := run(args...)
		assert.Equal(t, ExitBadInput, code, c.files)
		assert.Contains(t, errs, c.says, c.files)
		assert.NoFileExists(t, path("out"))
	}
	code, _, errs := run("sweep", "merge", path("2"), path("broken"), "--partial", "-o", path("holes"))
	assert.Equal(t, ExitPartial, code)
	assert.Contains(t, errs, "missing: all designs of shard 0 of 3\n")
	assert.Contains(t, errs, "missing: designs from 355 on of shard 1 of 3\n")
	got, err := os.ReadFile(path("holes"))
	require.NoError(t, err)
	assert.Equal(t, 1+99+256, bytes.Count(got, []byte("\n")))
	code, _, errs = run("sweep", "merge", path("holes"))
	assert.Equal(t, ExitBadInput, code)
	assert.Contains(t, errs, "lacks all designs of shard 0 of 3")
	// What is whole is merged, is what one run gives, and can be merged again.
	code, _, errs = run("sweep", "merge", path("2"), path("0"), path("1"), "-o", path("out"))
	require.Equal(t, ExitDone, code, errs)
	want, err := os.ReadFile(path("whole"))
	require.NoError(t, err)
	got, err = os.ReadFile(path("out"))
	require.NoError(t, err)
	assert.True(t, bytes.Equal(want, got))
	wantID, err := readID(path("whole"))
	require.NoError(t, err)
	gotID, err := readID(path("out"))
	require.NoError(t, err)
	assert.Equal(t, wantID, gotID)
}

// One shard of one is the whole sweep: the same rows, and no shard in what stands beside them.
func TestOneShardIsTheWhole(t *testing.T) {
	dir := t.TempDir()
	whole, one := filepath.Join(dir, "whole"), filepath.Join(dir, "one")
	rowsOf(t, whole)
	rowsOf(t, one, "--shard", "0/1")
	a, err := os.ReadFile(whole)
	require.NoError(t, err)
	b, err := os.ReadFile(one)
	require.NoError(t, err)
	assert.Equal(t, string(a), string(b))
	for _, file := range []string{whole, one} {
		id, err := readID(file)
		require.NoError(t, err)
		assert.Nil(t, id.Shard, file)
	}
}
