package cli

import (
	"fmt"
	"os"
	"time"

	"golang.org/x/term"

	"chainpath/cmd/internal/show"
	"chainpath/sim/sweep"
)

// tally tells how far a sweep is, now and then.
type tally struct {
	s           streams
	quiet, line bool
	all, n      int
	begun, told time.Time
}

func newTally(s streams, quiet bool, job sweep.Job) *tally {
	now := time.Now()
	f, ok := s.err.(*os.File)
	line := ok && term.IsTerminal(int(f.Fd()))
	return &tally{s: s, quiet: quiet, line: line, all: job.Count(), begun: now, told: now}
}

// done counts designs, and tells when a second, or ten on what is no terminal, have
// gone by; sync makes sure before that what is told to be done is.
func (p *tally) done(n int, sync func() error) error {
	p.n += n
	every := 10 * time.Second
	if p.line {
		every = time.Second
	}
	if p.quiet || time.Since(p.told) < every {
		return nil
	}
	p.told = time.Now()
	if err := sync(); err != nil {
		return err
	}
	p.tell()
	return nil
}

func (p *tally) tell() {
	text := show.Progress(p.n, p.all, float64(p.n)/time.Since(p.begun).Seconds())
	if p.line {
		fmt.Fprintf(p.s.err, "\r%s\x1b[K", text)
		return
	}
	fmt.Fprintln(p.s.err, text)
}

func (p *tally) last() {
	if p.quiet {
		return
	}
	p.tell()
	if p.line {
		fmt.Fprintln(p.s.err)
	}
}
