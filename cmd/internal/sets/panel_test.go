package main

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"chainpath/cases"
	"chainpath/sim"
	"chainpath/sim/score"
)

// What help scores states of the shipped sets on the field panel: at a chance of a half
// hits at least, false alarms at most, and the mean log loss at most.
var stated = map[sim.Concern]struct {
	hit, alarm int
	loss       float64
}{
	sim.NoiseRiding:       {6, 0, 0.021},
	sim.DropRiding:        {0, 0, 0.015},
	sim.DropBackwards:     {5, 0, 0.033},
	sim.RubsNextCog:       {0, 0, 0.039},
	sim.RubsNextRing:      {6, 0, 0.228},
	sim.RubsTyreAt:        {1, 0, 0.0035},
	sim.TopSlackBackwards: {7, 0, 0.006},
	sim.DoesNotClose:      {0, 0, 0.003},
}

// beaten are the rivals that the shipped sets foretell better than; of the others
// help scores says how far they are off.
var beaten = map[sim.Concern]func(r score.Rivals) float64{
	sim.NoiseRiding:   func(r score.Rivals) float64 { return r.Rule.LogLoss },
	sim.DropRiding:    func(r score.Rivals) float64 { return r.Rule.LogLoss + 0.01 },
	sim.DropBackwards: func(r score.Rivals) float64 { return r.Rule.LogLoss },
	sim.RubsNextCog:   func(r score.Rivals) float64 { return r.Rate.LogLoss },
	sim.RubsNextRing:  func(r score.Rivals) float64 { return r.Rule.LogLoss },
	sim.RubsTyreAt:    func(r score.Rivals) float64 { return r.Rate.LogLoss },
}

// The shipped sets foretell the field panel as well as is stated, and none of its
// ordinary derailleur bikes is full of alarms.
func TestPanelIsForetoldAsStated(t *testing.T) {
	if testing.Short() {
		t.Skip("slow under the race detector")
	}
	p, err := readPanel("../../../testdata/field")
	require.NoError(t, err)
	data, err := os.ReadFile("../../../cases/sets.bin")
	require.NoError(t, err)
	rows, err := cases.DecodeSets(data)
	require.NoError(t, err)
	require.Len(t, rows, cases.Sets)
	sets := mat.NewDense(len(rows), len(rows[0]), nil)
	for i, r := range rows {
		sets.SetRow(i, r)
	}
	chances, err := p.foretell(sets)
	require.NoError(t, err)
	out := p.fitted(chances)
	for k, want := range stated {
		got, err := score.Count(out[k], 0.5)
		require.NoError(t, err)
		t.Logf("%-20s %+v", k, got)
		assert.GreaterOrEqual(t, got.Hit, want.hit, "%s: hits", k)
		assert.LessOrEqual(t, got.False, want.alarm, "%s: false alarms", k)
		assert.LessOrEqual(t, got.LogLoss, want.loss, "%s: log loss", k)
		rivals, err := score.RivalsOf(out[k])
		require.NoError(t, err)
		t.Logf("%-20s one number %.4f, base rate %.4f", "", rivals.Rule.LogLoss, rivals.Rate.LogLoss)
		if rival, ok := beaten[k]; ok {
			assert.Less(t, got.LogLoss, rival(rivals), "%s: log loss against its rival's", k)
		}
	}
}

// Of the gears of ordinary, well-running derailleur bikes not more than a twelfth are
// alarmed, as gears prints them. A twentieth was the aim.
func TestGoodBikesAreNotAlarmed(t *testing.T) {
	if testing.Short() {
		t.Skip("slow under the race detector")
	}
	p, err := readPanel("../../../testdata/field")
	require.NoError(t, err)
	gears, alarmed := 0, 0
	by := map[sim.Concern]int{}
	for _, b := range p.bikes {
		if b.Grade != "good" || b.Case.Tensioner == nil {
			continue
		}
		c, err := b.Case.Chances(nil)
		require.NoError(t, err)
		for i := range c {
			gears++
			for k, p := range c[i] {
				if p >= 0.5 && sim.Concern(k) != sim.DoesNotClose {
					alarmed++
					by[sim.Concern(k)]++
					break
				}
			}
		}
	}
	t.Logf("%d of %d gears: %v", alarmed, gears, by)
	assert.LessOrEqual(t, alarmed, gears/12)
}

// Bad set files are refused by what is wrong with them.
func TestBadSetFiles(t *testing.T) {
	n := len(cases.FreeNumbers())
	good := cases.EncodeSets(make([]float64, 2*n))
	rows, err := cases.DecodeSets(good)
	require.NoError(t, err)
	require.Len(t, rows, 2)
	for name, spoil := range map[string]func(b []byte) []byte{
		"not such a file": func(b []byte) []byte { return b[:10] },
		"version":         func(b []byte) []byte { b[len("chainpath sets\n")]++; return b },
		"bytes, want":     func(b []byte) []byte { return append(b, 0) },
		"damaged":         func(b []byte) []byte { b[len(b)-9] ^= 1; return b },
	} {
		_, err := cases.DecodeSets(spoil(append([]byte(nil), good...)))
		assert.ErrorIs(t, err, cases.ErrSets)
		assert.ErrorContains(t, err, name)
	}
}
