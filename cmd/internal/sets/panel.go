package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"sync"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/samplemv"

	"chainpath/cases"
	"chainpath/sim"
	"chainpath/sim/ensemble"
	"chainpath/sim/judge"
	"chainpath/sim/learn"
	"chainpath/sim/score"
)

// assumedLine is the standard uncertainty of a panel's line that its source does not
// say, mm.
const assumedLine = 1.5

// claimOf are the panel's claims by the concerns that they are about; of others it tells
// nothing.
var claimOf = [sim.NumConcerns]claim{
	sim.NoiseRiding: claimNoise, sim.DropRiding: claimRideDrop, sim.DropBackwards: claimBackDrop,
	sim.RubsNextCog: claimCogRub, sim.RubsNextRing: claimRingRub, sim.RubsTyreAt: claimTyre,
	sim.TopSlackBackwards: claimSlack, sim.DoesNotClose: claimClose, sim.RubsFrontCage: claimCageRub, sim.ChainTooLong: claimTooLong,
}

// answer is a scored claim about a gear.
type answer struct {
	bike    int
	gear    int // place in the bike's chances
	concern sim.Concern
	yes     bool
	kind    kind    // of its source
	number  float64 // that a rule of one number judges by: see numbers
}

type panel struct {
	bikes    []*fieldBike
	answers  []answer
	readings int // how often each bike's readings are drawn for each set
}

func readPanel(dir string) (*panel, error) {
	names, err := filepath.Glob(filepath.Join(dir, "*.yaml"))
	if err != nil || len(names) == 0 {
		return nil, fmt.Errorf("no panel in %s", dir)
	}
	sources, err := readSources(filepath.Join(dir, "sources.tsv"))
	if err != nil {
		return nil, err
	}
	p := panel{readings: readings}
	for i, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			return nil, err
		}
		b, err := parseFieldBike(filepath.Base(name), data)
		if err != nil {
			return nil, err
		}
		p.bikes = append(p.bikes, b)
		for r, ring := range b.Case.Front.Rings {
			for c, cog := range b.Case.Rear.Cogs {
				for k, claim := range claimOf {
					yes, scored, source := b.Expected(claim, ring, cog)
					if !scored {
						continue
					}
					kind, err := kindOf(sources, source)
					if err != nil {
						return nil, fmt.Errorf("%s: %s: %w", name, claim, err)
					}
					if kind.weight(yes) > 0 {
						p.answers = append(p.answers, answer{bike: i, gear: r*len(b.Case.Rear.Cogs) + c, concern: sim.Concern(k), yes: yes, kind: kind})
					}
				}
			}
		}
	}
	if err := p.addOrdinary(filepath.Join(dir, "..", "ordinary.tsv")); err != nil {
		return nil, err
	}
	return &p, p.numbers()
}

// priorDraws spreads n sets of free numbers over their ranges.
func priorDraws(n int) *mat.Dense {
	d := mat.NewDense(n, len(cases.FreeNumbers()), nil)
	samplemv.Halton{Kind: samplemv.Owen, Q: unit{len(cases.FreeNumbers())}, Src: source(7)}.Sample(d)
	return d
}

// foretell returns the chance of every answer under every draw.
func (p *panel) foretell(draws *mat.Dense) ([][]float32, error) {
	n, _ := draws.Dims()
	out := make([][]float32, n)
	var wg sync.WaitGroup
	var failed error
	var mu sync.Mutex
	const workers = 2
	for w := range workers {
		wg.Add(1)
		go func() {
			defer wg.Done()
			var o sim.Odds
			d := make([]*cases.Drawn, len(p.bikes))
			for i, b := range p.bikes {
				var err error
				if d[i], err = b.Case.Draws(); err != nil {
					mu.Lock()
					failed = err
					mu.Unlock()
					return
				}
				sd := b.lineSpread()
				d[i].Assume(sd[0], sd[1])
			}
			for k := w; k < n; k += workers {
				row, err := p.one(&o, d, draws.RawRowView(k), k)
				if err != nil {
					mu.Lock()
					failed = err
					mu.Unlock()
					return
				}
				out[k] = row
			}
		}()
	}
	wg.Wait()
	return out, failed
}

// lineSpread returns by how much the front and the rear line may be off, mm.
func (p *fieldBike) lineSpread() [2]float64 {
	sd := [2]float64{0.5, 0.5}
	if p.FrontAssumed {
		sd[0] = assumedLine
	}
	if p.RearAssumed {
		sd[1] = assumedLine
	}
	return sd
}

// readings is how often the readings of a panel's bike are drawn for each set, so that a
// set is not judged by one lucky reading.
const readings = 3

// one returns the chance of every answer under one set: means over the readings.
func (p *panel) one(o *sim.Odds, d []*cases.Drawn, set []float64, k int) ([]float32, error) {
	row := make([]float32, len(p.answers))
	all := make([][]sim.Chances, len(p.bikes))
	for n := range p.readings {
		for i, b := range p.bikes {
			rng := rand.New(rand.NewPCG(uint64(k*p.readings+n), uint64(i)+1000))
			bike, f, err := d[i].Bike(set, rng.Float64)
			if err != nil {
				return nil, err
			}
			if all[i] == nil {
				all[i] = make([]sim.Chances, len(bike.Rings)*len(bike.Cogs))
			}
			links, err := d[i].Chain(bike)
			if err != nil {
				return nil, err
			}
			if err := o.Gears(all[i], bike, f, links); err != nil {
				return nil, fmt.Errorf("%s: %w", b.Case.Title, err)
			}
		}
		for j, a := range p.answers {
			row[j] += float32(all[a.bike][a.gear][a.concern]) / float32(p.readings)
		}
	}
	return row, nil
}

