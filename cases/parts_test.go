package cases

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/decide"
)

// plainBike is an invented bike into which parts are put.
const plainBike = `chainpath: 1
speeds: 11
frame: {stay: 430, drop: 60}
front: {line: 45, rings: [34]FRONT}
rear: {line: 44, cogs: [11, 15, 21, 30]REAR}
MORE
`

func put(front, rear, more string) string {
	return strings.NewReplacer("FRONT", front, "REAR", rear, "MORE", more).Replace(plainBike)
}

// Every number that a case gives reaches the model in its place and unit: mm, N, N·mm, radians.
func TestWhatACaseGivesReachesTheModel(t *testing.T) {
	b, err := mustParse(t, put(", tooth: {tip_height: 2.1, tip_thickness: 0.9, thickness: 1.7, relief: 20, wide_thickness: 3.4, wide_tip_thickness: 2.2}, form: wide_narrow, bolts: {radius: 50, depth: 4}",
		", tooth: {tip_height: 2.2, tip_thickness: 0.8, thickness: 1.5, relief: 18}, gates: [0, 2, 3, 4], gate_depth: 0.3",
		`tensioner: {guide_teeth: 12, tension_teeth: 13, cage: 80, direction: 12, gaps: [9, 5], stops: [-70, 65], index_error: 0.2, pivot_distance: 7, pivot_angle: 30, spring: 1.1, spring_rate: 0.2, width: 11, float: 0.5, hanger: {lean: 1, toe: -2}, tooth: {tip_thickness: 0.7}}
chain: {inner_width: 2.2, outer_width: 3.9, width: 5.5, rivet_proud: 0.15, pin: 3.6, plate_height: 8.4, bevel: 0.5, slack: 0.9, stiffness: 70, link_mass: 2.4, links: 112, margin: 2}
tyre: {bead_seat: 584, section: 50, width: 52, dish: 1, mud: 5}
spokes: {flange_radius: 22, flange_line: 25, rim_line: 3}
chainstay: {gap: 6, radius: 70, angle: 4, flex: 2, diameter: 19}
load: {torque: 50, freehub_drag: 0.1}
idler: {teeth: 17, line: 46, behind: 60, above: 180, held: true}`)).Bike()
	require.NoError(t, err)
	for name, x := range map[string][2]float64{
		"stay": {430, b.Frame.Stay}, "drop": {60, b.Frame.Drop},
		"ring tip height": {2.1, b.Rings[0].TipHeight}, "ring tip": {0.9, b.Rings[0].Tooth.Tip}, "ring full": {1.7, b.Rings[0].Tooth.Full}, "ring relief": {20 * math.Pi / 180, b.Rings[0].Tooth.Relief},
		"wide": {3.4, b.Rings[0].Wide.Full}, "wide tip": {2.2, b.Rings[0].Wide.Tip}, "wide relief": {20 * math.Pi / 180, b.Rings[0].Wide.Relief},
		"bolts": {50, b.Bolts.Radius}, "bolts' depth": {4, b.Bolts.Depth},
		"cog tip height": {2.2, b.Cogs[3].TipHeight}, "cog tip": {0.8, b.Cogs[3].Tooth.Tip}, "cog full": {1.5, b.Cogs[0].Tooth.Full}, "cog relief": {18 * math.Pi / 180, b.Cogs[1].Tooth.Relief},
		"cogs' lines": {3.78, b.Cogs[1].Line - b.Cogs[2].Line}, "first cog": {44 + 1.5*3.78, b.Cogs[0].Line},
		"guide": {12, float64(b.Tensioner.Guide.Teeth)}, "tension": {13, float64(b.Tensioner.Tension.Teeth)}, "pulley tip": {0.7, b.Tensioner.Guide.Tooth.Tip}, "pulley full": {1.8, b.Tensioner.Tension.Tooth.Full},
		"cage": {80, b.Tensioner.Cage}, "direction": {12 * math.Pi / 180, b.Tensioner.Direction}, "gap": {9, b.Tensioner.Gap[0]}, "large gap": {5, b.Tensioner.Gap[1]},
		"folded": {-70 * math.Pi / 180, b.Tensioner.Folded}, "stretched": {65 * math.Pi / 180, b.Tensioner.Stretched}, "index": {0.2, b.Tensioner.IndexError},
		"pivot": {7, b.Tensioner.PivotOffset}, "pivot angle": {30 * math.Pi / 180, b.Tensioner.PivotAngle}, "spring": {1100, b.Tensioner.Spring}, "rate": {200, b.Tensioner.SpringRate},
		"cage width": {11, b.Tensioner.Width}, "float": {0.5, b.Tensioner.Float}, "lean": {math.Pi / 180, b.Tensioner.Hanger.Lean}, "toe": {-2 * math.Pi / 180, b.Tensioner.Hanger.Toe},
		"inner": {2.2, b.Chain.InnerWidth}, "outer": {3.9, b.Chain.OuterWidth}, "contact": {3.8, b.Chain.Contact}, "width": {5.5, b.Chain.Width}, "proud": {0.15, b.Chain.Proud}, "pin": {3.6, b.Chain.Pin},
		"plates": {4.2, b.Chain.PlateHalfHeight}, "bevel": {0.5, b.Chain.Bevel}, "slack": {0.9 * math.Pi / 180, b.Chain.Slack}, "stiffness": {70000, b.Chain.Stiffness},
		"weight": {0.0024 * 9.80665 / 12.7, b.Chain.Weight}, "links": {112, float64(b.Chain.Links)}, "margin": {2, b.Chain.Margin}, "seat": {0.1, b.Chain.Seat},
		"bead": {584, b.Tyre.BeadSeat}, "section": {50, b.Tyre.Section}, "tyre": {52, b.Tyre.Width}, "dish": {1, b.Tyre.Dish}, "mud": {5, b.Tyre.Mud},
		"flange": {22, b.Spokes.Flange}, "flange line": {25, b.Spokes.FlangeLine}, "rim": {292, b.Spokes.Rim}, "rim line": {3, b.Spokes.RimLine},
		"stay's face": {45 - 1.7 - 6, b.Stay.Face}, "stay's radius": {70, b.Stay.Radius}, "stay's angle": {4 * math.Pi / 180, b.Stay.Angle}, "flex": {2, b.Stay.Flex}, "tube": {19, b.Stay.Diameter},
		"torque": {50000, b.Load.Torque}, "drag": {100, b.Load.FreehubDrag}, "tension of the load": {0, b.Load.Tension},
		"idler": {17, float64(b.Idler.Teeth)}, "idler line": {46, b.Idler.Line}, "behind": {-60, b.Idler.X}, "above": {180, b.Idler.Z},
		"allowance": {0.15, b.Cogs[0].Allowance}, "room": {0.95, b.CogRoom}, "pins": {0.75, b.RingPins}, "noise": {3.1 * math.Pi / 180, b.NoiseFrom},
	} {
		assert.InDelta(t, x[0], x[1], 1e-9, name)
	}
	assert.True(t, b.Idler.Held)
	// Where the case says nothing: the tip's radius, the section as the width, a cog's allowance of none alone.
	b, err = mustParse(t, put("", "", "chainstay: {gap: 6}\ntyre: {size: 50-584}")).Bike()
	require.NoError(t, err)
	assert.InDelta(t, b.Rings[0].TipRadius(12.7), b.Stay.Radius, 1e-12)
	assert.Equal(t, [3]float64{584, 50, 50}, [3]float64{b.Tyre.BeadSeat, b.Tyre.Section, b.Tyre.Width})
	one := mustParse(t, "chainpath: 1\nfront: {line: 43, rings: [42]}\nrear: {line: 43, cogs: [18]}\nload: {power: 200, cadence: 80, back_torque: 30}\nrear_is: 1\n"[:len("chainpath: 1\nfront: {line: 43, rings: [42]}\nrear: {line: 43, cogs: [18]}\n")]+"load: {power: 200, cadence: 80, slack_side: 7, bumps: 0.2}\n")
	b, err = one.Bike()
	require.NoError(t, err)
	assert.Zero(t, b.Cogs[0].Allowance)
	assert.InDelta(t, 1000*200/(2*math.Pi*80/60), b.Load.Torque, 1e-9)
	assert.Equal(t, [2]float64{7, 0.2}, [2]float64{b.Load.SlackSide, b.Load.Bumps})
	assert.Equal(t, sim.Slot{Forward: 32, Back: 32}, b.Slot, "one gear on a usual stay")
	assert.InDelta(t, sim.Radians(0.8), b.NoiseFrom, 1e-12, "without a tensioner")
	assert.Nil(t, b.Tensioner)
	f := one.Friction()
	assert.Equal(t, [4]float64{80, 0.1, 0.1, 1.5}, [4]float64{f.Cadence, f.Pin, f.Flank, f.Bearing})
	b, err = mustParse(t, put(", form: plain", "", "")).Bike()
	require.NoError(t, err)
	assert.InDelta(t, sim.Radians(3.2), b.NoiseFrom, 1e-12, "a plain ring")
}

