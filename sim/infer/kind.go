package infer

import (
	"errors"
	"math"
	"math/rand/v2"
	"sync/atomic"

	"chainpath/sim/await"
	"chainpath/sim/elementary"
)

// alike is the share a of a number's variance that all things of a kind have in common (assumption).
const alike = 0.5

// Numbers of the moves of a kind: of what is common in a sweep, how many numbers each changes, and
// of a member's field.
const (
	commonMoves   = 4
	commonNumbers = 5
	memberFields  = 3
)

// Member is one thing of a kind.
type Member struct {
	Model *Model
	Start []*Particle // by what was told of it alone
	Eval  []Evaluate  // each for one goroutine
}

// ErrNoMembers is of a kind without members.
var ErrNoMembers = errors.New("a kind without members")

// LearnKind draws what is common to a kind: of the first shared numbers of every member,
//
//	x_i = √a·x + √(1-a)·e_i,    x, e_i ~ N(0, 1)
//
// It returns draws of x from so many chains, each begun at the members' own particles, over the
// last half of its sweeps. A sweep draws x by all x_i, moves every member about √a·x, and some
// numbers of x that carry all members along. All that was told counts in full. The same seed gives
// the same draws on any number of goroutines; the error is stop's, or ErrNoMembers where there is none.
func LearnKind(members []Member, shared, chains, sweeps int, seed uint64, stop func() error) ([][]float64, error) {
	if len(members) == 0 {
		return nil, ErrNoMembers
	}
	kept := sweeps - sweeps/2
	out := make([][]float64, chains*kept)
	fields := make([]*Field, len(members))
	for i := range members {
		fields[i] = NewField(members[i].Model.Places)
	}
	var next atomic.Int64
	var wg await.Group
	for w := range members[0].Eval {
		wg.Go(func() {
			for c := int(next.Add(1)) - 1; c < chains && stop() == nil; c = int(next.Add(1)) - 1 {
				k := newChain(members, fields, shared, c, chains, w)
				k.rng = rand.New(rand.NewPCG(seed<<32+uint64(c), uint64(shared)))
				for n := 0; n < sweeps && stop() == nil; n++ {
					k.sweep(n < sweeps/2)
					if at := n - sweeps/2; at >= 0 {
						out[c*kept+at] = append([]float64(nil), k.x...)
					}
				}
			}
		})
	}
	wg.Wait()
	return out, stop()
}

// Join returns the numbers of a new thing of a kind: x of the kind, and its own deviates, changed
// in place.
func Join(x, own []float64) {
	for j := range x {
		own[j] = float64(math.Sqrt(alike)*x[j]) + float64(math.Sqrt(1-alike)*own[j])
	}
}

// chain is one chain on its way.
type chain struct {
	members []Member
	fields  []*Field
	eval    []Evaluate // by member
	x       []float64
	p, q    []*Particle // by member, and proposals
	step    [3]float64  // of a member's numbers, of a field, of what is common
	rng     *rand.Rand
	moved   []float64 // scratch: x as proposed
}

func newChain(members []Member, fields []*Field, shared, c, of, worker int) *chain {
	k := &chain{members: members, fields: fields, x: make([]float64, shared), moved: make([]float64, shared), step: [3]float64{0.4, 0.5, 0.5}}
	for i := range members {
		m := &members[i]
		p := m.Model.newParticle(fields[i])
		p.copyFrom(m.Start[(2*c+1)*len(m.Start)/(2*of)])
		k.p, k.q, k.eval = append(k.p, p), append(k.q, m.Model.newParticle(fields[i])), append(k.eval, m.Eval[worker])
	}
	return k
}

// sweep moves all once; while it fits, it fits the steps to what is accepted.
func (k *chain) sweep(fits bool) {
	k.common()
	var taken [3]float64
	for i := range k.p {
		taken[0] += float64(k.moveMember(i)) / float64(len(k.p))
		for range memberFields {
			taken[1] += float64(k.members[i].Model.moveField(k.fields[i], k.p[i], k.q[i], k.step[1], 1, k.rng)) / float64(memberFields*len(k.p))
		}
	}
	for range commonMoves {
		taken[2] += k.moveCommon() / commonMoves
	}
	for i := range k.step {
		if fits {
			k.step[i] = min(max(k.step[i]*elementary.Exp(taken[i]-accepted), 0.02), 1)
		}
	}
}

// common draws x by all x_i: normal, as all is.
func (k *chain) common() {
	v := 1 / (1 + float64(len(k.p))*alike/(1-alike))
	for j := range k.x {
		sum := 0.0
		for _, p := range k.p {
			sum += p.Numbers[j]
		}
		k.x[j] = float64(v*math.Sqrt(alike)/(1-alike)*sum) + float64(math.Sqrt(v)*k.rng.NormFloat64())
	}
}

// moveMember moves a member about √a·x.
func (k *chain) moveMember(i int) int {
	p, q := k.p[i], k.q[i]
	q.copyFrom(p)
	propose(q.Numbers, p.Numbers, k.step[0], k.rng)
	keep := math.Sqrt(1 - k.step[0]*k.step[0])
	for j, x := range k.x { // those have a mean and less variance
		about := math.Sqrt(alike) * x
		q.Numbers[j] = about + float64(keep*(p.Numbers[j]-about)) + float64(math.Sqrt(1-alike)*(q.Numbers[j]-float64(keep*p.Numbers[j])))
	}
	k.members[i].Model.moveBoth(k.fields[i], p, q, k.step[0], k.rng)
	return k.members[i].Model.take(p, q, 1, k.eval[i], k.rng)
}

// moveCommon moves some numbers of x, and all members with them.
func (k *chain) moveCommon() float64 {
	copy(k.moved, k.x)
	keep := math.Sqrt(1 - k.step[2]*k.step[2])
	for range commonNumbers {
		j := k.rng.IntN(len(k.x))
		k.moved[j] = float64(keep*k.x[j]) + float64(k.step[2]*k.rng.NormFloat64())
	}
	u, sum := k.rng.Float64(), 0.0
	for i, p := range k.p {
		q := k.q[i]
		q.copyFrom(p)
		for j := range k.x {
			q.Numbers[j] += math.Sqrt(alike) * (k.moved[j] - k.x[j])
		}
		if k.members[i].Model.judge(q, k.eval[i]); !q.is {
			return 0
		}
		sum += q.log - p.log
	}
	if u >= chance(sum) {
		return 0
	}
	copy(k.x, k.moved)
	for i := range k.p {
		k.p[i].copyFrom(k.q[i])
	}
	return 1
}
