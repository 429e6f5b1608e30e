package cases

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/combin"
	"gonum.org/v1/gonum/stat/distuv"

	"chainpath/sim"
	"chainpath/sim/decide"
	"chainpath/sim/infer"
	"chainpath/sim/judge"
	"chainpath/sim/learn"
)

// twoGears is an invented bike of two gears with what was seen of it.
const twoGears = `chainpath: 1
speeds: 9
frame: {stay: 430}
front: {line: 45, rings: [32]}
rear: {line: 44, cogs: [12, 24]}
chain: {width: 6.6}
riding: {shares: [{ring: 32, cog: 12, share: 1}, {ring: 32, cog: 24, share: 1}]}
`

// foretold is an outlook of which every draw is written down: chances of both gears at no shift
// and at one, a fourth draw that cannot be.
func foretold(t *testing.T, text string) *Outlook {
	c := mustParse(t, text)
	b, err := c.Bike()
	require.NoError(t, err)
	o := &Outlook{c: c, b: b}
	none := sim.Chances{}
	for k := range none {
		none[k] = -1
	}
	for k := range 3 {
		d := judge.Draw{Lines: [2]float64{45 + float64(k), 44 - float64(k)}}
		for shift := range 2 {
			gears := []sim.Chances{none, none}
			for g := range gears {
				gears[g][sim.DropBackwards] = 0.1 * float64(1+k+2*g+shift)
				gears[g][sim.NoiseRiding] = 0.2 * float64(1+k)
			}
			gears[0][sim.RubsNextCog] = 0.3
			d.Chances = append(d.Chances, gears)
		}
		o.draws = append(o.draws, d)
	}
	o.draws = append(o.draws, judge.Draw{Err: errors.New("it cannot be")})
	for k := range o.draws {
		s := start{set: make([]float64, len(freeNumbers))}
		for i := range s.set {
			s.set[i] = 0.25 * float64(k)
		}
		o.starts = append(o.starts, s)
	}
	return o
}

// The trouble of each shift under each set, by hand; a set that cannot be weighs nothing.
func TestChoiceOfAnOutlookByHand(t *testing.T) {
	o := foretold(t, twoGears)
	w := decide.Weights{sim.DropBackwards: 2, sim.NoiseRiding: 1}
	c, err := o.Choice(&w)
	require.NoError(t, err)
	assert.Equal(t, []float64{1, 1, 1, 0}, c.Weight)
	require.Len(t, c.Trouble, 2)
	for shift := range 2 {
		for k := range 3 {
			drops := 0.1 * (float64(1+k+shift) + float64(3+k+shift)) / 2 // mean of both gears
			assert.InDelta(t, (2*drops+0.2*float64(1+k))*judge.Sets/(judge.Sets+0.4), c.Trouble[shift][k], 1e-12, "shift %d, set %d", shift, k)
		}
		assert.Zero(t, c.Trouble[shift][3])
	}
	_, err = o.Choice(&decide.Weights{-1})
	require.ErrorIs(t, err, decide.ErrWeights)
}

// What can be tried and measured: every gear in which there is such a thing, every tool, both
// lines, with the gear in the words; not what was seen or is given already.
func TestTestsOfAnOutlook(t *testing.T) {
	texts := func(o *Outlook) (out []string) {
		list, err := o.Tests()
		require.NoError(t, err)
		for _, x := range list {
			out = append(out, x.Text)
			for k := range o.draws {
				sum := 0.0
				for _, outcome := range x.Likely {
					assert.True(t, outcome[k] >= 0 && outcome[k] <= 1)
					sum += outcome[k]
				}
				assert.InDelta(t, 1, sum, 1e-9, "%s, set %d: something comes of it", x.Text, k)
			}
			assert.Positive(t, x.Minutes)
		}
		return out
	}
	all := texts(foretold(t, twoGears))
	assert.Equal(t, []string{
		"in 32/12, wheel off the ground, back-pedal ten turns and count how often the chain drops",
		"in 32/24, wheel off the ground, back-pedal ten turns and count how often the chain drops",
		"ride in 32/12 and listen", "ride in 32/24 and listen",
		"turn the cranks in 32/12 and look whether the chain brushes the next larger cog",
	}, all[:5])
	assert.Len(t, all, 5+len(gauges)-1+2, "the chain's width is given")
	for _, text := range all {
		assert.NotContains(t, text, "width over the rivets")
	}
	assert.Equal(t, []string{"measure the front chainline again: chainpath measure front", "measure the rear chainline again: chainpath measure rear"}, all[len(all)-2:])

	seen := texts(foretold(t, twoGears+"observations:\n  - {gears: 32/24, direction: backwards, what: off, off: 1, of: 10}\n  - {gears: 32/12, what: fine}\n"))
	assert.Len(t, seen, len(all)-3)
	assert.Equal(t, "in 32/12, wheel off the ground, back-pedal ten turns and count how often the chain drops", seen[0])
	assert.Equal(t, "ride in 32/24 and listen", seen[1])
	assert.False(t, strings.Contains(seen[2], "brushes"), "fine is that it does not")
	given := texts(foretold(t, strings.Replace(twoGears, "chain: {width: 6.6}", "chain: {slack: 0.7}", 1)))
	assert.Len(t, given, len(all))
	for _, text := range given {
		assert.NotContains(t, text, "two sags")
	}
}

