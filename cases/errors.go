package cases

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
)

// Error is one mistake in a case file.
type Error struct {
	File      string // as the user named it
	Line, Col int    // 1-based; 0 when the mistake has no one place
	Path      string // field path such as frame.stay or rear.cogs[3]
	Problem   string // value and what is allowed, without a full stop
}

func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString(e.File)
	if e.Line > 0 {
		fmt.Fprintf(&b, ":%d:%d", e.Line, e.Col)
	}
	b.WriteString(": ")
	if e.Path != "" {
		b.WriteString(e.Path + ": ")
	}
	b.WriteString(e.Problem)
	return b.String()
}

// mostErrors is how many mistakes of a file are told at once.
const mostErrors = 20

// Errors are several mistakes of a file, sorted by line, at least two. errors.As finds
// the first *Error.
type Errors []*Error

func (e Errors) Error() string {
	var lines []string
	for _, x := range e[:min(len(e), mostErrors)] {
		lines = append(lines, x.Error())
	}
	if more := len(e) - mostErrors; more > 0 {
		lines = append(lines, fmt.Sprintf("%s: and %d more mistakes", e[0].File, more))
	}
	return strings.Join(lines, "\n")
}

// Unwrap returns the mistakes.
func (e Errors) Unwrap() []error {
	out := make([]error, len(e))
	for i := range e {
		out[i] = e[i]
	}
	return out
}

// together returns mistakes as an error: nil for none, the *Error itself for one, else
// Errors sorted by line, those without a place last.
func together(found []*Error) error {
	switch len(found) {
	case 0:
		return nil
	case 1:
		return found[0]
	}
	slices.SortStableFunc(found, func(a, b *Error) int {
		if (a.Line == 0) != (b.Line == 0) {
			return cmp.Compare(b.Line, a.Line)
		}
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Col, b.Col))
	})
	return Errors(found)
}

// mistakes returns the single mistakes of an error.
func mistakes(err error) []*Error {
	var many Errors
	var one *Error
	switch {
	case errors.As(err, &many):
		return many
	case errors.As(err, &one):
		return []*Error{one}
	}
	return nil
}

// Nearest returns the known name most like a given one, or "".
func Nearest(name string, known []string) string { return nearest(name, known) }

// nearest returns the known name most like a given one, or "" when none is
// within one edit more than a third of its length.
func nearest(name string, known []string) string {
	best, at := "", len(name)/3+1
	for _, k := range known {
		if d := edits(name, k); d <= at && (best == "" || d < at) {
			best, at = k, d
		}
	}
	return best
}

// edits returns the Levenshtein distance of two names.
func edits(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diag := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := diag
			if a[i] != b[j] {
				cost++
			}
			diag = row[j+1]
			row[j+1] = min(cost, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
