package decide

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
)

// angled is one version of a bike with five cogs: the largest two are noisy, the largest drops
// back-pedalling; nothing else happens.
func angled() []sim.Chances {
	set := make([]sim.Chances, 5)
	for g := range set {
		for k := range set[g] {
			set[g][k] = 0.01
		}
	}
	set[3][sim.NoiseRiding], set[4][sim.NoiseRiding], set[4][sim.DropBackwards] = 0.8, 0.9, 0.9
	return set
}

func symptomOf(what Complaint, d sim.Direction, gears ...int) Symptom {
	s := Symptom{Complaint: what, Direction: d, Gears: map[[2]int]bool{}}
	for _, g := range gears {
		s.Gears[[2]int{0, g}] = true
	}
	return s
}

// Noise and a drop on the largest cogs have the chain angle in common; what skips has not, nor
// has a noise on the smallest cog. Of one symptom nothing is said.
func TestTogether(t *testing.T) {
	sets := [][]sim.Chances{angled(), angled()}
	noise, drop, skips := symptomOf(Noise, sim.Riding, 3, 4), symptomOf(Drop, sim.Backwards, 4), symptomOf(Skips, sim.Riding, 1)
	x, ok := Together(sets, []Symptom{skips, noise, drop}, 5, 0.35)
	require.True(t, ok)
	assert.Equal(t, []int{1, 2}, x.Of)
	assert.Equal(t, []sim.Concern{sim.NoiseRiding, sim.DropRiding, sim.DropBackwards, sim.DropSmooth}, x.Concerns)
	assert.Greater(t, x.Share, 0.9)
	assert.LessOrEqual(t, x.Share, 0.99, "never sure")
	_, ok = Together(sets, []Symptom{symptomOf(Noise, sim.Riding, 0), drop, skips}, 5, 0.35)
	assert.False(t, ok, "no noise on the smallest cog")
	_, ok = Together(sets, []Symptom{noise}, 5, 0.35)
	assert.False(t, ok)
	_, ok = Together(sets, []Symptom{noise, drop}, 5, 0.95)
	assert.False(t, ok, "no chance is so high")
	_, ok = Together(nil, []Symptom{noise, drop}, 5, 0.35)
	assert.False(t, ok)
}

// By hand: the likelihoods multiply within a version, and are averaged over versions, of which
// one with neither fault takes half.
func TestTogetherByHand(t *testing.T) {
	still := angled()
	for g := range still {
		still[g][sim.NoiseRiding], still[g][sim.DropBackwards] = 0.01, 0.01
	}
	noise, drop := symptomOf(Noise, sim.Riding, 3, 4), symptomOf(Drop, sim.Backwards, 4)
	list, byBend := []Symptom{noise, drop}, roots()[0]
	one := jointly([][]sim.Chances{angled()}, list, []int{0, 1}, 5, byBend)
	want := pattern(angled(), noise, 5, sim.NoiseRiding) * pattern(angled(), drop, 5, sim.DropBackwards) / blindPattern(noise, 5, 5) / blindPattern(drop, 5, 5)
	assert.InDelta(t, want, one, 1e-12)
	none := jointly([][]sim.Chances{still}, list, []int{0, 1}, 5, byBend)
	assert.Less(t, none, 0.01)
	half := jointly([][]sim.Chances{angled(), still}, list, []int{0, 1}, 5, byBend)
	assert.InDelta(t, (one+none)/2, half, 1e-12)
	assert.Zero(t, jointly([][]sim.Chances{angled()}, []Symptom{noise, symptomOf(Skips, sim.Riding, 1)}, []int{0, 1}, 5, byBend), "nothing modelled skips")
	for _, root := range roots() {
		for _, k := range root {
			assert.Equal(t, len(root) > 1, sim.Hazards[k].ByBend)
		}
	}
}
