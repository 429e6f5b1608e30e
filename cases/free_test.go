package cases

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/budget"
	"chainpath/sim/judge"
)

// putOnly returns a case's bike with one free number at a value and the others at what the default
// set has, and the free numbers that went with it.
func putOnly(t *testing.T, c *Case, name string, v float64) (*sim.Bike, *sim.Free) {
	set := make([]float64, len(freeNumbers))
	for i := range freeNumbers {
		f := &freeNumbers[i]
		x := f.Standing
		if f.Name == "front.form" {
			x = 1 // as it is usual
		}
		if f.Name == name {
			x = v
		}
		if f.Log {
			set[i] = math.Log(x/f.Low) / math.Log(f.Up/f.Low)
		} else {
			set[i] = (x - f.Low) / (f.Up - f.Low)
		}
		assert.InDelta(t, x, f.At(set[i]), 1e-12, f.Name)
	}
	d := c.numbers()
	f := d.draw(c, set)
	b, err := c.build(d)
	require.NoError(t, err)
	return b, f
}

const freed = `chainpath: 1
speeds: 11
frame: {stay: 430}
front: {line: 45, rings: [34]}
rear: {line: 44, cogs: [11, 15, 21, 30]}
`

// Every free number moves what it is named after, by as much as it says, and nothing of what the
// case gives: the bike beside the one with the default set's.
func TestFreeNumbersMoveWhatTheyAreNamedAfter(t *testing.T) {
	c := mustParse(t, freed)
	was, _ := putOnly(t, c, "", 0)
	for _, x := range []struct {
		name   string
		v      float64
		number func(b *sim.Bike) float64
		by     float64 // off the default set's
		given  string  // what the case gives then
	}{
		{"chain.stiffness", 120, func(b *sim.Bike) float64 { return b.Chain.Stiffness }, 40000, "chain: {stiffness: 80}"},
		{"chain.slack", 1.1, func(b *sim.Bike) float64 { return sim.Degrees(b.Chain.Slack) }, 0.3, "chain: {slack: 0.8}"},
		{"chain.bevel", 0.45, func(b *sim.Bike) float64 { return b.Chain.Bevel }, -0.15, "chain: {bevel: 0.6}"},
		{"chain.width", 0.5, func(b *sim.Bike) float64 { return b.Chain.Width }, 0.5 * 0.14, "chain: {width: 5.6}"},
		{"chain.rivet_proud", 0.03, func(b *sim.Bike) float64 { return b.Chain.Proud }, 0.03, "chain: {rivet_proud: 0.1}"},
		{"chain.inner_width", -0.02, func(b *sim.Bike) float64 { return b.Chain.InnerWidth }, -0.02, "chain: {inner_width: 2.18}"},
		{"chain.outer_width", 0.06, func(b *sim.Bike) float64 { return b.Chain.OuterWidth }, 0.06, "chain: {outer_width: 3.84}"},
		{"chain.outer_width", 0.06, func(b *sim.Bike) float64 { return b.Chain.Contact }, 0.06, ""},
		{"chain.plate_height", 0.3, func(b *sim.Bike) float64 { return b.Chain.PlateHalfHeight }, 0.15, "chain: {plate_height: 8}"},
		{"front.tooth.tip_thickness", 1.2, func(b *sim.Bike) float64 { return b.Rings[0].Tooth.Tip }, 0.2, ""},
		{"front.tooth.tip_thickness", 1.2, func(b *sim.Bike) float64 { return b.Rings[0].Wide.Tip }, 0.48, ""},
		{"rear.tooth.tip_thickness", 0.7, func(b *sim.Bike) float64 { return b.Cogs[3].Tooth.Tip }, -0.3, ""},
		{"rear.cog_pitch", 0.02, func(b *sim.Bike) float64 { return b.Cogs[0].Line }, 0.03, "rear: {cog_pitch: 3.78, "},
		{"rear.cog_pitch", 0.02, func(b *sim.Bike) float64 { return b.Cogs[3].Line }, -0.03, "rear: {cog_pitch: 3.78, "},
		{"rear.cog_pitch", 0.02, func(b *sim.Bike) float64 { return b.Cogs[1].Line }, 0.01, ""},
		{"front.tooth.tip_height", 0.2, func(b *sim.Bike) float64 { return b.Rings[0].TipHeight }, 0.2, ""},
		{"rear.tooth.tip_height", -0.1, func(b *sim.Bike) float64 { return b.Cogs[2].TipHeight }, -0.1, ""},
		{"rear.tooth.thickness", 0.08, func(b *sim.Bike) float64 { return b.Cogs[2].Tooth.Full }, 0.08, ""},
	} {
		b, _ := putOnly(t, c, x.name, x.v)
		assert.InDelta(t, x.by, x.number(b)-x.number(was), 1e-9, "%s", x.name)
		if x.given == "" {
			continue
		}
		text := freed + x.given + "\n"
		if strings.HasPrefix(x.given, "rear: {") {
			text = strings.Replace(freed, "rear: {", x.given, 1)
		}
		g := mustParse(t, text)
		stood, _ := putOnly(t, g, "", 0)
		b, _ = putOnly(t, g, x.name, x.v)
		assert.Equal(t, x.number(stood), x.number(b), "%s is given", x.name)
	}
	for _, x := range []struct {
		name   string
		v      float64
		number func(f *sim.Free) float64
		want   float64
	}{
		{"seat friction", 0.07, func(f *sim.Free) float64 { return f.Seat }, 0.07},
		{"drop from", 3.6, func(f *sim.Free) float64 { return sim.Degrees(f.DropBend) }, 3.6},
		{"drop sets in over", 0.4, func(f *sim.Free) float64 { return sim.Degrees(f.DropSoft) }, 0.4},
		{"cog allowance", 0.5, func(f *sim.Free) float64 { return f.Allowance }, 0.5},
		{"link spread", 0.2, func(f *sim.Free) float64 { return f.Spread }, 0.2},
		{"neighbour's room", 0.4, func(f *sim.Free) float64 { return f.Room }, 0.4},
		{"shift pins", 0.3, func(f *sim.Free) float64 { return f.Pins }, 0.3},
		{"next cog sets in over", 0.5, func(f *sim.Free) float64 { return f.SoftCog }, 0.5},
		{"next ring sets in over", 0.9, func(f *sim.Free) float64 { return f.SoftRing }, 0.9},
		{"dirt, wear, shifting", 0.005, func(f *sim.Free) float64 { return f.Mishap }, 0.005},
		{"front cage lets go", 0.2, func(f *sim.Free) float64 { return f.Guard }, 0.2},
		{"noise from, plain", 4, func(f *sim.Free) float64 { return sim.Degrees(f.NoiseBend[0]) }, 4},
		{"noise from, wide and narrow", 2.9, func(f *sim.Free) float64 { return sim.Degrees(f.NoiseBend[1]) }, 2.9},
		{"noise sets in over", 0.6, func(f *sim.Free) float64 { return sim.Degrees(f.NoiseSoft) }, 0.6},
		{"noise pull, plain", 50, func(f *sim.Free) float64 { return f.NoisePull[0] }, 50},
		{"noise pull, wide and narrow", 40, func(f *sim.Free) float64 { return f.NoisePull[1] }, 40},
		{"noise pull sets in over", 7, func(f *sim.Free) float64 { return f.NoiseSoftPull }, 7},
		{"noise from, no tensioner", 1, func(f *sim.Free) float64 { return sim.Degrees(f.NoiseTight) }, 1},
		{"noise sets in, no tensioner", 0.15, func(f *sim.Free) float64 { return sim.Degrees(f.NoiseTightOff) }, 0.15},
	} {
		_, f := putOnly(t, c, x.name, x.v)
		assert.InDelta(t, x.want, x.number(f), 1e-12, "%s", x.name)
	}
	// Half of the sets one way, half the other: from a half on.
	for _, x := range []struct {
		v    float64
		want bool
	}{{0, false}, {0.499, false}, {0.5, true}, {1, true}} {
		_, f := putOnly(t, c, "drop by bend", x.v)
		assert.Equal(t, x.want, f.DropByBend, "%g", x.v)
		_, f = putOnly(t, c, "noise by pull", x.v)
		assert.Equal(t, x.want, f.ByPull, "%g", x.v)
	}
}

