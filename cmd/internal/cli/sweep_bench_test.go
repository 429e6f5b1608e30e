package cli

import (
	"context"
	"fmt"
	"testing"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
	"chainpath/sim/sweep"
)

// rowerFor makes a sweep of a case ready.
func rowerFor(t testing.TB, name string, o *sweepOptions) *rower {
	c, err := cases.Load(name, nil)
	if err != nil {
		t.Fatal(err)
	}
	w, err := o.ready(c)
	if err != nil {
		t.Fatal(err)
	}
	return &rower{w: w, format: show.NewSweepFormat(w.Columns, o.columns(), o.format == "jsonl"), o: o}
}

// BenchmarkSweep is whole rows, from the design's number to the row's bytes, on one
// and on two goroutines: designs/s is what to compare.
func BenchmarkSweep(b *testing.B) {
	for _, workers := range []int{1, 2} {
		b.Run(fmt.Sprintf("workers-%d", workers), func(b *testing.B) {
			r := rowerFor(b, "trail", &sweepOptions{vary: []string{"front.line=46:56:0.01", "frame.stay=420:450:0.001"}})
			b.ReportAllocs()
			n := 0
			for b.Loop() {
				job := sweep.Job{Designs: n + 100*sweep.BlockSize, From: n, Workers: workers}
				if err := sweep.Run(context.Background(), job, r.worker, func([]byte, sweep.Block) error { return nil }); err != nil {
					b.Fatal(err)
				}
				n += 100 * sweep.BlockSize
			}
			b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "designs/s")
		})
	}
}

// BenchmarkSweepShifts is the same rows with and without the columns of shifts, on one
// goroutine.
func BenchmarkSweepShifts(b *testing.B) {
	for _, shifts := range []bool{false, true} {
		b.Run(fmt.Sprintf("shifts-%v", shifts), func(b *testing.B) {
			r := rowerFor(b, "trail", &sweepOptions{vary: []string{"front.line=46:56:0.01", "frame.stay=420:450:0.001"}, shifts: shifts})
			b.ReportAllocs()
			work := r.worker()
			n := 0
			var buf []byte
			for b.Loop() {
				buf, _ = work(context.Background(), buf[:0], sweep.Block{From: n, To: n + 16})
				n += 16
			}
			b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "designs/s")
		})
	}
}