// A front cage and a chain guide stand where the case says, or by default; not both, and each with
// the rings it is for.
func TestFrontCageAndGuide(t *testing.T) {
	cage := func(front string) *sim.FrontCage {
		b, err := mustParse(t, put(front, "", "")).Bike()
		require.NoError(t, err)
		return b.FrontCage
	}
	assert.Nil(t, cage(""))
	assert.Equal(t, &sim.FrontCage{Inside: 12, Places: []float64{42, 47}, From: -10, To: 80}, cage(", cage: {inner_width: 12, positions: [42, 47]}"))
	assert.Equal(t, &sim.FrontCage{Inside: 12, Places: []float64{42}, From: 5, To: 45}, cage(", cage: {inner_width: 12, positions: [42], start: 5, length: 40}"))
	assert.Equal(t, &sim.FrontCage{Inside: 9, Places: []float64{45}, From: 0, To: 35}, cage(", guide: {width: 9}"))
	assert.Equal(t, &sim.FrontCage{Inside: 9, Places: []float64{46}, From: 4, To: 34}, cage(", guide: {width: 9, line: 46, start: 4, length: 30}"))
	for front, want := range map[string]string{
		", cage: {inner_width: 12, positions: [42, 42]}":                "front.cage.positions: 42 after 42 mm, want each further outboard",
		", cage: {inner_width: 12, positions: [42, 46, 45]}":            "45 after 46 mm",
		", cage: {inner_width: 12, positions: [42]}, guide: {width: 9}": "front.guide: beside a front cage, want one of them",
		", pins: {proud: 0.5, radius: 60}":                              "front.pins: with one chainring, which has no larger one beside it",
	} {
		_, err := Parse("bike.yaml", []byte(put(front, "", "")))
		assert.ErrorContains(t, err, want)
	}
	two := strings.Replace(put(", guide: {width: 9}", "", ""), "rings: [34]", "rings: [34, 50]", 1)
	_, err := Parse("bike.yaml", []byte(two))
	assert.ErrorContains(t, err, "front.guide: with 2 chainrings, want one; a front derailleur's is front.cage")

	pins := func(side string, radius float64) (*sim.Bike, error) {
		c, err := Parse("bike.yaml", []byte(strings.Replace(put(fmt.Sprintf(", pins: {proud: 0.5, radius: %g%s}", radius, side), "", ""), "rings: [34]", "rings: [34, 50]", 1)))
		if err != nil {
			return nil, err
		}
		return c.Bike()
	}
	b, err := pins("", 90)
	require.NoError(t, err)
	assert.Equal(t, [2]float64{0.5, 90}, [2]float64{b.RingPins, b.PinsAt})
	b, err = pins(", side: outer", 90)
	require.NoError(t, err)
	assert.Equal(t, [2]float64{}, [2]float64{b.RingPins, b.PinsAt}, "they are on the other side")
	tips := 12.7/(2*math.Sin(math.Pi/50)) + 2.3
	_, err = pins("", tips-0.01)
	require.NoError(t, err)
	_, err = pins("", tips+0.01)
	assert.ErrorContains(t, err, "beyond the tips of the 50-tooth chainring, want at most 103.4 mm")
}

