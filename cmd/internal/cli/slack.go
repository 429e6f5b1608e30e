package cli

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/cmd/internal/show"
	"chainpath/sim"
	"chainpath/sim/budget"
	"chainpath/sim/engage"
)

type slackOptions struct {
	links   []int
	sags    []string
	mass    string
	format  string
	assumed []string // flags given without a tolerance, with what is assumed
}

// massWithin is how well a link's mass is known when nothing is said, g: a scale's 2 g
// over a hundred links (assumption).
const massWithin = 0.02

func newSlack(s streams) *cobra.Command {
	var o slackOptions
	c := &cobra.Command{
		Use:     "sag",
		Aliases: []string{"slack"},
		Short:   "Side play and stiffness of the joints, from two sags of the chain",
		Long: `sag works out how far a chain's joints turn sideways freely, and how stiff they are beyond that.
Clean the chain. Clamp the plates of one link flat so that a number of links stick out level, on
their side. Lift the free end a little and let it down, from both sides, and measure how far it hangs
below the clamp (the mean). Do it again with another number of links: a long length tells stiffness,
a short one side play.`,
		Example: `  chainpath measure sag --links 12 --sag '15 ± 1' --links 30 --sag '160 ± 3' --mass 2.3`,
		Args:    cobra.NoArgs,
		RunE:    func(*cobra.Command, []string) error { return o.run(s) },
	}
	c.Flags().IntSliceVar(&o.links, "links", nil, "free links of a length, once for each of the two, 2 to 60")
	c.Flags().StringArrayVar(&o.sags, "sag", nil, "how far its end hangs down, mm or with unit, with ±; once for each")
	c.Flags().StringVar(&o.mass, "mass", "", "mass of a link, g, with ±: weigh the chain and divide by its links")
	formatFlag(c, &o.format)
	return c
}

func (o *slackOptions) run(s streams) error {
	if err := checkFormat(o.format); err != nil {
		return err
	}
	if len(o.links) != 2 || len(o.sags) != 2 {
		return usagef("%d lengths with %d sags, want --links and --sag twice each", len(o.links), len(o.sags))
	}
	var in []budget.Input
	add := func(name, text, dim string, lo, hi float64) error {
		if text == "" {
			return usagef("--%s is missing: %g to %g", name, lo, hi)
		}
		q, err := quantityFlag(name, text, dim, lo, hi)
		if err != nil {
			return err
		}
		if q.Spread == 0 && q.Instrument == "" && !q.Exact {
			if dim == "length" {
				q.Instrument = "tape"
			} else {
				q.Spread = massWithin
			}
			o.assumed = append(o.assumed, fmt.Sprintf("--%s %s", name, q))
		}
		x, _, err := cases.AsInput(name, q)
		in = append(in, x)
		return err
	}
	for i, n := range o.links {
		if n < 2 || n > 60 {
			return usagef("--links %d is out of range, want 2 to 60", n)
		}
		if err := add("sag", o.sags[i], "length", 0.1, float64(n)*sim.Pitch); err != nil {
			return err
		}
	}
	if err := add("mass", o.mass, "number", 0.5, 10); err != nil {
		return err
	}
	r, err := budget.FirstOrder(func(x, y []float64) error {
		w := x[2] / 1000 * sim.Gravity
		a := engage.Cantilever{Links: o.links[0], Pitch: sim.Pitch, Weight: w}
		b := engage.Cantilever{Links: o.links[1], Pitch: sim.Pitch, Weight: w}
		slack, stiff, err := engage.FromSags(a, b, x[0], x[1])
		y[0], y[1] = sim.Degrees(slack), stiff/1000
		return err
	}, in, 2)
	if errors.Is(err, engage.ErrSag) {
		return usageError{err}
	}
	if err != nil {
		return err
	}
	return o.print(s, r[0], r[1])
}

// slackDoc is the JSON document of the slack command.
type slackDoc struct {
	Slack      float64 `json:"slack_deg"`
	SlackU     float64 `json:"slack_u_deg"`
	Stiffness  float64 `json:"stiffness_nm_rad"`
	StiffnessU float64 `json:"stiffness_u_nm_rad"`
}

func (o *slackOptions) print(s streams, slack, stiff budget.Result) error {
	d := slackDoc{figures(slack.Value), figures(slack.U), figures(stiff.Value), figures(stiff.U)}
	f := func(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
	rows := func() [][]string { return [][]string{{f(d.Slack), f(d.SlackU), f(d.Stiffness), f(d.StiffnessU)}} }
	note := ""
	if len(o.assumed) > 0 {
		note = "\n" + show.Wrap("Assumed, because no tolerance was given: "+strings.Join(o.assumed, ", "), show.Columns) + "\n"
	}
	table := func(w io.Writer) error {
		_, err := fmt.Fprintf(w, `joint slack %.3g° (u %.2g°), stiffness without tension %.3g N·m/rad (u %.2g)

Into the bike file:

chain:
  slack: %s

The case's stiffness is that of joints under tension, which no sag shows:
chainpath measure stiffness.
%s
%s
`, d.Slack, d.SlackU, d.Stiffness, d.StiffnessU, withinField("chain.slack", slack.Value, slack.U), note, say.Next(checkOwn))
		return err
	}
	return output{d, []string{"slack_deg", "slack_u_deg", "stiffness_nm_rad", "stiffness_u_nm_rad"}, rows, table}.print(s, o.format, nil)
}

// figures keeps four figures, more than a bench test knows.
func figures(x float64) float64 {
	v, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 4, 64), 64)
	return v
}