// A fifth of single rings from ten speeds on is plain where no form is given; one that is given,
// one beside another and one for fewer speeds stays as it is.
func TestTheFormOfARingIsDrawn(t *testing.T) {
	wide := func(text string, v float64) bool {
		b, _ := putOnly(t, mustParse(t, text), "front.form", v)
		return b.Rings[0].WideNarrow()
	}
	for v, want := range map[float64]bool{0: false, 0.19: false, 0.2: true, 1: true} {
		assert.Equal(t, want, wide(freed, v), "%g", v)
		assert.True(t, wide(strings.Replace(freed, "rings: [34]", "rings: [34], form: wide_narrow", 1), v))
		assert.False(t, wide(strings.Replace(freed, "rings: [34]", "rings: [34], form: plain", 1), v))
		assert.False(t, wide(strings.Replace(freed, "rings: [34]", "rings: [34, 46]", 1), v))
		assert.False(t, wide(strings.Replace(freed, "speeds: 11", "speeds: 9", 1), v))
		assert.Equal(t, want, wide(strings.Replace(freed, "speeds: 11", "speeds: 10", 1), v))
		assert.False(t, wide("chainpath: 1\nspeeds: 11\nframe: {stay: 430}\nfront: {line: 45, rings: [34]}\nrear: {line: 44, cogs: [16]}\n", v), "without a tensioner")
	}
	c := mustParse(t, strings.Replace(freed, "rings: [34]", "rings: [34], tooth: {wide_tip_thickness: 2.1, wide_thickness: 3.2}", 1))
	b, _ := putOnly(t, c, "front.form", 0.9)
	assert.InDelta(t, 2.1, b.Rings[0].Wide.Tip, 1e-12)
	assert.InDelta(t, 3.2, b.Rings[0].Wide.Full, 1e-12)
	assert.Equal(t, b.Rings[0].Tooth.Relief, b.Rings[0].Wide.Relief)
}

