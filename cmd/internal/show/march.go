package show

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"chainpath/sim"
	"chainpath/sim/march"
)

// March is the JSON document of the march command.
type March struct {
	Case      string        `json:"case"`
	Level3    string        `json:"level_3"`
	RingTeeth int           `json:"ring_teeth"`
	CogTeeth  int           `json:"cog_teeth"`
	Direction string        `json:"direction"`
	Turns     float64       `json:"turns"`
	Seed      uint64        `json:"seed"`
	Pull      MarchPull     `json:"pull"`
	Run       MarchRun      `json:"run"`
	Places    []MarchPlaces `json:"places"`
	Trials    *MarchTrials  `json:"trials"`
	Note      string        `json:"note"`
}

const level3 = "march: every link with its own tolerances, quasi-static; compares set-ups, promises nothing"

// MarchPull is what pulls the chain.
type MarchPull struct {
	Top      float64 `json:"top_n"`
	Bottom   float64 `json:"bottom_n"`
	TopSlack bool    `json:"top_slack"`
	Surplus  float64 `json:"surplus_mm"`
	Sag      float64 `json:"sag_mm"`
}

// MarchRun is one trial in detail.
type MarchRun struct {
	Trial   uint64       `json:"trial"`
	Turned  float64      `json:"turned_deg"`
	Dropped bool         `json:"dropped"`
	Drop    *MarchEvent  `json:"drop"`
	Wheels  []MarchTally `json:"wheels"`
	Events  []MarchEvent `json:"events"`
	LeftOut int          `json:"events_left_out"`
}

// MarchTally counts what happened at a wheel.
type MarchTally struct {
	At            string  `json:"at"`
	Arrivals      int     `json:"arrivals"`
	Guided        int     `json:"guided"`
	Climbs        int     `json:"climbs"`
	FallsBack     int     `json:"falls_back"`
	SlidesOff     int     `json:"slides_off"`
	GuidedPerTurn float64 `json:"guided_per_turn"`
	ClimbsPerTurn float64 `json:"climbs_per_turn"`
	Deepest       float64 `json:"largest_offset_mm"`
}

// MarchEvent is one event.
type MarchEvent struct {
	Event  string   `json:"event"`
	Crank  float64  `json:"crank_deg"`
	Link   int      `json:"link"`
	Kind   string   `json:"link_kind"`
	At     string   `json:"at"`
	Tooth  int      `json:"tooth"`
	Offset float64  `json:"offset_mm"`
	Bevel  *float64 `json:"bevel_share"`
	Falls  string   `json:"falls_to"`
}

// MarchPlaces is the whole chain at one moment.
type MarchPlaces struct {
	Crank float64     `json:"crank_deg"`
	Links []MarchLink `json:"links"`
}

// MarchLink is one link's place.
type MarchLink struct {
	Link    int     `json:"link"`
	Kind    string  `json:"link_kind"`
	Along   float64 `json:"along_mm"`
	Y       float64 `json:"y_mm"`
	Off     float64 `json:"off_path_mm"`
	At      string  `json:"at"`
	Overlap float64 `json:"overlap_mm"`
}

// MarchTrials is what many trials came to.
type MarchTrials struct {
	Runs    int           `json:"runs"`
	Drops   int           `json:"drops"`
	Median  *float64      `json:"median_drop_deg"`
	Chances []MarchChance `json:"chances"`
	Each    []MarchTrial  `json:"each"`
}

// MarchChance is the probability of a drop within some turns, with the 95 %
// interval of Clopper and Pearson.
type MarchChance struct {
	Within float64 `json:"within_turns"`
	Drops  int     `json:"drops"`
	P      float64 `json:"probability"`
	Lo     float64 `json:"probability_low"`
	Hi     float64 `json:"probability_high"`
}

// MarchTrial is one trial's end.
type MarchTrial struct {
	Trial   int      `json:"trial"`
	Dropped bool     `json:"dropped"`
	Crank   *float64 `json:"crank_deg"`
	At      string   `json:"at"`
	Falls   string   `json:"falls_to"`
	Climbs  int      `json:"climbs"`
	Guided  int      `json:"guided"`
}

func kindOf(inner bool) string {
	if inner {
		return "inner"
	}
	return "outer"
}

// Event returns an event for the document.
func Event(e march.Event) MarchEvent {
	m := MarchEvent{
		Event: e.Kind.String(), Crank: round(sim.Degrees(e.Angle)), Link: e.Link, Kind: kindOf(e.Inner),
		At: e.At.String(), Tooth: e.Tooth, Offset: round(e.Offset), Falls: e.To,
	}
	m.Bevel = optional(e.Kind == march.Guided, e.Depth)
	return m
}

