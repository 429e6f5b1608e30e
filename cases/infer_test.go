package cases

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// parsed reads a case that has to be good.
func parsed(t *testing.T, text string) *Case {
	c, err := Parse("least.yaml", []byte("chainpath: 1\n"+text))
	require.NoError(t, err)
	return c
}

// The least that a case can say: rings, cogs and both lines. Invented numbers.
var least = map[string]string{
	"1x11":   "front: {line: 51.5, rings: [30]}\nrear: {line: 46.5, cogs: [11, 13, 15, 17, 19, 22, 25, 28, 32, 37, 42]}\n",
	"2x10":   "front: {line: 44, rings: [33, 47]}\nrear: {line: 44.5, cogs: [12, 13, 14, 15, 17, 19, 21, 23, 25, 27]}\n",
	"single": "front: {line: 43, rings: [42]}\nrear: {line: 41.5, cogs: [18]}\n",
}

func TestLeastCasesAreComputedAndSayWhatWasAssumed(t *testing.T) {
	for name, want := range map[string][]string{
		"1x11":   {"speeds", "frame.stay", "front.form", "tensioner", "tensioner.cage"},
		"2x10":   {"speeds", "frame.stay", "front.ring_pitch", "tensioner"},
		"single": {"speeds", "frame.stay", "frame.slot"},
	} {
		c := parsed(t, least[name])
		var got []string
		for _, a := range c.Assumptions() {
			got = append(got, a.Path)
			assert.NotEmpty(t, a.Value)
			assert.NotEmpty(t, a.Note)
			assert.NotEmpty(t, a.Concerns)
		}
		assert.ElementsMatch(t, want, got, name)
		chances, err := c.Chances()
		require.NoError(t, err, name)
		assert.Len(t, chances, len(c.Front.Rings)*len(c.Rear.Cogs))
		for _, g := range chances {
			assert.Less(t, g[7], 0.35, "%s: the chain fits", name) // sim.DoesNotClose
		}
	}
	assert.Equal(t, "30 x 11-42, 1x11", parsed(t, least["1x11"]).Title)
	assert.Equal(t, "33-47 x 12-27, 2x10", parsed(t, least["2x10"]).Title)
}

// How far apart chainrings are is assumed where the file does not say it, and the next ring, and the
// front cage that there is, rest on it.
func TestTheChainringsPitchIsAssumed(t *testing.T) {
	rests := func(front string) []string {
		for _, a := range parsed(t, "front: {"+front+"}\nrear: {line: 44.5, cogs: [12, 13, 14]}\n").Assumptions() {
			if a.Path == "front.ring_pitch" {
				assert.Contains(t, a.Value, " mm")
				assert.Contains(t, a.Note, "calipers")
				return a.Concerns
			}
		}
		return nil
	}
	assert.Equal(t, []string{"rubs_next_ring"}, rests("line: 44, rings: [33, 47]"))
	assert.Equal(t, []string{"rubs_next_ring", "rubs_front_cage"}, rests("line: 44, rings: [33, 47], cage: {inner_width: 12, positions: [41, 48]}"))
	for _, front := range []string{"line: 44, rings: [47]", "line: 44, rings: [33, 47], ring_pitch: 8", "ring_lines: [40, 48], rings: [33, 47]"} {
		assert.Nil(t, rests(front), front)
	}
}

// What was inferred is not written, and read again it is inferred anew.
func TestInferredFieldsAreNotWritten(t *testing.T) {
	for name, text := range least {
		c := parsed(t, text)
		out, err := Format(c)
		require.NoError(t, err)
		for _, word := range []string{"speeds", "title", "tensioner", "stay", "form"} {
			assert.NotContains(t, string(out), word, name)
		}
		again, err := Parse("again.yaml", out)
		require.NoError(t, err, string(out))
		assert.Equal(t, c.Assumptions(), again.Assumptions())
	}
}

