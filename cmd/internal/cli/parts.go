package cli

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"sync/atomic"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/ask"
	"chainpath/cmd/internal/say"
	"chainpath/cmd/internal/show"
	"chainpath/plots"
	"chainpath/sim"
	"chainpath/sim/decide"
	"chainpath/sim/sweep"
)

type partsOptions struct {
	format    string
	all       bool
	next      string // what to type then
	complaint []string
	top, most int
	load      loadFlags
	fig       figureOptions
	weights   map[string]string

	worth, hour float64
	prices      string
	seen        seenFlags
}

// complaintNames are what --complaint can name.
func complaintNames() []string {
	names := []string{"all"}
	for _, h := range sim.Hazards {
		for _, c := range h.Cures {
			if !slices.Contains(names, c) {
				names = append(names, c)
			}
		}
	}
	return names
}

func newParts(s streams) *cobra.Command {
	var o partsOptions
	c := &cobra.Command{
		Use:     "fix CASE [CATALOGUE]",
		Aliases: []string{"parts"},
		Short:   "Which changes cure it, what they cost, what gets worse",
		Long: `fix says what to do about the symptoms of a bike file, or about what is likely by itself: put right
what reads wrong, a free setting, another gear, or the cheapest usual change that cures it and is
worth its price; else leave it. --prices has your own changes and prices (a change list).
With a CATALOGUE it combines the changes of that list and ranks them by what is left of the faults;
what is worth most beyond its price stands first. "As it is" may be the answer. Ctrl-C prints what was found so far, marked partial.`,
		Example: `  chainpath fix trail
  chainpath fix trail trail-parts
  chainpath fix bike.yaml changes.yaml --complaint backwards,rubs`,
		Args:              cobra.RangeArgs(1, 2),
		ValidArgsFunction: completeCaseThenCatalogue,
		RunE: func(c *cobra.Command, args []string) error {
			if err := o.fits(c, len(args) == 2); err != nil {
				return err
			}
			if len(args) == 1 {
				return o.advise(s, args[0])
			}
			return o.run(s, args[0], args[1])
		},
	}
	formatFlag(c, &o.format)
	allFlag(c, &o.all)
	c.Flags().StringSliceVar(&o.complaint, "complaint", []string{"all"}, "what is to be cured: "+strings.Join(complaintNames(), ", "))
	c.Flags().IntVar(&o.top, "top", 3, fmt.Sprintf("how many of the best to show gear by gear, 1 to %d", plots.MaxSetUps-1))
	c.Flags().IntVar(&o.most, "most", mostCombinations, "refuse more combinations than this, at most 5000000, which is memory for them all")
	c.Flags().StringVar(&o.fig.dir, "figures", "", "also draw the comparison, and what money buys, into this folder")
	o.fig.addImage(c)
	weightFlag(c, &o.weights)
	o.advice(c)
	o.load.add(c)
	return c
}

func (o *partsOptions) check() error {
	for _, n := range o.complaint {
		if !slices.Contains(complaintNames(), n) {
			return usagef("--complaint %q, want of %s", n, strings.Join(complaintNames(), ", "))
		}
	}
	switch {
	case o.top < 1 || o.top > plots.MaxSetUps-1:
		return usagef("--top %d is out of range, want 1 to %d", o.top, plots.MaxSetUps-1)
	case o.most < 1 || o.most > 5000000:
		return usagef("--most %d is out of range, want 1 to 5000000", o.most)
	}
	if err := o.checkMoney(); err != nil {
		return err
	}
	if err := checkFormat(o.format); err != nil {
		return err
	}
	return o.fig.check()
}

func (o *partsOptions) run(s streams, name, catalogue string) error {
	o.next = then("report", name)
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
	title, p, err := o.judge(s, c, catalogue, weights)
	if err != nil {
		return err
	}
	if len(p.Found) == 0 {
		if p.Partial {
			return errStopped
		}
		return nil
	}
	looked := len(p.Found) + p.Failed
	doc := show.Parts{Case: c.Title, Catalogue: title, Complaint: o.complaint, Combinations: p.Size, Evaluated: looked, Failed: p.Failed, Partial: p.Partial, LeftOut: show.LeftOutOf(p.LeftOut)}
	if err := o.print(s, c, p, &doc, weights); err != nil || !p.Partial {
		return err
	}
	return partialResult{fmt.Sprintf("stopped after %d of %d combinations: the result is partial", looked, p.Size)}
}

