package cli

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
)

type mybikeOptions struct {
	rings, cogs, front, rear, stay, teeth string
	speeds                                int
	title, tyre                           string
	out                                   string
	named                                 bool // whether out was given
}

// firstCase is the file that answers go to when none is named.
const firstCase = "bike.yaml"

func newMybike(s streams) *cobra.Command {
	var o mybikeOptions
	c := &cobra.Command{
		Use:   "mybike",
		Short: "Answer six questions and see what your chain will do",
		Long: `mybike asks at most six questions, each with a drawing of where to measure, saves the answers as a
bike file (bike.yaml, or -o FILE), and prints every gear. An empty line is "don't know": chainpath
then takes the usual value and says how much certainty that costs. Options answer beforehand.`,
		Example: `  chainpath mybike
  chainpath mybike --rings 30 --cogs 11-42 --front 51,5 --rear 12x148 --teeth narrow-wide -o mine.yaml`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return o.run(c, s) },
	}
	f := c.Flags()
	f.StringVar(&o.rings, "rings", "", "chainrings in teeth, such as 32 or 34,50")
	f.StringVar(&o.cogs, "cogs", "", "cogs of the cassette: every one, or smallest and largest as 11-42")
	f.IntVar(&o.speeds, "speeds", 0, "number of speeds; left out, as many as cogs, of 11-42 the usual number")
	f.StringVar(&o.front, "front", "", `front chainline, mm, or "tube 48.6, gap 29.9"`)
	f.StringVar(&o.rear, "rear", "", `rear chainline, mm, or "dropouts 141.2, stack 40.3, gap 4.1", or the axle as 148 or 12x148`)
	f.StringVar(&o.stay, "stay", "", "chainstay, axle to crank centre")
	f.StringVar(&o.teeth, "teeth", "", "a single chainring's teeth: narrow-wide (alternating) or plain")
	f.StringVar(&o.tyre, "tyre", "", "size of the rear tyre, such as 57-622, 29x2.25 or 700x40; not asked for")
	f.StringVar(&o.title, "title", "", "name of the bike; not asked for")
	f.StringVarP(&o.out, "out", "o", "", "bike file to write; left out, bike.yaml, which must not be there yet; -: standard output, the bike file alone")
	_ = c.RegisterFlagCompletionFunc("teeth", cobra.FixedCompletions([]string{"narrow-wide", "plain"}, cobra.ShellCompDirectiveNoFileComp))
	return c
}

func (o *mybikeOptions) run(c *cobra.Command, s streams) error {
	if err := o.place(); err != nil {
		return err
	}
	d := &cases.Draft{Title: o.title, Tyre: o.tyre}
	if wrong := cases.CheckLine(o.title); wrong != "" {
		return usagef("--title: %s", wrong)
	}
	if c.Flags().Changed("speeds") {
		if err := d.SetSpeeds(o.speeds); err != nil {
			return usagef("--speeds: %w", err)
		}
	}
	if err := o.ask(c, s, d); err != nil {
		return err
	}
	text, err := d.Write()
	if err != nil {
		return err
	}
	if o.out == "-" {
		_, err := s.out.Write(text)
		return err
	}
	if err := writeFile(o.out, text); err != nil {
		if o.named {
			return err
		}
		fmt.Fprintf(s.err, "%s\n\n", show.Wrap(fmt.Sprintf("nothing was saved (%s): name a file elsewhere with -o FILE, or print the bike file with -o -", message(err)), show.Columns))
		s.in = bytes.NewReader(text)
		return (&gearsOptions{format: "table"}).run(s, "-")
	}
	name := cases.Printable(o.out)
	fmt.Fprintf(s.err, "wrote %s; when you have measured more, edit it and run:\n  chainpath gears %s\n\n", name, name)
	return (&gearsOptions{format: "table"}).run(s, filepath.Clean(o.out))
}

// place looks before the first question whether the case can be written.
func (o *mybikeOptions) place() error {
	if o.out == "-" {
		return nil
	}
	if o.named = o.out != ""; !o.named {
		o.out = firstCase
		if _, err := os.Lstat(o.out); err == nil {
			return usagef("%s is there already: name another file with -o", o.out)
		}
	}
	if _, err := placeOf(o.out); err != nil && o.named {
		return err
	}
	return nil
}

// question is one that mybike asks.
type question struct {
	flag, text string
	ask, help  string
	drawing    string
	set        func(answer string) (note string, err error)
	when       func() bool // nil: always
	need       bool
	several    string // what it asks of several chainrings; "": the same
}

