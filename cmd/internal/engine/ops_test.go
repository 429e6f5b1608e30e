package engine

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/sim"
)

// asked returns the answer to a request.
func asked(t *testing.T, q request) answer {
	t.Helper()
	text, err := json.Marshal(q)
	require.NoError(t, err)
	var a answer
	begun := time.Now()
	require.NoError(t, json.Unmarshal(Answer(context.Background(), text), &a))
	t.Logf("%s %v: %v", q.Op, q.Edits, time.Since(begun).Round(time.Millisecond))
	return a
}

func shippedText(t *testing.T, name string) string {
	text, err := cases.ShippedText(name)
	require.NoError(t, err)
	return string(text)
}

// An edit leaves comments and readings, and an empty one takes a field out.
func TestEditsKeepTheText(t *testing.T) {
	text := shippedText(t, "trail")
	a := asked(t, request{Op: "compute", YAML: text, Edits: []edit{{"load.torque", "33"}}})
	require.Empty(t, a.Error)
	assert.Contains(t, a.YAML, "# Invented")
	assert.Contains(t, a.YAML, "torque: 33")
	a = asked(t, request{Op: "compute", YAML: a.YAML, Edits: []edit{{"tyre", ""}}})
	require.Empty(t, a.Error)
	assert.NotContains(t, a.YAML, "tyre:")
	assert.Contains(t, a.YAML, "# Invented")
}

// A new bike from what is known, least and most.
func TestStart(t *testing.T) {
	a := asked(t, request{Op: "start", Draft: draft{Rings: "30", Cogs: "11-42 11-speed"}})
	require.Empty(t, a.Error)
	assert.Len(t, a.Notes, 4, "two lines, stay, form")
	b := asked(t, request{Op: "compute", YAML: a.YAML, Chances: true})
	require.Empty(t, b.Error)
	assert.Equal(t, []int{30}, b.Bike.Rings)
	assert.Len(t, b.Bike.Cogs, 11)
	assert.Len(t, b.Figure.Ways[0].Marks, 11)
	a = asked(t, request{Op: "start", Draft: draft{Title: "Mine", Rings: "42", Cogs: "18", Front: "tube 34, gap 25.5", Rear: "dropouts 120, stack 2, gap 13", Stay: `16 3/4 in`, Tyre: "28-622"}})
	require.Empty(t, a.Error)
	b = asked(t, request{Op: "compute", YAML: a.YAML})
	require.Empty(t, b.Error)
	assert.False(t, b.Bike.Tensioner)
	assert.InDelta(t, 42.5, b.Document.Lines.Front, 1e-9)
	assert.Contains(t, asked(t, request{Op: "start"}).Error, "teeth")
}

// A line told anew as it was measured.
func TestMeasureOp(t *testing.T) {
	a := asked(t, request{Op: "measure", YAML: shippedText(t, "trail"), Draft: draft{Front: "tube 48.6 ± 0.1, gap 26 ± 0.3"}})
	require.Empty(t, a.Error)
	b := asked(t, request{Op: "compute", YAML: a.YAML})
	assert.InDelta(t, 50.3, b.Document.Lines.Front, 1e-9)
	assert.Contains(t, a.YAML, "# Invented")
}

// A change that touches shifting tells on its card how likely a late shift is before and after.
func TestCardsTellOfLateShifts(t *testing.T) {
	catalogue := "chainpath_parts: 1\ntitle: invented\nchanges:\n  - {name: another wheel, price: 10, group: x, add: {front.line: -3}, set: {tensioner.index_error: 0.5}}\n  - {name: spacers, price: 5, group: x, add: {front.line: -1}}\n"
	a := asked(t, request{Op: "parts", YAML: shippedText(t, "trail"), Catalogue: catalogue})
	require.Empty(t, a.Error)
	require.NotNil(t, a.Before.AnyLate)
	told := 0
	for _, c := range a.Cards {
		lines := strings.Join(c.Lines, " ")
		moves := math.Abs(*c.Best.AnyLate-*a.Before.AnyLate) >= say.LeastChange
		assert.Equal(t, moves, strings.Contains(lines, "The chance of a late shift rises from "+say.Percent(*a.Before.AnyLate)+" to "+say.Percent(*c.Best.AnyLate)+"."), lines)
		assert.Equal(t, moves, strings.Contains(c.Name, "wheel"))
		if moves {
			assert.NotContains(t, lines, "Nothing gets likelier")
			assert.Positive(t, c.Worse)
			told++
		}
	}
	assert.Positive(t, told)
}

