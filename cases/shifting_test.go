package cases

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim/indexing"
)

func shifting(t *testing.T, text string) *Shifting {
	s, err := mustParse(t, text).Shifting()
	require.NoError(t, err)
	return s
}

// matched is a straight bicycle of so many speeds with something in its tensioner, and lines of
// its cogs where they are not a pitch apart.
func matched(speeds int, tensioner string, lines []float64) string {
	cogs := map[int]string{
		8: "11, 13, 15, 18, 21, 24, 28, 32", 9: "11, 12, 14, 16, 18, 21, 24, 28, 32", 10: "11, 12, 13, 14, 15, 17, 19, 21, 23, 25",
		11: "11, 12, 13, 14, 15, 17, 19, 21, 23, 25, 28", 12: "10, 12, 14, 16, 18, 21, 24, 28, 33, 39, 45, 51",
	}[speeds]
	rear := "line: 44"
	if lines != nil {
		rear = "cog_lines: " + strings.ReplaceAll(fmt.Sprintf("%.4f", lines), " ", ", ")
	}
	return fmt.Sprintf("chainpath: 1\nspeeds: %d\nfront: {line: 45, rings: [32]}\nrear: {%s, cogs: [%s]}\ntensioner: {gaps: [%s]%s}\n", speeds, rear, cogs, map[bool]string{true: "11, 5", false: "12, 6"}[speeds == 12], tensioner)
}

// moved are a cluster's lines with single gaps wider (by pair) and single cogs aside.
func moved(speeds int, gap, cog map[int]float64) []float64 {
	n, p := speeds, sizesFor(speeds).cogPitch
	out := make([]float64, n)
	at := 44 + p*float64(n-1)/2
	for k := range out {
		out[k] = at + cog[k]
		at -= p + gap[k]
	}
	return out
}

// The table of windows and faults that came with the model, by another draw of the same priors.
func TestWindowsAndFaultsOfTheModel(t *testing.T) {
	for _, row := range []struct {
		speeds   int
		window   [3]float64
		straight float64
		hanger   [2]float64 // 4 and 8 mm at the rim
		spacer   [2]float64 // +0.21 and +0.5 mm
		cog      float64    // 0.4 mm
		pull     [3]float64 // +3, +5.5 and -3 %
		pair     int
	}{
		{8, [3]float64{0.63, 1.54, 2.44}, 0, [2]float64{0, 0.02}, [2]float64{0.01, 0.21}, 0.11, [3]float64{0.05, 0.30, 0.16}, 3},
		{9, [3]float64{0.51, 1.33, 2.15}, 0, [2]float64{0.01, 0.03}, [2]float64{0.03, 0.29}, 0.17, [3]float64{0.11, 0.44, 0.25}, 4},
		{10, [3]float64{0.39, 1.16, 1.92}, 0.01, [2]float64{0.01, 0.02}, [2]float64{0.04, 0.35}, 0.23, [3]float64{0.19, 0.58, 0.33}, 4},
		{11, [3]float64{0.34, 1.08, 1.80}, 0.01, [2]float64{0.02, 0.04}, [2]float64{0.05, 0.37}, 0.25, [3]float64{0.25, 0.71, 0.40}, 5},
		{12, [3]float64{0.28, 1.00, 1.71}, 0.02, [2]float64{0.09, 0.32}, [2]float64{0.07, 0.39}, 0.27, [3]float64{0.31, 0.82, 0.47}, 5},
	} {
		near := func(want float64, text, what string) {
			t.Helper()
			got := shifting(t, text).Late
			t.Logf("%d %s: %.2f, told %.2f", row.speeds, what, got, want)
			assert.InDelta(t, want, got, 0.08, "%d speeds, %s", row.speeds, what)
		}
		s := shifting(t, matched(row.speeds, "", nil))
		assert.InDeltaSlice(t, row.window[:], s.Window[:], 0.12, "%d speeds", row.speeds)
		assert.InDelta(t, row.straight, s.Late, 0.03)
		for i, mm := range [2]float64{4, 8} {
			near(row.hanger[i], matched(row.speeds, fmt.Sprintf(", hanger: {lean: %.4f}", mm/622*180/math.Pi), nil), "hanger")
		}
		for i, mm := range [2]float64{0.21, 0.5} {
			near(row.spacer[i], matched(row.speeds, "", moved(row.speeds, map[int]float64{row.pair: mm}, nil)), "spacer")
		}
		for i, g := range [3]float64{1.03, 1.055, 0.97} {
			near(row.pull[i], matched(row.speeds, fmt.Sprintf(", ratio: 1.5, cable_per_shift: %.5f", g*sizesFor(row.speeds).cogPitch/1.5), nil), "pull")
		}
		near(row.cog, matched(row.speeds, "", moved(row.speeds, nil, map[int]float64{row.speeds - 2: 0.4})), "cog")
	}
}

