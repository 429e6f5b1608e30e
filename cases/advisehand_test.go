package cases

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/decide"
)

// adviserOf is one without judged changes.
func adviserOf(t *testing.T, c *Case) *adviser {
	b, err := c.Bike()
	require.NoError(t, err)
	return &adviser{c: c, b: b, rule: decide.UsualRule(), needs: map[string]float64{}}
}

// A reading is wrong beyond its limit, either way, with what puts it right; at the limit it is not.
func TestWhatReadsWrongByHand(t *testing.T) {
	gaps := func(fifth string) string {
		list := slices.Repeat([]string{"0.2"}, 11)
		list[4] = fifth
		return "[" + strings.Join(list, ", ") + "]"
	}
	lines := func(fifth float64) string { // gaps of 3.9 mm, but before and behind the fifth
		var list []string
		for k := range 12 {
			line := 66 - 3.9*float64(k)
			if k == 4 {
				line += fifth
			}
			list = append(list, fmt.Sprintf("%.2f", line))
		}
		return "[" + strings.Join(list, ", ") + "]"
	}
	for _, x := range []struct {
		path, at, beyond string
		want             Reading
	}{
		{"tensioner.hanger", "{lean: 0.5, toe: -0.5}", "{lean: 0.51, toe: 0.5}", Reading{Value: 0.51, Unit: "°", Limit: 0.5, Change: straightHanger}},
		{"tensioner.hanger", "{lean: -0.5}", "{lean: 0.51, toe: -0.6}", Reading{Value: -0.6, Unit: "°", Limit: 0.5, Change: straightHanger}},
		{"tensioner.index_error", "0.3", "0.31", Reading{Value: 0.31, Unit: "mm", Limit: 0.3, Change: setCable}},
		{"tensioner.index_error", "-0.3", "-0.31", Reading{Value: -0.31, Unit: "mm", Limit: 0.3, Change: setCable}},
		{"tensioner.set_at", "44.79", "44.81", Reading{Value: -0.31, Unit: "mm", Limit: 0.3, Change: setCableHere}}, // the line is 44.5
		{"tensioner.set_at", "44.21", "44.19", Reading{Value: 0.31, Unit: "mm", Limit: 0.3, Change: setCableHere}},
		{"rear.spacers", gaps("0.34"), gaps("0.36"), Reading{Value: 0.16, Unit: "mm", Limit: 0.15, Change: evenCassette}},
		{"rear.spacers", gaps("0.06"), gaps("0.04"), Reading{Value: -0.16, Unit: "mm", Limit: 0.15, Change: evenCassette}},
		{"rear.cog_lines", lines(0.14), lines(0.16), Reading{Value: -0.16, Unit: "mm", Limit: 0.15, Change: evenCassette}}, // farther outboard: nearer to the fourth
		{"chain.slack", "1.2", "1.21", Reading{Value: 1.21, Unit: "°", Limit: 1.2, Change: newChain}},
		{"load.freehub_drag", "0.2", "0.21", Reading{Value: 0.21, Unit: "N·m", Limit: 0.2, Change: serviceFreehub}},
	} {
		for _, value := range []string{x.at, x.beyond} {
			base := mustParse(t, shortChained)
			if x.path == "rear.cog_lines" {
				base.Rear.Line = Quantity{}
			}
			c, err := base.Set(x.path, value)
			require.NoError(t, err, x.path)
			got := adviserOf(t, c).wrong(nil)
			if value == x.at {
				assert.Empty(t, got, "%s %s", x.path, value)
				continue
			}
			require.Len(t, got, 1, "%s %s", x.path, value)
			assert.InDelta(t, x.want.Value, got[0].Value, 1e-9, x.path)
			got[0].Value, x.want.Path = x.want.Value, x.path
			assert.Equal(t, x.want, got[0])
		}
	}
	for links, short := range map[int]float64{114: 2, 108: 8, 116: 0, 0: 0} {
		c := mustParse(t, shortChained)
		c.Chain.Links = links
		got := adviserOf(t, c).wrong(nil)
		if short == 0 {
			assert.Empty(t, got, "%d links", links)
			continue
		}
		assert.Equal(t, []Reading{{"chain.links", short, "links", 0, fmt.Sprintf("new chain, %g links longer", short), true}}, got)
	}
}

