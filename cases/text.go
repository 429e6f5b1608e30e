package cases

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// MaxText is the longest text of a field, characters; of one that may have several
// lines MaxAbout.
const (
	MaxText  = 200
	MaxAbout = 10000
)

// mostQuoted is how much of a wrong value a message repeats, characters.
const mostQuoted = 60

// prints reports whether a character is one that shows: no control or format character
// (but the two that join letters and signs), no separator of lines, none for private use,
// no noncharacter, which XML forbids, and none that draws nothing, such as the fillers.
func prints(r rune) bool {
	switch {
	case r == utf8.RuneError:
		return false
	case r == '\u200c' || r == '\u200d':
		return true
	case unicode.In(r, unicode.Noncharacter_Code_Point, unicode.Other_Default_Ignorable_Code_Point), r == '\u2800': // the blank braille pattern
		return false
	}
	return !unicode.In(r, unicode.Cc, unicode.Cf, unicode.Co, unicode.Cs, unicode.Zl, unicode.Zp)
}

// Printable returns a text with every character that does not show written out, as
// \u001b: safe for a terminal and for every file.
func Printable(s string) string {
	bad := func(r rune) bool { return !prints(r) }
	if strings.IndexFunc(s, bad) < 0 {
		return s
	}
	var b strings.Builder
	for i, r := range s {
		switch {
		case prints(r):
			b.WriteRune(r)
		case r == utf8.RuneError:
			if _, n := utf8.DecodeRuneInString(s[i:]); n == 1 {
				fmt.Fprintf(&b, `\x%02x`, s[i])
			} else {
				b.WriteRune(r)
			}
		case r > 0xffff:
			fmt.Fprintf(&b, `\U%08x`, r)
		default:
			fmt.Fprintf(&b, `\u%04x`, r)
		}
	}
	return b.String()
}

// CheckLine returns what is wrong with a text that should be one line of printable
// characters, "" when nothing is.
func CheckLine(s string) string { return checkText(s, false) }

func checkText(s string, lines bool) string {
	most, want := MaxText, "one line of at most 200 printable characters"
	if lines {
		most, want = MaxAbout, "at most 10000 printable characters and line ends"
	}
	if n := utf8.RuneCountInString(s); n > most {
		return fmt.Sprintf("%d characters, want %s", n, want)
	}
	for i, r := range s {
		if lines && (r == '\n' || r == '\t') {
			continue
		}
		if r == utf8.RuneError && !strings.HasPrefix(s[i:], "\ufffd") {
			return fmt.Sprintf("byte %#02x is not UTF-8, want %s", s[i], want)
		}
		if r != utf8.RuneError && !prints(r) {
			return fmt.Sprintf("character %U, want %s", r, want)
		}
	}
	return ""
}

// shorten cuts a value for a message.
func shorten(s string) string {
	if utf8.RuneCountInString(s) <= mostQuoted {
		return s
	}
	return string([]rune(s)[:mostQuoted/2]) + "…"
}

// checkBytes finds the first byte of a file that is not text in UTF-8, or a control
// character other than tab and line ends.
func checkBytes(file string, data []byte) error {
	if bytes.HasPrefix(data, []byte("\xff\xfe")) || bytes.HasPrefix(data, []byte("\xfe\xff")) {
		return nil // UTF-16, which the reader takes
	}
	line, col := 1, 1
	for len(data) > 0 {
		r, n := utf8.DecodeRune(data)
		fail := func(format string, a ...any) error {
			return &Error{File: file, Line: line, Col: col, Problem: fmt.Sprintf(format, a...)}
		}
		switch {
		case r == utf8.RuneError && n == 1:
			return fail("byte 0x%02x is not UTF-8: save the file as UTF-8", data[0])
		case r == '\n':
			line, col = line+1, 0
		case r != '\t' && r != '\r' && r != 0x85 && unicode.Is(unicode.Cc, r):
			return fail("control character %U, want text", r)
		case r == 0xFFFE, r == 0xFFFF: // which YAML has not
			return fail("character %U, want text", r)
		}
		col++
		data = data[n:]
	}
	return nil
}

// mostDeep bounds how deep brackets nest in a file; a case has four.
const mostDeep = 100

// tooDeep finds where brackets nest deeper than any file needs, outside of quotes and
// comments.
func tooDeep(file string, data []byte) error {
	line, col, depth := 1, 0, 0
	var quote byte
	comment := false
	before := byte('\n')
	for _, c := range data {
		col++
		switch {
		case c == '\n':
			line, col, comment = line+1, 0, false
		case comment:
		case quote != 0:
			if c == quote && before != '\\' {
				quote = 0
			}
		case c == '#' && (before == ' ' || before == '\n' || before == '\t'):
			comment = true
		case (c == '"' || c == '\'') && !isWord(before):
			quote = c
		case c == '[' || c == '{':
			if depth++; depth > mostDeep {
				return &Error{File: file, Line: line, Col: col, Problem: fmt.Sprintf("brackets more than %d deep", mostDeep)}
			}
		case c == ']' || c == '}':
			depth = max(0, depth-1)
		}
		before = c
	}
	return nil
}

func isWord(c byte) bool {
	return c >= '0' && c <= '9' || c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' || c >= 0x80
}