// What is missing or given twice of a wheel, its spokes and the lines of wheels is refused with its
// place.
func TestPartsThatDoNotGoTogether(t *testing.T) {
	for _, c := range []struct{ front, rear, more, want string }{
		{"", "", "spokes: {flange_radius: 22, flange_line: 25, rim_line: 3}", "spokes.rim_radius: missing, and no tyre tells the rim's size, want one of the two"},
		{"", "", "tyre: {size: 50-584, section: 50}", "tyre.size: size is given beside bead_seat or section, keep one of the two"},
		{"", "", "tyre: {size: 50-584, bead_seat: 584}", "tyre.size: size is given beside bead_seat or section"},
		{"", "", "tyre: {section: 50}", "tyre: neither size nor bead_seat and section, want one of the two"},
		{"", "", "tyre: {bead_seat: 584}", "tyre: neither size nor bead_seat and section"},
		{"", ", gates: [1, 2]", "", "rear.gates: 2 given, want one for each of the cogs (4)"},
		{"", ", gate_depth: 0.4", "", "rear.gate_depth: given without gates"},
		{", ring_lines: [45]", "", "", "front.ring_lines: given beside line, measured or ring_pitch, want it alone"},
		{"", ", cog_lines: [50, 46, 42, 38]", "", "rear.cog_lines: given beside line, measured or cog_pitch, want it alone"},
		{", measured: {tube_width: 40, gap: 25}", "", "", "front.measured: line and measured are both given, keep one"},
		{"", ", measured: {dropouts: 140, stack: 40, gap: 3}", "", "rear.measured: line and measured are both given, keep one"},
		{"", "", "tensioner: {gaps: [9]}", "tensioner.gaps: 1 given, want two"},
		{"", "", "tensioner: {stops: [9, 8, 7]}", "tensioner.stops: 3 given, want two"},
		{"", "", "load: {torque: 40, power: 200, cadence: 80}", "load: more than one of torque, power and tension, want one"},
		{"", "", "load: {power: 200}", "load: power without cadence"},
		{"", "", "load: {sag: 10}", "load.sag: given beside a tensioner, which takes up the chain"},
		{"", "", "load: {bumps: 0.1}", "load.bumps: given beside a tensioner"},
		{"", "", "load: {back_torque: 10}", "load.back_torque: given with a freewheel"},
		{"", "", "riding: {ratio: 2}", "riding: neither shares nor ratio with spread, want one of the two"},
		{"", "", "riding: {ratio: 2, spread: 1.4, shares: [{ring: 34, cog: 11, share: 1}]}", "riding.shares: shares are given beside ratio or spread"},
		{"", "", "riding: {shares: [{ring: 34, cog: 12, share: 1}]}", "riding.shares[0]: this bike has no gear 34/12"},
		{"", "", "riding: {shares: [{ring: 34, cog: 11, share: 0}]}", "riding.shares: they sum to 0, want more"},
		{"", "", "symptoms: [{what: noise, cogs: [11, 12]}]", "symptoms[0].cogs[1]: no cog of 12 teeth, want of [11 15 21 30]"},
		{"", "", "symptoms: [{what: noise, rings: [30]}]", "symptoms[0].rings[0]: no chainring of 30 teeth, want of [34]"},
	} {
		_, err := Parse("bike.yaml", []byte(put(c.front, c.rear, c.more)))
		assert.ErrorContains(t, err, c.want)
	}
	for _, c := range []struct{ old, with, want string }{
		{"line: 45, rings: [34]", "ring_lines: [45, 50], rings: [34]", "front.ring_lines: 2 given, want one for each of the chainrings (1)"},
		{"line: 44, cogs: [11, 15, 21, 30]", "cog_lines: [45], cogs: [11, 15, 21, 30]", "rear.cog_lines: 1 given, want one for each of the cogs (4)"},
		{"line: 45, rings", "rings", "front: neither line nor measured, want one of the two, such as line: 51.5"},
		{"line: 44, cogs", "cogs", "rear: neither line nor measured, want one of the two, such as line: 46"},
		{"line: 45, rings", "measured: {tube_width: 40}, rings", "front.measured: neither gap nor readings, want one of the two"},
		{"line: 45, rings", "measured: {tube_width: 40, gap: 20, readings: [20]}, rings", "front.measured.readings: gap and readings are both given, keep one"},
		{"line: 45, rings", "measured: {tube_width: 40, readings: [20, 25]}, rings", "front.measured.readings: 2 given, want one for each of the chainrings (1)"},
	} {
		_, err := Parse("bike.yaml", []byte(strings.Replace(put("", "", ""), c.old, c.with, 1)))
		assert.ErrorContains(t, err, c.want)
	}
}

