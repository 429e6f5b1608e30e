package say

import (
	"chainpath/sim"
)

// Fault is a fault in one or more gears, with the least and the greatest of their chances.
type Fault struct {
	Of          sim.Concern
	Gears       []Gear
	Least, Most float64
}

// Add takes one more gear in.
func (f *Fault) Add(g Gear, chance float64) {
	if len(f.Gears) == 0 {
		f.Least, f.Most = chance, chance
	}
	f.Gears = append(f.Gears, g)
	f.Least, f.Most = min(f.Least, chance), max(f.Most, chance)
}

// chance is the fault's in brackets: the first of an answer counts bikes.
func (f *Fault) chance(first bool) string {
	if first && len(f.Gears) == 1 {
		return " (" + OfBikes(f.Most) + ")"
	}
	if first {
		return " (" + Percents(f.Least, f.Most) + " of bikes like this)"
	}
	return " (" + Percents(f.Least, f.Most) + ")"
}

// Will says that the fault will probably happen.
func (f *Fault) Will(b *Bike, first bool) string {
	return Capital(b.in(sim.Hazards[f.Of].Will, f.Gears)) + f.chance(first) + "."
}

// Either says that the fault could go either way.
func (f *Fault) Either(b *Bike, first bool) string {
	return Capital(b.in(sim.Hazards[f.Of].Either, f.Gears)) + " could go either way" + f.chance(first) + "."
}

// Faults collects what has a chance from one level up to below the next, the worst fault
// first; chances are of every gear, cogs of the smallest chainring first, and leave says which
// are told of elsewhere.
func Faults(b *Bike, chances []sim.Chances, level Level, leave func(k sim.Concern, g Gear) bool) (list []Fault) {
	for _, k := range sim.ToldOrder() {
		f := Fault{Of: k}
		for i := range chances {
			g := Gear{i / len(b.Cogs), i % len(b.Cogs)}
			if p := chances[i][k]; LevelOf(p) == level && !leave(k, g) {
				f.Add(g, p)
			}
		}
		if len(f.Gears) > 0 {
			list = append(list, f)
		}
	}
	return list
}
