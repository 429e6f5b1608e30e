package cli

import (
	"errors"
	"fmt"
	"io"
	"math"
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

// benchResult is a field of a case, worked out from readings.
type benchResult struct {
	Path  string  `json:"path"`
	Value float64 `json:"value"`
	U     float64 `json:"u"` // standard uncertainty
	Unit  string  `json:"unit"`
	How   string  `json:"how"`
}

// benchDoc is the JSON document of a bench test.
type benchDoc struct {
	Test    string        `json:"test"`
	Results []benchResult `json:"results"`
	Assumed []string      `json:"assumed"`
}

// sheet reads a bench test's readings, in order, and works out fields from them.
type sheet struct {
	in      []budget.Input
	at      map[string]int
	assumed []string
	err     error
}

// read takes a reading; one without a tolerance counts as within, or for a length as read
// with calipers where that is 0.
func (s *sheet) read(name, text, dim string, lo, hi, within float64) {
	if s.err != nil || text == "" {
		return
	}
	q, err := quantityFlag(name, text, dim, lo, hi)
	if err != nil {
		s.err = err
		return
	}
	if q.Spread == 0 && q.Instrument == "" && !q.Exact {
		if q.Spread = within; within == 0 {
			q.Instrument = "caliper"
		}
		s.assumed = append(s.assumed, fmt.Sprintf("--%s %s", name, q))
	}
	x, _, err := cases.AsInput(name, q)
	if s.at == nil {
		s.at = map[string]int{}
	}
	s.at[name] = len(s.in)
	s.in, s.err = append(s.in, x), err
}

func (s *sheet) has(names ...string) bool {
	for _, n := range names {
		if _, ok := s.at[n]; !ok {
			return false
		}
	}
	return true
}

// work adds a field that follows from the readings.
func (s *sheet) work(d *benchDoc, path, unit, how string, of func(x func(name string) float64) (float64, error)) {
	if s.err != nil {
		return
	}
	r, err := budget.FirstOrder(func(x, y []float64) (err error) {
		y[0], err = of(func(name string) float64 { return x[s.at[name]] })
		return err
	}, s.in, 1)
	if err != nil {
		s.err = err
		return
	}
	d.Results = append(d.Results, benchResult{path, figures(r[0].Value), figures(r[0].U), unit, how})
}

// print writes the results and the lines for the case.
func (s *sheet) print(out streams, d *benchDoc, format, note string) error {
	if errors.Is(s.err, engage.ErrHung) {
		return usageError{s.err}
	}
	if s.err != nil {
		return s.err
	}
	d.Assumed = append([]string{}, s.assumed...)
	rows := func() (rows [][]string) {
		for _, r := range d.Results {
			rows = append(rows, []string{r.Path, strconv.FormatFloat(r.Value, 'g', -1, 64), strconv.FormatFloat(r.U, 'g', -1, 64), r.Unit, r.How})
		}
		return rows
	}
	table := func(w io.Writer) error {
		t := show.Table{Head: [][]string{{"field", "value", "u", "unit", "how"}}, Left: map[int]bool{0: true, 3: true, 4: true}, Flow: 5}
		for _, r := range d.Results {
			t.Rows = append(t.Rows, []string{r.Path, fmt.Sprintf("%.3g", r.Value), fmt.Sprintf("%.2g", r.U), r.Unit, r.How})
		}
		if err := t.Write(w); err != nil {
			return err
		}
		if _, err := fmt.Fprintf(w, "\nInto the bike file:\n\n%s", pasted(d.Results)); err != nil {
			return err
		}
		if len(d.Assumed) > 0 {
			note = "Assumed, because no tolerance was given: " + strings.Join(d.Assumed, ", ") + ".\n" + note
		}
		_, err := fmt.Fprintf(w, "\n%s\n\n%s\n", show.Wrap(note, show.Columns), say.Next(checkOwn))
		return err
	}
	return output{d, []string{"path", "value", "u", "unit", "how"}, rows, table}.print(out, format, nil)
}

// pasted returns the lines of a case, nested as its fields are.
func pasted(list []benchResult) string {
	var b strings.Builder
	var open []string
	for _, r := range list {
		keys := strings.Split(r.Path, ".")
		for i, k := range keys[:len(keys)-1] {
			if i >= len(open) || open[i] != k {
				open = append(open[:min(i, len(open))], k)
				fmt.Fprintf(&b, "%s%s:\n", strings.Repeat("  ", i), k)
			}
		}
		open = open[:len(keys)-1]
		unit := ""
		if r.Unit != "mm" && r.Unit != "°" {
			unit = " " + r.Unit
		}
		fmt.Fprintf(&b, "%s%s: %s%s\n", strings.Repeat("  ", len(keys)-1), keys[len(keys)-1], withinField(r.Path, r.Value, r.U), unit)
	}
	return b.String()
}

// withinField writes a value with ± as a case takes it: surely within, and inside the
// field's range.
func withinField(path string, v, u float64) string {
	q := cases.Quantity{Value: figures(v), Spread: figures(u * math.Sqrt(3)), Given: true}
	if lo, hi, _, _, err := cases.Bounds(path); err == nil {
		q.Spread = max(0, min(q.Spread, figures(q.Value-lo), figures(hi-q.Value)))
	}
	return q.String()
}

func newBench(s streams) *cobra.Command {
	c := &cobra.Command{
		Use:   "bench",
		Short: "Bench tests of chain and teeth: the readings, the arithmetic, the lines to paste",
		Long: `bench works out numbers of your own chain and teeth from readings, with their uncertainty, as lines
for the bike file.`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(newBenchStiffness(s), newBenchTwist(s), newBenchWidths(s), newBenchHanger(s), newBenchAdjuster(s))
	return c
}

func newBenchStiffness(s streams) *cobra.Command {
	var links, speeds int
	var tilt, mass, aside, slack, format string
	c := &cobra.Command{
		Use:   "stiffness",
		Short: "Stiffness of the joints under tension, from a chain hung from a tilted clamp",
		Long: `stiffness works out how stiff a chain's joints are sideways under tension. Clamp the plates of one
link flat, tilted sideways from plumb, hang a weight from the free end, and measure how far aside of
the clamp's first joint its plumb line is. A weight that falls hurts feet: keep it just above the
bench.

      //  clamp, tilted by --tilt
      o   first joint  --
       \                 |
        \                | aside
         |             --   (the plumb line)
         |
        [W] --mass

A joint turns when the weight's moment passes that of its pin on the bush (tension times
half the length they bear on); beyond its slack it is a spring. The stiffer the joints, the
farther aside. Let the weight come to rest from both sides and take the mean. 10 kg and 15°
are good numbers.`,
		Example: "  chainpath measure stiffness --speeds 12 --links 40 --tilt '15 ± 0.5' --mass '10 ± 0.05' --aside '19.4 ± 0.5' --slack '0.7 ± 0.1'",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := checkFormat(format); err != nil {
				return err
			}
			switch {
			case links < 10 || links > 120:
				return usagef("--links %d is out of range, want 10 to 120", links)
			case speeds < 1 || speeds > 14:
				return usagef("--speeds %d is out of range, want 1 to 14", speeds)
			}
			for name, text := range map[string]string{"tilt": tilt, "mass": mass, "aside": aside, "slack": slack} {
				if text == "" {
					return usagef("--%s is missing", name)
				}
			}
			var x sheet
			x.read("tilt", tilt, "angle", 2, 40, 0.5)
			x.read("mass", mass, "number", 1, 60, 0.05)
			x.read("aside", aside, "length", 0.5, 300, 1)
			x.read("slack", slack, "angle", 0.05, 5, 0.2)
			d := &benchDoc{Test: "stiffness"}
			x.work(d, "chain.stiffness", "N·m/rad", fmt.Sprintf("%d links hung", links), func(of func(string) float64) (float64, error) {
				h := engage.Hung{Links: links, Pitch: sim.Pitch, Tension: of("mass") * sim.Gravity, Tilt: sim.Radians(of("tilt")), Contact: cases.Bearing(speeds)}
				k, err := h.Stiffness(of("aside"), sim.Radians(of("slack")))
				return k / 1000, err
			})
			return x.print(s, d, format, fmt.Sprintf("Pin and bush bear on %.2f mm, by the usual sizes of a chain for %d speeds (assumption); the chain's own weight is left out.", cases.Bearing(speeds), speeds))
		},
	}
	c.Flags().IntVar(&links, "links", 40, "free links between clamp and weight, 10 to 120")
	c.Flags().IntVar(&speeds, "speeds", 12, "what the chain is made for, 1 to 14")
	c.Flags().StringVar(&tilt, "tilt", "", "of the clamped link from plumb, degrees, with ±")
	c.Flags().StringVar(&mass, "mass", "", "of the weight, kg, with ±")
	c.Flags().StringVar(&aside, "aside", "", "plumb line of the weight to the clamp's first joint, mm or with unit, with ±")
	c.Flags().StringVar(&slack, "slack", "", "of a joint either way, degrees, with ±: chainpath measure sag or twist")
	formatFlag(c, &format)
	return c
}

func newBenchTwist(s streams) *cobra.Command {
	var links int
	var turn, format string
	c := &cobra.Command{
		Use:   "twist",
		Short: "Joint slack from the twist of a length of chain, in a minute",
		Long: `twist works out a chain's joint slack from how far a length of it can be twisted by two
fingers from stop to stop: hold one end, turn the other about the chain's length until
it resists, one way and the other, and read the angle between.

      ====o====o====o====o====o====   --links
      held                    turned by --turn, from stop to stop

A pin tilts in its bush alike about both axes across it, so that each joint twists as far
as it turns sideways (assumption; no published source). Where plates or rivets stop the
sideways turn sooner the slack is less: two sags (chainpath measure sag) say it better.`,
		Example: "  chainpath measure twist --links 20 --turn '28 ± 2'",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := checkFormat(format); err != nil {
				return err
			}
			if links < 4 || links > 120 {
				return usagef("--links %d is out of range, want 4 to 120", links)
			}
			if turn == "" {
				return usagef("--turn is missing: degrees from stop to stop")
			}
			var x sheet
			x.read("turn", turn, "angle", 0.1*float64(links), 8*float64(links), 0.1*float64(links))
			d := &benchDoc{Test: "twist"}
			x.work(d, "chain.slack", "°", fmt.Sprintf("a joint of %d, half from stop to stop", links), func(of func(string) float64) (float64, error) {
				return of("turn") / float64(2*links), nil
			})
			return x.print(s, d, format, "At most so much: plates or rivets may stop the sideways turn sooner.")
		},
	}
	c.Flags().IntVar(&links, "links", 20, "joints between the two ends, 4 to 120")
	c.Flags().StringVar(&turn, "turn", "", "from stop to stop, degrees, with ±")
	formatFlag(c, &format)
	return c
}

