package cases

import "context"

// Within returns the case with a context that its long computations end with: chances,
// outlooks, learning, shifting and judging then return the context's error.
func (c *Case) Within(ctx context.Context) *Case {
	n := *c
	n.work = ctx
	return &n
}

// Work returns the context that the case is worked on within.
func (c *Case) Work() context.Context {
	if c.work == nil {
		return context.Background()
	}
	return c.work
}

// Stopped returns the error of the context that the case is worked on within; nil without one.
func (c *Case) Stopped() error {
	if c.work == nil {
		return nil
	}
	return c.work.Err()
}

// MostSeen is how many observations, and mostSymptoms how many symptoms, a case may have: work goes
// up with them.
const (
	MostSeen     = 2000
	mostSymptoms = 200
)

// counted refuses more observations or symptoms than are worked on.
func (c *Case) counted() error {
	if n := len(c.Observations); n > MostSeen {
		return c.fail("observations", "%d of them, want at most %d", n, MostSeen)
	}
	if n := len(c.Symptoms); n > mostSymptoms {
		return c.fail("symptoms", "%d of them, want at most %d", n, mostSymptoms)
	}
	return nil
}
