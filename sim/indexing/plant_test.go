package indexing

import (
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
)

// prior draws unknowns as the table of free numbers has them before the panel.
func prior(rng *rand.Rand) Unknowns {
	u := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	return Unknowns{u(0.2, 0.6), u(1.3, 2), u(0.02, 0.06), u(0.01, 0.04), u(0.05, 0.15)}
}

var pitches = map[int]float64{7: 5, 8: 4.8, 9: 4.34, 10: 3.95, 11: 3.78, 12: 3.65, 13: 3.4}
var ratios = map[int]float64{8: 1.7, 9: 1.7, 10: 1.5, 11: 1.3, 12: 1.1}

// examine is what a mechanic sees who tries every step ten times, listens to every gear and
// counts the adjuster's range.
func examine(r *Rear, on []*Margins, rng *rand.Rand) (seen []Sight) {
	for ring, m := range on {
		for _, s := range Shifts(len(r.Planes)) {
			p, late := Late(m.Own(s)), 0
			for range 10 {
				if rng.Float64() < p {
					late++
				}
			}
			seen = append(seen, Tries{Shift: s, Ring: ring, Late: late, Of: 10})
		}
		for k := range m.Tick {
			seen = append(seen, Skipping{ring, k, rng.Float64() < Late(m.Ticks(k))})
		}
	}
	m := on[0]
	return append(seen, Counted{math.Round(math.Max(0, m.Width()) / r.Click), m.First, m.FirstOut})
}

// planted returns the suspects of bicycle b, which has a fault that is felt: nobody looks for one
// that is not. Its two chainrings are a cog either side of so many cogs outboard of the middle.
func planted(f Fault, b int, off float64, unknowns []Unknowns, rng *rand.Rand) []Suspect {
	speeds := 8 + b%5
	base := Even(speeds, pitches[speeds])
	base.Gates, base.Click = true, 0.2*ratios[speeds]
	for k := range speeds {
		base.Below = append(base.Below, 5*float64(k-speeds/2))
		base.Forward = append(base.Forward, 1.3*float64(k-speeds/2))
	}
	middle := float64(speeds-1)/2 - off
	a := &Around{Others: []float64{pitches[speeds-1], pitches[speeds+1]}, Straight: []float64{middle + 1, middle - 1}}
	r, on := base, newRings(2)
	for felt := false; !felt; felt = min(on.each[0].Least(), on.each[1].Least()) < 0 {
		r = base.Clone()
		p := f.Draw(base, a, rng)
		p.Into(r)
		on.of(r, prior(rng).Draw(speeds, rng), p, a)
	}
	was := History{Crash: f == BentHanger || f == BentCog, Swap: f == WrongSpacer || f == WrongCluster}
	return Infer(base, a, unknowns, a.Faults(base), was, examine(r, on.each, rng), 2000, 0).Suspects
}

// A fault that is planted, so that it is felt, is the first suspect in four of five bicycles, or
// the second with the one check that tells it from the first.
func TestPlantedFaultsAreFound(t *testing.T) {
	rng := rand.New(rand.NewPCG(28, 1))
	var unknowns []Unknowns
	for range 200 {
		unknowns = append(unknowns, prior(rng))
	}
	found, bikes := 0, 5 // one of each number of speeds
	if os.Getenv("CHAINPATH_LONG") != "" {
		bikes = 20
	}
	for f := Setting; int(f) < NumFaults; f++ {
		first, two := 0, 0
		var missed []string
		for b := range bikes {
			got := planted(f, b, 0, unknowns, rng)
			switch {
			case got[0].Fault == f:
				first++
			case got[1].Fault == f && Separates(got[0].Fault, f) != NoCheck:
				two++
			default:
				missed = append(missed, got[0].Fault.Code()+"/"+got[1].Fault.Code())
			}
		}
		t.Logf("%-14s first %2d, second with a check %2d, of %d; instead %v", f.Code(), first, two, bikes, missed)
		if f == ChainLine { // 0.1 to 0.3 mm that a hanger or a step explains as well: told apart in 55 %, NOT in 80
			assert.GreaterOrEqual(t, first+two, bikes*5/10, f.Code())
			continue
		}
		found += first + two
		assert.GreaterOrEqual(t, first+two, bikes*6/10, f.Code())
		if bikes >= 20 {
			assert.GreaterOrEqual(t, first+two, bikes*8/10, f.Code())
		}
	}
	assert.GreaterOrEqual(t, found, (NumFaults-2)*bikes*8/10)
}

// One step that is late tells which way to turn: to a larger cog out, to a smaller one in (common
// practice, no published source).
func TestOneLateStepTellsWhichWayToTurn(t *testing.T) {
	rng := rand.New(rand.NewPCG(28, 2))
	base := Even(11, pitches[11])
	base.Gates, base.Click = true, 0.26
	a := &Around{Straight: []float64{5}}
	for _, s := range Shifts(11) {
		seen := []Sight{Tries{Shift: s, Late: 9, Of: 10}}
		got := Infer(base, a, []Unknowns{prior(rng), prior(rng), prior(rng)}, []Fault{Setting}, History{}, seen, 500, 0).Suspects[0]
		assert.Greater(t, math.Abs(got.Signed), 0.9*got.Size, "%v", s)
		assert.Equal(t, s.Outward, got.Signed < 0, "%v", s)
	}
}

// How often the top run's lean is found with the chainrings further outboard: told, not judged, but
// for that what is alike on every cog is taken up by the setting.
func TestLeanOutboardOfTheMiddle(t *testing.T) {
	if os.Getenv("CHAINPATH_LONG") == "" {
		t.Skip("CHAINPATH_LONG is not set")
	}
	var found []int
	for _, off := range []float64{0, 1.5, 3, 4} {
		rng := rand.New(rand.NewPCG(28, 1))
		var unknowns []Unknowns
		for range 200 {
			unknowns = append(unknowns, prior(rng))
		}
		n := 0
		for b := range 40 {
			got := planted(ChainLine, b, off, unknowns, rng)
			if got[0].Fault == ChainLine || got[1].Fault == ChainLine && Separates(got[0].Fault, ChainLine) != NoCheck {
				n++
			}
		}
		found = append(found, n)
	}
	t.Logf("of 40, with the rings 0, 1.5, 3, 4 cogs outboard: %v", found)
	assert.Greater(t, found[0], found[3])
}
