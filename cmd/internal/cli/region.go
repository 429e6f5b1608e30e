package cli

import (
	"fmt"
	"io"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
	"chainpath/plots"
	"chainpath/sim/sweep"
)

type regionOptions struct {
	keep, sizes []string
	tolerance   map[string]string
	share       float64
	draws       int
	format      string
	fig         figureOptions
}

func newRegion(s streams) *cobra.Command {
	var o regionOptions
	c := &cobra.Command{
		Use:   "region ROWS",
		Short: "Where designs stay good as built: tolerances drawn, in all sizes",
		Long: `region takes the rows of a sweep over a grid and says which designs keep their results within
bounds in at least 95 of 100 bikes as built, each off by its tolerances: the best of them, how far
every number may go from there, and what ends it. Give in the bike file what has a tolerance here
± 0, else its doubt counts twice.`,
		Example: `  chainpath sweep trail --vary front.line=48:57:0.5 --vary frame.stay=425:450:1 -o rows.csv
  chainpath sweep region rows.csv --keep 'drop_backwards_most<=0.5' --tolerance front_line_mm=0.5`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return o.run(s, args[0]) },
	}
	f := c.Flags()
	f.StringArrayVar(&o.keep, "keep", nil, "COLUMN>=NUMBER or COLUMN<=NUMBER that a bike has to keep; more than once: all")
	f.StringToStringVar(&o.tolerance, "tolerance", nil, "COLUMN=NUMBER,...: how far off it is built, evenly within that either way")
	f.StringArrayVar(&o.sizes, "sizes", nil, "COLUMN or COLUMN=VALUE,VALUE: no choice, every value has to be good")
	f.Float64Var(&o.share, "share", 0.95, "of the bikes as built that have to be good, 0.5 to 0.99")
	f.IntVar(&o.draws, "draws", 512, "bikes built of each design, 64 to 16384")
	f.StringVar(&o.fig.dir, "figures", "", "folder for a map over the first two numbers that are a choice")
	o.fig.addImage(c)
	formatFlag(c, &o.format)
	return c
}

func (o *regionOptions) run(s streams, name string) error {
	if err := checkFormat(o.format); err != nil {
		return err
	}
	if err := o.fig.check(); err != nil {
		return err
	}
	switch {
	case len(o.keep) == 0:
		return usagef("nothing to keep: --keep 'COLUMN<=NUMBER'")
	case !(o.share >= 0.5 && o.share <= 0.99):
		return usagef("--share %g is out of range, want 0.5 to 0.99", o.share)
	case o.draws < 64 || o.draws > 16384:
		return usagef("--draws %d is out of range, want 64 to 16384", o.draws)
	}
	end := progress(s, "region", 0, nil)
	defer end()
	t, err := readRows(name)
	if err != nil {
		return err
	}
	if t.partial {
		return usagef("%s: its sweep is not at its end: sweep --resume goes on with it", name)
	}
	r, err := o.region(t)
	if err != nil {
		return err
	}
	if err := r.Prepare(t.x[1 : 1+t.vary]); err != nil {
		return usagef("%s: %w", name, err)
	}
	if err := o.ofSizes(t, r); err != nil {
		return err
	}
	found, err := r.Find(s.stoppable().Err)
	if err != nil {
		return err
	}
	end()
	if found.Judged == 0 {
		return usagef("%s: no design is as far from the ends of what was swept as its tolerances reach: sweep farther", name)
	}
	doc := show.FromRegion(cases.Printable(filepath.Base(name)), t.names[1:1+t.vary], r, found)
	words := func(column string) string { return plots.Column{Name: column}.Words() }
	out := output{doc, doc.Header(), func() [][]string { return show.RegionRows(r, found) }, func(w io.Writer) error {
		return show.RegionTable(w, &doc, words)
	}}
	return out.print(s, o.format, func() error {
		if o.fig.dir == "" {
			return nil
		}
		f, ok := regionMap(t, r, found)
		if !ok {
			return usagef("--figures: one number is a choice, a map takes two")
		}
		return o.fig.render(s, []plots.Figure{f})
	})
}

