package cli

import (
	"errors"
	"fmt"
	"io"
	"math"
	"runtime"
	"slices"
	"strings"
	"sync/atomic"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
	"chainpath/plots"
	"chainpath/sim"
	"chainpath/sim/decide"
)

type partsOptions struct {
	format    string
	complaint []string
	top, most int
	load      loadFlags
	fig       figureOptions
	weights   map[string]string
}

// complaints are what --complaint can name, and the concerns that belong to it.
var complaints = map[string][]sim.Concern{
	"all":       sim.ToldOrder(),
	"noise":     {sim.NoiseRiding},
	"drops":     {sim.DropRiding, sim.DropBackwards},
	"backwards": {sim.DropBackwards},
	"rubs":      {sim.RubsNextCog, sim.RubsNextRing, sim.RubsTyreAt, sim.PulleyMeets, sim.CageMeets, sim.RubsFrontCage},
	"slack":     {sim.TopSlackBackwards, sim.DoesNotClose},
}

func complaintNames() []string {
	return []string{"all", "noise", "drops", "backwards", "rubs", "slack"}
}

func newParts(s streams) *cobra.Command {
	var o partsOptions
	c := &cobra.Command{
		Use:   "parts CASE CATALOGUE",
		Short: "Which change cures it, and what does it break",
		Long: `parts combines the candidate changes of a catalogue and ranks them by the trouble
that is to be expected: what is left of the complaint, and what else gets worse. Every
combination is looked at with one drawn set, the best forty with all of them. Of those
that cost no less and are no better than another only the other is shown; "as it is" is
among them, and may be the answer. Ctrl-C prints what was found so far, marked partial.

` + cautions,
		Example: `  chainpath parts trail trail-parts
  chainpath parts bike.yaml catalogue.yaml --complaint backwards,rubs --figures figures`,
		Args: cobra.ExactArgs(2),
		RunE: func(_ *cobra.Command, args []string) error { return o.run(s, args[0], args[1]) },
	}
	formatFlag(c, &o.format)
	c.Flags().StringSliceVar(&o.complaint, "complaint", []string{"all"}, "what is to be cured: "+strings.Join(complaintNames(), ", "))
	c.Flags().IntVar(&o.top, "top", 3, "how many of the best to show gear by gear, 1 to 5")
	c.Flags().IntVar(&o.most, "most", mostCombinations, "refuse more combinations than this, at most 5000000, which is memory for them all")
	c.Flags().StringVar(&o.fig.dir, "figures", "", "also draw the comparison into this folder")
	o.fig.addImage(c)
	weightFlag(c, &o.weights)
	o.load.add(c)
	return c
}

func (o *partsOptions) check() error {
	for _, n := range o.complaint {
		if complaints[n] == nil {
			return usagef("--complaint %q, want of %s", n, strings.Join(complaintNames(), ", "))
		}
	}
	switch {
	case o.top < 1 || o.top > plots.MaxSetUps-1:
		return usagef("--top %d is out of range, want 1 to %d", o.top, plots.MaxSetUps-1)
	case o.most < 1 || o.most > 5000000:
		return usagef("--most %d is out of range, want 1 to 5000000", o.most)
	}
	if err := checkFormat(o.format); err != nil {
		return err
	}
	return o.fig.check()
}

func (o *partsOptions) run(s streams, name, catalogue string) error {
	if err := o.check(); err != nil {
		return err
	}
	c, err := cases.Load(name, s.in)
	if err != nil {
		return err
	}
	if err := o.load.apply(c); err != nil {
		return err
	}
	weights, err := weightsOf(o.weights)
	if err != nil {
		return err
	}
	p, err := o.judge(s, c, catalogue, weights)
	if err != nil {
		return err
	}
	if len(p.found) == 0 {
		if p.partial {
			return errStopped
		}
		return nil
	}
	looked := len(p.found) + p.failed
	doc := show.Parts{Case: c.Title, Catalogue: p.title, Complaint: o.complaint, Combinations: p.size, Evaluated: looked, Failed: p.failed, Partial: p.partial}
	if err := o.print(s, c, p.cand, p.judging, decide.Shortlist(p.found, closely), &doc, weights); err != nil || !p.partial {
		return err
	}
	return partialResult{fmt.Sprintf("stopped after %d of %d combinations: the result is partial", looked, p.size)}
}

