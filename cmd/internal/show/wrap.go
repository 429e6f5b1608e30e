package show

import (
	"strings"
	"unicode/utf8"
)

// Columns is how wide what is printed for people may be, characters: 80, or what main has
// found the terminal to be.
var Columns = 80

// Height is how many lines the terminal shows; 0 where output goes elsewhere. A longer answer is
// said again below its table.
var Height int

// Wrap breaks a text into lines of at most width characters, at blanks.
func Wrap(s string, width int) string {
	var b strings.Builder
	n := 0
	for i, word := range kept(s) {
		long := utf8.RuneCountInString(word)
		switch {
		case i == 0:
		case n+1+long > width:
			b.WriteByte('\n')
			n = 0
		default:
			b.WriteByte(' ')
			n++
		}
		b.WriteString(word)
		n += long
	}
	return b.String()
}

// kept returns the words of a text; a percent sign stays with its number.
func kept(s string) (words []string) {
	for _, w := range strings.Fields(s) {
		if n := len(words); n > 0 && strings.HasPrefix(w, "%") {
			words[n-1] += " " + w
			continue
		}
		words = append(words, w)
	}
	return words
}

// Indent wraps a text with every line but the first indented.
func Indent(text, by string, width int) string {
	return strings.ReplaceAll(Wrap(text, width-len(by)), "\n", "\n"+by)
}

// Item is a text whose further lines are set in by two.
func Item(text string) string { return Indent(text, "  ", Columns) }

// SideBySide sets a text to the right of a head, its further lines under its first.
func SideBySide(head, text string) string {
	n := utf8.RuneCountInString(head)
	return head + strings.ReplaceAll(Wrap(text, max(20, Columns-n)), "\n", "\n"+strings.Repeat(" ", n))
}

// Prose wraps the paragraphs of a text that have a line too long. Lines that are set in are
// sketches and lists, and stay.
func Prose(s string) string {
	paragraphs := strings.Split(strings.TrimRight(s, "\n"), "\n\n")
	for i, p := range paragraphs {
		long, in := false, false
		for _, line := range strings.Split(p, "\n") {
			long = long || utf8.RuneCountInString(line) > Columns
			in = in || strings.HasPrefix(line, " ")
		}
		if long && !in {
			paragraphs[i] = Wrap(p, Columns)
		}
	}
	return strings.Join(paragraphs, "\n\n")
}

// Command breaks command lines that are too long before a flag, as a shell takes them.
func Command(s string) string {
	lines := strings.Split(s, "\n")
	for i, line := range lines {
		parts := strings.Split(line, " --")
		out, n := parts[0], utf8.RuneCountInString(parts[0])
		for _, p := range parts[1:] {
			long := utf8.RuneCountInString(p) + 3
			if n+long+2 > Columns {
				out, n = out+" \\\n     ", 5
			}
			out, n = out+" --"+p, n+long
		}
		lines[i] = out
	}
	return strings.Join(lines, "\n")
}

// Fit wraps the lines of a text that do not fit Columns, set in as far as they begin.
func Fit(s string) string {
	lines := strings.Split(s, "\n")
	for i, line := range lines {
		if utf8.RuneCountInString(line) > Columns {
			in := line[:len(line)-len(strings.TrimLeft(line, " "))]
			lines[i] = in + Indent(line, in, Columns)
		}
	}
	return strings.Join(lines, "\n")
}
