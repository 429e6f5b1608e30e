package cases

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// drafted takes answers to rings, cogs, front, rear and stay in turn.
func drafted(t *testing.T, rings, cogs, front, rear, stay string) (*Draft, []string) {
	d := &Draft{}
	require.NoError(t, d.SetRings(rings))
	require.NoError(t, d.SetCogs(cogs))
	var notes []string
	for _, x := range []struct {
		set    func(string) (string, error)
		answer string
	}{{d.SetFront, front}, {d.SetRear, rear}, {d.SetStay, stay}} {
		note, err := x.set(x.answer)
		require.NoError(t, err, x.answer)
		notes = append(notes, note)
	}
	return d, notes
}

// What was said stands in the case that is written, and nothing else of a number.
func TestADraftIsWhatWasSaid(t *testing.T) {
	d, notes := drafted(t, "47 33", "27,12 15/19", "tube 34.4 (caliper); rings 23.1 30.7; face outer", "dropouts 129.6, stack 38.1, gap 4.2, proud 0.6", `16 3/4 in`)
	d.Title, d.Tyre = `My "own"`, "40-622"
	assert.Equal(t, []string{"", "", ""}, notes)
	assert.Equal(t, 4, d.Speeds())
	assert.False(t, d.AsksForm())
	text, err := d.Write()
	require.NoError(t, err)
	c, err := Parse("x", text)
	require.NoError(t, err, string(text))
	assert.Equal(t, []int{33, 47}, c.Front.Rings)
	assert.Equal(t, []int{12, 15, 19, 27}, c.Rear.Cogs)
	assert.Equal(t, 34.4, c.Front.Measured.Tube.Value)
	assert.Equal(t, "caliper", c.Front.Measured.Tube.Instrument)
	assert.Equal(t, []float64{23.1, 30.7}, values(c.Front.Measured.Readings))
	assert.Equal(t, "outer", c.Front.Measured.Face)
	m := c.Rear.Measured
	assert.Equal(t, []float64{129.6, 38.1, 4.2, 0.6}, []float64{m.Dropouts.Value, m.Stack.Value, m.Gap.Value, m.Protrusion.Value})
	assert.InDelta(t, 16.75*25.4, c.Frame.Stay.Value, 1e-9)
	assert.Equal(t, `My "own"`, c.Title)
	assert.Equal(t, "40-622", c.Tyre.Size)
}

// What is not known is what is usual, marked so, with what that costs: 4 mm on 430 is 0.5°.
func TestADraftOfNothingKnown(t *testing.T) {
	for _, c := range []struct {
		rings, cogs string
		front, rear float64
		cost        string
	}{
		{"30", "11-42 11-speed", 50, 45.5, "taken as 50 ± 4 mm, which is usual: every chain angle may be off by 0.5°"},
		{"42", "18", 43, 42, "taken as 43 ± 3 mm, which is usual: every chain angle may be off by 0.4°"},
		{"34 50", "11 13 15", 45.5, 45.5, "taken as 45.5 ± 3 mm, which is usual: every chain angle may be off by 0.4°"},
		{"26 36 48", "11 13 15", 48, 45.5, "taken as 48 ± 3 mm, which is usual: every chain angle may be off by 0.4°"},
	} {
		d, notes := drafted(t, c.rings, c.cogs, "?", "no idea", "-")
		assert.Equal(t, "the front chainline is "+c.cost, notes[0])
		assert.Contains(t, notes[1], "the rear chainline is taken as")
		assert.Equal(t, "the chainstay is taken as 430 ± 25 mm, which is usual: chain angles may be off by 6 %", notes[2])
		text, err := d.Write()
		require.NoError(t, err)
		parsed, err := Parse("x", text)
		require.NoError(t, err)
		assert.Equal(t, c.front, parsed.Front.Line.Value)
		assert.Equal(t, guessed, parsed.Front.Line.Instrument)
		assert.Equal(t, c.rear, parsed.Rear.Line.Value)
		assert.Contains(t, string(text), "# not measured")
		assert.NotContains(t, string(text), "\nframe:")
	}
	for answer, unknown := range map[string]bool{"": true, " ? ": true, "-": true, "No Idea": true, "unknown": true, "don't know": true, "dont know": true, "51": false, "idea": false} {
		assert.Equal(t, unknown, Unknown(answer), answer)
	}
}

