package show

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// leastFlow is the least width of a column whose texts are wrapped.
const leastFlow = 9

// Table is an aligned text table. Cells of columns named in Left are set to the
// left, all others to the right.
type Table struct {
	Head [][]string // header lines
	Rows [][]string
	Left map[int]bool
	Flow int // number of the column, from 1 on, whose texts are wrapped to fit Columns; 0: none

	// Marked is the number of the column, from 1 on, whose texts begin with a mark and a
	// blank, further lines set in below the text; 0: none.
	Marked int
	Colour func(row, col int) string // of a cell, "" or a sequence that a terminal acts on; nil: none
	Notes  map[int]string            // by row: set in below it
}

// Write prints the table with two spaces between columns and none at line ends.
func (t *Table) Write(w io.Writer) error {
	var width []int
	for _, r := range append(append([][]string{}, t.Head...), t.Rows...) {
		for i, c := range r {
			if i == len(width) {
				width = append(width, 0)
			}
			width[i] = max(width[i], utf8.RuneCountInString(c))
		}
	}
	t.fit(width)
	for _, h := range t.Head {
		if err := t.line(w, h, width, nil); err != nil {
			return err
		}
	}
	for i, r := range t.Rows {
		var colour func(int) string
		if t.Colour != nil {
			colour = func(col int) string { return t.Colour(i, col) }
		}
		for _, part := range t.wrapped(r, width) {
			if err := t.line(w, part, width, colour); err != nil {
				return err
			}
		}
		if note := t.Notes[i]; note != "" {
			if _, err := fmt.Fprintln(w, "    "+Indent(note, "    ", Columns)); err != nil {
				return err
			}
		}
	}
	return nil
}

// fit narrows the column that flows until the table fits.
func (t *Table) fit(width []int) {
	if t.Flow == 0 {
		return
	}
	all := 2 * (len(width) - 1)
	for _, n := range width {
		all += n
	}
	f := t.Flow - 1
	width[f] = max(min(width[f], leastFlow), width[f]-max(0, all-Columns))
}

// wrapped returns a row as lines: more than one where its flowing text does not fit.
func (t *Table) wrapped(r []string, width []int) (lines [][]string) {
	if t.Flow == 0 || t.Flow > len(r) || utf8.RuneCountInString(r[t.Flow-1]) <= width[t.Flow-1] {
		return [][]string{r}
	}
	flow, in := r[t.Flow-1], 0
	if t.Marked == t.Flow {
		in = 2
	}
	for i, text := range strings.Split(Wrap(flow[in:], width[t.Flow-1]-in), "\n") {
		text = strings.Repeat(" ", in) + text
		line := make([]string, len(r))
		if i == 0 {
			copy(line, r)
			text = flow[:in] + text[in:]
		}
		line[t.Flow-1] = text
		lines = append(lines, line)
	}
	return lines
}

// line prints one line.
func (t *Table) line(w io.Writer, r []string, width []int, colour func(col int) string) error {
	var b strings.Builder
	for i, c := range r {
		pad := strings.Repeat(" ", max(0, width[i]-utf8.RuneCountInString(c)))
		if colour != nil && c != "" && colour(i) != "" {
			c = colour(i) + c + "\x1b[0m"
		}
		if i > 0 {
			b.WriteString("  ")
		}
		if t.Left[i] {
			b.WriteString(c + pad)
		} else {
			b.WriteString(pad + c)
		}
	}
	_, err := fmt.Fprintln(w, strings.TrimRight(b.String(), " "))
	return err
}
