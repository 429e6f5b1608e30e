package main

import (
	"fmt"
	"io"
	"os"

	"gonum.org/v1/gonum/mat"

	"chainpath/cases"
	"chainpath/sim"
	"chainpath/sim/score"
)

// Numbers of sets drawn from the priors and shipped, and the effective size asked for.
const (
	drawn     = 8000
	shipped   = 200
	effective = 150
)

// readAndForetell reads the field panel and foretells it by draws from the priors.
func readAndForetell() (p *panel, draws *mat.Dense, chances [][]float32, err error) {
	if p, err = readPanel("testdata/field"); err != nil {
		return nil, nil, nil, err
	}
	draws = priorDraws(drawn)
	chances, err = p.foretell(draws)
	return p, draws, chances, err
}

func weigh(w io.Writer) error {
	p, draws, chances, err := readAndForetell()
	if err != nil {
		return err
	}
	all, err := p.weighBlocks(chances, effective, func(answer) bool { return true })
	if err != nil {
		return err
	}
	sets := compose(draws, all, shipped)
	if err := os.WriteFile("cases/sets.bin", cases.EncodeSets(sets.RawMatrix().Data), 0o644); err != nil {
		return err
	}
	for b, x := range all {
		fmt.Fprintf(w, "block %d: effective size %.0f, temper %.3f\n", b, x.Size, x.Temper)
	}
	values := make([]float64, drawn)
	for i, f := range cases.FreeNumbers() {
		for k := range values {
			values[k] = f.At(draws.At(k, i))
		}
		x := all[f.Block]
		q := x.Quantiles(values, .05, .5, .95)
		fmt.Fprintf(w, "   %-28s %8.3f %8.3f %8.3f %s\n", f.Name, q[0], q[1], q[2], f.Unit)
	}
	under, err := p.foretell(sets)
	if err != nil {
		return err
	}
	fit := p.fitted(under)
	if os.Getenv("LIST") != "" {
		p.list(w, under)
	}
	if err := table(w, "sets as shipped", fit); err != nil {
		return err
	}
	out, err := p.leftOut(chances, effective)
	if err != nil {
		return err
	}
	if err := table(w, "leaving each group out", out); err != nil {
		return err
	}
	return reliability(w, out)
}

// reliability prints how often what was given a chance happened, all concerns together.
func reliability(w io.Writer, out [][]score.Prediction) error {
	var all []score.Prediction
	for _, o := range out {
		all = append(all, o...)
	}
	bins, err := score.Reliability(all, []float64{0, 0.02, 0.1, 0.35, 0.65, 1})
	if err != nil {
		return err
	}
	for _, b := range bins {
		fmt.Fprintf(w, "chance %.2f to %.2f: %4d, mean chance %.3f, happened %d (%.3f)\n", b.From, b.To, b.N, b.Mean, b.Yes, b.Share)
	}
	return nil
}

func table(w io.Writer, title string, out [][]score.Prediction) error {
	fmt.Fprintln(w, title)
	for k, o := range out {
		if len(o) == 0 {
			continue
		}
		t, err := score.Count(o, 0.5)
		if err != nil {
			return err
		}
		r, err := score.RivalsOf(o)
		if err != nil {
			return err
		}
		fmt.Fprintf(w, "%-20s n %4d yes %3d", sim.Concern(k), t.N, t.Yes)
		for _, x := range []struct {
			name string
			t    score.Tally
		}{{"chances", t}, {"one number", r.Rule}, {"without the group", r.RuleOut}, {"base rate", r.RateOut}} {
			fmt.Fprintf(w, "  %s: %d %d %d %d  %.4f %.4f", x.name, x.t.Hit, x.t.False, x.t.Miss, x.t.Right, x.t.LogLoss, x.t.Brier)
		}
		fmt.Fprintln(w)
	}
	return nil
}

// list prints what happened or was given a chance of 0.08 and more.
func (p *panel) list(w io.Writer, chances [][]float32) {
	even := make([]float64, len(chances))
	for i := range even {
		even[i] = 1 / float64(len(even))
	}
	for j, a := range p.answers {
		c := mean(chances, even, j)
		if chances[0][j] >= 0 && (a.yes || c > 0.08) {
			b := p.bikes[a.bike]
			n := len(b.Case.Rear.Cogs)
			fmt.Fprintf(w, "   %-16s %v %.2f  %d/%d  %s\n", a.concern, a.yes, c, b.Case.Front.Rings[a.gear/n], b.Case.Rear.Cogs[a.gear%n], b.Case.Title)
		}
	}
}
