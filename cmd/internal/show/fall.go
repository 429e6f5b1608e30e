package show

import (
	"fmt"
	"sort"
	"strconv"

	"chainpath/cmd/internal/say"
	"chainpath/sim"
	"chainpath/sim/fall"
)

// MarchFall is what a chain did after it dropped.
type MarchFall struct {
	First   int        `json:"first_link"`
	Crank   float64    `json:"crank_deg"`
	Roll    float64    `json:"roll_play_deg"`
	Steps   []FallStep `json:"steps"`
	Stand   []int      `json:"links_that_stand"`
	Over    *FallStep  `json:"first_over"`
	Touch   *FallStep  `json:"first_touch"`
	End     string     `json:"end"`
	EndsAt  float64    `json:"end_after_deg"`
	RestsOn *int       `json:"rests_on"`
	SitsOn  *int       `json:"first_sits_on"`
	SitsAt  *float64   `json:"first_sits_after_deg"`
	Words   string     `json:"words"`
	Limits  string     `json:"limits"`
}

// FallStep is a change of what a link does.
type FallStep struct {
	After  float64 `json:"after_deg"`
	Link   int     `json:"link"`
	Behind int     `json:"links_behind"`
	What   string  `json:"what"`
	Cog    int     `json:"cog"`
	Height float64 `json:"height_mm"`
	Y      float64 `json:"outboard_mm"`
	Lean   float64 `json:"lean_deg"`
	Force  float64 `json:"force_n"`
}

// FallEnds is how the drops of many trials ended.
type FallEnds struct {
	Of    int        `json:"followed"`
	Rests []FallRest `json:"rests_on"`
	Sits  []FallRest `json:"first_sits_on"`
	Back  int        `json:"comes_back"`
	Past  int        `json:"past_last_cog"`
	Open  int        `json:"not_at_rest"`
	Words string     `json:"words"`
}

// FallRest is how many chains come to rest on a cog.
type FallRest struct {
	Teeth  int `json:"teeth"`
	Chains int `json:"chains"`
}

// FromFall returns a fall for the document; nil for none.
func FromFall(f *fall.Followed) *MarchFall {
	if f == nil {
		return nil
	}
	r, story := &f.Result, f.Result.Story()
	side := f.Side()
	step := func(e *fall.Event) *FallStep {
		if e == nil {
			return nil
		}
		return &FallStep{round(sim.Degrees(e.Angle)), f.Link(e.N), e.N, e.State.String(), f.Teeth(e.Cog), round(e.Link.Height), round(side * e.Link.Y), round(side * sim.Degrees(e.Link.Lean)), round(e.Link.Force)}
	}
	m := &MarchFall{
		First: f.Link(0), Crank: round(sim.Degrees(f.First)), Roll: round(sim.Degrees(f.Setup.Roll)), Steps: []FallStep{}, Stand: []int{},
		Over: step(story.Over), Touch: step(story.Touch), End: r.End.String(), EndsAt: round(sim.Degrees(r.Angle)), Words: say.Fall(Falling(f)), Limits: say.FallLimits,
	}
	for i := range r.Events {
		m.Steps = append(m.Steps, *step(&r.Events[i]))
	}
	for _, n := range story.Stand {
		m.Stand = append(m.Stand, f.Link(n))
	}
	if r.End == fall.AtRest {
		teeth := f.Teeth(r.Cog)
		m.RestsOn = &teeth
	}
	if r.Seat > 0 {
		teeth, at := f.Teeth(r.Seat), round(sim.Degrees(r.SeatAt))
		m.SitsOn, m.SitsAt = &teeth, &at
	}
	return m
}

// Falling returns a fall for its words.
func Falling(f *fall.Followed) *say.Falling {
	r, story := &f.Result, f.Result.Story()
	w := &say.Falling{First: f.Link(0), Over: -1, Touch: -1, Back: r.End == fall.Back, Past: r.End == fall.PastAll, Inboard: f.Side() < 0, EndsAt: sim.Degrees(r.Angle)}
	for _, n := range story.Stand {
		w.Stand = append(w.Stand, f.Link(n))
	}
	if e := story.Over; e != nil {
		w.Over, w.OverAt = f.Link(e.N), sim.Degrees(e.Angle)
	}
	if e := story.Touch; e != nil {
		w.Touch, w.TouchOn, w.TouchAt = f.Link(e.N), f.Teeth(1), sim.Degrees(e.Angle)
	}
	if r.End == fall.AtRest {
		w.Rests = f.Teeth(r.Cog)
	}
	if r.Seat > 0 {
		w.Seat, w.SeatAt = f.Teeth(r.Seat), sim.Degrees(r.SeatAt)
	}
	return w
}

// EndsOf counts how falls ended; nil where none was followed.
func EndsOf(falls []*fall.Followed) *FallEnds {
	ends, on, sits := &say.FallEnds{}, map[int]int{}, map[int]int{}
	for _, f := range falls {
		if f == nil {
			continue
		}
		ends.Of++
		switch f.Result.End {
		case fall.Back:
			ends.Back++
		case fall.PastAll:
			ends.Past++
		case fall.AtRest:
			on[f.Teeth(f.Result.Cog)]++
		default:
			ends.Open++
			ends.After = max(ends.After, sim.Degrees(f.Result.Angle))
			if c := f.Result.Seat; c > 0 {
				sits[f.Teeth(c)]++
			}
		}
	}
	if ends.Of == 0 {
		return nil
	}
	out := &FallEnds{Of: ends.Of, Back: ends.Back, Past: ends.Past, Open: ends.Open, Rests: []FallRest{}, Sits: []FallRest{}}
	ends.On, ends.Seat = largestFirst(on), largestFirst(sits)
	for _, c := range ends.On {
		out.Rests = append(out.Rests, FallRest(c))
	}
	for _, c := range ends.Seat {
		out.Sits = append(out.Sits, FallRest(c))
	}
	out.Words = say.EndsOfFalls(ends)
	return out
}

func largestFirst(chains map[int]int) (out []say.OnCog) {
	for teeth, n := range chains {
		out = append(out, say.OnCog{Teeth: teeth, Chains: n})
	}
	sort.Slice(out, func(i, j int) bool { return out[i].Teeth > out[j].Teeth })
	return out
}

// FallWords tell what a link changes to at a cog of so many teeth.
func FallWords(what string, teeth int) string {
	switch what {
	case fall.Seated.String():
		return fmt.Sprintf("comes down over a tooth of the %d", teeth)
	case fall.Strikes.String():
		return fmt.Sprintf("slides down its bevel onto the %d", teeth)
	case fall.Tip.String():
		return fmt.Sprintf("stands on a tip of the %d", teeth)
	}
	return fmt.Sprintf("goes over the edge of the %d", teeth)
}

// teethOn is a cog in a table; empty for none.
func teethOn(teeth *int) string {
	if teeth == nil {
		return ""
	}
	return strconv.Itoa(*teeth)
}
