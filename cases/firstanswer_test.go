package cases

import (
	"bufio"
	"fmt"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
)

// told is a bicycle as somebody tells of it who never read a manual.
type told struct{ name, rings, cogs, speeds, front, rear, stay, tyre, teeth string }

func (b told) parse(t require.TestingT) *Case {
	d := &Draft{Title: b.name}
	if b.tyre != "-" {
		d.Tyre = b.tyre
	}
	if n, err := strconv.Atoi(b.speeds); err == nil && strings.Contains(b.cogs, "-") {
		require.NoError(t, d.SetSpeeds(n), b.name)
	}
	require.NoError(t, d.SetRings(b.rings), b.name)
	require.NoError(t, d.SetCogs(b.cogs), b.name)
	for _, x := range []struct {
		set    func(string) (string, error)
		answer string
	}{{d.SetFront, b.front}, {d.SetRear, b.rear}, {d.SetStay, b.stay}} {
		_, err := x.set(x.answer)
		require.NoError(t, err, "%s: %s", b.name, x.answer)
	}
	if d.AsksForm() {
		_, err := d.SetForm(b.teeth)
		require.NoError(t, err, b.name)
	}
	text, err := d.Write()
	require.NoError(t, err, b.name)
	c, err := Parse(b.name, text)
	require.NoError(t, err, b.name)
	return c
}

// saneAnswer looks at the first answer of a bicycle that runs well: it fits in every gear.
// It returns how many gears there are, and how many of them are alarmed.
func saneAnswer(t require.TestingT, b told) (gears, alarmed int) {
	c := b.parse(t)
	require.Empty(t, c.Conflicts(), b.name)
	chances, err := c.Chances()
	require.NoError(t, err, b.name)
	for g := range chances {
		for _, k := range []sim.Concern{sim.DoesNotClose, sim.ChainTooLong} {
			require.Less(t, chances[g][k], 0.35, "%s: gear %d: %s", b.name, g, k)
		}
		for _, p := range chances[g] {
			if p >= 0.5 {
				alarmed++
				break
			}
		}
	}
	return len(chances), alarmed
}

// mostAlarmed is the share of ordinary gears that may carry a chance of a half and more; most are the
// crossed gears of doubles and triples and the largest cog of wide cassettes, of which reports say
// the same.
const mostAlarmed = 1.0 / 20

func TestOrdinaryBicyclesGetASaneFirstAnswer(t *testing.T) {
	f, err := os.Open("../testdata/ordinary.tsv")
	require.NoError(t, err)
	defer f.Close()
	bikes, gears, alarmed := 0, 0, 0
	for s := bufio.NewScanner(f); s.Scan(); {
		if s.Text() == "" || s.Text()[0] == '#' {
			continue
		}
		x := strings.Split(s.Text(), "\t")
		require.Len(t, x, 9, s.Text())
		n, a := saneAnswer(t, told{x[0], x[1], x[2], x[3], x[4], x[5], x[6], x[7], x[8]})
		bikes, gears, alarmed = bikes+1, gears+n, alarmed+a
	}
	assert.Equal(t, 30, bikes)
	t.Logf("%d of %d gears alarmed", alarmed, gears)
	assert.LessOrEqual(t, float64(alarmed), mostAlarmed*float64(gears))
}

