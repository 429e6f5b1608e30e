package cases

import (
	"context"

	"chainpath/sim"
)

// Case is a case file. Each field's tags give its YAML key, its dimension or
// choices, its range in the base unit of the dimension, and its meaning; need
// marks what may not be left out, exact what takes no tolerance, set what is chosen and not
// measured and has no doubt where none is written, least how far off a length without ± is at
// least, mm (a line told without its readings is taken from a drawing or a list, and gaps are read
// across the air, from paint to the middle of a tooth; assumptions), teeth what may be told in one line, lines
// a text of several lines.
type Case struct {
	Format       int           `yaml:"chainpath" need:"y" range:"1..1" doc:"version of the case format, 1"`
	Title        string        `yaml:"title" doc:"short name of the bike, printed above tables and figures; left out, from chainrings and cogs"`
	About        string        `yaml:"about" lines:"y" doc:"free text: whose drawing, who measured, what is asked"`
	Speeds       int           `yaml:"speeds" range:"1..13" doc:"number of cogs the chain and cassette are made for; picks the defaults; left out, as many as cogs"`
	Frame        Frame         `yaml:"frame" doc:"the frame"`
	Front        Front         `yaml:"front" need:"y" doc:"front chainline and chainrings"`
	Rear         Rear          `yaml:"rear" need:"y" doc:"rear chainline and cogs"`
	Chain        Chain         `yaml:"chain" doc:"the chain"`
	Tensioner    *Tensioner    `yaml:"tensioner" doc:"sprung cage with guide and tension pulley: rear derailleur or single-speed tensioner; left out, there is one with more than one gear"`
	Idler        *Idler        `yaml:"idler" doc:"wheel on the frame that the top run passes over between cog and chainring"`
	Tyre         *Tyre         `yaml:"tyre" doc:"rear tyre"`
	Spokes       *Spokes       `yaml:"spokes" doc:"drive-side spokes of the rear wheel, for cage, largest cog and chain"`
	Rotor        *Rotor        `yaml:"brake_rotor" doc:"brake's disc on the drive side, inboard of the cogs"`
	Chainstay    *Stay         `yaml:"chainstay" doc:"drive-side chainstay near the chainrings"`
	Load         Rider         `yaml:"load" doc:"what the rider does"`
	Rubbing      Rubbing       `yaml:"friction" doc:"coefficients that losses are computed with"`
	Spread       Tolerances    `yaml:"tolerances" doc:"how far single links and wheels surely stay within their dimensions, for march"`
	Riding       *Riding       `yaml:"riding" doc:"how much time is spent in which gear"`
	Symptoms     []Symptom     `yaml:"symptoms" doc:"what was seen or heard, for diagnose"`
	Observations []Observation `yaml:"observations" doc:"what this bicycle does and does not do, for learn"`
	Learned      *Learned      `yaml:"learned" doc:"what chainpath learn wrote: sets of unknown numbers that fit what was seen"`
	Shop         Shop          `yaml:"instruments" doc:"the shop's own tolerances of readings by instrument"`
	Limits       ShopLimits    `yaml:"limits" doc:"the shop's own limits of the chain angle, drawn beside the model's"`

	inferred  map[string]bool // fields that the file leaves out and that follow from the rest
	ends      bool            // the cogs were given by smallest and largest alone
	usualCogs bool            // and are those of a usual cassette
	loose     bool            // no tensioner and no slot given: the axle stands where the chain is taut
	room      sim.Slot        // how far the axle is looked for then, on either side of the stay
	aside     asides          // what the file says where something else was taken
	conflicts []Conflict
	derived   derived // numbers that follow from the rest
	cogMoved  float64 // how far outboard a change has moved the smallest cog since its gap to the dropout was read, mm

	file     string          // for messages
	at       map[string]pos  // where each field given stands
	work     context.Context // what long computations end with; nil: nothing
	newChain bool            // whether a change gave it another chain than it was learned with
}

// pos is a place in a file.
type pos struct{ line, col int }