// What each wrong reading can be behind, by complaint; what bears on one is told first, in the order of
// the readings.
func TestWhatReadingsBearOn(t *testing.T) {
	c := mustParse(t, shortChained)
	for path, value := range map[string]string{
		"tensioner.hanger": "{lean: 1}", "tensioner.index_error": "1", "tensioner.set_at": "46", "rear.spacers": "[0, 0, 0, 1, 0, 0, 0, 0, 0, 0, 0]",
		"chain.slack": "2", "load.freehub_drag": "0.5", "chain.links": "114",
	} {
		next, err := c.Set(path, value)
		require.NoError(t, err, path)
		c = next
	}
	w := adviserOf(t, c)
	order := []string{"tensioner.hanger", "tensioner.index_error", "tensioner.set_at", "rear.spacers", "chain.slack", "load.freehub_drag", "chain.links"}
	bears := map[decide.Complaint]string{ // in that order; a chain that is too short is behind all
		decide.Noise: "1111111", decide.Skips: "1111101", decide.RubsCog: "0111001", decide.Drop: "0000111", decide.LooseTop: "0000011",
		decide.RubsRing: "0000001", decide.TyreMark: "0000001", decide.StayMark: "0000001", decide.DropoutMark: "0000001", decide.SpokeMark: "0000001",
	}
	for _, k := range decide.OfShifts {
		bears[k] = "1111101"
	}
	for _, k := range decide.Complaints {
		var first, last []string
		for i, path := range order {
			if bears[k][i] == '1' {
				first = append(first, path)
			} else {
				last = append(last, path)
			}
		}
		var got []string
		list := w.wrong([]Complained{{Symptom: decide.Symptom{Complaint: k}, Shifts: slices.Contains(decide.OfShifts, k)}})
		for i, r := range list {
			got = append(got, r.Path)
			assert.Equal(t, i < len(first), r.Bears, "%s: %s", k, r.Path)
		}
		assert.Equal(t, append(first, last...), got, k)
	}
	both := w.wrong([]Complained{{Symptom: decide.Symptom{Complaint: decide.RubsCog}}, {Symptom: decide.Symptom{Complaint: decide.LooseTop}}})
	assert.False(t, both[len(both)-1].Bears, "hanger and chain are behind neither")
	assert.True(t, both[len(both)-3].Bears)
	assert.False(t, both[len(both)-2].Bears)
}

// How far a line may be off: what its ± says, be it more than a millimetre, or what the way it was read
// says, up to a millimetre; a millimetre where wheels have lines of their own.
func TestHowFarLinesMayBeOff(t *testing.T) {
	for front, want := range map[string]float64{
		"{line: 45 ± 2, rings: [42]}":                                    2,
		"{line: 45 ± 0.3, rings: [42]}":                                  0.3,
		"{line: 45 ± 0, rings: [42]}":                                    0,
		"{line: 45, rings: [42]}":                                        1, // taken from a drawing or a list
		"{line: 45.25, rings: [42]}":                                     1,
		"{ring_lines: [44, 51], rings: [30,42]}":                         1,
		"{measured: {tube_width: 40 ± 0.3, gap: 25 ± 0.4}, rings: [42]}": math.Hypot(0.15, 0.4), // of the tube half
		"{measured: {tube_width: 40 ± 0.3, readings: [21 ± 0.4, 29 ± 0.2]}, rings: [30, 42]}":     math.Sqrt(0.15*0.15 + 0.2*0.2 + 0.1*0.1),
		"{measured: {tube_width: 40 ± 3, gap: 25 ± 4}, rings: [42]}":                              math.Hypot(1.5, 4),
		"{measured: {tube_width: 40 ± 0.3, readings: [1 ± 1, 9 ± 2, 17 ± 3]}, rings: [20,30,42]}": math.Hypot(0.15, 2), // of the middle one
	} {
		c := mustParse(t, "chainpath: 1\nframe: {stay: 430}\nfront: "+front+"\nrear: {line: 44 ± 0.7, cogs: [14, 16]}\n")
		w := adviserOf(t, c)
		assert.InDelta(t, want, w.lineWithin("front.line", &c.Front.Line), 1e-9, front)
		assert.InDelta(t, 0.7, w.lineWithin("rear.line", &c.Rear.Line), 1e-9)
	}
}