// anyBicycle draws an ordinary bicycle: of a kind, with the everyday dimensions of that kind
// and a little to either side of them.
func anyBicycle(rng *rand.Rand, i int) told {
	pick := func(list ...string) string { return list[rng.IntN(len(list))] }
	mm := func(lo, hi float64) string { return fmt.Sprintf("%.1f", lo+(hi-lo)*rng.Float64()) }
	b := told{name: fmt.Sprintf("bike %d", i), tyre: "-", speeds: "-", teeth: pick("narrow-wide", "plain", "?")}
	switch i % 5 {
	case 0: // one gear, of any chainstay
		b.rings, b.cogs = fmt.Sprint(28+rng.IntN(25)), fmt.Sprint(13+rng.IntN(10))
		line := 40 + 5*rng.Float64()
		b.front, b.rear, b.stay = fmt.Sprintf("%.1f", line+rng.Float64()-0.5), fmt.Sprintf("%.1f", line), mm(330, 480)
	case 1: // one ring
		b.rings, b.cogs = pick("28", "30T", "32", "34", "36"), pick("11-42", "11-46", "10-51", "11-51", "10-50", "11-36", "11-40")
		b.front, b.rear, b.stay = mm(49, 52.5), pick("148", "12x148", "axle 142", "12x142 mm"), mm(430, 460)
	case 2: // two rings
		b.rings, b.cogs = pick("34,50", "36/52", "30 46", "31,48", "39 53"), pick("11-28", "11-30", "11-32", "11-34", "12-25")
		b.front, b.rear, b.stay = mm(43.5, 46), pick("axle 130", "142", "135"), mm(405, 435)
	case 3: // three rings
		b.rings, b.cogs = pick("28,38,48", "26 36 48", "22/32/42", "24,34,42", "30,39,50"), pick("11-34", "11-32", "12-25", "11-28", "14-28")
		b.speeds = pick("7", "8", "9")
		b.front, b.rear, b.stay = mm(45, 50), pick("axle 135", "dropouts 135", "axle 130"), mm(420, 460)
	default: // long and short ones
		b.rings, b.cogs = pick("38", "42", "44T", "52"), pick("11-28", "11-34", "14-28", "11-32")
		b.front, b.rear, b.stay = mm(42, 47), pick("axle 135", "axle 130"), pick(mm(290, 340), mm(600, 1200), mm(1400, 1900))
	}
	return b
}

// Two hundred bicycles by lot get a sane first answer as well.
func TestAnyOrdinaryBicycleFits(t *testing.T) {
	rng := rand.New(rand.NewPCG(23, 1))
	gears, alarmed, bikes := 0, 0, 200
	if testing.Short() {
		bikes = 25
	}
	for i := range bikes {
		n, a := saneAnswer(t, anyBicycle(rng, i))
		gears, alarmed = gears+n, alarmed+a
	}
	t.Logf("%d of %d gears alarmed", alarmed, gears)
	assert.LessOrEqual(t, float64(alarmed), mostAlarmed*float64(gears))
}

