package infer

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"sync/atomic"

	"chainpath/sim/await"
	"chainpath/sim/elementary"
	"chainpath/sim/ensemble"
)

// ErrLost reports that too few particles can be.
var ErrLost = errors.New("infer: too few draws can be")

// Numbers of the moves: rounds at a power and at the last, moves of one fault's field in a round,
// how often the teller's mistakes are drawn along, and how many moves should be accepted.
const (
	rounds     = 2
	lastRounds = 4
	fieldMoves = 6
	anew       = 0.2
	accepted   = 0.3
	mostStages = 200
)

// Cloud are equally likely particles.
type Cloud struct {
	Model     *Model
	Particles []*Particle
	Prior     [][]float64 // Numbers that the particles began with, of those that can be
	Extra     [][]float64 // and their extra numbers
	Stages    int         // powers of the likelihood
	Accepted  [2]float64  // of the moves of the numbers and of a field, at the last power
	Ancestors int         // first particles that the particles come from
	Evaluated int         // evaluations in all
}

// run is a cloud on its way.
type run struct {
	*Cloud
	field *Field
	eval  []Evaluate
	stop  func() error
	other []*Particle // scratch: a proposal for every particle
	step  [2]float64  // of the moves of numbers, and of a field
	seed  uint64
	moves uint64 // made so far: the number of a random stream
}

// Learn draws n particles by all that was told. Each of eval is used by one goroutine; stop is
// asked between evaluations and ends it with its error. The same seed gives the same particles
// on any number of goroutines. Errors wrap ErrLost or are stop's.
func Learn(m *Model, n int, seed uint64, eval []Evaluate, stop func() error) (*Cloud, error) {
	r := &run{Cloud: &Cloud{Model: m}, field: NewField(m.Places), eval: eval, stop: stop, step: [2]float64{0.5, 0.5}, seed: seed}
	for range n {
		r.Particles, r.other = append(r.Particles, m.newParticle(r.field)), append(r.other, m.newParticle(r.field))
	}
	if err := r.begin(); err != nil {
		return nil, err
	}
	for power := 0.0; power < 1; r.Stages++ {
		next := r.next(power)
		if r.Stages >= mostStages {
			next = 1
		}
		r.resample(next - power)
		power = next
		times := rounds
		if power == 1 {
			times = lastRounds
		}
		for range times {
			if err := r.move(power); err != nil {
				return nil, err
			}
		}
	}
	from := map[int]bool{}
	for _, p := range r.Particles {
		from[p.from] = true
	}
	r.Ancestors = len(from)
	return r.Cloud, nil
}

// each does something for every particle, beside each other, with a random stream of its own.
func (r *run) each(do func(k int, eval Evaluate, rng *rand.Rand)) error {
	r.moves++
	var next atomic.Int64
	var wg await.Group
	n := len(r.Particles)
	for _, e := range r.eval {
		wg.Go(func() {
			pcg := new(rand.PCG)
			rng := rand.New(pcg)
			for k := int(next.Add(1)) - 1; k < n && r.stop() == nil; k = int(next.Add(1)) - 1 {
				pcg.Seed(r.seed<<32+uint64(k), r.moves)
				do(k, e, rng)
			}
		})
	}
	wg.Wait()
	return r.stop()
}

// begin draws the particles from the prior.
func (r *run) begin() error {
	err := r.each(func(k int, eval Evaluate, rng *rand.Rand) {
		p := r.Particles[k]
		p.from = k
		fill(p.Numbers, rng)
		for h := range p.Field {
			fill(p.Field[h], rng)
			r.field.Offsets(p.Offsets[h], &r.Model.Faults[h].Spread, p.Field[h])
		}
		p.Mistake = mistakeOf(rng.Float64())
		r.Model.judge(p, eval)
	})
	if err != nil {
		return err
	}
	r.Evaluated += len(r.Particles)
	for _, p := range r.Particles {
		if p.is {
			r.Prior = append(r.Prior, append([]float64(nil), p.Numbers...))
			r.Extra = append(r.Extra, append([]float64(nil), p.Levels[len(p.Levels)-r.Model.Extra:]...))
		}
	}
	if n := len(r.Particles); 2*len(r.Prior) < n {
		return fmt.Errorf("%w: %d of %d", ErrLost, len(r.Prior), n)
	}
	return nil
}

func (m *Model) judge(p *Particle, eval Evaluate) {
	p.log = math.Inf(-1)
	if p.is = eval(p.Numbers, p.Levels); p.is {
		p.log = m.logLike(p)
	}
}

func fill(to []float64, rng *rand.Rand) {
	for i := range to {
		to[i] = rng.NormFloat64()
	}
}

