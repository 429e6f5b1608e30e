package sim

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim/engage"
)

// The gap along a solved entry is the least of all its links, those that are passed over
// too, whichever way it leads and on whichever side the neighbour stands.
func TestGapAlongIsTheLeastOfAllLinks(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 119))
	b := trail()
	var s solver
	passed, inner := 0, 0
	for range 400 {
		cog := rng.IntN(len(b.Cogs) - 1)
		own, next := b.Cogs[cog], b.Cogs[cog+1]
		own.Line += rng.Float64() - 0.5
		if rng.IntN(2) == 0 { // outboard of it as well
			own.Line, next.Line = next.Line, own.Line
		}
		n := neighbour{own: own, next: next, chain: &b.Chain, strand: strandAt(own, &b.Chain, 0.08*(2*rng.Float64()-1))}
		bend := math.Atan(n.strand.Drift)
		require.NoError(t, s.entry.SetFor(own.Entry(b.Chain.Pitch), b.Chain.Chain, engage.Link(rng.IntN(2)), 5+300*rng.Float64(), bend))
		if _, st := s.entry.Offset(bend); st != engage.Solved {
			continue
		}
		sign := math.Copysign(1, bend)
		got := n.along(&s.entry, sign)
		var least Gap
		edge, full, slope := next.taper()
		rim, links, at := next.TipRadius(b.Chain.Pitch), 0, 0
		for _, band := range n.bands() {
			strip := n.strand
			strip.Half = band.half
			from, to, ok := strip.Inside(rim)
			if !ok {
				continue
			}
			for v := to; v > from; {
				u := max(s.entry.PinBefore(v), from)
				y, z := own.Line+sign*(s.entry.At(u)-s.entry.At(0)), own.Line+sign*(s.entry.At(v)-s.entry.At(0))
				strip.From, strip.To, strip.Drift = u, v, (z-y)/(v-u)
				strip.Start = y - strip.Drift*u
				g, where, ok := strip.TaperGap(rim, next.Line, n.side(), edge, full, slope)
				was := least
				least.keepMin(Gap{Valid: ok, MM: g - band.width/2, At: where})
				links++
				if least != was {
					at = links
				}
				v = u
			}
		}
		require.Equal(t, least.Valid, got.Valid)
		if least.Valid {
			assert.InDelta(t, least.MM, got.MM, 1e-12)
			passed++
			if at > 1 {
				inner++
			}
		}
	}
	assert.Greater(t, passed, 200)
	assert.Greater(t, inner, 50, "not the first link looked at")
}
