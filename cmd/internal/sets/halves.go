package main

import (
	"fmt"
	"io"
	"slices"
	"sort"

	"gonum.org/v1/gonum/mat"

	"chainpath/sim"
	"chainpath/sim/learn"
	"chainpath/sim/score"
)

// halfSets is how many sets a group's bicycles start from, weighed without the group.
const halfSets = 2000

// offsets are the faults whose offsets were measured on the panel: those that learning is scored by.
var offsets = []sim.Concern{sim.NoiseRiding, sim.DropRiding, sim.DropBackwards, sim.RubsNextCog, sim.RubsNextRing}

// halves scores learning on the field panel: of every bike the gears are split in two by
// turns; one half is what was seen, the other is foretold, and the other way about. The
// sets it starts from are weighed without the bike's group. Beside it stands what those
// sets foretell of the same gears without anything seen. After that the larger cogs are foretold by
// the smaller ones, and the other way about.
func halves(w io.Writer) error {
	p, draws, chances, err := readAndForetell()
	if err != nil {
		return err
	}
	splits, err := p.halves(draws, chances, halfSets)
	if err != nil {
		return err
	}
	for i, s := range splits {
		if err := s.print(w, i == 0); err != nil {
			return err
		}
	}
	return nil
}

// halves learns from each half of every bike, of both splits, from so many sets.
func (p *panel) halves(draws *mat.Dense, chances [][]float32, n int) ([]*split, error) {
	all := p.logsOf(chances, "")
	splits := []*split{
		{title: "the other half of its gears", of: func(_ *fieldBike, gear int) int { return gear % 2 }},
		{title: "its smaller cogs, and those from the larger", of: func(b *fieldBike, gear int) int {
			n := len(b.Case.Rear.Cogs)
			return (2*(gear%n) + 1) / (n + 1) % 2
		}},
	}
	for _, group := range p.groups() {
		if group == ordinaryGroup {
			continue
		}
		weights, err := all.less(p.logsOf(chances, group)).weighBlocks(draws, effective)
		if err != nil {
			return nil, err
		}
		sub := p.only(group)
		sets := compose(draws, weights, n)
		under, err := sub.foretell(sets)
		if err != nil {
			return nil, err
		}
		for _, s := range splits {
			for bike := range sub.bikes {
				if err := s.learnHalf(sub, sets, under, bike); err != nil {
					return nil, err
				}
			}
		}
	}
	return splits, nil
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

// split is a way to cut a bicycle's gears in two, with what each half foretells of the other.
type split struct {
	title string
	of    func(b *fieldBike, gear int) int
	rows  []foretold
	bikes []gain
}

// foretold is an answer of a bicycle, without and with what was seen.
type foretold struct {
	bike    int // of bikes
	concern sim.Concern
	was, is score.Prediction
}

// gain is by how much a bicycle's answers are foretold better than by nothing: log loss, summed.
type gain struct {
	title string
	sum   float64
}

// learnHalf foretells each half of a bike's gears by the other, and by nothing.
func (s *split) learnHalf(p *panel, sets *mat.Dense, under [][]float32, bike int) error {
	b := p.bikes[bike]
	even := make([]float64, len(under))
	for k := range even {
		even[k] = 1 / float64(len(even))
	}
	list := make([][]float64, len(under))
	for k := range list {
		list[k] = sets.RawRowView(k)
	}
	own := gain{title: b.Case.Title}
	for half := range 2 {
		var seen []learn.Seen
		asked := false
		for j, a := range p.answers {
			if a.bike != bike || under[0][j] < 0 || !slices.Contains(offsets, a.concern) {
				continue
			}
			if s.of(b, a.gear) == half {
				asked = true
			} else {
				seen = append(seen, learn.SeenOf(a.concern, a.gear, a.yes))
			}
		}
		if !asked {
			continue
		}
		spread := b.lineSpread()
		faults, err := b.Case.FaultsFrom(list, seen, spread[0], spread[1])
		if err != nil {
			return fmt.Errorf("%s: %w", b.Case.Title, err)
		}
		for j, a := range p.answers {
			if a.bike != bike || s.of(b, a.gear) != half || under[0][j] < 0 || !slices.Contains(offsets, a.concern) {
				continue
			}
			o := score.Prediction{P: mean(under, even, j), Happened: a.yes, Group: b.Group, X: a.number}
			x := foretold{len(s.bikes), a.concern, o, o}
			x.is.P = faults[a.gear][a.concern]
			s.rows = append(s.rows, x)
			own.sum += score.LogLoss(x.was.P, a.yes) - score.LogLoss(x.is.P, a.yes)
		}
	}
	s.bikes = append(s.bikes, own)
	return nil
}

// most returns the places of the two bicycles that gain most, and how many are better and worse
// foretold.
func (s *split) most() (two []int, better, worse int) {
	order := make([]int, len(s.bikes))
	for i, b := range s.bikes {
		order[i] = i
		if b.sum > 0 {
			better++
		} else if b.sum < 0 {
			worse++
		}
	}
	sort.SliceStable(order, func(i, j int) bool { return s.bikes[order[i]].sum > s.bikes[order[j]].sum })
	return order[:2], better, worse
}

// score returns mean log losses without and with what was seen, by how much the former is larger
// with its range where groups are drawn again, and the number of answers, leaving out some bicycles.
func (s *split) score(without []int) (was, is float64, above score.Interval, n int, err error) {
	var learned []score.Prediction
	var chances []float64
	for _, x := range s.rows {
		if !slices.Contains(without, x.bike) {
			learned, chances = append(learned, x.is), append(chances, x.was.P)
			was, is = was+score.LogLoss(x.was.P, x.was.Happened), is+score.LogLoss(x.is.P, x.is.Happened)
		}
	}
	n = len(learned)
	above, err = score.Against(learned, chances, 1)
	return was / float64(n), is / float64(n), above, n, err
}

// print prints the scores; more adds them by concern.
func (s *split) print(w io.Writer, more bool) error {
	if more {
		var was, is [sim.NumConcerns][]score.Prediction
		for _, x := range s.rows {
			was[x.concern], is[x.concern] = append(was[x.concern], x.was), append(is[x.concern], x.is)
		}
		if err := table(w, "nothing seen of the bike", was[:]); err != nil {
			return err
		}
		if err := table(w, "learned from "+s.title, is[:]); err != nil {
			return err
		}
		if err := reliability(w, is[:]); err != nil {
			return err
		}
	}
	two, better, worse := s.most()
	fmt.Fprintf(w, "learned from %s: %d bikes better foretold, %d worse\n", s.title, better, worse)
	for _, x := range []struct {
		title   string
		without []int
	}{
		{"all", nil},
		{fmt.Sprintf("without those that gain most, %q (%.1f) and %q (%.1f)", s.bikes[two[0]].title, s.bikes[two[0]].sum, s.bikes[two[1]].title, s.bikes[two[1]].sum), two},
	} {
		was, is, above, n, err := s.score(x.without)
		if err != nil {
			return err
		}
		fmt.Fprintf(w, "%s: %d answers, log loss %.4f with nothing seen, %.4f learned, above by %.4f (%.4f to %.4f)\n", x.title, n, was, is, above.Value, above.Low, above.Up)
	}
	return nil
}
