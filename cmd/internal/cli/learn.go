package cli

import (
	"errors"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
)

type learnOptions struct {
	seen              seenFlags
	write, shop, from string
	format            string
}

func newLearn(s streams) *cobra.Command {
	var o learnOptions
	c := &cobra.Command{
		Use:   "learn CASE...",
		Short: "What this bicycle does tells the numbers that nobody publishes",
		Long: `learn holds what a bicycle does, the good gears too, against the drawn sets of unknown
numbers (see defaults --unknowns) and keeps those that agree: what comes out is this
bicycle's own chances. Observations stand in the case (observations:, symptoms:) or are
given here, as GEARS [riding|backwards]: WHAT [N of M] [slight|loud] [sure S], where GEARS
is 32/51, */51 or several with commas, and WHAT is one of
` + strings.Join(cases.Observations(), ", ") + `.
With --write the case gets a learned: block, and gears, window, report, march and sweep
go by it.

With --shop FILE many cases with observations are learned from together: what is common
to the bikes of a kind, which is the chain's speeds, is written to FILE, and every bike is
foretold by the others to score it. With --from FILE one bike starts from that, also when
nothing was seen of it yet.

` + cautions,
		Example: `  chainpath learn trail --seen '32/51 backwards: off 3 of 10' --seen '32/38: quiet'
  chainpath learn bike.yaml --seen '*/44,*/51: noise loud' --write bike.yaml
  chainpath learn --shop shop.yaml bikes/*.yaml
  chainpath learn bike.yaml --from shop.yaml --write bike.yaml`,
		Args:              cobra.MinimumNArgs(1),
		ValidArgsFunction: completeCases,
		RunE: func(_ *cobra.Command, args []string) error {
			switch {
			case o.shop != "":
				return o.pool(s, args)
			case len(args) > 1:
				return usagef("%d cases, want one, or --shop FILE to learn from many together", len(args))
			}
			return o.run(s, args[0])
		},
	}
	o.seen.flag(c, "32/51 backwards: off 3 of 10", seenIn)
	c.Flags().StringVar(&o.write, "write", "", "file for the case with what was seen and learned")
	c.Flags().StringVar(&o.shop, "shop", "", "file for what many cases teach together: a shop's memory")
	c.Flags().StringVar(&o.from, "from", "", "a shop's memory to start from")
	formatFlag(c, &o.format)
	return c
}

func (o *learnOptions) run(s streams, name string) error {
	if err := checkFormat(o.format); err != nil {
		return err
	}
	file, text, err := cases.Text(name, s.in)
	if err != nil {
		return err
	}
	c, err := cases.Parse(file, cases.WithoutLearned(text))
	if err != nil {
		return err
	}
	if err := o.seen.add(c); err != nil {
		return err
	}
	b, err := c.Bike()
	if err != nil {
		return err
	}
	var from *cases.Memory
	if o.from != "" {
		if from, err = cases.LoadMemory(o.from); err != nil {
			return err
		}
	}
	end := progress(s, "learn", 0, nil)
	l, err := c.Learn(Version, from)
	end()
	if err != nil {
		return err
	}
	doc, err := show.FromLesson(l, b)
	if err != nil {
		return err
	}
	out := output{doc, show.LearningHeader, doc.Rows, func(w io.Writer) error { return show.LearningText(w, doc) }}
	return out.print(s, o.format, func() error {
		if o.write == "" {
			return nil
		}
		whole, err := l.Text(text)
		if err != nil {
			return err
		}
		if _, err := cases.Parse(o.write, whole); err != nil {
			return err
		}
		return writeFile(o.write, whole)
	})
}

// ofSeen turns a mistake of an observation into one of the flag it came by: the file has none
// of it.
func ofSeen(line string, err error) error {
	var e *cases.Error
	if !errors.As(err, &e) {
		return err
	}
	field := e.Path[strings.LastIndex(e.Path, ".")+1:]
	if strings.HasPrefix(field, "observations") {
		return usagef("--seen %q: %s", line, e.Problem)
	}
	return usagef("--seen %q: %s: %s", line, field, e.Problem)
}