// counted is the chance of k failures in n tries of a bike with a chance of the fault, off backwards: the
// binomial's mean over offsets, integrated anew.
func counted(p float64, k, n int) (sum float64) {
	const try, rate, steps = 0.20, 0.1, 4000
	level := math.Sqrt(1-try)*infer.Probit(p) + math.Sqrt(try)*infer.Probit(rate)
	for i := range steps {
		x := -8 + 16*(float64(i)+0.5)/steps
		r := infer.Normal((level - math.Sqrt(1-try)*x) / math.Sqrt(try))
		sum += 16. / steps * math.Exp(-x*x/2) / math.Sqrt(2*math.Pi) * float64(combin.Binomial(n, k)) * math.Pow(r, float64(k)) * math.Pow(1-r, float64(n-k))
	}
	return sum
}

// Tries by hand: a count has the binomial's chance over what the bike may be off the model, seen right nine
// times in ten and else any count as likely; a yes or no its chance or the rest. A set that cannot be makes all alike.
func TestTriedByHand(t *testing.T) {
	o := foretold(t, twoGears)
	e := o.tried(1, sim.DropBackwards, 2)
	require.Len(t, e, 3)
	for k := range 3 {
		p := 0.1 * float64(3+k)
		for n := range 3 {
			assert.InDelta(t, 0.9*counted(p, n, 2)+0.1/3, e[n][k], 1e-3, "set %d, %d of 2", k, n)
		}
		assert.Greater(t, e[2][k]*e[0][k], e[1][k]*e[1][k], "tries of one bike are alike")
	}
	for n := range e {
		assert.InDelta(t, 1./3, e[n][3], 1e-12)
	}
	e = o.tried(0, sim.NoiseRiding, 0)
	require.Len(t, e, 2)
	for k := range 3 {
		p := 0.2 * float64(1+k)
		assert.InDelta(t, 0.9*p+0.1*(1-p), e[1][k], 1e-12)
		assert.InDelta(t, 0.9*(1-p)+0.1*p, e[0][k], 1e-12)
	}
	assert.Equal(t, [2]float64{0.5, 0.5}, [2]float64{e[0][3], e[1][3]})
	assert.Nil(t, o.tried(1, sim.RubsNextCog, 0), "the largest cog has no larger one")
	require.NotNil(t, o.tried(0, sim.RubsNextCog, 0))
}

// A reading by hand: it falls into one of eight ranges that hold equally many sets, with the
// chance that a normal error takes the set's own number there.
func TestMeasuredByHand(t *testing.T) {
	o := &Outlook{}
	for range 16 {
		o.draws = append(o.draws, judge.Draw{})
	}
	o.draws = append(o.draws, judge.Draw{Err: errors.New("it cannot be")})
	own := func(k int) float64 { return float64((7*k)%16) + 100 } // 100 to 115, each once
	e := o.measured(0.5, own)
	require.Len(t, e, 8)
	for k := range 16 {
		x := distuv.Normal{Mu: own(k), Sigma: 0.5}
		assert.InDelta(t, x.CDF(102), e[0][k], 1e-12)
		assert.InDelta(t, x.CDF(110)-x.CDF(108), e[4][k], 1e-12)
		assert.InDelta(t, 1-x.CDF(114), e[7][k], 1e-12)
	}
	for n := range e {
		assert.Equal(t, 0.125, e[n][16])
	}
	// A perfect tool tells which range but for the sets on an edge, a useless one nothing.
	e = o.measured(1e-9, own)
	sure := 0
	for k := range 16 {
		for n := range e {
			if e[n][k] > 1-1e-9 {
				sure++
			}
		}
	}
	assert.Equal(t, 9, sure, "seven lie on edges")
	e = o.measured(1e9, own)
	assert.InDelta(t, e[3][0], e[3][15], 1e-6)
}

// Something of a concern was seen in a gear where an observation of it, or of none of several,
// names that gear.
func TestWhatWasSeen(t *testing.T) {
	seen := []learn.Seen{{Gears: []int{1, 3}, One: sim.NoiseRiding}, {Gears: []int{2}, One: sim.DropRiding, None: []sim.Concern{sim.DropRiding, sim.RubsNextCog}}}
	for _, c := range []struct {
		gear int
		k    sim.Concern
		want bool
	}{{1, sim.NoiseRiding, true}, {3, sim.NoiseRiding, true}, {2, sim.NoiseRiding, false}, {0, sim.NoiseRiding, false}, {2, sim.RubsNextCog, true}, {2, sim.DropRiding, true}, {1, sim.RubsNextCog, false}, {2, sim.RubsTyreAt, false}} {
		assert.Equal(t, c.want, wasSeen(seen, c.gear, c.k), "%+v", c)
	}
}

