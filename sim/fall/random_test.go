package fall

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
)

// Falls of bicycles by lot, far out of line too, come to an end with finite numbers, and links keep
// their length.
func TestFallsOfAnyBikeAreFinite(t *testing.T) {
	n := 16
	if testing.Short() {
		n = 4
	}
	for i := range n {
		r := rand.New(rand.NewPCG(7, uint64(i)))
		in := func(lo, up float64) float64 { return lo + (up-lo)*r.Float64() }
		b := []bike{big, small}[i%2]
		s := b.setup(in(1, 7), in(0, 2))
		bend := in(1, 7)
		s.over, s.Over = nil, s.Run*math.Tan(sim.Radians(bend))
		s.Tension, s.Chain.Bevel, s.Chain.Slack, s.Chain.Seat = in(1, 40), in(0, 0.9), sim.Radians(in(0, 1.3)), in(0, 0.2)
		s.Chain.Stiffness, s.Run = 1000*in(20, 280), in(300, 650)
		s.Cogs = s.Cogs[:1+i%len(s.Cogs)]
		s.most = 14
		out, err := Run(s)
		require.NoError(t, err)
		require.NotEmpty(t, out.Frames)
		last := math.Inf(-1)
		for _, f := range out.Frames {
			assert.Greater(t, f.Angle, last)
			last = f.Angle
			for k, l := range f.Links {
				require.False(t, math.IsNaN(l.X+l.Z+l.Y+l.Height+l.Lean+l.Force) || math.IsInf(l.X+l.Z+l.Y+l.Height+l.Lean+l.Force, 0), "%d", i)
				assert.GreaterOrEqual(t, l.Force, 0.0)
				if k > 0 {
					p := f.Links[k-1]
					assert.Less(t, math.Hypot(l.X-p.X, l.Z-p.Z), s.Chain.Pitch+1e-6, "%d: middles of neighbours are never further apart than a pitch", i)
				}
			}
		}
	}
}

func TestSetupsThatCannotBe(t *testing.T) {
	for name, spoil := range map[string]func(*Setup){
		"no wheel":      func(s *Setup) { s.Cogs = nil },
		"no run":        func(s *Setup) { s.Run = 0 },
		"no pull":       func(s *Setup) { s.Tension = math.NaN() },
		"far end":       func(s *Setup) { s.Over = math.Inf(1) },
		"friction":      func(s *Setup) { s.Chain.Seat = math.NaN() },
		"roll":          func(s *Setup) { s.Roll = -1 },
		"wheel of none": func(s *Setup) { s.Cogs[1].Teeth = 0 },
	} {
		s := big.setup(3, 1)
		spoil(s)
		_, err := Run(s)
		assert.ErrorContains(t, err, "fall: ", name)
	}
}
