package engine

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
)

// Every gear of every shipped bike is shown in space, with the numbers of its document, alone as well
// as along with what is computed.
func TestSpace(t *testing.T) {
	for _, name := range cases.Shipped() {
		text := shippedText(t, name)
		doc := asked(t, request{Op: "compute", YAML: text}).Document
		for i, g := range doc.Gears {
			if i > 0 && i < len(doc.Gears)-1 {
				continue // those between are alike
			}
			a := asked(t, request{Op: "space", YAML: text, Ring: g.RingTeeth, Cog: g.CogTeeth})
			require.Empty(t, a.Error, name)
			s := a.Space
			assert.Len(t, s.Run, 3*s.Links*s.Steps)
			assert.Equal(t, doc.Chain.Links, s.Links)
			drives := 0
			for _, w := range s.Wheels {
				if w.Drives {
					drives++
				}
				for _, k := range w.Kinds {
					for _, p := range k.Triangles {
						require.Less(t, p, len(k.Points)/3)
					}
				}
			}
			assert.GreaterOrEqual(t, drives, 2)
			assert.Contains(t, s.Words, fmt.Sprintf("%.2f° on the top run and %.2f° on the bottom run", *g.Top.Bend, *g.Bottom.Bend))
			for _, e := range s.Cut.Ways {
				list, want := g.Riding, []float64(nil)
				if e.Direction == "backwards" {
					list = g.Backwards
				}
				for _, x := range list { // along the top run first, where a pushed cog has two
					if x.At == e.At && want == nil {
						want = []float64{x.Bend, x.Offset}
					}
				}
				require.NotNil(t, want)
				assert.Equal(t, want, []float64{e.Bend, math.Abs(e.Offset)})
				assert.Contains(t, e.Words, fmt.Sprintf("%.2f mm", want[1]))
				assert.Less(t, e.Tip, e.Full+1e-9)
			}
			assert.NotEmpty(t, s.Cut.Ways, name)
			along := asked(t, request{Op: "compute", YAML: text, Space: true, Ring: g.RingTeeth, Cog: g.CogTeeth})
			one, _ := json.Marshal(s)
			other, _ := json.Marshal(along.Space)
			assert.JSONEq(t, string(one), string(other))
		}
		assert.Nil(t, asked(t, request{Op: "compute", YAML: text, Space: true, Ring: 1, Cog: 1}).Space)
	}
	assert.Contains(t, asked(t, request{Op: "space", YAML: shippedText(t, "trail"), Ring: 9, Cog: 9}).Error, "no gear 9/9")
	// The chain comes to the ring from inboard in a gear whose cog is inboard, and to the cog from outboard.
	e := asked(t, request{Op: "space", YAML: shippedText(t, "trail"), Ring: 32, Cog: 51}).Space.Cut.Ways
	require.Len(t, e, 2)
	assert.Negative(t, e[0].Offset)
	assert.Positive(t, e[1].Offset)
	// Of a tyre what the chain passes: its foremost point is there, its rearmost not.
	s := asked(t, request{Op: "space", YAML: shippedText(t, "trail"), Ring: 32, Cog: 51}).Space
	for i := 0; i < len(s.Tyre.Points); i += 3 {
		assert.Greater(t, s.Tyre.Points[i], -435.0)
	}
	assert.Nil(t, asked(t, request{Op: "space", YAML: shippedText(t, "timing-chain"), Ring: 38, Cog: 38}).Space.Tyre)
	// A chain that is too short still has its wheels, and says that it does not go round.
	short := asked(t, request{Op: "space", YAML: shippedText(t, "trail"), Ring: 32, Cog: 51})
	assert.NotContains(t, short.Space.Words, "does not go round")
	a := asked(t, request{Op: "compute", YAML: shippedText(t, "trail"), Edits: []edit{{"chain.links", "104"}}})
	require.Empty(t, a.Error)
	short = asked(t, request{Op: "space", YAML: a.YAML, Ring: 32, Cog: 51})
	require.Empty(t, short.Error)
	assert.Contains(t, short.Space.Words, "The chain does not go round: ")
	assert.Empty(t, short.Space.Cut.Ways)
}