// Bicycles that are matched and straight are told so: all that are shipped, and the 30 ordinary
// ones.
func TestStraightBicyclesShift(t *testing.T) {
	n, alarmed := 0, 0
	count := func(name string, c *Case) {
		s, err := c.Shifting()
		if err != nil { // nothing to shift
			return
		}
		n++
		if s.Late >= 0.15 {
			alarmed++
			t.Logf("%s: %.2f", name, s.Late)
		}
		assert.Empty(t, s.Remedies, name)
	}
	for _, name := range Shipped() {
		c, err := Load(name, nil)
		require.NoError(t, err)
		count(name, c)
	}
	f, err := os.Open("../testdata/ordinary.tsv")
	require.NoError(t, err)
	defer f.Close()
	for s := bufio.NewScanner(f); s.Scan(); {
		if x := strings.Split(s.Text(), "\t"); len(x) == 9 && x[0][0] != '#' {
			count(x[0], told{x[0], x[1], x[2], x[3], x[4], x[5], x[6], x[7], x[8]}.parse(t))
		}
	}
	t.Logf("%d of %d with a chance of 0.15 and more", alarmed, n)
	assert.Greater(t, n, 25)
	assert.LessOrEqual(t, float64(alarmed), 0.05*float64(n))
}

// What the file tells is named, with its size and place, and mending it helps.
func TestRemediesAreNamed(t *testing.T) {
	for _, x := range []struct {
		text string
		want indexing.Plant
	}{
		{matched(10, ", index_error: -0.9", nil), indexing.Plant{Fault: indexing.Setting, Size: -0.9, At: -1}},
		{matched(12, ", hanger: {lean: -2}", nil), indexing.Plant{Fault: indexing.BentHanger, Size: -2 * math.Pi / 180, At: -1}},
		{matched(10, "", moved(10, map[int]float64{4: 0.4}, nil)), indexing.Plant{Fault: indexing.WrongSpacer, Size: 0.4, At: 4}},
		{matched(9, "", moved(9, nil, map[int]float64{7: 0.4})), indexing.Plant{Fault: indexing.BentCog, Size: 0.4, At: 7}},
		{matched(10, ", ratio: 1.5, cable_per_shift: 2.81", nil), indexing.Plant{Fault: indexing.WrongPull, Size: 1.5*2.81/3.95 - 1, At: -1}},
		{matched(10, ", float: 1.6", nil), indexing.Plant{Fault: indexing.PulleyPlay, Size: 0.6, At: -1}},
		{matched(10, "", moved(10, map[int]float64{0: 0.39, 1: 0.39, 2: 0.39, 3: 0.39, 4: 0.39, 5: 0.39, 6: 0.39, 7: 0.39, 8: 0.39}, nil)), indexing.Plant{Fault: indexing.WrongCluster, Size: 0.39, At: -1}},
	} {
		s := shifting(t, x.text)
		require.Len(t, s.Remedies, 1, x.text)
		got := s.Remedies[0]
		assert.Equal(t, x.want.Fault, got.Fault, x.text)
		assert.InDelta(t, x.want.Size, got.Size, 1e-3)
		assert.Equal(t, x.want.At, got.At)
		assert.Greater(t, s.Late, 0.1)
		assert.Greater(t, got.Felt, 0.1)
		assert.Less(t, got.After, s.Late)
		assert.InDelta(t, s.Late-got.Felt, got.After, 0.02, "mended, it is straight")
	}
}

