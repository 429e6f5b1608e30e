package decide

import (
	"context"
	"errors"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
)

// plan has ring offsets, stay lengths and one broken part.
func plan() (*Plan, func() Builder) {
	p := &Plan{
		Options: []Option{
			{Name: "ring 3 mm inboard", Price: 40}, {Name: "ring 6 mm inboard", Price: 50},
			{Name: "stay 10 mm longer", Price: 200}, {Name: "stay 20 mm longer", Price: 250},
			{Name: "thin tyre", Price: 30}, {Name: "part that does not fit", Price: 1},
		},
		Groups: [][]int{{0, 1}, {2, 3}, {4}, {5}},
	}
	p.Options[1].Excludes = []int{3}
	p.Options[4].Needs = []int{1}
	return p, func() Builder {
		return func(picks []int) (*sim.Bike, error) {
			b := bike()
			b.Rings[0].Line = 56
			for _, i := range picks {
				switch i {
				case 0:
					b.Rings[0].Line -= 3
				case 1:
					b.Rings[0].Line -= 6
				case 2:
					b.Frame.Stay += 10
				case 3:
					b.Frame.Stay += 20
				case 4:
					b.Tyre.Width -= 6
				case 5:
					return nil, errors.New("no")
				}
			}
			return b, nil
		}
	}
}

func search(t *testing.T, workers int) ([]Outcome, int) {
	p, build := plan()
	var done atomic.Int64
	out, failed, err := Search(context.Background(), p, build, Safe, workers, &done)
	require.NoError(t, err)
	assert.EqualValues(t, 36, done.Load())
	return out, failed
}

// Brute force: every subset of the options, checked against the rules one by
// one, graded by the verdicts of Evaluate instead of by margins.
func TestSearchAgainstBruteForce(t *testing.T) {
	p, build := plan()
	got, failed := search(t, 2)
	byPicks := map[int]Outcome{}
	for _, o := range got {
		set := 0
		for _, i := range o.Picks {
			set |= 1 << i
		}
		byPicks[set] = o
	}
	codes := map[sim.Code]bool{sim.IsClimbing: true, sim.RubsCog: true, sim.RubsRing: true, sim.TopSlack: true}
	once := map[sim.Code]bool{sim.RubsTyre: true, sim.HitsStay: true, sim.CannotClose: true} // the same both ways
	grade := func(b *sim.Bike) (wrong map[[3]int]bool, quiet int) {
		r, err := b.Evaluate()
		require.NoError(t, err)
		wrong = map[[3]int]bool{}
		for i := range r.Gears {
			g := &r.Gears[i]
			for _, v := range g.Verdicts {
				if codes[v.Code] || once[v.Code] && v.Direction == sim.Riding {
					wrong[[3]int{i, int(v.Direction), int(v.Code)}] = true
				}
			}
			if g.Top.Bend > b.NoiseFrom {
				quiet++
			}
		}
		return wrong, quiet
	}
	base, err := build()(nil)
	require.NoError(t, err)
	before, _ := grade(base)
	n, bad := 0, 0
	for set := range 1 << len(p.Options) {
		has := func(i int) bool { return set>>i&1 == 1 }
		if has(0) && has(1) || has(2) && has(3) || has(1) && has(3) || has(4) && !has(1) {
			continue
		}
		var picks []int
		price := 0.0
		for i := range p.Options {
			if has(i) {
				picks = append(picks, i)
				price += p.Options[i].Price
			}
		}
		b, err := build()(picks)
		if err != nil {
			bad++
			continue
		}
		n++
		wrong, quiet := grade(b)
		fresh := 0
		for k := range wrong {
			if !before[k] {
				fresh++
			}
		}
		o, ok := byPicks[set]
		require.True(t, ok, "%v", picks)
		assert.Equal(t, len(wrong), o.Complaint, "%v", picks)
		assert.Equal(t, fresh, o.Breaks, "%v", picks)
		assert.Equal(t, quiet, o.Quiet, "%v", picks)
		assert.InDelta(t, price, o.Price, 1e-12)
	}
	assert.Equal(t, n, len(got))
	assert.Equal(t, bad, failed)
}

func TestSearchIsTheSameOnAnyNumberOfWorkers(t *testing.T) {
	one, _ := search(t, 1)
	three, _ := search(t, 3)
	assert.Equal(t, one, three)
}

func TestBestAreTheUndominated(t *testing.T) {
	out, _ := search(t, 2)
	best := Best(out)
	require.NotEmpty(t, best)
	isBest := map[int]bool{}
	for _, b := range best {
		isBest[b.Index] = true
	}
	for i := range out {
		dominated := false
		for j := range out {
			dominated = dominated || dominates(out[j].goals(), out[i].goals())
		}
		assert.Equal(t, !dominated, isBest[out[i].Index], "%v", out[i])
	}
	for i := 1; i < len(best); i++ {
		assert.LessOrEqual(t, best[i-1].Complaint, best[i].Complaint)
	}
	assert.Less(t, best[0].Complaint, out[0].Complaint, "something helps")
}

func TestStoppedSearchSaysSo(t *testing.T) {
	p, build := plan()
	ctx, stop := context.WithCancel(context.Background())
	stop()
	out, _, err := Search(ctx, p, build, Safe, 2, nil)
	assert.ErrorIs(t, err, ErrStopped)
	assert.Empty(t, out)
	_, err = p.Size(10)
	assert.ErrorContains(t, err, "more than 10 combinations")
}