// logs returns each draw's log likelihood of the answers that keep says count.
func (p *panel) logs(chances [][]float32, keep func(a answer) bool) []float64 {
	out := make([]float64, len(chances))
	for k, row := range chances {
		for j, a := range p.answers {
			if !keep(a) || row[j] < 0 {
				continue
			}
			c := learn.Unsure(a.concern, float64(row[j]))
			if !a.yes {
				c = 1 - c
			}
			out[k] += a.kind.weight(a.yes) * math.Log(c)
		}
	}
	return out
}

// mean returns the weighted chance of an answer, kept off 0 and 1 as the shipped ones are.
func mean(chances [][]float32, w []float64, j int) float64 {
	sum := 0.0
	for k, x := range w {
		sum += x * float64(chances[k][j])
	}
	return judge.OffTheEnds(sum)
}

// blockLogs are each draw's log likelihood by block of numbers.
type blockLogs [cases.NumBlocks][]float64

// logsOf returns log likelihoods of the answers about a group of bikes, of all with "", by the
// blocks that they tell about.
func (p *panel) logsOf(chances [][]float32, group string) (out blockLogs) {
	for b := range out {
		out[b] = p.logs(chances, func(a answer) bool {
			return cases.BlockOf(a.concern) == cases.Block(b) && (group == "" || p.bikes[a.bike].Group == group)
		})
	}
	return out
}

// less returns log likelihoods without those of some answers.
func (l blockLogs) less(own blockLogs) (out blockLogs) {
	for b := range out {
		out[b] = slices.Clone(l[b])
		for k, x := range own[b] {
			out[b][k] -= x
		}
	}
	return out
}

// weighBlocks weighs the draws once for each block of numbers, by the answers that tell
// about it; those of each of its branches apart.
func (l blockLogs) weighBlocks(draws *mat.Dense, size float64) (w [cases.NumBlocks]*ensemble.Weighted, err error) {
	for b, logs := range l {
		by := cases.BranchOf(cases.Block(b))
		if by < 0 {
			if w[b], err = ensemble.Weigh(logs, size); err != nil {
				return w, err
			}
			continue
		}
		var halves [2]*ensemble.Weighted
		for h := range halves {
			own := slices.Clone(logs)
			for k := range own {
				if (draws.At(k, by) >= 0.5) != (h == 1) {
					own[k] = math.Inf(-1)
				}
			}
			if halves[h], err = ensemble.Weigh(own, size/2); err != nil {
				return w, err
			}
		}
		w[b] = ensemble.Mixed(halves[:]...)
	}
	return w, nil
}

// compose draws n sets: each block's numbers from its own weights, the blocks put
// together at random.
func compose(draws *mat.Dense, w [cases.NumBlocks]*ensemble.Weighted, n int) *mat.Dense {
	_, dims := draws.Dims()
	sets := mat.NewDense(n, dims, nil)
	for b := range w {
		rows := w[b].Draw(n)
		rng := rand.New(rand.NewPCG(uint64(b), 11))
		rng.Shuffle(n, func(i, j int) { rows[i], rows[j] = rows[j], rows[i] })
		for i, f := range cases.FreeNumbers() {
			if f.Block != cases.Block(b) {
				continue
			}
			for k, row := range rows {
				sets.Set(k, i, draws.At(row, i))
			}
		}
	}
	return sets
}

// outcomes are predictions and what happened, by concern.
type outcomes struct{ all, reports [][]score.Prediction }

// fitted returns the outcomes under sets that were weighted by all of the panel, in equal parts.
func (p *panel) fitted(chances [][]float32) outcomes {
	w := make([]float64, len(chances))
	for i := range w {
		w[i] = 1 / float64(len(w))
	}
	return p.outcomes(chances, func(answer) []float64 { return w })
}

// outcomes returns the outcomes under weights, of all answers but those of ordinary bicycles, and of
// reports alone.
func (p *panel) outcomes(chances [][]float32, weight func(a answer) []float64) outcomes {
	out := outcomes{make([][]score.Prediction, sim.NumConcerns), make([][]score.Prediction, sim.NumConcerns)}
	for j, a := range p.answers {
		if chances[0][j] < 0 || p.bikes[a.bike].Group == ordinaryGroup {
			continue
		}
		x := score.Prediction{P: mean(chances, weight(a), j), Happened: a.yes, Group: p.bikes[a.bike].Group, X: a.number}
		out.all[a.concern] = append(out.all[a.concern], x)
		if a.kind <= told {
			out.reports[a.concern] = append(out.reports[a.concern], x)
		}
	}
	return out
}

// leftOut returns the same under draws weighted without each group in turn.
func (p *panel) leftOut(draws *mat.Dense, chances [][]float32, size float64) (out outcomes, err error) {
	by := map[string][cases.NumBlocks]*ensemble.Weighted{}
	all := p.logsOf(chances, "")
	for _, b := range p.bikes {
		if b.Group == ordinaryGroup {
			continue
		}
		if _, ok := by[b.Group]; ok {
			continue
		}
		w, err := all.less(p.logsOf(chances, b.Group)).weighBlocks(draws, size)
		if err != nil {
			return out, err
		}
		by[b.Group] = w
	}
	return p.outcomes(chances, func(a answer) []float64 { return by[p.bikes[a.bike].Group][cases.BlockOf(a.concern)].Weight }), nil
}
