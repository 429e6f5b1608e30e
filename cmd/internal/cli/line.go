package cli

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/cmd/internal/show"
	"chainpath/sim"
	"chainpath/sim/budget"
)

// worksheet is a line worked out from its measurements.
type worksheet struct {
	Line  string     `json:"line"`
	Value float64    `json:"value_mm"`
	U     *float64   `json:"u_mm"` // standard uncertainty; nil when no reading has a tolerance
	Steps []workStep `json:"steps"`
}

// doubt works out the line's standard uncertainty from those of the readings, to first
// order; of(x) is the line at readings x.
func (w *worksheet) doubt(in []budget.Input, of func(x []float64) float64) error {
	if !slices.ContainsFunc(in, func(p budget.Input) bool { return p.U > 0 }) {
		return nil
	}
	r, err := budget.FirstOrder(func(x, y []float64) error { y[0] = of(x); return nil }, in, 1)
	if err != nil {
		return err
	}
	u := figures(r[0].U)
	w.U = &u
	return nil
}

type workStep struct {
	What  string  `json:"what"`
	How   string  `json:"how"`
	Value float64 `json:"value_mm"`
}

func (w *worksheet) step(what string, value float64, how string, a ...any) {
	w.Steps = append(w.Steps, workStep{what, fmt.Sprintf(how, a...), value})
	w.Value = value
}

func (w *worksheet) print(s streams, format, care string) error {
	rows := func() (rows [][]string) {
		for _, x := range w.Steps {
			rows = append(rows, []string{w.Line, x.What, x.How, fmt.Sprintf("%.10g", x.Value), ""})
		}
		if w.U != nil {
			rows[len(rows)-1][4] = fmt.Sprintf("%g", *w.U)
		}
		return rows
	}
	table := func(to io.Writer) error {
		t := show.Table{Left: map[int]bool{0: true, 1: true}, Flow: 1}
		for _, x := range w.Steps {
			t.Rows = append(t.Rows, []string{x.What, x.How, fmt.Sprintf("= %.2f mm", x.Value)})
		}
		if err := t.Write(to); err != nil {
			return err
		}
		known, spread := "", ""
		if w.U != nil { // as the bike file takes ± of a depth gauge: two standard uncertainties
			known = fmt.Sprintf(", known to ±%.2g mm", 2**w.U)
			spread = fmt.Sprintf(" ± %.2g (depth gauge)", 2**w.U)
		}
		_, err := fmt.Fprintf(to, "\n%s chainline %.2f mm%s. Into the bike file:\n\n%s:\n  line: %.2f%s\n\n%s\n\n%s\n", w.Line, w.Value, known, w.Line, w.Value, spread, show.Prose(care), say.Next(checkOwn))
		return err
	}
	return output{w, []string{"line", "what", "how", "value_mm", "u_mm"}, rows, table}.print(s, format, nil)
}

func newLine(s streams) *cobra.Command {
	c := &cobra.Command{
		Use:   "line",
		Short: "Front or rear chainline from measurements, step by step",
		Long: `line works out the front chainline (chainring to frame centreline) or the rear chainline (middle of
the cassette to frame centreline) from calipers and depth gauge. A ± behind a reading is carried on.`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(newLineFront(s), newLineRear(s))
	return c
}

// lengths reads length flags in order.
type lengths struct {
	in  []budget.Input // those given
	err error
}

// readAs are the case fields that the readings of the flags go to: how a reading without ±
// is doubted hangs on where it is read.
var readAs = map[string]string{
	"tube-width": "front.measured.tube_width", "gap": "front.measured.gap", "reading": "front.measured.readings",
	"dropouts": "rear.measured.dropouts", "stack": "rear.measured.stack", "protrusion": "rear.measured.protrusion",
}

func (l *lengths) read(name, text string, need bool, lo, hi float64) float64 {
	if l.err != nil {
		return 0
	}
	if text == "" {
		if need {
			l.err = usagef("--%s is missing: a length, %g to %g mm", name, lo, hi)
		}
		return 0
	}
	q, err := quantityFlag(name, text, "length", lo, hi)
	if err != nil {
		l.err = err
		return 0
	}
	in, ok, err := cases.AsInput(readAs[name], q)
	if !ok {
		in = budget.Input{Value: q.Value}
	}
	in.Name = name
	l.in, l.err = append(l.in, in), err
	return q.Value
}

const frontCare = `How to measure: pick a tube that reaches equally far to both sides of the frame's
middle (often the down tube; many seat tubes are offset). Measure its width across
the paint, then from its face square out to the ring's middle, or to the same face
of every ring with a depth gauge. Turn the cranks and take the mean: rings run out.
Take each reading three times. Keep fingers off ring and chain while the cranks
turn.`

func newLineFront(s streams) *cobra.Command {
	var tube, gap, thickness, face, format string
	var readings []string
	c := &cobra.Command{
		Use:   "front",
		Short: "Front chainline from a tube and its gap to the chainring",
		Long: `front works out the front chainline: from the frame centreline to the chainring, or to the middle
of several.`,
		Example: `  chainpath measure front --tube-width 48.6 --gap 29.9
  chainpath measure front --tube-width 34 --reading 23.65 --reading 31.15 --face outer --thickness 1.8`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := checkFormat(format); err != nil {
				return err
			}
			var l lengths
			w := l.read("tube-width", tube, true, 15, 120)
			t := l.read("thickness", thickness, false, 0, 6)
			var r []float64
			if len(readings) == 0 {
				r = append(r, l.read("gap", gap, true, -20, 80))
			} else if gap != "" {
				return usagef("--gap and --reading, want one of the two")
			}
			for _, text := range readings {
				r = append(r, l.read("reading", text, true, -20, 80))
			}
			faces := map[string]sim.Face{"centre": sim.Centre, "outer": sim.OuterFace, "inner": sim.InnerFace}
			f, ok := faces[face]
			switch {
			case l.err != nil:
				return l.err
			case !ok:
				return usagef("--face %q, want centre, outer or inner", face)
			case f != sim.Centre && thickness == "":
				return usagef("--thickness is missing: of the teeth, for readings on a face, 0 to 6 mm")
			case len(r) > 3:
				return usagef("%d readings, want one for each chainring, at most 3", len(r))
			}
			sheet := frontSheet(w, r, f, t)
			err := sheet.doubt(l.in, func(x []float64) float64 {
				thick := 0.0
				if thickness != "" {
					thick = x[1]
				}
				return sim.FrontFromRings(x[0], x[len(x)-len(r):], f, thick)
			})
			if err != nil {
				return err
			}
			return sheet.print(s, format, frontCare)
		},
	}
	c.Flags().StringVar(&tube, "tube-width", "", "width of the tube, mm or with unit")
	c.Flags().StringVar(&gap, "gap", "", "tube's face to the chainring's centre")
	c.Flags().StringArrayVar(&readings, "reading", nil, "tube's face to a chainring, once for each chainring, smallest first")
	c.Flags().StringVar(&face, "face", "centre", "face the readings were taken on: centre, outer or inner")
	c.Flags().StringVar(&thickness, "thickness", "", "thickness of the chainring's teeth, for readings on a face")
	formatFlag(c, &format)
	return c
}