// A counted range settles what no prior can: the more clicks, the less likely a fault is felt.
func TestTheCountedRangeNarrows(t *testing.T) {
	for name, x := range map[string]struct {
		more  string
		lines []float64
		want  [3]float64 // at 2, 4 and 6 clicks, as the model's table has them
	}{
		"spacer":   {"", moved(10, map[int]float64{4: 0.21}, nil), [3]float64{0.08, 0, 0}},
		"step 3":   {", ratio: 1.5, cable_per_shift: 2.7123", nil, [3]float64{0.56, 0.01, 0}},
		"step 5.5": {", ratio: 1.5, cable_per_shift: 2.7782", nil, [3]float64{0.97, 0.65, 0.03}},
	} {
		before := 1.0
		for i, clicks := range []int{2, 4, 6} {
			// The range is that of the bicycle before the fault: what is narrowed is its room.
			sound := mustParse(t, matched(10, fmt.Sprintf(", adjuster_range: {clicks: %d}", clicks), nil))
			s, err := sound.Shifting()
			require.NoError(t, err)
			assert.InDelta(t, float64(clicks), s.Window[1]/s.Click, 0.8)
			faulty := mustParse(t, matched(10, x.more, x.lines))
			b, err := faulty.Bike()
			require.NoError(t, err)
			var r indexing.Rear
			b.Rear(&r)
			base := mustParse(t, matched(10, fmt.Sprintf(", adjuster_range: {clicks: %d}", clicks), nil))
			bb, err := base.Bike()
			require.NoError(t, err)
			left, err := base.indexed(bb, &Shifting{Rear: s.Rear, Click: s.Click})
			require.NoError(t, err)
			fails := 0.0
			var m indexing.Margins
			for _, y := range left {
				if m.Of(&r, y.Draw); m.Least() < 0 {
					fails++
				}
			}
			got := fails / float64(len(left))
			t.Logf("%s, %d clicks: %.2f, told %.2f", name, clicks, got, x.want[i])
			assert.LessOrEqual(t, got, before)
			assert.InDelta(t, x.want[i], got, 0.25, "%s, %d clicks", name, clicks)
			before = got
		}
	}
}

// What was seen of shifts narrows them and names a fault, and no other chance feels it.
func TestShiftsSeen(t *testing.T) {
	text := matched(10, "", nil)
	before := shifting(t, text)
	c := mustParse(t, text)
	chances, err := c.Chances()
	require.NoError(t, err)
	for _, line := range []string{"32/11>12: late 9 of 10", "*/12>13: late 8 of 10", "*/13>14: late 10 of 10", "*/14>15: late 9 of 10", "*/15>17: late 9 of 10", "*/12>11: fine", "*/25>23,*/23>21: fine", "*/21>23: late", "*/23>25: late"} {
		o, err := ParseSeen(line)
		require.NoError(t, err)
		require.NoError(t, c.AddSeen(o))
	}
	s, err := c.Shifting()
	require.NoError(t, err)
	assert.Equal(t, indexing.Setting, s.Inferred.Suspects[0].Fault)
	assert.Positive(t, s.Inferred.Suspects[0].Signed, "the pulleys stand too far outboard")
	assert.Greater(t, s.Shifts[0].Late, before.Shifts[0].Late+0.4)
	assert.Nil(t, before.Inferred)
	again, err := c.Chances()
	require.NoError(t, err)
	assert.Equal(t, chances, again)
	seen, err := c.Seen()
	require.NoError(t, err)
	assert.Empty(t, seen, "they teach nothing of other chances")

	fine := mustParse(t, strings.Replace(text, "tensioner:", "observations: [{gears: '*/*>*', what: fine}]\ntensioner:", 1))
	s, err = fine.Shifting()
	require.NoError(t, err)
	assert.LessOrEqual(t, s.Late, before.Late)
	assert.Len(t, s.Inferred.Suspects, 1, "nothing is wrong: no fault is looked for")
}

