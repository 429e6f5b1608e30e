package cli

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
	"chainpath/plots"
	"chainpath/sim"
)

// figureOptions say which figures to draw and where.
type figureOptions struct {
	dir   string
	image []string
	gears []string
	flag  string // that gears came with; "": side
}

func (o *figureOptions) addFlags(c *cobra.Command) {
	o.addImage(c)
	c.Flags().StringSliceVar(&o.gears, "side", nil, "gears for the side view as RING/COG; the default is the first and the last")
}

// addImage adds the choice of formats.
func (o *figureOptions) addImage(c *cobra.Command) {
	c.Flags().StringSliceVar(&o.image, "image", []string{"svg"}, "formats of the figures: svg, png, pdf")
	_ = c.RegisterFlagCompletionFunc("image", cobra.FixedCompletions(plots.Formats, cobra.ShellCompDirectiveNoFileComp))
}

func (o *figureOptions) check() error {
	for _, f := range o.image {
		if !slices.Contains(plots.Formats, f) {
			return usagef("--image %q, want %s", f, strings.Join(plots.Formats, ", "))
		}
	}
	return nil
}

// pick returns the indices of the gears for the side view.
func (o *figureOptions) pick(r *sim.Result) ([]int, error) {
	if len(o.gears) == 0 {
		if len(r.Gears) == 1 {
			return []int{0}, nil
		}
		return []int{0, len(r.Gears) - 1}, nil
	}
	var out []int
	for _, name := range o.gears {
		ring, cog, ok := strings.Cut(name, "/")
		a, e1 := strconv.Atoi(ring)
		b, e2 := strconv.Atoi(cog)
		i := slices.IndexFunc(r.Gears, func(g sim.Gear) bool { return g.RingTeeth == a && g.CogTeeth == b })
		if !ok || e1 != nil || e2 != nil || i < 0 {
			return nil, usagef("--%s %q is no gear of this bike, want RING/COG such as %d/%d", cmp.Or(o.flag, "side"), name, r.Gears[0].RingTeeth, r.Gears[0].CogTeeth)
		}
		out = append(out, i)
	}
	return out, nil
}

// write draws the figures and says on standard error where they are.
func (o *figureOptions) write(s streams, c *cases.Case, b *sim.Bike, r *sim.Result) error {
	gears, err := o.pick(r)
	if err != nil {
		return err
	}
	doc, err := show.FromResult(c, b, r, nil)
	if err != nil {
		return err
	}
	if err := doc.AddChances(c, b, r); err != nil {
		return err
	}
	answer, err := answerFigure(c, b, r, &doc)
	if err != nil {
		return err
	}
	return o.render(s, plots.Figures(plots.Input{Title: c.Title, Bike: b, Result: r, Answer: answer}, gears...))
}

// also draws a figure when a folder was named for it.
func (o *figureOptions) also(s streams, f ...plots.Figure) error {
	if o.dir == "" {
		return nil
	}
	return o.render(s, f)
}

// render writes figures into the folder.
func (o *figureOptions) render(s streams, figs []plots.Figure) error {
	files, order := map[string][]byte{}, []string(nil)
	end := progress(s, "figures", 0, nil)
	defer end()
	for _, f := range figs {
		for _, format := range o.image {
			name := f.Name + "." + format
			if _, twice := files[name]; twice {
				continue
			}
			data, err := f.Render(format)
			if err != nil {
				return err
			}
			files[name] = data
			order = append(order, name)
		}
	}
	end()
	return o.keep(s, files, order)
}

// keep writes files into the folder and says on standard error where.
func (o *figureOptions) keep(s streams, files map[string][]byte, order []string) error {
	if err := writeFiles(o.dir, files, order); err != nil {
		return err
	}
	for _, name := range order {
		fmt.Fprintln(s.err, cases.Printable(filepath.Join(o.dir, name)))
	}
	return nil
}

func newDraw(s streams) *cobra.Command {
	var o figureOptions
	var load loadFlags
	c := &cobra.Command{
		Use:   "draw CASE",
		Short: "The figures of gears --figures, without its table",
		Long:  `draw writes the figures of a bike: the answer in one, top view, side view.`,
		Example: `  chainpath draw trail
  chainpath draw road --out figures --image png,pdf --side 34/11,50/28`,
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: completeCases,
		RunE: func(_ *cobra.Command, args []string) error {
			if err := o.check(); err != nil {
				return err
			}
			c, b, r, err := evaluate(s, args[0], &load)
			if err != nil {
				return err
			}
			return o.write(s, c, b, r)
		},
	}
	c.Flags().StringVarP(&o.dir, "out", "o", "figures", "folder for the figures")
	o.addFlags(c)
	load.add(c)
	return c
}