// A bike whose lines were read wrong has chainrings and cogs elsewhere, with what was measured from
// them; frame, tyre and the bike itself stay.
func TestLinesReadOffByHand(t *testing.T) {
	c := mustParse(t, "chainpath: 1\nframe: {stay: 430}\nfront: {ring_lines: [44, 51], rings: [30, 42]}\nrear: {line: 44, cogs: [14, 16], dropout_gap: 5}\nchainstay: {gap: 6}\ntyre: {size: 47-622}\n")
	b, err := c.Bike()
	require.NoError(t, err)
	stay, dropout := b.Stay.Face, b.Dropout.Face
	n := readOff(b, [2]float64{0.5, -0.25})
	for i, line := range []float64{44.5, 51.5} {
		assert.InDelta(t, line, n.Rings[i].Line, 1e-12)
		assert.InDelta(t, line-0.5, b.Rings[i].Line, 1e-12)
	}
	for i := range b.Cogs {
		assert.InDelta(t, b.Cogs[i].Line-0.25, n.Cogs[i].Line, 1e-12)
	}
	assert.InDelta(t, stay+0.5, n.Stay.Face, 1e-12)
	assert.InDelta(t, dropout-0.25, n.Dropout.Face, 1e-12)
	assert.InDelta(t, stay, b.Stay.Face, 1e-12)
	assert.InDelta(t, dropout, b.Dropout.Face, 1e-12)
	assert.Equal(t, b.Tyre, n.Tyre)
}

