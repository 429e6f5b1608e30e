package cases

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/judge"
)

// roomy returns an invented bicycle with the gaps of chainstay and dropout given, and what
// else is written.
func roomy(t *testing.T, rear, more string) *Case {
	text := "chainpath: 1\nspeeds: 9\nframe: {stay: 430}\nfront: {line: 47.5, rings: [40]}\n" +
		"rear: {" + rear + "cogs: [11, 13, 15, 17, 20, 23, 26, 30, 34]}\n" + more
	c, err := Parse("roomy.yaml", []byte(text))
	require.NoError(t, err)
	return c
}

// chanceIn returns the chance of a concern in the gear of the only ring with a cog.
func chanceIn(t *testing.T, c *Case, cog int, k sim.Concern) float64 {
	all, err := c.Chances()
	require.NoError(t, err)
	return all[cog][k]
}

// expected integrates P(|N(0, flex)| > x) over a reading that is surely within so much of a
// gap: its mean, and the standard deviation of single draws.
func expected(gap, within, flex float64) (mean, sd float64) {
	const n = 20000
	squares := 0.0
	for i := range n {
		p := math.Erfc(max(gap+within*(2*(float64(i)+0.5)/n-1), 0) / (math.Sqrt2 * flex))
		mean += p / n
		squares += p * p / n
	}
	return mean, math.Sqrt(squares - mean*mean)
}

// Chances of touching are those of the reading's own doubt and of flex, by integration: what is
// drawn of lines, rings, cogs and teeth is no doubt of a gap. Within four standard errors of
// 200 draws, and with ± 0 exactly, beside a stay that does not spread: to one that does higher
// tips, which are drawn, are some hundredths nearer.
func TestTouchingIsTheReadingsOwnDoubt(t *testing.T) {
	for _, gap := range []float64{0.8, 1.5, 2.1, 2.5} {
		for _, x := range []struct {
			typed  string
			within float64
		}{{"%.1f", 0.5}, {"%.1f ± 0.9", 0.9}, {"%.1f ± 0", 0}} {
			c := roomy(t, "line: 43.5, dropout_gap: "+fmt.Sprintf(x.typed, gap)+", ", "chainstay: {angle: 0, gap: "+fmt.Sprintf(x.typed, gap)+"}\n")
			b, err := c.Bike()
			require.NoError(t, err)
			for _, k := range []struct {
				of        sim.Concern
				gap, flex float64
			}{{sim.MeetsStay, gap, 1}, {sim.MeetsDropout, gap, 0.4}} {
				mean, sd := expected(k.gap, x.within, k.flex)
				want := judge.OffTheEnds(mean)
				assert.InDelta(t, want, chanceIn(t, c, 1, k.of), 4*sd/math.Sqrt(judge.Sets)+1e-9, "%s %s", k.of, fmt.Sprintf(x.typed, gap))
			}
			stands := (b.Chain.Width - b.Cogs[0].Thickness()) / 2
			assert.Greater(t, stands, 1.0)
			assert.Greater(t, chanceIn(t, c, 0, sim.MeetsDropout), chanceIn(t, c, 1, sim.MeetsDropout)+0.1, "the chain stands proud of the smallest cog")
		}
	}
}

// The chain on the smallest cog by hand: 1.2 mm proud of it, 2 left of 3.2, so that 0.8 ± 0.02
// is two deviates of 0.4 mm: 0.0455.
func TestChainBesideTheDropoutByHand(t *testing.T) {
	c := roomy(t, "line: 43.5, tooth: {thickness: 1.8 ± 0}, dropout_gap: 2 ± 0, ", "chain: {width: 4.2 ± 0}\n")
	assert.InDelta(t, judge.OffTheEnds(0.0455003), chanceIn(t, c, 0, sim.MeetsDropout), 1e-6)
	assert.InDelta(t, judge.OffTheEnds(math.Erfc(5/math.Sqrt2)), chanceIn(t, c, 1, sim.MeetsDropout), 1e-9)
}