func frontSheet(tube float64, readings []float64, face sim.Face, thickness float64) *worksheet {
	w := &worksheet{Line: "front"}
	w.step("half the tube's width", tube/2, "%g / 2", tube)
	reading := readings[0]
	switch len(readings) {
	case 2:
		reading = (readings[0] + readings[1]) / 2
		w.step("middle of the two chainrings", reading, "(%g + %g) / 2", readings[0], readings[1])
	case 3:
		reading = readings[1]
		w.step("the middle chainring", reading, "second of %s", strings.Trim(fmt.Sprint(readings), "[]"))
	default:
		w.step("tube's face to the chainring", reading, "as read")
	}
	switch face {
	case sim.OuterFace:
		w.step("from the outer face to the centre", reading-thickness/2, "%g - %g / 2", reading, thickness)
	case sim.InnerFace:
		w.step("from the inner face to the centre", reading+thickness/2, "%g + %g / 2", reading, thickness)
	}
	line := sim.FrontFromRings(tube, readings, face, thickness)
	w.step("together", line, "%g + %g", tube/2, w.Value)
	return w
}

const rearCare = `How to measure: dropouts between their inside faces with the wheel clamped; the
axle-spacing name is not that distance. Stack on a flat plate, from the largest
cog's back to the smallest cog's outer face; what rivets or the carrier stand
proud of the back goes off it. Gap from the drive-side dropout's face to the
smallest cog with feelers or a depth gauge; 2.5 to 5 mm is usual (common practice,
no published source). Take each reading three times. Work on a wheel that stands.`

func newLineRear(s streams) *cobra.Command {
	var dropouts, stack, protrusion, gap, format string
	c := &cobra.Command{
		Use:     "rear",
		Short:   "Rear chainline from dropouts, cassette and gap",
		Long:    `rear works out the rear chainline: from the frame centreline to the middle of the cassette.`,
		Example: `  chainpath measure rear --dropouts 147.5 --stack 42.6 --protrusion 0.9 --gap 4.9`,
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := checkFormat(format); err != nil {
				return err
			}
			var l lengths
			d := l.read("dropouts", dropouts, true, 80, 250)
			st := l.read("stack", stack, true, 1, 80)
			p := l.read("protrusion", protrusion, false, 0, 20)
			g := l.read("gap", gap, true, -5, 60)
			if l.err != nil {
				return l.err
			}
			w := &worksheet{Line: "rear"}
			w.step("half the dropouts' distance", d/2, "%g / 2", d)
			if protrusion != "" {
				w.step("stack of the cogs alone", st-p, "%g - %g", st, p)
			}
			w.step("half the stack", (st-p)/2, "%g / 2", st-p)
			w.step("from the dropout to the cassette's centre", g+(st-p)/2, "%g + %g", g, (st-p)/2)
			w.step("together", sim.RearFromFaces(d, st, p, g), "%g - %g", d/2, g+(st-p)/2)
			err := w.doubt(l.in, func(x []float64) float64 {
				proud := 0.0
				if protrusion != "" {
					proud = x[2]
				}
				return sim.RearFromFaces(x[0], x[1], proud, x[len(x)-1])
			})
			if err != nil {
				return err
			}
			return w.print(s, format, rearCare)
		},
	}
	c.Flags().StringVar(&dropouts, "dropouts", "", "between the dropouts' inside faces, as clamped, mm or with unit")
	c.Flags().StringVar(&stack, "stack", "", "largest cog's back to smallest cog's outer face")
	c.Flags().StringVar(&protrusion, "protrusion", "", "rivets or carrier proud of the largest cog's back")
	c.Flags().StringVar(&gap, "gap", "", "drive-side dropout's face to the smallest cog")
	formatFlag(c, &format)
	return c
}
