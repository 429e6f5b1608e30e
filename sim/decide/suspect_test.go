package decide

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"chainpath/sim"
)

// someSets draws sets of one ring with five cogs; the largest has no next cog.
func someSets(t *rapid.T) (sets [][]sim.Chances) {
	for range rapid.IntRange(1, 6).Draw(t, "sets") {
		set := make([]sim.Chances, 5)
		for g := range set {
			for k := range set[g] {
				set[g][k] = rapid.Float64Range(0, 1).Draw(t, "chance")
			}
		}
		set[4][sim.RubsNextCog] = -1
		sets = append(sets, set)
	}
	return sets
}

func subset(bits, n int) Symptom {
	s := Symptom{Complaint: Drop, Direction: sim.Backwards, Gears: map[[2]int]bool{}}
	for g := range n {
		if bits>>g&1 == 1 {
			s.Gears[[2]int{0, g}] = true
		}
	}
	return s
}

// Over all ways a symptom can lie in the gears, likelihoods sum to one: of the blind
// pattern, and of a set (that all gears are named counts as "somewhere", which is not one
// of those ways).
func TestLikelihoodsSumToOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sets := someSets(t)
		blind, set, n := 0.0, 0.0, len(sets[0])
		for bits := range 1<<n - 1 {
			blind += blindPattern(subset(bits, n), n, n)
			set += pattern(sets[0], subset(bits, n), n, sim.DropBackwards)
		}
		all := 1.0
		for g := range sets[0] {
			all *= misseen + (1-2*misseen)*sets[0][g][sim.DropBackwards]
		}
		assert.InDelta(t, 1, set+all, 1e-12)
		// Left out of the blind pattern: every gear, by an even rate 1/(n+1), and as a
		// fault from the first cog on, to either side and by ring and by all rings.
		assert.Greater(t, blind, 1-1/float64(n+1)/2-1/float64(2*n)-0.02)
		assert.Less(t, blind, 1.0)
	})
}

// A higher chance where it was seen, or a lower one where not, never lowers a suspect.
func TestSuspectsFollowWhatWasSeen(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sets := someSets(t)
		n := len(sets[0])
		s := subset(rapid.IntRange(1, 1<<n-2).Draw(t, "gears"), n)
		of := func() Suspect {
			list, outside := Suspects(sets, s, n)
			require.Len(t, list, 4)
			assert.True(t, outside > 0 && outside < 1)
			for _, x := range list {
				assert.True(t, x.Share > 0 && x.Share < 1)
				assert.False(t, math.IsNaN(x.Ratio) || math.IsInf(x.Ratio, 0))
				if x.Concern == sim.DropBackwards {
					return x
				}
			}
			return Suspect{}
		}
		before := of()
		g := rapid.IntRange(0, n-1).Draw(t, "gear")
		to := &sets[0][g][sim.DropBackwards]
		if s.Gears[[2]int{0, g}] {
			*to = rapid.Float64Range(*to, 1).Draw(t, "more")
		} else {
			*to = rapid.Float64Range(0, *to).Draw(t, "less")
		}
		assert.GreaterOrEqual(t, of().Ratio, before.Ratio*(1-1e-12))
	})
}

// What the model has just there speaks for it, what it has just elsewhere against.
func TestSuspectOfAnExample(t *testing.T) {
	set := make([]sim.Chances, 12)
	set[11][sim.DropBackwards], set[11][sim.TopSlackBackwards], set[0][sim.TopSlackBackwards] = 0.9, 0.05, 0.95
	list, outside := Suspects([][]sim.Chances{set}, subset(1<<11, 12), 12)
	assert.Equal(t, sim.DropBackwards, list[0].Concern)
	assert.Greater(t, list[0].Ratio, 10.0)
	assert.Greater(t, list[0].Share, 0.8)
	assert.Less(t, outside, 0.2)
	assert.Equal(t, [][2]int{{0, 11}}, list[0].Gears)
	for _, x := range list[1:] {
		if x.Concern == sim.TopSlackBackwards {
			assert.Less(t, x.Ratio, 0.2)
			assert.Equal(t, [][2]int{{0, 0}}, x.Unseen)
			assert.Equal(t, [][2]int{{0, 11}}, x.Unexpected)
		}
	}
	list, outside = Suspects([][]sim.Chances{set}, Symptom{Complaint: Skips, Gears: map[[2]int]bool{{0, 3}: true}}, 12)
	assert.Empty(t, list)
	assert.Equal(t, 0.99, outside)
}

