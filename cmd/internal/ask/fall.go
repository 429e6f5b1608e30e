package ask

import (
	"context"
	"sync/atomic"

	"chainpath/sim/fall"
	"chainpath/sim/judge"
	"chainpath/sim/march"
)

// Fall follows the drop that trial n of a seed came to; nil where it did not drop, or where a fall
// cannot be followed: when riding, and off a chainring.
func (d *DrawnGear) Fall(seed, n uint64, out *march.Fate) (*fall.Followed, error) {
	return fall.Follow(d.Bike, d.Gear, d.March, seed, n, out)
}

// Falls follows every drop of trials on every core, by trial, and counts them in done, unless that is
// nil. It ends early with march.ErrStopped.
func (a *Attempt) Falls(ctx context.Context, t *march.Trials, done *atomic.Int64) ([]*fall.Followed, error) {
	out, errs := make([]*fall.Followed, len(t.Results)), make([]error, len(t.Results))
	err := judge.Each(len(out), ctx.Err, func() (func(i int), error) {
		own := *a
		own.draws = nil
		return func(i int) {
			if t.Results[i].Dropped && !t.Cannot[i] {
				out[i], errs[i] = own.fall(i, &t.Results[i])
			}
			if done != nil {
				done.Add(1)
			}
		}, nil
	})
	if err != nil {
		return nil, march.ErrStopped
	}
	for i, err := range errs {
		if err != nil {
			return nil, err
		}
		if f := out[i]; f != nil { // of many only how they ended
			f.Result.Frames = nil
		}
	}
	return out, nil
}

func (a *Attempt) fall(n int, out *march.Fate) (*fall.Followed, error) {
	d, err := a.Drawn(uint64(n))
	if err != nil {
		return nil, err
	}
	return d.Fall(a.Seed, uint64(n), out)
}
