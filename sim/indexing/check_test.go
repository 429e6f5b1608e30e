package indexing

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Any two faults have a check that tells them apart, which looks at one of the two; no fault has
// none, and neither has a fault beside itself.
func TestEveryTwoFaultsHaveACheck(t *testing.T) {
	finds := map[Check][]Fault{
		GaugeHanger: {BentHanger}, MeasureCable: {WrongPull}, MeasureStack: {WrongCluster}, MeasureGaps: {WrongSpacer},
		WatchCog: {BentCog}, PushPulley: {PulleyPlay}, ChangeCable: {Friction}, TurnTwoClicks: {Setting},
	}
	assert.Len(t, finds, NumChecks-1)
	for a := range Fault(NumFaults) {
		for b := range Fault(NumFaults) {
			got := Separates(a, b)
			assert.Equal(t, got, Separates(b, a))
			if a == b || a == AsTold || b == AsTold {
				assert.Equal(t, NoCheck, got)
				continue
			}
			assert.NotEqual(t, NoCheck, got, "%s, %s", a.Code(), b.Code())
			assert.True(t, contains(finds[got], a) != contains(finds[got], b), "%s, %s: looks at one of them", a.Code(), b.Code())
		}
	}
}

func contains(list []Fault, f Fault) bool {
	for _, x := range list {
		if x == f {
			return true
		}
	}
	return false
}