// Symptoms of shifting are ranked, what happened before counts.
func TestShiftSymptomsAreRanked(t *testing.T) {
	of := func(symptoms string) *Shifting {
		s := shifting(t, matched(11, "", nil)+"symptoms: ["+symptoms+"]\n")
		require.NotNil(t, s.Inferred)
		sum := 0.0
		for _, x := range s.Inferred.Suspects {
			sum += x.Share
		}
		assert.InDelta(t, 1, sum, 1e-9)
		return s
	}
	rank := func(s *Shifting, f indexing.Fault) (int, float64) {
		for i, x := range s.Inferred.Suspects {
			if x.Fault == f {
				return i, x.Share
			}
		}
		return -1, 0
	}
	larger := of("{what: slow_to_larger}")
	assert.Equal(t, indexing.Setting, larger.Inferred.Suspects[0].Fault)
	assert.Positive(t, larger.Inferred.Suspects[0].Signed)
	smaller := of("{what: slow_to_smaller}")
	assert.Negative(t, smaller.Inferred.Suspects[0].Signed)
	both := of("{what: slow_to_larger}, {what: slow_to_smaller}")
	at, _ := rank(both, indexing.Friction)
	assert.Zero(t, at, "slow both ways, everywhere")
	one := of("{what: skips_in_one, cogs: [17]}")
	_, in := rank(both, indexing.BentCog)
	_, share := rank(one, indexing.BentCog)
	assert.Greater(t, share, 2*in)
	_, share = rank(both, indexing.BentHanger)
	_, after := rank(of("{what: slow_to_larger}, {what: slow_to_smaller}, {what: after_crash}"), indexing.BentHanger)
	assert.Greater(t, after, share)
	_, share = rank(larger, indexing.WrongCluster)
	_, after = rank(of("{what: slow_to_larger}, {what: after_wheel}"), indexing.WrongCluster)
	assert.Greater(t, after, share)
	of("{what: skips_in_some, cogs: [21, 23, 25]}")
	of("{what: noisy_in_one, cogs: [13]}")
	alone := shifting(t, matched(11, "", nil)+"symptoms: [{what: after_crash}]\n")
	assert.Nil(t, alone.Inferred, "what happened before is no sign itself")
}

// An electric actuation has no cable that could rub, nor clicks.
func TestElectricShifting(t *testing.T) {
	s := shifting(t, matched(12, ", actuation: electric, index_error: 0.5", nil)+"symptoms: [{what: slow_to_larger}]\n")
	assert.Zero(t, s.Click)
	for _, x := range s.Inferred.Suspects {
		assert.NotEqual(t, indexing.Friction, x.Fault)
	}
}

