package geom_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"chainpath/geom"
)

// Distances do not depend on the unit or the place, and shares not at all: the same two
// segments a million times larger and smaller, moved, and either one first or turned round.
func TestSegmentDistanceScales(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := geom.Segment{A: vec(t, "a"), B: vec(t, "b")}
		q := geom.Segment{A: vec(t, "c"), B: vec(t, "d")}
		d, tp, tq := geom.SegmentDistance(p, q)
		for _, k := range []float64{1e-6, 1e6} {
			scaled := func(s geom.Segment) geom.Segment { return geom.Segment{A: r3.Scale(k, s.A), B: r3.Scale(k, s.B)} }
			dk, _, _ := geom.SegmentDistance(scaled(p), scaled(q))
			assert.InDelta(t, d, dk/k, 1e-9)
		}
		back, tq2, tp2 := geom.SegmentDistance(q, p)
		assert.InDelta(t, d, back, 1e-9)
		turned, _, _ := geom.SegmentDistance(geom.Segment{A: p.B, B: p.A}, q)
		assert.InDelta(t, d, turned, 1e-9)
		for _, x := range []float64{tp, tq, tp2, tq2} {
			assert.True(t, x >= 0 && x <= 1)
		}
	})
}

// By hand: crossing lines one above the other, ends, corners, a point beside a segment, and
// points.
func TestSegmentDistanceByHand(t *testing.T) {
	at := func(x, y, z float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: z} }
	for _, c := range []struct {
		name       string
		p, q       geom.Segment
		d, tp, tq  float64
		sharesDown bool // whether the shares are the only ones
	}{
		{"crossing at a quarter and a half", geom.Segment{A: at(0, 0, 0), B: at(8, 0, 0)}, geom.Segment{A: at(2, -3, 7), B: at(2, 3, 7)}, 7, 0.25, 0.5, true},
		{"end to end", geom.Segment{A: at(0, 0, 0), B: at(1, 0, 0)}, geom.Segment{A: at(4, 4, 0), B: at(8, 9, 0)}, 5, 1, 0, true},
		{"a point beside a segment", geom.Segment{A: at(1, 2, 2), B: at(1, 2, 2)}, geom.Segment{A: at(0, 0, 0), B: at(4, 0, 0)}, math.Sqrt(8), 0, 0.25, true},
		{"a segment beside a point", geom.Segment{A: at(0, 0, 0), B: at(4, 0, 0)}, geom.Segment{A: at(1, 2, 2), B: at(1, 2, 2)}, math.Sqrt(8), 0.25, 0, true},
		{"two points", geom.Segment{A: at(1, 2, 2), B: at(1, 2, 2)}, geom.Segment{A: at(0, 0, 0), B: at(0, 0, 0)}, 3, 0, 0, true},
		{"parallel, side by side", geom.Segment{A: at(0, 0, 0), B: at(9, 0, 0)}, geom.Segment{A: at(1, 0, 2), B: at(3, 0, 2)}, 2, 0, 0, false},
		{"antiparallel, apart", geom.Segment{A: at(0, 0, 0), B: at(2, 0, 0)}, geom.Segment{A: at(9, 4, 0), B: at(5, 4, 0)}, 5, 1, 1, true},
	} {
		d, tp, tq := geom.SegmentDistance(c.p, c.q)
		assert.InDelta(t, c.d, d, 1e-12, c.name)
		if c.sharesDown {
			assert.InDelta(t, c.tp, tp, 1e-12, c.name)
			assert.InDelta(t, c.tq, tq, 1e-12, c.name)
		}
	}
}

// 5, 12, 13: a strip with its near edge 5 from the axis is within 13 of it for 12 both ways.
func TestStripInside(t *testing.T) {
	s := geom.Strip{Height: 7, Half: 2, From: -20, To: 30}
	for _, c := range []struct{ from, to, r, wantFrom, wantTo float64 }{
		{-20, 30, 13, -12, 12},
		{-4, 30, 13, -4, 12},
		{-20, 3, 13, -12, 3},
		{-4, 3, 13, -4, 3},
	} {
		s.From, s.To = c.from, c.to
		from, to, ok := s.Inside(c.r)
		assert.True(t, ok)
		assert.InDelta(t, c.wantFrom, from, 1e-12)
		assert.InDelta(t, c.wantTo, to, 1e-12)
	}
	for _, r := range []float64{5, 4, 0, -1, math.NaN()} {
		from, to, ok := s.Inside(r)
		assert.False(t, ok, "%g", r)
		assert.Zero(t, from)
		assert.Zero(t, to)
	}
	s.From, s.To = 12.5, 30
	_, _, ok := s.Inside(13)
	assert.False(t, ok, "the strip begins beyond")
	s.From = 12
	_, _, ok = s.Inside(13)
	assert.False(t, ok, "a point is no stretch")
	s = geom.Strip{Height: 1, Half: 2, From: -9, To: 9}
	from, to, ok := s.Inside(3)
	assert.True(t, ok)
	assert.Equal(t, [2]float64{-3, 3}, [2]float64{from, to}, "across the axis its distance is 0")
}

