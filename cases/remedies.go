package cases

import (
	"cmp"
	"math"
	"slices"

	"chainpath/sim/indexing"
	"chainpath/sim/judge"
)

// What of a case is told of at all, mm and shares of a step: less cannot be felt.
const (
	feltGap  = 0.05
	feltStep = 0.005
	feltOff  = 0.03
)

// remedies lists what of a rear that was told is off, each with what it spoils in the
// bicycles, what helps most first.
func remedies(told *indexing.Rear, bikes []indexing.Bicycle) []Remedy {
	var out []Remedy
	var m indexing.Margins
	fails := func(mend func(r *indexing.Rear)) []bool {
		list := make([]bool, len(bikes))
		for i := range bikes {
			r := bikes[i].Rear.Clone()
			mend(r)
			m.Of(r, bikes[i].Draw)
			list[i] = m.Least() < 0
		}
		return list
	}
	before := fails(func(*indexing.Rear) {})
	add := func(p indexing.Plant, mend func(r *indexing.Rear)) {
		r := Remedy{Plant: p}
		for i, f := range fails(mend) {
			if f {
				r.After++
			}
			if before[i] && !f {
				r.Felt++
			}
		}
		n := float64(len(bikes))
		r.Felt, r.After = judge.OffTheEnds(r.Felt/n), judge.OffTheEnds(r.After/n)
		out = append(out, r)
	}
	if math.Abs(told.Off) >= feltOff {
		add(indexing.Plant{Fault: indexing.Setting, Size: told.Off, At: -1}, func(r *indexing.Rear) { r.Off -= told.Off })
	}
	if hung := slices.ContainsFunc(told.Aside, func(x float64) bool { return math.Abs(x) >= feltOff }); hung {
		last := len(told.Aside) - 1 // a turned one as one that leans so much
		add(indexing.Plant{Fault: indexing.BentHanger, Size: (told.Aside[last] - told.Aside[0]) / (told.Below[last] - told.Below[0]), At: -1}, func(r *indexing.Rear) {
			for k := range r.Aside {
				r.Aside[k] -= told.Aside[k]
			}
		})
	}
	if told.Play > 0 {
		add(indexing.Plant{Fault: indexing.PulleyPlay, Size: told.Play, At: -1}, func(r *indexing.Rear) { r.Play -= told.Play })
	}
	pulls(told, add)
	gaps(told, add)
	// A hanger that is felt comes first: nothing else can be set before it is straight.
	rank := func(r Remedy) float64 {
		if r.Fault == indexing.BentHanger && r.Felt >= 0.1 {
			return -2
		}
		return -r.Felt
	}
	slices.SortStableFunc(out, func(a, b Remedy) int { return cmp.Compare(rank(a), rank(b)) })
	return out
}

type adding func(p indexing.Plant, mend func(r *indexing.Rear))

// pulls tells of stops that are not a pitch apart.
func pulls(told *indexing.Rear, add adding) {
	last := len(told.Stops) - 1
	if step := -told.Stops[last]/(float64(last)*told.Pitch) - 1; math.Abs(step) >= feltStep {
		add(indexing.Plant{Fault: indexing.WrongPull, Size: step, At: -1}, func(r *indexing.Rear) {
			for k := range r.Stops {
				r.Stops[k] += -told.Pitch*float64(k) - told.Stops[k]
			}
		})
	}
}

// gaps tells of cogs that are not a pitch apart: all alike it is another cluster, one aside
// with its neighbours right is a bent cog, and else each gap is a spacer's.
func gaps(told *indexing.Rear, add adding) {
	var d []float64
	for k := 1; k < len(told.Planes); k++ {
		d = append(d, told.Planes[k-1]-told.Planes[k]-told.Pitch)
	}
	least, most := slices.Min(d), slices.Max(d)
	if mean := (told.Planes[0]-told.Planes[len(d)])/float64(len(d)) - told.Pitch; most-least < feltGap {
		if math.Abs(mean) >= 0.4*feltGap {
			add(indexing.Plant{Fault: indexing.WrongCluster, Size: mean, At: -1}, func(r *indexing.Rear) {
				for k := range r.Planes {
					r.Planes[k] += mean * float64(k)
				}
			})
		}
		return
	}
	for k := 0; k < len(d); k++ {
		switch {
		case math.Abs(d[k]) < feltGap:
		case k+1 < len(d) && math.Abs(d[k]+d[k+1]) < feltGap/2: // cog k+1 stands aside by -d[k]
			at, by := k+1, -d[k]
			add(indexing.Plant{Fault: indexing.BentCog, Size: by, At: at}, func(r *indexing.Rear) { r.Planes[at] -= by })
			k++
		default:
			at, by := k, d[k]
			add(indexing.Plant{Fault: indexing.WrongSpacer, Size: by, At: at}, func(r *indexing.Rear) { r.Spacer(at, -by) })
		}
	}
}
