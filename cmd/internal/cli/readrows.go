package cli

import (
	"bufio"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"chainpath/cases"
	"chainpath/plots"
)

// table is a sweep's rows by columns of numbers.
type table struct {
	names []string
	x     [][]float64
	vary  int // columns 1 to vary are varied

	partial bool // of a sweep that is not at its end
}

func (t *table) column(flag, name string) (plots.Column, error) {
	if i := slices.Index(t.names, name); i >= 0 {
		return plots.Column{Name: name, X: t.x[i]}, nil
	}
	return plots.Column{}, usagef("--%s: no column %q, there are %s", flag, name, strings.Join(t.names, ", "))
}

// bounded is a bound on a column.
type bounded struct {
	plots.Column
	cases.Bound
}

// bounds reads a flag's bounds on columns.
func (t *table) bounds(flag string, texts []string) (list []bounded, err error) {
	for _, text := range texts {
		b, err := boundFlag(text)
		if err != nil {
			return nil, usagef("--%s %q, want COLUMN>=NUMBER or COLUMN<=NUMBER", flag, text)
		}
		c, err := t.column(flag, b.Of)
		if err != nil {
			return nil, err
		}
		list = append(list, bounded{c, b})
	}
	return list, nil
}

// provenRows looks whether a file's rows are as their sweep wrote them, where that stands
// beside them, and returns them: of a sweep that is not at its end those that are proven.
func provenRows(name string, f *os.File) (rows io.Reader, partial bool, err error) {
	path, err := filepath.EvalSymlinks(name)
	if err != nil {
		return f, false, nil // a pipe without a name
	}
	id, err := readID(path)
	if id == nil || err != nil {
		return f, false, err
	}
	s, err := scanRows(f, name, id)
	if err == nil {
		err = checkEnd(name, s, id)
	}
	kept := mark{}
	if err == nil {
		kept = s.kept(id)
		if kept.Rows == 0 && id.Ended == nil {
			err = usagef("%s: no rows are proven yet: sweep --resume goes on with it", name)
		}
	}
	return io.NewSectionReader(f, 0, kept.Bytes), id.Ended == nil, err
}

// readRows reads CSV or JSON Lines; what is no number is NaN.
func readRows(name string) (*table, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, usageError{err}
	}
	defer f.Close()
	rows, partial, err := provenRows(name, f)
	if err != nil {
		return nil, err
	}
	r := bufio.NewReader(rows)
	first, err := r.Peek(1)
	if err != nil {
		return nil, usagef("%s: no rows", name)
	}
	t := &table{partial: partial}
	add := func(row []string) {
		for i := range t.names {
			v, err := strconv.ParseFloat(row[i], 64)
			if err != nil || math.IsInf(v, 0) {
				v = math.NaN()
			}
			t.x[i] = append(t.x[i], v)
		}
	}
	head := func(names []string) error {
		t.names, t.x = names, make([][]float64, len(names))
		t.vary = slices.Index(names, "status") - 1
		if t.vary < 1 || names[0] != "design" {
			return usagef("%s: not the rows of a sweep", name)
		}
		for i, n := range names {
			if wrong := cases.CheckLine(n); wrong != "" {
				return usagef("%s: name of column %d: %s", name, i+1, wrong)
			}
		}
		return nil
	}
	if first[0] == '{' {
		return t, jsonRows(name, r, head, add)
	}
	c := csv.NewReader(r)
	c.ReuseRecord = true
	names, err := c.Read()
	if err != nil {
		return nil, usagef("%s: %w", name, err)
	}
	if err := head(slices.Clone(names)); err != nil {
		return nil, err
	}
	for {
		row, err := c.Read()
		if errors.Is(err, io.EOF) {
			return t, nil
		}
		if err != nil {
			return nil, usagef("%s: %w", name, err)
		}
		add(row)
	}
}

// jsonRows reads objects a line, whose keys stand in one order.
func jsonRows(name string, r io.Reader, head func([]string) error, add func([]string)) error {
	d := json.NewDecoder(r)
	d.UseNumber()
	var keys []string
	for line := 1; ; line++ {
		var names, cells []string
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return nil
		}
		for err == nil && tok != json.Delim('}') {
			if tok, err = d.Token(); err == nil && tok != json.Delim('}') {
				names = append(names, fmt.Sprint(tok))
				var v any
				err = d.Decode(&v)
				cells = append(cells, fmt.Sprint(v))
			}
		}
		if err != nil {
			return usagef("%s:%d: %w", name, line, err)
		}
		if line == 1 {
			if err := head(names); err != nil {
				return err
			}
			keys = names
		}
		if !slices.Equal(names, keys) {
			return usagef("%s:%d: other keys than in the first row", name, line)
		}
		add(cells)
	}
}