// Two rings move apart about their middle; pitch or lines that are given stay.
func TestRingsAreDrawnApart(t *testing.T) {
	lines := func(front string, v float64) [2]float64 {
		c := mustParse(t, strings.Replace(freed, "line: 45, rings: [34]", front, 1))
		b, _ := putOnly(t, c, "front.ring_pitch", v)
		return [2]float64{b.Rings[0].Line, b.Rings[1].Line}
	}
	was, is := lines("line: 45, rings: [34, 50]", 0), lines("line: 45, rings: [34, 50]", 0.6)
	assert.InDelta(t, -0.3, is[0]-was[0], 1e-12)
	assert.InDelta(t, 0.3, is[1]-was[1], 1e-12)
	assert.InDelta(t, 7.5, was[1]-was[0], 1e-12)
	assert.Equal(t, lines("line: 45, rings: [34, 50], ring_pitch: 7", 0), lines("line: 45, rings: [34, 50], ring_pitch: 7", 0.6))
	assert.Equal(t, [2]float64{41, 48.5}, lines("ring_lines: [41, 48.5], rings: [34, 50]", 0.6))
	pins := strings.Replace(freed, "line: 45, rings: [34]", "line: 45, rings: [34, 50], pins: {proud: 0.9, radius: 80}", 1)
	_, f := putOnly(t, mustParse(t, pins), "shift pins", 0.2)
	assert.Equal(t, 0.9, f.Pins, "as the case has them")
}