// Shares of time by gear, summed where a gear is told twice, in the order of the gears; by ratio
// evenly falling off; none where nothing is said. Symptoms name their gears, or all.
func TestSharesAndSymptoms(t *testing.T) {
	two := strings.Replace(put("", "", "riding: {shares: [{ring: 34, cog: 15, share: 1}, {ring: 50, cog: 11, share: 5}, {ring: 34, cog: 15, share: 2}]}\nsymptoms: [{what: noise, direction: backwards, rings: [50], cogs: [11, 30]}, {what: skips}]"), "rings: [34]", "rings: [34, 50]", 1)
	two = strings.Replace(two, "what: noise, direction: backwards", "what: drop, direction: backwards", 1)
	c := mustParse(t, two)
	b, err := c.Bike()
	require.NoError(t, err)
	w, err := c.Shares(b)
	require.NoError(t, err)
	want := []float64{0, 3. / 8, 0, 0, 5. / 8, 0, 0, 0}
	require.Len(t, w, 8)
	for i := range w {
		assert.InDelta(t, want[i], w[i], 1e-12)
	}
	s, err := c.SymptomList(b)
	require.NoError(t, err)
	require.Len(t, s, 2)
	assert.Equal(t, map[[2]int]bool{{1, 0}: true, {1, 3}: true}, s[0].Gears)
	assert.Equal(t, [2]sim.Direction{sim.Backwards, sim.Riding}, [2]sim.Direction{s[0].Direction, s[1].Direction})
	assert.Len(t, s[1].Gears, 8)
	c = mustParse(t, put("", "", "riding: {ratio: 2, spread: 1.5}"))
	b, err = c.Bike()
	require.NoError(t, err)
	w, err = c.Shares(b)
	require.NoError(t, err)
	sum := 0.0
	for _, x := range w {
		sum += x
	}
	assert.InDelta(t, 1, sum, 1e-12)
	assert.True(t, w[1] > w[0] && w[1] > w[3], "34/15 is nearest to 2")
	w, err = mustParse(t, put("", "", "")).Shares(b)
	require.NoError(t, err)
	assert.Equal(t, decide.UsualShares(c.Front.Rings, c.Rear.Cogs), w)
}

