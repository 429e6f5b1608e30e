package show

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// Table is an aligned text table. Cells of columns named in Left are set to the
// left, all others to the right.
type Table struct {
	Head [][]string // header lines
	Rows [][]string
	Left map[int]bool
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
	line := func(r []string, bold func(col int) bool) string {
		var b strings.Builder
		for i, c := range r {
			pad := strings.Repeat(" ", width[i]-utf8.RuneCountInString(c))
			if bold != nil && bold(i) {
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
		return strings.TrimRight(b.String(), " ")
	}
	for _, h := range t.Head {
		if _, err := fmt.Fprintln(w, line(h, nil)); err != nil {
			return err
		}
	}
	for i, r := range t.Rows {
		var bold func(int) bool
		if t.Bold != nil {
			bold = func(col int) bool { return t.Bold(i, col) }
		}
		if _, err := fmt.Fprintln(w, line(r, bold)); err != nil {
			return err
		}
	}
	return nil
}
