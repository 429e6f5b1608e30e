package engine

import (
	"cmp"
	"context"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
	"chainpath/sim"
)

func putTo(t *testing.T, q request) answer {
	text, err := json.Marshal(q)
	require.NoError(t, err)
	var a answer
	require.NoError(t, json.Unmarshal(Answer(t.Context(), text), &a))
	return a
}

// noPlaces takes the lines off warnings, and the order that goes by them: an edited case
// stands in no file yet.
func noPlaces(d *show.Gears) *show.Gears {
	for i := range d.Warnings {
		d.Warnings[i].Line = 0
	}
	slices.SortFunc(d.Warnings, func(a, b show.Warning) int {
		return cmp.Or(cmp.Compare(a.Path, b.Path), cmp.Compare(a.Words, b.Words))
	})
	return d
}

func TestEveryShippedCaseComputes(t *testing.T) {
	list := putTo(t, request{Op: "shipped"}).Cases
	require.Len(t, list, len(cases.Shipped()))
	for _, n := range list {
		text := putTo(t, request{Op: "text", Name: n.Name}).YAML
		a := putTo(t, request{Op: "compute", YAML: text, Window: n.Name == "single"})
		require.Empty(t, a.Error, n.Name)
		assert.Equal(t, n.Title, a.Document.Case)
		assert.Equal(t, text, a.YAML)
		assert.Len(t, a.Shape.Gears, len(a.Document.Gears))
		assert.GreaterOrEqual(t, len(a.Inputs), 6)
		if n.Name == "single" {
			assert.NotEmpty(t, a.Window.Thresholds)
		}
		// An edit moves what it should, and its YAML reads back.
		for _, in := range a.Inputs {
			if in.Path == "front.line" {
				b := putTo(t, request{Op: "compute", YAML: text, Edits: []edit{{"front.line", "48.25"}}})
				require.Empty(t, b.Error)
				if n.Name != "road" && n.Name != "tourer" {
					assert.Equal(t, 48.25, b.Document.Lines.Front)
				}
				require.NotEmpty(t, b.YAML)
				again := putTo(t, request{Op: "compute", YAML: b.YAML})
				require.Empty(t, again.Error, b.YAML)
				assert.Equal(t, noPlaces(b.Document), noPlaces(again.Document))
			}
		}
	}
}

// A request that nobody waits for any more ends between its stages.
func TestAnswerStops(t *testing.T) {
	text := putTo(t, request{Op: "text", Name: "trail"}).YAML
	q, err := json.Marshal(request{Op: "compute", YAML: text, Window: true})
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	assert.JSONEq(t, `{"error":"context canceled"}`, string(Answer(ctx, q)))
}

// What is wrong comes back in the words of the command line.
func TestErrors(t *testing.T) {
	assert.Contains(t, putTo(t, request{Op: "nonsense"}).Error, "no op")
	assert.Contains(t, putTo(t, request{Op: "compute", YAML: "chainpath: 7"}).Error, "case:1:12: chainpath")
	assert.Contains(t, putTo(t, request{Op: "compute", YAML: ": ["}).Error, "not valid YAML")
	text := putTo(t, request{Op: "text", Name: "trail"}).YAML
	assert.Contains(t, putTo(t, request{Op: "compute", YAML: text, Edits: []edit{{"frame.stay", "9000"}}}).Error, "want 200 mm to 2000 mm")
	bare := putTo(t, request{Op: "text", Name: "single"}).YAML // has no chainstay
	assert.Equal(t, "case: chainstay.gap: missing: chainring's inner face to the stay's outer face, largest chainring, want -50 mm to 150 mm",
		putTo(t, request{Op: "compute", YAML: bare, Edits: []edit{{"chainstay.angle", "3"}}}).Error)
	assert.Contains(t, putTo(t, request{Op: "text", Name: "x"}).Error, "no such shipped case")
	var a answer
	require.NoError(t, json.Unmarshal(Answer(t.Context(), []byte("{")), &a))
	assert.NotEmpty(t, a.Error)
}

// Learning keeps comments and readings, adds to what was seen, and what is dropped is gone,
// with the block once nothing is left.
func TestLearning(t *testing.T) {
	text := putTo(t, request{Op: "text", Name: "gravel"}).YAML
	first := putTo(t, request{Op: "learn", YAML: text, Seen: []string{"40/42 backwards: off 3 of 10", "40/11: quiet"}})
	require.Empty(t, first.Error)
	require.Len(t, first.Seen, 2)
	require.NotNil(t, first.Learned)
	assert.Len(t, first.Learned.Seen, 2)
	assert.Contains(t, first.YAML, "learned:")
	assert.Contains(t, first.YAML, text[:60], "the case stands as it was")
	c, err := cases.Parse("case", []byte(first.YAML))
	require.NoError(t, err)
	chances, err := c.Chances()
	require.NoError(t, err)
	a := putTo(t, request{Op: "compute", YAML: first.YAML, Window: true})
	require.Empty(t, a.Error)
	assert.Equal(t, first.Seen, a.Seen)
	last := len(chances) - 1
	assert.InDelta(t, chances[last][sim.DropBackwards], *a.Document.Gears[last].Chance["drop_backwards"], 6e-5)

	second := putTo(t, request{Op: "learn", YAML: first.YAML, Seen: []string{"40/37: fine"}})
	require.Empty(t, second.Error)
	assert.Len(t, second.Seen, 3)
	left := putTo(t, request{Op: "learn", YAML: second.YAML, Drop: 1})
	require.Empty(t, left.Error)
	assert.Equal(t, second.Seen[1:], left.Seen)
	none := putTo(t, request{Op: "learn", YAML: putTo(t, request{Op: "learn", YAML: left.YAML, Drop: 1}).YAML, Drop: 1})
	require.Empty(t, none.Error)
	assert.Empty(t, none.Seen)
	assert.Nil(t, none.Learned)
	assert.Equal(t, strings.TrimSpace(text), strings.TrimSpace(none.YAML))

	for _, bad := range []request{
		{Op: "learn", YAML: text, Seen: []string{"nonsense"}}, {Op: "learn", YAML: text, Seen: []string{"40/99: fine"}},
		{Op: "learn", YAML: text, Drop: 4}, {Op: "learn", YAML: ": ["},
	} {
		assert.NotEmpty(t, putTo(t, bad).Error)
	}
}
