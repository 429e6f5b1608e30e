package cases

import (
	"fmt"
	"math"
	"sync"
)

// Basis says what a default rests on.
type Basis string

// What a default can rest on.
const (
	Standard   Basis = "standard"
	Practice   Basis = "common practice"
	Assumption Basis = "assumption"
)

// Default is what holds for a field that a case does not give.
type Default struct {
	Path  string // field path
	Value float64
	Unit  string // base unit of the field
	Basis Basis
	Note  string
	// Within is how far off the default may be, surely, where that is looked at
	// as an uncertainty; 0: taken as it is.
	Within float64
	// Text is the default of a field that is no number, with Value 0.
	Text string
}

// sizes are what follows from the number of speeds a chain is made for.
type sizes struct {
	upTo                       int
	inner, width, within       float64 // chain, mm; within of the width
	proud                      float64
	cogPitch, cog, ring, rings float64 // cog pitch, cog and ring thickness, ring pitch, mm
}

// Inside widths are the nominal 1/8, 3/32 and 11/128 in; widths over the rivets
// the middle of the trade tables' ranges, within half of them; rivets stand out by
// 0.6 mm each side of one old 6-speed chain, of the others by assumption; cog pitches
// 7 to 13 speeds from trade tables (10 and 11 seen in print, the others and all
// thicknesses from memory).
var bySpeeds = []sizes{
	{1, 3.175, 8.6, 0.2, 0.5, 5.0, 2.8, 2.8, 8},
	{6, 2.38, 7.8, 0.2, 0.55, 5.5, 1.85, 2.0, 8},
	{7, 2.38, 7.3, 0.2, 0.4, 5.0, 1.85, 2.0, 8},
	{8, 2.38, 7.15, 0.15, 0.35, 4.8, 1.8, 2.0, 8},
	{9, 2.18, 6.6, 0.1, 0.25, 4.34, 1.75, 1.8, 7.5},
	{10, 2.18, 6.02, 0.18, 0.15, 3.95, 1.6, 1.8, 7.5},
	{11, 2.18, 5.6, 0.14, 0.1, 3.78, 1.6, 1.8, 7.5},
	{12, 2.18, 5.2, 0.05, 0.05, 3.65, 1.6, 1.8, 7},
	{13, 2.18, 4.9, 0.05, 0.05, 3.4, 1.55, 1.8, 7},
}

func sizesFor(speeds int) sizes {
	for _, x := range bySpeeds {
		if speeds <= x.upTo {
			return x
		}
	}
	return bySpeeds[len(bySpeeds)-1]
}

// platePlay is what inner plates have between outer ones, mm (assumption).
const platePlay = 0.1

// Bearing returns the length over which pin and bush of a chain made for so many speeds
// bear, mm, by its usual sizes (assumption).
func Bearing(speeds int) float64 {
	s := sizesFor(speeds)
	return outerWidth(s.inner, s.width, s.proud) - platePlay
}

// outerWidth returns the width inside the outer plates of a chain whose four plates are
// alike: what its width over the rivets leaves. mm.
func outerWidth(inner, width, proud float64) float64 {
	plate := (width - 2*proud - inner - platePlay) / 4
	return inner + 2*plate + platePlay
}

