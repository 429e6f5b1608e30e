package show

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"codeberg.org/go-pdf/fpdf"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// taggedSheet is a small document: a heading, a paragraph that runs over the page's end, a
// table and an artifact.
func taggedSheet(t *testing.T) []byte {
	f := fpdf.New("P", "mm", "A4", "")
	f.SetCompression(false)
	f.SetFont("Helvetica", "", 10)
	tags := newTags(f)
	f.SetHeaderFunc(tags.enter)
	f.SetFooterFunc(func() { tags.leave(); tags.artifact(func() { f.SetY(-10); f.Cell(10, 4, "page") }) })
	f.AddPage()
	tags.mark("H1", "", func() { f.MultiCell(0, 5, "A heading", "", "L", false) })
	tags.mark("P", "", func() { f.MultiCell(0, 5, strings.Repeat("words that go on\n", 80), "", "L", false) })
	tags.inside("Table", func() {
		tags.inside("TR", func() { tags.mark("TH", "", func() { f.Cell(10, 4, "head") }) })
		tags.inside("TR", func() { tags.mark("TD", "", func() { f.Cell(10, 4, "cell") }) })
	})
	tags.mark("Figure", "a ring of 32 – seen", func() { f.Line(10, 10, 20, 20) })
	var out bytes.Buffer
	require.NoError(t, f.Output(&out))
	pdf, err := tags.write(out.Bytes())
	require.NoError(t, err)
	return pdf
}

// Every entry of the new cross-reference table points to its object (ISO 32000-1, 7.5.4), marks
// are begun as often as ended, and a piece that runs over the page's end goes on as the same
// element.
func TestTaggedDocument(t *testing.T) {
	pdf := taggedSheet(t)
	at, err := strconv.Atoi(regexp.MustCompile(`startxref\n(\d+)\n%%EOF\n$`).FindStringSubmatch(string(pdf))[1])
	require.NoError(t, err)
	table := string(pdf[at:])
	require.True(t, strings.HasPrefix(table, "xref\n"))
	entries := regexp.MustCompile(`(?m)^(\d+) 1\n(\d{10}) 00000 n $`).FindAllStringSubmatch(table, -1)
	assert.Greater(t, len(entries), 8)
	for _, e := range entries {
		offset, err := strconv.Atoi(e[2])
		require.NoError(t, err)
		assert.True(t, bytes.HasPrefix(pdf[offset:], []byte(e[1]+" 0 obj\n")), "object %s", e[1])
	}
	assert.Len(t, regexp.MustCompile(`/Scope /Column`).FindAll(pdf, -1), 1)
	assert.Regexp(t, `/StructElem /S /TH /P \d+ 0 R /A <</O /Table /Scope /Column>> /K`, string(pdf))
	begun := len(regexp.MustCompile(`(BDC|BMC)\n`).FindAll(pdf, -1))
	assert.Equal(t, begun, len(regexp.MustCompile(`(?m)^EMC$`).FindAll(pdf, -1)))
	paragraph := regexp.MustCompile(`/StructElem /S /P .*/K \[(.*)\]`).FindSubmatch(pdf)
	require.NotNil(t, paragraph)
	assert.Equal(t, 2, strings.Count(string(paragraph[1]), "/MCR"), "on both pages")
	assert.Contains(t, string(pdf), "/Alt <FEFF0061", "UTF-16, big end first")
	assert.Equal(t, pdf, taggedSheet(t), "the same bytes again")
}

// Another program finds the tree in order (poppler's pdfinfo).
func TestTaggedDocumentIsRead(t *testing.T) {
	program, err := exec.LookPath("pdfinfo")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("no pdfinfo")
		}
		t.Skip("no pdfinfo on this machine")
	}
	name := filepath.Join(t.TempDir(), "t.pdf")
	require.NoError(t, os.WriteFile(name, taggedSheet(t), 0o600))
	out, err := exec.Command(program, "-struct-text", name).CombinedOutput()
	require.NoError(t, err, string(out))
	var roles []string
	for _, m := range regexp.MustCompile(`(?m)^ *(Document|H1|P|Table|TR|TH|TD|Figure)\b`).FindAllStringSubmatch(string(out), -1) {
		roles = append(roles, m[1])
	}
	assert.Equal(t, []string{"Document", "H1", "P", "Table", "TR", "TH", "TR", "TD", "Figure"}, roles)
	assert.NotContains(t, string(out), "Syntax")
	out, err = exec.Command(program, name).CombinedOutput()
	require.NoError(t, err)
	assert.Regexp(t, `Tagged: +yes`, string(out))
}

// A document that is not as the writer writes it is refused, not broken.
func TestTagsRefuseOtherDocuments(t *testing.T) {
	_, err := newTags(fpdf.New("P", "mm", "A4", "")).write([]byte("%PDF-1.3\n%%EOF"))
	assert.ErrorContains(t, err, "otherwise than expected")
}