// The four places where the least gap to a tapered disc may lie, by hand.
func TestTaperGapByHand(t *testing.T) {
	// Where drift and taper balance: 3, 2.25 and 3.75 are a right triangle.
	const slope = 0.5
	s := geom.Strip{Height: 4, Half: 1, Start: 9, Drift: -0.6 * slope, From: -20, To: 20}
	for _, side := range []int{1, -1} {
		s := s
		s.Start, s.Drift = float64(side)*s.Start, float64(side)*s.Drift
		gap, u, ok := s.TaperGap(10, float64(side), side, 0.5, 100, slope)
		assert.True(t, ok)
		assert.InDelta(t, 2.25, u, 1e-12)
		assert.InDelta(t, 9-0.3*2.25-1-(0.5+slope*(10-3.75)), gap, 1e-12)
	}
	// Drift as steep as the taper: the end.
	s.Drift = -slope
	gap, u, _ := s.TaperGap(10, 1, 1, 0.5, 100, slope)
	end := math.Sqrt(100 - 9)
	assert.InDelta(t, end, u, 1e-12)
	assert.InDelta(t, 9-slope*end-1-0.5, gap, 1e-12)
	// No drift: beside the axis, and where it is full from a depth of 5 on, anywhere there.
	s.Drift = 0
	gap, u, _ = s.TaperGap(10, 1, 1, 0.5, 100, slope)
	assert.InDelta(t, 0, u, 1e-12)
	assert.InDelta(t, 8-0.5-slope*7, gap, 1e-12)
	gap, _, _ = s.TaperGap(10, 1, 1, 0.5, 0.5+slope*5, slope)
	assert.InDelta(t, 8-0.5-slope*5, gap, 1e-12)
	// Little drift and a full middle: where the taper begins, 4 along of a radius of 5.
	s.Drift = -0.1 * slope
	gap, u, _ = s.TaperGap(10, 1, 1, 0.5, 0.5+slope*5, slope)
	assert.InDelta(t, 4, u, 1e-12)
	assert.InDelta(t, 8-0.1*slope*4-0.5-slope*5, gap, 1e-12)
	s.Drift = -s.Drift
	_, u, _ = s.TaperGap(10, 1, 1, 0.5, 0.5+slope*5, slope)
	assert.InDelta(t, -4, u, 1e-12)
	// A strip that ends before.
	s.To = -6
	_, u, _ = s.TaperGap(10, 1, 1, 0.5, 0.5+slope*5, slope)
	assert.InDelta(t, -6, u, 1e-12)
}

// Without drift: across the circle the distance along the axis, before it and beyond it the
// distance of the end, by Pythagoras.
func TestTorusGapByHand(t *testing.T) {
	s := geom.Strip{Height: 10, Half: 3, Start: 24, To: 200}
	gap := func(from, to float64) float64 {
		s := s
		s.From, s.To = from, to
		g, u := s.TorusGap(85, 6, 4)
		assert.True(t, u >= from && u <= to)
		s.From, s.To = -to, -from
		turned, v := s.TorusGap(85, 6, 4)
		assert.InDelta(t, g, turned, 1e-12, "the other half is the same")
		assert.InDelta(t, u, -v, 1e-9)
		s.Start = 8 - s.Start
		mirrored, _ := s.TorusGap(85, 6, 4)
		assert.InDelta(t, g, mirrored, 1e-12)
		return g
	}
	assert.InDelta(t, 20-6, gap(0, 200), 1e-12)
	assert.InDelta(t, 20-6, gap(84, 84), 1e-9, "13, 84, 85: the far edge on the circle")
	assert.InDelta(t, math.Hypot(20, 85-math.Hypot(50, 13))-6, gap(1, 50), 1e-9)
	assert.InDelta(t, math.Hypot(20, 85-math.Hypot(0.5, 13))-6, gap(0, 0.5), 1e-9)
	assert.InDelta(t, math.Hypot(20, 85-math.Hypot(0.5, 13))-6, gap(-0.2, 0.5), 1e-9)
	assert.InDelta(t, math.Hypot(20, math.Hypot(99, 7)-85)-6, gap(99, 120), 1e-9)
	assert.InDelta(t, math.Hypot(20, math.Hypot(99, 7)-85)-6, gap(99, 99), 1e-9)
	for start, want := range map[float64]float64{4.3: 0.3 - 6, 3.7: 0.3 - 6, 4: -6} {
		s := geom.Strip{Height: 10, Half: 3, Start: start, From: 0, To: 200}
		g, _ := s.TorusGap(85, 6, 4)
		assert.InDelta(t, want, g, 1e-12, "near, and not across, the middle plane")
	}
}