// A tensioner that is there with nothing said of it stays there.
func TestEmptyTensionerIsGiven(t *testing.T) {
	c := parsed(t, "front: {line: 43, rings: [42]}\nrear: {line: 41.5, cogs: [18]}\ntensioner: {}\n")
	b, err := c.Bike()
	require.NoError(t, err)
	require.NotNil(t, b.Tensioner)
	out, err := Format(c)
	require.NoError(t, err)
	assert.Contains(t, string(out), "tensioner: {}")
	_, err = Parse("again.yaml", out)
	require.NoError(t, err)
}

func TestCogsByTheirEnds(t *testing.T) {
	c := parsed(t, "speeds: 11\nfront: {line: 51.5, rings: [30]}\nrear: {line: 46.5, cogs: 11-42}\n")
	assert.Equal(t, 11, len(c.Rear.Cogs))
	assert.Equal(t, []int{11, 42}, []int{c.Rear.Cogs[0], c.Rear.Cogs[10]})
	paths := map[string]string{}
	for _, a := range c.Assumptions() {
		paths[a.Path] = a.Value
	}
	assert.Equal(t, "11 13 15 17 19 21 24 28 32 37 42", paths["rear.cogs"])
	out, err := Format(c)
	require.NoError(t, err)
	assert.Contains(t, string(out), "cogs: 11-42")
	again, err := Parse("again.yaml", out)
	require.NoError(t, err)
	assert.Equal(t, c.Rear.Cogs, again.Rear.Cogs)
	for _, x := range [][3]int{{11, 21, 11}, {10, 51, 12}, {14, 28, 6}, {9, 60, 13}, {11, 13, 2}} {
		cogs, err := evenCogs(x[0], x[1], x[2])
		require.NoError(t, err)
		require.Len(t, cogs, x[2])
		assert.Equal(t, x[0], cogs[0])
		assert.Equal(t, x[1], cogs[x[2]-1])
		for i := 1; i < len(cogs); i++ {
			assert.Greater(t, cogs[i], cogs[i-1])
		}
	}
}

// The default set and the draws of chances take the same form of the ring's teeth.
func TestFormOfASingleRing(t *testing.T) {
	wide := func(text string) bool {
		b, err := parsed(t, text).Bike()
		require.NoError(t, err)
		return b.Rings[0].WideNarrow()
	}
	assert.True(t, wide(least["1x11"]))
	assert.False(t, wide(least["2x10"]))
	assert.False(t, wide(least["single"]))
	assert.False(t, wide("front: {line: 51.5, rings: [30], form: plain}\nrear: {line: 46.5, cogs: [11, 13]}\nspeeds: 11\n"))
	assert.False(t, wide("front: {line: 51.5, rings: [31]}\nrear: {line: 46.5, cogs: [11, 13]}\nspeeds: 11\n"), "an odd ring cannot alternate")
	assert.False(t, wide("front: {line: 51.5, rings: [30]}\nrear: {line: 46.5, cogs: [11, 13]}\nspeeds: 8\n"))
}

// Names of tyre sizes by the trade's usage; rims by ISO 5775-2's nominal diameters, from memory.
func TestTyreSizes(t *testing.T) {
	for text, want := range map[string][2]float64{
		"57-622": {57, 622}, "29x2.25": {57.15, 622}, "29 x 2.4": {60.96, 622}, "27.5x2.6": {66.04, 584}, "26x2.1": {53.34, 559}, "20x1.75": {44.45, 406},
		"700x35C": {35, 622}, "650x47B": {47, 584}, "700×28C": {28, 622}, "700x40": {40, 622}, "700c x 38": {38, 622}, "650bx47": {47, 584},
		"29x2,25": {57.15, 622}, "29X2.4": {60.96, 622}, "26x1 3/8": {34.925, 590}, "28 x 1 1/2": {38.1, 635}, "27x1 1/4": {31.75, 630}, "20x1 3/8": {34.925, 451}, "12 1/2x2 1/4": {57.15, 203}, `26"x1.75"`: {44.45, 559},
	} {
		section, bead, err := tyreSize(text)
		require.NoError(t, err, text)
		assert.InDelta(t, want[0], section, 1e-9, text)
		assert.Equal(t, want[1], bead, text)
	}
	for _, text := range []string{"", "29", "31x2.2", "26x1 5/16", "700x35D", "57-99", "57-1000", "29x2,250"} {
		_, _, err := tyreSize(text)
		assert.Error(t, err, text)
	}
}

