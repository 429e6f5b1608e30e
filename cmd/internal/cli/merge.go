package cli

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
)

func newMerge(s streams) *cobra.Command {
	var out string
	var partial bool
	c := &cobra.Command{
		Use:   "merge FILE...",
		Short: "Put the rows of shards together",
		Long: `merge writes the rows of a sweep's shards in the order of their designs: the bytes of one run
without shards. It refuses files of different sweeps and shards that are given twice, changed,
missing or unfinished; with --partial it lists what is missing instead, and the exit code is 4.`,
		Example: `  chainpath sweep merge part-*.csv -o rows.csv`,
		Args:    cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			m := &merger{names: args, partial: partial}
			defer m.close()
			if err := m.open(); err != nil {
				return err
			}
			for _, h := range m.id.Missing {
				fmt.Fprintf(s.err, "chainpath: missing: %s\n", h)
			}
			if err := m.run(s, out); err != nil {
				return err
			}
			if len(m.id.Missing) > 0 {
				return partialResult{fmt.Sprintf("the merged rows have holes: %d", len(m.id.Missing))}
			}
			return nil
		},
	}
	c.Flags().StringVarP(&out, "out", "o", "", "file for the rows; left out, standard output")
	c.Flags().BoolVar(&partial, "partial", false, "merge what is there, and list what is missing")
	return c
}

// merger puts the rows of shards together.
type merger struct {
	names   []string
	partial bool
	parts   []*part
	id      *rowsID // of the whole
	p       *prover
}

// part is a shard's file with its next row.
type part struct {
	name   string
	f      *os.File
	id     *rowsID
	seen   *scanned
	r      *bufio.Reader
	sum    hash.Hash // of what was read
	line   []byte
	design int // -1 at the end
}

func (m *merger) close() {
	for _, p := range m.parts {
		p.f.Close()
	}
}

// open looks through all files, before anything is written.
func (m *merger) open() error {
	for _, name := range m.names {
		f, err := os.Open(name)
		if err != nil {
			return usagef("%s: %w", name, plainCause(err))
		}
		p := &part{name: name, f: f}
		m.parts = append(m.parts, p)
		path, err := filepath.EvalSymlinks(name)
		if err != nil {
			return usagef("%s: %w", name, plainCause(err))
		}
		if p.id, err = readID(path); err != nil {
			return err
		}
		if p.id == nil {
			return usagef("%s: no %s beside it says whose rows it holds: sweep writes both with --out", name, idName(path))
		}
		if err := m.fits(p); err != nil {
			return err
		}
		if p.seen, err = scanRows(f, name, p.id); err != nil {
			return err
		}
		if err := checkEnd(name, p.seen, p.id); err != nil {
			return err
		}
		if h := m.parts[0].seen.head; len(p.seen.head) > 0 && len(h) > 0 && !bytes.Equal(p.seen.head, h) {
			return usagef("%s has other columns than %s", name, m.names[0])
		}
	}
	return m.whole()
}

// fits looks whether a file is of the same sweep as the first, and of a shard of
// its own.
func (m *merger) fits(p *part) error {
	first := m.parts[0]
	if d := first.id.differs(p.id); d != "" {
		return usagef("%s and %s are of different sweeps: %s", first.name, p.name, d)
	}
	if len(p.id.Missing) > 0 {
		return usagef("%s was merged and lacks %s: merge the shards", p.name, p.id.Missing[0])
	}
	for _, q := range m.parts[:len(m.parts)-1] {
		switch {
		case p.id.shardName() == q.id.shardName():
			return usagef("%s and %s both hold %s", q.name, p.name, p.id.shardName())
		case p.id.shard().N != q.id.shard().N:
			return usagef("%s holds %s, and %s %s: want shards of one division", q.name, q.id.shardName(), p.name, p.id.shardName())
		}
	}
	return nil
}

