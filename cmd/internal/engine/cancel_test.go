//go:build linux || darwin || freebsd

package engine

import (
	"context"
	"encoding/json"
	"fmt"
	"runtime"
	"strings"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
)

// used is the processor time that the process took.
func used(t testing.TB) time.Duration {
	var u syscall.Rusage
	require.NoError(t, syscall.Getrusage(syscall.RUSAGE_SELF, &u))
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// slow are the requests that take longest, of a shipped bicycle in one of its gears.
func slow(t testing.TB, name string, gear [2]int) map[string][]byte {
	text, err := cases.ShippedText(name)
	require.NoError(t, err)
	parts, err := cases.ShippedText("trail-parts")
	require.NoError(t, err)
	ill := string(text)
	if !strings.Contains(ill, "\nsymptoms:") {
		ill += "\nsymptoms:\n  - {what: noise}\n"
	}
	out := map[string][]byte{}
	for name, q := range map[string]request{
		"compute": {Op: "compute", YAML: string(text), Chances: true, Window: true}, "learn": {Op: "learn", YAML: string(text), Seen: []string{fmt.Sprintf("*/%d: noise", gear[1])}},
		"next": {Op: "next", YAML: string(text)}, "diagnose": {Op: "diagnose", YAML: ill}, "parts": {Op: "parts", YAML: string(text)}, "catalogue": {Op: "parts", YAML: string(text), Catalogue: string(parts)},
		"compare": {Op: "compare", YAML: string(text), Before: string(text)}, "march": {Op: "march", YAML: string(text), Ring: gear[0], Cog: gear[1]},
	} {
		b, err := json.Marshal(q)
		require.NoError(t, err)
		out[name] = b
	}
	return out
}

// fuse is a context that ends when it was asked so often whether it has.
type fuse struct {
	context.Context
	left, after atomic.Int64
}

func (f *fuse) Err() error {
	if f.left.Add(-1) < 0 {
		f.after.Add(1)
		return context.Canceled
	}
	return nil
}

// Wherever a request is given up, it answers nothing but why, and stops: it asks again no
// more often than there are goroutines, and stages that each look once.
func TestGivenUpRequests(t *testing.T) {
	for name, text := range slow(t, "trail", [2]int{32, 14}) {
		if testing.Short() && name != "learn" && name != "catalogue" {
			continue
		}
		f := &fuse{Context: t.Context()}
		f.left.Store(1 << 40)
		whole := Answer(f, text)
		require.NotContains(t, string(whole), `"error"`, name)
		asked := 1<<40 - f.left.Load()
		if name == "march" { // asks a channel, at every step
			continue
		}
		assert.Greater(t, asked, int64(100), name)
		for i := range int64(4) {
			at := (asked - 1) * i * i / 9
			f := &fuse{Context: t.Context()}
			f.left.Store(at)
			assert.JSONEq(t, `{"error":"context canceled"}`, string(Answer(f, text)), "%s after %d of %d", name, at, asked)
			assert.LessOrEqual(t, f.after.Load(), int64(2*runtime.GOMAXPROCS(0)+40), "%s after %d of %d", name, at, asked)
		}
	}
}

// Eight times as many symptoms or observations are no more than eight times the work: it is counted by
// the looks at whether it is still wanted.
func TestWorkIsAtMostLinear(t *testing.T) {
	text, err := cases.ShippedText("single")
	require.NoError(t, err)
	looks := func(op string, n int) int64 {
		q := request{Op: op, YAML: string(text) + "\nsymptoms:\n" + strings.Repeat("  - {what: noise}\n", n)}
		if op == "learn" {
			q = request{Op: op, YAML: string(text)}
			for i := range n {
				q.Seen = append(q.Seen, "*/17"+[]string{": quiet", " backwards: off 1 of 10"}[i%2])
			}
		}
		b, err := json.Marshal(q)
		require.NoError(t, err)
		f := &fuse{Context: t.Context()}
		f.left.Store(1 << 40)
		require.NotContains(t, string(Answer(f, b)), `"error"`, op)
		return 1<<40 - f.left.Load()
	}
	for _, op := range []string{"diagnose", "next", "parts", "learn"} {
		few, many := looks(op, 25), looks(op, 200)
		assert.Greater(t, few, int64(100), op)
		assert.LessOrEqual(t, many, 8*few, op)
	}
}

// BenchmarkGivenUp is what processor time requests take that are given up after a quarter
// of their time, from then on: a hundredth of a second at most is wanted.
func BenchmarkGivenUp(b *testing.B) {
	for name, text := range slow(b, "tourer", [2]int{48, 14}) {
		b.Run(name, func(b *testing.B) {
			begun := time.Now()
			Answer(context.Background(), text)
			full := time.Since(begun)
			after := time.Duration(0)
			for b.Loop() {
				ctx, cancel := context.WithCancel(context.Background())
				done := make(chan []byte)
				go func() { done <- Answer(ctx, text) }()
				time.Sleep(full / 4)
				cancel()
				given := used(b)
				<-done
				after += used(b) - given
			}
			b.ReportMetric(float64(after.Microseconds())/1000/float64(b.N), "cpu-ms/op-after")
		})
	}
}

// What is given up before it began does nothing.
func TestGivenUpBefore(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	for name, text := range slow(t, "trail", [2]int{32, 14}) {
		assert.JSONEq(t, `{"error":"context canceled"}`, string(Answer(ctx, text)), name)
	}
}