// Cable, ratio and adjuster: what a click moves, and steps of their own.
func TestStopsOfACase(t *testing.T) {
	stops := func(more string) (s struct {
		click float64
		steps []float64
	}) {
		b, err := mustParse(t, matched(10, more, nil)).Bike()
		require.NoError(t, err)
		s.click, s.steps = b.Tensioner.Stops.Click, b.Tensioner.Stops.Steps
		return s
	}
	assert.InDelta(t, 0.2*1.5, stops("").click, 1e-12)
	assert.Nil(t, stops("").steps)
	assert.InDelta(t, 0.2*3.95/2.3, stops(", cable_per_shift: 2.3").click, 1e-12, "the ratio that matches")
	assert.InDelta(t, 0.5/3*1.4, stops(", ratio: 1.4, adjuster_pitch: 0.5, adjuster_clicks: 3").click, 1e-12)
	assert.InDeltaSlice(t, []float64{4.2, 4.2, 4.2, 4.2, 4.2, 4.2, 4.2, 4.2, 4.2}, stops(", ratio: 1.5, cable_per_shift: 2.8").steps, 1e-12)
	list := stops(", cable_per_shift: [3, 3, 3, 3, 3, 3, 3, 3, 3.3]")
	sum := 0.0
	for _, x := range list.steps {
		sum += x
	}
	assert.InDelta(t, 9*3.95, sum, 1e-9, "without a ratio they match as a whole")
	assert.InDelta(t, 1.1, list.steps[8]/list.steps[0], 1e-12)
	assert.InDeltaSlice(t, []float64{2.7, 2.6}, stops(", ratio: 1.5, cable_per_shift: [1.8, 1.7333333, 2.6, 2.6, 2.6, 2.8, 2.8, 2.8, 2.9]").steps[:2], 1e-6)
	// Of two cogs there is one shift, and its cable counts too.
	two := func(more string) [2][]float64 {
		b, err := mustParse(t, "chainpath: 1\nspeeds: 10\nfront: {line: 45, rings: [42]}\nrear: {line: 44, cogs: [16, 18]}\ntensioner: {adjuster_pitch: 1, adjuster_clicks: 5"+more+"}\n").Bike()
		require.NoError(t, err)
		return [2][]float64{b.Tensioner.Stops.Steps, {b.Tensioner.Stops.Click}}
	}
	assert.InDeltaSlice(t, []float64{1.5 * 2.7}, two(", ratio: 1.5, cable_per_shift: 2.7")[0], 1e-12)
	assert.InDeltaSlice(t, []float64{0.2 * 3.95 / 2.5}, two(", cable_per_shift: [2.5]")[1], 1e-12, "cogs of ten speeds are 3.95 mm apart")
}

func TestShiftingRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"chainpath: 1\nfront: {line: 43, rings: [42]}\nrear: {line: 43, cogs: [18]}\n":                "nothing is indexed",
		"chainpath: 1\nfront: {line: 43, rings: [42]}\nrear: {line: 43, cogs: [18]}\ntensioner: {}\n": "want two and more",
		strings.Replace(learner, "51]}", "51], gates: [1, 2]}", 1):                                    "want one for each of the cogs",
		strings.Replace(learner, "51]}", "51], gate_depth: 0.4}", 1):                                  "given without gates",
		matched(10, ", ratio: 2.5, cable_per_shift: 2.8", nil):                                        "tensioner.ratio: 2.5 with 2.8 mm of cable moves the pulley 7 mm a shift, want 2.77 to 5.53 mm for cogs 3.95 mm apart",
		matched(10, ", cable_per_shift: 9", nil):                                                      "tensioner.cable_per_shift: 9 mm for cogs 3.95 mm apart asks for a ratio of 0.439, want 1.32 to 4.94 mm",
		matched(10, ", cable_per_shift: [2.3, 2.3]", nil):                                             "tensioner.cable_per_shift: 2 given, want one, or one for each of the steps (9)",
		matched(10, ", ratio: 4", nil):                                                                "tensioner.ratio: 4 is out of range, want 0.8 to 3",
		matched(10, ", actuation: electric, ratio: 1.5", nil):                                         "tensioner.ratio: given with electric actuation",
		matched(10, ", actuation: rod", nil):                                                          "want one of cable, electric",
		matched(10, ", adjuster_range: {clicks: 4, first_inboard: 11>12}", nil):                       `tensioner.adjuster_range.first_inboard: "11>12", want one shift to a smaller cog`,
		matched(10, ", adjuster_range: {clicks: 4, first_outboard: 11>13}", nil):                      `"11>13" is not one step of the cassette`,
		matched(10, "", nil) + "observations: [{gears: 32/19>16, what: late}]\n":                      `observations[0].gears: "32/19>16": no cog of 16, want one of 11, 12`,
		matched(10, "", nil) + "observations: [{gears: 34/19>17, what: late}]\n":                      "no 34-tooth chainring",
		matched(10, "", nil) + "observations: [{gears: 32/19, what: late}]\n":                         "is a gear, want a shift",
		matched(10, "", nil) + "observations: [{gears: 32/19>17, what: noise}]\n":                     "want late or fine",
		matched(10, "", nil) + "observations: [{gears: '*/19>*', what: late, off: 1, of: 3}]\n":       "is 2 shifts, want one where tries are counted",
		matched(10, "", nil) + "observations: [{gears: 32/19>17, what: late, off: 4, of: 3}]\n":       "4 of 3 tries",
	} {
		c, err := Parse("bike.yaml", []byte(text))
		if err == nil {
			_, err = c.Shifting()
		}
		assert.ErrorContains(t, err, want, text)
	}
}

