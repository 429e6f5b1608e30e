package cli

import (
	"fmt"
	"io"
	"math"
	"path/filepath"
	"runtime"
	"time"

	"chainpath/cmd/internal/show"
	"chainpath/sim"
	"chainpath/sim/sweep"
)

// forecast is what a sweep is going to take.
type forecast struct {
	designs int
	time    time.Duration
	bytes   float64
}

// The designs that a forecast is made from, how long it may try, and from when on it
// is worth saying.
const (
	forecastMost = 48
	forecastTime = 2 * time.Second
	longWork     = time.Hour
)

// ahead computes some designs spread over a job, and returns what all of it takes.
// The first few fill tables, so that the later half tells. The clock is time.Now but in tests.
func (r *rower) ahead(job sweep.Job, clock func() time.Time) forecast {
	f := forecast{designs: job.Count()}
	d, e := r.w.Designer(), new(sim.Outcomes)
	row := &show.SweepRow{Values: make([]float64, len(r.w.Plan.Variables))}
	var scratch, text []byte
	var took []time.Duration
	size, kept := 0, 0
	begun := clock()
	for i := range forecastMost {
		if i > 1 && clock().Sub(begun) > forecastTime {
			break
		}
		t := clock()
		r.compute(row, d, e, job.From+int(float64(job.Designs-job.From)*math.Mod(0.5+float64(i)*math.Phi, 1)))
		text = r.format.Append(text[:0], row)
		took = append(took, clock().Sub(t))
		if size += len(text); r.kept(row, scratch) {
			kept++
		}
	}
	late := took[len(took)/2:]
	sum := time.Duration(0)
	for _, t := range late {
		sum += t
	}
	workers := r.o.workers
	if n := runtime.GOMAXPROCS(0); workers <= 0 || workers > n {
		workers = n
	}
	f.time = time.Duration(float64(sum) / float64(len(late)) * float64(f.designs) / float64(workers))
	f.bytes = float64(size) / float64(len(took)) * float64(kept) / float64(len(took)) * float64(f.designs)
	return f
}

// short reports whether so many designs are done before a forecast is worth its time:
// without chances, --loss and --shifts a design takes some microseconds.
func (r *rower) short(job sweep.Job) bool {
	n := job.Count()
	return n < 1000 || n < 1000000 && r.o.bare && !r.o.loss && !r.o.shifts
}

// loud is how much work nobody is let in for silently.
const loud = 30 * 24 * time.Hour

// tooQuiet refuses work of a month and more of which nobody would see that it goes on.
func (o *sweepOptions) tooQuiet(rows *rower, job sweep.Job) error {
	if !o.quiet || rows.short(job) {
		return nil
	}
	if f := rows.ahead(job, time.Now); f.time > loud {
		return usagef("about %s of work ahead: %d designs; -q would not tell how far they are: leave it out, or take larger steps, --sample or --shard", hours(f.time), f.designs)
	}
	return nil
}

// say announces work of more than an hour, and rows that the disk does not hold; free
// is how many bytes it does, negative where that is not known.
func (f forecast) say(w io.Writer, free float64) {
	if f.time > longWork {
		fmt.Fprintf(w, "chainpath: about %s of work ahead: %d designs\n", hours(f.time), f.designs)
	}
	if free >= 0 && f.bytes > free {
		fmt.Fprintf(w, "chainpath: about %s of rows ahead, and the disk has %s free\n", gigabytes(f.bytes), gigabytes(free))
	}
}

func hours(t time.Duration) string {
	h := t.Hours()
	if h < 48 {
		return fmt.Sprintf("%.1f hours", h)
	}
	return fmt.Sprintf("%.3g days", h/24)
}

func gigabytes(n float64) string {
	if n < 1e9 {
		return fmt.Sprintf("%.0f MB", n/1e6)
	}
	return fmt.Sprintf("%.4g GB", n/1e9)
}

// announce says what is ahead where that is much.
func (o *sweepOptions) announce(s streams, rows *rower, out *rowsOut, job sweep.Job) {
	if rows.short(job) {
		return
	}
	free := -1.0
	if out.id != nil {
		free = freeBytes(filepath.Dir(out.path))
	}
	rows.ahead(job, time.Now).say(s.err, free)
}