// Frame is the frame.
type Frame struct {
	Stay   Quantity    `yaml:"stay" dim:"length" range:"200..2000" doc:"chainstay length, bottom-bracket centre to axle centre; left out, a usual one, 430 ± 25"`
	Drop   Quantity    `yaml:"drop" dim:"length" range:"-500..500" doc:"bottom-bracket drop below the axle line"`
	Slot   *Slot       `yaml:"slot" doc:"horizontal dropout: how far the axle can go from the stated stay"`
	Path   []AxlePoint `yaml:"axle_path" doc:"where rear suspension takes the axle, from top-out on, instead of stay and drop"`
	Travel Quantity    `yaml:"travel" dim:"length" set:"y" range:"0..600" doc:"how far rear suspension is compressed along axle_path; left out, not at all"`
}

// AxlePoint is a point of an axle path.
type AxlePoint struct {
	Travel Quantity `yaml:"travel" dim:"length" set:"y" need:"y" range:"0..600" doc:"travel from top-out"`
	Stay   Quantity `yaml:"stay" dim:"length" need:"y" range:"200..2000" doc:"bottom-bracket centre to axle centre there"`
	Drop   Quantity `yaml:"drop" dim:"length" need:"y" range:"-500..500" doc:"bottom-bracket centre below the axle there"`
}

// Slot is a horizontal dropout.
type Slot struct {
	Forward Quantity `yaml:"forward" dim:"length" set:"y" range:"0..200" doc:"room forward of the stated stay"`
	Back    Quantity `yaml:"back" dim:"length" set:"y" range:"0..200" doc:"room behind it"`
}

// Front is the front line and the rings.
type Front struct {
	Line     Quantity       `yaml:"line" dim:"length" least:"1" range:"0..300" doc:"front chainline: chainring set's centre to the frame centreline"`
	Measured *FrontMeasured `yaml:"measured" doc:"the readings the front chainline is worked out from, instead of line"`
	Rings    []int          `yaml:"rings" need:"y" range:"9..120" teeth:"y" doc:"teeth of each chainring, smallest and innermost first"`
	Pitch    Quantity       `yaml:"ring_pitch" dim:"length" range:"3..15" doc:"distance from chainring centre to chainring centre"`
	Lines    []Quantity     `yaml:"ring_lines" dim:"length" range:"10..200" doc:"each chainring's own line, instead of line and ring_pitch"`
	Form     string         `yaml:"form" oneof:"plain|wide_narrow" doc:"teeth all alike, or wide and narrow in turn (narrow-wide); left out, one chainring for 10 speeds and more is taken as wide and narrow"`
	Tooth    Tooth          `yaml:"tooth" doc:"chainring teeth"`
	Bolts    *Bolts         `yaml:"bolts" doc:"what the smallest chainring carries on its inner side"`
	Pins     *Pins          `yaml:"pins" doc:"shift pins and ramps of the larger chainrings"`
	Cage     *FrontCage     `yaml:"cage" doc:"front derailleur's cage about the top run"`
	Guide    *ChainGuide    `yaml:"guide" doc:"chain guide about the top run, of one chainring"`
}

// FrontMeasured is how a front line was measured.
type FrontMeasured struct {
	Tube     Quantity   `yaml:"tube_width" dim:"length" need:"y" range:"5..300" doc:"width of a tube that reaches equally far to both sides of the frame's middle, often the down tube"`
	Gap      Quantity   `yaml:"gap" dim:"length" least:"0.5" range:"-100..200" doc:"tube's face to the chainring's centre; readings is given instead for two or three chainrings"`
	Readings []Quantity `yaml:"readings" dim:"length" least:"0.5" range:"-100..200" doc:"tube's face to each chainring, smallest first, all on the same face"`
	Face     string     `yaml:"face" oneof:"centre|outer|inner" doc:"which face of the chainrings the readings were taken on"`
}

