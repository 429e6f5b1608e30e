package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Reports of late shifts are ranked as well as is stated, by every kind of fault; by the gap's
// error alone they are ranked about as well, which is why small faults are worded as they are.
func TestShiftReportsAreRankedAsStated(t *testing.T) {
	all, err := readShifts("../../../testdata/field/shifts")
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

func TestShiftReportsNeedAFolder(t *testing.T) {
	_, err := readShifts(t.TempDir())
	assert.ErrorContains(t, err, "no reports of shifts")
}