// From 0.65 a gear of which nothing is said speaks against it, below 0.1 one that is named is not
// expected: at either bound itself and just beside it.
func TestWhatSpeaksAgainstASuspect(t *testing.T) {
	set := make([]sim.Chances, 6)
	for g, p := range []float64{0.1, 0.0999, 0.105, 0.65, 0.6499, 0.7} {
		set[g][sim.DropBackwards] = p
	}
	list, _ := Suspects([][]sim.Chances{set}, subset(0b000111, 6), 6)
	for _, x := range list {
		if x.Concern == sim.DropBackwards {
			assert.Equal(t, [][2]int{{0, 0}, {0, 1}, {0, 2}}, x.Gears)
			assert.InDeltaSlice(t, []float64{0.1, 0.0999, 0.105}, x.Chance, 1e-15)
			assert.Equal(t, [][2]int{{0, 1}}, x.Unexpected)
			assert.Equal(t, [][2]int{{0, 3}, {0, 5}}, x.Unseen)
			return
		}
	}
	assert.Fail(t, "a drop is not suspected")
}

// What knows nothing, by hand: one of two gears has 1!·1!/3! by an even rate, and as a fault that sets
// in somewhere 1/4, whatever is misheard: of both gears twice, of the one and of the other once, which
// are (2m(1-m) + (1-m)² + m²)/4.
func TestBlindPatternByHand(t *testing.T) {
	for bits := 1; bits <= 2; bits++ {
		assert.InDelta(t, (1.0/6+1.0/4)/2, blindPattern(subset(bits, 2), 2, 2), 1e-12)
	}
	assert.Equal(t, 0.5, blindPattern(subset(3, 2), 2, 2), "somewhere")
}

// The shift is the least that cures; walls bound it.
func TestTryTheRing(t *testing.T) {
	a := &Along{From: math.Inf(-1), To: math.Inf(1), Today: 5, FromBy: "stay", ToBy: "tyre"}
	var chances [][]sim.Chances
	for i := range 11 {
		a.Places = append(a.Places, Place{Line: 45 + float64(i)})
		c := make([]sim.Chances, 2)
		c[1][sim.NoiseRiding] = 0.02 + 0.05*float64(i) // 0.27 today, below 0.1 from two places on
		chances = append(chances, c)
	}
	got := a.Try(chances, []int{1}, sim.NoiseRiding)
	assert.Equal(t, Try{Concern: sim.NoiseRiding, Shift: -4, Before: 0.27, After: chances[1][1][sim.NoiseRiding], Cured: true}, got)
	a.From = 48
	got = a.Try(chances, []int{1}, sim.NoiseRiding)
	assert.Equal(t, -2.0, got.Shift)
	assert.False(t, got.Cured)
	assert.Equal(t, "stay", got.Wall)
	got = a.Try(chances, []int{0}, sim.NoiseRiding)
	assert.Zero(t, got.Shift)
	assert.True(t, got.Cured)
}

// What the hazards' table names as symptoms are complaints, and all of those but what nothing
// in the model does have a concern behind them.
func TestSymptomsOfHazardsAreComplaints(t *testing.T) {
	behind := map[Complaint]bool{Skips: true}
	for _, h := range sim.Hazards {
		for _, s := range h.Symptoms {
			assert.Contains(t, Complaints, Complaint(s), h.Code)
			behind[Complaint(s)] = true
		}
	}
	for _, c := range OfShifts { // bicycles with a fault each are behind those
		behind[c] = true
	}
	assert.Len(t, behind, len(Complaints))
}

// A symptom in every gear was seen somewhere: its likelihood is that of not none at all.
func TestSymptomInEveryGearByHand(t *testing.T) {
	set := make([]sim.Chances, 3)
	for g, p := range []float64{0.5, 0, -1} { // -1: no such fault in the gear
		set[g][sim.NoiseRiding] = p
	}
	all := subset(7, 3)
	assert.InDelta(t, 1-0.5*0.98*0.98, pattern(set, all, 3, sim.NoiseRiding), 1e-15)
	assert.InDelta(t, 0.5*0.98*0.98, pattern(set, subset(1, 3), 3, sim.NoiseRiding), 1e-15)
	assert.InDelta(t, 0.5*0.02*0.98, pattern(set, subset(2, 3), 3, sim.NoiseRiding), 1e-15)
	assert.Equal(t, 0.5, blindPattern(all, 3, 3))
}
