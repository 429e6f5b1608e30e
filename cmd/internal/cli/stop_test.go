//go:build unix

package cli

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim/sweep"
)

// stopped starts the tool, sends it signals once ready says so, and returns how it
// ended. That it ends in good time its end tells: a command that did not would be ended by
// stopGrace with another message, and one that never did would hold the test until that is.
func stopped(t *testing.T, ready func() bool, signals int, args ...string) (code int, out, errs string) {
	c := exec.Command("chainpath", args...)
	var o, e bytes.Buffer
	c.Stdout, c.Stderr = &o, &e
	require.NoError(t, c.Start())
	for !ready() {
		time.Sleep(20 * time.Millisecond)
	}
	for range signals {
		require.NoError(t, c.Process.Signal(os.Interrupt))
		time.Sleep(10 * time.Millisecond)
	}
	_ = c.Wait()
	return c.ProcessState.ExitCode(), o.String(), e.String()
}

func after(d time.Duration) func() bool {
	begun := time.Now()
	return func() bool { return time.Since(begun) > d }
}

// Ctrl-C ends a slow sweep in the middle of a block, with the rows that are done, and
// going on gives what one run gives.
func TestInterruptedSweep(t *testing.T) {
	file := filepath.Join(t.TempDir(), "rows")
	args := []string{"sweep", "single-tensioner", "--vary", "front.line=38:48:0.02", "--window", "-q", "-o", file}
	rows := func() int {
		text, _ := os.ReadFile(file)
		return bytes.Count(text, []byte("\n")) - 1
	}
	code, _, errs := stopped(t, func() bool { return rows() >= 2 }, 1, args...)
	assert.Equal(t, ExitPartial, code)
	assert.Contains(t, errs, "the rows are partial; --resume goes on with "+file)
	n := rows()
	assert.Less(t, n, 501)
	id, err := readID(file)
	require.NoError(t, err)
	assert.Nil(t, id.Ended)
	code, _, errs = run(append(args, "--resume")...)
	require.Equal(t, ExitDone, code, errs)
	got, err := os.ReadFile(file)
	require.NoError(t, err)
	code, want, _ := run(args[:len(args)-2]...)
	require.Equal(t, ExitDone, code)
	assert.Equal(t, want, string(got))
}

// Killed again and again, a sweep loses nothing, and leaves nothing else behind.
func TestKilledSweep(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds")
	}
	dir := t.TempDir()
	file, whole := filepath.Join(dir, "rows"), filepath.Join(dir, "whole")
	args := []string{"sweep", "trail", "--vary", "front.line=46:56:0.05", "--vary", "frame.stay=430:432:0.02", "-q", "-o"}
	code, _, errs := run(append(args, whole)...)
	require.Equal(t, ExitDone, code, errs)
	for i := range 5 {
		c := exec.Command("chainpath", append(args, file, "--resume")...)
		require.NoError(t, c.Start())
		time.Sleep(time.Duration(50+70*i) * time.Millisecond)
		_ = c.Process.Signal(syscall.SIGKILL)
		_ = c.Wait()
	}
	code, _, errs = run(append(args, file, "--resume")...)
	require.Equal(t, ExitDone, code, errs)
	for _, end := range []string{"", ".run.json"} {
		want, err := os.ReadFile(whole + end)
		require.NoError(t, err)
		got, err := os.ReadFile(file + end)
		require.NoError(t, err)
		assert.True(t, bytes.Equal(want, got), end)
	}
}

// What is done is printed, and marked; the exit code is that of every partial result.
func TestInterruptedRuns(t *testing.T) {
	for _, c := range []struct {
		args  []string
		count func(out string) (runs int, partial bool)
	}{
		{[]string{"budget", "single", "--draws", "1000000", "--format", "json"}, func(out string) (int, bool) {
			var d struct {
				Draws   int
				Partial bool
			}
			assert.NoError(t, json.Unmarshal([]byte(out), &d))
			return d.Draws, d.Partial
		}},
		{[]string{"march", "single", "--turns", "0.5", "--trials", "100000", "--format", "json"}, func(out string) (int, bool) {
			var d struct {
				Trials  struct{ Runs int }
				Partial bool
			}
			assert.NoError(t, json.Unmarshal([]byte(out), &d))
			return d.Trials.Runs, d.Partial
		}},
	} {
		n, partial := 0, false
		for wait := 500 * time.Millisecond; n <= 5; wait *= 2 { // a busy machine has done nothing yet
			code, out, errs := stopped(t, after(wait), 1, c.args...)
			if code == ExitStopped {
				continue
			}
			assert.Equal(t, ExitPartial, code, errs)
			assert.Contains(t, errs, "the result is partial")
			n, partial = c.count(out)
		}
		assert.Greater(t, n, 5)
		assert.True(t, partial)
	}
}

// With nothing to keep the end comes at once, and a second Ctrl-C ends anything.
func TestInterruptedWithNothingDone(t *testing.T) {
	code, out, errs := stopped(t, after(time.Second), 1, "march", "single", "--turns", "100000")
	assert.Equal(t, ExitStopped, code)
	assert.Empty(t, out)
	assert.Contains(t, errs, "stopped: nothing is kept")

	var ended []int
	var mu sync.Mutex
	s := &stopper{end: func() {}, exit: func(code int) { mu.Lock(); ended = append(ended, code); mu.Unlock() }}
	s.keeps.Store(true)
	signals, over := make(chan os.Signal, 2), make(chan struct{})
	signals <- os.Interrupt
	signals <- os.Interrupt
	temps.Lock()
	names := temps.names
	temps.names = nil
	temps.Unlock()
	var text bytes.Buffer
	s.listen(&text, signals, over)
	temps.names = names
	temps.Unlock() // kept by removeTemps
	taking.Unlock()
	assert.Equal(t, []int{ExitStopped}, ended)
	assert.Contains(t, text.String(), "stopped twice")
}

// Work of more than an hour and rows that the disk does not hold are announced.
func TestForecast(t *testing.T) {
	var b bytes.Buffer
	forecast{designs: 1e6, time: 30 * time.Minute, bytes: 4e8}.say(&b, 5e8)
	assert.Empty(t, b.String())
	forecast{designs: 1e9, time: 7 * time.Hour, bytes: 4e11}.say(&b, 5e10)
	assert.Equal(t, "chainpath: about 7.0 hours of work ahead: 1000000000 designs\nchainpath: about 400 GB of rows ahead, and the disk has 50 GB free\n", b.String())
	// It is of the order of what a part takes.
	r := rowerFor(t, "trail", &sweepOptions{vary: []string{"front.line=46:56:0.01", "frame.stay=430:431:0.01"}, workers: 1})
	job := sweep.Job{Designs: r.w.Plan.Designs(), Workers: 1}
	now := time.Time{}
	f := r.ahead(job, func() time.Time { now = now.Add(time.Millisecond); return now })
	n := len(sweepText(t, r, job.Designs-20*sweep.BlockSize, sweep.Shard{}))
	share := float64(job.Designs) / (20 * sweep.BlockSize)
	assert.InEpsilon(t, float64(n)*share, f.bytes, 0.2)
	assert.Equal(t, time.Duration(job.Designs)*time.Millisecond, f.time, "a design takes a look at the clock to the next")
}
