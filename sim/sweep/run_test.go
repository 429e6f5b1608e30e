package sweep

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"sort"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func numbers() Worker {
	return func(_ context.Context, buf []byte, b Block) ([]byte, int) {
		if rand.IntN(4) == 0 {
			time.Sleep(time.Millisecond) // blocks end in any order
		}
		for i := b.From; i < b.To; i++ {
			buf = fmt.Appendf(buf, "%d\n", i)
		}
		return buf, b.To
	}
}

func rows(t require.TestingT, j Job) string {
	var out bytes.Buffer
	require.NoError(t, Run(context.Background(), j, numbers, func(r []byte, _ Block) error { out.Write(r); return nil }))
	return out.String()
}

func all(from, to int) string {
	var b strings.Builder
	for i := from; i < to; i++ {
		fmt.Fprintln(&b, i)
	}
	return b.String()
}

func TestRowsComeInOrder(t *testing.T) {
	for _, workers := range []int{1, 2, 7} {
		assert.Equal(t, all(0, 5000), rows(t, Job{Designs: 5000, Workers: workers}))
	}
	assert.Empty(t, rows(t, Job{Designs: 100, From: 100}))
}

// Going on from anywhere gives the rest, and shards share out every design once.
func TestResumeAndShards(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 3000).Draw(t, "designs")
		from := rapid.IntRange(0, n).Draw(t, "from")
		assert.Equal(t, all(from, n), rows(t, Job{Designs: n, From: from, Workers: 3}))
		shards := rapid.IntRange(1, 6).Draw(t, "shards")
		var lines []string
		sum := 0
		for i := range shards {
			j := Job{Designs: n, From: from, Shard: Shard{i, shards}, Workers: 2, Unit: rapid.SampledFrom([]int{0, 1, 7, 100}).Draw(t, "unit")}
			part := strings.Fields(rows(t, j))
			assert.Len(t, part, j.Count())
			sum += j.Count()
			for _, l := range part {
				var k int
				_, _ = fmt.Sscan(l, &k)
				assert.True(t, j.Shard.Owns(k))
			}
			lines = append(lines, part...)
		}
		assert.Equal(t, n-from, sum)
		sort.Slice(lines, func(a, b int) bool {
			return len(lines[a]) < len(lines[b]) || len(lines[a]) == len(lines[b]) && lines[a] < lines[b]
		})
		assert.Equal(t, strings.Fields(all(from, n)), append([]string{}, lines...))
	})
}

func TestStops(t *testing.T) {
	full := errors.New("disk full")
	var out bytes.Buffer
	err := Run(context.Background(), Job{Designs: 1e9, Workers: 3}, numbers, func(r []byte, b Block) error {
		if b.From >= 2000 {
			return full
		}
		out.Write(r)
		return nil
	})
	assert.ErrorIs(t, err, full)
	assert.Equal(t, all(0, 2048), out.String())

	ctx, cancel := context.WithCancel(context.Background())
	out.Reset()
	last := 0
	err = Run(ctx, Job{Designs: 1e9, Workers: 3}, numbers, func(r []byte, b Block) error {
		out.Write(r)
		if last = b.To; last > 3000 {
			cancel()
		}
		return nil
	})
	assert.ErrorIs(t, err, context.Canceled)
	assert.Equal(t, all(0, last), out.String(), "what was handed over is whole")
}

// Stopped in the middle of blocks, what was done up to the first gap is handed over.
func TestStopsInTheMiddleOfABlock(t *testing.T) {
	const workers, done = 3, 10
	ctx, cancel := context.WithCancel(context.Background())
	var middle sync.WaitGroup // every worker in its second block
	middle.Add(workers)
	slow := func() Worker {
		return func(ctx context.Context, buf []byte, b Block) ([]byte, int) {
			for i := b.From; i < b.To; i++ {
				if ctx.Err() != nil {
					return buf, i
				}
				if b.From >= workers*BlockSize && i == b.From+done {
					middle.Done()
					middle.Wait()
					cancel()
					return buf, i
				}
				buf = fmt.Appendf(buf, "%d\n", i)
			}
			return buf, b.To
		}
	}
	var out bytes.Buffer
	last := 0
	err := Run(ctx, Job{Designs: 1e9, Workers: workers}, slow, func(r []byte, b Block) error {
		out.Write(r)
		assert.Equal(t, last, b.From)
		last = b.To
		return nil
	})
	assert.ErrorIs(t, err, context.Canceled)
	assert.Equal(t, all(0, last), out.String())
	assert.Equal(t, workers*BlockSize+done, last, "handed over up to the middle of a block")
}

// What there is to do is counted without going through it, which takes hours of a shard of
// a million million designs; by hand, and against going through.
func TestCount(t *testing.T) {
	assert.Equal(t, 1_000_000_000_000, Job{Designs: 1_000_000_000_000}.Count())
	assert.Equal(t, 256+44, Job{Designs: 3*256 + 44, Shard: Shard{I: 1, N: 2}}.Count()) // blocks 1 and the begun 3
	assert.Equal(t, 3*256, Job{Designs: 9 * 256, Shard: Shard{I: 2, N: 3}}.Count())
	for _, n := range []int{0, 1, 5} {
		for i := range max(n, 1) {
			for designs := 0; designs < 3000; designs += 97 {
				for from := 0; from <= designs; from += 131 {
					j, want := Job{Designs: designs, From: from, Shard: Shard{I: i, N: n}}, 0
					j.blocks(func(b Block) bool { want += b.To - b.From; return true })
					assert.Equal(t, want, j.Count(), "%+v", j)
				}
			}
		}
	}
}