// Tips that a case gives are not drawn, nor those of ISO 606; a tip is never thicker than its tooth,
// a tooth never thinner than its tip, and rivets never below the plates.
func TestDrawnTeethStayTeeth(t *testing.T) {
	rear := func(tooth, name string, v float64) sim.Sprocket {
		c := mustParse(t, strings.Replace(freed, "cogs: [11, 15, 21, 30]", "cogs: [11, 15, 21, 30], tooth: {"+tooth+"}", 1))
		b, _ := putOnly(t, c, name, v)
		return b.Cogs[1].Sprocket
	}
	assert.Equal(t, 0.8, rear("tip_thickness: 0.8", "rear.tooth.tip_thickness", 1.3).Tooth.Tip)
	assert.Equal(t, rear("profile: iso606", "rear.tooth.tip_thickness", 1), rear("profile: iso606", "rear.tooth.tip_thickness", 1.3))
	assert.Equal(t, rear("profile: iso606", "rear.tooth.tip_height", 0), rear("profile: iso606", "rear.tooth.tip_height", 0.2))
	assert.Equal(t, rear("profile: iso606", "rear.tooth.thickness", 0), rear("profile: iso606", "rear.tooth.thickness", 0.1))
	assert.Equal(t, 2.0, rear("tip_height: 2", "rear.tooth.tip_height", 0.2).TipHeight)
	assert.Equal(t, 1.5, rear("thickness: 1.5", "rear.tooth.thickness", 0.1).Tooth.Full)
	assert.InDelta(t, 1.1, rear("thickness: 1.1", "rear.tooth.tip_thickness", 1.3).Tooth.Tip, 1e-12, "as thick as the tooth")
	thin := rear("tip_thickness: 1.58", "rear.tooth.thickness", -0.1)
	assert.Equal(t, 1.58, thin.Tooth.Full, "the default is 1.6")

	front := func(tooth string) sim.Sprocket {
		c := mustParse(t, strings.Replace(freed, "rings: [34]", "rings: [34], tooth: {"+tooth+"}", 1))
		b, _ := putOnly(t, c, "front.tooth.tip_thickness", 1.3)
		return b.Rings[0].Sprocket
	}
	assert.InDelta(t, 2.2, front("wide_tip_thickness: 2.2").Wide.Tip, 1e-12)
	assert.InDelta(t, 1.3, front("wide_tip_thickness: 2.2").Tooth.Tip, 1e-12, "the narrow ones are drawn all the same")
	assert.InDelta(t, 2.6, front("wide_thickness: 2.6").Wide.Tip, 1e-12)
	b, _ := putOnly(t, mustParse(t, freed+"chain: {width: 5.6}\n"), "chain.rivet_proud", -0.04)
	assert.InDelta(t, 0.06, b.Chain.Proud, 1e-9)
	b, _ = putOnly(t, mustParse(t, strings.Replace(freed, "speeds: 11", "speeds: 12", 1)), "chain.rivet_proud", -0.04)
	assert.InDelta(t, 0.01, b.Chain.Proud, 1e-9)
}

// An idler's teeth are drawn with those of the cogs, but for what it gives.
func TestIdlersTeethAreDrawn(t *testing.T) {
	idler := func(more, name string, v float64) *sim.Idler {
		b, _ := putOnly(t, mustParse(t, freed+"idler: {line: 46, behind: 60, above: 190"+more+"}\n"), name, v)
		return b.Idler
	}
	assert.InDelta(t, 0.8, idler("", "rear.tooth.tip_thickness", 0.8).Tooth.Tip, 1e-12)
	assert.InDelta(t, 2.5, idler("", "rear.tooth.tip_height", 0.2).TipHeight, 1e-12)
	assert.InDelta(t, 2.1, idler(", tooth: {tip_height: 2.1}", "rear.tooth.tip_height", 0.2).TipHeight, 1e-12)
	iso := ", tooth: {profile: iso606}"
	assert.Equal(t, idler(iso, "rear.tooth.tip_height", 0).TipHeight, idler(iso, "rear.tooth.tip_height", 0.2).TipHeight)
	assert.Equal(t, idler("", "", 0).Tooth, idler("", "front.tooth.tip_thickness", 1.3).Tooth)
}