// Places returns the chain's places for the document.
func Places(angle float64, p []march.Place) MarchPlaces {
	m := MarchPlaces{Crank: round(sim.Degrees(angle))}
	for _, x := range p {
		m.Links = append(m.Links, MarchLink{x.Link, kindOf(x.Inner), round(x.Along), round(x.Y), round(x.Off), x.At, round(x.Overlap)})
	}
	return m
}

// FromRun fills in a run's result.
func (d *March) FromRun(trial uint64, r march.Result) {
	d.Level3, d.Note = level3, Caveat
	p := r.Pull
	d.Pull = MarchPull{round(p.Top), round(p.Bottom), p.Slack, round(p.Surplus), round(p.Sag)}
	d.Run.Trial, d.Run.Turned, d.Run.Dropped = trial, round(sim.Degrees(r.Turned)), r.Dropped
	if r.Dropped {
		e := Event(r.Drop)
		d.Run.Drop = &e
	}
	turns := r.Turned / (2 * math.Pi)
	for _, part := range r.Parts {
		t := r.At[part]
		m := MarchTally{At: part.String(), Arrivals: t.Arrivals, Guided: t.Guided, Climbs: t.Climbs, FallsBack: t.FallsBack, SlidesOff: t.SlidesOff, Deepest: round(r.Deepest[part])}
		if turns > 0 {
			m.GuidedPerTurn, m.ClimbsPerTurn = round(float64(t.Guided)/turns), round(float64(t.Climbs)/turns)
		}
		d.Run.Wheels = append(d.Run.Wheels, m)
	}
}

// Horizons are the turns within which the chance of a drop is told.
var Horizons = []float64{0.5, 1, 10}

// FromTrials fills in what many trials came to.
func (d *March) FromTrials(t march.Trials) {
	m := &MarchTrials{Runs: t.Runs, Median: optional(!math.IsInf(t.Median, 1), sim.Degrees(t.Median))}
	all := t.By(2 * math.Pi * t.Turns)
	m.Drops = all.Drops
	add := func(turns float64) {
		c := t.By(2 * math.Pi * turns)
		m.Chances = append(m.Chances, MarchChance{turns, c.Drops, round(c.P), round(c.Lo), round(c.Hi)})
	}
	told := false
	for _, h := range Horizons {
		if h <= t.Turns {
			add(h)
			told = told || h == t.Turns
		}
	}
	if !told {
		add(t.Turns)
	}
	for i, r := range t.Results {
		x := MarchTrial{Trial: i, Dropped: r.Dropped, Crank: optional(r.Dropped, sim.Degrees(t.Angles[i]))}
		if r.Dropped {
			x.At, x.Falls = r.Drop.At.String(), r.Drop.To
		}
		for _, a := range r.At {
			x.Climbs += a.Climbs
			x.Guided += a.Guided
		}
		m.Each = append(m.Each, x)
	}
	d.Trials = m
}

// Headers of the march command's CSV, by what its rows are.
var (
	MarchEventHeader = []string{"event", "crank_deg", "link", "link_kind", "at", "tooth", "offset_mm", "bevel_share", "falls_to"}
	MarchPlaceHeader = []string{"crank_deg", "link", "link_kind", "along_mm", "y_mm", "off_path_mm", "at", "overlap_mm"}
	MarchTrialHeader = []string{"trial", "dropped", "crank_deg", "at", "falls_to", "climbs", "guided"}
)

// EventRows returns the CSV rows of the event log.
func (d *March) EventRows() (rows [][]string) {
	for _, e := range d.Run.Events {
		rows = append(rows, []string{e.Event, num(&e.Crank), strconv.Itoa(e.Link), e.Kind, e.At, strconv.Itoa(e.Tooth), num(&e.Offset), num(e.Bevel), e.Falls})
	}
	return rows
}

// PlaceRows returns the CSV rows of the chain's places.
func (d *March) PlaceRows() (rows [][]string) {
	for _, p := range d.Places {
		for _, l := range p.Links {
			rows = append(rows, []string{num(&p.Crank), strconv.Itoa(l.Link), l.Kind, num(&l.Along), num(&l.Y), num(&l.Off), l.At, num(&l.Overlap)})
		}
	}
	return rows
}

// TrialRows returns the CSV rows of the trials.
func (d *March) TrialRows() (rows [][]string) {
	if d.Trials == nil {
		return nil
	}
	for _, t := range d.Trials.Each {
		rows = append(rows, []string{strconv.Itoa(t.Trial), strconv.FormatBool(t.Dropped), num(t.Crank), t.At, t.Falls, strconv.Itoa(t.Climbs), strconv.Itoa(t.Guided)})
	}
	return rows
}

// mostLines is how many events a table prints.
const mostLines = 24

