package indexing

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// Even returns a straight rear of n cogs with matching stops.
func Even(n int, pitch float64) *Rear {
	r := &Rear{Planes: make([]float64, n), Stops: make([]float64, n), Aside: make([]float64, n), Pitch: pitch}
	for k := range n {
		r.Planes[k] = -pitch * float64(k)
		r.Stops[k] = r.Planes[k]
	}
	return r
}

var middle = Unknowns{Room: 0.4, Kappa: 1.6}

// The check rows that came with the model, to four digits: those without a hanger, which
// knows the derailleur's reach (the others are package sim's).
func TestCheckRows(t *testing.T) {
	ten := []int{11, 12, 13, 14, 15, 17, 19, 21, 23, 25}
	nine := []int{11, 12, 14, 16, 18, 21, 24, 28, 32}
	for _, row := range []struct {
		name               string
		cogs               []int
		pitch              float64
		change             func(r *Rear)
		width, best        float64
		from, to           int
		own, whole, chance float64
	}{
		{"straight", ten, 3.95, nil, 1.58, 0, 19, 17, 0.79, 0.79, 0.0001},
		{"spacer +0.21", ten, 3.95, func(r *Rear) { r.Spacer(4, 0.21) }, 1.118, -0.105, 17, 15, 0.559, 0.559, 0.0009},
		{"spacer -0.21", ten, 3.95, func(r *Rear) { r.Spacer(4, -0.21) }, 1.37, 0.105, 17, 15, 0.685, 0.685, 0.0002},
		{"step 1.055", ten, 3.95, func(r *Rear) { r.Pull(1.055) }, 0.0592, 0.9776, 11, 12, 0.0296, 0.0296, 0.4085},
		{"step 0.914", ten, 3.95, func(r *Rear) { r.Pull(0.914) }, -1.4773, -1.5286, 23, 25, -0.7386, -0.7386, 0.9999},
		{"cog out", nine, 4.34, func(r *Rear) { r.Planes[7] += 0.4 }, 0.856, 0.2, 28, 32, 0.428, 0.428, 0.0047},
		{"cog in", nine, 4.34, func(r *Rear) { r.Planes[7] -= 0.4 }, 0.856, -0.2, 32, 28, 0.668, 0.668, 0.0002},
		{"set inboard, friction", ten, 3.95, func(r *Rear) { r.Friction, r.Off = 0.1, -0.9 }, 1.38, 0, 12, 11, -0.21, -0.21, 0.9325},
	} {
		r := Even(len(row.cogs), row.pitch)
		if row.change != nil {
			row.change(r)
		}
		var m Margins
		m.Of(r, middle.Middle(len(row.cogs)))
		assert.InDelta(t, row.width, m.Width(), 6e-5, row.name)
		assert.InDelta(t, row.best, m.Best, 6e-5, row.name)
		found := false
		for _, s := range Shifts(len(row.cogs)) {
			if row.cogs[s.From()] == row.from && row.cogs[s.To()] == row.to {
				found = true
				assert.InDelta(t, row.own, m.Own(s), 6e-5, row.name)
				assert.InDelta(t, row.whole, m.Whole(s), 6e-5, row.name)
				assert.InDelta(t, row.chance, Late(m.Whole(s)), 6e-5, row.name)
			}
		}
		assert.True(t, found, row.name)
	}
}

// More of an error is never better: alone on a straight bicycle whatever it is, and friction,
// play and a cable further off on any. Of two errors one may even the other out.
func TestMoreErrorIsNeverBetter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 13).Draw(t, "cogs") // of two the gears need no neighbour beyond, and a step too long helps
		u := Unknowns{Room: rapid.Float64Range(0.1, 0.7).Draw(t, "room"), Kappa: rapid.Float64Range(1, 2.5).Draw(t, "kappa")}
		d := u.Middle(n)
		less := rapid.Float64Range(-1, 1).Draw(t, "error")
		more := less * rapid.Float64Range(1, 3).Draw(t, "times")
		at := rapid.IntRange(0, n-2).Draw(t, "at")
		kind := rapid.SampledFrom([]string{"pull", "spacer", "cog", "trend", "friction", "play", "off"}).Draw(t, "kind")
		put := func(r *Rear, x float64) *Rear {
			switch kind {
			case "pull":
				r.Pull(1 + x/10)
			case "spacer":
				r.Spacer(at, x)
			case "cog":
				r.Planes[at] += x
			case "trend":
				for k := range r.Aside {
					r.Aside[k] += x * float64(k-at) / float64(n)
				}
			case "friction":
				r.Friction += max(x, -x)
			case "play":
				r.Play += max(x, -x)
			case "off":
				r.Off = x
			}
			return r
		}
		var a, b Margins
		a.Of(put(Even(n, 4), less), d)
		b.Of(put(Even(n, 4), more), d)
		assert.LessOrEqual(t, b.Width(), a.Width()+1e-12, kind)
		assert.LessOrEqual(t, b.Least(), a.Least()+1e-12, kind)

		if kind == "friction" || kind == "play" || kind == "off" { // on any bike
			some := Even(n, 4)
			for k := range n {
				some.Planes[k] += rapid.Float64Range(-0.5, 0.5).Draw(t, "plane")
				some.Stops[k] += rapid.Float64Range(-0.5, 0.5).Draw(t, "stop")
			}
			a.Of(put(some.Clone(), less), d)
			b.Of(put(some.Clone(), more), d)
			assert.LessOrEqual(t, b.Least(), a.Least()+1e-12, kind)
		}
	})
}

func BenchmarkTwelve(b *testing.B) {
	r, d := Even(12, 3.65), middle.Middle(12)
	var m Margins
	b.ReportAllocs()
	for b.Loop() {
		m.Of(r, d)
	}
}