// benchWidths are the readings of bench widths with the range that they can have, mm.
var benchWidths = []struct {
	name, what string
	lo, hi     float64
}{
	{"inner", "inside width of an inner link: the gap that a tooth enters", 1.5, 6},
	{"plate", "thickness of a plate", 0.4, 2},
	{"over-plates", "over the outer plates, beside the rivets", 3, 14},
	{"over-rivets", "over the rivet ends", 3, 14},
	{"height", "height of the plates", 5, 12},
	{"ring-tip", "thickness of a chainring's tips, narrow teeth", 0.2, 4},
	{"ring-wide-tip", "thickness of a chainring's tips, wide teeth", 0.2, 6},
	{"ring-root", "thickness of a chainring's teeth at the root, narrow teeth", 0.8, 4},
	{"cog-tip", "thickness of a cog's tips", 0.2, 4},
	{"cog-root", "thickness of a cog's teeth at the root", 0.8, 4},
}

// benchFields are the fields that follow from readings.
var benchFields = []struct {
	path, how string
	from      []string
	of        func(x func(string) float64) float64
}{
	{"chain.inner_width", "as read", []string{"inner"}, func(x func(string) float64) float64 { return x("inner") }},
	{"chain.outer_width", "over the plates less two", []string{"over-plates", "plate"}, func(x func(string) float64) float64 { return x("over-plates") - 2*x("plate") }},
	{"chain.width", "as read", []string{"over-rivets"}, func(x func(string) float64) float64 { return x("over-rivets") }},
	{"chain.rivet_proud", "half of what is over the plates", []string{"over-rivets", "over-plates"}, func(x func(string) float64) float64 { return max(0, (x("over-rivets")-x("over-plates"))/2) }},
	{"chain.plate_height", "as read", []string{"height"}, func(x func(string) float64) float64 { return x("height") }},
	{"front.tooth.tip_thickness", "as read", []string{"ring-tip"}, func(x func(string) float64) float64 { return x("ring-tip") }},
	{"front.tooth.wide_tip_thickness", "as read", []string{"ring-wide-tip"}, func(x func(string) float64) float64 { return x("ring-wide-tip") }},
	{"front.tooth.thickness", "as read", []string{"ring-root"}, func(x func(string) float64) float64 { return x("ring-root") }},
	{"rear.tooth.tip_thickness", "as read", []string{"cog-tip"}, func(x func(string) float64) float64 { return x("cog-tip") }},
	{"rear.tooth.thickness", "as read", []string{"cog-root"}, func(x func(string) float64) float64 { return x("cog-root") }},
}

