package page

import (
	"context"
	"errors"
	"slices"
	"sync"
)

// mostWaiting is how many requests to the engine wait at most; each is 1 MiB at most.
const mostWaiting = 256

// errFull says that no more requests wait.
var errFull = errors.New("too many requests wait for the engine: ask again when it has answered some")

// queue lets a few requests to the engine work at a time. Pages take turns, and of one page
// the newest goes first: what it asked before is about what it no longer shows.
type queue struct {
	mu      sync.Mutex
	free    int // how many more may work
	waiting int
	turns   []string // pages that wait, the next first
	lines   map[string][]*waiter
}

type waiter struct{ ready chan struct{} }

func newQueue(workers int) *queue { return &queue{free: workers, lines: map[string][]*waiter{}} }

// enter waits for a place to work, until the context ends; leave must be called after it
// when the error is nil.
func (q *queue) enter(ctx context.Context, page string) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	q.mu.Lock()
	if q.free > 0 {
		q.free--
		q.mu.Unlock()
		return nil
	}
	if q.waiting == mostWaiting {
		q.mu.Unlock()
		return errFull
	}
	w := &waiter{make(chan struct{})}
	q.waiting++
	if len(q.lines[page]) == 0 {
		q.turns = append(q.turns, page)
	}
	q.lines[page] = append(q.lines[page], w)
	q.mu.Unlock()
	select {
	case <-w.ready:
		return nil
	case <-ctx.Done():
	}
	q.mu.Lock()
	defer q.mu.Unlock()
	if i := slices.Index(q.lines[page], w); i >= 0 {
		q.waiting--
		q.lines[page] = slices.Delete(q.lines[page], i, i+1)
		q.tidy(page)
	} else { // its turn came just now
		q.next()
	}
	return ctx.Err()
}

// leave gives a place to whose turn it is.
func (q *queue) leave() {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.next()
}

func (q *queue) next() {
	if len(q.turns) == 0 {
		q.free++
		return
	}
	page := q.turns[0]
	line := q.lines[page]
	w := line[len(line)-1]
	q.waiting--
	q.lines[page] = line[:len(line)-1]
	q.turns = append(q.turns[1:], page)
	q.tidy(page)
	close(w.ready)
}

// tidy forgets a page of which nothing waits.
func (q *queue) tidy(page string) {
	if len(q.lines[page]) > 0 {
		return
	}
	delete(q.lines, page)
	q.turns = slices.DeleteFunc(q.turns, func(p string) bool { return p == page })
}
