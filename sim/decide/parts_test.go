package decide

import (
	"context"
	"errors"
	"slices"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"chainpath/sim"
)

// plan has ring offsets, stay lengths and one broken part.
func plan() (*Plan, func() Judge) {
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
	cures := []float64{0.2, 0.3, 0.1, 0.11, -0.05, 0}
	return p, func() Judge {
		return func(picks []int) (Judged, error) {
			j := Judged{Left: 0.8, Links: 110 + len(picks)}
			for _, i := range picks {
				if i == 5 {
					return j, errors.New("no")
				}
				j.Left -= cures[i]
			}
			if slices.Contains(picks, 1) {
				j.Harm = 0.15
			}
			return j, nil
		}
	}
}

func search(t *testing.T, workers int) ([]Effect, int) {
	p, judge := plan()
	var done atomic.Int64
	out, failed, err := Search(context.Background(), p, judge, workers, &done)
	require.NoError(t, err)
	assert.EqualValues(t, 36, done.Load())
	return out, failed
}

// Brute force: every subset of the options, checked against the rules one by one.
func TestSearchAgainstBruteForce(t *testing.T) {
	p, judge := plan()
	got, failed := search(t, 2)
	byPicks := map[int]Effect{}
	for _, o := range got {
		set := 0
		for _, i := range o.Picks {
			set |= 1 << i
		}
		byPicks[set] = o
	}
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
		want, err := judge()(picks)
		if err != nil {
			bad++
			continue
		}
		n++
		o, ok := byPicks[set]
		require.True(t, ok, "%v", picks)
		assert.InDelta(t, want.Sum(), o.Sum(), 1e-12, "%v", picks)
		assert.Equal(t, want.Links, o.Links)
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

func someOutcomes(t *rapid.T) (out []Effect) {
	for i := range rapid.IntRange(1, 30).Draw(t, "outcomes") {
		o := Effect{Index: i, Price: float64(rapid.IntRange(0, 4).Draw(t, "price"))}
		if i > 0 {
			o.Picks = make([]int, rapid.IntRange(1, 3).Draw(t, "changes"))
		}
		o.Left, o.Harm = rapid.Float64Range(0, 1).Draw(t, "left"), rapid.Float64Range(0, 1).Draw(t, "harm")
		out = append(out, o)
	}
	return out
}

// costsNoMore reports whether a costs and changes no more than b.
func costsNoMore(a, b *Effect) bool { return a.Price <= b.Price && len(a.Picks) <= len(b.Picks) }

// Whatever is left out is no better, within what chances can tell, than one that is shown
// and costs no more; and none that is shown is so beside another.
func TestBestAreWorthTheirPrice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		out := someOutcomes(t)
		best := Best(out)
		shown := map[int]bool{}
		for i := range best {
			shown[best[i].Index] = true
			if i > 0 {
				assert.LessOrEqual(t, best[i-1].Sum(), best[i].Sum(), "the least trouble first")
			}
		}
		for i := range out {
			beaten := false
			for j := range best {
				o, b := &out[i], &best[j]
				beats := o.Index != b.Index && costsNoMore(b, o) && asGood(b.Sum(), o.Sum())
				if same := o.Price == b.Price && len(o.Picks) == len(b.Picks); same {
					beats = beats && (b.Sum() < o.Sum() || b.Sum() == o.Sum() && b.Index < o.Index)
				}
				beaten = beaten || beats
			}
			assert.Equal(t, !beaten, shown[out[i].Index], "%+v", out[i])
		}
	})
}

// A shortlist holds no change, the least trouble, and the least at every price.
func TestShortlist(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		out := someOutcomes(t)
		list := Shortlist(out, 20)
		assert.LessOrEqual(t, len(list), 20)
		in := map[int]bool{}
		for _, o := range list {
			assert.False(t, in[o.Index], "twice")
			in[o.Index] = true
		}
		least := &out[0]
		for i := range out {
			if out[i].Sum() < least.Sum() {
				least = &out[i]
			}
		}
		assert.True(t, in[0] && in[least.Index])
		for price := range 5 {
			best := -1
			for i := range out {
				if out[i].Price <= float64(price) && (best < 0 || out[i].Sum() < out[best].Sum()) {
					best = i
				}
			}
			assert.True(t, best < 0 || in[best], "price %d", price)
		}
	})
}

func TestStoppedSearchSaysSo(t *testing.T) {
	p, judge := plan()
	ctx, stop := context.WithCancel(context.Background())
	stop()
	out, _, err := Search(ctx, p, judge, 2, nil)
	assert.ErrorIs(t, err, ErrStopped)
	assert.Empty(t, out)
	_, err = p.Size(10)
	assert.ErrorContains(t, err, "more than 10 combinations")
}

// The complaint and the rest of a trouble make it up; what gets better elsewhere does not
// pay for the complaint.
func TestSplit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var now, before Trouble
		for k := range now.Over {
			now.Over[k] = rapid.Float64Range(0, 1).Draw(t, "now")
			before.Over[k] = rapid.Float64Range(0, 1).Draw(t, "before")
			now.Sum += Usual[k] * now.Over[k]
		}
		left, harm := now.Split(&before, func(sim.Concern) bool { return true }, &Usual)
		assert.InDelta(t, now.Sum, left, 1e-12)
		assert.Zero(t, harm)
		left, harm = now.Split(&before, func(k sim.Concern) bool { return k == sim.DropBackwards }, &Usual)
		assert.InDelta(t, Usual[sim.DropBackwards]*now.Over[sim.DropBackwards], left, 1e-12)
		assert.GreaterOrEqual(t, harm, 0.0)
	})
}

// A shortlist by hand: no change, whatever it leaves; what nothing with as few changes and no higher price
// beats; and of the room that is left the best of the others. The order is that of trouble.
func TestShortlistByHand(t *testing.T) {
	effect := func(index int, sum, price float64, changes int) Effect {
		return Effect{Index: index, Price: price, Picks: make([]int, changes), Judged: Judged{Left: sum / 2, Harm: sum / 2}}
	}
	out := []Effect{effect(0, 0.9, 0, 0), effect(1, 0.1, 50, 2), effect(2, 0.2, 60, 2), effect(3, 0.3, 50, 3), effect(4, 0.4, 20, 2), effect(5, 0.5, 50, 1), effect(6, 0.95, 0, 1)}
	for most, want := range map[int][]int{7: {1, 2, 3, 4, 5, 0, 6}, 6: {1, 2, 3, 4, 5, 0}, 5: {1, 2, 4, 5, 0}, 4: {1, 4, 5, 0}, 1: {1}} {
		var got []int
		for _, e := range Shortlist(out, most) {
			got = append(got, e.Index)
		}
		assert.Equal(t, want, got, "%d", most)
	}
}

// The complaint's trouble, and by how much the rest grew, by hand.
func TestSplitByHand(t *testing.T) {
	var now, before Trouble
	noise, rub := sim.NoiseRiding, sim.RubsNextCog
	now.Over[noise], before.Over[noise] = 0.3, 0.8
	now.Over[rub], before.Over[rub] = 0.5, 0.2
	complaint := func(k sim.Concern) bool { return k == noise }
	for _, c := range []struct{ drops, left, harm float64 }{{0, 0.3, 2 * 0.3}, {0.01, 0.3, 2*0.3 - 5*0.01}, {0.2, 0.3, 0}} {
		before.Over[sim.DropRiding] = c.drops
		left, harm := now.Split(&before, complaint, &Usual)
		assert.InDelta(t, c.left, left, 1e-15)
		assert.InDelta(t, c.harm, harm, 1e-15)
	}
}