// Names, words and several mistakes: the nearest of known names, joined errors flat and sorted, those
// without a place last, at most twenty of them told.
func TestMistakesAreSorted(t *testing.T) {
	for _, c := range []struct{ a, b string }{{"", ""}, {"abc", ""}, {"", "ab"}} {
		assert.Equal(t, max(len(c.a), len(c.b)), edits(c.a, c.b))
	}
	for words, want := range map[[2]string]int{{"stay", "stay"}: 0, {"stay", "stey"}: 1, {"stay", "sta"}: 1, {"stay", "sttay"}: 1, {"kitten", "sitting"}: 3, {"flaw", "lawn"}: 2, {"ab", "ba"}: 2} {
		assert.Equal(t, want, edits(words[0], words[1]), "%v", words)
		assert.Equal(t, want, edits(words[1], words[0]), "%v", words)
	}
	known := []string{"drop", "stay", "slot"}
	for name, want := range map[string]string{"sta": "stay", "stayy": "stay", "drop": "drop", "x": "", "sxxy": "stay", "sxxx": "", "stxy": "stay", "colour": ""} {
		assert.Equal(t, want, nearest(name, known), name)
	}
	assert.Equal(t, "stay", nearest("stai", []string{"stay", "stax"}), "the first of two as near")
	assert.Equal(t, "stab", nearest("stab", []string{"stay", "stab"}))

	a, b, c, d := &Error{Line: 3, Col: 2}, &Error{Line: 3, Col: 1}, &Error{}, &Error{Line: 2, Col: 9}
	assert.Equal(t, Errors{d, b, a, c}, together([]*Error{a, c, b, d}))
	assert.Equal(t, Errors{a, c}, together([]*Error{c, a}))
	assert.Same(t, a, together([]*Error{a}))
	assert.NoError(t, together(nil))
	assert.Equal(t, []*Error{a, b, c}, flat(errors.Join(a, errors.Join(nil, Errors{b, c}), errors.New("no mistake of a file"))))
	assert.Equal(t, "f: p: x", (&Error{File: "f", Path: "p", Problem: "x"}).Error())
	assert.Equal(t, "f:3:4: x", (&Error{File: "f", Line: 3, Col: 4, Problem: "x"}).Error())
	many := make(Errors, 20)
	for i := range many {
		many[i] = &Error{File: "f", Problem: "x"}
	}
	assert.Len(t, strings.Split(many.Error(), "\n"), 20)
	assert.NotContains(t, many.Error(), "more mistakes")
	many = append(many, many[0])
	assert.True(t, strings.HasSuffix(many.Error(), "\nf: and 1 more mistakes"))
	assert.Len(t, strings.Split(many.Error(), "\n"), 21)
	for path, want := range map[string]string{"front.rings[0]": "front", "front": "front", "axle_path.x": "axle_path", "": "", "a[1]": "a"} {
		assert.Equal(t, want, group(path))
	}
	assert.Equal(t, []*Error{{Path: "rear.x"}}, apart([]*Error{{Path: "front.a"}}, errors.Join(&Error{Path: "front.b"}, &Error{Path: "rear.x"})))
}