// Spokes and the brake's rotor: their doubt and that of the rear line count.
func TestWheelRoomOfACase(t *testing.T) {
	b, err := roomy(t, "line: 43.5, ", "spokes: {flange_radius: 28, flange_line: 20, rim_radius: 300}\nbrake_rotor: {line: 24.5, radius: 70}\n").Bike()
	require.NoError(t, err)
	assert.Equal(t, &sim.Rotor{Line: 24.5, Radius: 70}, b.Rotor)
	far := chanceIn(t, roomy(t, "line: 43.5, ", "spokes: {flange_radius: 28, flange_line: 14, rim_radius: 300}\n"), 8, sim.MeetsWheel)
	near := chanceIn(t, roomy(t, "line: 43.5, ", "spokes: {flange_radius: 28, flange_line: 26, rim_radius: 300}\n"), 8, sim.MeetsWheel)
	beyond := chanceIn(t, roomy(t, "line: 43.5, ", "brake_rotor: {line: 28, radius: 80}\n"), 8, sim.MeetsWheel)
	assert.Equal(t, judge.OffTheEnds(0), math.Min(far, 1))
	assert.Greater(t, near, far+0.1)
	assert.Greater(t, beyond, near)
}

// A room that nobody measured is unknown: named, and without a chance. A gap that was only
// taken as usual is no measurement, nor is what was set aside.
func TestRoomsThatNobodyMeasured(t *testing.T) {
	for _, x := range []struct {
		rear, more string
		unknown    []string
	}{
		{"line: 43.5, ", "", []string{"chainstay", "dropout", "wheel", "tyre"}},
		{"measured: {dropouts: 135}, ", "tyre: {size: 37-622}\n", []string{"chainstay", "dropout", "wheel"}},
		{"measured: {dropouts: 135 (axle spacing), stack: 36}, ", "", []string{"chainstay", "dropout", "wheel", "tyre"}},
		{"measured: {dropouts: 135, gap: 4}, ", "chainstay: {gap: 5}\n", []string{"wheel", "tyre"}},
		{"line: 43.5, dropout_gap: 4, ", "brake_rotor: {line: 15, radius: 80}\n", []string{"chainstay", "tyre"}},
		{"line: 43.5, dropout_gap: 4, ", "chainstay: {gap: 5}\ntyre: {size: 37-622}\nspokes: {flange_radius: 28, flange_line: 20}\n", []string{}},
	} {
		c := roomy(t, x.rear, x.more)
		b, err := c.Bike()
		require.NoError(t, err)
		assert.Equal(t, x.unknown, RoomsUnknown(b), "%s%s", x.rear, x.more)
		all, err := c.Chances()
		require.NoError(t, err)
		rooms := sim.Concerns(func(h *sim.Hazard) bool { return h.Room != "" })
		assert.Len(t, rooms, 4)
		for _, k := range rooms {
			for g := range all {
				assert.Equal(t, slices.Contains(x.unknown, sim.Hazards[k].Room), all[g][k] == -1, "%s of %s%s", k, x.rear, x.more)
			}
		}
	}
}

