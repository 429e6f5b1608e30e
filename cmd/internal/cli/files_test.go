//go:build unix

package cli

import (
	"io"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func left(t *testing.T, dir string) (names []string) {
	list, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, e := range list {
		names = append(names, e.Name())
	}
	return names
}

// A link is followed, its target replaced with its mode kept; a new file has the
// mode the process gives new files.
func TestOutputKeepsLinkAndMode(t *testing.T) {
	dir := t.TempDir()
	target, link, hanging, fresh := filepath.Join(dir, "target"), filepath.Join(dir, "link"), filepath.Join(dir, "hanging"), filepath.Join(dir, "fresh")
	require.NoError(t, os.WriteFile(target, []byte("old"), 0o640))
	require.NoError(t, os.Chmod(target, 0o640))
	require.NoError(t, os.Symlink("target", link))
	require.NoError(t, os.Symlink("new", hanging))
	old := syscall.Umask(0o027)
	defer syscall.Umask(old)
	for _, name := range []string{link, hanging, fresh} {
		code, _, errs := run("export", "single", "--as", "csv", "-o", name)
		require.Equal(t, ExitDone, code, errs)
	}
	for _, name := range []string{link, hanging} {
		st, err := os.Lstat(name)
		require.NoError(t, err)
		assert.NotZero(t, st.Mode()&os.ModeSymlink, name)
	}
	for _, name := range []string{"target", "new", "fresh"} {
		st, err := os.Lstat(filepath.Join(dir, name))
		require.NoError(t, err)
		assert.Equal(t, os.FileMode(0o640), st.Mode(), name)
		assert.Greater(t, st.Size(), int64(1000), name)
	}
	assert.ElementsMatch(t, []string{"target", "link", "hanging", "new", "fresh"}, left(t, dir))
}

// Where nothing may or can be written, the file or folder is named, and nothing is
// touched, by every command alike.
func TestOutputPlacesRefused(t *testing.T) {
	dir := t.TempDir()
	locked, round, block := filepath.Join(dir, "locked.html"), filepath.Join(dir, "round.html"), filepath.Join(dir, "block.html")
	require.NoError(t, os.WriteFile(locked, []byte("old"), 0o444))
	require.NoError(t, os.Symlink("round.html", round))
	places := map[string]string{
		locked:                              "locked.html is write-protected",
		round:                               "symbolic links",
		filepath.Join(dir, "nosuch/x.html"): "there is no folder " + filepath.Join(dir, "nosuch"),
		filepath.Join(locked, "x.html"):     "not a directory",
	}
	if syscall.Mknod(block, syscall.S_IFBLK|0o600, 7<<8|250) == nil {
		places[block] = "is not replaced"
	}
	have := left(t, dir)
	for name, says := range places {
		for _, args := range [][]string{
			{"export", "single"}, {"report", "single"}, {"sweep", "single", "--vary", "front.line=40,41", "-q", "--resume"},
		} {
			code, out, errs := run(append(args, "-o", name)...)
			assert.Equal(t, ExitBadInput, code, "%v %s", args, name)
			assert.Empty(t, out)
			assert.Contains(t, errs, says, args)
		}
	}
	assert.Equal(t, have, left(t, dir))
	text, err := os.ReadFile(locked)
	require.NoError(t, err)
	assert.Equal(t, "old", string(text))
}

// Pipes and character devices are written into, not replaced.
func TestOutputIntoPipesAndDevices(t *testing.T) {
	dir := t.TempDir()
	pipe, null := filepath.Join(dir, "pipe"), filepath.Join(dir, "null")
	require.NoError(t, syscall.Mkfifo(pipe, 0o600))
	require.NoError(t, os.Symlink("/dev/null", null))
	for _, args := range [][]string{{"export", "single", "--as", "csv"}, {"sweep", "single", "--vary", "front.line=40,41", "-q"}} {
		code, want, errs := run(args...)
		require.Equal(t, ExitDone, code, errs)
		got := make(chan string)
		go func() {
			f, err := os.Open(pipe)
			if err != nil {
				got <- err.Error()
				return
			}
			text, _ := io.ReadAll(f)
			f.Close()
			got <- string(text)
		}()
		code, _, errs = run(append(args, "-o", pipe)...)
		assert.Equal(t, ExitDone, code, errs)
		assert.Equal(t, want, <-got)
		code, _, errs = run(append(args, "-o", null)...)
		assert.Equal(t, ExitDone, code, errs)
	}
	for name, mode := range map[string]os.FileMode{pipe: os.ModeNamedPipe, "/dev/null": os.ModeCharDevice} {
		st, err := os.Stat(name)
		require.NoError(t, err)
		assert.NotZero(t, st.Mode()&mode, name)
	}
	assert.ElementsMatch(t, []string{"pipe", "null"}, left(t, dir))
}

// Several files take their places all or none, whatever goes wrong when.
func TestSeveralFilesAllOrNone(t *testing.T) {
	dir := t.TempDir()
	a, b := filepath.Join(dir, "a"), filepath.Join(dir, "b")
	require.NoError(t, os.WriteFile(a, []byte("old"), 0o644))
	require.NoError(t, os.Mkdir(b, 0o755))
	files := map[string][]byte{"a": []byte("new"), "c": []byte("new"), "b": []byte("new")}
	assert.ErrorContains(t, writeFiles(dir, files, []string{"a", "c", "b"}), "is a folder")
	// The last place is taken by something else while the files are written.
	require.NoError(t, os.Remove(b))
	var s staged
	for _, n := range []string{"a", "c", "b"} {
		f, err := s.create(filepath.Join(dir, n))
		require.NoError(t, err)
		_, err = f.WriteString("new")
		require.NoError(t, err)
	}
	require.NoError(t, os.MkdirAll(filepath.Join(b, "full"), 0o755))
	assert.Error(t, s.commit())
	text, err := os.ReadFile(a)
	require.NoError(t, err)
	assert.Equal(t, "old", string(text))
	assert.Equal(t, []string{"a", "b"}, left(t, dir))
	// A folder made for files that fail goes again.
	assert.Error(t, writeFiles(filepath.Join(dir, "x/y"), map[string][]byte{"..": nil}, []string{".."}))
	assert.Equal(t, []string{"a", "b"}, left(t, dir))
}

// Without a journal several files do not begin to take their places: killed on the way, some would be new
// and some old.
func TestNoCommitWithoutItsJournal(t *testing.T) {
	dir := t.TempDir()
	a := filepath.Join(dir, "a")
	require.NoError(t, os.WriteFile(a, []byte("old"), 0o644))
	var s staged
	for _, n := range []string{"a", "b"} {
		f, err := s.create(filepath.Join(dir, n))
		require.NoError(t, err)
		_, err = f.WriteString("new")
		require.NoError(t, err)
	}
	require.NoError(t, os.Mkdir(journalName(dir, s.id), 0o755))
	err := s.commit()
	require.NoError(t, os.Remove(journalName(dir, s.id)))
	assert.ErrorContains(t, err, a)
	text, err := os.ReadFile(a)
	require.NoError(t, err)
	assert.Equal(t, "old", string(text))
	assert.Equal(t, []string{"a"}, left(t, dir))
}

// A commit that goes back says so in its journal, or one that is killed on the way would be ended forward.
func TestGoingBackIsWrittenDown(t *testing.T) {
	dir := t.TempDir()
	s := &staged{}
	for _, name := range []string{"a", "b"} {
		_, err := s.create(filepath.Join(dir, name))
		require.NoError(t, err)
	}
	require.NoError(t, s.journal(s.files))
	s.back()
	text, err := os.ReadFile(journalName(dir, s.id))
	require.NoError(t, err)
	assert.True(t, strings.HasSuffix(string(text), "}\n"+backLine), "%q", text)
	s.forget()
	s.abandon()
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Empty(t, left)
}

// A commit's journal is in the folder of its first file, and names the files of that folder alone.
func TestJournalOfSeveralFolders(t *testing.T) {
	first, other := t.TempDir(), t.TempDir()
	s := &staged{id: "ABCDEFGHIJ"}
	for i, name := range []string{filepath.Join(first, "a"), filepath.Join(other, "b"), filepath.Join(first, "c")} {
		s.files = append(s.files, &stagedFile{place: place{path: name, there: i == 2}, number: i})
	}
	require.NoError(t, s.journal(s.files))
	defer s.forget()
	text, err := os.ReadFile(journalName(first, s.id))
	require.NoError(t, err)
	assert.JSONEq(t, `{"chainpath_commit": 1, "places": [{"number": 0, "name": "a", "there": false}, {"number": 2, "name": "c", "there": true}]}`, string(text))
	assert.NoFileExists(t, journalName(other, s.id))
}