// A cluster by its ends, with the axle by its name: the stack is worked out from the pitch, the
// gap guessed, and what is a range says so.
func TestADraftByNames(t *testing.T) {
	d, notes := drafted(t, "30", "11-42 11-speed", "51.5 ± 0.5", "axle 148", "430±5")
	assert.Equal(t, "by its name the axle spacing is a range: measure between the dropouts as clamped, the cassette's stack and its gap to the dropout", notes[1])
	assert.Equal(t, 11, d.Speeds())
	assert.True(t, d.AsksForm())
	note, err := d.SetForm("Alternating")
	require.NoError(t, err)
	assert.Empty(t, note)
	text, err := d.Write()
	require.NoError(t, err)
	assert.Contains(t, string(text), "cogs: 11-42  # 11 13 15 17 19 21 24 28 32 37 42: the usual 11-speed cassette of that range; count them")
	c, err := Parse("x", text)
	require.NoError(t, err)
	assert.Equal(t, 148.0, c.Rear.Measured.Dropouts.Axle)
	s := sizesFor(11)
	assert.InDelta(t, 10*s.cogPitch+s.cog, c.Rear.Measured.Stack.Value, 0.0501, "to a tenth")
	assert.Equal(t, 1.0, c.Rear.Measured.Stack.Spread)
	assert.Equal(t, 3.75, c.Rear.Measured.Gap.Value)
	assert.Equal(t, "wide_narrow", c.Front.Form)
	assert.Equal(t, 5.0, c.Frame.Stay.Spread)

	d, _ = drafted(t, "30", "11 13 15", "~51", "dropouts 142", "430")
	assert.Equal(t, 3, d.Speeds())
	text, err = d.Write()
	require.NoError(t, err)
	c, err = Parse("x", text)
	require.NoError(t, err)
	s = sizesFor(3)
	assert.InDelta(t, 2*s.cogPitch+s.cog, c.Rear.Measured.Stack.Value, 0.0501, "to a tenth")
	for answer, want := range map[string]string{"a": "wide_narrow", "wide and narrow": "wide_narrow", "wide": "wide_narrow", "plain": "plain", "P": "plain", "alike": "plain", "?": ""} {
		_, err := d.SetForm(answer)
		require.NoError(t, err)
		assert.Equal(t, want, d.form, answer)
	}
	_, err = d.SetForm("round")
	assert.ErrorContains(t, err, `"round", want narrow-wide`)
	for rings, asks := range map[string]bool{"30": true, "31": false, "30 44": false} {
		require.NoError(t, d.SetRings(rings))
		assert.Equal(t, asks, d.AsksForm(), rings)
	}
	require.NoError(t, d.SetRings("30"))
	require.NoError(t, d.SetCogs("16"))
	assert.False(t, d.AsksForm(), "a single speed")
}

