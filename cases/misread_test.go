package cases

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"chainpath/sim/judge"
	"chainpath/sim/learn"
)

// Of the shipped sets a tenth has the front line misread, and a tenth the rear line, and hardly any
// both.
func TestATenthOfTheSetsIsMisread(t *testing.T) {
	front, rear, both := 0, 0, 0
	for k := range uint64(judge.Sets) {
		m := misreadOf(k)
		f, r := m[0] > 1-learn.Misread, m[1] > 1-learn.Misread
		if f {
			front++
		}
		if r {
			rear++
		}
		if f && r {
			both++
		}
	}
	assert.InDelta(t, 20, front, 1)
	assert.InDelta(t, 20, rear, 1)
	assert.InDelta(t, 2, both, 1)
}