// Bolts is what stands proud of a ring.
type Bolts struct {
	Radius Quantity `yaml:"radius" dim:"length" need:"y" range:"10..120" doc:"farthest bolt from the chainring's centre"`
	Depth  Quantity `yaml:"depth" dim:"length" need:"y" range:"0..30" doc:"how far it stands inboard of the chainring's inner face"`
}

// Pins are shift pins and ramps.
type Pins struct {
	Proud  Quantity `yaml:"proud" dim:"length" need:"y" range:"0..4" doc:"how far they stand proud of the chainring"`
	Radius Quantity `yaml:"radius" dim:"length" range:"20..130" doc:"how far from the chainring's centre they reach; left out, to its tips"`
	Side   string   `yaml:"side" oneof:"inner|outer" doc:"side of the chainring, inner is towards the smaller one; left out, inner"`
}

// FrontCage is a front derailleur's cage.
type FrontCage struct {
	Inside Quantity   `yaml:"inner_width" dim:"length" need:"y" range:"6..30" doc:"between the plates, where the chain runs"`
	Places []Quantity `yaml:"positions" dim:"length" need:"y" range:"10..200" doc:"cage's middle to the frame centreline at every place and trim, innermost first"`
	Start  Quantity   `yaml:"start" dim:"length" range:"-60..150" doc:"where the plates begin, behind where the top run leaves the chainring"`
	Length Quantity   `yaml:"length" dim:"length" range:"5..150" doc:"of the plates along the chain"`
}

// ChainGuide keeps the chain on one ring.
type ChainGuide struct {
	Inside Quantity `yaml:"width" dim:"length" need:"y" range:"6..30" doc:"between its sides"`
	Line   Quantity `yaml:"line" dim:"length" range:"10..200" doc:"its middle to the frame centreline; left out, the chainring's"`
	Start  Quantity `yaml:"start" dim:"length" range:"-60..150" doc:"where it begins, behind where the top run leaves the chainring"`
	Length Quantity `yaml:"length" dim:"length" range:"5..150" doc:"along the chain"`
}

// Rear is the rear line and the cogs.
type Rear struct {
	Line     Quantity      `yaml:"line" dim:"length" least:"1" range:"0..300" doc:"rear chainline: cassette's centre to the frame centreline"`
	Measured *RearMeasured `yaml:"measured" doc:"the readings the rear chainline is worked out from, instead of line"`
	Dropout  Quantity      `yaml:"dropout_gap" dim:"length" least:"0.5" range:"-50..150" doc:"drive-side dropout face, or what of the frame stands proud of it there, to the smallest cog's outer face; with measured its gap tells"`
	Cogs     []int         `yaml:"cogs" need:"y" range:"9..120" teeth:"y" ends:"y" doc:"teeth of each cog, smallest and outermost first; 11-42 stands for the usual cassette of that range, with speeds for one of so many cogs"`
	Pitch    Quantity      `yaml:"cog_pitch" dim:"length" range:"2.5..8" doc:"distance from cog centre to cog centre"`
	Lines    []Quantity    `yaml:"cog_lines" dim:"length" range:"-20..200" doc:"each cog's own line, instead of line and cog_pitch"`
	Spacers  []Quantity    `yaml:"spacers" dim:"length" range:"-3..3" exact:"y" gaps:"y" doc:"by how much each gap between two cogs is wider than the pitch, smallest cogs first: a spacer too thick; left out, by nothing"`
	Gates    []int         `yaml:"gates" range:"0..12" doc:"shift gates of each cog towards the next smaller one, smallest cog first, whose own count is not used; all 0 are plain teeth; left out, seven cogs and more have some"`
	Drive    string        `yaml:"drive" oneof:"freewheel|fixed|coaster" doc:"what the cog does when the pedals push back: turn freely, turn the wheel, or take hold of a brake in the hub; left out, freewheel"`
	Depth    Quantity      `yaml:"gate_depth" dim:"length" range:"0..2" doc:"how far aside of its teeth a gate catches the chain; kept, not used: the model draws it"`
	Tooth    Tooth         `yaml:"tooth" doc:"cog teeth"`
}