func (o *mybikeOptions) questions(d *cases.Draft) []question {
	plain := func(set func(string) error) func(string) (string, error) {
		return func(a string) (string, error) { return "", set(a) }
	}
	return []question{
		{"rings", o.rings, "Chainrings, teeth", "32, or 34,50", "", plain(d.SetRings), nil, true, ""},
		{"cogs", o.cogs, "Cogs of the cassette, teeth", "11-42, or 11 13 15 ...", "", plain(d.SetCogs), nil, true, ""},
		{"front", o.front, "Front chainline (chain line at the chainrings), mm", "51.5, or tube 48.6, gap 29.9; for more rings: tube 34, rings 23.5 31, face outer", frontDrawing, d.SetFront, nil, false, "Front chainline (chain line at the middle of the chainrings), mm"},
		{"rear", o.rear, "Rear chainline (chain line at the cassette), mm", "46, or dropouts 141.2, stack 40.3, gap 4.1; or the axle's name alone: 148, or 12x148", rearDrawing, d.SetRear, nil, false, ""},
		{"stay", o.stay, "Chainstay, axle to crank centre, mm", "432, or 17 in", stayDrawing, d.SetStay, nil, false, ""},
		{"teeth", o.teeth, "The chainring's teeth", "narrow-wide (one wide, one narrow in turn) or plain (all alike)", "", d.SetForm, d.AsksForm, false, ""},
	}
}

// of is what a question asks of the chainrings that there are.
func (q *question) of(d *cases.Draft) string {
	if q.several != "" && d.Rings() > 1 {
		return q.several
	}
	return q.ask
}

// ask takes what flags give and asks for the rest.
func (o *mybikeOptions) ask(c *cobra.Command, s streams, d *cases.Draft) error {
	in := newAnswers(s)
	for _, q := range o.questions(d) {
		switch {
		case c.Flags().Changed(q.flag):
			note, err := q.set(q.text)
			if err != nil {
				return usagef("--%s: %w", q.flag, err)
			}
			in.note(note)
		case q.when != nil && !q.when():
		default:
			q.ask = q.of(d)
			if err := in.put(q); err != nil {
				return err
			}
		}
	}
	return nil
}

// answers reads answers from a person or a pipe.
type answers struct {
	s      streams
	in     *bufio.Reader
	person bool
	over   bool
}

func newAnswers(s streams) *answers {
	f, ok := s.in.(*os.File)
	return &answers{s: s, in: bufio.NewReader(io.LimitReader(s.in, cases.MaxSize)), person: ok && term.IsTerminal(int(f.Fd()))}
}

func (a *answers) note(text string) {
	if text != "" {
		fmt.Fprintf(a.s.err, "%s\n", show.Wrap("note: "+text, show.Columns))
	}
}

// line reads one answer; at the end of the input it is empty.
func (a *answers) line() (string, error) {
	if a.over {
		return "", nil
	}
	text, err := a.in.ReadString('\n')
	if errors.Is(err, io.EOF) {
		a.over, err = true, nil
	}
	return strings.TrimSpace(text), err
}

// put asks a question: a person again until the answer can be read, a pipe once.
func (a *answers) put(q question) error {
	if a.person {
		fmt.Fprintf(a.s.err, "\n%s%s\n%s\n", q.drawing, q.ask, show.Indent("such as: "+q.help, "  ", show.Columns))
	}
	for {
		if a.person {
			fmt.Fprint(a.s.err, "> ")
		}
		text, err := a.line()
		if err != nil {
			return err
		}
		if q.need && cases.Unknown(text) && (a.over || !a.person) {
			return usagef("--%s is missing: %s, such as %s", q.flag, q.ask, q.help)
		}
		note, err := q.set(text)
		if err == nil {
			a.note(note)
			return nil
		}
		if !a.person {
			return usagef("answer to %s: %w", q.flag, err)
		}
		fmt.Fprintf(a.s.err, "%s\n", show.Wrap(message(err), show.Columns))
	}
}

const frontDrawing = `  from above, the frame centreline is |

       down tube  [=====|=====]             # ring
                  |<-- tube -->|<-- gap --->#
                        |<- chainline --->#

`

const rearDrawing = `  from behind, the frame centreline is |

    left dropout ]      |      ######## [ right dropout, the chain's side
                        |      cassette
                 |<------- dropouts ---->|
                        |      |<stack>|<->| gap
                        |<- rear chainline ->|  to the cassette's middle

`

const stayDrawing = `  from the side

      axle  o---------------O  crank
             <---- stay ---->

`
