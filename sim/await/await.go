// Package await waits for goroutines whose panic is the caller's: a caller that answers
// many can then answer this one, and go on.
package await

import (
	"fmt"
	"runtime/debug"
	"sync"
)

// Group is goroutines to wait for. The zero Group is ready.
type Group struct {
	wg    sync.WaitGroup
	once  sync.Once
	panic *Panic
}

// Panic is the panic of a goroutine: its value, and where it was.
type Panic struct {
	Value any
	Stack []byte
}

func (p *Panic) Error() string { return fmt.Sprintf("%v\n\n%s", p.Value, p.Stack) }

// Go runs f in a goroutine.
func (g *Group) Go(f func()) {
	g.wg.Go(func() {
		defer func() {
			if v := recover(); v != nil {
				g.once.Do(func() { g.panic = &Panic{v, debug.Stack()} })
			}
		}()
		f()
	})
}

// Wait waits for all goroutines. Where one of them panicked, so does Wait, with a *Panic of
// the first.
func (g *Group) Wait() {
	g.wg.Wait()
	if g.panic != nil {
		panic(g.panic)
	}
}
