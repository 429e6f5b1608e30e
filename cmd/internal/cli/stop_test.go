//go:build unix

package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim/sweep"
)

// stopped starts the tool, interrupts it once ready says so, and returns how it ended: also of
// one that ended before, as what ready waits for would never come. One that a busy machine did not
// let listen yet is ended by the signal itself, with -1.
func stopped(t *testing.T, ready func() bool, args ...string) (code int, out, errs string) {
	c := exec.Command("chainpath", args...)
	var o, e bytes.Buffer
	c.Stdout, c.Stderr = &o, &e
	require.NoError(t, c.Start())
	ended := make(chan struct{})
	go func() {
		_ = c.Wait()
		close(ended)
	}()
	for !ready() {
		select {
		case <-ended:
			return c.ProcessState.ExitCode(), o.String(), e.String()
		case <-time.After(20 * time.Millisecond):
		}
	}
	_ = c.Process.Signal(os.Interrupt) // an error is that it has ended
	<-ended
	return c.ProcessState.ExitCode(), o.String(), e.String()
}

func after(d time.Duration) func() bool {
	begun := time.Now()
	return func() bool { return time.Since(begun) > d }
}

// Ctrl-C ends a slow sweep in the middle of a block, with the rows that are done, and
// going on adds those that follow, up to the next one. There are far more designs than any machine
// computes in the meantime: TestKilledSweep goes on to an end.
func TestInterruptedSweep(t *testing.T) {
	file := filepath.Join(t.TempDir(), "rows")
	vary := []string{"front.line=38:48:0.00001", "chain.slack=0.5:1:0.1"}
	args := []string{"sweep", "single-tensioner", "--vary", vary[0], "--vary", vary[1], "-q", "-o", file}
	r := rowerFor(t, "single-tensioner", &sweepOptions{vary: vary})
	want, work := r.format.Header(), r.worker()
	for n := 0; ; args = append(args, "--resume") {
		code, _, errs := stopped(t, func() bool {
			text, _ := os.ReadFile(file)
			return bytes.Count(text, []byte("\n")) > n+3
		}, args...)
		require.Equal(t, ExitPartial, code, errs)
		assert.Contains(t, errs, "the rows are partial; --resume goes on with "+file)
		id, err := readID(file)
		require.NoError(t, err)
		assert.Nil(t, id.Ended)
		got, err := os.ReadFile(file)
		require.NoError(t, err)
		done := bytes.Count(got, []byte("\n")) - 1
		assert.Greater(t, done, n+2)
		want, _ = work(context.Background(), want, sweep.Block{From: n, To: done})
		require.True(t, bytes.Equal(want, got), "rows %d to %d", n, done)
		if n > 0 {
			return
		}
		n = done
	}
}

// A terminal that is closed ends a sweep as Ctrl-C does, but not one that was told to go on without it,
// as nohup tells.
func TestHangup(t *testing.T) {
	heard := make(chan os.Signal, 1) // so that what is started here hears it, were these tests told to go on without a terminal
	signal.Notify(heard, syscall.SIGHUP)
	defer signal.Stop(heard)
	for _, ignored := range []bool{false, true} {
		file := filepath.Join(t.TempDir(), "rows")
		c := exec.Command("chainpath", "sweep", "single-tensioner", "--vary", "front.line=38:48:0.00001", "--vary", "chain.slack=0.5:1:0.1", "-q", "-o", file)
		if ignored {
			c = exec.Command("sh", append([]string{"-c", `trap "" HUP; exec "$@"`, "sh"}, c.Args...)...)
		}
		var errs bytes.Buffer
		c.Stderr = &errs
		require.NoError(t, c.Start())
		ended := make(chan struct{})
		go func() {
			_ = c.Wait()
			close(ended)
		}()
		lines := func() int {
			text, _ := os.ReadFile(file)
			return bytes.Count(text, []byte("\n"))
		}
		until := func(n int) {
			for lines() < n {
				select {
				case <-ended:
					return
				case <-time.After(10 * time.Millisecond):
				}
			}
		}
		until(4)
		require.NoError(t, c.Process.Signal(syscall.SIGHUP))
		if ignored { // which leaves all that is computed in the meantime
			until(lines() + 500)
			require.NoError(t, c.Process.Signal(os.Interrupt))
		}
		<-ended
		assert.Equal(t, ExitPartial, c.ProcessState.ExitCode(), errs.String())
		assert.Contains(t, errs.String(), "--resume goes on with")
	}
}

