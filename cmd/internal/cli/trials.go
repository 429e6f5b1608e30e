package cli

import (
	"context"

	"chainpath/sim/march"
)

// stoppedRun runs one chain, or gives it up when the context ends.
func stoppedRun(ctx context.Context, run func() (march.Result, error)) (march.Result, error) {
	type end struct {
		r   march.Result
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
		return march.Result{}, errStopped
	}
}