func BenchmarkShifting(b *testing.B) {
	c, err := Parse("bike.yaml", []byte(learner))
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		_, err := c.Shifting()
		require.NoError(b, err)
	}
}

// Spacers widen single gaps and leave the cluster's middle where it is; another wheel than the
// one that the cable was set at leaves the pulleys as far aside as its cogs stand.
func TestSpacersAndAnotherWheel(t *testing.T) {
	thick := strings.Replace(matched(10, "", nil), "line: 44", "line: 44, spacers: [0, 0, 0, 0, 0.4, 0, 0, 0, 0]", 1)
	s, byLines := shifting(t, thick), shifting(t, matched(10, "", moved(10, map[int]float64{4: 0.4}, nil)))
	assert.InDeltaSlice(t, byLines.Rear.Planes, s.Rear.Planes, 1e-9)
	assert.Equal(t, byLines.Remedies[0].At, s.Remedies[0].At)
	assert.InDelta(t, byLines.Late, s.Late, 1e-12)
	b, err := mustParse(t, thick).Bike()
	require.NoError(t, err)
	assert.InDelta(t, 44, b.RearLine(), 1e-9)
	assert.InDelta(t, 3.95+0.4, b.Cogs[4].Line-b.Cogs[5].Line, 1e-9)
	assert.InDelta(t, 3.95, b.Cogs[5].Line-b.Cogs[6].Line, 1e-9)

	other := shifting(t, matched(10, ", set_at: 43.1", nil))
	read := shifting(t, matched(10, ", index_error: -0.9", nil))
	assert.True(t, other.Found)
	assert.InDelta(t, -0.9, other.Off, 1e-9)
	assert.InDelta(t, read.Late, other.Late, 1e-9)
	assert.InDelta(t, -3, other.Clicks, 1e-9)
}

// Changes of parts and designs of a sweep reach spacers that the case does not give.
func TestChangesReachShifting(t *testing.T) {
	c := mustParse(t, matched(10, ", cable_per_shift: 2.81, ratio: 1.5", nil))
	cat, err := ParseCatalogue("p.yaml", []byte(`chainpath_parts: 1
changes:
  - {name: matching shifter, set: {tensioner.cable_per_shift: 2.633}}
  - {name: other wheel, add: {rear.line: 1}}
  - {name: thick spacer, add: {"rear.spacers[4]": 0.5}}
  - {name: bent hanger, set: {tensioner.hanger.lean: -3}}
  - {name: wide ring, add: {front.line: 3}}
`))
	require.NoError(t, err)
	k, err := cat.For(c)
	require.NoError(t, err)
	late := func(picks ...int) float64 {
		n, _, err := k.build(picks)
		require.NoError(t, err)
		s, err := n.Shifting()
		require.NoError(t, err)
		return s.Late
	}
	before := late()
	assert.Greater(t, before, 0.5)
	assert.Less(t, late(0), 0.05)
	assert.Greater(t, late(0, 2), late(0)+0.2)
	assert.Greater(t, late(0, 3), late(0)+0.02)
	assert.Equal(t, late(0), late(0, 4), "the front line has no part in it")
	assert.Equal(t, late(0), late(0, 1), "the cable is set anew")
	c.Tensioner.SetAt = Q(44)
	k, err = cat.For(c)
	require.NoError(t, err)
	assert.Greater(t, late(0, 1), late(0)+0.5, "the cable stays as it was set at the first wheel")
}
