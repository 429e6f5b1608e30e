package cli

import (
	"errors"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
)

type learnOptions struct {
	seen              seenFlags
	write, shop, from string
	format            string
	all               bool
}

func newLearn(s streams) *cobra.Command {
	var o learnOptions
	c := &cobra.Command{
		Use:   "learn CASE...",
		Short: "Fit the result to what your bike really does",
		Long: `learn fits the chances to what you saw of your bike, the good gears too. Say it in the bike file
(observations:, symptoms:) or here, as GEARS [riding|backwards]: WHAT [N of M] [moved MM]. GEARS is
32/51, */51 or several with commas. WHAT is noise, drop, quiet (no noise), fine (no fault) and others:
help casefile. moved -2: seen with the chainring 2 mm inboard. What you saw of shifts (32/19>17: late)
changes shifts and diagnose alone. With --write the bike file keeps all of it, and every command uses
it. With --shop many bikes are learned from together; --from starts one bike there.`,
		Example: `  chainpath learn trail --seen '32/51 backwards: drop 3 of 10' --seen '32/38: fine'
  chainpath learn --shop shop.yaml bikes/*.yaml`,
		Args:              cobra.MinimumNArgs(1),
		ValidArgsFunction: completeCases,
		RunE: func(_ *cobra.Command, args []string) error {
			switch {
			case o.shop != "":
				return o.pool(s, args)
			case len(args) > 1:
				return usagef("%d bikes, want one, or --shop FILE to learn from many together", len(args))
			}
			return o.run(s, args[0])
		},
	}
	o.seen.flag(c, "32/51 backwards: drop 3 of 10", seenIn)
	c.Flags().StringVar(&o.write, "write", "", "bike file to write, with what was seen and learned")
	c.Flags().StringVar(&o.shop, "shop", "", "file for what many bikes teach together: a shop's memory")
	c.Flags().StringVar(&o.from, "from", "", "a shop's memory to start from")
	formatFlag(c, &o.format)
	allFlag(c, &o.all)
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
	out := output{doc, show.LearningHeader, doc.Rows, func(w io.Writer) error { return show.LearningText(w, doc, o.all, o.write == "", o.next(name)) }}
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

// next is what to type when something was learned: the same and keep it, or where it counts.
func (o *learnOptions) next(name string) string {
	if o.write != "" {
		return then("gears", o.write)
	}
	args := []string{name}
	for _, line := range o.seen.lines {
		args = append(args, "--seen", "'"+line+"'")
	}
	if o.from != "" {
		args = append(args, "--from", o.from)
	}
	file := name
	if slices.Contains(cases.Shipped(), name) {
		file += ".yaml"
	}
	return then("learn", append(args, "--write", file)...)
}