// Defaults returns every default for a number of speeds, in the order of the
// case file's fields.
func Defaults(speeds int) []Default {
	s := sizesFor(speeds)
	guide, tension, cage := 11.0, 11.0, 75.0
	switch {
	case speeds >= 12:
		guide, tension, cage = 12, 14, 93
	case speeds == 1:
		cage = 56
	}
	tip := 1.0
	if speeds == 1 {
		tip = 1.8
	}
	const mm, deg = "mm", "°"
	rows := []struct {
		path   string
		value  float64
		unit   string
		basis  Basis
		note   string
		within float64 // how far off it may surely be
	}{
		{"frame.stay", usualStay, mm, Practice, "405 to 455 mm on most bicycles, from memory", stayWithin},
		{"frame.drop", 60, mm, Assumption, "between 30 and 80 mm on most bicycles", 0},
		{"frame.slot.forward", 0, mm, Assumption, "no room: the stated stay holds", 0},
		{"frame.slot.back", 0, mm, Assumption, "no room: the stated stay holds", 0},
		{"front.form", 0, "", Practice, formNote, 0},
		{"front.ring_pitch", s.rings, mm, Practice, "chainring to chainring, from memory", 0},
		{"front.tooth.thickness", s.ring, mm, Practice, "chainring teeth, from memory", 0},
		{"front.tooth.tip_thickness", tip, mm, Assumption, "measure it with calipers", 0.2},
		{"front.tooth.wide_thickness", 3.5, mm, Assumption, "wide teeth that fill an outer link", 0},
		{"front.tooth.wide_tip_thickness", 2.4, mm, Assumption, "measure it with calipers", 0},
		{"front.tooth.relief", 17, deg, Assumption, "measure it on a photograph", 0},
		{"front.tooth.tip_height", 2.3, mm, Assumption, "bicycle teeth are shorter than those of ISO 606", 0},
		{"front.cage.start", -10, mm, Assumption, "a little ahead of where the run leaves the chainring", 0},
		{"front.cage.length", 90, mm, Assumption, "measure the plates along the chain", 0},
		{"front.guide.start", 0, mm, Assumption, "where the run leaves the chainring", 0},
		{"front.guide.length", 35, mm, Assumption, "measure it along the chain", 0},
		{"rear.cog_pitch", s.cogPitch, mm, Practice, "trade tables; 10 and 11 speeds seen in print, others from memory", 0},
		{"rear.drive", 0, "", Assumption, "only a fixed or coaster cog drives backwards", 0},
		{"rear.gate_depth", 0.4, mm, Assumption, "not used: how gates differ is drawn", 0},
		{"rear.tooth.thickness", s.cog, mm, Practice, "cog teeth, from memory", 0},
		{"rear.tooth.tip_thickness", tip, mm, Assumption, "measure it with calipers", 0.2},
		{"rear.tooth.relief", 17, deg, Assumption, "measure it on a photograph", 0},
		{"rear.tooth.tip_height", 2.3, mm, Assumption, "bicycle teeth are shorter than those of ISO 606", 0},
		{"chain.pitch", 12.7, mm, Standard, "ISO 9633, ISO 606; cannot be changed", 0},
		{"chain.margin", 1, "", Assumption, "links in hand through the cage on largest chainring and cog; round those two alone a pair is", 0},
		{"chain.inner_width", s.inner, mm, Practice, "trade tables, nominal 1/8, 3/32 or 11/128 in", 0},
		{"chain.outer_width", math.Round(1e3*outerWidth(s.inner, s.width, s.proud)) / 1e3, mm, Assumption, "from width, rivets and inside width: four plates alike, 0.1 mm of play", 0},
		{"chain.width", s.width, mm, Practice, "trade tables, middle of the range", s.within},
		{"chain.rivet_proud", s.proud, mm, Assumption, "measure rivets and plates with calipers", 0},
		{"chain.pin", 3.66, mm, Standard, "ISO 606, chain 081, from memory", 0},
		{"chain.plate_height", 8, mm, Assumption, "measure it with calipers", 0},
		{"chain.bevel", 0.6, mm, Assumption, "no published value; 0.3 to 0.85 by the field panel", 0.25},
		{"chain.slack", 0.8, deg, Assumption, "no published value; 0.4 to 1.25 by the field panel", 0.25},
		{"chain.stiffness", 80, "N·m/rad", Assumption, "under tension; no published value; 25 to 240 by the field panel", 50},
		{"chain.link_mass", 2.3, "", Practice, "g; chains of 112 to 118 links weigh about 250 to 280 g, from memory", 0},
		{"tensioner.guide_teeth", guide, "", Practice, "from memory", 0},
		{"tensioner.tension_teeth", tension, "", Practice, "from memory", 0},
		{"tensioner.cage", cage, mm, Assumption, "or as long as the range of gears asks for; measure it pulley to pulley", cageWithin},
		{"tensioner.direction", 15, deg, Assumption, "a little forward of straight down", 0},
		{"tensioner.gaps[0]", 12, mm, Assumption, "at the smallest cog", 0},
		{"tensioner.gaps[1]", 6, mm, Practice, "at the largest cog, makers ask for 5 to 6 mm", 0},
		{"tensioner.index_error", 0, mm, Assumption, "the cable is set at its best", 0},
		{"tensioner.stops[0]", -75, deg, Assumption, "cage folded back", 0},
		{"tensioner.stops[1]", 75, deg, Assumption, "cage stretched forward", 0},
		{"tensioner.pivot_distance", 0, mm, Assumption, "cage turns about the guide pulley", 0},
		{"tensioner.pivot_angle", 0, deg, Assumption, "no offset", 0},
		{"tensioner.spring", 1.2, "N·m", Assumption, "gives 6 to 12 N in the bottom run", 0.4},
		{"tensioner.spring_rate", 0.25, "N·m/rad", Assumption, "a wound spring pulls harder", 0},
		{"tensioner.width", 12, mm, Assumption, "from memory; measure it across the plates", 0},
		{"tensioner.float", 0.6, mm, Assumption, "push the guide pulley from side to side; 0.2 to 1.0 mm is sound", 0},
		{"tensioner.actuation", 0, "", Practice, "most derailleurs have a cable", 0},
		{"tensioner.ratio", ratioOf(speeds), "", Practice, "middle of what a trade table gives for the speeds, second-hand; with cable_per_shift what matches that", 0},
		{"tensioner.adjuster_pitch", 0.8, mm, Practice, "M5 thread", 0},
		{"tensioner.adjuster_clicks", 4, "", Practice, "a click each quarter of a turn", 0},
		{"tensioner.hanger.lean", 0, deg, Assumption, "straight: chainpath measure hanger", 0},
		{"tensioner.hanger.toe", 0, deg, Assumption, "straight: chainpath measure hanger", 0},
		{"tensioner.tooth.thickness", min(s.ring, 2.0), mm, Assumption, "pulley teeth", 0},
		{"tensioner.tooth.tip_thickness", 1.0, mm, Assumption, "measure it with calipers", 0},
		{"tensioner.tooth.relief", 17, deg, Assumption, "measure it on a photograph", 0},
		{"tensioner.tooth.tip_height", 2.3, mm, Assumption, "as for cogs", 0},
		{"idler.teeth", 16, "", Practice, "from memory", 0},
		{"idler.tooth.thickness", s.cog, mm, Assumption, "as for cogs", 0},
		{"idler.tooth.tip_thickness", tip, mm, Assumption, "as for cogs; chances draw it with theirs", 0},
		{"idler.tooth.relief", 17, deg, Assumption, "as for cogs", 0},
		{"idler.tooth.tip_height", 2.3, mm, Assumption, "as for cogs; chances draw it with theirs", 0},
		{"tyre.dish", 0, mm, Assumption, "wheel in the frame's middle", 0},
		{"tyre.mud", 6, mm, Practice, "ISO 4210-2 asks 6 mm between tyre and frame parts, from memory; the chain gets the same here", 0},
		{"chainstay.angle", 3, deg, Assumption, "measure it on the drawing", 0},
		{"chainstay.flex", 1, mm, Assumption, "room under load", 0},
		{"load.torque", 40, "N·m", Assumption, "at the cranks, a hard pull seated", 0},
		{"load.cadence", 80, "1/min", Assumption, "of losses alone, where no power is given", 0},
		{"friction.pin", 0.1, "", Assumption, "lubricated steel on steel, from memory", 0},
		{"friction.flank", 0.1, "", Assumption, "lubricated steel on steel, from memory", 0},
		{"friction.bearing_drag", 0.0015, "N·m", Assumption, "greased pulley with seal", 0},
		{"tolerances.link_width", 0, mm, Assumption, "what links and wheels differ by is in the drawn link spread already; give what you measured", 0},
		{"tolerances.bevel", 0, mm, Assumption, "what links and wheels differ by is in the drawn link spread already; give what you measured", 0},
		{"tolerances.slack", 0, deg, Assumption, "what links and wheels differ by is in the drawn link spread already; give what you measured", 0},
		{"tolerances.run_out", 0, mm, Assumption, "as link_width; hold a pointer to the turning wheel to measure it", 0},
		{"load.freehub_drag", 0.08, "N·m", Assumption, "hang a weight on the idle cassette to measure it", 0.04},
		{"load.slack_side", 5, "N", Assumption, "chain with a finger's breadth of play", 2.5},
		{"load.back_torque", 40, "N·m", Assumption, "a fixed or coaster drive is pushed back as hard as it is pulled", 0},
		{"load.bumps", 0, "", Assumption, "smooth road; at 1 the wheel falls away as fast as the chain", 0},
	}
	texts := map[string]string{"front.form": formOf(speeds), "rear.drive": "freewheel", "tensioner.actuation": "cable"}
	var d []Default
	for _, r := range rows {
		x := Default{Path: r.path, Value: r.value, Unit: r.unit, Basis: r.basis, Note: r.note, Within: r.within, Text: texts[r.path]}
		for _, f := range freeNumbers {
			if f.Name == r.path && f.Unit == mm && f.Low == -f.Up { // off the default by that
				x.Within = f.Up
			}
		}
		d = append(d, x)
	}
	for _, i := range Instruments {
		d = append(d, Default{Path: "instruments." + i.Name, Value: i.Within, Unit: mm, Basis: Assumption, Note: i.Note})
	}
	return d
}

