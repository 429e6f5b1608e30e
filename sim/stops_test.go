package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"chainpath/sim/indexing"
)

// checkBike is the derailleur of the check rows that came with the model: guide pulley of 12
// teeth, 15° forward of straight down, tips 2.3 mm high.
func checkBike(gaps [2]float64, pitch float64, teeth ...int) *Bike {
	b := trail()
	b.Cogs = nil
	for k, n := range teeth {
		b.Cogs = append(b.Cogs, Wheel{Sprocket{Teeth: n, TipHeight: 2.3}, 60 - pitch*float64(k)})
	}
	b.Tensioner.Guide = Sprocket{Teeth: 12, TipHeight: 2.3}
	b.Tensioner.Gap, b.Tensioner.Direction = gaps, Radians(15)
	b.Tensioner.Stops = Stops{Pitch: pitch, Typical: indexing.Unknowns{Room: 0.4, Kappa: 1.6}}
	return b
}

// The check rows with a hanger, to four digits, and one without.
func TestCheckRowsWithAHanger(t *testing.T) {
	twelve := []int{10, 12, 14, 16, 18, 21, 24, 28, 33, 39, 45, 51}
	for _, row := range []struct {
		lean               float64 // rad
		width, best        float64
		own, whole, chance float64 // of 45 to 51
	}{
		{Radians(-2), -0.6192, 0.2856, 2.1485, -0.3096, 0.9796},
		{4. / 622, 0.9842, -0.0760, 0.4921, 0.4921, 0.0021},
	} {
		b := checkBike([2]float64{11, 5}, 3.65, twelve...)
		b.Tensioner.Hanger.Lean = row.lean
		var r indexing.Rear
		b.Rear(&r)
		var m indexing.Margins
		m.Of(&r, b.Tensioner.Stops.Typical.Middle(12))
		assert.InDelta(t, row.width, m.Width(), 6e-5)
		assert.InDelta(t, row.best, m.Best, 6e-5)
		last := indexing.Shift{Pair: 10}
		assert.InDelta(t, row.own, m.Own(last), 6e-5)
		assert.InDelta(t, row.whole, m.Whole(last), 6e-5)
		assert.InDelta(t, row.chance, indexing.Late(m.Whole(last)), 6e-5)
	}
	var w ShiftWorst
	new(Indexer).Worst(&w, checkBike([2]float64{12, 6}, 3.95, 11, 12, 13, 14, 15, 17, 19, 21, 23, 25))
	assert.InDelta(t, 1.58, w.Window, 1e-9)
	assert.InDelta(t, 0.79, w.Margin, 1e-9)
}

// Stops are the steps of the shifter, whatever the cogs are; planes are the cogs', from the
// smallest; faults stay where they are told.
func TestRearOfABike(t *testing.T) {
	b := checkBike([2]float64{12, 6}, 4, 11, 13, 15)
	b.Cogs[2].Line -= 0.3
	b.Tensioner.Stops.Steps = []float64{4.1, 4.2}
	b.Tensioner.Stops.Click, b.Tensioner.Stops.Gates, b.Tensioner.Stops.Play, b.Tensioner.IndexError = 0.3, true, 0.2, -0.4
	b.Tensioner.Hanger = Hanger{Lean: 0.02, Toe: 0.01}
	var r indexing.Rear
	b.Rear(&r)
	assert.InDeltaSlice(t, []float64{0, -4, -8.3}, r.Planes, 1e-12)
	assert.InDeltaSlice(t, []float64{0, -4.1, -8.3}, r.Stops, 1e-12)
	for k := range b.Cogs {
		x, z := b.guideCentre(k)
		assert.InDelta(t, b.hangerOff(x, z), r.Aside[k], 1e-12)
	}
	assert.Equal(t, [4]float64{0.3, 0.2, -0.4, 4}, [4]float64{r.Click, r.Play, r.Off, r.Pitch})
	assert.True(t, r.Gates)
	a := b.Around()
	assert.InDelta(t, (60-b.Rings[0].Line)/4, a.Straight[0], 1e-12)
}

// The worst step of a design is that with the least margin; without a derailleur there is none.
func TestShiftWorstIsTheWorst(t *testing.T) {
	var x Indexer
	var w ShiftWorst
	x.Worst(&w, single())
	assert.Equal(t, ShiftWorst{}, w)
	b := checkBike([2]float64{11, 5}, 3.65, 10, 12, 14, 16, 18)
	b.Tensioner.Stops.Click = 0.25
	b.Cogs[3].Line += 0.3
	b.Cogs[4].Line += 0.3 // the gap from 14 to 16 is 0.3 mm too narrow
	x.Worst(&w, b)
	var r indexing.Rear
	var m indexing.Margins
	b.Rear(&r)
	m.Of(&r, b.Tensioner.Stops.Typical.Middle(5))
	least := math.Inf(1)
	for _, s := range indexing.Shifts(5) {
		least = math.Min(least, m.Whole(s))
	}
	assert.Equal(t, least, w.Margin)
	assert.InDelta(t, w.Window/0.25, w.Clicks, 1e-12)
	assert.Equal(t, 1, int(math.Abs(float64(w.From-w.To))))
	one := checkBike([2]float64{11, 5}, 3.65, 10)
	x.Worst(&w, one)
	assert.False(t, w.Valid)
}

func BenchmarkIndexer(b *testing.B) {
	bike := checkBike([2]float64{11, 5}, 3.65, 10, 12, 14, 16, 18, 21, 24, 28, 33, 39, 45, 51)
	var x Indexer
	var w ShiftWorst
	b.ReportAllocs()
	for b.Loop() {
		x.Worst(&w, bike)
	}
}
