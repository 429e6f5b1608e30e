package page

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"log"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/cmd/internal/engine"
	"chainpath/sim/await"
)

// served is a server on loopback that answers by a function, and what sends it a request of a
// page's.
func served(t *testing.T, answer func(context.Context, []byte) []byte) (send func(ctx context.Context, page, body string) (*http.Response, error)) {
	was := engineAnswer
	engineAnswer = answer
	var h http.Handler
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { h.ServeHTTP(w, r) }))
	h = Handler(strings.TrimPrefix(s.URL, "http://"))
	t.Cleanup(func() { s.Close(); engineAnswer = was })
	return func(ctx context.Context, page, body string) (*http.Response, error) {
		r, err := http.NewRequestWithContext(ctx, http.MethodPost, s.URL+"/answer", strings.NewReader(body))
		require.NoError(t, err)
		r.Header.Set("Content-Type", "application/json")
		r.Header.Set("Origin", s.URL)
		r.Header.Set("Page-Name", page)
		return s.Client().Do(r)
	}
}

// waitFor waits until something is so, or the test is ended.
func waitFor(t *testing.T, so func() bool) {
	t.Helper()
	for !so() {
		time.Sleep(time.Millisecond)
	}
}

// Pages take turns; of one the newest goes first, and one that was given up not at all.
func TestTurns(t *testing.T) {
	q := newQueue(1)
	require.NoError(t, q.enter(t.Context(), "a"))
	var mu sync.Mutex
	var order []string
	var wg sync.WaitGroup
	ctx, cancel := context.WithCancel(t.Context())
	for n, w := range []string{"a1", "a2", "b1", "a3", "a4", "b2", "c1"} {
		wg.Go(func() {
			of := t.Context()
			if w == "a4" {
				of = ctx
			}
			if err := q.enter(of, w[:1]); err != nil {
				assert.ErrorIs(t, err, context.Canceled)
				return
			}
			mu.Lock()
			order = append(order, w)
			mu.Unlock()
			q.leave()
		})
		waitFor(t, func() bool { q.mu.Lock(); defer q.mu.Unlock(); return q.waiting == n+1 })
	}
	cancel()
	waitFor(t, func() bool { q.mu.Lock(); defer q.mu.Unlock(); return q.waiting == 6 })
	q.leave()
	wg.Wait()
	assert.Equal(t, []string{"a3", "b2", "c1", "a2", "b1", "a1"}, order)
	assert.Equal(t, 1, q.free)
	assert.Zero(t, q.waiting)
	assert.Empty(t, q.lines)
	assert.Empty(t, q.turns)
}

// However requests come, go and are given up, no more work than may, none is forgotten and
// every place is free at the end.
func TestNoPlaceIsLost(t *testing.T) {
	q := newQueue(3)
	var wg sync.WaitGroup
	var at, most, done, gone atomic.Int64
	for i := range 200 {
		wg.Go(func() {
			ctx, cancel := context.WithCancel(t.Context())
			if i%3 == 0 {
				time.AfterFunc(time.Duration(i)*20*time.Microsecond, cancel)
			}
			defer cancel()
			if q.enter(ctx, fmt.Sprint(i%7)) != nil {
				gone.Add(1)
				return
			}
			n := at.Add(1)
			for m := most.Load(); n > m && !most.CompareAndSwap(m, n); m = most.Load() {
			}
			time.Sleep(200 * time.Microsecond)
			at.Add(-1)
			done.Add(1)
			q.leave()
		})
	}
	wg.Wait()
	assert.Equal(t, int64(200), done.Load()+gone.Load())
	assert.GreaterOrEqual(t, done.Load(), int64(133))
	assert.LessOrEqual(t, most.Load(), int64(3))
	assert.Equal(t, 3, q.free)
	assert.Zero(t, q.waiting)
}

