package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"sync"
	"sync/atomic"
	"syscall"
	"time"
)

// ExitStopped is the exit code of a command that was stopped with nothing kept or
// printed: 128 and the number of the interrupt, as shells count.
const ExitStopped = 130

// stopGrace is how long a command that keeps what is done may take to do so.
const stopGrace = 1500 * time.Millisecond

var errStopped = errors.New("stopped")

// stopper turns Ctrl-C and the signal to terminate into the end of a context. A
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

func keepTemp(name string, there bool) {
	temps.Lock()
	defer temps.Unlock()
	if temps.names == nil {
		temps.names = map[string]bool{}
	}
	if there {
		temps.names[name] = true
	} else {
		delete(temps.names, name)
	}
}

// removeTemps removes temporary files; it keeps the lock, so that none is made after.
func removeTemps() {
	temps.Lock()
	for name := range temps.names {
		_ = os.Remove(name)
	}
}
