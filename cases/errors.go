package cases

import (
	"fmt"
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

// nearest returns the known name most like a given one, or "" when none is
// within a third of its length in edits.
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