// What would help: cards that can be tried, with usual prices or those of a catalogue.
func TestParts(t *testing.T) {
	ofNumbers(t)
	text := shippedText(t, "trail")
	a := asked(t, request{Op: "parts", YAML: text})
	require.Empty(t, a.Error)
	require.Greater(t, len(a.Cards), 1)
	assert.NotEmpty(t, a.Advice)
	for _, c := range a.Cards {
		if len(c.Best.Changes) > 0 && c.Price > 0 {
			assert.Contains(t, c.Lines[0], fmt.Sprintf("Usual price %g.", c.Price), c.Name)
		}
		b := asked(t, request{Op: "compute", YAML: c.YAML})
		assert.Empty(t, b.Error, c.Name)
		assert.Contains(t, c.YAML, "# Invented")
	}
	catalogue := shippedText(t, "trail-parts")
	a = asked(t, request{Op: "parts", YAML: text, Catalogue: catalogue})
	require.Empty(t, a.Error)
	for _, c := range a.Cards {
		if len(c.Best.Changes) > 0 && c.Price > 0 {
			assert.Contains(t, c.Lines[0], fmt.Sprintf("Price %.2f.", c.Price), c.Name)
		}
	}
}

// The page's words and letters are those of the one table of hazards, all of them.
func TestHazardsAreToldWhole(t *testing.T) {
	ofNumbers(t)
	a := asked(t, request{Op: "compute", YAML: shippedText(t, "single")})
	require.Len(t, a.Hazards, int(sim.NumConcerns))
	for i, h := range a.Hazards {
		assert.Equal(t, sim.Concern(i).String(), h.Code)
		assert.Equal(t, sim.Concern(i).Words(), h.Words)
		assert.Len(t, h.Letter, 1)
		assert.NotEmpty(t, h.Ways)
		for _, way := range h.Ways { // what a button says is understood
			text := shippedText(t, "trail") + "\nspokes: {flange_radius: 29, flange_line: 20}\n"
			for _, what := range []string{h.Seen, h.Unseen} {
				if what == "" || h.Code == "rubs_next_ring" { // the trail bike has one ring
					continue
				}
				a := asked(t, request{Op: "learn", YAML: text, Seen: []string{"32/28 " + way + ": " + what}})
				assert.Empty(t, a.Error, "%s %s", way, what)
			}
		}
	}
	assert.Equal(t, hazard{Code: "noise_riding", Words: "noise", Letter: "n", Ways: []string{"riding"}, Seen: "noise", Unseen: "quiet", Sign: "≈", SeenWords: "noise", UnseenWords: "no noise"}, a.Hazards[0])
	assert.True(t, a.Hazards[sim.DropBackwards].Grave)
}

// Where nothing is likely, nothing usual is worth its work: leave it.
func TestLeaveIt(t *testing.T) {
	a := asked(t, request{Op: "parts", YAML: shippedText(t, "single")})
	require.Empty(t, a.Error)
	require.Len(t, a.Cards, 1)
	assert.Empty(t, a.Cards[0].Best.Changes)
	assert.Contains(t, a.Advice, "Leave it")
}

// The rest answers for bikes of every kind.
func TestOpsOnEveryKind(t *testing.T) {
	kinds := []string{"trail", "single", "double-cage", "single-tensioner", "trail-short"}
	if os.Getenv("CHAINPATH_LONG") == "" {
		kinds = kinds[:2]
	}
	for _, name := range kinds {
		text := shippedText(t, name)
		a := asked(t, request{Op: "next", YAML: text})
		assert.Empty(t, a.Error, name)
		assert.NotEmpty(t, a.Next.Answer)
		assert.Empty(t, asked(t, request{Op: "diagnose", YAML: text}).Error, name)
		shifts := asked(t, request{Op: "shifts", YAML: text})
		assert.Empty(t, shifts.Error, name)
		b := asked(t, request{Op: "compute", YAML: text, Chances: true})
		require.Empty(t, b.Error, name)
		require.Len(t, b.Figure.Ways, 2)
		c := asked(t, request{Op: "compare", Before: text, YAML: text})
		require.Empty(t, c.Error)
		assert.Len(t, c.Compared.SetUps, 2)
		assert.Equal(t, b.Bike.Tensioner && len(b.Bike.Cogs) > 1, shifts.Shifting != nil, name)
		g := b.Document.Gears[len(b.Document.Gears)-1]
		f := asked(t, request{Op: "march", YAML: text, Ring: g.RingTeeth, Cog: g.CogTeeth, Backwards: true})
		require.Empty(t, f.Error, name)
		require.NotEmpty(t, f.Film.Frames)
		for i := range f.Film.Frames[1:] {
			assert.Less(t, f.Film.Frames[i].Angle, f.Film.Frames[i+1].Angle)
		}
	}
	assert.Contains(t, asked(t, request{Op: "march", YAML: shippedText(t, "trail"), Ring: 9, Cog: 9}).Error, "no gear 9/9")
}