// RearMeasured is how a rear line was measured.
type RearMeasured struct {
	Dropouts   Quantity `yaml:"dropouts" dim:"length" need:"y" range:"50..400" axle:"y" doc:"between the dropouts' inside faces, as clamped; a name such as 148 (axle spacing) or 12x148 stands for a range"`
	Stack      Quantity `yaml:"stack" dim:"length" range:"1..300" doc:"on a flat plate, largest cog's back to smallest cog's outer face; left out, a usual one"`
	Protrusion Quantity `yaml:"protrusion" dim:"length" range:"0..20" doc:"what rivets or carrier stand proud of the largest cog's back, taken off the stack"`
	Gap        Quantity `yaml:"gap" dim:"length" least:"0.5" range:"-5..60" doc:"drive-side dropout face to the smallest cog's outer face; left out, 3.75 ± 1.25 from the hub's end"`
}

// Tooth is the cross-section of a wheel's teeth.
type Tooth struct {
	Profile   string   `yaml:"profile" oneof:"bicycle|iso606" doc:"bicycle teeth by the defaults, or the industrial ones of ISO 606"`
	Thickness Quantity `yaml:"thickness" dim:"length" range:"0.8..4" doc:"full thickness (of the narrow teeth)"`
	Tip       Quantity `yaml:"tip_thickness" dim:"length" range:"0.2..4" doc:"thickness at the tip (of the narrow teeth)"`
	Wide      Quantity `yaml:"wide_thickness" dim:"length" range:"1..6" doc:"full thickness of wide teeth"`
	WideTip   Quantity `yaml:"wide_tip_thickness" dim:"length" range:"0.2..6" doc:"thickness at the tip of wide teeth"`
	Relief    Quantity `yaml:"relief" dim:"angle" range:"1..60" doc:"slope of each side towards the tip"`
	Height    Quantity `yaml:"tip_height" dim:"length" range:"0.5..5" doc:"tip circle above the pitch circle"`
}

// Chain is the chain.
type Chain struct {
	Links      int      `yaml:"links" range:"20..600" doc:"length in links; left out, the tool chooses it"`
	HalfLink   bool     `yaml:"half_link" doc:"whether a half link makes the count odd"`
	Margin     Quantity `yaml:"margin" dim:"number" range:"0..8" doc:"links kept in hand through the cage on largest chainring and cog when the tool chooses"`
	InnerWidth Quantity `yaml:"inner_width" dim:"length" range:"1.5..6" doc:"width inside the inner plates"`
	OuterWidth Quantity `yaml:"outer_width" dim:"length" range:"2.5..9" doc:"width inside the outer plates"`
	Width      Quantity `yaml:"width" dim:"length" range:"3..14" doc:"width over the rivets"`
	Proud      Quantity `yaml:"rivet_proud" dim:"length" range:"0..1" doc:"how far each rivet end stands proud of the outer plate"`
	Pin        Quantity `yaml:"pin" dim:"length" range:"2..6" doc:"diameter of the pins"`
	Height     Quantity `yaml:"plate_height" dim:"length" range:"5..12" doc:"height of the plates"`
	Bevel      Quantity `yaml:"bevel" dim:"length" range:"0..1.5" doc:"width of the bevel on the plates' inside edges"`
	Slack      Quantity `yaml:"slack" dim:"angle" range:"0.05..5" doc:"free sideways turn of a joint either way; more when worn"`
	Stiffness  Quantity `yaml:"stiffness" dim:"rate" range:"0.5..500" doc:"sideways stiffness of a joint beyond its slack"`
	Mass       Quantity `yaml:"link_mass" dim:"number" range:"0.5..10" doc:"mass of a link, g: weigh the chain and divide by its links"`
}

