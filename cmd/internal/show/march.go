package show

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"chainpath/cmd/internal/say"
	"chainpath/sim"
	"chainpath/sim/fall"
	"chainpath/sim/judge"
	"chainpath/sim/march"
)

// March is the JSON document of the march command.
type March struct {
	Case      string        `json:"case"`
	Level3    string        `json:"level_3"`
	RingTeeth int           `json:"ring_teeth"`
	CogTeeth  int           `json:"cog_teeth"`
	Direction string        `json:"direction"`
	Chance    *float64      `json:"drop_chance"`
	Words     string        `json:"drop_words"`
	Turns     float64       `json:"turns"`
	Seed      uint64        `json:"seed"`
	TopBend   float64       `json:"top_bend_deg"`
	Pull      MarchPull     `json:"pull"`
	Run       MarchRun      `json:"run"`
	Places    []MarchPlaces `json:"places"`
	Trials    *MarchTrials  `json:"trials"`
	Note      string        `json:"note"`
}

const level3 = "simulation: every link with its own tolerances, quasi-static; shows how, not how often; drop_chance is the chance that gears gives"

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
	Set     uint64       `json:"set"`
	Turned  float64      `json:"turned_deg"`
	Dropped bool         `json:"dropped"`
	Drop    *MarchEvent  `json:"drop"`
	Wheels  []MarchTally `json:"wheels"`
	Events  []MarchEvent `json:"events"`
	LeftOut int          `json:"events_left_out"`
	Fall    *MarchFall   `json:"fall"`
}

