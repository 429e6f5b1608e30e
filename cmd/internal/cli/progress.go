package cli

import (
	"fmt"
	"os"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"golang.org/x/term"
)

// progress shows on a terminal's standard error how far work has come, once it has
// taken a second: done of n, or with n 0 the time alone. It returns what ends it,
// which must be called before anything is printed.
func progress(s streams, what string, n int, done *atomic.Int64) (end func()) {
	f, ok := s.err.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return func() {}
	}
	finished, stopped := make(chan struct{}), make(chan struct{})
	begun := time.Now()
	go func() {
		defer close(stopped)
		tick := time.NewTicker(200 * time.Millisecond)
		defer tick.Stop()
		shown := false
		for {
			select {
			case <-finished:
				if shown {
					fmt.Fprint(s.err, "\r\x1b[K")
				}
				return
			case <-tick.C:
				gone := time.Since(begun)
				if gone < time.Second {
					continue
				}
				shown = true
				if n == 0 {
					fmt.Fprintf(s.err, "\r%s: %.0f s", what, gone.Seconds())
					continue
				}
				k := min(int(done.Load()), n)
				bar := 30 * k / n
				fmt.Fprintf(s.err, "\r%s [%s%s] %d of %d", what, strings.Repeat("#", bar), strings.Repeat(".", 30-bar), k, n)
			}
		}
	}()
	return sync.OnceFunc(func() {
		close(finished)
		<-stopped
	})
}