// What touches can be observed where its room is known, and told of as a symptom of its own.
func TestTouchingCanBeObserved(t *testing.T) {
	seen := func(rear, more, what string) (err error) {
		_, err = Parse("roomy.yaml", []byte("chainpath: 1\nspeeds: 3\nfront: {line: 47.5, rings: [40]}\nrear: {"+rear+"cogs: [15, 17, 20]}\n"+more+"observations:\n  - {gears: 40/15, what: "+what+"}\n"))
		return err
	}
	for _, x := range []struct{ what, rear, more, lacks string }{
		{"meets_stay", "line: 43.5, ", "chainstay: {gap: 4}\n", "no chainstay"},
		{"meets_dropout", "line: 43.5, dropout_gap: 3, ", "", "no gap to the dropout"},
		{"meets_dropout", "measured: {dropouts: 135, stack: 12, gap: 20}, ", "", "no gap to the dropout"},
		{"meets_wheel", "line: 43.5, ", "brake_rotor: {line: 15, radius: 80}\n", "no spokes and no brake_rotor"},
		{"rubs_tyre", "line: 43.5, ", "tyre: {size: 37-622}\n", "no tyre"},
	} {
		assert.NoError(t, seen(x.rear, x.more, x.what))
		assert.ErrorContains(t, seen("line: 43.5, ", "", x.what), "observations[0].what: "+x.what+", but the case has "+x.lacks)
		assert.NoError(t, seen("line: 43.5, ", "", "fine"))
	}
	for symptom, known := range map[string]string{"stay_mark": "chainstay: {gap: 4}\n", "spoke_mark": "spokes: {flange_radius: 28, flange_line: 20, rim_radius: 300}\n"} {
		for _, more := range []string{"", known} {
			list, err := roomy(t, "line: 43.5, ", more+"symptoms:\n  - {what: "+symptom+"}\n").Seen()
			require.NoError(t, err)
			assert.Equal(t, more != "", len(list) == 1, "%s %s", symptom, more)
		}
	}
	list, err := roomy(t, "line: 43.5, dropout_gap: 1, ", "symptoms:\n  - {what: dropout_mark, cogs: [11]}\n").Seen()
	require.NoError(t, err)
	require.Len(t, list, 1)
	assert.Equal(t, sim.MeetsDropout, list[0].One)
	assert.Equal(t, []int{0}, list[0].Gears)
}

// By whatever door the rear line moves, the dropout stays where it was read, and so do its
// chances: measured, given, or with cogs' own lines.
func TestTheDropoutStaysWhereItWasRead(t *testing.T) {
	lines := "cog_lines: [59, 55, 51, 47, 43, 39, 35, 31, 27], dropout_gap: 4 ± 0.3, "
	for _, rear := range []string{"measured: {dropouts: 135, stack: 36, gap: 4 ± 0.3}, ", "line: 45.5, dropout_gap: 4 ± 0.3, ", lines} {
		c := roomy(t, rear, "")
		at, err := c.RearLine()
		require.NoError(t, err)
		b, err := c.Bike()
		require.NoError(t, err)
		was, before := *b.Dropout, chanceIn(t, c, 0, sim.MeetsDropout)

		by := func(mm float64) (float64, float64) {
			n, err := c.Set("rear.line", fmt.Sprintf("%.9f", at+mm))
			require.NoError(t, err)
			b, err := n.Bike()
			require.NoError(t, err)
			set := chanceIn(t, n, 0, sim.MeetsDropout)

			cat, err := ParseCatalogue("parts.yaml", fmt.Appendf(nil, "chainpath_parts: 1\ntitle: t\nchanges:\n  - {name: hub, add: {rear.line: %g mm}}\n", mm))
			require.NoError(t, err)
			k, err := cat.For(c)
			require.NoError(t, err)
			made, mb, err := k.build([]int{0})
			require.NoError(t, err)
			assert.InDelta(t, was.Face, mb.Dropout.Face, 1e-9, rear)
			assert.InDelta(t, was.Face, b.Dropout.Face, 1e-9, rear)
			within := 1e-9
			if c.Rear.Measured != nil { // moved in its readings, which are drawn otherwise
				within = 0.03
			}
			assert.InDelta(t, set, chanceIn(t, made, 0, sim.MeetsDropout), within, rear)
			return set, mb.CogFace()
		}
		last, face := before, b.CogFace()
		for _, mm := range []float64{0.25, 0.5, 1, 1.5} {
			p, stands := by(mm)
			assert.InDelta(t, face+mm, stands, 1e-9)
			assert.Greater(t, p, last, "%g mm outboard of %s", mm, rear)
			last = p
		}
		assert.InDelta(t, 0.8, last, 0.05, "4 less 2.4 for the chain and 1.5 leave a quarter of a deviate: 0.80")
	}
}

