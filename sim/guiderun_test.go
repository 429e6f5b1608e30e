package sim

import (
	"math"
	"math/rand/v2"
	"sort"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim/engage"
)

// Where links arrive from the guide pulley, beside runs that are marched with friction,
// stiffness and history, from all over what cases may have.
func TestGuideRunAgainstMarches(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	u := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	var m engage.Marcher
	var miss [2][]float64
	n := 1500
	if testing.Short() {
		n = 200
	}
	for range n {
		b := trail()
		c := &b.Chain.Chain
		c.InnerWidth, c.PlateHalfHeight, c.Slack = u(2.14, 2.4), u(3.8, 4.3), Radians(u(0.3, 1.3))
		c.OuterWidth, c.Stiffness, c.Seat, c.Contact = c.InnerWidth+u(1.6, 1.9), 20000*math.Pow(14, u(0, 1)), u(0.05, 0.25), 3.9
		tooth := func() engage.Tooth { return engage.Tooth{Tip: u(0.6, 1.4), Full: 1.6, Relief: Radians(u(12, 22))} }
		b.Cogs = []Wheel{{Sprocket: Sprocket{Teeth: 10 + rng.IntN(43), TipHeight: u(1.8, 2.8), Tooth: tooth()}}}
		b.Tensioner.Guide = Sprocket{Teeth: 11 + rng.IntN(3), TipHeight: u(1.8, 2.8), Tooth: tooth()}
		length, aside, pull := u(22, 80), u(0.1, 3), u(6, 30)
		r := b.runOnto(0, length, 0)
		run := engage.Run{Chain: *c, To: b.Cogs[0].Entry(Pitch), From: b.Tensioner.Guide.Entry(Pitch), Length: length, Tension: pull, Contact: c.Contact, Seat: c.Seat, ToHold: 1, Tooth: 2.4}
		got, err := m.Arrive(&run, math.Atan(aside/length), engage.MarchOptions{})
		require.NoError(t, err)
		miss[0] = append(miss[0], math.Abs(r.at(aside, r.enter, 0)-got.Inner))
		miss[1] = append(miss[1], math.Abs(r.at(aside, r.enter, Pitch)-got.Outer))
	}
	for k, x := range miss {
		sum := 0.0
		for _, v := range x {
			sum += v * v
		}
		sort.Float64s(x)
		root, median := math.Sqrt(sum/float64(len(x))), x[len(x)/2]
		t.Logf("%s link: median %.3f mm, root mean square %.3f mm", engage.Link(k), median, root)
		assert.Less(t, median, 0.15)
		assert.Less(t, root, 0.21)
	}
}

// What is reached put back is where it was to come.
func TestReachIsTheOtherWayAbout(t *testing.T) {
	b := trail()
	for cog := range b.Cogs {
		r := b.runOnto(cog, 40, 0.5)
		for _, place := range []float64{0.1, 0.5, 1.2, 3} {
			for _, freed := range []float64{0, Pitch} {
				assert.InDelta(t, place, r.at(r.reach(place, r.enter, freed), r.enter, freed), 1e-12)
			}
		}
	}
}

// Where the run meets a neighbour its gap is nothing, before it there is some.
func TestMeetingIsWhereTheGapIsNothing(t *testing.T) {
	b := trail()
	width, inside := b.Chain.Width, 0
	for i := range 8 * len(b.Cogs) {
		cog := i % len(b.Cogs)
		b.Chain.Width = width + 0.25*float64(i/len(b.Cogs)) // wide ones meet it while seated links take up their play
		r := b.runOnto(cog, 45, 0.3)
		for _, next := range []int{cog - 1, cog + 1} {
			if next < 0 || next == len(b.Cogs) {
				continue
			}
			own, beside := &b.Cogs[cog], &b.Cogs[next]
			at := r.meets(own, beside, &b.Chain, 0.5, 99)
			if math.IsInf(at, 1) || at >= r.play+math.Abs(own.Line-beside.Line)-1e-9 || at == r.play {
				continue
			}
			inside++
			side := 1
			if next > cog {
				side = -1
			}
			gap := func(aside float64) float64 {
				n := neighbour{own: *own, next: *beside, chain: &b.Chain, strand: r.strip(own, &b.Chain, aside, side)}
				return n.straight().MM + 0.5
			}
			assert.InDelta(t, 0, gap(at), 1e-5, "cog %d beside %d", cog, next)
			assert.Positive(t, gap(at-0.1))
			assert.Negative(t, gap(at+0.1))
		}
	}
	assert.Greater(t, inside, 50)
}

// at returns the place at a distance before the tangent point, and of the run that begins
// so much before it, freed of the last tooth.
func (r *guideRun) at(aside, s, freed float64) float64 {
	e := r.pulled(aside)
	u := min(r.seat, e)
	return u + (e-u)*min(1, (s+freed)/(r.free+freed))
}
