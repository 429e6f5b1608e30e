package show

import (
	"io"
	"strings"
)

// Lines that a default answer may have: those of a small terminal, or so many around a table.
const (
	screenLines = 24
	aroundTable = 12
)

// screen is a default answer: what has to stand, with a table in it, and notes that stand as
// far as they fit, the most important first.
type screen struct {
	above []string // paragraphs
	table *Table   // nil: none
	below []string // that have to stand
	notes []string // that stand where there is room
}

// write prints the screen.
func (s *screen) write(w io.Writer) error {
	var text strings.Builder
	for _, p := range s.above {
		text.WriteString(Wrap(p, Columns) + "\n")
	}
	rows := 0
	if s.table != nil {
		text.WriteByte('\n')
		if err := s.table.Write(&text); err != nil {
			return err
		}
		rows = len(s.table.Rows)
	}
	var under strings.Builder
	for _, p := range s.below {
		under.WriteString(Wrap(p, Columns) + "\n")
	}
	most := max(screenLines, rows+aroundTable)
	used := strings.Count(text.String(), "\n") + strings.Count(under.String(), "\n")
	for _, p := range s.notes {
		p = Wrap(p, Columns) + "\n"
		if n := strings.Count(p, "\n"); used+n <= most {
			under.WriteString(p)
			used += n
		}
	}
	if s.table != nil && under.Len() > 0 && used < most {
		text.WriteByte('\n')
	}
	whole := text.String() + under.String()
	if Height > 0 && strings.Count(whole, "\n") >= Height && len(s.above) > 1 {
		whole += "\n" + Wrap(s.above[1], Columns) + "\n"
	}
	_, err := io.WriteString(w, whole)
	return err
}