// What people write, and what is understood.
func TestAsPeopleWriteIt(t *testing.T) {
	whole := func(front, rear, more string) *Case {
		c, err := Parse("bike.yaml", []byte("chainpath: 1\nfront: "+front+"\nrear: "+rear+"\n"+more))
		require.NoError(t, err, front+rear+more)
		return c
	}
	for rings, want := range map[string][]int{"34,50": {34, 50}, "50/34": {34, 50}, "34-50": {34, 50}, "32T": {32}, "'28 38 48'": {28, 38, 48}, "[34t, 50T]": {34, 50}, "[34, 50]": {34, 50}} {
		if strings.Contains(rings, ",") && rings[0] != '[' {
			rings = "'" + rings + "'" // within braces a comma parts fields
		}
		assert.Equal(t, want, whole("{line: 45, rings: "+rings+"}", "{line: 45, cogs: [11, 34]}", "").Front.Rings, rings)
	}
	assert.Equal(t, []int{34, 50}, whole("\n  line: 43,5\n  rings: 34,50", "{line: 45, cogs: [11, 34]}", "").Front.Rings, "without quotes where no braces stand")
	assert.Equal(t, 43.5, whole("\n  line: 43,5\n  rings: 34,50", "{line: 45, cogs: [11, 34]}", "").Front.Line.Value)
	for cogs, n := range map[string]int{"11-42": 11, "10-51": 12, "11-34": 11, "11-32T": 11, "14-28": 7, "11-36": 10, "13-27": 10} {
		c := whole("{line: 45, rings: [34]}", "{line: 45, cogs: "+cogs+"}", "")
		assert.Len(t, c.Rear.Cogs, n, cogs)
		assert.Equal(t, n, c.Speeds, cogs)
		said := ""
		for _, a := range c.Assumptions() {
			if a.Path == "rear.cogs" {
				said = a.Note
			}
		}
		assert.Contains(t, said, map[bool]string{true: "usual", false: "even steps"}[cogs != "13-27"], cogs)
	}
	assert.Len(t, whole("{line: 45, rings: [34]}", "{line: 45, cogs: 11-34}", "speeds: 9\n").Rear.Cogs, 9)
	for axle, name := range map[string]float64{"148 (axle spacing)": 148, "12x142": 142, "12 x 148 mm": 148, "148x12": 148, "135 (axle)": 135} {
		c := whole("{line: 50, rings: [32]}", "{measured: {dropouts: "+axle+"}, cogs: 11-42}", "")
		assert.Equal(t, name, c.Rear.Measured.Dropouts.Axle, axle)
		line, err := c.RearLine()
		require.NoError(t, err)
		assert.InDelta(t, 45, line, 3.2, axle)
	}
	for form, want := range map[string]string{"narrow-wide": "wide_narrow", "narrow wide": "wide_narrow", "wide_narrow": "wide_narrow", "alternating": "wide_narrow", "plain": "plain"} {
		assert.Equal(t, want, whole("{line: 50, rings: [32], form: "+form+"}", "{line: 45, cogs: 11-42}", "").Front.Form, form)
	}
	for stay, mm := range map[string]float64{"16 3/4": 425.45, "17 in": 431.8, "17": 17, "43,5 cm": 435, "0.43 m": 430} {
		if stay == "17" {
			_, err := Parse("bike.yaml", []byte("chainpath: 1\nframe: {stay: 17}\nfront: {line: 45, rings: [34]}\nrear: {line: 45, cogs: [16]}\n"))
			assert.ErrorContains(t, err, "frame.stay: 17 mm is out of range, want 200 mm to 2000 mm")
			continue
		}
		assert.InDelta(t, mm, whole("{line: 45, rings: [34]}", "{line: 45, cogs: [16]}", "frame: {stay: '"+stay+"'}\n").Frame.Stay.Value, 1e-9, stay)
	}
	for size, bead := range map[string]float64{"700x40": 622, "26x1 3/8": 590, "29x2.4": 622, "57-622": 622, "'29x2,4'": 622, "20x2.125": 406} {
		c := whole("{line: 50, rings: [32]}", "{line: 45, cogs: 11-42}", "tyre: {size: "+size+"}\n")
		b, err := c.Bike()
		require.NoError(t, err)
		assert.Equal(t, bead, b.Tyre.BeadSeat, size)
	}
	for answer, want := range map[string]string{ // in one answer, as mybike takes it
		"148": "dropouts: 148 (axle spacing)", "12x142": "dropouts: 142 (axle spacing)", "axle 12x142": "dropouts: 142 (axle spacing)", "142 mm": "dropouts: 142 (axle spacing)",
		"45,5": "line: '45,5'", "dropouts 141,2, stack 40,3, gap 4,1": "stack: 40.3",
	} {
		d := &Draft{rings: []int{32}, cogs: []int{11, 13, 15}}
		_, err := d.SetRear(answer)
		require.NoError(t, err, answer)
		assert.Contains(t, d.rear, want, answer)
	}
}

// The doubt of a length follows from how it was typed; only ± 0 says that there is none.
func TestDoubtFollowsFromTheTyping(t *testing.T) {
	for _, x := range []struct {
		path, text string
		within     float64 // surely, mm; 0: exact
	}{
		{"frame.stay", "430", 0.5}, {"frame.stay", "430.0", 0.1}, {"frame.stay", "43 cm", 5}, {"frame.stay", "17 in", 12.7}, {"frame.stay", "16 3/4", 3.175}, {"frame.stay", "16 15/16 in", 25.4 / 32},
		{"frame.stay", "430 ± 0", 0}, {"frame.stay", "430 ± 2", 2}, {"chain.inner_width", "2.18", 0.02}, {"chain.width", "5.2", 0.1},
		{"front.line", "43.5", 1}, {"front.line", "44", 1}, {"rear.line", "44 ± 0.2", 0.2}, {"front.line", "44 ± 0", 0},
		{"front.measured.gap", "29.9", 0.5}, {"rear.measured.gap", "4", 0.5}, {"chainstay.gap", "5.5", 0.5}, {"rear.measured.dropouts", "135.2", 0.1},
	} {
		q, err := ParseQuantity(x.text, "length")
		require.NoError(t, err)
		in, ok, err := AsInput(x.path, q)
		require.NoError(t, err)
		assert.Equal(t, x.within > 0, ok, x.path+" "+x.text)
		assert.InDelta(t, x.within/1.7320508, in.U, 1e-6, x.path+" "+x.text)
	}
}

