package cli

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// cellsOf are pieces that fuzzed rows are put together from.
var cellsOf = []string{
	"design", "front_line_mm", "status", "0", "1", "2", "17", "-3", "ok", "", "NaN", "1e999", `"a,b"`, `"`, ",", "\n", "\r\n", "no such gear",
	"{", "}", `"design":0`, `"status":"ok"`, `"front_line_mm":50`, `:`, "[", "]", "null", "{\"design\":0,\"front_line_mm\":50,\"status\":\"ok\"}\n",
	"design,front_line_mm,status,links\n", "0,50,ok,118\n", "1,51,ok,118\n",
}

// Rows of any make are read, or refused as bad input; never a panic, and the two readers
// find no row in what is none.
func FuzzRows(f *testing.F) {
	f.Add([]byte{28, 29, 30}, "")
	f.Add([]byte{27, 27}, "")
	f.Add([]byte{27, 18, 19, 15}, "")
	f.Add([]byte{28, 3, 14, 4}, "\x00\xff")
	f.Fuzz(func(t *testing.T, picks []byte, tail string) {
		var b strings.Builder
		for _, p := range picks {
			b.WriteString(cellsOf[int(p)%len(cellsOf)])
		}
		b.WriteString(tail)
		name := filepath.Join(t.TempDir(), "rows")
		require.NoError(t, os.WriteFile(name, []byte(b.String()), 0o600))
		table, err := readRows(name)
		if err != nil {
			assert.True(t, errors.As(err, new(usageError)), "%v", err)
		} else {
			for i := range table.x {
				assert.Len(t, table.x[i], len(table.x[0]))
			}
		}
		for _, columns := range []string{"csv", "jsonl"} {
			s, err := scanRows(strings.NewReader(b.String()), name, &rowsID{Columns: columns, Designs: 100})
			if err != nil {
				assert.True(t, errors.As(err, new(usageError)), "%v", err)
				continue
			}
			assert.LessOrEqual(t, s.end+int64(len(s.tail)), int64(b.Len()))
			assert.LessOrEqual(t, s.okay, s.rows)
		}
	})
}