func newBenchWidths(s streams) *cobra.Command {
	var format string
	given := map[string]*string{}
	c := &cobra.Command{
		Use:   "widths",
		Short: "Widths of plates and teeth from calipers",
		Long: `widths turns what calipers read on chain and teeth into the bike file's fields. Give those
that you have.

        | over-rivets |
         |over-plates|
      --[=============]--   outer plates, each --plate thick
          [=========]       inner plates
           | inner |        the gap that a tooth enters

         _
        / \    --ring-tip, --cog-tip: just below the rounding of the tip
       |   |   --ring-root, --cog-root: where the tooth is full

Clean first. Take each reading at three places and give the mean; teeth of a cassette
with shift ramps: take uncut ones.`,
		Example: "  chainpath measure widths --inner 2.19 --plate 0.81 --over-plates 5.5 --over-rivets '5.62 ± 0.05' --cog-tip 0.9 --cog-root 1.6",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := checkFormat(format); err != nil {
				return err
			}
			var x sheet
			for _, w := range benchWidths {
				x.read(w.name, *given[w.name], "length", w.lo, w.hi, 0.05)
			}
			d := &benchDoc{Test: "widths"}
			for _, f := range benchFields {
				if x.has(f.from...) {
					x.work(d, f.path, "mm", f.how, func(of func(string) float64) (float64, error) { return f.of(of), nil })
				}
			}
			if x.err == nil && len(d.Results) == 0 {
				return usagef("no reading that a field follows from, want at least one, such as --inner 2.19")
			}
			if x.has("over-rivets", "over-plates") && x.in[x.at["over-rivets"]].Value < x.in[x.at["over-plates"]].Value {
				return usagef("--over-rivets is less than --over-plates, want the rivets as wide or wider")
			}
			return x.print(s, d, format, "Each ± is surely within: calipers on a clean edge read within 0.05 mm (assumption).")
		},
	}
	for _, w := range benchWidths {
		given[w.name] = c.Flags().String(w.name, "", fmt.Sprintf("%s, mm or with unit, %g to %g mm", w.what, w.lo, w.hi))
	}
	formatFlag(c, &format)
	return c
}
