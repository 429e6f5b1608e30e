//go:build !js

package show

import (
	"bytes"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"codeberg.org/go-pdf/fpdf"

	"chainpath/cmd/internal/say"
	"chainpath/plots"
)

// sheet is a report set on paper.
type sheet struct {
	*fpdf.Fpdf
	width float64 // between the margins, mm
	tags  *tags
}

const edge = 15.0 // mm

// Papers are the paper sizes a report can be set on.
var Papers = []string{"A4", "Letter"}

// PDF sets the report on paper, one of Papers. The same report gives the same bytes.
func (r *Report) PDF(w io.Writer, paper string) error {
	f := fpdf.New("P", "mm", paper, "")
	fixed := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	f.SetCreationDate(fixed)
	f.SetModificationDate(fixed)
	f.SetCatalogSort(true)
	f.SetTitle(plots.Settable(r.Title), true)
	f.SetCreator("chainpath "+r.Version, true)
	f.AddUTF8FontFromBytes("sans", "", liberationsansregular.TTF)
	f.AddUTF8FontFromBytes("sans", "B", liberationsansbold.TTF)
	f.SetMargins(edge, edge, edge)
	f.SetAutoPageBreak(true, edge+6)
	f.AliasNbPages("{pages}")
	pw, _ := f.GetPageSize()
	s := &sheet{Fpdf: f, width: pw - 2*edge, tags: newTags(f)}
	foot := "chainpath " + r.Version
	for _, b := range r.Bikes {
		foot += fmt.Sprintf("; %s, sha256 %s", b.Name, b.Hash[:16])
	}
	f.SetHeaderFunc(s.tags.enter)
	f.SetFooterFunc(func() {
		s.tags.leave()
		s.tags.artifact(func() {
			f.SetY(-edge)
			f.SetFont("sans", "", 7)
			s.CellFormat(s.width-25, 4, s.cut(foot, s.width-27), "", 0, "L", false, 0, "")
			f.CellFormat(25, 4, fmt.Sprintf("%d of {pages}", f.PageNo()), "", 0, "R", false, 0, "")
		})
	})
	f.AddPage()
	s.tagged("H1", "B", 16, r.Title)
	if h := r.Head(); h != "" {
		s.text("", 10, h)
	}
	s.firstSide(r)
	f.AddPage()
	for _, b := range r.Bikes {
		s.secondSide(r, b)
	}
	if r.Compare != nil {
		s.head("Side by side")
		s.figure(*r.Compare)
	}
	if len(r.Best) > 0 {
		s.best(r.Best)
	}
	s.head("How far to trust this")
	s.text("", 9, say.Exact)
	s.Ln(1)
	s.text("", 9, say.Together(say.Weights(r.Weights), say.BetterOn))
	var whole bytes.Buffer
	if err := f.Output(&whole); err != nil {
		return err
	}
	out, err := s.tags.write(whole.Bytes())
	if err != nil {
		return err
	}
	_, err = w.Write(out)
	return err
}

// CellFormat sets a cell.
func (s *sheet) CellFormat(w, h float64, text, border string, ln int, align string, fill bool, link int, url string) {
	s.Fpdf.CellFormat(w, h, plots.Settable(text), border, ln, align, fill, link, url)
}

// MultiCell sets a paragraph.
func (s *sheet) MultiCell(w, h float64, text, border, align string, fill bool) {
	s.Fpdf.MultiCell(w, h, plots.Settable(text), border, align, fill)
}

// GetStringWidth measures a text.
func (s *sheet) GetStringWidth(text string) float64 {
	return s.Fpdf.GetStringWidth(plots.Settable(text))
}

// cut shortens a text to a width at the present size.
func (s *sheet) cut(text string, width float64) string {
	r := []rune(text)
	for len(r) > 1 && s.GetStringWidth(string(r)) > width {
		r = append(r[:len(r)-2], '…')
	}
	return string(r)
}

func (s *sheet) text(style string, size float64, words string) { s.tagged("P", style, size, words) }

