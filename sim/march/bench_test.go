package march

import (
	"testing"

	"chainpath/sim"
)

// BenchmarkTwoTurns marches two turns of the cranks, one trial; steps/s is the
// number to look at, and turns/s against the one a second of 60 rpm.
func BenchmarkTwoTurns(b *testing.B) {
	for _, way := range []sim.Direction{sim.Riding, sim.Backwards} {
		b.Run(way.String(), func(b *testing.B) {
			m := ready(b, bike(), 3, way, Set{Tolerance: loose, Turns: 2})
			b.ReportAllocs()
			steps, n := 0, uint64(0)
			for b.Loop() {
				out, err := m.Run(1, n, Observer{})
				if err != nil {
					b.Fatal(err)
				}
				steps += out.Steps
				n++
			}
			b.ReportMetric(float64(steps)/b.Elapsed().Seconds(), "steps/s")
			b.ReportMetric(2*float64(n)/b.Elapsed().Seconds(), "turns/s")
		})
	}
}
