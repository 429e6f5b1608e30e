package cli

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"testing"
	"time"

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

// BenchmarkSweepShifts is how many times as long rows take with the columns of shifts, with chances
// and without: medians, both by turns in one loop, so that what else the machine does falls on both.
func BenchmarkSweepShifts(b *testing.B) {
	for _, name := range []string{"trail", "tourer"} {
		for _, chances := range []bool{false, true} {
			rows := 64
			if chances {
				rows = 1
			}
			b.Run(fmt.Sprintf("%s/chances-%v", name, chances), func(b *testing.B) {
				var work [2]func(context.Context, []byte, sweep.Block) ([]byte, int)
				for i := range work {
					work[i] = rowerFor(b, name, &sweepOptions{vary: []string{"front.line=46:50:0.01", "frame.stay=420:450:0.001"}, bare: !chances, shifts: i == 1}).worker()
				}
				var took [2][]float64
				var buf []byte
				n := 0
				for b.Loop() {
					for i := range work {
						begun := time.Now()
						buf, _ = work[i](context.Background(), buf[:0], sweep.Block{From: n, To: n + rows})
						took[i] = append(took[i], float64(time.Since(begun).Nanoseconds())/float64(1000*rows))
					}
					n += rows
				}
				for i := range took {
					slices.Sort(took[i])
				}
				without, with := took[0][len(took[0])/2], took[1][len(took[1])/2]
				b.ReportMetric(with/without, "times-as-long")
				b.ReportMetric(without, "µs/row-without")
			})
		}
	}
}