// Tensioner is a sprung cage.
type Tensioner struct {
	Guide         int        `yaml:"guide_teeth" range:"9..20" doc:"teeth of the guide (upper) pulley"`
	Tension       int        `yaml:"tension_teeth" range:"9..20" doc:"teeth of the tension (lower) pulley"`
	Cage          Quantity   `yaml:"cage" dim:"length" range:"20..300" doc:"pulley centre to pulley centre; left out, one that takes up this range of gears"`
	Direction     Quantity   `yaml:"direction" dim:"angle" range:"-45..60" doc:"guide pulley seen from the axle, forward of straight down"`
	Gaps          []Quantity `yaml:"gaps" dim:"length" range:"0..60" doc:"guide pulley tips to cog tips at the smallest and at the largest cog"`
	IndexError    Quantity   `yaml:"index_error" dim:"length" set:"y" range:"-3..3" doc:"how far outboard of its best the cable is set, at the pulleys; left out, it is set at its best"`
	SetAt         Quantity   `yaml:"set_at" dim:"length" range:"0..300" exact:"y" doc:"rear chainline of the wheel that the cable was set at, where it is another wheel; left out, this one"`
	Stops         []Quantity `yaml:"stops" dim:"angle" range:"-120..110" doc:"cage angles forward of straight down, folded and stretched"`
	PivotDistance Quantity   `yaml:"pivot_distance" dim:"length" range:"0..60" doc:"cage pivot from the guide pulley's centre"`
	PivotAngle    Quantity   `yaml:"pivot_angle" dim:"angle" range:"-180..180" doc:"its direction, forward of the cage's line"`
	Spring        Quantity   `yaml:"spring" dim:"moment" range:"0.05..10" doc:"spring moment with the cage straight down"`
	SpringRate    Quantity   `yaml:"spring_rate" dim:"rate" range:"0..5" doc:"its change as the cage swings forward"`
	Width         Quantity   `yaml:"width" dim:"length" range:"6..30" doc:"cage over both plates, measured across"`
	Float         Quantity   `yaml:"float" dim:"length" range:"0..3" doc:"how far the guide pulley slides along its axle either way; what is more than 1.0 mm takes from how far shifts reach"`
	Hanger        *Hanger    `yaml:"hanger" doc:"how far the derailleur hanger is bent; chainpath measure hanger works it out from readings at the rim"`
	Actuation     string     `yaml:"actuation" oneof:"cable|electric" doc:"what moves the derailleur; left out, a cable"`
	Cable         []Quantity `yaml:"cable_per_shift" dim:"length" range:"0.5..10" exact:"y" one:"y" doc:"cable that the shifter pulls for one cog, or a list from the smallest cog on; left out, it matches the derailleur"`
	Ratio         Quantity   `yaml:"ratio" dim:"number" range:"0.8..3" exact:"y" doc:"how far the pulley moves for so much cable; left out, what matches cable_per_shift"`
	Adjuster      Quantity   `yaml:"adjuster_pitch" dim:"length" range:"0.2..2" exact:"y" doc:"what one turn of the cable adjuster moves the cable"`
	Clicks        int        `yaml:"adjuster_clicks" range:"1..20" doc:"clicks of the adjuster in one turn"`
	Counted       *Counted   `yaml:"adjuster_range" doc:"how far the adjuster can be turned with every shift made, counted on the bicycle: chainpath measure adjuster"`
	Tooth         Tooth      `yaml:"tooth" doc:"pulley teeth"`
}

// Counted is the adjuster's range, counted.
type Counted struct {
	Clicks  Quantity `yaml:"clicks" dim:"number" need:"y" range:"0..40" exact:"y" doc:"clicks from the first slow shift with the pulleys inboard to the first slow one outboard"`
	Inboard string   `yaml:"first_inboard" doc:"which shift got slow first at the inboard end, such as 12>11; left out, not known"`
	Outer   string   `yaml:"first_outboard" doc:"which one at the outboard end, such as 11>12; left out, not known"`
}

