package cli

import (
	"io"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
	"chainpath/plots"
	"chainpath/sim"
	"chainpath/sim/decide"
)

type windowOptions struct {
	format string
	load   loadFlags
	fig    figureOptions
}

func newWindow(s streams) *cobra.Command {
	var o windowOptions
	c := &cobra.Command{
		Use:   "window CASE",
		Short: "Front lines that every constraint allows",
		Long: `window finds for each constraint the front lines it allows (no climbing riding
and backwards, clear of the next cog, the next ring, tyre and chainstay, quiet),
their overlap, and what binds it on either side. Edges are found on the model
itself. Tolerances in the case give the window that is surely safe, and possibly.`,
		Example:           "  chainpath window trail\n  chainpath window road --figures figures --image png",
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: completeCases,
		RunE:              func(_ *cobra.Command, args []string) error { return o.run(s, args[0]) },
	}
	formatFlag(c, &o.format)
	c.Flags().StringVar(&o.fig.dir, "figures", "", "also draw the window into this folder")
	o.fig.addImage(c)
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
	c, b, r, err := evaluate(s, name, &o.load)
	if err != nil {
		return err
	}
	w, doubt, err := windowOf(c, b, r.Links)
	if err != nil {
		return err
	}
	doc := show.FromWindow(c, b, w, doubt)
	out := output{doc, show.WindowHeader, doc.Rows, func(to io.Writer) error { return show.WindowTable(to, c.Title, b, w, doubt) }}
	return out.print(s, o.format, func() error { return o.fig.also(s, plots.Window(c.Title, b, w, doubt)) })
}

// windowOf finds a case's line window, and its doubt where there is any.
func windowOf(c *cases.Case, b *sim.Bike, links int) (*decide.Window, *decide.WindowDoubt, error) {
	w, err := decide.FindWindow(b, links)
	if err != nil {
		return nil, nil, c.Explain(err)
	}
	u, err := c.Uncertain()
	if err != nil || len(u.Inputs) == 0 {
		return w, nil, err
	}
	d, ok, err := decide.FindWindowDoubt(u.Vary().Bike, u.Inputs, links, w)
	if err != nil || !ok {
		return w, nil, c.Explain(err)
	}
	return w, &d, nil
}