// Killed again and again, a sweep loses nothing, and leaves nothing else behind.
func TestKilledSweep(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds")
	}
	dir := t.TempDir()
	file, whole := filepath.Join(dir, "rows"), filepath.Join(dir, "whole")
	args := []string{"sweep", "trail", "--no-chances", "--vary", "front.line=46:56:0.05", "--vary", "frame.stay=430:432:0.02", "-q", "-o"}
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
			code, out, errs := stopped(t, after(wait), c.args...)
			if code == ExitStopped || code == -1 {
				continue
			}
			require.Equal(t, ExitPartial, code, errs)
			assert.Contains(t, errs, "the result is partial")
			n, partial = c.count(out)
		}
		assert.Greater(t, n, 5)
		assert.True(t, partial)
	}
}

// With nothing to keep the end comes at once.
func TestInterruptedWithNothingDone(t *testing.T) {
	code, out, errs := -1, "", ""
	for wait := time.Second; code == -1; wait *= 2 {
		code, out, errs = stopped(t, after(wait), "march", "single", "--turns", "100000")
	}
	assert.Equal(t, ExitStopped, code)
	assert.Empty(t, out)
	assert.Contains(t, errs, "stopped: nothing is kept")
}

// What keeps what is done is ended by a second Ctrl-C, or when its time for that is over; what
// keeps nothing by the first.
func TestWhatEndsARun(t *testing.T) {
	defer func(d time.Duration) { stopGrace = d }(stopGrace)
	for _, c := range []struct {
		keeps, over bool
		grace       time.Duration
		signals     int
		said        string // "": it goes on
	}{
		{keeps: true, grace: time.Hour, signals: 2, said: "stopped twice"},
		{keeps: true, grace: 0, signals: 1, said: "stopped: nothing more"},
		{keeps: true, grace: time.Hour, signals: 1, over: true},
		{keeps: false, grace: time.Hour, signals: 1, said: "stopped: nothing more"},
		{keeps: false, grace: 0, signals: 0, over: true},
	} {
		stopGrace = c.grace
		var ended []int
		asked := 0
		over := make(chan struct{})
		s := &stopper{exit: func(code int) { ended = append(ended, code) }}
		s.end = func() {
			asked++
			if c.over {
				close(over)
			}
		}
		s.keeps.Store(c.keeps)
		signals := make(chan os.Signal, 2)
		for range c.signals {
			signals <- os.Interrupt
		}
		if c.over && c.signals == 0 {
			close(over)
		}
		temps.Lock()
		names := temps.names
		temps.names = nil
		temps.Unlock()
		var text bytes.Buffer
		s.listen(&text, signals, over)
		temps.names = names
		assert.Equal(t, min(c.signals, 1), asked, "%+v", c)
		if c.said == "" {
			assert.Empty(t, ended, "%+v", c)
			assert.Empty(t, text.String(), "%+v", c)
			continue
		}
		temps.Unlock() // kept by removeTemps
		taking.Unlock()
		assert.Equal(t, []int{ExitStopped}, ended, "%+v", c)
		assert.Contains(t, text.String(), c.said, "%+v", c)
	}
}

// Work of more than an hour and rows that the disk does not hold are announced.
func TestForecast(t *testing.T) {
	var b bytes.Buffer
	forecast{designs: 1e6, time: 30 * time.Minute, bytes: 4e8}.say(&b, 5e8)
	assert.Empty(t, b.String())
	forecast{designs: 1e9, time: 7 * time.Hour, bytes: 4e11}.say(&b, 5e10)
	assert.Equal(t, "chainpath: about 7.0 hours of work ahead: 1000000000 designs\nchainpath: about 400 GB of rows ahead, and the disk has 50 GB free\n", b.String())
	// It is of the order of what a part takes.
	r := rowerFor(t, "trail", &sweepOptions{bare: true, vary: []string{"front.line=46:56:0.01", "frame.stay=430:431:0.01"}, workers: 1})
	job := sweep.Job{Designs: r.w.Plan.Designs(), Workers: 1}
	now := time.Time{}
	f := r.ahead(job, func() time.Time { now = now.Add(time.Millisecond); return now })
	n := len(sweepText(t, r, job.Designs-20*sweep.BlockSize, sweep.Shard{}))
	share := float64(job.Designs) / (20 * sweep.BlockSize)
	assert.InEpsilon(t, float64(n)*share, f.bytes, 0.2)
	assert.Equal(t, time.Duration(job.Designs)*time.Millisecond, f.time, "a design takes a look at the clock to the next")
	// Rows that --where leaves out need no room, and those of half the designs half of it.
	for least, share := range map[string]float64{"46": 1, "51": 0.5, "60": 0} {
		r := rowerFor(t, "trail", &sweepOptions{bare: true, vary: []string{"front.line=46:56:0.01", "frame.stay=430:431:0.01"}, where: []string{"front_line_mm>=" + least}, workers: 1})
		got := r.ahead(job, func() time.Time { return now })
		assert.InDelta(t, share, got.bytes/f.bytes, 0.05, least)
		assert.Equal(t, job.Designs, got.designs)
	}
}
