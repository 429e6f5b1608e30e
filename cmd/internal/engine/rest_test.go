package engine

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
)

// nearly says that gears are told alike, chances within what drawing bikes anew changes of them.
func nearly(t *testing.T, want, got *show.Gears, within float64, what string) {
	t.Helper()
	require.Len(t, got.Gears, len(want.Gears), what)
	for i := range want.Gears {
		w, g := &want.Gears[i], &got.Gears[i]
		assert.Equal(t, w.Top, g.Top, what)
		for code, p := range w.Chance {
			if q := g.Chance[code]; assert.Equal(t, p == nil, q == nil, "%s %s", what, code) && p != nil {
				assert.InDelta(t, *p, *q, within, "%s %d/%d %s", what, w.RingTeeth, w.CogTeeth, code)
			}
		}
	}
}

// What is told while a dimension is dragged is what its own case is told: of lines to 3e-4 but with an axle path, which
// the chain is cut for, and of other dimensions, within 0.005.
func TestDraggedIsWhatItsOwnCaseIsTold(t *testing.T) {
	ofNumbers(t)
	names, moves := []string{"trail", "idler"}, []float64{1.7}
	if os.Getenv("CHAINPATH_LONG") != "" {
		names, moves = cases.Shipped(), []float64{-1.3, 2.2}
	} else if testing.Short() {
		names = names[:1]
	}
	for _, name := range names {
		text := shippedText(t, name)
		at := asked(t, request{Op: "compute", YAML: text, Chances: true})
		require.Empty(t, at.Error)
		for _, in := range at.Inputs {
			within := map[string]float64{"front.line": 3e-4, "rear.line": 3e-4, "frame.stay": 5e-3}[in.Path]
			if strings.Contains(text, "axle_path") && within > 0 {
				within = 5e-3 // a version's chain, cut for all of the travel, may be a link longer
			}
			if within == 0 || testing.Short() && in.Path != "front.line" {
				continue
			}
			for _, by := range moves {
				e := edit{in.Path, fmt.Sprint(math.Round(100*(in.Value+by)) / 100)}
				what := fmt.Sprint(name, e)
				own := asked(t, request{Op: "compute", YAML: text, Edits: []edit{e}})
				if own.Error != "" {
					continue
				}
				own = asked(t, request{Op: "compute", YAML: own.YAML, Chances: true})
				got := asked(t, request{Op: "drag", YAML: text, Edits: []edit{e}})
				require.Empty(t, got.Error, what)
				nearly(t, own.Document, got.Document, within, what)
				assert.Equal(t, own.Shape, got.Shape, what)
				for w := range own.Figure.Ways {
					for i, m := range own.Figure.Ways[w].Marks {
						g := got.Figure.Ways[w].Marks[i]
						assert.Equal(t, m.Bend, g.Bend, what)
						assert.InDelta(t, m.Chance, g.Chance, within, what)
					}
				}
				assert.Equal(t, own.Figure.From, got.Figure.From, what)
				assert.Equal(t, own.Figure.To, got.Figure.To, what)
			}
		}
	}
}

// The pale grounds behind the marks, of the bike at rest, are those of the bike where it was dragged to.
func TestDraggedGround(t *testing.T) {
	ofNumbers(t)
	text := shippedText(t, "trail")
	at := asked(t, request{Op: "compute", YAML: text, Chances: true})
	e := edit{"front.line", fmt.Sprint(at.Document.Lines.Front - 4)}
	got := asked(t, request{Op: "drag", YAML: text, Edits: []edit{e}})
	own := asked(t, request{Op: "compute", YAML: text, Edits: []edit{e}, Chances: true})
	seen := 0
	for w := range own.Figure.Ways {
		for i, m := range own.Figure.Ways[w].Marks {
			for _, p := range m.Curve { // both have points every two millimetres, at the same places
				for _, q := range got.Figure.Ways[w].Marks[i].Curve {
					if math.Abs(p[0]-q[0]) < 1e-4 {
						assert.InDelta(t, p[1], q[1], 1e-3)
						seen++
					}
				}
			}
		}
	}
	assert.Greater(t, seen, 100)
}