// Idler is a wheel on the frame that the top run passes over.
type Idler struct {
	Teeth  int      `yaml:"teeth" range:"9..30" doc:"teeth of the idler"`
	Behind Quantity `yaml:"behind" dim:"length" need:"y" range:"-150..400" doc:"its centre behind the bottom bracket's, level"`
	Above  Quantity `yaml:"above" dim:"length" need:"y" range:"0..400" doc:"its centre above the bottom bracket's"`
	Line   Quantity `yaml:"line" dim:"length" need:"y" range:"-20..200" doc:"middle of its teeth to the frame centreline"`
	Held   bool     `yaml:"held" doc:"whether plates or a guide keep the chain on it"`
	Tooth  Tooth    `yaml:"tooth" doc:"idler teeth"`
}

// Hanger is how far a derailleur hanger is bent.
type Hanger struct {
	Lean Quantity `yaml:"lean" dim:"angle" range:"-15..15" doc:"outboard going down"`
	Toe  Quantity `yaml:"toe" dim:"angle" range:"-15..15" doc:"outboard going forward"`
}

// Spokes is the drive side of the rear wheel's spokes.
type Spokes struct {
	Flange     Quantity `yaml:"flange_radius" dim:"length" need:"y" range:"12..80" doc:"drive-side flange: spoke holes to the axle's centre"`
	FlangeLine Quantity `yaml:"flange_line" dim:"length" need:"y" range:"0..45" doc:"spokes' outer side at the flange to the frame centreline"`
	Rim        Quantity `yaml:"rim_radius" dim:"length" range:"50..450" doc:"spokes' ends to the axle's centre; left out, half the tyre's bead seat diameter"`
	RimLine    Quantity `yaml:"rim_line" dim:"length" range:"-20..30" doc:"spokes' outer side there to the frame centreline; left out, in it"`
}

// Rotor is a brake's disc.
type Rotor struct {
	Line   Quantity `yaml:"line" dim:"length" need:"y" range:"-20..60" doc:"its outboard face to the frame centreline, drive side positive"`
	Radius Quantity `yaml:"radius" dim:"length" need:"y" range:"50..160" doc:"of its edge"`
}

// Tyre is the rear tyre.
type Tyre struct {
	Size    string   `yaml:"size" doc:"ISO 5775-1 designation such as 57-622 (section and bead seat diameter), or 29x2.25, 700x35C"`
	Bead    Quantity `yaml:"bead_seat" dim:"length" range:"100..900" doc:"bead seat diameter, instead of size"`
	Section Quantity `yaml:"section" dim:"length" range:"10..200" doc:"section height, instead of size"`
	Width   Quantity `yaml:"width" dim:"length" range:"10..200" doc:"measured width; left out, the section"`
	Dish    Quantity `yaml:"dish" dim:"length" range:"-15..15" doc:"tyre's middle off the frame centreline, drive side positive"`
	Mud     Quantity `yaml:"mud" dim:"length" set:"y" range:"0..30" doc:"free room asked for between chain and tyre"`
}

// Stay is the chainstay near the rings.
type Stay struct {
	Gap      Quantity `yaml:"gap" dim:"length" need:"y" least:"0.5" range:"-50..150" doc:"chainring's inner face to the stay's outer face, largest chainring"`
	Radius   Quantity `yaml:"radius" dim:"length" range:"20..200" doc:"how far behind the bottom bracket it was measured; left out, at the chainring's tips"`
	Angle    Quantity `yaml:"angle" dim:"angle" range:"-5..20" doc:"how the stay spreads outboard going back"`
	Flex     Quantity `yaml:"flex" dim:"length" set:"y" range:"0..10" doc:"room asked for under load"`
	Diameter Quantity `yaml:"diameter" dim:"length" range:"5..50" doc:"tube's diameter; left out, the chain's gap to it is not looked at"`
}

