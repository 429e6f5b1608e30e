package engine

import (
	"fmt"
	"math"

	"chainpath/cmd/internal/say"
	"chainpath/cmd/internal/show"
	"chainpath/sim"
	"chainpath/sim/engage"
	"chainpath/sim/fall"
)

// falling is a drop off a cog, followed on to its end: a film goes on with it.
type falling struct {
	Words  string      `json:"words"`
	Limits string      `json:"limits"`   // what is computed, what is one chain of many, what is not computed
	Follow [2]int      `json:"follow"`   // the links to look at: the one that climbs and the second behind it
	Start  float64     `json:"from_deg"` // of the cranks, at the first touch
	Side   float64     `json:"side"`     // 1: falls outboard, -1 inboard
	Cogs   []fallCog   `json:"cogs"`     // the one it leaves, then its neighbours on that side
	Frames []fallFrame `json:"frames"`
	Marks  []fallMark  `json:"marks"` // what happens, in order, of the links that are shown
}

type fallCog struct {
	Teeth int     `json:"teeth"`
	Y     float64 `json:"y"` // outboard of the first one's plane, mm
	Root  float64 `json:"root_mm"`
	Tip   float64 `json:"tip_mm"`
	Full  float64 `json:"full_mm"` // thickness of its teeth
}

// fallFrame has the links of a film's frame, and where they are beside the wheels.
type fallFrame struct {
	Angle float64    `json:"angle_deg"`
	Links []fallLink `json:"links"`
}

type fallLink struct {
	link
	X      float64 `json:"px"` // in the wheels' plane, from the axle: forward over the top, and outward there, mm
	Z      float64 `json:"pz"`
	Height float64 `json:"h"`    // over where it would sit, mm
	Lift   float64 `json:"lift"` // over the path that the chain would have, across the run or away from the axle, mm
	Lean   float64 `json:"lean"` // outboard side up, °
	Force  float64 `json:"f"`    // N, on tip or seat
	State  string  `json:"s"`
	Cog    int     `json:"c"` // index of the cog that it is at
}

type fallMark struct {
	Angle float64 `json:"angle_deg"`
	Words string  `json:"words"`
}

// Of a fall's steps so many make one of the film; every link is shown so many pitches before the wheel,
// and further out, where the run is straight, one of so many.
const (
	fallSteps  = 3
	fallShown  = 10
	fallSparse = 4
)

// fallOf makes a film of a fall; nil for none.
func fallOf(f *fall.Followed, pitchAngle float64) *falling {
	if f == nil {
		return nil
	}
	s, r, side := f.Setup, &f.Result, f.Side()
	out := &falling{Words: say.Fall(show.Falling(f)), Limits: say.FallLimits, Follow: [2]int{f.Link(0), f.Link(2)}, Start: r3(sim.Degrees(f.First)), Side: side, Marks: []fallMark{}}
	for _, c := range s.Cogs {
		out.Cogs = append(out.Cogs, fallCog{c.Teeth, r2(side * c.Line), r2(c.Wheel.PitchRadius), r2(c.Wheel.TipRadius), r2(c.Wheel.Teeth[engage.Inner].Full)})
	}
	wheel := s.Cogs[0].Wheel
	first := engage.FirstOverlap(wheel, s.Chain.PlateHalfHeight)
	for i, fr := range r.Frames {
		if i%fallSteps != 0 && i != len(r.Frames)-1 {
			continue
		}
		way := fr.Angle / pitchAngle
		x := fallFrame{Angle: r2(sim.Degrees(f.First + fr.Angle))}
		for _, l := range fr.Links {
			at := (way-float64(l.N))*s.Chain.Pitch - first
			if at < -fallShown*s.Chain.Pitch && (l.N%fallSparse != 0 || at < -s.Run) {
				continue
			}
			lift := l.Height
			if at < 0 {
				lift = l.Z - wheel.PitchRadius
			}
			x.Links = append(x.Links, fallLink{
				link: link{N: f.Link(l.N), Inner: l.N%2 == 0, Along: r2(at), Y: r2(side * l.Y), OnTip: l.State == fall.Tip && l.Force > 0},
				X:    r2(l.X), Z: r2(l.Z), Height: r2(l.Height), Lift: r2(lift), Lean: r2(side * sim.Degrees(l.Lean)), Force: r2(l.Force), State: l.State.String(), Cog: l.Cog,
			})
		}
		out.Frames = append(out.Frames, x)
	}
	for _, e := range r.Events {
		out.Marks = append(out.Marks, fallMark{r2(sim.Degrees(f.First + e.Angle)), fmt.Sprintf("link %d %s", f.Link(e.N), show.FallWords(e.State.String(), f.Teeth(e.Cog)))})
	}
	return out
}

func r2(x float64) float64 { return math.Round(x*100) / 100 }
