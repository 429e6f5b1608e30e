package cases

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const kept = `# Ours, invented.
chainpath: 1
title: "A bike: of mine"   # with a colon

frame:
  stay: 17 in  # with a tape
front:
  measured:
    tube_width: [48.5, 48.6, 48.5]   # three times
    gap: 29.9 ± 0.3
  rings: [32]
  # what is said of the teeth
  form: wide_narrow
rear: {line: 48.0 ± 0.5, cogs: [10, 12, 14, 16, 18, 21, 24, 28, 33, 39, 45, 51]}
chain: {slack: 0.7} # a gauge
tyre:
  size: 57-622
`

// What is not changed stands as it stood, to the byte.
func TestKeepLeavesTheRest(t *testing.T) {
	c, err := Parse("k", []byte(kept))
	require.NoError(t, err)
	for _, x := range []struct{ path, to, old, now string }{
		{"frame.stay", "440", "stay: 17 in  #", "stay: 440  #"},
		{"chain.slack", "1.2", "{slack: 0.7} #", "{slack: 1.2} #"},
		{"rear.line", "47", "line: 48.0 ± 0.5,", "line: 47 ± 0.5,"},
		{"load.torque", "55", "  size: 57-622\n", "  size: 57-622\nload: {torque: 55}\n"},
		{"chain.bevel", "0.2", "{slack: 0.7}", "{slack: 0.7, bevel: 0.2}"},
		{"tyre.width", "60", "  size: 57-622\n", "  size: 57-622\n  width: 60\n"},
		{"front.form", "plain", "form: wide_narrow", "form: plain"},
		{"title", "Another", `title: "A bike: of mine"   #`, `title: Another   #`},
		{"frame.stay", "431.8", "", ""},
	} {
		n, err := c.Set(x.path, x.to)
		require.NoError(t, err, x.path)
		got, err := Keep([]byte(kept), n, nil)
		require.NoError(t, err)
		want := kept
		if x.old != "" {
			require.Equal(t, 1, strings.Count(kept, x.old), x.old)
			want = strings.Replace(kept, x.old, x.now, 1)
		}
		if x.path == "frame.stay" && x.to == "431.8" {
			assert.Contains(t, string(got), "# three times")
			continue
		}
		assert.Equal(t, want, string(got), x.path)
	}
	same, err := Keep([]byte(kept), c, nil)
	require.NoError(t, err)
	assert.Equal(t, kept, string(same))
}

// Cogs, a measured line that becomes a plain one, and a block that goes keep their neighbours.
func TestKeepRemovesAndReplaces(t *testing.T) {
	c, err := Parse("k", []byte(kept))
	require.NoError(t, err)
	n, err := c.Set("rear.cogs", "11, 13, 15")
	require.NoError(t, err)
	got, err := Keep([]byte(kept), n, nil)
	require.NoError(t, err)
	assert.Contains(t, string(got), "cogs: [11, 13, 15]}")
	assert.Contains(t, string(got), "# three times")
	n, err = c.Set("front.line", "50")
	require.NoError(t, err)
	got, err = Keep([]byte(kept), n, nil)
	require.NoError(t, err)
	assert.NotContains(t, string(got), "measured")
	assert.Contains(t, string(got), "  # what is said of the teeth\n  form: wide_narrow\n")
	n = c.clone()
	n.Tyre = nil
	got, err = Keep([]byte(kept), n, nil)
	require.NoError(t, err)
	assert.Equal(t, strings.Replace(kept, "tyre:\n  size: 57-622\n", "", 1), string(got))
}

