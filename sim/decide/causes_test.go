package decide

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/indexing"
)

// fine is a bike of ten cogs that has no fault in any gear, by three sets.
func fine(p float64) (sets [][]sim.Chances) {
	for range 3 {
		set := make([]sim.Chances, 10)
		for g := range set {
			for k := range set[g] {
				set[g][k] = p
			}
		}
		sets = append(sets, set)
	}
	return sets
}

func tenCogs(symptoms ...Symptom) *Evidence {
	return &Evidence{Symptoms: symptoms, Teeth: []int{11, 13, 15, 17, 19, 21, 24, 28, 32, 36}, Rings: 1}
}

func likeliest(t *testing.T, list []Ranked) Ranked {
	sum := 0.0
	for i, r := range list {
		sum += r.Share
		assert.True(t, r.Share > 0 && r.Share < 1)
		assert.True(t, i == 0 || r.Share <= list[i-1].Share)
	}
	assert.InDelta(t, 1, sum, 0.1, "none is below half a percent")
	return list[0]
}

func shareOf(list []Ranked, c Cause) float64 {
	for _, r := range list {
		if r.Cause == c {
			return r.Share
		}
	}
	return 0
}

// What shows on one cog is that cog, on some beside each other worn ones, on the smallest a stiff link or
// worn ones, and what shifts tell is the indexing.
func TestCausesByTheirFootprints(t *testing.T) {
	base := []Variant{{Cause: AsMeasured, Share: 1, Sets: fine(0)}}
	none := map[indexing.Fault]float64{}
	one := Causes(base, tenCogs(symptomOf(Skips, sim.Riding, 4), symptomOf(Noise, sim.Riding, 4)), none)
	assert.Equal(t, Ranked{BadCog, likeliest(t, one).Share, 4}, one[0])
	some := Causes(base, tenCogs(symptomOf(Skips, sim.Riding, 3, 4, 5)), none)
	assert.Equal(t, WornChain, likeliest(t, some).Cause)
	assert.Equal(t, -1, some[0].At)
	small := Causes(base, tenCogs(symptomOf(Skips, sim.Riding, 0, 1, 2, 3, 4), symptomOf(Noise, sim.Riding, 0, 1, 2)), none)
	assert.Equal(t, StiffLink, likeliest(t, small).Cause)
	assert.Zero(t, shareOf(small, OfFault(indexing.BentHanger)), "there is nothing to index")
	told := Causes(base, tenCogs(), map[indexing.Fault]float64{indexing.AsTold: 1, indexing.BentHanger: 500, indexing.Setting: 3})
	assert.Equal(t, OfFault(indexing.BentHanger), likeliest(t, told).Cause)
	assert.Zero(t, shareOf(told, OfFault(indexing.AsTold)))
}

// A bike whose own chances explain a symptom needs no other cause; one that does so with its chainrings
// elsewhere has them there; gears that were seen to be fine speak against what would show in them.
func TestCausesByTheBikesChances(t *testing.T) {
	own, elsewhere := fine(0), fine(0)
	for k := range own {
		for _, g := range []int{8, 9} {
			own[k][g][sim.NoiseRiding] = 0.97
			elsewhere[k][g][sim.NoiseRiding] = 0.97
			elsewhere[k][g][sim.DropBackwards] = 0.97
		}
	}
	variants := []Variant{{Cause: AsMeasured, Share: 1, Sets: own}, {Cause: LineOff, Share: 1, Sets: elsewhere}}
	noise := symptomOf(Noise, sim.Riding, 8, 9)
	assert.Equal(t, AsMeasured, likeliest(t, Causes(variants, tenCogs(noise), nil)).Cause)
	both := tenCogs(noise, symptomOf(Drop, sim.Backwards, 8, 9))
	assert.Equal(t, LineOff, likeliest(t, Causes(variants, both, nil)).Cause)
	both.Symptoms = both.Symptoms[:1]
	before := shareOf(Causes(variants, both, nil), LineOff)
	both.Spared = []Symptom{symptomOf(Drop, sim.Backwards, 9)}
	assert.Less(t, shareOf(Causes(variants, both, nil), LineOff), before/5)
}

// The likelihood of one symptom by hand, gears one by one.
func TestLikelihoodOfToldByHand(t *testing.T) {
	told := &Evidence{Symptoms: []Symptom{symptomOf(Noise, sim.Riding, 1)}, Spared: []Symptom{symptomOf(Drop, sim.Backwards, 0)}, Teeth: []int{11, 13}, Rings: 1}
	set := make([]sim.Chances, 2)
	for g := range set {
		for k := range set[g] {
			set[g][k] = -1
		}
	}
	set[0][sim.NoiseRiding], set[1][sim.NoiseRiding], set[0][sim.DropBackwards], set[1][sim.DropBackwards] = 0.1, 0.6, 0.3, 0.8
	seen := func(p float64) float64 { return misseen + (1-2*misseen)*p }
	want := (1 - seen(0.1)) * seen(0.6) * (1 - seen(0.3))
	by := told.odds([][]sim.Chances{set})
	assert.InDelta(t, math.Log(want), told.under(by, noFootprint), 1e-12)
	badNoise, badDrop := 0.6, 0.0
	want = (1 - seen(0.1)) * seen(1-0.4*(1-badNoise)) * (1 - seen(0.3+0.7*badDrop))
	assert.InDelta(t, math.Log(want), told.likely(by, badCog, 1, 1), 1e-12)
	// Of all gears it is in one at least.
	told.Symptoms[0] = symptomOf(Noise, sim.Riding, 0, 1)
	want = (1 - (1-seen(0.1))*(1-seen(0.6))) * (1 - seen(0.3))
	assert.InDelta(t, math.Log(want), told.under(by, noFootprint), 1e-12)
}

// A fault that shows as another symptom than its own does so at times.
func TestBesidesByHand(t *testing.T) {
	set := make([]sim.Chances, 1)
	for k := range set[0] {
		set[0][k] = -1
	}
	set[0][sim.TopSlackBackwards] = 0.5
	told := &Evidence{Symptoms: []Symptom{symptomOf(LooseTop, sim.Backwards, 0), symptomOf(Drop, sim.Backwards, 0)}, Teeth: []int{11}, Rings: 1}
	by := told.odds([][]sim.Chances{set})
	assert.InDelta(t, 0.5, by[0][0][0], 1e-12)
	assert.InDelta(t, 0.5*besides, by[1][0][0], 1e-12)
}

// Every cause has a name of its own, and one that is a fault of the indexing is that fault.
func TestCausesAreNamed(t *testing.T) {
	names := map[string]bool{}
	for c := range Cause(NumCauses) {
		if c == OfFault(indexing.AsTold) {
			continue
		}
		assert.False(t, names[c.Code()], c.Code())
		names[c.Code()] = true
		if f, is := c.Fault(); is {
			assert.Equal(t, c, OfFault(f))
		}
	}
	require.Len(t, names, NumCauses-1)
	sum := commonShifts + commonOther - commonShifts*indexing.AsTold.Common()
	for c := range Cause(NumCauses) {
		if _, is := c.Fault(); !is && c != NotModelled {
			sum += common(c)
		}
	}
	assert.InDelta(t, 1, sum, 0.02, "how common each is")
}