// What takes from a room: the largest chainring inboard or with more teeth beside the stay, the smallest cog
// outboard beside the dropout, the largest inboard or with more teeth beside the wheel, the smallest chainring
// inboard beside the tyre. Nobody measured it: how much is needed is told, and what is taken is put to it. Somebody
// did: what is left is told, and how likely parts touch.
func TestRoomsThatAChangeTakes(t *testing.T) {
	c := mustParse(t, "chainpath: 1\nframe: {stay: 430}\nfront: {ring_lines: [44, 51], rings: [30, 42]}\nrear: {line: 44, cogs: [14, 16, 18]}\n")
	known, err := c.Set("chainstay.gap", "6")
	require.NoError(t, err)
	known, err = known.Set("rear.dropout_gap", "5")
	require.NoError(t, err)
	for what, x := range map[string]struct {
		do    func(b *sim.Bike)
		rooms []Room // in the order in which they are told
		left  []Kept // chance 0.03 beside the stay, 0.04 beside the dropout, whose room is the chain's there
	}{
		"nothing": {func(*sim.Bike) {}, nil, nil},
		"a millionth": {func(b *sim.Bike) {
			b.Rings[1].Line -= 0.9e-6
			b.Rings[0].Line -= 0.9e-6
			b.Cogs[0].Line += 0.9e-6
			b.Cogs[2].Line -= 0.9e-6
		}, nil, nil},
		"rings outboard":        {func(b *sim.Bike) { b.Rings[0].Line += 2; b.Rings[1].Line += 2 }, nil, nil},
		"rings inboard":         {func(b *sim.Bike) { b.Rings[0].Line -= 1.25; b.Rings[1].Line -= 1.25 }, []Room{{"chainstay", 3.3}, {"tyre", 0}}, []Kept{{"chainstay", 4.75, 0.03}}},
		"small ring inboard":    {func(b *sim.Bike) { b.Rings[0].Line -= 1 }, []Room{{"tyre", 0}}, nil},
		"teeth, more":           {func(b *sim.Bike) { b.Rings[1].Teeth = 44 }, []Room{{"chainstay", 2}}, []Kept{{"chainstay", math.NaN(), 0.03}}}, // it reaches farther back
		"teeth, fewer":          {func(b *sim.Bike) { b.Rings[1].Teeth = 40; b.Cogs[2].Teeth = 17 }, nil, nil},
		"cogs outboard":         {func(b *sim.Bike) { b.Cogs[0].Line += 0.5; b.Cogs[1].Line += 0.5; b.Cogs[2].Line += 0.5 }, []Room{{"dropout", 2.5}}, []Kept{{"dropout", 4.5, 0.04}}},
		"cogs inboard":          {func(b *sim.Bike) { b.Cogs[0].Line -= 0.5; b.Cogs[1].Line -= 0.5; b.Cogs[2].Line -= 0.5 }, []Room{{"wheel", 2.5}}, nil},
		"largest cog, teeth":    {func(b *sim.Bike) { b.Cogs[2].Teeth = 20 }, []Room{{"wheel", 2}}, nil},
		"larger and outboard":   {func(b *sim.Bike) { b.Rings[1].Teeth = 44; b.Rings[1].Line += 1 }, []Room{{"chainstay", 2}}, []Kept{{"chainstay", math.NaN(), 0.03}}},
		"larger cog, outboard":  {func(b *sim.Bike) { b.Cogs[2].Teeth = 20; b.Cogs[2].Line += 1 }, []Room{{"wheel", 2}}, nil},
		"smallest cog outboard": {func(b *sim.Bike) { b.Cogs[0].Line += 0.31 }, []Room{{"dropout", 2.4}}, []Kept{{"dropout", 4.69, 0.04}}},
	} {
		for _, of := range []*Case{c, known} {
			w := adviserOf(t, of)
			w.needs = map[string]float64{"chainstay": 2, "dropout": 2, "wheel": 2, "tyre": 0}
			n, err := of.Bike()
			require.NoError(t, err)
			x.do(n)
			e := &Expected{Bike: n, Chances: make([]sim.Chances, 2)}
			e.Chances[1][sim.MeetsStay], e.Chances[0][sim.MeetsDropout] = 0.03, 0.04
			left := w.kept(e)
			if of == known {
				require.Len(t, left, len(x.left), what)
				for i := range left {
					want := x.left[i].Left
					if left[i].Name == "dropout" {
						want -= (n.Chain.Width - n.Cogs[0].Thickness()) / 2
					} else if math.IsNaN(want) {
						want = n.RingStayGap().MM + n.Stay.Flex
						assert.Less(t, want, 6-(w.b.Rings[1].Line-n.Rings[1].Line), what)
					}
					assert.InDelta(t, want, left[i].Left, 1e-9, what)
					assert.Equal(t, [2]any{x.left[i].Name, x.left[i].Touch}, [2]any{left[i].Name, left[i].Touch}, what)
				}
				for _, r := range w.unmeasured(n) {
					assert.Contains(t, []string{"wheel", "tyre"}, r.Name, what)
				}
				continue
			}
			assert.Empty(t, left, what)
			assert.Equal(t, x.rooms, w.unmeasured(n), what)
		}
	}
	w := adviserOf(t, c)
	w.needs = map[string]float64{"chainstay": 0} // not worked out
	n, err := c.Bike()
	require.NoError(t, err)
	n.Rings[1].Line--
	assert.Equal(t, []Room{{"chainstay", 0}}, w.unmeasured(n))
}