// screened are the combinations of a catalogue, each looked at with one set.
type screened struct {
	title   string
	cand    *cases.Candidates
	judging *cases.Judging
	size    int
	found   []decide.Effect
	failed  int
	partial bool
}

// judge screens a catalogue for a case.
func (o *partsOptions) judge(s streams, c *cases.Case, catalogue string, weights *decide.Weights) (p screened, err error) {
	cat, err := cases.LoadCatalogue(catalogue)
	if err != nil {
		return p, err
	}
	p.title = cat.Title
	if p.cand, err = cat.For(c); err != nil {
		return p, err
	}
	if p.size, err = p.cand.Plan.Size(o.most); err != nil {
		return p, usagef("%s: %w; put changes that exclude each other into one group, or raise --most", catalogue, err)
	}
	if p.judging, err = p.cand.Judging(o.complains, weights); err != nil {
		return p, c.Explain(err)
	}
	p.found, p.failed, err = o.search(s, p.cand, p.judging, p.size)
	if p.partial = errors.Is(err, decide.ErrStopped); p.partial {
		err = nil
	}
	return p, c.Explain(err)
}

// mostCombinations is what is searched when nothing is said.
const mostCombinations = 200000

// closely is how many combinations are looked at with every set.
const closely = 40

// complains reports whether a concern is of the complaint.
func (o *partsOptions) complains(k sim.Concern) bool {
	return slices.ContainsFunc(o.complaint, func(name string) bool { return slices.Contains(complaints[name], k) })
}

// search runs the search with Ctrl-C and a progress line.
func (o *partsOptions) search(s streams, cand *cases.Candidates, j *cases.Judging, n int) ([]decide.Effect, int, error) {
	var done atomic.Int64
	defer progress(s, "combinations", n, &done)()
	return decide.Search(s.stoppable(), cand.Plan, j.Screen, runtime.NumCPU(), &done)
}

// judged are combinations looked at with every set, the best first.
type judged struct {
	best     []decide.Effect
	expected map[int]*cases.Expected // by the combination's index
	looked   int
}

// look judges a shortlist with every set and keeps the best. What cannot be falls out.
func look(j *cases.Judging, list []decide.Effect) judged {
	d := judged{expected: map[int]*cases.Expected{}, looked: len(list)}
	var good []decide.Effect
	for _, x := range list {
		e, err := j.Expect(x.Picks)
		if err != nil || math.IsNaN(e.Judged.Sum()) {
			continue
		}
		x.Judged = e.Judged
		d.expected[x.Index] = e
		good = append(good, x)
	}
	d.best = decide.Best(good)
	return d
}

func (o *partsOptions) print(s streams, c *cases.Case, cand *cases.Candidates, j *cases.Judging, list []decide.Effect, doc *show.Parts, weights *decide.Weights) error {
	found := look(j, list)
	doc.Looked, doc.Before = found.looked, show.ScoreOf(j.Before())
	sets := []show.SetUp{expectedSet("as it is", j.Before())}
	for i := range found.best {
		x := &found.best[i]
		e := found.expected[x.Index]
		b := show.BestOf(cand.Plan, x, e, j.Before())
		doc.Best = append(doc.Best, b)
		if len(sets) <= o.top && len(x.Picks) > 0 {
			sets = append(sets, expectedSet(b.Name(), e))
		}
	}
	doc.Answer = show.PartsWords(doc, j.Before(), weights)
	var err error
	if doc.Compared, err = show.FromSetUps(sets, weights); err != nil {
		return err
	}
	out := output{doc, show.PartsHeader, doc.Rows, func(w io.Writer) error { return show.PartsTable(w, doc, sets) }}
	return out.print(s, o.format, func() error { return o.fig.also(s, plots.Compare(c.Title+": what a change does", drawn(sets))) })
}

func expectedSet(name string, e *cases.Expected) show.SetUp {
	return show.SetUp{Name: name, Bike: e.Bike, Result: e.Result, Friction: e.Case.Friction(), Chances: e.Chances, Share: e.Share}
}
