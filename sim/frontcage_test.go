package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Rings at their lines, a cog 10 mm outboard of the ring on a run of 400 mm: 90 mm back the
// chain is 2.25 mm farther out. By hand.
func TestRoomInAFrontCageByHand(t *testing.T) {
	b := double()
	b.Chain.Width = 6
	b.Rings[0].Line = 40
	b.FrontCage = &FrontCage{Inside: 12, Places: []float64{38, 41, 44}, From: 10, To: 100}
	top := Span{Across: -10, Length: 400} // from the cog to the ring, going forward
	r := b.frontRoom(b.Rings[0].Line, &top)
	require.True(t, r.Valid)
	assert.Equal(t, 1, r.Trim)
	assert.InDelta(t, (40.25-3)-(41-6), r.Gap[0], 1e-12)
	assert.InDelta(t, (41+6)-(42.5+3), r.Gap[1], 1e-12)
	b.FrontCage.Places = []float64{38}
	r = b.frontRoom(b.Rings[0].Line, &top)
	assert.InDelta(t, (38+6)-(42.5+3), r.Least(), 1e-12)
}

func TestACageRubsAndHolds(t *testing.T) {
	f := &Free{Seat: 0.1, Ridden: 0.8, RideSoft: 0.5, NoiseIdler: 0.04, NoiseIdlerOff: 0.01, Allowance: 0.3, Spread: 0.05, Room: 0.9, Pins: 0.5, SoftCog: 0.1, SoftRing: 0.1, Guard: 0.05, NoiseSoft: 0.01, NoiseSoftPull: 1}
	b := double()
	last := len(b.Cogs) - 1
	free := chancesOf(t, b, f)
	assert.Equal(t, -1.0, free[0][RubsFrontCage], "no such thing")
	wide := double()
	wide.FrontCage = &FrontCage{Inside: 40, Places: []float64{wide.Rings[1].Line}, From: 0, To: 90}
	tight := double()
	tight.FrontCage = &FrontCage{Inside: 7, Places: []float64{tight.Rings[1].Line}, From: 0, To: 90}
	w, n := chancesOf(t, wide, f), chancesOf(t, tight, f)
	g := len(b.Cogs) + last // large ring, largest cog
	assert.Less(t, w[g][RubsFrontCage], 0.001)
	assert.Greater(t, n[g][RubsFrontCage], 0.5)
	// A wide one holds nothing, a narrow one nearly all.
	assert.Greater(t, w[g][DropRiding], n[g][DropRiding])
	// Wider never rubs more, and never holds better.
	before := n
	for _, inside := range []float64{8, 9, 11, 14, 20} {
		tight.FrontCage.Inside = inside
		next := chancesOf(t, tight, f)
		for g := range next {
			assert.LessOrEqual(t, next[g][RubsFrontCage], before[g][RubsFrontCage])
			assert.GreaterOrEqual(t, next[g][DropRiding], before[g][DropRiding]-1e-12)
		}
		before = next
	}
}

// Which cogs run at one place of the cage is what the gears' rooms say.
func TestTrimFreeIsWhatRoomsSay(t *testing.T) {
	b := double()
	b.FrontCage = &FrontCage{Inside: b.Chain.Width + 4, Places: []float64{b.Rings[0].Line - 0.5, b.Rings[1].Line + 0.5}, From: 0, To: 90}
	r, err := b.Evaluate()
	require.NoError(t, err)
	found := 0
	for ring := range b.Rings {
		runs := map[int]bool{}
		for _, cogs := range b.TrimFree(ring, r) {
			for _, c := range cogs {
				runs[c] = true
				found++
			}
		}
		for i := range r.Gears {
			if g := &r.Gears[i]; g.Ring == ring {
				assert.Equal(t, g.Front.Least() >= 0, runs[g.Cog], "%d/%d", g.RingTeeth, g.CogTeeth)
			}
		}
	}
	assert.Positive(t, found)
	assert.Nil(t, double().TrimFree(0, r))
}

