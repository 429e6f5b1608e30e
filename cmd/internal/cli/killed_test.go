//go:build linux || darwin || freebsd

package cli

import (
	"bytes"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// folder returns the files of a folder, hidden ones by their names alone.
func folder(t *testing.T, dir string) (files map[string]string, hidden []string) {
	files = map[string]string{}
	list, err := os.ReadDir(dir)
	if os.IsNotExist(err) {
		return files, nil
	}
	require.NoError(t, err)
	for _, e := range list {
		if strings.HasPrefix(e.Name(), ".") {
			hidden = append(hidden, e.Name())
			continue
		}
		text, err := os.ReadFile(filepath.Join(dir, e.Name()))
		require.NoError(t, err)
		files[e.Name()] = string(text)
	}
	return files, hidden
}

// severalFiles is a command that writes several files into a folder, what they are and what was
// there before.
type severalFiles struct {
	args     func(dir string) []string
	old, new map[string]string
}

// outputs are the manual pages, into a folder of their own and over others, and merged rows
// over those of another sweep.
func outputs(t *testing.T) []severalFiles {
	dir := t.TempDir()
	path := func(n string) string { return filepath.Join(dir, n) }
	man := func(dir string) []string { return []string{"man", filepath.Join(dir, "to")} }
	code, _, errs := run(man(dir)...)
	require.Equal(t, ExitDone, code, errs)
	pages, _ := folder(t, path("to"))
	require.GreaterOrEqual(t, len(pages), 40)
	old := map[string]string{}
	for name := range pages {
		old[name] = "what was there"
	}
	fewer := maps.Clone(old)
	n := 0
	maps.DeleteFunc(fewer, func(string, string) bool { n++; return n%2 == 0 })
	rowsOf(t, path("a"), "--shard", "0/2")
	rowsOf(t, path("b"), "--shard", "1/2")
	for _, sub := range []string{"was", "is"} {
		require.NoError(t, os.Mkdir(path(sub), 0o755))
	}
	rowsOf(t, path("was/rows"), "--loss")
	merge := func(dir string) []string {
		return []string{"sweep", "merge", path("a"), path("b"), "-o", filepath.Join(dir, "to", "rows")}
	}
	rowsOf(t, path("is/rows"))
	was, _ := folder(t, path("was"))
	is, _ := folder(t, path("is"))
	require.NotEqual(t, was, is)
	return []severalFiles{{man, nil, pages}, {man, old, pages}, {man, fewer, pages}, {merge, was, is}}
}

// Killed by any signal, at any moment and most often while files take their places, a
// command leaves all of them or none: at once when it can clean up, or else after the next
// run that writes into the folder; and then nothing else.
func TestKilledCommits(t *testing.T) {
	n := 36
	if whole {
		n = 2000
	} else if long {
		n = 200
	} else if testing.Short() {
		n = 9
	}
	all := outputs(t)
	counts := map[string]int{}
	for i := range n {
		rng := rand.New(rand.NewPCG(17, uint64(i)))
		o := all[rng.IntN(len(all))]
		dir := t.TempDir()
		to := filepath.Join(dir, "to")
		if o.old != nil {
			require.NoError(t, os.Mkdir(to, 0o755))
			for name, text := range o.old {
				require.NoError(t, os.WriteFile(filepath.Join(to, name), []byte(text), 0o644))
			}
		}
		sig := []syscall.Signal{syscall.SIGTERM, syscall.SIGKILL, syscall.SIGHUP}[i%3]
		c := exec.Command("chainpath", o.args(dir)...)
		var errs bytes.Buffer
		c.Stderr = &errs
		require.NoError(t, c.Start())
		ended := make(chan struct{})
		go func() { _ = c.Wait(); close(ended) }()
		over := false
		if rng.IntN(4) == 0 {
			time.Sleep(time.Duration(rng.IntN(150)) * time.Millisecond)
		} else {
			for over = false; !over; {
				select {
				case <-ended:
					over = true
				default:
				}
				if _, h := folder(t, to); len(h) > 0 && (strings.HasSuffix(strings.Join(h, " "), ".journal") || rng.IntN(60) == 0) {
					time.Sleep(time.Duration(rng.IntN(1500)) * time.Microsecond)
					break
				}
			}
		}
		_ = c.Process.Signal(sig)
		<-ended
		same := func(files map[string]string) bool { return maps.Equal(files, o.old) || maps.Equal(files, o.new) }
		files, hidden := folder(t, to)
		what := fmt.Sprintf("trial %d, %s: %s", i, sig, errs.String())
		if sig != syscall.SIGKILL {
			assert.True(t, same(files), what)
			assert.Empty(t, hidden, what)
			assert.Contains(t, []int{ExitDone, ExitStopped, -1}, c.ProcessState.ExitCode(), what) // -1: before it listens
		} else if !same(files) {
			counts["mixed until the next run"]++
		} else if len(hidden) > 0 {
			counts["litter until the next run"]++
		}
		require.NoError(t, os.MkdirAll(to, 0o755))
		code, _, said := run("export", "single", "--as", "csv", "-o", filepath.Join(to, "next.csv"))
		require.Equal(t, ExitDone, code, said)
		files, hidden = folder(t, to)
		delete(files, "next.csv")
		assert.True(t, same(files), what)
		assert.Empty(t, hidden, what)
		if maps.Equal(files, o.new) {
			counts["all"]++
		} else {
			counts["none"]++
		}
	}
	t.Log(n, counts)
	if whole {
		assert.Greater(t, counts["mixed until the next run"], 3)
	}
}

// A commit that is broken off behind any of its steps is ended by the next run: forward, or
// back where it was going back.
func TestBrokenOffCommit(t *testing.T) {
	steps := func(s *staged) (all []func()) {
		for _, x := range s.files {
			if x.there {
				all = append(all, func() { require.NoError(t, os.Link(x.path, x.old)) })
			}
			all = append(all, func() { require.NoError(t, os.Rename(x.temp, x.path)) })
		}
		for _, x := range s.files {
			all = append(all, func() { _ = os.Remove(x.old) })
		}
		return all
	}
	backwards := func(s *staged) (all []func()) {
		for i := len(s.files) - 1; i >= 0; i-- {
			x := s.files[i]
			if x.there {
				all = append(all, func() { require.NoError(t, os.Rename(x.old, x.path)) })
			} else {
				all = append(all, func() { require.NoError(t, os.Rename(x.path, x.temp)) })
			}
		}
		return all
	}
	old := map[string]string{"a": "old", "c": "old"}
	names := []string{"a", "b", "c", "d"}
	for _, back := range []bool{false, true} {
		for k := 0; ; k++ {
			dir := t.TempDir()
			for n, text := range old {
				require.NoError(t, os.WriteFile(filepath.Join(dir, n), []byte(text), 0o644))
			}
			s := &staged{}
			for _, n := range names {
				f, err := s.create(filepath.Join(dir, n))
				require.NoError(t, err)
				_, err = f.WriteString("new")
				require.NoError(t, err)
			}
			require.NoError(t, s.journal(s.files))
			todo := steps(s)
			if back {
				for _, do := range todo[:6] { // all took their places
					do()
				}
				_, err := s.log.WriteString(backLine)
				require.NoError(t, err)
				todo = backwards(s)
			}
			if k > len(todo) {
				break
			}
			for _, do := range todo[:k] {
				do()
			}
			// Another run leaves alone what this one owns.
			sweepAgain()
			before, hidden := folder(t, dir)
			sweepLeftovers(dir)
			now, still := folder(t, dir)
			assert.Equal(t, before, now)
			assert.Equal(t, hidden, still)
			for _, x := range s.files {
				x.f.Close()
				keepTemp(x.temp)
			}
			s.log.Close()
			sweepAgain()
			sweepLeftovers(dir)
			now, still = folder(t, dir)
			want := map[string]string{"a": "new", "b": "new", "c": "new", "d": "new"}
			if back {
				want = old
			}
			assert.Equal(t, want, now, "back %v, step %d", back, k)
			assert.Empty(t, still, "back %v, step %d", back, k)
		}
	}
}

// What only looks like a leftover is left alone, and a journal says nothing of other folders.
func TestNoLeftovers(t *testing.T) {
	dir := t.TempDir()
	other := filepath.Join(dir, "other")
	require.NoError(t, os.Mkdir(other, 0o755))
	id := "ABCDEFGHIJ"
	for name, text := range map[string]string{
		".chainpath-notes.1": "", ".chainpath": "", ".chainpath-ABCDEFGHIJ.1.old": "", ".chainpath-abcdefghij.1": "", "other/x": "theirs",
		".chainpath-" + id + ".1":       "strange",
		".chainpath-" + id + ".journal": `{"chainpath_commit":1,"places":[{"number":1,"name":"../dir/other/x","there":true}]}` + "\n",
	} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644))
	}
	before, hidden := folder(t, other)
	sweepAgain()
	sweepLeftovers(dir)
	now, still := folder(t, other)
	assert.Equal(t, before, now)
	assert.Equal(t, hidden, still)
	assert.Len(t, left(t, dir), 7)
}

// What another user left is not this one's to end.
func TestLeftoversOfOthers(t *testing.T) {
	if os.Geteuid() != 0 {
		t.Skip("only root gives files away")
	}
	dir := t.TempDir()
	id := "ABCDEFGHIJ"
	require.NoError(t, os.WriteFile(tempName(dir, id, 0), []byte("theirs"), 0o666))
	require.NoError(t, os.WriteFile(journalName(dir, id), []byte(`{"chainpath_commit":1,"places":[{"number":0,"name":"x","there":false}]}`+"\n"), 0o666))
	for _, name := range []string{tempName(dir, id, 0), journalName(dir, id)} {
		require.NoError(t, os.Chown(name, 65534, 65534))
	}
	sweepAgain()
	sweepLeftovers(dir)
	assert.Len(t, left(t, dir), 2)
	assert.NoFileExists(t, filepath.Join(dir, "x"))
	require.NoError(t, os.Chown(tempName(dir, id, 0), 0, 0))
	require.NoError(t, os.Chown(journalName(dir, id), 0, 0))
	sweepAgain()
	sweepLeftovers(dir)
	assert.Equal(t, []string{"x"}, left(t, dir))
}
