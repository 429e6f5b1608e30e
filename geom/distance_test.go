package geom_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"chainpath/geom"
)

func vec(t *rapid.T, name string) r3.Vec {
	f := rapid.Float64Range(-10, 10)
	return r3.Vec{X: f.Draw(t, name), Y: f.Draw(t, name), Z: f.Draw(t, name)}
}

// The independent answer scans both segments on a grid, then refines around
// the best pair.
func TestSegmentDistanceAgainstScan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := geom.Segment{A: vec(t, "a"), B: vec(t, "b")}
		q := geom.Segment{A: vec(t, "c"), B: vec(t, "d")}
		got, tp, tq := geom.SegmentDistance(p, q)
		assert.InDelta(t, got, r3.Norm(r3.Sub(p.At(tp), q.At(tq))), 1e-12)
		lp, hp, lq, hq := 0.0, 1.0, 0.0, 1.0
		best := math.Inf(1)
		for round := 0; round < 12; round++ {
			bp, bq := 0.0, 0.0
			for i := 0; i <= 40; i++ {
				for j := 0; j <= 40; j++ {
					x, y := lp+(hp-lp)*float64(i)/40, lq+(hq-lq)*float64(j)/40
					if d := r3.Norm(r3.Sub(p.At(x), q.At(y))); d <= best {
						best, bp, bq = d, x, y
					}
				}
			}
			dp, dq := (hp-lp)/10, (hq-lq)/10
			lp, hp = math.Max(0, bp-dp), math.Min(1, bp+dp)
			lq, hq = math.Max(0, bq-dq), math.Min(1, bq+dq)
		}
		assert.LessOrEqual(t, got, best+1e-9)
		assert.InDelta(t, best, got, 0.05) // the scan may refine beside the best pair
	})
}

func TestSegmentDistanceOfParallelAndPointSegments(t *testing.T) {
	x := geom.Segment{B: r3.Vec{X: 10}}
	d, _, _ := geom.SegmentDistance(x, geom.Segment{A: r3.Vec{X: 2, Y: 3}, B: r3.Vec{X: 8, Y: 3}})
	assert.InDelta(t, 3, d, 1e-12)
	d, _, _ = geom.SegmentDistance(x, geom.Segment{A: r3.Vec{X: 13, Y: 4}, B: r3.Vec{X: 20, Y: 4}})
	assert.InDelta(t, 5, d, 1e-12)
	d, _, _ = geom.SegmentDistance(geom.Segment{}, geom.Segment{A: r3.Vec{Z: 2}, B: r3.Vec{Z: 2}})
	assert.InDelta(t, 2, d, 1e-12)
}

// The independent answer measures from points of the strip to the torus in
// space.
func TestTorusGapAgainstPointsInSpace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := geom.Strip{
			Height: rapid.Float64Range(10, 60).Draw(t, "height"),
			Half:   rapid.Float64Range(1, 6).Draw(t, "half"),
			Start:  rapid.Float64Range(35, 60).Draw(t, "start"),
			Drift:  rapid.Float64Range(-0.1, 0.1).Draw(t, "drift"),
			From:   rapid.Float64Range(-100, 0).Draw(t, "from"),
			To:     rapid.Float64Range(350, 450).Draw(t, "to"),
		}
		major, minor := rapid.Float64Range(250, 330).Draw(t, "major"), 28.0
		got, u := s.TorusGap(major, minor, 0)
		best := math.Inf(1)
		for i := 0; i <= 4000; i++ {
			v := s.From + (s.To-s.From)*float64(i)/4000
			for j := -20; j <= 20; j++ {
				pt := r3.Vec{X: v, Y: s.Height + s.Half*float64(j)/20, Z: s.Start + s.Drift*v}
				d := math.Hypot(math.Hypot(pt.X, pt.Y)-major, pt.Z) - minor
				best = math.Min(best, d)
			}
		}
		assert.InDelta(t, best, got, 2e-3)
		assert.LessOrEqual(t, got, best+1e-9)
		assert.GreaterOrEqual(t, u, s.From)
		assert.LessOrEqual(t, u, s.To)
	})
}

