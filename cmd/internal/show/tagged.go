//go:build !js

package show

import (
	"bytes"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf16"

	"codeberg.org/go-pdf/fpdf"
)

// tags records what the pieces of a document are, so that a reader aloud knows headings,
// paragraphs, figures and tables, and their order: ISO 32000-1, 14.7 and 14.8. The PDF writer
// knows nothing of it; the marks go into its pages as it writes them, and the tree behind what
// it has written, as an update.
type tags struct {
	pdf   *fpdf.Fpdf
	nodes []node // 0: the document
	at    int    // the node that further ones go into
	open  int    // the node whose piece is being written; 0: none
	marks [][]int
}

// node is an element of the tree.
type node struct {
	role, alt string
	parent    int
	kids      []int // nodes; below zero: piece -k-1 of its pieces
	pieces    []piece
}

// piece is a marked piece of a page.
type piece struct{ page, id int }

func newTags(pdf *fpdf.Fpdf) *tags {
	return &tags{pdf: pdf, nodes: []node{{role: "Document"}}}
}

// add puts a node into the present one.
func (t *tags) add(role, alt string) int {
	t.nodes = append(t.nodes, node{role: role, alt: alt, parent: t.at})
	k := len(t.nodes) - 1
	t.nodes[t.at].kids = append(t.nodes[t.at].kids, k)
	return k
}

// inside lets what is written by do go into a node of its own.
func (t *tags) inside(role string, do func()) {
	was := t.at
	t.at = t.add(role, "")
	do()
	t.at = was
}

// mark marks what is written by do as one element.
func (t *tags) mark(role, alt string, do func()) {
	t.open = t.add(role, alt)
	t.begin()
	do()
	t.end()
	t.open = 0
}

// begin begins a piece of the open node on the present page.
func (t *tags) begin() {
	page := t.pdf.PageNo() - 1
	for len(t.marks) <= page {
		t.marks = append(t.marks, nil)
	}
	id := len(t.marks[page])
	t.marks[page] = append(t.marks[page], t.open)
	n := &t.nodes[t.open]
	n.pieces = append(n.pieces, piece{page, id})
	n.kids = append(n.kids, -len(n.pieces))
	t.pdf.RawWriteStr(fmt.Sprintf("/%s <</MCID %d>> BDC", n.role, id))
}

func (t *tags) end() { t.pdf.RawWriteStr("EMC") }

// artifact is what a reader leaves out: rules and page numbers.
func (t *tags) artifact(do func()) {
	t.pdf.RawWriteStr("/Artifact BMC")
	do()
	t.pdf.RawWriteStr("EMC")
}

// leave and enter let an open piece end with its page and go on with the next one.
func (t *tags) leave() {
	if t.open > 0 {
		t.end()
	}
}

func (t *tags) enter() {
	if t.open > 0 {
		t.begin()
	}
}

var (
	pageObject    = regexp.MustCompile(`(?m)^(\d+) 0 obj\n<</Type /Page\n`)
	catalogObject = regexp.MustCompile(`(?m)^(\d+) 0 obj\n<<\n/Type /Catalog\n`)
	trailerSize   = regexp.MustCompile(`/Size (\d+)`)
	trailerRefs   = regexp.MustCompile(`/Root \d+ 0 R\n/Info \d+ 0 R`)
	startOfTable  = regexp.MustCompile(`startxref\n(\d+)\n%%EOF`)
)