// ratioOf returns how far the pulley moves for so much cable, by the number of speeds: 1.1 to
// 1.7 are sold (trade table, second-hand).
func ratioOf(speeds int) float64 {
	switch {
	case speeds <= 9:
		return 1.7
	case speeds == 10:
		return 1.5
	case speeds == 11:
		return 1.3
	}
	return 1.1
}

// formNote says what the form of the ring's teeth rests on.
const formNote = "single chainrings with an even number of teeth for 10 speeds and more: usually wide and narrow in turn, from memory; all others plain"

// formOf returns the usual form of the teeth of a single ring.
func formOf(speeds int) string {
	if speeds >= 10 {
		return "wide_narrow"
	}
	return "plain"
}

// mostSpeeds is the largest number of speeds a case can name.
const mostSpeeds = 13

// defaults looks defaults up by path.
type defaults map[string]float64

func defaultsFor(speeds int) defaults {
	return defaultTables()[min(max(speeds, 0), mostSpeeds)]
}

// defaultTables holds the defaults of every number of speeds, made once; nothing
// writes to them.
var defaultTables = sync.OnceValue(func() (t [mostSpeeds + 1]defaults) {
	for speeds := range t {
		t[speeds] = defaults{}
		for _, x := range Defaults(speeds) {
			t[speeds][x.Path] = x.Value
		}
	}
	return t
})

// mustDefault returns what holds for a number that the case does not give; a path without
// that is a programming error.
func (c *Case) mustDefault(path string) float64 {
	v, ok := c.defaultOf(path)
	if !ok {
		panic(fmt.Sprintf("cases: no default for %s", path))
	}
	return v
}

// of returns the default of a path; a path without one is a programming error.
func (d defaults) of(path string) float64 {
	v, ok := d[path]
	if !ok {
		panic(fmt.Sprintf("cases: no default for %s", path))
	}
	return v
}
