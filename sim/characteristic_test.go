package sim

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the characteristic files anew")

// written bikes are the invented ones of the tests, changed so that every hazard, every
// layout and every limit comes up somewhere.
func writtenBikes() map[string]*Bike {
	crowded := double()
	crowded.Rings[0].Line = crowded.Rings[1].Line - 6.4
	crowded.Chain.Width += 0.6
	crowded.Spokes = &Spokes{Flange: 28, FlangeLine: 22, Rim: 290, RimLine: 2}
	crowded.FrontCage = &FrontCage{Inside: 11, Places: []float64{41, 46}, From: -5, To: 85}
	crowded.Bolts = Bolts{Radius: 45, Depth: 8}
	crowded.Load.FreehubDrag = 300
	crowded.Tensioner.Hanger = Hanger{Lean: 0.03, Toe: -0.01}
	short := trail()
	short.Chain.Links = 108
	wide := trail()
	wide.Tyre.Width, wide.Stay.Diameter = 84, 22
	wide.Tensioner.Float, wide.Tensioner.IndexError = 0.6, -0.4
	loose := single()
	loose.Load.SlackSide = 1
	loose.Rings[0].Line += 4
	far := trail()
	far.Rings[0].Line = 60
	pivot := highPivot()
	pivot.Rings[0].Line, pivot.Idler.Line = 56, 58
	pivot.Load.FreehubDrag = 500
	bound := highPivot()
	bound.Idler.Held, bound.Chain.Links = true, 128
	fixed := pushed(Fixed)
	fixed.Rings[0].Line, fixed.Load.Sag, fixed.Chain.Weight, fixed.Load.Bumps = 47.5, 22, 0.0018, 0.4
	coaster := pushed(Coaster)
	coaster.Rings[0].Line = 40
	gated := trail()
	gated.Chain.Width, gated.Chain.Seat, gated.Tensioner.Float = 5.9, 0.0005, 0.2
	pinned := double()
	pinned.Rings[0].Line, pinned.PinsAt, pinned.RingPins = pinned.Rings[1].Line-6.5, 80, 0.6
	pinned.Tyre.Width, pinned.Tyre.Dish, pinned.CogRoom = 90, 3, 0.5
	return map[string]*Bike{"pivot": pivot, "bound": bound, "fixed": fixed, "coaster": coaster, "gated": gated, "pinned": pinned, "crowded": crowded, "short": short, "wide": wide, "loose": loose, "single": single(), "far": far}
}

// some picks a few of many: the first, the last and each fifth.
func some(i, of int) bool { return i%5 == 0 || i == of-1 }

// Results, chances with their sizes, margins and designs of the written bikes are as
// written: a change of a number that nobody meant is seen here.
func TestWrittenBikesAreAsWritten(t *testing.T) {
	asWritten(t, "bikes.txt", "crowded", "short", "wide", "loose", "single", "far")
}

// The same of an idler, of cogs that are pushed, of gates and of pins.
func TestWrittenLayoutsAreAsWritten(t *testing.T) {
	asWritten(t, "layouts.txt", "pivot", "bound", "fixed", "coaster", "gated", "pinned")
}

func asWritten(t *testing.T, file string, names ...string) {
	f := &Free{Seat: 0.12, Ridden: 0.8, RideSoft: 0.5, NoiseIdler: 0.04, NoiseIdlerOff: 0.01, Allowance: 0.3, Spread: 0.06, Room: 0.8, Pins: 0.7, SoftCog: 0.15, SoftRing: 0.2, Mishap: 0.002, Guard: 0.04,
		DropBend: Radians(3.1), DropSoft: Radians(0.2), NoiseBend: [2]float64{Radians(3.0), Radians(3.1)}, NoisePull: [2]float64{30, 33}, NoiseSoft: Radians(0.2), NoiseSoftPull: 2, NoiseTight: Radians(2), NoiseTightOff: Radians(0.2)}
	var b bytes.Buffer
	bikes := writtenBikes()
	for _, name := range names {
		bike := bikes[name]
		r, err := bike.Evaluate()
		require.NoError(t, err)
		fmt.Fprintf(&b, "%s: %.6g %.6g %d links\n", name, r.Front, r.Rear, r.Links)
		for i := range r.Gears {
			g := &r.Gears[i]
			if !some(i, len(r.Gears)) {
				continue
			}
			fmt.Fprintf(&b, "%d/%d %+v cage %.5v stay %.6g top %.5v bottom %.5v guide %.5v pulls %.5v\n", g.RingTeeth, g.CogTeeth, g.Fit, g.CageAngle, g.Stay, g.Top, g.Bottom, g.Guide, g.Tensions)
			for d := range g.Arrivals {
				for _, a := range g.Arrivals[d] {
					fmt.Fprintf(&b, " %.5v", a)
				}
				if g.Fit.Mounts() {
					fmt.Fprintf(&b, " worst %s\n", g.Worst(Direction(d)).At)
				}
			}
			if g.Loop.Idled {
				fmt.Fprintf(&b, " lead %.5v\n", g.Lead)
			}
			if g.Sags.Valid {
				fmt.Fprintf(&b, " sags %.5v\n", g.Sags)
			}
			fmt.Fprintf(&b, "%.5v front %.5v\n", g.Clearances, g.Front)
			for _, v := range g.Verdicts {
				fmt.Fprintf(&b, "%s %s: %s\n", v.Direction, v.Code, v.Reason)
			}
			for k := range NumConcerns {
				fmt.Fprintf(&b, " %.4v", g.OneNumber(Concern(k)))
			}
			fmt.Fprintln(&b)
		}
		for _, by := range []bool{false, true} {
			f.ByPull, f.DropByBend = by, by
			n := len(bike.Rings) * len(bike.Cogs)
			chances, sizes := make([]Chances, n), make([]Sizes, n)
			require.NoError(t, (&Odds{Sizes: sizes}).Gears(chances, bike, f, r.Links))
			for g := range chances {
				if !some(g, n) {
					continue
				}
				fmt.Fprintf(&b, "chances %.4v sizes %.4v\n", chances[g], sizes[g])
			}
			if bike.Tensioner != nil && len(bike.Cogs) > 1 {
				w := make([]IndexWindow, n)
				require.NoError(t, new(Odds).Index(w, bike, f, r.Links))
				fmt.Fprintf(&b, "windows %.4v\n", w)
			}
		}
		var o Outcome
		require.NoError(t, new(Outcomes).Outcome(&o, bike, r.Links))
		fmt.Fprintf(&b, "outcome %.5v\n", o)
	}
	path := "../testdata/characteristic/" + file
	if *update {
		require.NoError(t, os.WriteFile(path, b.Bytes(), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), b.String())
}