// What was said is written as it was said, where it says the same.
func TestKeepAsSaid(t *testing.T) {
	c, err := Parse("k", []byte(kept))
	require.NoError(t, err)
	n, err := c.Set("frame.stay", "16 3/4 in")
	require.NoError(t, err)
	got, err := Keep([]byte(kept), n, map[string]string{"frame.stay": "16 3/4 in"})
	require.NoError(t, err)
	assert.Equal(t, strings.Replace(kept, "stay: 17 in", "stay: 16 3/4 in", 1), string(got))
	got, err = Keep([]byte(kept), n, map[string]string{"frame.stay": "16 in"})
	require.NoError(t, err)
	assert.NotContains(t, string(got), "stay: 16 in", "that is another length")
	assert.Contains(t, string(got), "# three times")
}

// Whatever is changed, the text reads back as the case.
func TestKeepReadsBack(t *testing.T) {
	fields := []string{"frame.stay", "front.line", "rear.line", "chain.slack", "chain.bevel", "load.torque", "tyre.width", "frame.drop", "chainstay.gap", "friction.pin", "front.rings[0]"}
	rapid.Check(t, func(rt *rapid.T) {
		name := rapid.SampledFrom(Shipped()).Draw(rt, "case")
		text, err := ShippedText(name)
		require.NoError(rt, err)
		c, err := Parse(name, text)
		require.NoError(rt, err)
		for range rapid.IntRange(1, 4).Draw(rt, "n") {
			path := rapid.SampledFrom(fields).Draw(rt, "path")
			lo, hi, _, _, err := Bounds(path)
			if path == "front.rings[0]" {
				lo, hi, err = 9, 60, nil
			}
			if err != nil {
				continue
			}
			to := Q(float64(rapid.IntRange(int(lo), max(int(lo), int(hi))).Draw(rt, "to"))).String()
			n, err := c.Set(path, to)
			if err != nil {
				continue
			}
			out, err := Keep(text, n, nil)
			require.NoError(rt, err)
			back, err := Parse(name, out)
			require.NoError(rt, err, string(out))
			want, err := Format(n)
			require.NoError(rt, err)
			got, err := Format(back)
			require.NoError(rt, err)
			require.Equal(rt, string(want), string(got))
			c, text = back, out
		}
		if strings.Contains(string(text), "Invented") {
			return
		}
		rt.Fatalf("%s lost its comment:\n%s", name, text)
	})
}

// Said in other words than Format's, but the same length, as finely told.
func TestKeepAsSaidInOtherWords(t *testing.T) {
	c, err := Parse("k", []byte(kept))
	require.NoError(t, err)
	n, err := c.Set("frame.stay", "43.5 cm")
	require.NoError(t, err)
	got, err := Keep([]byte(kept), n, map[string]string{"frame.stay": "43.5 cm"})
	require.NoError(t, err)
	assert.Equal(t, strings.Replace(kept, "stay: 17 in", "stay: 43.5 cm", 1), string(got))
	got, err = Keep([]byte(kept), n, nil)
	require.NoError(t, err)
	assert.Equal(t, strings.Replace(kept, "stay: 17 in", "stay: 435", 1), string(got))
}

// A text whose last line has no end keeps its neighbours where the last entry is replaced or goes.
func TestKeepWithoutALastLineEnd(t *testing.T) {
	plain := strings.TrimSuffix(kept, "\n")
	c, err := Parse("k", []byte(plain))
	require.NoError(t, err)
	n := c.clone()
	n.Tyre = nil
	got, err := Keep([]byte(plain), n, nil)
	require.NoError(t, err)
	assert.Equal(t, strings.Replace(kept, "tyre:\n  size: 57-622\n", "", 1), string(got))
	n, err = c.Set("tyre.size", "47-622")
	require.NoError(t, err)
	got, err = Keep([]byte(plain), n, nil)
	require.NoError(t, err)
	assert.Equal(t, strings.Replace(plain, "57-622", "47-622", 1), strings.TrimSuffix(string(got), "\n"))
	n, err = c.Set("load.torque", "55")
	require.NoError(t, err)
	got, err = Keep([]byte(plain), n, nil)
	require.NoError(t, err)
	assert.Equal(t, kept+"load: {torque: 55}", strings.TrimSuffix(string(got), "\n"))
}
