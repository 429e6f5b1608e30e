// Package engine answers the page's questions with the code of the command line, in the
// server of the page or compiled to WebAssembly. Everything goes through one function from JSON to
// JSON, so that it can be tested without a browser.
package engine

import (
	"context"
	"encoding/json"
	"fmt"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/cmd/internal/show"
	"chainpath/sim"
)

// request is what the page asks.
type request struct {
	Op    string `json:"op"`   // one of ops
	Name  string `json:"name"` // of a shipped case, for text
	YAML  string `json:"yaml"`
	Edits []edit `json:"edits"`
	// Chances asks for them and the one figure, Window for the line window, map and chances;
	// both take longer.
	Chances bool `json:"chances"`
	Window  bool `json:"window"`
	// Drag is whether a dimension was dragged, whose chances and figure come along where the case it was dragged from is
	// kept.
	Drag bool `json:"drag"`
	// Quick leaves the gears without chances beside window and map.
	Quick bool `json:"quick"`
	// Seen are further observations, for learn, as the command's --seen takes them; Drop is
	// the number of one that is in the case already and is to go, from 1 on.
	Seen []string `json:"seen"`
	Drop int      `json:"drop"`
	// Draft is what is known of a new bike, for start; Front and Rear of it also for measure.
	Draft draft `json:"draft"`
	// Catalogue is the text of one, for parts; left out: what is usually changed.
	Catalogue string `json:"catalogue"`
	// Ring and Cog are the teeth of the gear to march, Backwards its direction; or to show in space.
	Ring      int  `json:"ring"`
	Cog       int  `json:"cog"`
	Backwards bool `json:"backwards"`
	// Space is whether compute shows that gear in space too, where there is one.
	Space bool `json:"space"`
	// Before is the case to compare with, as text.
	Before string `json:"before"`
}

// edit sets a field to a value; an empty one takes it out.
type edit struct {
	Path  string `json:"path"`
	Value string `json:"value"`
}

// answer is what it gets.
type answer struct {
	Error    string       `json:"error,omitempty"`
	Cases    []named      `json:"cases,omitempty"`
	Lessons  []say.Course `json:"lessons,omitempty"`
	YAML     string       `json:"yaml,omitempty"`
	Document *show.Gears  `json:"document,omitempty"`
	Shape    *shape       `json:"shape,omitempty"`
	Inputs   []input      `json:"inputs,omitempty"`
	Bike     *bike        `json:"bike,omitempty"`
	Hazards  []hazard     `json:"hazards,omitempty"`
	Figure   *show.Figure `json:"figure,omitempty"`
	Window   *show.Window `json:"window,omitempty"`
	// Learned is what the observations teach; nothing where none are left.
	Learned *show.Learning `json:"learned,omitempty"`
	// Seen are the case's observations, as --seen takes them.
	Seen []string `json:"seen,omitempty"`
	// Notes say what was assumed of what was not known.
	Notes     []string         `json:"notes,omitempty"`
	Warnings  []string         `json:"warnings,omitempty"`
	Cards     []card           `json:"cards,omitempty"`
	Before    *show.PartsScore `json:"before,omitempty"` // of the cards: the bike as it is
	Advice    string           `json:"advice,omitempty"`
	Next      *show.Next       `json:"next,omitempty"`
	Diagnosis *show.Diagnosis  `json:"diagnosis,omitempty"`
	Compared  *show.Comparison `json:"compared,omitempty"`
	Said      []string         `json:"said,omitempty"` // of what was learned, or what changed since before
	Small     *say.Small       `json:"small,omitempty"`
	Film      *film            `json:"film,omitempty"`
	Shifting  *show.Shifting   `json:"shifting,omitempty"`
	Space     *space           `json:"space,omitempty"`
}

// hazard is what the page calls a concern.
type hazard struct {
	Code   string `json:"code"`
	Words  string `json:"words"`
	Letter string `json:"letter"`
	// Grave is whether the chain may come off or does not fit; Seen what an observation calls
	// it, with the sign of its button, and Unseen what it calls that it did not happen.
	Grave  bool     `json:"grave,omitempty"`
	Ways   []string `json:"ways"`
	Seen   string   `json:"seen,omitempty"`
	Unseen string   `json:"unseen,omitempty"`
	Sign   string   `json:"sign,omitempty"`
	// SeenWords and UnseenWords are both as a button says them.
	SeenWords   string `json:"seen_words,omitempty"`
	UnseenWords string `json:"unseen_words,omitempty"`
	Room        string `json:"room,omitempty"` // as rooms_unknown names it
}

func hazards() (list []hazard) {
	for _, h := range sim.Hazards {
		x := hazard{Code: h.Code, Words: h.Words, Letter: h.Letter, Grave: show.Grave(h.Code), Seen: h.Seen, Unseen: h.Unseen, Sign: h.Sign, Room: h.Room}
		x.SeenWords, x.UnseenWords = say.SeenAs(h.Seen), say.SeenAs(h.Unseen)
		for d := sim.Riding; d <= sim.Backwards; d++ {
			if h.Ways[d] {
				x.Ways = append(x.Ways, d.String())
			}
		}
		list = append(list, x)
	}
	return list
}

type named struct {
	Name  string `json:"name"`
	Title string `json:"title"`
}

// ops are what can be asked.
var ops = map[string]func(a *answer, ctx context.Context, q *request) error{
	"shipped": (*answer).shipped,
	"text": func(a *answer, _ context.Context, q *request) error {
		text, err := cases.ShippedText(q.Name)
		a.YAML = string(text)
		return err
	},
	"compute":  (*answer).compute,
	"drag":     (*answer).drag,
	"learn":    (*answer).learn,
	"start":    (*answer).start,
	"measure":  (*answer).measure,
	"parts":    (*answer).parts,
	"next":     (*answer).next,
	"diagnose": (*answer).diagnose,
	"compare":  (*answer).compare,
	"march":    (*answer).march,
	"shifts":   (*answer).shifts,
	"space":    (*answer).space,
}

// Answer answers a request in JSON with JSON. What is wrong comes back as error, in
// the words of the command line. When the context ends, so does the work, within a draw.
func Answer(ctx context.Context, text []byte) []byte {
	var q request
	a := answer{}
	if err := json.Unmarshal(text, &q); err != nil {
		a.Error = "request: " + err.Error()
	} else if op := ops[q.Op]; op == nil {
		a.Error = fmt.Sprintf("request: no op %q", q.Op)
	} else if err := op(&a, ctx, &q); err != nil {
		a = answer{Error: err.Error()}
	}
	if err := ctx.Err(); err != nil { // what was left out is no part of an answer
		a = answer{Error: err.Error()}
	}
	out, err := json.Marshal(a)
	if err != nil { // a number that is not finite would be an error of ours
		out, _ = json.Marshal(answer{Error: err.Error()})
	}
	return out
}

func (a *answer) shipped(context.Context, *request) error {
	a.Lessons = say.Courses()
	for _, n := range cases.Shipped() {
		c, err := cases.Load(n, nil)
		if err != nil {
			return err
		}
		a.Cases = append(a.Cases, named{n, c.Title})
	}
	return nil
}