// whole finds what is missing, and refuses it unless it is wanted so.
func (m *merger) whole() error {
	id := *m.parts[0].id
	id.Shard, id.Ended, id.Missing, id.Proven = nil, nil, []hole{}, []mark{}
	m.id = &id
	n := m.parts[0].id.shard().N
	var says []string
	for i := range max(n, 1) {
		var p *part
		for _, q := range m.parts {
			if q.id.shard().I == i {
				p = q
			}
		}
		switch {
		case p == nil:
			h := hole{i, n, 0}
			id.Missing = append(id.Missing, h)
			says = append(says, h.String())
		case p.id.Ended == nil:
			h := hole{i, n, p.seen.proven.Next}
			id.Missing = append(id.Missing, h)
			says = append(says, fmt.Sprintf("%s (%s was broken off: sweep --resume goes on with it)", h, p.name))
		}
	}
	if len(says) > 0 && !m.partial {
		return usagef("rows are missing: %s; --partial merges what is there", strings.Join(says, "; "))
	}
	return nil
}

// run writes the rows, and beside a file whose they are.
func (m *merger) run(s streams, out string) error {
	if out == "" {
		return m.write(s.out)
	}
	p, err := placeOf(out)
	if err != nil {
		return err
	}
	if p.direct {
		return writeWhole(out, m.write)
	}
	if to, err := os.Stat(p.path); err == nil {
		for _, shard := range m.parts {
			if from, err := os.Stat(shard.name); err == nil && os.SameFile(from, to) {
				return usagef("%s is one of the shards: name another file with -o", out)
			}
		}
	}
	if _, err := readID(p.path); err != nil {
		return err
	}
	var both staged
	defer both.abandon()
	f, err := both.create(out)
	if err != nil {
		return err
	}
	if err := m.write(f); err != nil {
		return fmt.Errorf("%s: %w", out, plainCause(err))
	}
	m.id.Ended = &rowsEnd{m.p.rows, m.p.bytes, m.p.hash()}
	m.id.Proven = append(m.id.Proven, m.p.marks...)
	text, err := m.id.text()
	if err != nil {
		return err
	}
	if f, err = both.create(idName(p.path)); err != nil {
		return err
	}
	if _, err := f.Write(text); err != nil {
		return fmt.Errorf("%s: %w", idName(p.path), plainCause(err))
	}
	return both.commit()
}

// next reads the next row of what was looked through, which must be the same bytes.
func (p *part) next() error {
	line, err := p.r.ReadBytes('\n')
	p.sum.Write(line)
	if err == io.EOF && len(line) == 0 {
		p.design = -1
		if want := p.seen.kept(p.id); want.Bytes > 0 && hex.EncodeToString(p.sum.Sum(nil)) != want.SHA256 {
			return p.changed()
		}
		return nil
	}
	n, ok := designOf(line)
	if err != nil || !ok {
		return p.changed()
	}
	p.line, p.design = line, n
	return nil
}

func (p *part) changed() error { return fmt.Errorf("%s changed while it was read", p.name) }

// begin makes a part ready to be read from its first row to the end of what is certain.
func (p *part) begin() error {
	from := int64(len(p.seen.head))
	p.sum = sha256.New()
	p.sum.Write(p.seen.head)
	p.r = bufio.NewReader(io.NewSectionReader(p.f, from, max(p.seen.kept(p.id).Bytes-from, 0)))
	return p.next()
}

// write writes the rows, and marks them as a run without shards does.
func (m *merger) write(to io.Writer) error {
	w := bufio.NewWriter(to)
	m.p = newProver(m.id.Designs)
	var head []byte
	for _, p := range m.parts {
		if head == nil {
			head = p.seen.head
		}
		if err := p.begin(); err != nil {
			return err
		}
	}
	m.p.add(head, 0)
	if _, err := w.Write(head); err != nil {
		return err
	}
	every := markEvery(m.id.Designs)
	due := every
	for {
		var first *part
		for _, p := range m.parts {
			if p.design >= 0 && (first == nil || p.design < first.design) {
				first = p
			}
		}
		for ; due < m.id.Designs && (first == nil || due <= first.design); due += every {
			m.p.reached(due)
		}
		if first == nil {
			return w.Flush()
		}
		m.p.add(first.line, 1)
		if _, err := w.Write(first.line); err != nil {
			return err
		}
		if err := first.next(); err != nil {
			return err
		}
	}
}