// Rider is what the rider does.
type Rider struct {
	Torque      Quantity `yaml:"torque" dim:"moment" range:"0..400" doc:"at the cranks"`
	Power       Quantity `yaml:"power" dim:"power" range:"0..2500" doc:"with cadence, instead of torque"`
	Cadence     Quantity `yaml:"cadence" dim:"speed" range:"10..200" doc:"with power; with torque or tension for the losses alone"`
	Tension     Quantity `yaml:"tension" dim:"force" range:"0..6000" doc:"of the top span, instead of torque"`
	FreehubDrag Quantity `yaml:"freehub_drag" dim:"moment" range:"0..3" doc:"moment that turns the idle freehub"`
	SlackSide   Quantity `yaml:"slack_side" dim:"force" range:"0.1..100" doc:"tension of the slack run without a tensioner"`
	BackTorque  Quantity `yaml:"back_torque" dim:"moment" range:"0..400" doc:"at the cranks, pushing back on a fixed or coaster drive"`
	Sag         Quantity `yaml:"sag" dim:"length" range:"0.5..80" doc:"how far the bottom run hangs down in its middle with the top run pulled tight, without a tensioner, instead of slack_side"`
	Bumps       Quantity `yaml:"bumps" dim:"number" range:"0..5" doc:"share of its weight that bumps take off the slack run at worst, without a tensioner; from 1 on it flies loose"`
}

// Rubbing is friction.
type Rubbing struct {
	Pin     Quantity `yaml:"pin" dim:"number" range:"0..0.5" doc:"coefficient between pin and bush"`
	Flank   Quantity `yaml:"flank" dim:"number" range:"0..0.5" doc:"coefficient between plate and plate under a side force"`
	Bearing Quantity `yaml:"bearing_drag" dim:"moment" range:"0..0.1" doc:"drag of each pulley's bearing"`
}

// Tolerances are how far single links and wheels differ from the nominal ones.
type Tolerances struct {
	Width  Quantity `yaml:"link_width" dim:"length" range:"0..0.5" exact:"y" doc:"inside width of a link, either way"`
	Bevel  Quantity `yaml:"bevel" dim:"length" range:"0..0.5" exact:"y" doc:"width of a link's bevel, either way"`
	Slack  Quantity `yaml:"slack" dim:"angle" range:"0..2" exact:"y" doc:"slack of a joint, either way"`
	RunOut Quantity `yaml:"run_out" dim:"length" range:"0..2" exact:"y" doc:"how far chainring, cogs and pulleys wobble sideways, either way"`
}

// Riding is a riding profile.
type Riding struct {
	Ratio  Quantity `yaml:"ratio" dim:"number" range:"0.2..8" exact:"y" doc:"ratio the rider likes best, chainring teeth to cog teeth"`
	Spread Quantity `yaml:"spread" dim:"number" range:"1.01..5" exact:"y" doc:"factor either way within which two thirds of the time is spent"`
	Shares []Share  `yaml:"shares" doc:"share of time in each gear, instead of ratio and spread; gears left out have none"`
}

// Share is the share of time in one gear.
type Share struct {
	Ring  int      `yaml:"ring" need:"y" range:"9..120" doc:"chainring teeth"`
	Cog   int      `yaml:"cog" need:"y" range:"9..120" doc:"cog teeth"`
	Share Quantity `yaml:"share" dim:"number" need:"y" range:"0..100" exact:"y" doc:"in any one unit, such as per cent"`
}

// Symptom is what a mechanic sees or hears.
type Symptom struct {
	What      string `yaml:"what" need:"y" list:"symptoms" doc:"what it is"`
	Direction string `yaml:"direction" oneof:"riding|backwards" doc:"in which direction; left out, riding"`
	Cogs      []int  `yaml:"cogs" range:"9..120" doc:"on these cogs; left out, on all"`
	Rings     []int  `yaml:"rings" range:"9..120" doc:"on these chainrings; left out, on all"`
}