// Beyond what may wait the server says so, and goes on.
func TestFullQueue(t *testing.T) {
	q := newQueue(0)
	ctx, cancel := context.WithCancel(t.Context())
	var wg sync.WaitGroup
	for range mostWaiting {
		wg.Go(func() { assert.Error(t, q.enter(ctx, "")) })
	}
	waitFor(t, func() bool { q.mu.Lock(); defer q.mu.Unlock(); return q.waiting == mostWaiting })
	assert.ErrorIs(t, q.enter(t.Context(), "x"), errFull)
	cancel()
	wg.Wait()
	assert.Zero(t, q.waiting)
}

// Many full requests at once are all answered, with the same.
func TestManyAtOnce(t *testing.T) {
	n := 60
	if os.Getenv("CHAINPATH_LONG") != "" {
		n = 200
	} else if testing.Short() {
		n = 20
	}
	text, err := cases.ShippedText("single")
	require.NoError(t, err)
	body, err := json.Marshal(map[string]any{"op": "compute", "yaml": string(text), "chances": true, "window": true})
	require.NoError(t, err)
	send := served(t, engine.Answer)
	want := engine.Answer(t.Context(), body)
	var wg sync.WaitGroup
	var right atomic.Int64
	for i := range n {
		wg.Go(func() {
			r, err := send(t.Context(), fmt.Sprint(i%5), string(body))
			if !assert.NoError(t, err) {
				return
			}
			defer r.Body.Close()
			var got bytes.Buffer
			_, err = got.ReadFrom(r.Body)
			assert.NoError(t, err)
			if r.StatusCode == http.StatusOK && bytes.Equal(want, got.Bytes()) {
				right.Add(1)
			}
		})
	}
	wg.Wait()
	assert.Equal(t, int64(n), right.Load())
}

// A panic in the handler's goroutine, or in any that the engine waits for, is answered with
// 500, told of once, and the server goes on with every place it has.
func TestPanicsAreAnswered(t *testing.T) {
	var told bytes.Buffer
	var mu sync.Mutex
	before := log.Default().Writer()
	defer log.SetOutput(before)
	log.SetOutput(writerFunc(func(b []byte) (int, error) { mu.Lock(); defer mu.Unlock(); return told.Write(b) }))
	send := served(t, func(_ context.Context, text []byte) []byte {
		switch string(text) {
		case "here":
			panic("in the handler")
		case "there":
			var g await.Group
			g.Go(func() { var list []int; _ = list[len(text)] })
			g.Wait()
		}
		return []byte(`{}`)
	})
	for range 20 {
		for body, want := range map[string]int{"here": 500, "there": 500, "well": 200} {
			r, err := send(t.Context(), "", body)
			require.NoError(t, err)
			r.Body.Close()
			assert.Equal(t, want, r.StatusCode, body)
		}
	}
	mu.Lock()
	defer mu.Unlock()
	assert.Equal(t, 20, strings.Count(told.String(), "in the handler"))
	assert.Equal(t, 20, strings.Count(told.String(), "index out of range [5] with length 0"))
	assert.Contains(t, told.String(), "queue_test.go", "where in the other goroutine")
}

type writerFunc func([]byte) (int, error)

func (f writerFunc) Write(b []byte) (int, error) { return f(b) }

// A request that its page gives up ends the work on it, whether it waits or is worked on.
func TestGivenUpEndsTheWork(t *testing.T) {
	var begun, ended atomic.Int64
	send := served(t, func(ctx context.Context, _ []byte) []byte {
		begun.Add(1)
		<-ctx.Done()
		ended.Add(1)
		return []byte(`{}`)
	})
	ctx, cancel := context.WithCancel(t.Context())
	var wg sync.WaitGroup
	for range 40 {
		wg.Go(func() {
			_, err := send(ctx, "", `{}`)
			assert.ErrorIs(t, err, context.Canceled)
		})
	}
	waitFor(t, func() bool { return begun.Load() > 0 })
	cancel()
	wg.Wait()
	waitFor(t, func() bool { return begun.Load() == ended.Load() })
	assert.LessOrEqual(t, begun.Load(), int64(40))
}
