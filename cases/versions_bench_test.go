package cases

import (
	"testing"

	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/judge"
)

// benched are the bikes that judging is measured on: one ring, two, three, and no tensioner.
var benched = []string{"trail", "road", "tourer", "single"}

func prepared(b *testing.B, name string) (*Case, *judge.Versions) {
	c, err := Load(name, nil)
	require.NoError(b, err)
	v, err := c.prepare(true)
	require.NoError(b, err)
	return c, v
}

// BenchmarkOwnBikes is every drawn bike laid and judged by itself: what the others are measured
// against, on one core.
func BenchmarkOwnBikes(b *testing.B) {
	for _, name := range benched {
		b.Run(name, func(b *testing.B) {
			c, v := prepared(b, name)
			sets, err := c.starts()
			require.NoError(b, err)
			d, err := c.Draws()
			require.NoError(b, err)
			var o sim.Odds
			n := len(v.Base.Rings) * len(v.Base.Cogs)
			o.Sizes = make([]sim.Sizes, n)
			to := make([]sim.Chances, n)
			b.ReportAllocs()
			for b.Loop() {
				for k := range sets {
					x, err := d.version(sets[k])
					require.NoError(b, err)
					require.NoError(b, o.Gears(to, x.Bike, x.Free, x.Links))
				}
			}
		})
	}
}

// BenchmarkFirstLook draws, lays and judges a bike that was not looked at before.
func BenchmarkFirstLook(b *testing.B) {
	for _, name := range benched {
		b.Run(name, func(b *testing.B) {
			c, _ := prepared(b, name)
			b.ReportAllocs()
			for b.Loop() {
				v, err := c.prepare(true)
				require.NoError(b, err)
				_, err = v.Foresee(v.Own())
				require.NoError(b, err)
			}
		})
	}
}

// BenchmarkDesign judges one more design, 1.3 mm further out, by versions that have seen it; with
// sizes, as answers have them, and without, as rows do.
func BenchmarkDesign(b *testing.B) {
	for _, name := range benched {
		for _, sizes := range []bool{true, false} {
			b.Run(name+map[bool]string{true: "/sizes", false: "/chances"}[sizes], func(b *testing.B) {
				_, v := prepared(b, name)
				d := v.Along([]float64{1.3})
				none := func(int, int, int, []sim.Chances, []sim.Sizes, error) {}
				require.NoError(b, v.Judge(d, sizes, none))
				b.ReportAllocs()
				for b.Loop() {
					require.NoError(b, v.Judge(d, sizes, none))
				}
			})
		}
	}
}

// BenchmarkMap judges 41 places of the rings, from the first look on.
func BenchmarkMap(b *testing.B) {
	var shifts []float64
	for s := -10.0; s <= 10; s += 0.5 {
		shifts = append(shifts, s)
	}
	for _, name := range benched {
		b.Run(name, func(b *testing.B) {
			c, _ := prepared(b, name)
			b.ReportAllocs()
			for b.Loop() {
				_, err := c.ChancesAlong(shifts)
				require.NoError(b, err)
			}
		})
	}
}

// BenchmarkRow is a row of a sweep over front chainline and stay, its bike built from the case.
func BenchmarkRow(b *testing.B) {
	c, err := Load("trail", nil)
	require.NoError(b, err)
	var p SweepPlan
	for _, f := range []string{"front.line=46:56:0.05", "frame.stay=425:445:0.5"} {
		v, err := VaryFlag(f)
		require.NoError(b, err)
		p.Vary = append(p.Vary, v)
	}
	s, err := p.For(c)
	require.NoError(b, err)
	d, x := s.Designer(), make([]float64, 2)
	row := func(n int) {
		s.Plan.Design(x, n%8000)
		_, err := d.Bike(x)
		require.NoError(b, err)
		_, err = d.Chances(0)
		require.NoError(b, err)
	}
	for n := range 500 {
		row(17 * n)
	}
	n := 0
	b.ReportAllocs()
	for b.Loop() {
		row(n)
		n++
	}
}
