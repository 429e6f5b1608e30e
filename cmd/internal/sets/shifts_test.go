package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Reports of late shifts are ranked as well as is stated, by every kind of fault; by the gap's
// error alone they are ranked about as well, which is why small faults are worded as they are.
func TestShiftReportsAreRankedAsStated(t *testing.T) {
	all, err := readShifts("../../../testdata/field")
	require.NoError(t, err)
	chance, gap, yes, no := areas(all, "")
	t.Logf("area %.3f, by gap error alone %.3f, of %d late and %d fine", chance, gap, yes, no)
	assert.GreaterOrEqual(t, chance, 0.85)
	assert.GreaterOrEqual(t, chance, gap-0.01)
	assert.Equal(t, [2]int{13, 84}, [2]int{yes, no})
	for kind, least := range map[string]float64{"setting": 0.95, "spacer": 0.85, "hanger": 0.85, "bent cog": 0.85} {
		chance, gap, yes, _ := areas(all, kind)
		t.Logf("%-9s area %.2f, by gap error alone %.2f, %d late", kind, chance, gap, yes)
		assert.GreaterOrEqual(t, chance, least, kind)
		assert.Positive(t, yes)
	}
	for _, x := range all {
		if x.Kind == "straight" {
			assert.Less(t, x.Chance, 0.05, "%s %s", x.Bike, x.Shift)
		}
	}
}

// Over bicycles drawn again the chance ranks no better than the gap's error alone: the range of the
// difference holds nothing, with any seed. A score that is better on every bicycle is
// found to be so.
func TestShiftsAreRankedNoBetterThanByOneNumber(t *testing.T) {
	all, err := readShifts("../../../testdata/field")
	require.NoError(t, err)
	for seed := range uint64(3) {
		chance, gap, more, used := resampled(all, seed)
		t.Logf("by chance %s, by gap error alone %s, more %s, %d draws", chance, gap, more, used)
		assert.True(t, more[0] < 0 && more[2] > 0)
		assert.Greater(t, used, resamples*9/10)
		assert.True(t, chance[0] < chance[1] && chance[1] < chance[2])
	}
	for i := range all {
		all[i].Chance, all[i].Gap = map[bool]float64{true: 0.9, false: 0.1}[all[i].Late], 0
	}
	_, _, more, _ := resampled(all, 1)
	assert.Positive(t, more[0])
}

func TestShiftReportsNeedAFolder(t *testing.T) {
	_, err := readShifts(t.TempDir())
	assert.ErrorContains(t, err, "no reports of shifts")
}
