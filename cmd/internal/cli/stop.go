package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"os/signal"
	"slices"
	"sync"
	"sync/atomic"
	"syscall"
	"time"
)

// ExitStopped is the exit code of a command that was stopped with nothing kept or
// printed: 128 and the number of the interrupt, as shells count.
const ExitStopped = 130

// stopGrace is how long a command that keeps what is done may take to do so; in tests as long
// as a busy machine needs.
var stopGrace = 1500 * time.Millisecond

var errStopped = errors.New("stopped")

// stopper turns Ctrl-C, the signal to terminate and that of a terminal that is closed into
// the end of a context. A
// command that does not ask for it ends at once; a second signal, or the end of
// stopGrace, ends any.
type stopper struct {
	ctx   context.Context
	end   context.CancelFunc
	keeps atomic.Bool
	exit  func(code int) // os.Exit but in tests
}

// newStopper listens until its own end is called.
func newStopper(w io.Writer) (*stopper, func()) {
	s := &stopper{exit: os.Exit}
	s.ctx, s.end = context.WithCancel(context.Background())
	signals := make(chan os.Signal, 4)
	signal.Notify(signals, os.Interrupt, syscall.SIGTERM)
	if !signal.Ignored(syscall.SIGHUP) { // as under nohup
		signal.Notify(signals, syscall.SIGHUP)
	}
	sweepAgain()
	over := make(chan struct{})
	go s.listen(w, signals, over)
	return s, func() {
		signal.Stop(signals)
		close(over)
		s.end()
	}
}

func (s *stopper) listen(w io.Writer, signals <-chan os.Signal, over <-chan struct{}) {
	select {
	case <-signals:
	case <-over:
		return
	}
	s.end()
	why := "stopped"
	if s.keeps.Load() {
		select {
		case <-over:
			return
		case <-signals:
			why = "stopped twice"
		case <-time.After(stopGrace):
		}
	}
	removeTemps()
	fmt.Fprintf(w, "\nchainpath: %s: nothing more is kept\n", why)
	s.exit(ExitStopped)
}

// stoppable returns the context of a command that keeps what is done when it ends.
func (s streams) stoppable() context.Context {
	if s.stop == nil {
		return context.Background()
	}
	s.stop.keeps.Store(true)
	return s.stop.ctx
}

// temps are files under temporary names, to be removed when the process is ended.
var temps struct {
	sync.Mutex
	names map[string]bool
}

// makeTemp makes what has temporary names, unless the process is being ended: then it
// waits for that.
func makeTemp(do func() error, names ...string) error {
	temps.Lock()
	defer temps.Unlock()
	if temps.names == nil {
		temps.names = map[string]bool{}
	}
	err := do()
	for _, n := range names {
		if err == nil {
			temps.names[n] = true
		}
	}
	return err
}

// keepTemp takes a name off the list: what has it stays, or is gone.
func keepTemp(name string) {
	temps.Lock()
	defer temps.Unlock()
	delete(temps.names, name)
}

// removeTemps waits for files that take their places and removes temporary ones, and
// folders that were made for them; it keeps the locks, so that none is made after.
func removeTemps() {
	taking.Lock()
	temps.Lock()
	names := slices.SortedFunc(maps.Keys(temps.names), func(a, b string) int { return len(b) - len(a) })
	for _, name := range names {
		_ = os.Remove(name) // a folder with files in it stays
	}
}