// Answers at both sides of what is allowed, with what is said of the bad ones.
func TestAnswersAreChecked(t *testing.T) {
	d := &Draft{}
	rings := func(s string) error { return d.SetRings(s) }
	cogs := func(s string) error { e := &Draft{}; return e.SetCogs(s) }
	front := func(s string) error {
		e := &Draft{rings: []int{34, 50}, cogs: []int{11, 13}}
		_, err := e.SetFront(s)
		return err
	}
	rear := func(s string) error {
		e := &Draft{rings: []int{34}, cogs: []int{11, 13}}
		_, err := e.SetRear(s)
		return err
	}
	stay := func(s string) error { _, err := (&Draft{}).SetStay(s); return err }
	for _, c := range []struct {
		set          func(string) error
		answer, says string
	}{
		{rings, "9", ""}, {rings, "8", "a chainring of 8 teeth is out of range, want 9 to 120"}, {rings, "120", ""}, {rings, "121", "a chainring of 121 teeth"},
		{rings, "22 32 42", ""}, {rings, "22 32 42 52", "4 chainrings, want 1 to 3"}, {rings, "x", `"x", want numbers of teeth`}, {rings, "34x50", ""}, {rings, "34-50", ""},
		{cogs, "9", ""}, {cogs, "8 11", "a cog of 8 teeth is out of range, want 9 to 120"}, {cogs, "11 120", ""}, {cogs, "11 121", "a cog of 121 teeth"},
		{cogs, "11-42", ""}, {cogs, "11-42 14", "14 speeds, want 1 to 13"}, {cogs, "10-51 13-speed", ""}, {cogs, "11–34 8 speeds", ""},
		{cogs, "8-42 11", "out of range"}, {cogs, "11-121 11", "out of range"}, {cogs, "11-13 11", "11"}, {cogs, "one", "want numbers of teeth"},
		{front, "0", ""}, {front, "-0.1", "front.line: -0.1 is out of range, want 0 mm to 300 mm"}, {front, "300", ""}, {front, "300.1", "out of range"},
		{front, "tube 34, rings 23.5 31", ""}, {front, "tube 34, rings 23.5", "rings: 1 readings, want one for each of the rings (2)"}, {front, "tube 34", "want tube with gap"},
		{front, "gap 20", "want tube with gap"}, {front, "tube 34, gap 20, rings 23.5 31", "want tube with gap"}, {front, "tube 34, gap 20", ""}, {front, "tube 34, tube 35, gap 2", "tube is given twice"},
		{front, "tube, gap 20", "tube: no reading"}, {front, "tube 34,4, gap 20", ""}, {front, "tube 34, 4, gap 20", "numbers have a decimal point, not a comma"}, {front, "bottle 3", `"bottle 3", want one length, or tube, gap, rings, face each with its reading`},
		{front, "tube 34, gap 20, face odd", `face "odd", want centre, outer or inner`}, {front, "tube 34, gap 20, face inner", ""}, {front, "tube x, gap 20", "is not a length"}, {front, "tube 34, gap x", "is not a length"}, {front, "tube 34, rings 23.5 x", "is not a length"},
		{rear, "46 ± 0.5", ""}, {rear, "stack 40, gap 4", "want one of dropouts and axle, with stack and gap"}, {rear, "dropouts 141, axle 142", "want one of dropouts and axle"},
		{rear, "axle 149", "dropouts: "}, {rear, "axle 142, stack 40, gap 4", ""}, {rear, "dropouts 141, gap 400", "gap: rear.measured.gap: 400 is out of range"}, {rear, "dropouts 141, proud 0.8", ""},
		{stay, "200", ""}, {stay, "199", "frame.stay: 199 is out of range, want 200 mm to 2000 mm"}, {stay, "2000", ""}, {stay, "2001", "out of range"}, {stay, "long", "is not a length"},
	} {
		err := c.set(c.answer)
		if c.says == "" {
			assert.NoError(t, err, c.answer)
		} else if assert.Error(t, err, c.answer) {
			assert.Contains(t, err.Error(), c.says, c.answer)
		}
	}
	for n, good := range map[int]bool{0: false, 1: true, 13: true, 14: false} {
		assert.Equal(t, good, d.SetSpeeds(n) == nil, "%d speeds", n)
	}
	require.NoError(t, d.SetSpeeds(3))
	assert.NoError(t, d.SetCogs("11 13 15"))
	assert.ErrorContains(t, d.SetCogs("11 13 15 17"), "4 cogs and 3 speeds, want no more cogs than speeds")
	assert.Equal(t, "'a: b'", plainOrQuoted("a: b"))
	assert.Equal(t, "'it''s'", plainOrQuoted("it's"))
	assert.Equal(t, "48.6 ± 0.3", plainOrQuoted("48.6 ± 0.3"))
	assert.True(t, strings.HasPrefix((usual{43, 3}).String(), "43 ± 3 (guess)"))
}

