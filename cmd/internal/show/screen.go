package show

import (
	"io"
	"strings"

	"chainpath/cmd/internal/say"
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
	next  string   // command to type then, the last line; "" for none
	short string   // of the first note, for the last line where it finds no room; "" for none
}

// write prints the screen.
func (s *screen) write(w io.Writer) error {
	var text strings.Builder
	for _, p := range s.above {
		text.WriteString(wrapped(p))
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
		under.WriteString(wrapped(p))
	}
	most := max(screenLines, rows+aroundTable)
	last := nextLine(s.next)
	used := strings.Count(text.String()+under.String()+last, "\n")
	for i, p := range s.notes {
		short := ""
		switch { // finds room beside it
		case i == 0 && s.short != "":
			short = s.short
		case p == say.Model && last == nextLine(s.next):
			short = say.WhatIsChance
		}
		n := strings.Count(wrapped(p), "\n")
		switch {
		case used+n <= most:
			under.WriteString(wrapped(p))
			used += n
		case short != "" && last != "":
			longer := wrapped(short + " " + say.Next(s.next))
			used += strings.Count(longer, "\n") - strings.Count(last, "\n")
			last = longer
		}
	}
	if s.table != nil && under.Len()+len(last) > 0 && used < most {
		text.WriteByte('\n')
	}
	whole := text.String() + under.String()
	if Height > 0 && strings.Count(whole+last, "\n") >= Height && len(s.above) > 1 {
		whole += "\n" + wrapped(s.above[1])
	}
	_, err := io.WriteString(w, whole+last)
	return err
}

// nextLine says what to type, as a shell takes it; "" for nothing.
func nextLine(command string) string {
	if command == "" {
		return ""
	}
	return Command(say.Next(command)) + "\n"
}

// wrapped is a paragraph with its line's end; "" for none.
func wrapped(text string) string {
	if text == "" {
		return ""
	}
	return Wrap(text, Columns) + "\n"
}
