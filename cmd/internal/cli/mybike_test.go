package cli

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
)

// A person is shown where each measure is taken and asked again until the answer can be
// read; what flags give is not asked for.
func TestInterviewAsksAgain(t *testing.T) {
	var asked bytes.Buffer
	s := streams{in: strings.NewReader("thirty\n30\n11-42 14\n11-42\n1,051\n51,5\n\n\nwavy\nplain\n"), err: &asked}
	a := newAnswers(s)
	a.person = true
	d := &cases.Draft{}
	for _, q := range (&mybikeOptions{}).questions(d) {
		if q.when == nil || q.when() {
			require.NoError(t, a.put(q))
		}
	}
	text, err := d.Write()
	require.NoError(t, err)
	c, err := cases.Parse("written.yaml", text)
	require.NoError(t, err)
	assert.Equal(t, "plain", c.Front.Form)
	assert.Equal(t, 51.5, c.Front.Line.Value)
	assert.Equal(t, 11, len(c.Rear.Cogs))
	for _, want := range []string{
		`"thirty", want numbers of teeth`, "14 speeds, want 1 to 13", "it could be 1.051 or 1051", `"wavy", want narrow-wide`,
		"<- chainline --->", "<- rear chainline ->", "<---- stay ---->",
	} {
		assert.Contains(t, asked.String(), want)
	}
	assert.Contains(t, strings.ReplaceAll(asked.String(), "\n", " "), "every chain angle may be off by 0.5°")
	for _, line := range strings.Split(asked.String(), "\n") {
		assert.LessOrEqual(t, len([]rune(strings.TrimPrefix(line, "> "))), 80, line)
	}
}

// Every answer that a draft takes gives a case that the reader takes.
func TestDraftsAreReadBack(t *testing.T) {
	for _, x := range []struct{ rings, cogs, front, rear, stay, form string }{
		{"32", "10 12 14 16 18 21 24 28 32 38 44 51", "54.2 ± 0.5", "48", "435", "alternating"},
		{"34/50", "11-28 11", "tube 34; rings 23.65 31.15; face outer", "axle 130", "16 1/8 in", ""},
		{"24 32 42", "11-13-15-18-21-24-28-32", "~47.5", "axle 135, stack 36.4 (caliper)", `17"`, ""},
		{"44", "17", "?", "don't know", "", ""},
		{"44", "17 20", "44", "dropouts 119.5, stack 7, gap 20, proud 0.5", "405±3", "plain"},
	} {
		d := &cases.Draft{Tyre: "29x2.25"}
		require.NoError(t, d.SetRings(x.rings))
		require.NoError(t, d.SetCogs(x.cogs))
		for _, set := range []struct {
			to   func(string) (string, error)
			with string
		}{{d.SetFront, x.front}, {d.SetRear, x.rear}, {d.SetStay, x.stay}, {d.SetForm, x.form}} {
			_, err := set.to(set.with)
			require.NoError(t, err, set.with)
		}
		text, err := d.Write()
		require.NoError(t, err, "%v\n%s", x, text)
	}
}

// Of several chainrings the front chainline is asked for at their middle.
func TestTheFrontLineOfSeveralChainrings(t *testing.T) {
	for rings, want := range map[string]string{"32": "(chain line at the chainrings)", "34,50": "(chain line at the middle of the chainrings)"} {
		d := &cases.Draft{}
		require.NoError(t, d.SetRings(rings))
		for _, q := range (&mybikeOptions{}).questions(d) {
			if q.flag == "front" {
				assert.Contains(t, q.of(d), want)
				continue
			}
			assert.Equal(t, q.ask, q.of(d))
		}
	}
}