// In a sweep too: of the rear line, of the pitch of the cogs, of what is measured anew.
func TestASweepHoldsRooms(t *testing.T) {
	c := roomy(t, "line: 45.5, dropout_gap: 4, ", "chainstay: {gap: 4}\n")
	at := func(path string, x float64) (*sim.Bike, sim.Chances) {
		p := &SweepPlan{Vary: []Vary{{Path: path, From: fmt.Sprint(x), To: fmt.Sprint(x + 1), Step: "1"}}}
		s, err := p.For(c)
		require.NoError(t, err)
		d := s.Designer()
		_, err = d.Bike([]float64{x + 1})
		require.NoError(t, err)
		b, err := d.Bike([]float64{x})
		require.NoError(t, err)
		all, err := d.Chances(0)
		require.NoError(t, err)
		return b, all[0]
	}
	b, err := c.Bike()
	require.NoError(t, err)
	_, as := at("rear.line", 45.5)
	assert.InDelta(t, chanceIn(t, c, 0, sim.MeetsDropout), as[sim.MeetsDropout], 1e-9)
	held, p := at("rear.line", 47.5)
	assert.InDelta(t, b.Dropout.Face, held.Dropout.Face, 1e-9)
	assert.Greater(t, p[sim.MeetsDropout], as[sim.MeetsDropout])
	held, q := at("rear.cog_pitch", 4.9)
	assert.InDelta(t, b.Dropout.Face, held.Dropout.Face, 1e-9)
	assert.Greater(t, held.CogFace(), b.CogFace()+1)
	assert.Greater(t, q[sim.MeetsDropout], as[sim.MeetsDropout])
	anew, r := at("rear.dropout_gap", 3)
	assert.InDelta(t, b.Dropout.Face-1, anew.Dropout.Face, 1e-9)
	assert.Greater(t, r[sim.MeetsDropout], as[sim.MeetsDropout])

	last := 0.0
	for x := 47.5; x > 43; x-- {
		held, p := at("front.line", x)
		assert.Equal(t, b.Stay.Face, held.Stay.Face)
		assert.Greater(t, p[sim.MeetsStay], last, "%g", x)
		last = p[sim.MeetsStay]
		n, err := c.Set("front.line", fmt.Sprint(x))
		require.NoError(t, err)
		assert.InDelta(t, chanceIn(t, n, 0, sim.MeetsStay), last, 1e-9)
	}
	assert.Greater(t, last, 0.5)
}

// Rooms that chances alone tell of are not varied in vain.
func TestASweepOfRoomsWantsChances(t *testing.T) {
	c := roomy(t, "line: 45.5, dropout_gap: 4, ", "spokes: {flange_radius: 28, flange_line: 20, rim_radius: 300}\nbrake_rotor: {line: 15, radius: 80}\n")
	for _, path := range []string{"rear.dropout_gap", "spokes.flange_line", "brake_rotor.line"} {
		p := &SweepPlan{Vary: []Vary{{Path: path, From: "14", To: "15", Step: "1"}}}
		s, err := p.For(c)
		require.NoError(t, err)
		assert.ErrorContains(t, s.Reach(p, Reached{}), path+" changes no column with --no-chances")
		assert.NoError(t, s.Reach(p, Reached{Chances: true}))
	}
}

// Rings moved inboard along the same draws: the stay is where it was, and touching grows.
func TestTouchingTheStayGrowsInboard(t *testing.T) {
	c, err := Load("trail", nil)
	require.NoError(t, err)
	all, err := c.ChancesAlong([]float64{0, -1, -2, -3, -4, -5, -6})
	require.NoError(t, err)
	for i := 1; i < len(all); i++ {
		for g := range all[i] {
			assert.GreaterOrEqual(t, all[i][g][sim.MeetsStay], all[i-1][g][sim.MeetsStay])
		}
	}
	// Three mm inboard leave 2.5 of 5.5 ± 0.5, six are half a mm inside.
	mean, sd := expected(2.5, 0.5, 1)
	assert.InDelta(t, judge.OffTheEnds(mean), all[3][0][sim.MeetsStay], 4*sd/math.Sqrt(judge.Sets))
	assert.Greater(t, all[6][0][sim.MeetsStay], 0.98)
}