// A part that is a number is told of the decimal comma, another word is not.
func TestPartsOfAnAnswer(t *testing.T) {
	got, err := parts("tube 48.6; Gap: 29.9", "tube", "gap")
	require.NoError(t, err)
	assert.Equal(t, map[string]string{"tube": "48.6", "gap": "29.9"}, got)
	for answer, problem := range map[string]string{
		"tube 48, 6":      `"6", want one length, or tube, gap each with its reading; numbers have a decimal point, not a comma`,
		"tube 48, face 3": `"face 3", want one length, or tube, gap each with its reading`,
		"tube 48, tube 3": "tube is given twice",
		"tube":            "tube: no reading",
	} {
		_, err := parts(answer, "tube", "gap")
		assert.EqualError(t, err, problem, answer)
	}
}

// A chain that is not believed is told with the chainstay that the file gives, or a usual one.
func TestChainThatIsNotBelieved(t *testing.T) {
	for stay, want := range map[string]string{"frame: {stay: 438, drop: 30}": "on a chainstay of 438 mm (frame.stay). Count", "frame: {drop: 30}": "on a usual chainstay. Count"} {
		c := mustParse(t, strings.Replace(learner, "frame: {stay: 438, drop: 30}", stay, 1)+"chain: {links: 80}\n")
		require.Len(t, c.Conflicts(), 1)
		x := c.Conflicts()[0]
		assert.Contains(t, x.Words, "a chain of 80 links (chain.links) does not reach round 12 of 12 gears "+want)
		assert.Equal(t, strings.Contains(stay, "stay:"), slices.Contains(x.Paths, "frame.stay"))
	}
}

// A list of teeth that cannot be read is answered with an example of its own kind.
func TestTeethThatCannotBeRead(t *testing.T) {
	assert.EqualError(t, (&Draft{}).SetRings("many"), `"many", want numbers of teeth such as 34 50, 34,50 or 32T`)
	assert.EqualError(t, (&Draft{}).SetCogs("many"), `"many", want numbers of teeth such as 11-42 or 11 13 15`)
	for text, want := range map[string]string{
		"front: {line: 45, rings: many}\nrear: {line: 45, cogs: 11-42}\n": "such as 34 50",
		"front: {line: 45, rings: 32}\nrear: {line: 45, cogs: many}\n":    "such as 11-42",
	} {
		_, err := Parse("b.yaml", []byte("chainpath: 1\n"+text))
		assert.ErrorContains(t, err, want)
	}
	d := &Draft{}
	require.NoError(t, d.SetRings("34 50"))
	assert.Equal(t, 2, d.Rings())
}

// Teeth that do not fit a chain whose width was given are the width's mistake, which is named first.
func TestAChainsWidthIsBlamedBeforeTheTeeth(t *testing.T) {
	for chain, want := range map[string]string{
		"{width: 1/8}":                    "chain.width: chainring of 42 teeth: tooth 2.8 mm thick does not fit between outer plates 2.725 mm apart: check it: it is over the rivets, and the width inside is chain.inner_width",
		"{inner_width: 2.2}":              "chain.inner_width: chainring of 42 teeth: tooth 2.8 mm thick does not fit between inner plates 2.2 mm apart: check it: it is between the inner plates",
		"{width: 3.0545, outer_width: 5}": "chain.width: chain 3.054 mm wide over the rivets, want at least the width inside its outer plates 5 mm: check it",
	} {
		c, err := Parse("b.yaml", []byte("chainpath: 1\nfront: {line: 43, rings: [42]}\nrear: {line: 42, cogs: [18]}\nchain: "+chain+"\n"))
		if err == nil {
			_, err = c.Bike()
		}
		assert.ErrorContains(t, err, want, chain)
	}
	c, err := Parse("b.yaml", []byte("chainpath: 1\nfront: {line: 43, rings: [42], tooth: {thickness: 3.9}}\nrear: {line: 42, cogs: [18]}\n"))
	if err == nil {
		_, err = c.Bike()
	}
	assert.ErrorContains(t, err, "front.rings: ", "the tooth alone was given")
}
