package cli

import (
	"io"
	"slices"
	"sync/atomic"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
	"chainpath/sim/learn"
)

// pool learns from many cases at once and writes a shop's memory.
func (o *learnOptions) pool(s streams, names []string) error {
	switch {
	case len(o.seen.lines) > 0:
		return usagef("--seen with --shop, want observations in the bike files")
	case o.write != "":
		return usagef("--write with --shop, want one of them")
	case o.from != "":
		return usagef("--from with --shop, want one of them: a memory is made from bike files alone")
	case len(names) < 2:
		return usagef("--shop with one bike, want two and more")
	}
	var all []*cases.Case
	for i, name := range names {
		if slices.Contains(names[:i], name) {
			return usagef("%s is given twice", cases.Printable(name))
		}
		c, err := cases.Load(name, s.in)
		if err != nil {
			return err
		}
		all = append(all, c)
	}
	var done atomic.Int64
	end := progress(s, "learn", learn.Pools(len(all)), &done)
	p, err := cases.Pool(names, all, Version, &done)
	end()
	if err != nil {
		return err
	}
	text, err := p.Memory.Text()
	if err != nil {
		return err
	}
	doc := show.FromPooled(p, o.shop)
	out := output{doc, show.PoolingHeader, doc.Rows, func(w io.Writer) error { return show.PoolingText(w, doc) }}
	return out.print(s, o.format, func() error { return writeFile(o.shop, text) })
}