// An outlook of a real case: its first shift is today's, whose mean is Chances'; the chances set by
// set have the mean of them all.
func TestOutlookIsOfTheDrawnSets(t *testing.T) {
	c := mustParse(t, "chainpath: 1\nframe: {stay: 430}\nfront: {line: 45, rings: [42]}\nrear: {line: 44, cogs: [16]}\n")
	o, err := c.Outlook([]float64{0, 3})
	require.NoError(t, err)
	require.Len(t, o.draws, judge.Sets)
	chances, err := c.Chances()
	require.NoError(t, err)
	bySet := o.Sets()
	along, err := c.ChancesAlong([]float64{0, 3})
	require.NoError(t, err)
	assert.Equal(t, chances, along[0])
	sum, of := 0.0, 0
	for _, d := range o.draws {
		require.NoError(t, d.Err)
		sum += d.Chances[0][0][sim.NoiseRiding]
		of++
	}
	assert.InDelta(t, judge.OffTheEnds(sum/float64(of)), chances[0][sim.NoiseRiding], 1e-12)
	require.Len(t, bySet, of)
	assert.Equal(t, o.draws[7].Chances[0], bySet[7])
	assert.Greater(t, along[1][0][sim.NoiseRiding], along[0][0][sim.NoiseRiding], "3 mm farther off")
	w, err := o.Choice(&decide.Usual)
	require.NoError(t, err)
	assert.Len(t, w.Trouble, 2)
}

// The front lines that are looked at: whole millimetres from today's up to ten, and the walls within
// that, from inboard to outboard, none twice.
func TestLinesAlongByHand(t *testing.T) {
	wall := func(part string, lo, hi float64) decide.Room {
		return decide.Room{Part: part, Lo: decide.End{Line: lo}, Hi: decide.End{Line: hi}}
	}
	lines := LinesAlong(&decide.Walls{Front: 45.5})
	require.Len(t, lines, 21)
	assert.Equal(t, 35.5, lines[0])
	assert.Equal(t, 55.5, lines[20])
	assert.Contains(t, lines, 45.5)
	lines = LinesAlong(&decide.Walls{Front: 45})
	require.Len(t, lines, 21, "today's line is one of them")
	assert.Equal(t, [2]float64{35, 55}, [2]float64{lines[0], lines[20]})
	lines = LinesAlong(&decide.Walls{Front: 45, Rooms: []decide.Room{wall("stay", 41.3, 99), wall("tyre", 0, 54.9)}})
	assert.Contains(t, lines, 41.3)
	assert.Contains(t, lines, 54.9)
	assert.NotContains(t, lines, 55.0, "too near to the wall to tell more")
	assert.Contains(t, lines, 41.0)
	for i := 1; i < len(lines); i++ {
		assert.Greater(t, lines[i], lines[i-1])
	}
	for near, kept := range map[float64]bool{41.24: false, 41.26: true, 40.76: false, 40.74: true} {
		lines = LinesAlong(&decide.Walls{Front: 45, Rooms: []decide.Room{wall("stay", near, 99)}})
		assert.Equal(t, kept, slices.Contains(lines, 41.0), "a wall at %g", near)
	}
	lines = LinesAlong(&decide.Walls{Front: 45, Rooms: []decide.Room{wall("stay", 35, 55.01)}})
	assert.Len(t, lines, 21, "a wall at the end counts, one beyond does not")
}

// Trouble along the front line is that of the chances at each line, by the riding profile.
func TestAlongIsTheTroubleOfEachLine(t *testing.T) {
	c := mustParse(t, "chainpath: 1\nframe: {stay: 430}\nfront: {line: 45, rings: [42]}\nrear: {line: 44, cogs: [16]}\n")
	w := &decide.Walls{Front: 45}
	a, chances, err := c.Along(w, &decide.Usual)
	require.NoError(t, err)
	require.Len(t, a.Places, 21)
	for _, i := range []int{0, 4, 10, 20} {
		assert.Equal(t, 35+float64(i), a.Places[i].Line)
		at, err := c.ChancesAlong([]float64{a.Places[i].Line - 45})
		require.NoError(t, err)
		assert.InDelta(t, at[0][0][sim.NoiseRiding], chances[i][0][sim.NoiseRiding], 1e-9)
		want, err := decide.Expect(chances[i], []float64{1}, &decide.Usual, carriedOf(t, c))
		require.NoError(t, err)
		assert.InDelta(t, want.Sum, a.Places[i].Sum, 1e-12)
	}
	assert.Equal(t, 10, a.Today)
	assert.InDelta(t, 44, a.Places[a.Best].Line, 1.01, "about in line with the cog")
	_, _, err = c.Along(w, &decide.Weights{-1})
	require.ErrorIs(t, err, decide.ErrWeights)
}