// tagged sets a paragraph that is a P, a heading or another element.
func (s *sheet) tagged(role, style string, size float64, words string) {
	s.tags.mark(role, "", func() {
		s.SetFont("sans", style, size)
		s.MultiCell(s.width, size*0.48, words, "", "L", false)
	})
}

func (s *sheet) head(words string) {
	s.room(22)
	s.Ln(3)
	s.tagged("H2", "B", 12, words)
	s.tags.artifact(func() {
		s.SetDrawColor(0, 0x55, 0x66)
		s.Line(edge, s.GetY()+0.5, edge+s.width, s.GetY()+0.5)
	})
	s.Ln(2)
}

// room begins a new page where less than a height is left.
func (s *sheet) room(height float64) {
	_, ph := s.GetPageSize()
	if s.GetY()+height > ph-edge-6 {
		s.AddPage()
	}
}

// firstSide is what a shop hands over: the answer, the figure, what would help, what was
// measured, and the caution.
func (s *sheet) firstSide(r *Report) {
	for _, b := range r.Bikes {
		if len(r.Bikes) > 1 {
			s.head(b.Name)
		}
		if b.About != "" {
			s.text("", 9.5, strings.TrimSpace(b.About))
		}
		if r.Class && b.Complaint != "" {
			s.text("", 9.5, "You told us: "+b.Complaint+".")
		}
		if r.Class {
			for i, q := range Questions {
				s.text("", 10.5, fmt.Sprintf("%d. %s", i+1, q))
				s.Ln(2)
			}
		} else {
			for _, w := range b.Expected() {
				s.text("B", 10.5, w)
			}
		}
		if b.Advice != nil {
			s.head("What to do")
			s.text("", 9.5, b.Advice.Answer)
			if list := b.Cures(); len(list) > 1 {
				var rows [][]string
				for _, c := range list {
					rows = append(rows, []string{c.Name, c.Price, c.Minutes, c.Left, c.Score})
				}
				s.table([]string{"change", "price", "minutes", "chance left", "fault score"}, []float64{6, 1.2, 1.2, 1.4, 1.4}, "LRRRR", rows, nil)
			}
		}
		s.figure(b.First)
	}
	if r.Of != "" {
		s.head("What would help, of the list")
		s.text("", 9.5, r.Of)
		s.text("", 8.5, say.PartsFit)
	}
	for _, b := range r.Bikes {
		name := "What was measured or assumed"
		if len(r.Bikes) > 1 {
			name += ": " + b.Name
		}
		s.head(name)
		how := "given"
		if b.Gears.Chain.Chosen {
			how = "chosen"
		}
		s.text("", 9.5, fmt.Sprintf("%s Chain %d links (%s).", b.Difference(), b.Gears.Chain.Links, how))
		var list []string
		for _, g := range b.Given {
			x := g.What + " " + g.Value
			if g.From != "" {
				x += " (" + g.From + ")"
			}
			list = append(list, x)
		}
		s.text("", 8, strings.Join(list, "; ")+".")
		s.text("", 8, fmt.Sprintf("± is the 95 %% range. All other values are standard, usual or assumed for %s.", Plural(float64(b.Speeds), "speed")))
	}
	s.Ln(2)
	s.text("B", 9, "Caution")
	s.text("", 9, say.Safety("This sheet"))
	for _, c := range r.Care() {
		s.text("", 9, c)
	}
}