// write returns a document with the tree behind it.
func (t *tags) write(pdf []byte) ([]byte, error) {
	pages, catalog := pageObject.FindAllSubmatchIndex(pdf, -1), catalogObject.FindSubmatchIndex(pdf)
	size, refs, start := trailerSize.FindSubmatch(pdf), trailerRefs.Find(pdf), startOfTable.FindSubmatch(pdf)
	if catalog == nil || size == nil || refs == nil || start == nil || len(pages) < len(t.marks) {
		return nil, fmt.Errorf("show: the PDF writer writes otherwise than expected: no catalogue, trailer or pages")
	}
	number := func(m []int) int {
		n, _ := strconv.Atoi(string(pdf[m[2]:m[3]])) // matched as digits
		return n
	}
	free, _ := strconv.Atoi(string(size[1]))
	root := free
	object := func(k int) int { return root + 1 + k }
	tree := object(len(t.nodes))
	out := bytes.NewBuffer(bytes.TrimRight(pdf, "\n"))
	out.WriteString("\n")
	places := map[int]int{}
	put := func(n int, body string) {
		places[n] = out.Len()
		fmt.Fprintf(out, "%d 0 obj\n%s\nendobj\n", n, body)
	}
	put(number(catalog), strings.TrimSuffix(bodyOf(pdf, catalog[1]), ">>")+fmt.Sprintf("/MarkInfo <</Marked true>>\n/StructTreeRoot %d 0 R\n/Lang (en)\n/ViewerPreferences <</DisplayDocTitle true>>\n>>", root))
	var parents strings.Builder
	for i, m := range pages {
		put(number(m), strings.TrimSuffix(bodyOf(pdf, m[1]), ">>")+fmt.Sprintf("/StructParents %d\n/Tabs /S\n>>", i))
		fmt.Fprintf(&parents, "%d [", i)
		if i < len(t.marks) {
			for _, n := range t.marks[i] {
				fmt.Fprintf(&parents, "%d 0 R ", object(n))
			}
		}
		parents.WriteString("] ")
	}
	put(root, fmt.Sprintf("<</Type /StructTreeRoot /K %d 0 R /ParentTree %d 0 R /ParentTreeNextKey %d>>", object(0), tree, len(pages)))
	for k := range t.nodes {
		n := &t.nodes[k]
		up := root
		if k > 0 {
			up = object(n.parent)
		}
		var kids strings.Builder
		for _, c := range n.kids {
			if c >= 0 {
				fmt.Fprintf(&kids, "%d 0 R ", object(c))
				continue
			}
			p := n.pieces[-c-1]
			fmt.Fprintf(&kids, "<</Type /MCR /Pg %d 0 R /MCID %d>> ", number(pages[p.page]), p.id)
		}
		alt := ""
		if n.alt != "" {
			alt = " /Alt " + textString(n.alt)
		}
		if n.role == "TH" {
			alt += " /A <</O /Table /Scope /Column>>"
		}
		put(object(k), fmt.Sprintf("<</Type /StructElem /S /%s /P %d 0 R%s /K [%s]>>", n.role, up, alt, strings.TrimSpace(kids.String())))
	}
	put(tree, "<</Nums ["+parents.String()+"]>>")
	table := out.Len()
	out.WriteString("xref\n")
	for n := range tree + 1 {
		if at, ok := places[n]; ok {
			fmt.Fprintf(out, "%d 1\n%010d 00000 n \n", n, at)
		}
	}
	fmt.Fprintf(out, "trailer\n<<\n/Size %d\n%s\n/Prev %s\n>>\nstartxref\n%d\n%%%%EOF\n", tree+1, refs, start[1], table)
	return out.Bytes(), nil
}

// bodyOf returns the dictionary of an object, of which a match has taken the beginning.
func bodyOf(pdf []byte, after int) string {
	begin := bytes.LastIndex(pdf[:after], []byte(" obj\n")) + len(" obj\n")
	end := begin + bytes.Index(pdf[begin:], []byte("endobj"))
	return strings.TrimSpace(string(pdf[begin:end]))
}

// textString returns a text as PDF writes it in UTF-16.
func textString(s string) string {
	var b strings.Builder
	b.WriteString("<FEFF")
	for _, u := range utf16.Encode([]rune(s)) {
		fmt.Fprintf(&b, "%04X", u)
	}
	b.WriteString(">")
	return b.String()
}
