package engine

import (
	"cmp"
	"context"
	"encoding/json"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
)

func ask(t *testing.T, q request) answer {
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
	list := ask(t, request{Op: "shipped"}).Cases
	require.Len(t, list, len(cases.Shipped()))
	for _, n := range list {
		text := ask(t, request{Op: "text", Name: n.Name}).YAML
		a := ask(t, request{Op: "compute", YAML: text, Window: n.Name == "single"})
		require.Empty(t, a.Error, n.Name)
		assert.Equal(t, n.Title, a.Document.Case)
		assert.Equal(t, text, a.YAML)
		assert.Len(t, a.Shape.Gears, len(a.Document.Gears))
		assert.GreaterOrEqual(t, len(a.Inputs), 6)
		if n.Name == "single" {
			assert.NotEmpty(t, a.Window.Constraints)
		}
		// An edit moves what it should, and its YAML reads back.
		for _, in := range a.Inputs {
			if in.Path == "front.line" {
				b := ask(t, request{Op: "compute", YAML: text, Edits: []edit{{"front.line", "48.25"}}})
				require.Empty(t, b.Error)
				if n.Name != "road" && n.Name != "tourer" {
					assert.Equal(t, 48.25, b.Document.Lines.Front)
				}
				require.NotEmpty(t, b.YAML)
				again := ask(t, request{Op: "compute", YAML: b.YAML})
				require.Empty(t, again.Error, b.YAML)
				assert.Equal(t, noPlaces(b.Document), noPlaces(again.Document))
			}
		}
	}
}

// A request that nobody waits for any more ends between its stages.
func TestAnswerStops(t *testing.T) {
	text := ask(t, request{Op: "text", Name: "trail"}).YAML
	q, err := json.Marshal(request{Op: "compute", YAML: text, Window: true})
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	assert.JSONEq(t, `{"error":"context canceled"}`, string(Answer(ctx, q)))
}

// What is wrong comes back in the words of the command line.
func TestErrors(t *testing.T) {
	assert.Contains(t, ask(t, request{Op: "nonsense"}).Error, "no op")
	assert.Contains(t, ask(t, request{Op: "compute", YAML: "chainpath: 7"}).Error, "case:1:12: chainpath")
	assert.Contains(t, ask(t, request{Op: "compute", YAML: ": ["}).Error, "not YAML")
	text := ask(t, request{Op: "text", Name: "trail"}).YAML
	assert.Contains(t, ask(t, request{Op: "compute", YAML: text, Edits: []edit{{"frame.stay", "9000"}}}).Error, "want 300 mm to 700 mm")
	bare := ask(t, request{Op: "text", Name: "single"}).YAML // has no chainstay
	assert.Equal(t, "case: chainstay.gap: missing: ring's inner face to the stay's outer face, largest ring, want -20 mm to 40 mm",
		ask(t, request{Op: "compute", YAML: bare, Edits: []edit{{"chainstay.angle", "3"}}}).Error)
	assert.Contains(t, ask(t, request{Op: "text", Name: "x"}).Error, "no such shipped case")
	var a answer
	require.NoError(t, json.Unmarshal(Answer(t.Context(), []byte("{")), &a))
	assert.NotEmpty(t, a.Error)
}