// judge screens a catalogue for a case, with Ctrl-C and a progress line.
func (o *partsOptions) judge(s streams, c *cases.Case, catalogue string, weights *decide.Weights) (title string, p *ask.Screened, err error) {
	cat, err := cases.LoadCatalogue(catalogue)
	if err != nil {
		return "", nil, err
	}
	watch := func(n int, done *atomic.Int64) func() { return progress(s, "combinations", n, done) }
	found, err := ask.Screen(s.stoppable(), c, cat, o.complains, weights, o.most, watch)
	if errors.Is(err, ask.ErrTooMany) {
		err = usagef("%s: %w, or raise --most", catalogue, err)
	}
	return cat.Title, &found, err
}

// mostCombinations is what is searched when nothing is said.
const mostCombinations = 200000

// complains reports whether a concern is of the complaint.
func (o *partsOptions) complains(k sim.Concern) bool {
	return slices.ContainsFunc(o.complaint, func(name string) bool { return name == "all" || slices.Contains(sim.Hazards[k].Cures, name) })
}

func (o *partsOptions) print(s streams, c *cases.Case, p *ask.Screened, doc *show.Parts, weights *decide.Weights) error {
	found, before := p.Look(), p.Judging.Before()
	doc.Looked, doc.Before = found.Of, show.ScoreOf(before)
	sets := []show.SetUp{expectedSet("as it is", before)}
	for i := range found.Best {
		x, b := &found.Best[i], found.Doc(p, i)
		doc.Best = append(doc.Best, b)
		if len(sets) <= o.top && len(x.Picks) > 0 {
			sets = append(sets, expectedSet(b.Name(), found.Expected[x.Index]))
		}
	}
	rule, told := o.rule(weights), len(c.Symptoms) > 0 || !slices.Equal(o.complaint, []string{"all"})
	doc.Answer = show.PartsWords(doc, before, weights, true, rule.Pays(told))
	var err error
	if doc.Compared, err = show.FromSetUps(sets, weights); err != nil {
		return err
	}
	out := output{doc, show.PartsHeader, doc.Rows, func(w io.Writer) error { return show.PartsTable(w, doc, sets, o.all, o.next) }}
	return out.print(s, o.format, func() error {
		return o.fig.also(s, plots.Compare(c.Title+": what a change does", drawn(sets)), pricesOf(p, doc, before, rule.Pays(told)))
	})
}

// pricesOf draws what every combination costs and leaves, those of the answer named.
func pricesOf(p *ask.Screened, doc *show.Parts, before *cases.Expected, worth float64) plots.Figure {
	today := before.Judged.Sum()
	share := func(left float64) float64 {
		if today <= 0 {
			return 1
		}
		return left / today
	}
	var all []plots.Priced
	var price, left []float64
	for i := range p.Found {
		x := plots.Priced{Price: p.Found[i].Price, Left: share(p.Found[i].Sum())}
		all, price, left = append(all, x), append(price, x.Price), append(left, x.Left)
	}
	top, least, half, free := doc.Picks(true, worth)
	var named []plots.Named
	list := []*show.PartsBest{top, least, half, free}
	for i, b := range list {
		if b == nil || len(b.Changes) == 0 || slices.Contains(list[:i], b) {
			continue
		}
		named = append(named, plots.Named{Priced: plots.Priced{Price: b.Price, Left: share(b.Left + b.Harm)}, Words: b.Name()})
	}
	title := say.LeaveUnpaid
	if len(top.Changes) > 0 {
		title = say.Priced(top.Price, today, top.Left+top.Harm)
	}
	return plots.Prices(title, all, sweep.Front(price, left, [2]bool{}), named)
}

func expectedSet(name string, e *cases.Expected) show.SetUp {
	return show.SetUp{Name: name, Bike: e.Bike, Result: e.Result, Friction: e.Case.Friction(), Chances: e.Chances, Share: e.Share, Carried: e.Carried}
}
