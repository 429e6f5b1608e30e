package cli

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// titled writes a shipped case with another title.
func titled(t *testing.T, title string) string {
	code, text, errs := run("cases", "single")
	require.Equal(t, ExitDone, code, errs)
	i := strings.Index(text, "\ntitle: ")
	j := i + 1 + strings.Index(text[i+1:], "\n")
	quoted, err := json.Marshal(title)
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "bike.yaml")
	require.NoError(t, os.WriteFile(file, []byte(text[:i]+"\ntitle: "+string(quoted)+text[j:]), 0o644))
	return file
}

// raw reports whether a text has a control or format character other than a line end,
// and the colours that are asked for.
func raw(text string) bool {
	return strings.IndexFunc(text, func(r rune) bool {
		return r != '\n' && r != '\t' && r != '\u200d' && unicode.In(r, unicode.Cc, unicode.Cf)
	}) >= 0
}

// Any printable title works in every output; signs joined, other scripts, quotes,
// angle brackets.
func TestPrintableTitlesEverywhere(t *testing.T) {
	const title = "Rad 🚲👩‍🔧 für 日本 <b>&\"' שלום é"
	file := titled(t, title)
	dir := t.TempDir()
	for _, args := range []string{"gears", "gears --format json", "window", "budget --draws 100", "compare single", "diagnose", "export --as dxf", "export --as svg", "export --as gltf", "export --as csv"} {
		f := strings.Fields(args)
		code, out, errs := run(append([]string{f[0], file}, f[1:]...)...)
		if f[0] == "diagnose" && code == ExitBadInput { // no symptoms in this case
			continue
		}
		require.Equal(t, ExitDone, code, "%s: %s", args, errs)
		assert.False(t, raw(strings.ReplaceAll(out, "\r\n", "\n")), args)
	}
	for _, args := range [][]string{
		{"report", file, "-o", filepath.Join(dir, "x.pdf")}, {"report", file, "single", "-o", filepath.Join(dir, "y.pdf"), "--paper", "Letter"},
		{"report", file, "-o", filepath.Join(dir, "x.html")}, {"draw", file, "-o", dir, "--image", "svg,png,pdf"},
		{"window", file, "--figures", dir},
	} {
		code, _, errs := run(args...)
		require.Equal(t, ExitDone, code, errs)
	}
	svgs, err := filepath.Glob(filepath.Join(dir, "*.svg"))
	require.NoError(t, err)
	require.NotEmpty(t, svgs)
	for _, name := range svgs {
		text, err := os.ReadFile(name)
		require.NoError(t, err)
		assert.False(t, raw(string(text)), name)
		d := xml.NewDecoder(bytes.NewReader(text))
		for {
			if _, err := d.Token(); errors.Is(err, io.EOF) {
				break
			} else if !assert.NoError(t, err, name) {
				break
			}
		}
	}
	pdf, err := os.ReadFile(filepath.Join(dir, "x.pdf"))
	require.NoError(t, err)
	assert.True(t, bytes.HasPrefix(pdf, []byte("%PDF-")))
}

// A title that a spreadsheet would run is text in CSV; numbers stay numbers.
func TestCSVRunsNothing(t *testing.T) {
	for _, title := range []string{"=1+1", "+A1", "-A1", "@SUM(A1)", "=cmd|' /c calc'!A1"} {
		code, out, errs := run("compare", titled(t, title), "single", "--format", "csv")
		require.Equal(t, ExitDone, code, errs)
		rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
		require.NoError(t, err)
		assert.Equal(t, "'"+title, rows[1][0])
	}
	code, out, errs := run("gears", "trail", "--format", "csv")
	require.Equal(t, ExitDone, code, errs)
	assert.Contains(t, out, ",-67.304178,")
}

// Names of files reach no terminal raw, nor do a table's own column names or a title
// from the command line.
func TestHostileNames(t *testing.T) {
	dir := t.TempDir()
	evil := filepath.Join(dir, "e\x1b[31m\u202evil.yaml")
	text, err := os.ReadFile(titled(t, "good"))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(evil, text, 0o644))
	rows := filepath.Join(dir, "rows.csv")
	require.NoError(t, os.WriteFile(rows, []byte("design,a\x1b[31mb,status,x\n0,1,ok,2\n"), 0o644))
	good := filepath.Join(dir, "g\x1b[31m.csv")
	require.NoError(t, os.WriteFile(good, []byte("design,a,status,x\n0,1,ok,2\n1,2,ok,3\n2,3,ok,5\n3,4,ok,6\n"), 0o644))
	for _, c := range []struct {
		code int
		args []string
	}{
		{ExitDone, []string{"check", evil}},
		{ExitBadInput, []string{"gears", evil + "x"}},
		{ExitBadInput, []string{"gears", "single", "--torque", "\x1b[31m"}},
		{ExitBadInput, []string{"no\x1b[31mcommand"}},
		{ExitBadInput, []string{"chart", rows, "--x", "x", "--z", "x"}},
		{ExitBadInput, []string{"chart", good, "--x", "a", "--z", "x", "--title", "t\x1b[31m", "-o", dir}},
		{ExitDone, []string{"chart", good, "--x", "a", "--z", "x", "-o", filepath.Join(dir, "f\x1b[31m")}},
		{ExitDone, []string{"report", evil, "-o", filepath.Join(dir, "r\x1b.html")}},
		{ExitBadInput, []string{"sweep", "single", "--vary", "front.line=40,41", "-q", "-o", filepath.Join(dir, "no\x1b/x")}},
	} {
		code, out, errs := run(c.args...)
		assert.Equal(t, c.code, code, "%q: %s", c.args, errs)
		assert.False(t, raw(out), "%q", c.args)
		assert.False(t, raw(errs), "%q: %q", c.args, errs)
		assert.Less(t, len(errs), 1000)
	}
	// The picture of rows whose file is called so.
	svgs, err := filepath.Glob(filepath.Join(dir, "f*", "*.svg"))
	require.NoError(t, err)
	require.Len(t, svgs, 1)
	svg, err := os.ReadFile(svgs[0])
	require.NoError(t, err)
	assert.False(t, raw(string(svg)))
}

// A number without end gives a short message.
func TestEndlessNumber(t *testing.T) {
	nines := strings.Repeat("9", 500000)
	file := filepath.Join(t.TempDir(), "bike.yaml")
	require.NoError(t, os.WriteFile(file, []byte("chainpath: 1\ntitle: x\nspeeds: "+nines+"\n"), 0o644))
	for _, args := range [][]string{
		{"gears", file}, {"gears", "single", "--torque", nines}, {"sweep", "single", "--vary", "front.line=" + nines},
		{"sweep", "single", "--vary", "front.line=40", "--where", "stay_mm>=" + nines}, {"gears", "single", "--gear", nines},
	} {
		code, _, errs := run(args...)
		assert.Equal(t, ExitBadInput, code)
		assert.Less(t, len(errs), 600, args[0])
	}
}