// MarchTable prints a march for people.
func MarchTable(w io.Writer, d *March) error {
	p := &printer{w: w}
	way := map[string]string{"riding": "riding", "backwards": "pedalled backwards"}[d.Direction]
	p.printf("%s\nring %d, cog %d, %s, %s\n", d.Case, d.RingTeeth, d.CogTeeth, way, plural(d.Turns, "turn"))
	p.printf("pull: top span %.1f N, bottom run %.1f N\n", d.Pull.Top, d.Pull.Bottom)
	if d.Pull.TopSlack {
		p.printf("the freehub's drag exceeds the cage's pull: the top span hangs slack, %.1f mm of chain too many, sag %.0f mm\n", d.Pull.Surplus, d.Pull.Sag)
	}
	p.printf("\nTrial %d of seed %d: ", d.Run.Trial, d.Seed)
	if x := d.Run.Drop; x != nil {
		p.printf("drops after %.0f° (%.2f turns): link %d at the %s, %s; falls to %s\n\n",
			x.Crank, x.Crank/360, x.Link, strings.ReplaceAll(x.At, "_", " "), side(x.Offset), x.Falls)
	} else {
		p.printf("no drop in %.0f°\n\n", d.Run.Turned)
	}
	t := &Table{
		Head: [][]string{{"wheel", "arrivals", "guided", "climb", "fall back", "slide off", "guided", "climb", "offset"}, {"", "", "", "", "", "", "a turn", "a turn", "to mm"}},
		Left: map[int]bool{0: true},
	}
	for _, x := range d.Run.Wheels {
		t.Rows = append(t.Rows, []string{strings.ReplaceAll(x.At, "_", " "), strconv.Itoa(x.Arrivals), strconv.Itoa(x.Guided), strconv.Itoa(x.Climbs), strconv.Itoa(x.FallsBack), strconv.Itoa(x.SlidesOff),
			fmt.Sprintf("%.1f", x.GuidedPerTurn), fmt.Sprintf("%.1f", x.ClimbsPerTurn), fmt.Sprintf("%.2f", x.Deepest)})
	}
	p.write(t.Write)
	d.eventLines(p)
	d.trialLines(p)
	p.printf("\nLevel 3 (march): compares set-ups, promises nothing. Drops are looked for at ring and cog;\non pulleys the cage's plates hold the chain.\n%s\n", Caveat)
	return p.err
}

func (d *March) eventLines(p *printer) {
	if len(d.Run.Events) == 0 {
		p.printf("\nnothing is touched\n")
		return
	}
	p.printf("\n")
	t := &Table{
		Head: [][]string{{"crank", "link", "", "wheel", "tooth", "offset", "what"}, {"°", "", "", "", "", "mm", ""}},
		Left: map[int]bool{2: true, 3: true, 6: true},
	}
	events, skipped := d.Run.Events, d.Run.LeftOut
	if len(events) > mostLines {
		skipped += len(events) - mostLines
		events = events[:mostLines]
	}
	for _, e := range events {
		t.Rows = append(t.Rows, []string{fmt.Sprintf("%.1f", e.Crank), strconv.Itoa(e.Link), e.Kind, strings.ReplaceAll(e.At, "_", " "), strconv.Itoa(e.Tooth), fmt.Sprintf("%+.2f", e.Offset), eventWords(e)})
	}
	p.write(t.Write)
	if skipped > 0 {
		p.printf("and %d more (--format csv prints %s)\n", skipped, "all that --events keeps")
	}
}

func eventWords(e MarchEvent) string {
	switch e.Event {
	case march.Guided.String():
		return fmt.Sprintf("guided, %.0f %% over the bevel", 100**e.Bevel)
	case march.Climbs.String():
		return "climbs onto the tip"
	case march.FallsBack.String():
		return "falls back over its tooth"
	case march.SlidesOff.String():
		return "slides off beside the wheel"
	}
	return "drops to " + e.Falls
}

func (d *March) trialLines(p *printer) {
	t := d.Trials
	if t == nil {
		return
	}
	p.printf("\n%d trials of seed %d, %d drop\n", t.Runs, d.Seed, t.Drops)
	for _, c := range t.Chances {
		p.printf("within %-10s %5.1f %% drop (95 %%: %.1f to %.1f %%)\n", plural(c.Within, "turn")+":", 100*c.P, 100*c.Lo, 100*c.Hi)
	}
	if t.Median != nil {
		p.printf("half of all trials have dropped after %.0f°\n", *t.Median)
	}
}

func plural(n float64, what string) string {
	s := strconv.FormatFloat(n, 'f', -1, 64) + " " + what
	if n != 1 {
		s += "s"
	}
	return s
}

func side(offset float64) string {
	if offset > 0 {
		return "outboard"
	}
	return "inboard"
}