// A guess and the name of an axle spacing are named as what they are.
func TestGuessesAreAssumptions(t *testing.T) {
	c := parsed(t, "front: {line: ~52, rings: [30]}\nrear: {measured: {dropouts: 148 (axle spacing), stack: 40 (caliper), gap: 4 (feeler)}, cogs: [11, 13]}\nframe: {stay: 430±5}\n")
	values := map[string]string{}
	for _, a := range c.Assumptions() {
		values[a.Path] = a.Value
	}
	assert.Equal(t, "52 ± 5 mm", values["front.line"])
	assert.Equal(t, "144.5 ± 3.5 mm", values["rear.measured.dropouts"])
	assert.NotContains(t, values, "rear.measured.stack")
	assert.NotContains(t, values, "frame.stay")
}

// Where nothing says how the chain is held taut, the axle has room either way: half a pair of links, or what a
// worn chain does where its links are counted, and how far the stay may be off.
func TestRoomOfALooseAxleByHand(t *testing.T) {
	for what, want := range map[string]float64{
		"frame: {stay: 430 ± 4}\n": 7 + 4, "frame: {stay: 430}\n": 7 + 0.5, "frame: {stay: 430.0}\n": 7 + 0.1, "frame: {stay: 430 ± 0}\n": 7,
		"frame: {stay: 435 ± 4}\nchain: {links: 98}\n": 1 + 4, "frame: {stay: 435 ± 0}\nchain: {links: 98}\n": 1, // (98 - 58/2 - 0.5)/2 pitches
	} {
		c := mustParse(t, "chainpath: 1\nfront: {line: 45, rings: [42]}\nrear: {line: 44, cogs: [16]}\n"+what)
		b, err := c.Bike()
		require.NoError(t, err, what)
		assert.InDelta(t, want, b.Slot.Forward, 1e-9, what)
		assert.InDelta(t, want, b.Slot.Back, 1e-9, what)
	}
}

// Tyres are printed with both names, section and bead seat of ISO 5775-1 and the trade's inches (common
// practice, no published source, from memory): both are read as one rim, and about the same width.
func TestTyresByBothNames(t *testing.T) {
	for inches, iso := range map[string]string{
		"29x2.25": "57-622", "28x1.75": "47-622", "27.5x2.25": "57-584", "26x2.25": "57-559", "24x1.75": "47-507", "20x1.75": "47-406", "18x1.75": "47-355",
		"16x1.75": "47-305", "14x1.75": "47-254", "12x1.75": "47-203", "12 1/2x2 1/4": "57-203", "28x1 5/8": "42-622", "28x1 1/2": "40-635", "27x1 1/4": "32-630",
		"26x1 3/8": "37-590", "26x1 1/4": "32-597", "24x1 3/8": "37-540", "22x1 3/8": "37-489", "20x1 3/8": "37-451", "18x1 3/8": "37-400", "16x1 3/8": "37-349",
		"700x25C": "25-622", "650x48B": "48-584", "650x23C": "23-571",
	} {
		width, bead, err := tyreSize(inches)
		require.NoError(t, err, inches)
		section, want, err := tyreSize(iso)
		require.NoError(t, err, iso)
		assert.Equal(t, want, bead, inches)
		assert.InDelta(t, section, width, 3, inches)
	}
}
