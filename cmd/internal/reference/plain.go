package reference

import (
	"regexp"
	"strings"
)

// Plain sets a page for a terminal: paragraphs wrapped, code as it stands, tables as their
// rows' first cell with the rest below it. Wrap breaks a text to a width.
func Plain(text string, width int, wrap func(s string, width int) string) string {
	var b strings.Builder
	var paragraph []string
	flush := func() {
		if len(paragraph) > 0 {
			b.WriteString(wrap(unmarked(strings.Join(paragraph, " ")), width) + "\n")
			paragraph = nil
		}
	}
	code, table := false, 0
	for _, line := range strings.Split(text, "\n") {
		switch {
		case strings.HasPrefix(line, "```"):
			flush()
			code = !code
			continue
		case code || strings.HasPrefix(line, "    "):
			flush()
			line = strings.ReplaceAll(line, "\t", "  ")
			b.WriteString(strings.Replace("    "+line, "        ", "    ", 1) + "\n")
			continue
		case strings.HasPrefix(line, "|"):
			flush()
			if table++; table <= 2 { // its head and the rule below
				continue
			}
			row(&b, cells(line), width, wrap)
			continue
		}
		table = 0
		switch {
		case strings.TrimSpace(line) == "":
			flush()
			if !strings.HasSuffix(b.String(), "\n\n") {
				b.WriteString("\n")
			}
		case strings.HasPrefix(line, "#"):
			flush()
			b.WriteString(strings.ToUpper(strings.TrimLeft(line, "# ")) + "\n")
		case strings.HasPrefix(line, "- "):
			flush()
			paragraph = append(paragraph, line)
		default:
			paragraph = append(paragraph, strings.TrimSpace(line))
		}
	}
	flush()
	return strings.TrimRight(b.String(), "\n")
}

// cells returns a table row's cells; \| is a bar.
func cells(line string) (list []string) {
	line = strings.ReplaceAll(strings.Trim(line, "| "), `\|`, "\x00")
	for _, c := range strings.Split(line, "|") {
		list = append(list, strings.ReplaceAll(strings.TrimSpace(c), "\x00", "|"))
	}
	return list
}

// row prints a row: the first cell, then the others set in.
func row(b *strings.Builder, list []string, width int, wrap func(string, int) string) {
	in := func(s string, by string) {
		b.WriteString(by + strings.ReplaceAll(wrap(unmarked(s), width-len(by)), "\n", "\n"+by) + "\n")
	}
	in(list[0], "  ")
	var rest []string
	for _, c := range list[1:] {
		if c != "" {
			rest = append(rest, c)
		}
	}
	if len(rest) > 0 {
		in(strings.Join(rest, "; "), "      ")
	}
}

var emphasis = regexp.MustCompile(`\*(\w[^*\n]{0,40}\w)\*`)

// unmarked takes the marks of Markdown off a text.
func unmarked(s string) string {
	return emphasis.ReplaceAllString(strings.NewReplacer("**", "", "`", "", `\|`, "|").Replace(s), "$1")
}