// MarchTally counts what happened at a wheel.
type MarchTally struct {
	At            string  `json:"at"`
	Arrivals      int     `json:"arrivals"`
	Guided        int     `json:"guided"`
	Climbs        int     `json:"climbs"`
	FallsBack     int     `json:"falls_back"`
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

// MarchTrials is what many trials came to: counts, which are no probability.
type MarchTrials struct {
	Runs   int          `json:"runs"`
	Cannot int          `json:"cannot_be"`
	Drops  int          `json:"drops"`
	Median *float64     `json:"median_drop_deg"`
	Within []MarchCount `json:"drops_within"`
	Sets   MarchSets    `json:"sets"`
	Falls  *FallEnds    `json:"falls"`
	Each   []MarchTrial `json:"each"`
}

// MarchCount is how many trials dropped within some turns.
type MarchCount struct {
	Within float64 `json:"within_turns"`
	Drops  int     `json:"drops"`
}

// MarchSets is in how many of the sets that were marched every trial, some and none
// dropped.
type MarchSets struct {
	Marched int `json:"marched"`
	All     int `json:"all_drop"`
	Some    int `json:"some_drop"`
	None    int `json:"none_drops"`
}

// MarchTrial is one trial's end.
type MarchTrial struct {
	Trial   int      `json:"trial"`
	Set     int      `json:"set"`
	Cannot  bool     `json:"cannot_be"`
	Dropped bool     `json:"dropped"`
	Crank   *float64 `json:"crank_deg"`
	At      string   `json:"at"`
	Falls   string   `json:"falls_to"`
	Climbs  int      `json:"climbs"`
	Guided  int      `json:"guided"`
	FallEnd string   `json:"fall_end"`
	RestsOn *int     `json:"rests_on"`
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
func Places(angle float64, p []march.Landing) MarchPlaces {
	m := MarchPlaces{Crank: round(sim.Degrees(angle))}
	for _, x := range p {
		m.Links = append(m.Links, MarchLink{x.Link, kindOf(x.Inner), round(x.Along), round(x.Y), round(x.Off), x.At, round(x.Overlap)})
	}
	return m
}

// FromChances fills in what level 2 says of the gear in the march's direction.
func (d *March) FromChances(c *sim.Chances, way sim.Direction) {
	k := [2]sim.Concern{sim.DropSmooth, sim.DropBackwards}[way]
	d.Chance, d.Words = chanceAt(c, k), say.LevelOf(c[k]).Word()
}

// FromRun fills in a run's result, of the gear as it was drawn.
func (d *March) FromRun(trial uint64, g *sim.Gear, r march.Fate) {
	d.Level3, d.Note = level3, strings.TrimSpace(say.Caveat+" "+say.Brake(g.Drive))
	d.TopBend = round(sim.Degrees(g.Top.Bend))
	d.Run.Set = trial % judge.Sets
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
		m := MarchTally{At: part.String(), Arrivals: t.Arrivals, Guided: t.Guided, Climbs: t.Climbs, FallsBack: t.FallsBack, Deepest: round(r.Deepest[part])}
		if turns > 0 {
			m.GuidedPerTurn, m.ClimbsPerTurn = round(float64(t.Guided)/turns), round(float64(t.Climbs)/turns)
		}
		d.Run.Wheels = append(d.Run.Wheels, m)
	}
}

// Horizons are the turns within which drops are counted.
var Horizons = []float64{0.5, 1, 10}

// FromTrials fills in what many trials came to, and how their drops went on.
func (d *March) FromTrials(t march.Trials, falls []*fall.Followed) {
	m := &MarchTrials{Runs: t.Runs, Cannot: t.Runs - t.Of(), Median: optional(!math.IsInf(t.Median, 1), sim.Degrees(t.Median))}
	m.Drops = t.By(2 * math.Pi * t.Turns)
	add := func(turns float64) {
		m.Within = append(m.Within, MarchCount{turns, t.By(2 * math.Pi * turns)})
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
	a := t.Among(judge.Sets)
	m.Sets = MarchSets{a.Sets, a.All, a.Some, a.None}
	for i, r := range t.Results {
		x := MarchTrial{Trial: i, Set: i % judge.Sets, Cannot: t.Cannot[i], Dropped: r.Dropped, Crank: optional(r.Dropped, sim.Degrees(t.Angles[i]))}
		if r.Dropped {
			x.At, x.Falls = r.Drop.At.String(), r.Drop.To
		}
		if i < len(falls) && falls[i] != nil {
			f := falls[i]
			x.FallEnd = f.Result.End.String()
			if f.Result.End == fall.AtRest {
				teeth := f.Teeth(f.Result.Cog)
				x.RestsOn = &teeth
			}
		}
		for _, a := range r.At {
			x.Climbs += a.Climbs
			x.Guided += a.Guided
		}
		m.Each = append(m.Each, x)
	}
	m.Falls = EndsOf(falls)
	d.Trials = m
}

// Headers of the march command's CSV, by what its rows are.
var (
	MarchEventHeader = []string{"event", "crank_deg", "link", "link_kind", "at", "tooth", "offset_mm", "bevel_share", "falls_to"}
	MarchPlaceHeader = []string{"crank_deg", "link", "link_kind", "along_mm", "y_mm", "off_path_mm", "at", "overlap_mm"}
	MarchTrialHeader = []string{"trial", "set", "cannot_be", "dropped", "crank_deg", "at", "falls_to", "climbs", "guided", "fall_end", "rests_on"}
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
		rows = append(rows, []string{strconv.Itoa(t.Trial), strconv.Itoa(t.Set), strconv.FormatBool(t.Cannot), strconv.FormatBool(t.Dropped), num(t.Crank), t.At, t.Falls, strconv.Itoa(t.Climbs), strconv.Itoa(t.Guided), t.FallEnd, teethOn(t.RestsOn)})
	}
	return rows
}

// mostLines is how many events a table prints, and the default answer.
const (
	mostLines = 24
	fewLines  = 6
)

// MarchTable prints a simulation for people: whether the chain drops and how, and of how many
// chains it did, and what to type next; all adds what happened at every wheel and every event.
func MarchTable(w io.Writer, d *March, all bool, next string) error {
	way := map[string]string{"riding": "when riding", "backwards": "when back-pedalling"}[d.Direction]
	fate := fmt.Sprintf("This chain stays on for %s.", Plural(math.Round(d.Run.Turned/3.6)/100, "turn"))
	if x := d.Run.Drop; x != nil {
		fate = fmt.Sprintf("This chain drops after %.0f° (%.2f turns): link %d leaves the %s %s and falls towards %s.", x.Crank, x.Crank/360, x.Link, strings.ReplaceAll(x.At, "_", " "), side(x.Offset), x.Falls)
		if f := d.Run.Fall; f != nil {
			fate = fmt.Sprintf("This chain drops after %.0f° (%.2f turns), off the %s %s. %s", x.Crank, x.Crank/360, strings.ReplaceAll(x.At, "_", " "), side(x.Offset), f.Words)
		}
	}
	s := screen{above: []string{d.Case, fmt.Sprintf("%d/%d, %s. Chance of a drop in this gear: %s.", d.RingTeeth, d.CogTeeth, way, chanceWords(d.Chance)), fate}, next: next}
	s.table = d.eventTable(all)
	if d.Pull.TopSlack {
		s.below = append(s.below, fmt.Sprintf("The freehub's drag is more than the cage pulls: the top run goes slack by %.1f mm of chain and sags %.0f mm.", d.Pull.Surplus, d.Pull.Sag))
	}
	if d.Trials != nil {
		s.below = append(s.below, d.trialWords())
	}
	if brake := strings.TrimSpace(strings.TrimPrefix(d.Note, say.Caveat)); brake != "" {
		s.below = append(s.below, "Caution: "+brake)
	}
	if d.Run.Fall != nil {
		s.below = append(s.below, "Which cog a chain ends on is one chain of many.")
	}
	s.below = append(s.below, "A simulation shows how a chain drops, not how often.")
	s.notes = []string{fmt.Sprintf("Trial %d of seed %d, version %d of the bike. Top run at %.1f° under %.1f N, bottom run under %.1f N.", d.Run.Trial, d.Seed, d.Run.Set, d.TopBend, d.Pull.Top, d.Pull.Bottom), say.Model}
	if !all {
		s.notes = append(s.notes, "Every wheel and event: --all.")
	}
	if err := s.write(w); err != nil || !all {
		return err
	}
	p := &printer{w: w}
	p.printf("\n")
	t := &Table{
		Head: [][]string{{"wheel", "arrivals", "guided", "ride up", "fall back", "guided", "ride up", "offset"}, {"", "", "", "", "", "a turn", "a turn", "to mm"}},
		Left: map[int]bool{0: true},
	}
	for _, x := range d.Run.Wheels {
		t.Rows = append(t.Rows, []string{strings.ReplaceAll(x.At, "_", " "), strconv.Itoa(x.Arrivals), strconv.Itoa(x.Guided), strconv.Itoa(x.Climbs), strconv.Itoa(x.FallsBack),
			fmt.Sprintf("%.1f", x.GuidedPerTurn), fmt.Sprintf("%.1f", x.ClimbsPerTurn), fmt.Sprintf("%.2f", x.Deepest)})
	}
	p.write(t.Write)
	if d.Run.Fall != nil {
		p.printf("\n")
		p.write(d.fallTable().Write)
		p.printf("\n%s\n", Wrap(say.FallLimits, Columns))
	}
	p.printf("\n%s\n", Wrap("The pulleys' cage, larger wheels and a front derailleur cage hold the chain. "+d.Note, Columns))
	return p.err
}

// eventTable has a row an event; nil where nothing was touched. The default answer has the last ones.
func (d *March) eventTable(all bool) *Table {
	if len(d.Run.Events) == 0 {
		return nil
	}
	t := &Table{
		Head: [][]string{{"crank", "link", "kind", "wheel", "tooth", "offset", "what"}, {"°", "", "", "", "", "mm", ""}},
		Left: map[int]bool{2: true, 3: true, 6: true}, Flow: 7,
	}
	events, skipped := d.Run.Events, d.Run.LeftOut
	switch {
	case all && len(events) > mostLines:
		skipped += len(events) - mostLines
		events = events[:mostLines]
	case !all && len(events) > fewLines && d.Run.Dropped:
		events = events[len(events)-fewLines:]
	case !all && len(events) > fewLines:
		events = events[:fewLines]
	}
	for _, e := range events {
		t.Rows = append(t.Rows, []string{fmt.Sprintf("%.1f", e.Crank), strconv.Itoa(e.Link), e.Kind, strings.ReplaceAll(e.At, "_", " "), strconv.Itoa(e.Tooth), fmt.Sprintf("%+.2f", e.Offset), eventWords(e)})
	}
	if all && skipped > 0 {
		t.Notes = map[int]string{len(t.Rows) - 1: fmt.Sprintf("and %d more: --format csv prints all that --events keeps", skipped)}
	}
	return t
}

func eventWords(e MarchEvent) string {
	switch e.Event {
	case march.Guided.String():
		return fmt.Sprintf("guided, %.0f %% over the bevel", 100**e.Bevel)
	case march.Climbs.String():
		return "rides up onto the tip"
	case march.FallsBack.String():
		return "falls back over its tooth"
	}
	return "drops towards " + e.Falls
}

// fallTable has a row for every change of a link after the drop.
func (d *March) fallTable() *Table {
	t := &Table{
		Head: [][]string{{"after", "link", "height", "outboard", "lean", "force", "what"}, {"°", "", "mm", "mm", "°", "N", ""}},
		Left: map[int]bool{6: true}, Flow: 7,
	}
	for _, x := range d.Run.Fall.Steps {
		t.Rows = append(t.Rows, []string{fmt.Sprintf("%.1f", x.After), strconv.Itoa(x.Link), fmt.Sprintf("%.1f", x.Height), fmt.Sprintf("%.1f", x.Y), fmt.Sprintf("%.0f", x.Lean), fmt.Sprintf("%.1f", x.Force), FallWords(x.What, x.Cog)})
	}
	return t
}

// chanceWords tells a chance, or that there is none.
func chanceWords(p *float64) string {
	if p == nil {
		return "not worked out"
	}
	return say.OfBikes(*p)
}

// trialWords say what many trials came to.
func (d *March) trialWords() string {
	t := d.Trials
	var within []string
	for _, c := range t.Within {
		within = append(within, fmt.Sprintf("%d within %s", c.Drops, Plural(c.Within, "turn")))
	}
	text := fmt.Sprintf("Of %d chains, each on another bike like this, these dropped: %s.", t.Runs-t.Cannot, strings.Join(within, ", "))
	if t.Sets.Marched < t.Runs-t.Cannot {
		text = fmt.Sprintf("Of %d chains on %d bikes like this these dropped: %s. %d bikes lost every chain, %d some, %d none.", t.Runs-t.Cannot, t.Sets.Marched, strings.Join(within, ", "), t.Sets.All, t.Sets.Some, t.Sets.None)
	}
	if t.Median != nil {
		text += fmt.Sprintf(" Half of them dropped within %.0f°.", *t.Median)
	}
	if t.Cannot > 0 {
		text += fmt.Sprintf(" %d draws cannot be and are left out.", t.Cannot)
	}
	if t.Falls != nil {
		text += " " + t.Falls.Words
	}
	return text + " Compare set-ups by this; it is no probability, because the worst of all links decides."
}

// Plural returns a number of things, one of them alone in the singular.
func Plural(n float64, what string) string {
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