// What is not a dimension, or changes what is drawn, draws bikes of its own; one that is not kept is drawn; what cannot
// be is refused in the words of the command line; and no more are kept than are used.
func TestDraggedFromAnywhere(t *testing.T) {
	ofNumbers(t)
	text := shippedText(t, "trail")
	for i := range 2 * mostRests {
		yaml := text + fmt.Sprintf("# %d\n", i)
		own := asked(t, request{Op: "compute", YAML: yaml, Edits: []edit{{"chain.slack", "1.1"}}, Chances: true})
		require.Empty(t, own.Error)
		got := asked(t, request{Op: "drag", YAML: yaml, Edits: []edit{{"chain.slack", "1.1"}}})
		require.Empty(t, got.Error)
		nearly(t, own.Document, got.Document, 1e-9, "another chain")
		assert.LessOrEqual(t, len(rests.list), mostRests)
		if i == 1 {
			break
		}
	}
	for i := range mostRests + 2 {
		(&rest{text: fmt.Sprint(i)}).keep()
	}
	assert.Len(t, rests.list, mostRests)
	assert.NotNil(t, takeRest(fmt.Sprint(mostRests+1)))
	assert.Nil(t, takeRest("0"))
	rests.list = nil
	want := asked(t, request{Op: "compute", YAML: text, Edits: []edit{{"front.line", "500"}}})
	got := asked(t, request{Op: "drag", YAML: text, Edits: []edit{{"front.line", "500"}}})
	require.NotEmpty(t, want.Error)
	assert.Equal(t, want.Error, got.Error)
	assert.Contains(t, asked(t, request{Op: "drag", YAML: text}).Error, "0 edits, want 1")
}

// Whatever was dragged before from the same bike, with bikes drawn anew for it or not, it is dragged from where it is.
func TestDraggedOneAfterAnother(t *testing.T) {
	ofNumbers(t)
	text := shippedText(t, "road")
	drag := func(path, value string) answer {
		a := asked(t, request{Op: "drag", YAML: text, Edits: []edit{{path, value}}})
		require.Empty(t, a.Error)
		return a
	}
	rests.list = nil
	want := drag("front.line", "45.5")
	rests.list = nil
	drag("frame.stay", "425") // draws bikes of its own
	got := drag("front.line", "45.5")
	assert.Equal(t, want.Document.Lines, got.Document.Lines)
	assert.Equal(t, want.Shape, got.Shape, "on the chainstay that it has")
	nearly(t, want.Document, got.Document, 5e-3, "after another")
	for w := range want.Figure.Ways {
		for i, m := range want.Figure.Ways[w].Marks {
			assert.Equal(t, m.Bend, got.Figure.Ways[w].Marks[i].Bend)
		}
	}
	assert.Len(t, rests.list, 1)
}

// A dimension that is let go of brings its chances and figure along with the case.
func TestLetGoOf(t *testing.T) {
	text := shippedText(t, "trail")
	e := []edit{{"front.line", "50.25"}}
	asked(t, request{Op: "compute", YAML: text, Chances: true})
	dragged := asked(t, request{Op: "drag", YAML: text, Edits: e})
	done := asked(t, request{Op: "compute", YAML: text, Edits: e, Drag: true})
	require.Empty(t, done.Error)
	assert.Equal(t, dragged.Document, done.Document)
	assert.Equal(t, dragged.Figure, done.Figure)
	assert.NotEmpty(t, done.Inputs)
	rests.list = nil
	done = asked(t, request{Op: "compute", YAML: text, Edits: e, Drag: true})
	assert.Nil(t, done.Figure, "nothing is kept of it")
}

// A ring that is dragged, a tenth of a millimetre at a time, beside all of it asked for anew.
func BenchmarkDragged(b *testing.B) {
	for _, name := range []string{"trail", "tourer"} {
		text, err := cases.ShippedText(name)
		require.NoError(b, err)
		for _, op := range []string{"drag", "compute"} {
			b.Run(name+"/"+op, func(b *testing.B) {
				b.ReportAllocs()
				for i := 0; b.Loop(); i++ {
					q, err := json.Marshal(request{Op: op, YAML: string(text), Chances: true, Edits: []edit{{"front.line", fmt.Sprintf("%.1f", 47+0.1*float64(i%40))}}})
					require.NoError(b, err)
					Answer(context.Background(), q)
				}
			})
		}
	}
}