// Lines without a tolerance are off by about a millimetre; ones with it by their own; all by a normal
// spread where that is assumed. What may surely be 1 mm off has a standard uncertainty of 1/√3 mm, of
// which, beside lines that are misread, 1/√1.8 is left; a quarter is beyond 0.6745 of that, and beyond
// 3 nothing. Free numbers are not drawn twice.
func TestLinesAreDrawn(t *testing.T) {
	draws := func(text string) *Drawn {
		d, err := mustParse(t, text).Draws()
		require.NoError(t, err)
		return d
	}
	set := make([]float64, len(freeNumbers))
	for i := range set {
		set[i] = 0.5
	}
	lines := func(d *Drawn, u float64) [2]float64 {
		b, _, err := d.Bike(set, func() float64 { return u })
		require.NoError(t, err)
		return [2]float64{judge.MeanLine(b.Rings) - 45, judge.MeanLine(b.Cogs) - 44}
	}
	const most = 1.2909944487 // 3/(√3·√1.8)
	for u, want := range map[float64]float64{0: -most, 0.25: -0.2902541744, 0.5: 0, 1: most} {
		got := lines(draws(freed), u)
		assert.InDelta(t, want, got[0], 1e-9)
		assert.InDelta(t, want, got[1], 1e-9)
	}
	got := lines(draws(strings.Replace(freed, "line: 45,", "line: 45 ± 0.2,", 1)), 1)
	assert.InDelta(t, 0.2*most, got[0], 1e-9, "by what is given")
	assert.InDelta(t, most, got[1], 1e-9)
	got = lines(draws(strings.Replace(freed, "line: 44,", "line: 44 ± 0.2,", 1)), 0)
	assert.InDelta(t, -most, got[0], 1e-9)
	assert.InDelta(t, -0.2*most, got[1], 1e-9)
	got = lines(draws(strings.Replace(freed, "line: 45,", "line: 45 ± 0,", 1)), 1)
	assert.Zero(t, got[0], "± 0 is beyond doubt")
	assert.InDelta(t, most, got[1], 1e-9)
	own := strings.Replace(freed, "line: 45, rings: [34]", "ring_lines: [41, 49], rings: [30, 44]", 1)
	got = lines(draws(own), 0)
	assert.InDelta(t, -1.5*most, got[0], 1e-9, "chainrings' own lines are off together, and each by half of the last digit")
	got = lines(draws(strings.Replace(own, "line: 44,", "line: 44 ± 0,", 1)), 1)
	assert.InDelta(t, 1.5*most, got[0], 1e-9)
	assert.Zero(t, got[1])
	d := draws(freed)
	d.Assume(0.4, 0.6)
	got = lines(d, 0.8413447460685429)
	assert.InDelta(t, 0.4, got[0], 1e-9)
	assert.InDelta(t, 0.6, got[1], 1e-9)
	for i, in := range draws(freed).inputs {
		free := false
		for _, f := range freeNumbers {
			free = free || f.Name == in.Name
		}
		assert.Equal(t, free, draws(freed).free[i], in.Name)
	}
	given := draws(freed + "chain: {slack: 0.8 ± 0.1}\n")
	for i, in := range given.inputs {
		if in.Name == "chain.slack" {
			assert.False(t, given.free[i], "a reading of its own")
			assert.NotEqual(t, budget.Dist(-1), in.Dist)
		}
	}
	for path, want := range map[string]bool{"front.line": true, "front.lines": true, "front.measured.gap": true, "front.lin": false, "rear.line": false, "": false} {
		assert.Equal(t, want, has(path, "front.line", "front.measured"), path)
	}
}

