package cli

import (
	"bytes"
	"io"

	"github.com/spf13/cobra"

	"chainpath/cmd/internal/show"
)

// formatFlag adds --format to a command that prints numbers.
func formatFlag(c *cobra.Command, to *string) {
	c.Flags().StringVar(to, "format", "table", "table, json or csv")
	_ = c.RegisterFlagCompletionFunc("format", cobra.FixedCompletions([]string{"table", "json", "csv"}, cobra.ShellCompDirectiveNoFileComp))
}

func checkFormat(f string) error {
	if f != "table" && f != "json" && f != "csv" {
		return usagef("--format %q, want table, json or csv", f)
	}
	return nil
}

// output is what a command prints, in each of the formats.
type output struct {
	doc    any // JSON
	header []string
	rows   func() [][]string
	table  func(w io.Writer) error
}

// render returns the text in one format. It is made whole before any of it is
// written, so that a failure prints nothing partial.
func (o output) render(format string) ([]byte, error) {
	var b bytes.Buffer
	var err error
	switch format {
	case "json":
		err = show.JSON(&b, o.doc)
	case "csv":
		err = show.CSV(&b, o.header, o.rows())
	default:
		err = o.table(&b)
	}
	return b.Bytes(), err
}

// print renders and writes to standard output; before, when not nil, is what has
// to succeed first, such as writing figures.
func (o output) print(s streams, format string, before func() error) error {
	text, err := o.render(format)
	if err != nil {
		return err
	}
	if before != nil {
		if err := before(); err != nil {
			return err
		}
	}
	_, err = s.out.Write(text)
	return err
}
