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
	all, err := p.logsOf(chances, "").weighBlocks(draws, effective)
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
	if err := table(w, "sets as shipped", fit.all); err != nil {
		return err
	}
	out, err := p.leftOut(draws, chances, effective)
	if err != nil {
		return err
	}
	if err := table(w, "leaving each group out", out.all); err != nil {
		return err
	}
	if err := table(w, "leaving each group out, reports alone", out.reports); err != nil {
		return err
	}
	return reliability(w, out.all)
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

// table prints the scores of predictions by concern: of all answers, or of those of reports alone.
// Against says by how much the log loss of the rule and of the base rate, each fitted without the
// group, lies above that of the chances, and the 95 % range of that with groups drawn again.
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
		if err != nil { // all of one bicycle: nothing is left to fit a rival to
			fmt.Fprintf(w, "%-20s n %4d yes %3d  chances: %d %d %d  %.4f area %.2f\n", sim.Concern(k), t.N, t.Yes, t.Hit, t.False, t.Miss, t.LogLoss, score.Area(o))
			continue
		}
		rule, err := score.Against(o, r.RuleChances, 1)
		if err != nil {
			return err
		}
		rate, err := score.Against(o, r.RateChances, 1)
		if err != nil {
			return err
		}
		fmt.Fprintf(w, "%-20s n %4d yes %3d  chances: %d %d %d  %.4f area %.2f  rule: %d %d %d  %.4f  left out: %d %d %d  %.4f area %.2f, above by %.4f (%.4f to %.4f)  base rate %.4f, above by %.4f (%.4f to %.4f)\n",
			sim.Concern(k), t.N, t.Yes, t.Hit, t.False, t.Miss, t.LogLoss, score.Area(o), r.Rule.Hit, r.Rule.False, r.Rule.Miss, r.Rule.LogLoss,
			r.RuleOut.Hit, r.RuleOut.False, r.RuleOut.Miss, r.RuleOut.LogLoss, areaOf(o, r.RuleChances), rule.Value, rule.Low, rule.Up, r.RateOut.LogLoss, rate.Value, rate.Low, rate.Up)
	}
	return nil
}

// areaOf returns the area under the curve of other chances.
func areaOf(o []score.Prediction, chances []float64) float64 {
	other := make([]score.Prediction, len(o))
	for i, x := range o {
		x.P = chances[i]
		other[i] = x
	}
	return score.Area(other)
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