// What stands where a number, a whole number, a yes or no, a text or a list should is named as what
// it is, with what is wanted.
func TestWhatStandsInTheWrongPlace(t *testing.T) {
	for _, c := range []struct{ front, more, want string }{
		{"", "chain: {slack: []}", "chain.slack: a list, want an angle, 0.05° to 5°"},
		{"", "chain: {slack: [0.8]}", "chain.slack: 1 repeated reading, want at least 2, or a number alone, want 0.05° to 5°"},
		{"", "chain: {slack: {a: 1}}", "chain.slack: a group of fields, want an angle"},
		{"", "chain: {slack: }", "chain.slack: nothing, want an angle"},
		{"", "chain: {links: []}", "chain.links: a list, want a whole number"},
		{"", "chain: {links: \"112\"}", `chain.links: "112" is not a whole number`},
		{"", "chain: {links: 1e2}", `chain.links: "1e2" is not a whole number`},
		{"", "chain: {half_link: 1}", `chain.half_link: "1", want true or false`},
		{"", "chain: {half_link: []}", "chain.half_link: a list, want true or false"},
		{"", "title: [a]", "title: a list, want text"},
		{"", "title: ", "title: nothing, want text"},
		{", form: [plain]", "", "front.form: a list, want text"},
		{", cage: 3", "", `front.cage: "3", want fields: inner_width, positions, start, length`},
		{"", "symptoms: noise", `symptoms: "noise", want a list`},
		{"", "riding: {ratio: 2 ± 0.1, spread: 1.5}", `riding.ratio: "2 ± 0.1", want a number alone: no tolerance is counted here`},
		{"", "riding: {ratio: [2, 2.1], spread: 1.5}", "riding.ratio: a list, want a number alone: no scatter is counted here"},
		{"", "tyre: {size: 50-584, width: 50 (axle spacing)}", `tyre.width: "50 (axle spacing)": no axle spacing of that name`},
		{"", "tyre: {size: 50-584, width: 110 (axle spacing)}", `tyre.width: "110 (axle spacing)", want a length: only the width between dropouts has a name`},
		{"", "tyre: {size: 50-584, width: [50, 50 ± 1]}", `tyre.width: "50 ± 1", want bare numbers as repeated readings: their scatter says the rest`},
		{"", "rear.lines: 1", `unknown field "rear.lines"`},
		{"", "? [a]\n: 1", "a list, want a field name"},
	} {
		_, err := Parse("bike.yaml", []byte(put(c.front, "", c.more)))
		assert.ErrorContains(t, err, c.want)
	}
	c := mustParse(t, put("", "", "tyre: {size: 50-584, width: [50, 51, 55]}"))
	assert.InDelta(t, 52, c.Tyre.Width.Value, 1e-12)
	assert.Equal(t, []float64{50, 51, 55}, c.Tyre.Width.Readings)
}

// A riding profile is shares or a ratio with its spread, all of one and nothing of the other.
func TestRidingProfilesRefused(t *testing.T) {
	const share = "{ring: 34, cog: 15, share: 1}"
	for profile, want := range map[string]string{
		"{ratio: 2}":                                               "neither shares nor ratio with spread",
		"{spread: 2}":                                              "neither shares nor ratio with spread",
		"{shares: [" + share + "], ratio: 2}":                      "shares are given beside ratio or spread",
		"{shares: [" + share + "], spread: 2}":                     "shares are given beside ratio or spread",
		"{shares: [" + share + "], ratio: 2, spread: 2}":           "shares are given beside ratio or spread",
		"{shares: [{ring: 34, cog: 15, share: 0}]}":                "they sum to 0, want more",
		"{shares: [{ring: 35, cog: 15, share: 1}]}":                "this bike has no gear 35/15",
		"{shares: [" + share + ", {ring: 34, cog: 16, share: 1}]}": "riding.shares[1]: this bike has no gear 34/16",
	} {
		c, err := Parse("bike.yaml", []byte(put("", "", "riding: "+profile)))
		var b *sim.Bike
		if err == nil {
			if b, err = c.Bike(); err == nil {
				_, err = c.Shares(b)
			}
		}
		assert.ErrorContains(t, err, want, profile)
	}
}