// The chain of a drawn bike is the case's own, or where none is given and a tensioner takes it up
// what a mechanic would cut for that bike.
func TestLinksOfADrawnBike(t *testing.T) {
	for text, own := range map[string]bool{
		freed: false,
		strings.Replace(freed, "frame: {stay: 430}\n", "", 1):                          false,
		strings.Replace(freed, "frame: {stay: 430}\n", "chain: {links: 112}\n", 1):     true,
		"chainpath: 1\nfront: {line: 45, rings: [34]}\nrear: {line: 44, cogs: [16]}\n": true,
	} {
		c := mustParse(t, text)
		d, err := c.Draws()
		require.NoError(t, err)
		b, err := c.Bike()
		require.NoError(t, err)
		long := *b
		long.Frame.Stay += 26
		got, err := d.Chain(&long)
		require.NoError(t, err)
		want := d.Links
		if !own {
			want, err = long.ChooseLinks()
			require.NoError(t, err)
			assert.NotEqual(t, d.Links, want)
		}
		assert.Equal(t, want, got, text)
	}
}

// What pin and bush bear on, by a chain's usual sizes: 12 speeds' 5.2 mm over rivets 0.05 proud and
// 2.18 inside leave plates of 0.705 mm; the width inside the outer ones less the play.
func TestBearingByHand(t *testing.T) {
	assert.InDelta(t, 2.18+2*0.705, Bearing(12), 1e-12)
	assert.InDelta(t, 3.175+2*(8.6-1-3.175-0.1)/4, Bearing(1), 1e-12)
	assert.InDelta(t, Bearing(13), Bearing(20), 1e-12, "as the most")
	assert.Equal(t, Bearing(2), Bearing(6))
	assert.NotEqual(t, Bearing(6), Bearing(7))
	assert.Equal(t, "stay", Nearest("stey", []string{"drop", "stay"}))
	assert.Empty(t, Nearest("colour", []string{"drop", "stay"}))
}

// What is drawn of lines is no doubt of a gap that was measured from chainring or cog: chainstay and
// dropout go along.
func TestMeasuredGapsGoWithDrawnLines(t *testing.T) {
	c := mustParse(t, freed+"chainstay: {gap: 6.5}\n")
	was, err := c.Bike()
	require.NoError(t, err)
	was.Dropout = &sim.Dropout{Face: was.CogFace() + 3}
	d, err := c.Draws()
	require.NoError(t, err)
	set := make([]float64, len(freeNumbers))
	for u, want := range map[float64]float64{0: -1.2909944487, 0.3: -0.2256660503, 1: 1.2909944487} {
		b, _, err := d.Bike(set, func() float64 { return u })
		require.NoError(t, err)
		moved := judge.MeanLine(b.Rings) - judge.MeanLine(was.Rings)
		assert.InDelta(t, want, moved, 1e-9)
		gap := b.RingFace() - b.Stay.Face
		assert.InDelta(t, was.RingFace()-was.Stay.Face+(2*u-1)*0.5, gap, 1e-9, "the gap's own ± 0.5 alone")
	}
	d.Assume(0.4, 0.6)
	for _, u := range []float64{0.3, 0.5, 0.8413447460685429} {
		b, _, err := d.Bike(set, func() float64 { return u })
		require.NoError(t, err)
		if u > 0.8 {
			assert.InDelta(t, 0.4, judge.MeanLine(b.Rings)-judge.MeanLine(was.Rings), 1e-9)
		}
		read := (b.RingFace() - b.Stay.Face) - (was.RingFace() - was.Stay.Face)
		assert.InDelta(t, 0, read, 1e-9, "an assumed spread of the line moves the chainstay along; a gap typed without ± is exact then")
	}
	b := *was
	b.Rings = append([]sim.Wheel(nil), was.Rings...)
	dropout := *was.Dropout
	b.Dropout = &dropout
	ring, cog := b.RingFace(), b.CogFace()
	b.Rings[0].Line += 2
	follow(&b, ring, cog-1)
	assert.InDelta(t, was.Dropout.Face+1, b.Dropout.Face, 1e-12)
}
