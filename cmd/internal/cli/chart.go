package cli

import (
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
	"chainpath/plots"
	"chainpath/sim/sweep"
)

type chartOptions struct {
	x, y, front, effects, title string
	z                           []string
	levels                      []float64
	feasible                    []string
	format                      string
	fig                         figureOptions
}

func newChart(s streams) *cobra.Command {
	var o chartOptions
	c := &cobra.Command{
		Use:   "chart ROWS",
		Short: "Draw what a sweep wrote, and what each number does",
		Long: `chart draws rows of a sweep by their columns: a result over one number, a map over two, or two
results against each other with the designs that no other beats. --effects tells how much of a
result's variance goes with each number (first-order sensitivity index, from means of groups).`,
		Example: `  chainpath sweep chart rows.csv --x front_line_mm --y frame_stay_mm --z top_bend_deg --feasible 'stay_mm>=0'
  chainpath sweep chart rows.csv --front top_bend_deg:less,stay_mm:more`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return o.run(s, args[0]) },
	}
	f := c.Flags()
	f.StringVar(&o.x, "x", "", "column along")
	f.StringVar(&o.y, "y", "", "column up, for a map")
	f.StringSliceVar(&o.z, "z", nil, "column of the result; several: a figure each")
	f.Float64SliceVar(&o.levels, "level", nil, "levels of the result to draw")
	f.StringArrayVar(&o.feasible, "feasible", nil, "COLUMN>=NUMBER or COLUMN<=NUMBER: the region to outline; more than once: all")
	f.StringVar(&o.front, "front", "", "two results, COLUMN:less,COLUMN:more")
	f.StringVar(&o.effects, "effects", "", "result whose variance to share out over the varied columns (those before status)")
	f.StringVar(&o.title, "title", "", "above the figures; left out, the file's name")
	f.StringVarP(&o.fig.dir, "out", "o", "figures", "folder for the figures")
	o.fig.addImage(c)
	formatFlag(c, &o.format)
	return c
}

func (o *chartOptions) run(s streams, name string) error {
	if err := checkFormat(o.format); err != nil {
		return err
	}
	if err := o.fig.check(); err != nil {
		return err
	}
	if len(o.z) == 0 && o.front == "" && o.effects == "" {
		return usagef("nothing to draw: --z with --x, --front or --effects")
	}
	if len(o.levels) > 0 && len(o.z) == 0 {
		return usagef("--level without --z: of which result?")
	}
	if len(o.z) > 0 && o.x == "" {
		return usagef("--z without --x")
	}
	end := progress(s, "chart", 0, nil)
	defer end()
	t, err := readRows(name)
	if err != nil {
		return err
	}
	if t.partial {
		end()
		fmt.Fprintf(s.err, "chainpath: %s: its sweep is not at its end, %d rows of it are drawn\n", name, len(t.x[0]))
	}
	g := plots.Chart{Title: o.title, Levels: o.levels}
	if g.Title == "" {
		g.Title = cases.Printable(filepath.Base(name))
	}
	if wrong := cases.CheckLine(g.Title); wrong != "" {
		return usagef("--title: %s", wrong)
	}
	if err := o.region(t, &g); err != nil {
		return err
	}
	if err := o.drawable(t); err != nil {
		return err
	}
	var figs []plots.Figure
	for _, z := range o.z {
		f, err := o.over(t, g, z)
		if err != nil {
			return err
		}
		figs = append(figs, f)
	}
	if o.front != "" {
		f, err := o.beaten(t, g)
		if err != nil {
			return err
		}
		figs = append(figs, f)
	}
	draw := func() error {
		end()
		if len(figs) == 0 {
			return nil
		}
		return o.fig.render(s, figs)
	}
	if o.effects == "" {
		return draw()
	}
	doc, err := o.shares(t, name)
	if err != nil {
		return err
	}
	end()
	out := output{doc, show.EffectsHeader, doc.Rows, func(w io.Writer) error { return show.EffectsTable(w, &doc) }}
	return out.print(s, o.format, draw)
}

// region finds the feasible rows.
func (o *chartOptions) region(t *table, g *plots.Chart) error {
	if len(o.feasible) == 0 {
		return nil
	}
	g.Said, g.Feasible = strings.Join(o.feasible, " and "), make([]bool, len(t.x[0]))
	for i := range g.Feasible {
		g.Feasible[i] = true
	}
	list, err := t.bounds("feasible", o.feasible)
	for _, b := range list {
		for i, v := range b.X {
			g.Feasible[i] = g.Feasible[i] && within(v, b.Bound)
		}
	}
	return err
}

func within(v float64, b cases.Bound) bool {
	return !math.IsNaN(v) && (!b.Least.Given || v >= b.Least.Value) && (!b.Most.Given || v <= b.Most.Value)
}

func (o *chartOptions) over(t *table, g plots.Chart, of string) (f plots.Figure, err error) {
	var x, y, z plots.Column
	if x, err = t.column("x", o.x); err != nil {
		return f, err
	}
	if z, err = t.column("z", of); err != nil {
		return f, err
	}
	if o.y == "" {
		if links, err := t.column("z", "links"); err == nil {
			g.Links = links.X
		}
		return g.Curve(x, z), nil
	}
	if y, err = t.column("y", o.y); err != nil {
		return f, err
	}
	return g.Map(x, y, z), nil
}

// drawable refuses a level of a map that no result comes to: there would be nothing to draw.
func (o *chartOptions) drawable(t *table) error {
	if o.y == "" {
		return nil // a line across shows where it lies
	}
	for _, l := range o.levels {
		reached, said := false, ""
		for _, of := range o.z {
			z, err := t.column("z", of)
			if err != nil {
				return err
			}
			lo, hi := math.Inf(1), math.Inf(-1)
			for _, v := range z.X {
				if !math.IsNaN(v) {
					lo, hi = math.Min(lo, v), math.Max(hi, v)
				}
			}
			reached = reached || l >= lo && l <= hi
			said = fmt.Sprintf("%s goes from %g to %g", of, lo, hi)
		}
		if !reached {
			return usagef("--level %g: no design reaches it, %s", l, said)
		}
	}
	return nil
}

func (o *chartOptions) beaten(t *table, g plots.Chart) (f plots.Figure, err error) {
	parts := strings.Split(o.front, ",")
	if len(parts) != 2 {
		return f, usagef("--front %q, want COLUMN:less,COLUMN:more", o.front)
	}
	var c [2]plots.Column
	var up [2]bool
	for i, p := range parts {
		name, way, _ := strings.Cut(p, ":")
		if way != "" && way != "less" && way != "more" {
			return f, usagef("--front %q: %q, want less or more", o.front, way)
		}
		up[i] = way == "more"
		if c[i], err = t.column("front", name); err != nil {
			return f, err
		}
	}
	return g.Front(c[0], c[1], up, sweep.Front(c[0].X, c[1].X, up)), nil
}

func (o *chartOptions) shares(t *table, name string) (show.Effects, error) {
	z, err := t.column("effects", o.effects)
	if err != nil {
		return show.Effects{}, err
	}
	var x [][]float64
	var of []float64
	for range t.vary {
		x = append(x, nil)
	}
	for i, v := range z.X {
		if math.IsNaN(v) {
			continue
		}
		of = append(of, v)
		for k := range x {
			x[k] = append(x[k], t.x[1+k][i])
		}
	}
	main, pairs := sweep.Effects(x, of)
	return show.FromEffects(cases.Printable(filepath.Base(name)), o.effects, t.names[1:1+t.vary], len(of), main, pairs), nil
}
