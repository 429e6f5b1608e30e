package cli

import (
	"errors"
	"fmt"
	"io"
	"runtime"
	"slices"
	"strings"
	"sync/atomic"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
	"chainpath/plots"
	"chainpath/sim/decide"
)

type partsOptions struct {
	format    string
	complaint []string
	top, most int
	load      loadFlags
	fig       figureOptions
}

// complaints are what --complaint can name, and the risks that belong to it.
var complaints = map[string]func(r decide.Risk) bool{
	"all":       decide.Safe,
	"noise":     func(r decide.Risk) bool { return !decide.Safe(r) },
	"drops":     func(r decide.Risk) bool { return r.Kind.String() == "climb" },
	"backwards": func(r decide.Risk) bool { return r.Kind.String() == "climb" && r.Direction.String() == "backwards" },
	"rubs": func(r decide.Risk) bool {
		return slices.Contains([]string{"next_cog", "next_ring", "tyre", "stay"}, r.Kind.String())
	},
	"slack": func(r decide.Risk) bool { return r.Kind.String() == "top_slack" || r.Kind.String() == "close" },
}

func complaintNames() []string {
	return []string{"all", "noise", "drops", "backwards", "rubs", "slack"}
}

func newParts(s streams) *cobra.Command {
	var o partsOptions
	c := &cobra.Command{
		Use:   "parts CASE CATALOGUE",
		Short: "Which change cures it, and what does it break",
		Long: `parts combines the candidate changes of a catalogue, evaluates every combination
and ranks them: what is left of the complaint, what gets newly wrong, fewest
changes, lowest price, least noise. It prints those that no other beats in every
respect, and the best beside the bike as it is. Ctrl-C prints what was found so
far, marked partial.

` + cautions,
		Example: `  chainpath parts trail trail-parts
  chainpath parts bike.yaml catalogue.yaml --complaint backwards,rubs --figures figures`,
		Args: cobra.ExactArgs(2),
		RunE: func(_ *cobra.Command, args []string) error { return o.run(s, args[0], args[1]) },
	}
	formatFlag(c, &o.format)
	c.Flags().StringSliceVar(&o.complaint, "complaint", []string{"all"}, "what is to be cured: "+strings.Join(complaintNames(), ", "))
	c.Flags().IntVar(&o.top, "top", 3, "how many of the best to show gear by gear, 1 to 5")
	c.Flags().IntVar(&o.most, "most", 200000, "refuse more combinations than this, at most 5000000, which is memory for them all")
	c.Flags().StringVar(&o.fig.dir, "figures", "", "also draw the comparison into this folder")
	o.fig.addImage(c)
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
	cat, err := cases.LoadCatalogue(catalogue)
	if err != nil {
		return err
	}
	cand, err := cat.For(c)
	if err != nil {
		return err
	}
	n, err := cand.Plan.Size(o.most)
	if err != nil {
		return usagef("%s: %w; put changes that exclude each other into one group, or raise --most", catalogue, err)
	}
	out, failed, err := o.search(s, cand, n)
	partial := errors.Is(err, decide.ErrStopped)
	if err != nil && !partial {
		return c.Explain(err)
	}
	if len(out) == 0 {
		if partial {
			return errStopped
		}
		return err
	}
	if err := o.print(s, c, cat, cand, out, failed, n, partial); err != nil || !partial {
		return err
	}
	return partialResult{fmt.Sprintf("stopped after %d of %d combinations: the result is partial", len(out)+failed, n)}
}

// search runs the search with Ctrl-C and a progress line.
func (o *partsOptions) search(s streams, cand *cases.Candidates, n int) ([]decide.Outcome, int, error) {
	var done atomic.Int64
	defer progress(s, "combinations", n, &done)()
	complaint := func(r decide.Risk) bool {
		return slices.ContainsFunc(o.complaint, func(name string) bool { return complaints[name](r) })
	}
	return decide.Search(s.stoppable(), cand.Plan, cand.Builder, complaint, runtime.NumCPU(), &done)
}

func (o *partsOptions) print(s streams, c *cases.Case, cat *cases.Catalogue, cand *cases.Candidates, found []decide.Outcome, failed, n int, partial bool) error {
	best := decide.Best(found)
	doc := show.Parts{Case: c.Title, Catalogue: cat.Title, Combinations: n, Evaluated: len(found) + failed, Failed: failed, Partial: partial}
	if found[0].Index == 0 {
		doc.Before = show.ScoreOf(found[0])
	}
	var sets []show.SetUp
	add := func(name string, picks []int) error {
		b, err := cand.Builder()(picks)
		if err != nil {
			return err
		}
		r, err := b.Evaluate()
		if err != nil {
			return c.Explain(err)
		}
		sets = append(sets, show.SetUp{Name: name, Bike: b, Result: r, Friction: c.Friction()})
		return nil
	}
	if err := add("as it is", nil); err != nil {
		return err
	}
	for _, x := range best {
		b := show.BestOf(cand.Plan, x)
		doc.Best = append(doc.Best, b)
		if len(sets) <= o.top && len(x.Picks) > 0 {
			if err := add(b.Name(), x.Picks); err != nil {
				return err
			}
		}
	}
	var err error
	if doc.Compared, err = show.FromSetUps(sets); err != nil {
		return err
	}
	out := output{doc, show.PartsHeader, doc.Rows, func(w io.Writer) error { return show.PartsTable(w, &doc, sets) }}
	return out.print(s, o.format, func() error { return o.fig.also(s, plots.Compare(c.Title+": what a change does", drawn(sets))) })
}