// Entries that cannot all be true: which they are is said, and the bicycle is computed.
func TestWhatCannotAllBeTrue(t *testing.T) {
	for text, want := range map[string]struct {
		field, words, taken string
	}{
		"front: {line: 19, rings: [32]}\nrear: {line: 45, cogs: 11-42}\n":                                                                 {"front.line", "19 mm", "50 ± 4 mm"},
		"front: {measured: {tube_width: 20, gap: 4}, rings: [32]}\nrear: {line: 45, cogs: 11-42}\n":                                       {"front.measured", "14 mm", "50 ± 4 mm"},
		"front: {line: 50, rings: [32]}\nrear: {line: 160, cogs: 11-42}\n":                                                                {"rear.line", "160 mm", "45.5 ± 3.5 mm"},
		"front: {line: 50, rings: [32]}\nrear: {measured: {dropouts: 130, stack: 140, gap: 4}, cogs: 11-42}\n":                            {"rear.measured.stack", "wider than the 130 mm", "45.5 ± 3.5 mm"},
		"front: {line: 50, rings: [32]}\nrear: {measured: {dropouts: 135, stack: 39, gap: 45}, cogs: 11-42}\n":                            {"rear.measured.gap", "rear chainline of 3 mm", "45.5 ± 3.5 mm"},
		"frame: {stay: 430}\nfront: {line: 45, rings: [34, 50]}\nrear: {line: 45, cogs: 11-34}\nchain: {links: 90}\n":                     {"chain.links", "22 of 22 gears", "114 links"},
		"frame: {stay: 430}\nfront: {line: 50, rings: [32]}\nrear: {line: 45, cogs: 11-42}\nchain: {links: 140}\ntensioner: {cage: 80}\n": {"chain.links", "too long for", "110 links"},
		"frame: {stay: 430}\nfront: {line: 43, rings: [42]}\nrear: {line: 42, cogs: [16]}\nchain: {links: 80}\n":                          {"frame.stay", "does not reach round chainring and cog", "98 links"},
	} {
		c, err := Parse("bike.yaml", []byte("chainpath: 1\n"+text))
		require.NoError(t, err, text)
		require.Len(t, c.Conflicts(), 1, text)
		x := c.Conflicts()[0]
		assert.Contains(t, x.Paths, want.field, text)
		assert.Contains(t, x.Words, want.words, text)
		assert.Contains(t, x.Words, "again", text)
		assert.Equal(t, want.taken, x.Taken, text)
		chances, err := c.Chances()
		require.NoError(t, err, text)
		for g := range chances {
			assert.Less(t, chances[g][sim.DoesNotClose], 0.35, text)
		}
		// The file keeps what it says, and says it again.
		out, err := Format(c)
		require.NoError(t, err)
		again, err := Parse("again.yaml", out)
		require.NoError(t, err, string(out))
		assert.Equal(t, c.Conflicts(), again.Conflicts(), string(out))
	}
	// A short chain in some gears is a fault of the bicycle, and none of the file.
	c, err := Parse("bike.yaml", []byte("chainpath: 1\nframe: {stay: 430}\nfront: {line: 45, rings: [34, 50]}\nrear: {line: 45, cogs: 11-34}\nchain: {links: 106}\n"))
	require.NoError(t, err)
	assert.Empty(t, c.Conflicts())
	chances, err := c.Chances()
	require.NoError(t, err)
	assert.Greater(t, chances[len(chances)-1][sim.DoesNotClose], 0.65)
	// A change that tells the line anew leaves no conflict behind in what is written.
	c, err = Parse("bike.yaml", []byte("chainpath: 1\nfront: {line: 19, rings: [32]}\nrear: {line: 45, cogs: 11-42}\n"))
	require.NoError(t, err)
	n, err := c.Set("front.line", "52 ± 1")
	require.NoError(t, err)
	assert.Empty(t, n.Conflicts())
	assert.Equal(t, 52.0, n.Front.Line.Value)
}