// Observation is something that was seen of some gears, good or bad.
type Observation struct {
	Gears     string   `yaml:"gears" need:"y" doc:"ring/cog in teeth, * for any, commas between: 32/51 or */45,*/51; a shift as 32/19>17; what was seen holds in each of them"`
	Direction string   `yaml:"direction" oneof:"riding|backwards" doc:"in which direction; left out, riding"`
	What      string   `yaml:"what" need:"y" list:"observations" doc:"what it is; fine is that nothing of the rest happens"`
	Off       int      `yaml:"off" range:"0..999" doc:"how many of the tries came off, or of shifts how many were late"`
	Of        int      `yaml:"of" range:"1..999" doc:"how many tries; left out, off was seen and not counted"`
	Loudness  string   `yaml:"loudness" oneof:"slight|loud" doc:"of noise; kept, but not counted: the model has no loudness"`
	Moved     Quantity `yaml:"moved" dim:"length" range:"-30..30" exact:"y" doc:"how far outboard of their place in this file the chainrings stood then; -2 is 2 mm inboard, a change that was tried"`
	Sure      Quantity `yaml:"sure" dim:"number" range:"0.5..0.99" exact:"y" doc:"chance that it was seen right; left out, how often you are wrong is learned along"`
}

// Learned are sets of unknown numbers that were learned from observations.
type Learned struct {
	Tool     string   `yaml:"tool" need:"y" doc:"version of chainpath that wrote it"`
	Version  int      `yaml:"version" doc:"of the block, 2; one without is of an older way to learn"`
	From     string   `yaml:"from" need:"y" doc:"fingerprint of the shipped sets it was made from"`
	Shop     string   `yaml:"shop" doc:"what it started from, where that was a shop's memory"`
	Seen     string   `yaml:"seen" need:"y" doc:"fingerprint of the observations and symptoms it was made from"`
	Gears    []int    `yaml:"gears" doc:"chainrings and cogs that the bicycle had"`
	Readings []string `yaml:"readings" doc:"readings that every set has a deviate of"`
	Faults   []string `yaml:"faults" doc:"faults of which something was seen: every set has the bicycle's offset of each in every gear"`
	Sets     []string `yaml:"sets" need:"y" doc:"the sets, each with deviates and offsets, in base64"`
}

// Shop is how well the shop reads: what stands for ± where a length names its
// instrument alone.
type Shop struct {
	Caliper    Quantity `yaml:"caliper" dim:"length" range:"0.001..5" exact:"y" doc:"calipers, ± that holds 95 %"`
	DepthGauge Quantity `yaml:"depth_gauge" dim:"length" range:"0.001..5" exact:"y" doc:"depth gauge, ± that holds 95 %"`
	Tape       Quantity `yaml:"tape" dim:"length" range:"0.01..20" exact:"y" doc:"tape or ruler, surely within"`
	Drawing    Quantity `yaml:"drawing" dim:"length" range:"0.001..20" exact:"y" doc:"drawing's tolerance, surely within"`
	Catalogue  Quantity `yaml:"catalogue" dim:"length" range:"0.001..20" exact:"y" doc:"maker's tolerance, surely within"`
	Feeler     Quantity `yaml:"feeler" dim:"length" range:"0.001..5" exact:"y" doc:"feeler gauge, ± that holds 95 %"`
	Guess      Quantity `yaml:"guess" dim:"length" range:"0.1..50" exact:"y" doc:"what was not measured, surely within"`
}

// within returns the tolerance of an instrument, mm.
func (s Shop) within(i Instrument) float64 {
	return map[string]Quantity{
		"caliper": s.Caliper, "depth_gauge": s.DepthGauge, "tape": s.Tape, "drawing": s.Drawing, "catalogue": s.Catalogue,
		"feeler": s.Feeler, guessed: s.Guess,
	}[i.Name].Or(i.Within)
}

// ShopLimits are the shop's own.
type ShopLimits struct {
	Quiet Quantity `yaml:"quiet" dim:"angle" range:"0..15" exact:"y" doc:"chain angle up to which the shop expects quiet"`
	Climb Quantity `yaml:"climb" dim:"angle" range:"0..15" exact:"y" doc:"chain angle from which the shop expects drops"`
}
