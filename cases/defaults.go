package cases

import "fmt"

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
}

// sizes are what follows from the number of speeds a chain is made for.
type sizes struct {
	upTo                       int
	inner, outer, width        float64 // chain, mm
	cogPitch, cog, ring, rings float64 // cog pitch, cog and ring thickness, ring pitch, mm
}

// Inside widths are the nominal 1/8, 3/32 and 11/128 in; widths over the rivets
// the middle of the trade tables' ranges; cog pitches 7 to 13 speeds from trade
// tables (10 and 11 seen in print, the others and all thicknesses from memory).
var bySpeeds = []sizes{
	{1, 3.175, 5.5, 8.6, 5.0, 2.8, 2.8, 8},
	{6, 2.38, 4.3, 7.8, 5.5, 1.85, 2.0, 8},
	{7, 2.38, 4.3, 7.3, 5.0, 1.85, 2.0, 8},
	{8, 2.38, 4.2, 7.1, 4.8, 1.8, 2.0, 8},
	{9, 2.18, 4.0, 6.6, 4.34, 1.75, 1.8, 8},
	{10, 2.18, 4.0, 5.95, 3.95, 1.6, 1.8, 7.5},
	{11, 2.18, 4.0, 5.55, 3.78, 1.6, 1.8, 7.5},
	{12, 2.18, 4.0, 5.2, 3.65, 1.6, 1.8, 7},
	{13, 2.18, 3.9, 4.9, 3.4, 1.55, 1.8, 7},
}

// Defaults returns every default for a number of speeds, in the order of the
// case file's fields.
func Defaults(speeds int) []Default {
	s := bySpeeds[len(bySpeeds)-1]
	for _, x := range bySpeeds {
		if speeds <= x.upTo {
			s = x
			break
		}
	}
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
	return []Default{
		{"frame.drop", 60, mm, Assumption, "between 30 and 80 mm on most bicycles"},
		{"frame.slot.forward", 0, mm, Assumption, "no room: the stated stay holds"},
		{"frame.slot.back", 0, mm, Assumption, "no room: the stated stay holds"},
		{"front.ring_pitch", s.rings, mm, Practice, "ring to ring, from memory"},
		{"front.tooth.thickness", s.ring, mm, Practice, "ring teeth, from memory"},
		{"front.tooth.tip_thickness", tip, mm, Assumption, "measure it with calipers"},
		{"front.tooth.wide_thickness", 3.5, mm, Assumption, "wide teeth that fill an outer link"},
		{"front.tooth.wide_tip_thickness", 2.4, mm, Assumption, "measure it with calipers"},
		{"front.tooth.relief", 17, deg, Assumption, "measure it on a photograph"},
		{"front.tooth.tip_height", 2.3, mm, Assumption, "bicycle teeth are shorter than those of ISO 606"},
		{"rear.cog_pitch", s.cogPitch, mm, Practice, "trade tables; 10 and 11 speeds seen in print, others from memory"},
		{"rear.tooth.thickness", s.cog, mm, Practice, "cog teeth, from memory"},
		{"rear.tooth.tip_thickness", tip, mm, Assumption, "measure it with calipers"},
		{"rear.tooth.relief", 17, deg, Assumption, "measure it on a photograph"},
		{"rear.tooth.tip_height", 2.3, mm, Assumption, "bicycle teeth are shorter than those of ISO 606"},
		{"chain.pitch", 12.7, mm, Standard, "ISO 9633, ISO 606; cannot be changed"},
		{"chain.margin", 1, "", Assumption, "links in hand on largest ring and cog"},
		{"chain.inner_width", s.inner, mm, Practice, "trade tables, nominal 1/8, 3/32 or 11/128 in"},
		{"chain.outer_width", s.outer, mm, Assumption, "inside width, two plates and their play"},
		{"chain.width", s.width, mm, Practice, "trade tables, middle of the range"},
		{"chain.rivet_proud", 0.2, mm, Assumption, "measure rivets and plates with calipers"},
		{"chain.pin", 3.66, mm, Standard, "ISO 606, chain 081, from memory"},
		{"chain.plate_height", 8, mm, Assumption, "measure it with calipers"},
		{"chain.bevel", 0.4, mm, Assumption, "no published value"},
		{"chain.slack", 0.6, deg, Assumption, "no published value; new 0.5 to 0.7, worn up to 1.5"},
		{"chain.stiffness", 10, "N·m/rad", Assumption, "no published value; 3 to 30 are thinkable"},
		{"tensioner.guide_teeth", guide, "", Practice, "from memory"},
		{"tensioner.tension_teeth", tension, "", Practice, "from memory"},
		{"tensioner.cage", cage, mm, Assumption, "measure it pulley to pulley"},
		{"tensioner.direction", 15, deg, Assumption, "a little forward of straight down"},
		{"tensioner.gaps[0]", 12, mm, Assumption, "at the smallest cog"},
		{"tensioner.gaps[1]", 6, mm, Practice, "at the largest cog, makers ask for 5 to 6 mm"},
		{"tensioner.index_error", 0, mm, Assumption, "pulleys exactly under the cog"},
		{"tensioner.stops[0]", -75, deg, Assumption, "cage folded back"},
		{"tensioner.stops[1]", 75, deg, Assumption, "cage stretched forward"},
		{"tensioner.pivot_distance", 0, mm, Assumption, "cage turns about the guide pulley"},
		{"tensioner.pivot_angle", 0, deg, Assumption, "no offset"},
		{"tensioner.spring", 1.2, "N·m", Assumption, "gives 6 to 12 N in the bottom run"},
		{"tensioner.spring_rate", 0.25, "N·m/rad", Assumption, "a wound spring pulls harder"},
		{"tensioner.tooth.thickness", min(s.ring, 2.0), mm, Assumption, "pulley teeth"},
		{"tensioner.tooth.tip_thickness", 1.0, mm, Assumption, "measure it with calipers"},
		{"tensioner.tooth.relief", 17, deg, Assumption, "measure it on a photograph"},
		{"tensioner.tooth.tip_height", 2.3, mm, Assumption, "as for cogs"},
		{"tyre.dish", 0, mm, Assumption, "wheel in the frame's middle"},
		{"tyre.mud", 6, mm, Practice, "ISO 4210-2 asks 6 mm between tyre and frame parts, from memory; the chain gets the same here"},
		{"chainstay.angle", 3, deg, Assumption, "measure it on the drawing"},
		{"chainstay.flex", 1, mm, Assumption, "room under load"},
		{"load.torque", 40, "N·m", Assumption, "at the cranks, a hard pull seated"},
		{"load.freehub_drag", 0.08, "N·m", Assumption, "hang a weight on the idle cluster to measure it"},
		{"load.slack_side", 5, "N", Assumption, "chain with a finger's breadth of play"},
	}
}

// defaults looks defaults up by path.
type defaults map[string]float64

func defaultsFor(speeds int) defaults {
	d := defaults{}
	for _, x := range Defaults(speeds) {
		d[x.Path] = x.Value
	}
	return d
}

// of returns the default of a path; a path without one is a programming error.
func (d defaults) of(path string) float64 {
	v, ok := d[path]
	if !ok {
		panic(fmt.Sprintf("cases: no default for %s", path))
	}
	return v
}
