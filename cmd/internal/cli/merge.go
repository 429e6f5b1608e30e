package cli

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"
)

func newMerge(s streams) *cobra.Command {
	var out string
	c := &cobra.Command{
		Use:   "merge FILE...",
		Short: "Put the rows of shards together, in the order of their designs",
		Long: `merge reads the files of a sweep's shards and writes their rows in the order of
their designs: the bytes that one run without shards would have written.`,
		Example: "  chainpath sweep merge part-*.csv -o rows.csv",
		Args:    cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if out == "" {
				return mergeRows(s.out, args)
			}
			return writeWhole(out, func(w io.Writer) error { return mergeRows(w, args) })
		},
	}
	c.Flags().StringVarP(&out, "out", "o", "", "file for the rows; left out, standard output")
	return c
}

// part is a shard's file with its next row.
type part struct {
	name   string
	r      *bufio.Reader
	line   []byte
	design int
	count  int
}

// next reads the next row; at the end design is -1.
func (p *part) next() error {
	before := p.design
	line, err := p.r.ReadBytes('\n')
	p.count++
	switch {
	case err == io.EOF && len(line) == 0:
		p.design = -1
		return nil
	case err == io.EOF:
		return usagef("%s: line %d is not whole: its sweep was broken off, go on with it by --resume", p.name, p.count)
	case err != nil:
		return err
	}
	n, ok := designOf(line)
	if !ok || n <= before {
		return usagef("%s: line %d is not a row of a sweep in order", p.name, p.count)
	}
	p.line, p.design = line, n
	return nil
}

func mergeRows(to io.Writer, names []string) error {
	w := bufio.NewWriterSize(to, 1<<16)
	var parts []*part
	var head []byte
	for i, name := range names {
		f, err := os.Open(name)
		if err != nil {
			return usageError{err}
		}
		defer f.Close()
		p := &part{name: name, r: bufio.NewReaderSize(f, 1<<16), design: -1}
		var h []byte
		if c, err := p.r.Peek(1); err == nil && c[0] != '{' {
			if h, err = p.r.ReadBytes('\n'); err != nil {
				return usagef("%s: no header", name)
			}
			p.count++
		}
		if i > 0 && !bytes.Equal(h, head) {
			return usagef("%s has other columns than %s", name, names[0])
		}
		head = h
		if err := p.next(); err != nil {
			return err
		}
		parts = append(parts, p)
	}
	if _, err := w.Write(head); err != nil {
		return err
	}
	for {
		var first *part
		for _, p := range parts {
			if p.design < 0 || first != nil && p.design > first.design {
				continue
			}
			if first != nil && p.design == first.design {
				return usagef("design %d is in %s and in %s", p.design, first.name, p.name)
			}
			first = p
		}
		if first == nil {
			return w.Flush()
		}
		if _, err := w.Write(first.line); err != nil {
			return fmt.Errorf("writing rows: %w", err)
		}
		if err := first.next(); err != nil {
			return err
		}
	}
}
