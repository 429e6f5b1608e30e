package cases

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim/decide"
)

// manySeen is a case with so many observations and symptoms.
func manySeen(observations, symptoms int) string {
	text := "chainpath: 1\nspeeds: 1\nframe: {stay: 405}\nfront: {line: 44, rings: [44]}\nrear: {line: 42.5, cogs: [17]}\n"
	list := func(key, one string, n int) {
		if n > 0 {
			text += key + ":\n" + strings.Repeat("  - "+one+"\n", n)
		}
	}
	list("observations", "{gears: 44/17, what: quiet}", observations)
	list("symptoms", "{what: noise}", symptoms)
	return text
}

// What a case may be told of is bounded, with one error that names the field, whatever way it
// comes.
func TestWhatIsSeenIsBounded(t *testing.T) {
	c, err := Parse("bike.yaml", []byte(manySeen(MostSeen, MostSeen)))
	require.NoError(t, err)
	seen, err := c.Seen()
	require.NoError(t, err)
	assert.Len(t, seen, 2*MostSeen)
	o, err := ParseSeen("44/17: quiet")
	require.NoError(t, err)
	assert.EqualError(t, c.AddSeen(o), "bike.yaml:7:3: observations: 201 of them, want at most 200")
	_, err = Parse("bike.yaml", []byte(manySeen(5000, 0)))
	assert.EqualError(t, err, "bike.yaml:7:3: observations: 5000 of them, want at most 200")
	_, err = Parse("bike.yaml", []byte(manySeen(1, 201)))
	assert.EqualError(t, err, "bike.yaml:9:3: symptoms: 201 of them, want at most 200")
}

// Sums without one observation are those that are added up one by one.
func TestWithoutOne(t *testing.T) {
	seen := make([]Seen, 30)
	k := guess{right: make([]float64, len(seen))}
	for i := range seen {
		seen[i] = Seen{Text: fmt.Sprint(i), Sure: 0.9, Of: i % 4}
		seen[i].Off = seen[i].Of / 2
		k.right[i] = 0.01 + float64(i*7%30)/31
	}
	for i := range seen {
		assert.InDelta(t, k.log(seen, i), k.without(seen, i), 1e-12)
	}
	assert.Less(t, k.log(seen, -1), k.without(seen, 3))
	k.err = ErrSets
	assert.True(t, math.IsInf(k.without(seen, 0), -1))
}

// Work on a case ends with the context that it is worked on within, and so does that on
// cases made of it.
func TestWorkEndsWithItsContext(t *testing.T) {
	c, err := Parse("bike.yaml", []byte(manySeen(2, 0)))
	require.NoError(t, err)
	assert.NoError(t, c.Stopped())
	assert.NoError(t, c.Work().Err())
	ctx, cancel := context.WithCancel(t.Context())
	w := c.Within(ctx)
	want, err := c.Chances(nil)
	require.NoError(t, err)
	got, err := w.Chances(nil)
	require.NoError(t, err)
	assert.Equal(t, want, got)
	cancel()
	_, err = w.Chances(nil)
	assert.ErrorIs(t, err, context.Canceled)
	_, err = w.clone().Outlook(nil, []float64{0})
	assert.ErrorIs(t, err, context.Canceled)
	_, err = w.Learn("v", nil)
	assert.ErrorIs(t, err, context.Canceled)
	other, err := w.Set("front.line", "45")
	require.NoError(t, err)
	_, err = other.Foresee(nil)
	assert.ErrorIs(t, err, context.Canceled)
	_, err = c.Chances(nil)
	assert.NoError(t, err, "the case itself has none")
}

// What is wrong with observations or a riding profile is told as it is, by learning and by
// what is looked at along the front line.
func TestMistakesAreToldAsTheyAre(t *testing.T) {
	text := manySeen(0, 0)
	c, err := Parse("bike.yaml", []byte(text))
	require.NoError(t, err)
	c.Observations = []Observation{{Gears: "44/99", What: "quiet"}} // which the reader refuses
	_, err = c.Learn("v", nil)
	assert.ErrorContains(t, err, `observations[0].gears: "44/99" names no gear of this bicycle`)
	c.Observations, c.Riding = nil, &Riding{Spread: Q(2)}
	w, err := c.Walls()
	require.NoError(t, err)
	_, _, err = c.Along(w, nil, &decide.Usual)
	assert.ErrorContains(t, err, "riding: neither shares nor ratio with spread, want one of the two")
}
