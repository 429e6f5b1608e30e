package main

import (
	"fmt"
	"io"
	"math"
	"sort"

	"chainpath/cases"
	"chainpath/sim"
	"chainpath/sim/ensemble"
	"chainpath/sim/score"
)

// Numbers of learning from half a bike: candidates, the effective size that tempering
// keeps, and how surely a report is right. The learn command's own.
const (
	halfCandidates = 2000
	halfLeast      = 100
	halfSure       = 0.9
)

// halves scores learning on the field panel: of every bike the gears are split in two by
// turns; one half is what was seen, the other is foretold, and the other way about. The
// sets it starts from are weighed without the bike's group. Beside it stands what those
// sets foretell of the same gears without anything seen.
func halves(w io.Writer) error {
	p, draws, chances, err := readAndForetell()
	if err != nil {
		return err
	}
	without, with := make([][]score.Prediction, sim.NumConcerns), make([][]score.Prediction, sim.NumConcerns)
	better, worse := 0, 0
	all := p.logsOf(chances, "")
	for _, group := range p.groups() {
		if group == ordinaryGroup {
			continue
		}
		weights, err := all.less(p.logsOf(chances, group)).weighBlocks(draws, effective)
		if err != nil {
			return err
		}
		sub := p.only(group)
		under, err := sub.foretell(compose(draws, weights, halfCandidates))
		if err != nil {
			return err
		}
		for bike := range sub.bikes {
			was, is, err := sub.learnHalf(under, bike)
			if err != nil {
				return err
			}
			before, after := 0.0, 0.0
			for k := range was {
				for i := range was[k] {
					before += score.LogLoss(was[k][i].P, was[k][i].Happened)
					after += score.LogLoss(is[k][i].P, is[k][i].Happened)
				}
				without[k], with[k] = append(without[k], was[k]...), append(with[k], is[k]...)
			}
			switch {
			case after < before:
				better++
			case after > before:
				worse++
			}
		}
	}
	if err := table(w, "nothing seen of the bike", without); err != nil {
		return err
	}
	if err := table(w, "learned from the other half of its gears", with); err != nil {
		return err
	}
	fmt.Fprintf(w, "%d bikes better foretold, %d worse\n", better, worse)
	return reliability(w, with)
}

// groups returns the names of the groups, sorted.
func (p *panel) groups() (names []string) {
	seen := map[string]bool{}
	for _, b := range p.bikes {
		if !seen[b.Group] {
			seen[b.Group] = true
			names = append(names, b.Group)
		}
	}
	sort.Strings(names)
	return names
}

// only returns the panel of one group, each bike's readings drawn once with a set, so that
// they are learned too.
func (p *panel) only(group string) *panel {
	sub := &panel{readings: 1}
	at := map[int]int{}
	for i, b := range p.bikes {
		if b.Group == group {
			at[i] = len(sub.bikes)
			sub.bikes = append(sub.bikes, b)
		}
	}
	for _, a := range p.answers {
		if i, ok := at[a.bike]; ok {
			a.bike = i
			sub.answers = append(sub.answers, a)
		}
	}
	return sub
}

// learnHalf foretells each half of a bike's gears by the other, and by nothing.
func (p *panel) learnHalf(chances [][]float32, bike int) (was, is [][]score.Prediction, err error) {
	was, is = make([][]score.Prediction, sim.NumConcerns), make([][]score.Prediction, sim.NumConcerns)
	even := make([]float64, len(chances))
	for k := range even {
		even[k] = 1 / float64(len(even))
	}
	for half := range 2 {
		logs := make([]float64, len(chances))
		for k, row := range chances {
			for j, a := range p.answers {
				if a.bike == bike && a.gear%2 != half && row[j] >= 0 {
					logs[k] += seenLog(float64(row[j]), &a)
				}
			}
		}
		w, err := ensemble.Weigh(logs, halfLeast)
		if err != nil {
			return nil, nil, err
		}
		for j, a := range p.answers {
			if a.bike == bike && a.gear%2 == half && chances[0][j] >= 0 {
				o := score.Prediction{P: mean(chances, even, j), Happened: a.yes, Group: p.bikes[bike].Group, X: a.number}
				was[a.concern] = append(was[a.concern], o)
				o.P = mean(chances, w.Weight, j)
				is[a.concern] = append(is[a.concern], o)
			}
		}
	}
	return was, is, nil
}

// seenLog is the log likelihood of an answer that was seen as surely as the learn command
// takes it.
func seenLog(p float64, a *answer) float64 {
	p = cases.Unsure(a.concern, p)
	if !a.yes {
		p = 1 - p
	}
	return math.Log(halfSure*p + (1-halfSure)*(1-p))
}
