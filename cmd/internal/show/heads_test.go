package show

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every column of every table that is written down here and in the commands has a heading.
func TestEveryColumnHasAHeading(t *testing.T) {
	tables := 0
	for _, dir := range []string{".", "../cli"} {
		files, err := filepath.Glob(filepath.Join(dir, "*.go"))
		require.NoError(t, err)
		for _, file := range files {
			text, err := os.ReadFile(file)
			require.NoError(t, err)
			tree, err := parser.ParseFile(token.NewFileSet(), file, text, 0)
			require.NoError(t, err)
			ast.Inspect(tree, func(n ast.Node) bool {
				kv, ok := n.(*ast.KeyValueExpr)
				if !ok {
					return true
				}
				if key, ok := kv.Key.(*ast.Ident); !ok || key.Name != "Head" {
					return true
				}
				lines, ok := kv.Value.(*ast.CompositeLit)
				if !ok {
					return true
				}
				headed := map[int]bool{}
				columns := 0
				for _, l := range lines.Elts {
					line, ok := l.(*ast.CompositeLit)
					if !ok {
						return true // nil, filled in by code
					}
					columns = max(columns, len(line.Elts))
					for i, cell := range line.Elts {
						lit, ok := cell.(*ast.BasicLit)
						headed[i] = headed[i] || !ok || lit.Value != `""`
					}
				}
				tables++
				for i := range columns {
					assert.True(t, headed[i], "%s: column %d of %s", file, i, text[lines.Pos()-1:lines.End()-1])
				}
				return true
			})
		}
	}
	assert.Greater(t, tables, 12)
}

// A text that begins with a mark is wrapped beside it, and a note stands below its row.
func TestTableWithMarks(t *testing.T) {
	var out testWriter
	was := Columns
	Columns = 24
	t.Cleanup(func() { Columns = was })
	table := Table{Head: [][]string{{"a", "  what", "n"}}, Left: map[int]bool{0: true, 1: true}, Flow: 2, Marked: 2,
		Rows:   [][]string{{"x", "! words that are too many", "1"}, {"y", "  few", "22"}},
		Colour: func(row, col int) string { return map[int]string{1: "\x1b[31m"}[col-row] },
		Notes:  map[int]string{1: "a note that is wrapped as well"}}
	require.NoError(t, table.Write(&out))
	// 24 = 1 + 2 + 17 + 2 + 2
	assert.Equal(t, "a    what              n\nx  \x1b[31m! words that are\x1b[0m    1\n   \x1b[31m  too many\x1b[0m\ny    few              \x1b[31m22\x1b[0m\n    a note that is\n    wrapped as well\n", string(out))
}

type testWriter []byte

func (w *testWriter) Write(b []byte) (int, error) {
	*w = append(*w, b...)
	return len(b), nil
}

func TestFit(t *testing.T) {
	was := Columns
	Columns = 20
	t.Cleanup(func() { Columns = was })
	assert.Equal(t, "short\n\n  one two three four\n  five\nsix", Fit("short\n\n  one two three four five\nsix"))
	assert.Equal(t, "awordthatislongerthanthelineis", Fit("awordthatislongerthanthelineis"))
}