// A change to a bicycle of which much was inferred is written as it is.
func TestChangesOfAnInferredBicycleAreWritten(t *testing.T) {
	c, err := Parse("bike.yaml", []byte("chainpath: 1\nframe: {stay: 435}\nfront: {line: 52, rings: [32]}\nrear: {measured: {dropouts: 12x148}, cogs: 10-51}\n"))
	require.NoError(t, err)
	cat, err := ParseCatalogue("parts.yaml", []byte("chainpath_parts: 1\nchanges:\n  - {name: hub, add: {rear.line: 1}}\n  - {name: cassette, set: {rear.cogs: [10, 13, 18, 24, 33, 45]}}\n"))
	require.NoError(t, err)
	k, err := cat.For(c)
	require.NoError(t, err)
	for at, want := range map[int]string{0: "line: ", 1: "[10, 13, 18, 24, 33, 45]"} {
		changed, _, err := k.build([]int{at})
		require.NoError(t, err)
		out, err := Format(changed)
		require.NoError(t, err)
		assert.Contains(t, string(out), want)
		assert.NotContains(t, string(out), "guess")
	}
	out, err := Format(c)
	require.NoError(t, err)
	assert.Contains(t, string(out), "148 (axle spacing)")
	assert.NotContains(t, string(out), "stack", "what was not measured is not written")
}

// Cassettes are lists of rising teeth, and no range has two of one length.
func TestUsualCassettes(t *testing.T) {
	seen := map[[3]int]bool{}
	for _, c := range Cassettes() {
		for i := 1; i < len(c); i++ {
			assert.Greater(t, c[i], c[i-1], "%v", c)
		}
		k := [3]int{c[0], c[len(c)-1], len(c)}
		assert.False(t, seen[k], "%v is there twice", c)
		seen[k] = true
		got, usual, err := UsualCogs(k[0], k[1], k[2])
		require.NoError(t, err)
		assert.True(t, usual)
		assert.Equal(t, c, got)
	}
	assert.Greater(t, len(seen), 50)
	for _, x := range [][2]int{{11, 21}, {9, 46}, {12, 40}, {15, 60}, {11, 12}} {
		cogs, usual, err := UsualCogs(x[0], x[1], 0)
		require.NoError(t, err)
		assert.False(t, usual)
		assert.Equal(t, x, [2]int{cogs[0], cogs[len(cogs)-1]})
	}
	_, _, err := UsualCogs(42, 11, 0)
	assert.ErrorContains(t, err, "want the smallest first")
}

// Of a cog alone the axle's spacing tells nothing of its line, which is then the usual one.
func TestOneCogWithAnAxleAlone(t *testing.T) {
	for _, dropouts := range []string{"110 (axle spacing)", "120 (axle spacing)", "10x135", "135"} {
		c, err := Parse("bike.yaml", []byte("chainpath: 1\nfront: {line: 42, rings: [44]}\nrear: {measured: {dropouts: "+dropouts+"}, cogs: [16]}\n"))
		require.NoError(t, err, dropouts)
		b, err := c.Bike()
		require.NoError(t, err, dropouts)
		assert.InDelta(t, 42, b.RearLine(), 0.1, dropouts)
		warnings, err := c.Warnings()
		require.NoError(t, err)
		assert.Empty(t, warnings, dropouts)
		chances, err := c.Chances()
		require.NoError(t, err)
		for k, p := range chances[0] {
			assert.Less(t, p, 0.5, "%s %s", dropouts, sim.Concern(k))
		}
	}
}
