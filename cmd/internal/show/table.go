package show

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// Columns is how wide what is printed for people may be, characters: 80, or what main has
// found the terminal to be.
var Columns = 80

// leastFlow is the least width of a column whose texts are wrapped.
const leastFlow = 9

// Table is an aligned text table. Cells of columns named in Left are set to the
// left, all others to the right.
type Table struct {
	Head [][]string // header lines
	Rows [][]string
	Left map[int]bool
	Flow int                     // number of the column, from 1 on, whose texts are wrapped to fit Columns; 0: none
	Bold func(row, col int) bool // nil: none
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
		var bold func(int) bool
		if t.Bold != nil {
			bold = func(col int) bool { return t.Bold(i, col) }
		}
		for _, part := range t.wrapped(r, width) {
			if err := t.line(w, part, width, bold); err != nil {
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
	for i, text := range strings.Split(Wrap(r[t.Flow-1], width[t.Flow-1]), "\n") {
		line := make([]string, len(r))
		if i == 0 {
			copy(line, r)
		}
		line[t.Flow-1] = text
		lines = append(lines, line)
	}
	return lines
}

// line prints one line.
func (t *Table) line(w io.Writer, r []string, width []int, bold func(col int) bool) error {
	var b strings.Builder
	for i, c := range r {
		pad := strings.Repeat(" ", max(0, width[i]-utf8.RuneCountInString(c)))
		if bold != nil && c != "" && bold(i) {
			c = "\x1b[1m" + c + "\x1b[0m"
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
