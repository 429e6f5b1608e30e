package cli

import (
	"context"

	"chainpath/sim/march"
)

// stoppedRun runs one chain, or gives it up when the context ends.
func stoppedRun(ctx context.Context, run func() (march.Fate, error)) (march.Fate, error) {
	type end struct {
		r   march.Fate
		err error
	}
	done := make(chan end, 1)
	go func() {
		r, err := run()
		done <- end{r, err}
	}()
	select {
	case e := <-done:
		return e.r, e.err
	case <-ctx.Done():
		return march.Fate{}, errStopped
	}
}