// A strip that crosses the circle's plane where it spans the circle touches it there.
func TestTorusGapOfACrossingStrip(t *testing.T) {
	for _, drift := range []float64{0.05, -0.05} {
		s := geom.Strip{Height: 10, Half: 3, Start: 4 - 84.3*drift, Drift: drift, From: -20, To: 200}
		g, u := s.TorusGap(85, 6, 4)
		assert.InDelta(t, -6, g, 1e-12)
		assert.InDelta(t, 84.3, u, 1e-9)
		s.From, s.To, s.Drift = -200, 20, -drift
		g, u = s.TorusGap(85, 6, 4)
		assert.InDelta(t, -6, g, 1e-12)
		assert.InDelta(t, -84.3, u, 1e-9)
	}
}

// A strip as high as the axis runs beyond the circle as a line in the plane of axis and
// strip: its distance from the circle there is that of a point from a line.
func TestTorusGapBeyondIsThatOfALine(t *testing.T) {
	for _, x := range [][2]float64{{30, -0.08}, {22, -0.05}, {-30, 0.08}, {-12, 0.02}} {
		start, drift := x[0], x[1]
		s := geom.Strip{Height: 2, Half: 2, Start: start, Drift: drift, From: 85.001, To: 300}
		g, u := s.TorusGap(85, 6, 0)
		at := start + drift*85
		assert.InDelta(t, math.Abs(at)/math.Hypot(1, drift)-6, g, 1e-6)
		assert.InDelta(t, 85-at*drift/(1+drift*drift), u, 1e-3)
	}
}

// 13, 84, 85: a strip whose far edge is 13 from the axis comes within 85 of it 84 along; up to
// there a circle of 100 is more than 15 away, wherever the strip lies along the axis.
func TestTorusBeyondByHand(t *testing.T) {
	s := geom.Strip{Height: 10, Half: 3}
	for _, c := range []struct {
		from, to, start, drift float64
		want                   bool
	}{
		{0, 83.9, 0, 0, true},
		{-83.9, 83.9, 0, 0, true},
		{0, 84.1, 0, 0, false},
		{0, 300, 15, 0, true},
		{0, 300, 14.9, 0, false},
		{0, 300, -15, 0, true},
		{0, 300, -14.9, 0, false},
		{-84.1, 300, 40, 0, false}, // says nothing
		{0, 184, 15.01 - 8.4, 0.1, true},
		{0, 184, 15 - 8.5, 0.1, false},
		{0, 184, 15.01 + 18.4, -0.1, true},
		{0, 184, 15 + 18.3, -0.1, false},
		{0, 184, -15.01 + 8.4, -0.1, true},
		{0, 184, -15 - 18.3, 0.1, false},
		{100, 184, 15.01 - 10, 0.1, true},
		{100, 184, 15 - 10.1, 0.1, false},
	} {
		s.From, s.To, s.Start, s.Drift = c.from, c.to, c.start+2, c.drift
		assert.Equal(t, c.want, s.TorusBeyond(100, 10, 2, 5), "%+v", c)
	}
	s = geom.Strip{Height: 10, Half: 3, Start: 15, To: 20}
	assert.True(t, s.TorusBeyond(20, 10, 0, 5), "a circle within reach of the axis: the strip's side decides")
	s.Start = 14.9
	assert.False(t, s.TorusBeyond(20, 10, 0, 5))
	assert.False(t, s.TorusBeyond(100, 10, 0, -11), "deeper than the tube's middle nothing is")
	s.To = 10
	assert.True(t, s.TorusBeyond(100, 10, 0, -10))
}

// Two discs moved, turned over, along and across: hypotenuse, the way out, touching.
func TestDiscGapByHand(t *testing.T) {
	for _, c := range []struct {
		name                 string
		x, y, at, half, want float64
	}{
		{"3, 4, 5 either side", 16 + 2, 0, 6, 1, 5},
		{"across alone", 0, 20, 0, 1, 20 - 15},
		{"along alone", 1, 1, 9, 2, 9 - 1 - 2},
		{"touching across", 15, 0, 0.5, 1, 0},
		{"across is the shorter way out", 14, 0, 0, 4, -1},
		{"along is the shorter way out", 1, 0, 2, 2, -1},
		{"apart across, side by side along", 9, 12 + 4*0.8, 2, 1, math.Hypot(9, 15.2) - 15},
	} {
		a := geom.Disc{Centre: r2.Vec{X: -3, Y: 7}, Radius: 10, At: 40, Half: 1}
		for _, side := range []float64{1, -1} {
			b := geom.Disc{Centre: r2.Vec{X: -3 + side*c.x, Y: 7 - side*c.y}, Radius: 5, At: 40 + side*c.at, Half: c.half}
			assert.InDelta(t, c.want, a.Gap(b), 1e-12, c.name)
			assert.InDelta(t, c.want, b.Gap(a), 1e-12, c.name)
		}
	}
}