// region reads what is asked of a table.
func (o *regionOptions) region(t *table) (*sweep.Region, error) {
	r := &sweep.Region{Least: o.share, Draws: o.draws, Within: make([]float64, t.vary), All: make([][]int, t.vary)}
	list, err := t.bounds("keep", o.keep)
	if err != nil {
		return nil, err
	}
	for i, b := range list {
		k := sweep.Keep{Name: o.keep[i], X: b.X, Least: math.Inf(-1), Most: math.Inf(1), Chance: isChance(b.Of)}
		if b.Least.Given {
			k.Least = b.Least.Value
		} else {
			k.Most = b.Most.Value
		}
		r.Keeps = append(r.Keeps, k)
	}
	for column, text := range o.tolerance {
		d, err := varied(t, "tolerance", column)
		if err != nil {
			return nil, err
		}
		if r.Within[d], err = strconv.ParseFloat(text, 64); err != nil || !(r.Within[d] >= 0) || math.IsInf(r.Within[d], 0) {
			return nil, usagef("--tolerance %s=%s, want a number of 0 or more", column, text)
		}
	}
	return r, nil
}

// ofSizes reads which numbers are no choice, and which of their values count.
func (o *regionOptions) ofSizes(t *table, r *sweep.Region) error {
	for _, text := range o.sizes {
		column, list, some := strings.Cut(text, "=")
		d, err := varied(t, "sizes", column)
		if err != nil {
			return err
		}
		r.All[d] = []int{}
		for i := range r.Axes[d] {
			if !some {
				r.All[d] = append(r.All[d], i)
			}
		}
		for _, v := range strings.Split(list, ",") {
			if !some {
				break
			}
			x, err := strconv.ParseFloat(v, 64)
			i := slices.IndexFunc(r.Axes[d], func(y float64) bool { return math.Abs(x-y) < 1e-9 })
			if err != nil || i < 0 {
				return usagef("--sizes %s: %q is no value that was swept, there are %s", column, v, listOf(r.Axes[d]))
			}
			r.All[d] = append(r.All[d], i)
		}
	}
	if !slices.ContainsFunc(r.All, func(all []int) bool { return all == nil }) {
		return usagef("--sizes: nothing is left to choose")
	}
	return nil
}

func listOf(x []float64) string {
	var out []string
	for _, v := range x {
		out = append(out, strconv.FormatFloat(v, 'g', -1, 64))
	}
	if n := len(out); n > 12 {
		out = append(append(out[:6], "…"), out[n-3:]...)
	}
	return strings.Join(out, ", ")
}

// varied returns which of the varied columns has a name.
func varied(t *table, flag, name string) (int, error) {
	if d := slices.Index(t.names[1:1+t.vary], name); d >= 0 {
		return d, nil
	}
	return 0, usagef("--%s: %q is not varied in these rows, there are %s", flag, name, strings.Join(t.names[1:1+t.vary], ", "))
}

// isChance reports whether a column is of the largest chance of a fault.
func isChance(column string) bool {
	return slices.Contains(concernNames(), strings.TrimSuffix(column, "_most")) && strings.HasSuffix(column, "_most")
}

// regionMap draws the shares over the first two numbers that are a choice, at the others' best.
func regionMap(t *table, r *sweep.Region, found *sweep.Found) (f plots.Figure, ok bool) {
	if len(found.Choice) < 2 {
		return f, false
	}
	names := t.names[1 : 1+t.vary]
	a, b := found.Choice[0], found.Choice[1]
	x, y, z := plots.Column{Name: names[a]}, plots.Column{Name: names[b]}, plots.Column{Name: "good_as_built_percent"}
	g := plots.Chart{Title: "Bikes that are good as they are built", Said: fmt.Sprintf("at least %g %% of them", 100*r.Least), Feasible: []bool{}}
	place := slices.Clone(found.Best)
	for i := range r.Axes[a] {
		for j := range r.Axes[b] {
			place[a], place[b] = i, j
			m := r.At(place)
			x.X, y.X, z.X = append(x.X, r.Axes[a][i]), append(y.X, r.Axes[b][j]), append(z.X, 100*m.Good)
			g.Feasible = append(g.Feasible, m.Good >= r.Least)
		}
	}
	return g.Map(x, y, z), true
}