// Cures are told in their order: what is still a setting first, then what cures every fault, then the cheapest,
// then what gains most; the best is that of the largest gain, the first of equals.
func TestOrderOfCures(t *testing.T) {
	for want, cost := range map[bool][]decide.Cost{true: {{}, {Minutes: 15}}, false: {{Minutes: 16}, {Price: 1}, {Price: 1, Minutes: 5}}} {
		for _, x := range cost {
			assert.Equal(t, want, (&Advised{Cost: x}).free(), "%+v", x)
		}
	}
	a := &Advice{}
	assert.Nil(t, a.Best())
	for _, net := range []float64{3, 7, 5, 7} {
		a.Cures = append(a.Cures, Advised{Cure: decide.Cure{Net: net}})
	}
	assert.Same(t, &a.Cures[1], a.Best())
	for most, want := range map[float64]bool{0.05: false, 0.0501: true} {
		assert.Equal(t, want, (&Advised{Known: []Kept{{Touch: 0.01}, {Touch: most}}}).touches())
	}

	c, err := mustParse(t, "chainpath: 1\nframe: {stay: 430}\nfront: {line: 45, rings: [42]}\nrear: {line: 44, cogs: [16]}\n").Set("chainstay.gap", "6")
	require.NoError(t, err)
	w, _, err := c.adviser(decide.UsualRule(), nil)
	require.NoError(t, err)
	w.judged = true
	with := func(noise, stay float64) decide.Design {
		d := decide.Design{Chances: make([]sim.Chances, 1), Share: []float64{1}}
		d.Chances[0][sim.NoiseRiding], d.Chances[0][sim.MeetsStay] = noise, stay
		return d
	}
	w.before = with(0.8, 0)
	w.cand.opts, w.cand.Plan.Options = nil, nil
	moved, err := c.Bike()
	require.NoError(t, err)
	moved.Rings[0].Line--
	for i, x := range []struct {
		name           string
		price, minutes float64
		is             decide.Design
		bike           *sim.Bike
	}{
		{"work", 0, 30, with(0.1, 0), w.b}, // 20 of money
		{"setting, half", 0, 10, with(0.38, 0), w.b},
		{"setting", 0, 15, with(0.2, 0), w.b},
		{"dearer", 20, 0, with(0.3, 0), w.b},
		{"cheap, half", 5, 0, with(0.39, 0), w.b},
		{"work, too", 0, 30, with(0.1, 0), w.b},
		{"less than half", 0, 0, with(0.41, 0), w.b},
		{"touches", 0, 0, with(0.1, 0.06), moved},
		{"moves", 19, 0, with(0.3, 0.04), moved},
	} {
		w.cand.opts = append(w.cand.opts, candidate{change: &Change{Minutes: Q(x.minutes), Final: i == 3}})
		w.cand.Plan.Options = append(w.cand.Plan.Options, decide.Option{Name: x.name, Price: x.price})
		w.options = slices.Insert(w.options, len(w.options)/2, option{i, &Expected{Bike: x.bike, Chances: x.is.Chances, Surer: 1}, x.is})
	}
	told := []decide.Named{{Of: sim.NoiseRiding, Gears: []int{0}, Told: true}}
	names := func(list []Advised) (out []string) {
		for _, x := range list {
			out = append(out, x.Name)
			assert.Equal(t, x.Name == "dearer", x.Final)
		}
		return out
	}
	assert.Equal(t, []string{"setting", "setting, half", "moves", "work", "work, too", "dearer", "cheap, half"}, names(w.cures(&w.rule, told)))
	w.spare = []bool{true} // another chainring does the gear's work: nothing is bought
	assert.Equal(t, []string{"setting", "setting, half"}, names(w.cures(&w.rule, told)))
	told[0].Told = false
	all := []string{"setting, half", "setting", "cheap, half", "moves", "work", "work, too", "dearer"} // below a half are all of them
	assert.Equal(t, all, names(w.cures(&w.rule, told)))
}

// A change that turns on how a line was read is told only after that was measured: the line in more doubt;
// one that holds in four of five redraws of lines and weights is told at once, and nothing is redrawn of lines
// that are known but weights.
func TestChangesThatTurnOnALine(t *testing.T) {
	for _, x := range []struct {
		line, front, rear string
		want              Verdict
		measure           string
	}{
		{"49.5", "0", "0", MakeChange, ""}, {"51", "0", "0", MakeChange, ""},
		{"49.5", "3", "0.1", MeasureLine, "front.line"}, {"49.5", "0.1", "3", MeasureLine, "rear.line"},
		{"51", "3", "0.1", MakeChange, ""}, {"51", "0.1", "3", MakeChange, ""}, // 6 mm off is much, wherever it is
	} {
		c := mustParse(t, fmt.Sprintf("chainpath: 1\nframe: {stay: 405}\nfront: {line: %s ± %s, rings: [46]}\nrear: {line: 45 ± %s, cogs: [17]}\nsymptoms: [{what: noise}]\n", x.line, x.front, x.rear))
		a, err := c.Advise(decide.UsualRule(), nil, nil)
		require.NoError(t, err)
		assert.Equal(t, x.want, a.Verdict, "%+v", x)
		assert.Equal(t, x.measure, a.Measure, "%+v", x)
		require.NotNil(t, a.Do)
		assert.Contains(t, a.Do.Name, "inboard")
		assert.Equal(t, x.want == MakeChange, a.Same >= 0.8, "%+v: %g", x, a.Same)
		assert.Equal(t, math.Round(40*a.Same), 40*a.Same, "of 40 redraws")
		if x.front == "0" {
			assert.Equal(t, 1.0, a.Same)
		} else {
			assert.Less(t, a.Same, 1.0)
		}
	}
}
