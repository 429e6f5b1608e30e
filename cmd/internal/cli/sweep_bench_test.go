package cli

import (
	"context"
	"fmt"
	"path/filepath"
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
			r := rowerFor(b, "trail", &sweepOptions{bare: true, vary: []string{"front.line=46:56:0.01", "frame.stay=420:450:0.001"}})
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

// BenchmarkSweepProof is the same rows on one goroutine, thrown away and into a file with
// its proof: a half and half comparison of what writing, hashing and marking take.
func BenchmarkSweepProof(b *testing.B) {
	for _, file := range []bool{false, true} {
		b.Run(fmt.Sprintf("file-%v", file), func(b *testing.B) {
			o := &sweepOptions{bare: true, vary: []string{"front.line=46:56:0.01", "frame.stay=420:450:0.001"}, format: "csv"}
			r := rowerFor(b, "trail", o)
			job := sweep.Job{Designs: r.w.Plan.Designs(), Workers: 1}
			emit := func([]byte, sweep.Block) error { return nil }
			if file {
				o.out = filepath.Join(b.TempDir(), "rows")
				out, err := o.open(streams{}, r, &job)
				if err != nil {
					b.Fatal(err)
				}
				defer out.close()
				emit = out.block
			}
			b.ReportAllocs()
			n := 0
			for b.Loop() {
				job.From, job.Designs = n, n+100*sweep.BlockSize
				if err := sweep.Run(context.Background(), job, r.worker, emit); err != nil {
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
			r := rowerFor(b, "trail", &sweepOptions{bare: true, vary: []string{"front.line=46:56:0.01", "frame.stay=420:450:0.001"}, shifts: shifts})
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
