package main

import (
	"regexp"
	"strings"

	"chainpath/cases"
)

// assumedMark is a comment that marks a front or rear line as assumed where it ends
// the text line on which that is given: it begins with assumed, or says line assumed
// or lines assumed anywhere.
var assumedMark = regexp.MustCompile(`(?i)^assumed\b|\blines?\s+assumed\b`)

// assumed says whether a comment beside one of these fields marks it so.
func assumed(c *cases.Case, lines []string, fields ...string) bool {
	for _, f := range fields {
		if n := c.Line(f); n > 0 && n <= len(lines) && assumedMark.MatchString(endComment(lines[n-1])) {
			return true
		}
	}
	return false
}

// endComment returns the comment at the end of a YAML line, without its sign: what
// follows a # that stands after a blank and outside quotes.
func endComment(line string) string {
	quote, before := byte(0), byte(' ')
	for i := range len(line) {
		b := line[i]
		switch {
		case quote != 0:
			if b == quote && !(quote == '"' && before == '\\') {
				quote = 0
			}
		case (b == '"' || b == '\'') && strings.IndexByte(" \t{[,:", before) >= 0:
			quote = b
		case b == '#' && (before == ' ' || before == '\t'):
			return strings.TrimSpace(strings.TrimLeft(line[i:], "#"))
		}
		before = b
	}
	return ""
}
