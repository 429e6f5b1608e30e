package sim

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"chainpath/geom"
)

// randomDrive returns a bike with a cage, of dimensions that bikes may have and of some that
// they hardly have.
func randomDrive(rng *rand.Rand) *Bike {
	u := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	b := trail()
	b.Rings = b.Rings[:1]
	b.Rings[0].Teeth = 20 + 2*rng.IntN(18)
	b.Frame = Frame{Stay: u(370, 650), Drop: u(-20, 90)}
	line, teeth := b.Cogs[0].Line, 9+rng.IntN(6)
	b.Cogs = b.Cogs[:0]
	for range 3 + rng.IntN(9) {
		b.Cogs = append(b.Cogs, Wheel{sprocket(teeth), line})
		teeth, line = teeth+1+rng.IntN(5), line-3.8
	}
	t := b.Tensioner
	t.Guide.Teeth, t.Tension.Teeth = 10+rng.IntN(5), 10+rng.IntN(6)
	t.Cage = u(56, 150)
	t.Direction = Radians(u(-40, 50))
	t.Gap = [2]float64{u(4, 30), u(3, 15)}
	t.Folded, t.Stretched = Radians(u(-120, -50)), Radians(u(40, 110))
	return b
}

// scanned is the drawn loop by package geom alone, at angles of a fine scan from stop to
// stop, with each wrap kept continuous from the folded stop on.
type scanned struct {
	length []float64 // pitches
	step   float64   // rad
	held   int       // angles, from the folded stop, at which every wheel holds the chain
}

func (b *Bike) scan(ring, cog int) (s scanned, ok bool) {
	var l Loop
	if b.lay(&l, ring, cog) != nil {
		return s, false
	}
	t := b.Tensioner
	const n = 1200
	s.step, s.held = (t.Stretched-t.Folded)/n, n+1
	var before [4]float64
	for i := range n + 1 {
		sin, cos := math.Sincos(t.Folded + s.step*float64(i))
		g := l.Wheels[AtGuide].Centre
		wheels := append([]geom.Wheel(nil), l.Wheels[:4]...)
		wheels[AtTension].Centre.X, wheels[AtTension].Centre.Y = g.X+t.Cage*sin, g.Y-t.Cage*cos
		p, err := bandOver(wheels)
		if err != nil {
			return s, false
		}
		sum := 0.0
		for k, w := range p.Wraps {
			if i > 0 { // no wheel's wrap changes by half a turn from one angle to the next
				w += 2 * math.Pi * math.Round((before[k]-w)/(2*math.Pi))
			}
			before[k] = w
			if w < 0 {
				s.held = min(s.held, i)
			}
			dy := l.side(k)
			sum += math.Hypot(p.Spans[k].Length, dy)/Pitch + l.teeth[k]*w/(2*math.Pi)
		}
		s.length = append(s.length, sum)
	}
	return s, true
}

// place returns the cage angle at which the scan holds a chain while its length falls.
func (s *scanned) place(folded, links float64) (angle float64, ok bool) {
	for i := 1; i < s.held; i++ {
		if a, b := s.length[i-1], s.length[i]; a >= links && b < links {
			return folded + s.step*(float64(i-1)+(a-links)/(a-b)), true
		}
	}
	return 0, false
}

// A gear's answer does not hang on the gears that are listed beside it: laid alone, laid in a
// row after others and found by a scan over the cage's angle it is the same.
func TestTheSameGearTheSameAnswer(t *testing.T) {
	rng := rand.New(rand.NewPCG(23, 2))
	bikes := 3000
	if testing.Short() {
		bikes = 300
	}
	scans, closed, left := 0, 0, 0
	for i := range bikes {
		b := randomDrive(rng)
		links, err := b.ChooseLinks()
		if err != nil {
			continue
		}
		links += 2 * (rng.IntN(7) - 3)
		var row near
		asked := rng.IntN(len(b.Cogs)) // by the scan too, which is slow
		for cog := range b.Cogs {
			var alone, after Loop
			fit, err := b.Close(&alone, 0, cog, links)
			if err != nil {
				row = near{}
				continue
			}
			inRow, err := b.closeNear(&after, 0, cog, links, &row)
			require.NoError(t, err)
			require.Equal(t, fit.Closes, inRow.Closes, "bike %d, cog %d", i, cog)
			require.Equal(t, fit.Short, inRow.Short, "bike %d, cog %d", i, cog)
			require.InDelta(t, fit.Slack, inRow.Slack, 1e-9, "bike %d, cog %d", i, cog)
			require.InDelta(t, alone.cageAngle(), after.cageAngle(), 1e-8, "bike %d, cog %d", i, cog)
			if fit.Closes {
				require.InDelta(t, float64(links), alone.length(), 1e-8)
				for _, w := range alone.Wraps {
					require.GreaterOrEqual(t, w, 0.0)
				}
			}
			if cog != asked {
				continue
			}
			s, ok := b.scan(0, cog)
			if !ok {
				continue
			}
			scans++
			if s.held < len(s.length) {
				left++
			}
			angle, found := s.place(b.Tensioner.Folded, float64(links))
			if fit.Closes != found {
				// only at the tightest place, by less than a step of the scan
				require.InDelta(t, float64(links), s.shortest(), 6e-2, "bike %d, cog %d: closes %v, the scan %v", i, cog, fit, found)
				continue
			}
			if found {
				closed++
				require.InDelta(t, angle, alone.cageAngle(), s.step, "bike %d, cog %d", i, cog)
			}
		}
	}
	require.Greater(t, scans, bikes/2)
	require.Greater(t, closed, scans/3)
	require.Greater(t, left, scans/50, "some lose the guide pulley before the stop")
}

// shortest returns the least length at which every wheel holds the chain, pitches.
func (s *scanned) shortest() float64 {
	least := math.Inf(1)
	for _, n := range s.length[:s.held] {
		least = min(least, n)
	}
	return least
}
