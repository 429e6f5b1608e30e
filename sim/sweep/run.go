package sweep

import (
	"context"
	"runtime"
	"sync"
)

// Shard is every N-th block of a sweep, from block I on.
type Shard struct{ I, N int }

// BlockSize is how many designs are worked on at a time, and what shards are made
// of.
const BlockSize = 256

// Job says what part of a sweep to run.
type Job struct {
	Designs int   // of the whole sweep
	From    int   // first design to work on
	Shard   Shard // zero: all blocks
	Workers int   // 0: one for each core
	Unit    int   // how many designs are worked on at a time, at most BlockSize, which 0 means; fewer where each takes long
}

// Block is a run of designs.
type Block struct{ From, To int }

// Worker appends the rows of a block to buf and returns it with the first design that
// was not done: b.To, or less when the context ended before.
type Worker func(ctx context.Context, buf []byte, b Block) (rows []byte, to int)

// Owns reports whether a design is the shard's.
func (s Shard) Owns(design int) bool { return s.N <= 1 || design/BlockSize%s.N == s.I }

// Count returns how many designs of a job there are to do.
func (j Job) Count() int { return max(j.Shard.before(j.Designs)-j.Shard.before(j.From), 0) }

// before returns how many of a shard's designs come before one.
func (s Shard) before(design int) int {
	if s.N <= 1 {
		return design
	}
	k := design / BlockSize // whole blocks, of which it has every N-th from I on
	n := BlockSize * ((k - s.I + s.N - 1) / s.N)
	if k <= s.I {
		n = 0
	}
	if s.Owns(design) {
		n += design % BlockSize
	}
	return n
}

// blocks calls f with each block of a job, in units, in order until it returns false.
func (j Job) blocks(f func(Block) bool) {
	step, first := 1, j.From/BlockSize
	unit := j.Unit
	if unit < 1 {
		unit = BlockSize
	}
	if j.Shard.N > 1 {
		step = j.Shard.N
		first += ((j.Shard.I-first)%step + step) % step
	}
	for k := first; k*BlockSize < j.Designs; k += step {
		end := min((k+1)*BlockSize, j.Designs)
		for from := max(k*BlockSize, j.From); from < end; from += unit {
			if !f(Block{from, min(from+unit, end)}) {
				return
			}
		}
	}
}

// Run works on a job's blocks on several cores and hands their results over in
// order. worker is called once for each goroutine and returns what it does with a
// block: appending its rows to a buffer, up to where it stopped because the context
// ended, or to the block's end. emit gets the rows of each block, or of its beginning,
// and may keep nothing of them. A cancelled context ends the run with its error, after
// what was done up to the first design that was not has been handed over; so does an
// error of emit, at once. What is kept at a time does not depend on the number of
// designs.
func Run(ctx context.Context, j Job, worker func() Worker, emit func(rows []byte, b Block) error) error {
	n := j.Workers
	if n <= 0 {
		n = runtime.GOMAXPROCS(0)
	}
	type result struct {
		rows []byte
		to   int
	}
	type task struct {
		block Block
		done  chan result
	}
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	todo, order := make(chan task), make(chan task, 2*n)
	buffers := sync.Pool{New: func() any { return new([]byte) }}
	var wg sync.WaitGroup
	for range n {
		work := worker()
		wg.Go(func() {
			for t := range todo {
				b := buffers.Get().(*[]byte)
				rows, to := work(ctx, (*b)[:0], t.block)
				t.done <- result{rows, to}
			}
		})
	}
	wg.Go(func() {
		defer close(todo)
		defer close(order)
		j.blocks(func(b Block) bool {
			if ctx.Err() != nil {
				return false
			}
			t := task{b, make(chan result, 1)}
			select {
			case order <- t:
			case <-ctx.Done():
				return false
			}
			todo <- t
			return true
		})
	})
	var failed error
	broken := false
	for t := range order {
		r := <-t.done
		if failed == nil && !broken {
			broken = r.to < t.block.To
			if failed = emit(r.rows, Block{t.block.From, r.to}); failed != nil {
				stop(failed)
			}
		}
		buffers.Put(&r.rows)
	}
	wg.Wait()
	if failed != nil {
		return failed
	}
	return context.Cause(ctx)
}