// secondSide is every gear, and where the ring may stand.
func (s *sheet) secondSide(r *Report, b ReportBike) {
	if r.Class {
		s.head("Answers")
		for _, w := range b.Expected() {
			s.text("B", 10, w)
		}
	}
	name := "Every gear"
	if len(r.Bikes) > 1 {
		name += ": " + b.Name
	}
	s.head(name)
	rows, bold := [][]string{}, []bool{}
	for _, g := range b.Rows() {
		rows = append(rows, []string{strconv.Itoa(g.Ring), strconv.Itoa(g.Cog), g.Ratio, g.Top, g.Bottom, g.Riding, g.Backwards, g.Loss, g.NextCog, g.Tyre, g.Stay})
		bold = append(bold, g.BadRiding || g.BadBack)
	}
	s.table([]string{"ring", "cog", "ratio", "top °", "bottom °", "riding", "back-pedalling", "loss %", "next cog mm", "tyre mm", "stay mm"},
		[]float64{1, 1, 1.1, 1.1, 1.4, 4.3, 4.3, 1.2, 1.4, 1.3, 1.2}, "RRRRRLLRRRR", rows, bold)
	if x := b.Wanted(); x != "" {
		s.text("", 10, x)
	}
	s.head("Where the chainring can sit")
	for _, w := range b.Window {
		s.text("", 10, w)
	}
	if len(b.Shifts) > 0 {
		s.head("How it shifts")
		for _, w := range b.Shifts {
			s.text("", 10, w)
		}
	}
	for _, f := range b.Figures {
		s.figure(f)
	}
}

func (s *sheet) best(best []PartsBest) {
	s.head("What a change does")
	rows := [][]string{}
	for i, b := range best {
		rows = append(rows, []string{strconv.Itoa(i + 1), fmt.Sprintf("%.2f", b.Left), b.Sure(), fmt.Sprintf("%.2f", b.Price), b.Harms(), b.NameAndShifts()})
	}
	s.table([]string{"rank", "fault score", "better on %", "price", "side effect", "changes"}, []float64{0.8, 1.5, 1.2, 1.2, 3.4, 7}, "RRRRLL", rows, nil)
}

// table sets rows under a head that is set again on every page; columns take shares
// of the width, and cells that are too long go on in more lines.
func (s *sheet) table(head []string, shares []float64, align string, rows [][]string, bold []bool) {
	const size, line = 7.6, 3.5
	sum := 0.0
	for _, x := range shares {
		sum += x
	}
	width := make([]float64, len(shares))
	for i, x := range shares {
		width[i] = x / sum * s.width
	}
	row := func(cells []string, style, role string) {
		s.SetFont("sans", style, size)
		most := 1
		var split [][]string
		for i, c := range cells {
			l := s.SplitText(c, width[i]-1.6)
			split = append(split, l)
			most = max(most, len(l))
		}
		height := float64(most)*line + 0.8
		_, ph := s.GetPageSize()
		if s.GetY()+height > ph-edge-6 {
			s.AddPage()
			s.SetFont("sans", style, size)
		}
		x, y := edge, s.GetY()
		s.tags.inside("TR", func() {
			for i, l := range split {
				s.tags.mark(role, "", func() {
					for k, t := range l {
						s.SetXY(x, y+0.4+float64(k)*line)
						s.CellFormat(width[i], line, t, "", 0, align[i:i+1], false, 0, "")
					}
				})
				x += width[i]
			}
		})
		s.tags.artifact(func() {
			s.SetDrawColor(0xcc, 0xcc, 0xcc)
			s.Line(edge, y+height, edge+s.width, y+height)
		})
		s.SetXY(edge, y+height)
	}
	s.tags.inside("Table", func() {
		row(head, "B", "TH")
		for i, r := range rows {
			style := ""
			if bold != nil && bold[i] {
				style = "B"
			}
			page := s.PageNo()
			if _, ph := s.GetPageSize(); s.GetY()+3*line > ph-edge-6 {
				s.AddPage()
			}
			if s.PageNo() != page {
				row(head, "B", "TH")
			}
			row(r, style, "TD")
		}
	})
	s.Ln(1)
}

// figure sets a figure over the width, on a page where it fits.
func (s *sheet) figure(f ReportFigure) {
	if f.Paper == nil {
		return
	}
	height := f.Paper.HeightOnPaper(s.width)
	s.room(height + 4)
	s.Ln(2)
	top := s.GetY()
	s.tags.mark("Figure", f.Alt, func() { f.Paper.OnPaper(s.Fpdf, "sans", edge, top, s.width) })
	s.SetXY(edge, top+height+2)
}