// Beside a flat disc the gap is least where the strip drifts off over the rim.
func TestTaperGapOfAFlatDisc(t *testing.T) {
	s := geom.Strip{Height: 30, Half: 4, Start: 5, Drift: -0.05, To: 400}
	gap, u, ok := s.TaperGap(50, 1, +1, 1, 1, 0.3)
	assert.True(t, ok)
	reach := math.Sqrt(50*50 - 26*26)
	assert.InDelta(t, reach, u, 1e-9)
	assert.InDelta(t, 5-0.05*reach-1-1, gap, 1e-9)

	// Mirrored: the same gap from the other side.
	s.Start, s.Drift = -s.Start, -s.Drift
	other, _, _ := s.TaperGap(50, -1, -1, 1, 1, 0.3)
	assert.InDelta(t, gap, other, 1e-12)

	gap, u, ok = s.TaperGap(26, 0, 1, 1, 1, 0.3)
	assert.False(t, ok, "a strip that stays outside the rim has no gap")
	assert.Zero(t, gap)
	assert.Zero(t, u)
}

// scan is TaperGap by looking at every step of a strip.
func scan(s geom.Strip, rim, at float64, side int, half func(depth float64) float64, step float64) (gap float64, ok bool) {
	from, to, ok := s.Inside(rim)
	gap = math.Inf(1)
	for u := from; ok && u <= to; u += step {
		near := math.Hypot(u, math.Max(0, s.Height-s.Half))
		gap = math.Min(gap, float64(side)*(s.Start+s.Drift*u-at)-half(math.Max(0, rim-near)))
	}
	return gap, ok
}

// TaperGap is what a fine scan of the same strip and disc gives.
func TestTaperGapAgainstScan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := geom.Strip{
			Height: rapid.Float64Range(15, 100).Draw(t, "height"),
			Half:   rapid.Float64Range(1, 5).Draw(t, "half"),
			Start:  rapid.Float64Range(-5, 5).Draw(t, "start"),
			Drift:  rapid.Float64Range(-0.4, 0.4).Draw(t, "drift"),
			From:   rapid.Float64Range(-20, 5).Draw(t, "from"),
			To:     rapid.Float64Range(20, 400).Draw(t, "to"),
		}
		rim := s.Height + rapid.Float64Range(-6, 15).Draw(t, "rim")
		edge := rapid.Float64Range(0.2, 1).Draw(t, "edge")
		full := edge + rapid.Float64Range(0, 1).Draw(t, "full")
		slope := rapid.Float64Range(0.05, 1).Draw(t, "slope")
		side := rapid.SampledFrom([]int{-1, 1}).Draw(t, "side")
		got, u, ok := s.TaperGap(rim, 1, side, edge, full, slope)
		half := func(d float64) float64 { return math.Min(full, edge+slope*d) }
		want, is := scan(s, rim, 1, side, half, 0.01)
		require.Equal(t, is, ok)
		if !ok {
			return
		}
		assert.LessOrEqual(t, got, want+1e-12)
		assert.InDelta(t, want, got, 0.01)
		near := math.Hypot(u, math.Max(0, s.Height-s.Half))
		assert.InDelta(t, got, float64(side)*(s.Start+s.Drift*u-1)-half(math.Max(0, rim-near)), 1e-9)
	})
}

// What TorusBeyond calls farther is farther.
func TestTorusBeyondIsSure(t *testing.T) {
	sure := 0
	rapid.Check(t, func(t *rapid.T) {
		s := geom.Strip{
			Height: rapid.Float64Range(10, 110).Draw(t, "height"),
			Half:   4,
			Start:  rapid.Float64Range(-20, 60).Draw(t, "start"),
			Drift:  rapid.Float64Range(-0.15, 0.15).Draw(t, "drift"),
			From:   rapid.Float64Range(-20, 50).Draw(t, "from"),
			To:     rapid.Float64Range(150, 450).Draw(t, "to"),
		}
		gap := rapid.Float64Range(-20, 30).Draw(t, "gap")
		if s.TorusBeyond(330, 28, 0, gap) {
			sure++
			d, _ := s.TorusGap(330, 28, 0)
			assert.GreaterOrEqual(t, d, gap-1e-9)
		}
	})
	assert.Positive(t, sure)
}