// weights are those of the step to a power.
func (r *run) weights(by float64) []float64 {
	most := math.Inf(-1)
	for _, p := range r.Particles {
		most = max(most, p.log)
	}
	w := make([]float64, len(r.Particles))
	for k, p := range r.Particles {
		if p.is {
			w[k] = elementary.Exp(by * (p.log - most))
		}
	}
	return w
}

// next returns the greatest power up to 1 that leaves half of the particles that can be.
func (r *run) next(power float64) float64 {
	size := ensemble.EffectiveSize(r.weights(0)) / 2
	low, up := power, 1.0
	if ensemble.EffectiveSize(r.weights(1-power)) >= size {
		return 1
	}
	for range 40 {
		if mid := (low + up) / 2; ensemble.EffectiveSize(r.weights(mid-power)) >= size {
			low = mid
		} else {
			up = mid
		}
	}
	return up
}

// resample draws particles by the weights of a step.
func (r *run) resample(by float64) {
	w := r.weights(by)
	sum := 0.0
	for _, x := range w {
		sum += x
	}
	for i := range w {
		w[i] /= sum
	}
	for k, i := range (&ensemble.Weighted{Weight: w}).Draw(len(w)) {
		r.other[k].copyFrom(r.Particles[i])
	}
	r.Particles, r.other = r.other, r.Particles
}

// move makes a round of moves at a power, and fits the steps to what was accepted.
func (r *run) move(power float64) error {
	taken := make([][2]int, len(r.Particles))
	err := r.each(func(k int, eval Evaluate, rng *rand.Rand) {
		taken[k][0] = r.moveNumbers(k, power, eval, rng)
		for range fieldMoves {
			taken[k][1] += r.moveField(k, power, rng)
		}
	})
	if err != nil {
		return err
	}
	r.Evaluated += len(r.Particles)
	var sum [2]int
	for _, t := range taken {
		sum[0] += t[0]
		sum[1] += t[1]
	}
	for i, moves := range [...]int{1, fieldMoves} {
		r.Accepted[i] = float64(sum[i]) / float64(moves*len(r.Particles))
		r.step[i] = min(max(r.step[i]*elementary.Exp(r.Accepted[i]-accepted), 0.02), 1)
	}
	return nil
}

// propose fills a step of preconditioned Crank-Nicolson, which keeps standard normals.
func propose(to, from []float64, step float64, rng *rand.Rand) {
	keep := math.Sqrt(1 - step*step)
	for i, x := range from {
		to[i] = float64(keep*x) + float64(step*rng.NormFloat64())
	}
}

// moveNumbers moves a particle's numbers, and every other time its field with them.
func (r *run) moveNumbers(k int, power float64, eval Evaluate, rng *rand.Rand) int {
	p, q := r.Particles[k], r.other[k]
	q.copyFrom(p)
	propose(q.Numbers, p.Numbers, r.step[0], rng)
	r.Model.moveBoth(r.field, p, q, r.step[0], rng)
	return r.Model.take(p, q, power, eval, rng)
}

func (r *run) moveField(k int, power float64, rng *rand.Rand) int {
	return r.Model.moveField(r.field, r.Particles[k], r.other[k], r.step[1], power, rng)
}

// moveBoth moves, every other time, the field of a proposal.
func (m *Model) moveBoth(f *Field, p, q *Particle, step float64, rng *rand.Rand) {
	if rng.Float64() < 0.5 {
		for h := range q.Field {
			propose(q.Field[h], p.Field[h], step, rng)
			f.Offsets(q.Offsets[h], &m.Faults[h].Spread, q.Field[h])
		}
	}
}

// take judges a proposal, and takes it or leaves it.
func (m *Model) take(p, q *Particle, power float64, eval Evaluate, rng *rand.Rand) int {
	u := rng.Float64()
	if m.judge(q, eval); !q.is || u >= chance(power*(q.log-p.log)) {
		return 0
	}
	p.copyFrom(q)
	return 1
}

// moveField moves one fault's field of a particle, and at times the teller's mistakes; q is scratch.
func (m *Model) moveField(f *Field, p, q *Particle, step, power float64, rng *rand.Rand) int {
	if len(p.Field) == 0 {
		return 0
	}
	q.copyFrom(p)
	h := rng.IntN(len(q.Field))
	propose(q.Field[h], p.Field[h], step, rng)
	f.Offsets(q.Offsets[h], &m.Faults[h].Spread, q.Field[h])
	if rng.Float64() < anew {
		q.Mistake = mistakeOf(rng.Float64())
	}
	u := rng.Float64()
	if q.log = m.logLike(q); u >= chance(power*(q.log-p.log)) {
		return 0
	}
	p.copyFrom(q)
	return 1
}
