package cases

import (
	"context"
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
	c, err := Parse("bike.yaml", []byte(manySeen(MostSeen, mostSymptoms)))
	require.NoError(t, err)
	seen, err := c.Seen()
	require.NoError(t, err)
	assert.Len(t, seen, MostSeen+mostSymptoms)
	o, err := ParseSeen("44/17: quiet")
	require.NoError(t, err)
	assert.EqualError(t, c.AddSeen(o), "bike.yaml:7:3: observations: 2001 of them, want at most 2000")
	_, err = Parse("bike.yaml", []byte(manySeen(5000, 0)))
	assert.EqualError(t, err, "bike.yaml:7:3: observations: 5000 of them, want at most 2000")
	_, err = Parse("bike.yaml", []byte(manySeen(1, 201)))
	assert.EqualError(t, err, "bike.yaml:9:3: symptoms: 201 of them, want at most 200")
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
	want, err := c.Chances()
	require.NoError(t, err)
	got, err := w.Chances()
	require.NoError(t, err)
	assert.Equal(t, want, got)
	cancel()
	_, err = w.Chances()
	assert.ErrorIs(t, err, context.Canceled)
	_, err = w.clone().Outlook([]float64{0})
	assert.ErrorIs(t, err, context.Canceled)
	_, err = w.Learn("v", nil)
	assert.ErrorIs(t, err, context.Canceled)
	other, err := w.Set("front.line", "45")
	require.NoError(t, err)
	_, err = other.Foresee()
	assert.ErrorIs(t, err, context.Canceled)
	_, err = c.Chances()
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
	_, _, err = c.Along(w, &decide.Usual)
	assert.ErrorContains(t, err, "riding: neither shares nor ratio with spread, want one of the two")
}