// Pins that reach less far out never rub more; those that reach to the tips are those
// without a radius.
func TestPinsRubAsFarAsTheyReach(t *testing.T) {
	f := &Free{Seat: 0.1, Ridden: 0.8, RideSoft: 0.5, NoiseIdler: 0.04, NoiseIdlerOff: 0.01, Allowance: 0.3, Spread: 0.05, Room: 0.9, Pins: 1, SoftCog: 0.1, SoftRing: 0.15, Guard: 0.05, NoiseSoft: 0.01, NoiseSoftPull: 1}
	b := double()
	b.Rings[1].Line = b.Rings[0].Line + 6.6
	all := chancesOf(t, b, f)
	assert.Greater(t, all[0][RubsNextRing], 0.01)
	b.PinsAt = b.Rings[1].TipRadius(Pitch)
	for g, c := range chancesOf(t, b, f) {
		assert.InDelta(t, all[g][RubsNextRing], c[RubsNextRing], 1e-9)
	}
	before := all
	for _, less := range []float64{2, 5, 10} {
		b.PinsAt = b.Rings[1].TipRadius(Pitch) - less
		next := chancesOf(t, b, f)
		for g := range next {
			assert.LessOrEqual(t, next[g][RubsNextRing], before[g][RubsNextRing]+1e-12)
		}
		before = next
	}
	assert.Less(t, before[0][RubsNextRing], all[0][RubsNextRing])
	b.FrontCage = &FrontCage{From: 3, To: 1, Places: []float64{40}}
	assert.ErrorIs(t, b.Validate(), ErrBike)
}

// A chain that just touches a plate still runs there, a hair farther it does not; gears of other
// rings and those that the chain does not go round are left out.
func TestTrimFreeAtTheBoundItself(t *testing.T) {
	b := double()
	b.Chain.Width = 6
	b.FrontCage = &FrontCage{Inside: 10, Places: []float64{38, 41.9, 42, 42.125}, From: 0, To: 50}
	gear := func(ring, cog int, line, across float64) Gear {
		return Gear{Ring: ring, Cog: cog, RingLine: line, Top: Span{Across: across, Length: 400}, Fit: Fit{Closes: true}}
	}
	short := gear(0, 4, 40, 0)
	short.Fit = Fit{Short: 2}
	slack := gear(0, 5, 40, 0)
	slack.Fit = Fit{Slack: 3}
	r := &Result{Gears: []Gear{gear(0, 2, 40, 0), gear(0, 3, 40, -8), gear(1, 2, 40, 0), short, slack}}
	// Straight: from 37 to 43 mm, beside plates 5 mm off each place. Leaning 1 mm outboard over the
	// cage: from 37 to 44.
	assert.Equal(t, [][]int{{2, 5}, {2, 3, 5}, {2, 3, 5}, nil}, b.TrimFree(0, r))
	b.FrontCage.Places = []float64{38, 37.875}
	assert.Equal(t, [][]int{{2}, nil}, b.TrimFree(1, r))
	lean := Span{Across: -8, Length: 400}
	assert.Equal(t, [2]float64{6, -2}, b.FrontCage.at(1, 41.875, 0, 6), "by hand")
	b.Rings[0].Line = 40
	b.FrontCage.Places = []float64{39, 41}
	room := b.frontRoom(b.Rings[0].Line, &lean)
	assert.Equal(t, 1, room.Trim)
	assert.InDeltaSlice(t, []float64{1, 2}, room.Gap[:], 1e-12)
	b.FrontCage.Places = []float64{39.5, 41.5}
	room = b.frontRoom(b.Rings[0].Line, &lean)
	assert.Equal(t, 0, room.Trim, "of two alike the first")
}

// Ahead of where the run leaves the ring the chain lies on the ring: a cage that begins there is
// met by what lies behind the tangent point alone. Leaning outboard 1 mm in 50, from 37 to 43 mm
// over the ring, to 44 mm where the cage ends.
func TestACageThatBeginsOverTheRing(t *testing.T) {
	f := &FrontCage{Inside: 10, Places: []float64{40}, From: -25, To: 50}
	assert.Equal(t, [2]float64{2, 1}, f.at(0, 40, 0.02, 6))
	assert.Equal(t, [2]float64{1, 2}, f.at(0, 40, -0.02, 6))
	f.To = -5
	assert.Equal(t, [2]float64{2, 2}, f.at(0, 40, 0.02, 6), "all of it over the ring")
}
