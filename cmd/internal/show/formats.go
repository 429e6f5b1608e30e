package show

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"strconv"
	"strings"
)

// JSON writes a document, indented, with a line end.
func JSON(w io.Writer, doc any) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(doc)
}

// CSV writes rows of cells under a header. A text that a spreadsheet would run as a
// formula gets an apostrophe in front.
func CSV(w io.Writer, header []string, rows [][]string) error {
	c := csv.NewWriter(w)
	if err := c.Write(header); err != nil {
		return err
	}
	for _, row := range rows {
		safe := make([]string, len(row))
		for i, cell := range row {
			safe[i] = harmless(cell)
		}
		if err := c.Write(safe); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

// harmless returns a cell that no spreadsheet takes for a formula: text that begins with
// =, +, -, @, a tab or a carriage return has an apostrophe put before it (common
// practice, no published source); numbers stay.
func harmless(cell string) string {
	if cell == "" || !strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
		return cell
	}
	if _, err := strconv.ParseFloat(cell, 64); err == nil {
		return cell
	}
	return "'" + cell
}

// num prints a number for CSV: as in JSON, empty for null.
func num(x *float64) string {
	if x == nil {
		return ""
	}
	return strconv.FormatFloat(*x, 'f', -1, 64)
}

// column is one of a CSV of things: its name, and what stands in it.
type column[T any] struct {
	name string
	cell func(x *T) string
}

// names returns the header of columns.
func names[T any](columns []column[T]) (out []string) {
	for _, c := range columns {
		out = append(out, c.name)
	}
	return out
}

// row returns the cells of one thing.
func row[T any](columns []column[T], x *T) []string {
	out := make([]string, len(columns))
	for i, c := range columns {
		out[i] = c.cell(x)
	}
	return out
}
