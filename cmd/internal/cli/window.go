package cli

import (
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"chainpath/cmd/internal/show"
	"chainpath/plots"
	"chainpath/sim"
	"chainpath/sim/decide"
)

type windowOptions struct {
	format  string
	load    loadFlags
	fig     figureOptions
	along   bool
	all     bool
	cells   bool
	weights map[string]string
}

func newWindow(s streams) *cobra.Command {
	var o windowOptions
	c := &cobra.Command{
		Use:     "chainline CASE",
		Aliases: []string{"window"},
		Short:   "Where the chainring should sit, and why",
		Long: `chainline moves the chainring in and out, up to the chainstay and the tyre, and shows what each
position would do to the faults. The rear chainline stays where it is.`,
		Example: `  chainpath chainline trail
  chainpath chainline trail --weight drop_backwards=5,noise_riding=0`,
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: completeCases,
		RunE:              func(_ *cobra.Command, args []string) error { return o.run(s, args[0]) },
	}
	formatFlag(c, &o.format)
	allFlag(c, &o.all)
	c.Flags().StringVar(&o.fig.dir, "figures", "", "also draw the figures into this folder")
	o.fig.addImage(c)
	c.Flags().BoolVar(&o.along, "along", false, "CSV rows are front chainlines with their fault score, not where faults begin")
	c.Flags().BoolVar(&o.cells, "map", false, "CSV rows are gears at front chainlines with their worst fault")
	c.MarkFlagsMutuallyExclusive("along", "map")
	weightFlag(c, &o.weights)
	o.load.add(c)
	return c
}

func (o *windowOptions) run(s streams, name string) error {
	if err := checkFormat(o.format); err != nil {
		return err
	}
	if err := o.fig.check(); err != nil {
		return err
	}
	weights, err := weightsOf(o.weights)
	if err != nil {
		return err
	}
	c, b, _, err := evaluate(s, name, &o.load)
	if err != nil {
		return err
	}
	end := progress(s, "window", 0, nil)
	w, err := c.Walls()
	end()
	if err != nil {
		return err
	}
	along, chances, err := c.Along(w, weights)
	if err != nil {
		return err
	}
	doc := show.FromWindow(c, b, w, along, chances)
	if doc.Known, err = c.FrontLineWithin(); err != nil {
		return err
	}
	cells := along.Map(chances)
	doc.AddMap(b, cells)
	out := output{doc, show.WindowHeader, doc.Rows, func(to io.Writer) error {
		return show.WindowTable(to, &doc, b, along, c.RingStep, o.all, then("fix", name))
	}}
	if o.along {
		out.header, out.rows = show.AlongHeader, doc.Along.Rows
	}
	if o.cells {
		out.header, out.rows = show.MapHeader, doc.MapRows
	}
	return out.print(s, o.format, func() error {
		return o.fig.also(s, plots.Window(c.Title, b, w, along.Ranges(chances, len(b.Cogs))), plots.LineMap(c.Title, b, cells))
	})
}

func weightFlag(c *cobra.Command, to *map[string]string) {
	c.Flags().StringToStringVar(to, "weight", nil, "how bad faults are, FAULT=N,...: 0 or more (default: help model)")
}

// weightsOf reads weights over the usual ones.
func weightsOf(given map[string]string) (*decide.Weights, error) {
	w := decide.Usual
	for name, text := range given {
		k := slices.Index(concernNames(), name)
		if k < 0 {
			return nil, usagef("--weight: no fault %q, want one of %s", name, strings.Join(concernNames(), ", "))
		}
		x, err := strconv.ParseFloat(text, 64)
		if err != nil || !(x >= 0 && x <= 1000) {
			return nil, usagef("--weight %s=%s, want a number from 0 to 1000", name, text)
		}
		w[k] = x
	}
	return &w, nil
}

func concernNames() (names []string) {
	for k := range sim.NumConcerns {
		names = append(names, sim.Concern(k).String())
	}
	return names
}
