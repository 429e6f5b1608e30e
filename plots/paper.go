package plots

import (
	"image"
	"image/color"
	"math"
	"strings"

	"codeberg.org/go-pdf/fpdf"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Sized returns the figure laid out anew in another size, mm: its letters stay as large.
func (f Figure) Sized(width, height float64) Figure {
	f.Width, f.Height = vg.Length(width)*vg.Millimeter, vg.Length(height)*vg.Millimeter
	return f
}

// HeightOnPaper returns how high a figure is that is as wide as width.
func (f Figure) HeightOnPaper(width float64) float64 { return width * float64(f.Height/f.Width) }

// OnPaper draws a figure into a page of a PDF document whose unit is the mm, as lines and
// letters of one of the document's font families: left and top are the figure's corner, mm.
func (f Figure) OnPaper(pdf *fpdf.Fpdf, family string, left, top, width float64) {
	scale := width / float64(f.Width)
	p := &paper{pdf: pdf, family: family, scale: scale, left: left, bottom: top + f.HeightOnPaper(width)}
	p.now = pen{m: matrix{1, 0, 0, 1, 0, 0}, width: vg.Points(1), color: color.Black}
	f.draw(draw.NewCanvas(p, f.Width, f.Height))
	pdf.SetDashPattern(nil, 0)
	pdf.SetTextColor(0, 0, 0)
	pdf.SetLineWidth(0.2)
}

// Settable returns a text as the PDF writer takes it: a box stands for a character beyond the
// basic plane, such as a pictograph, which its fonts cannot hold.
func Settable(text string) string {
	return strings.Map(func(r rune) rune {
		if r > 0xffff {
			return '□'
		}
		return r
	}, text)
}

// matrix maps x, y to ax+cy+e, bx+dy+f.
type matrix struct{ a, b, c, d, e, f float64 }

func (m matrix) apply(p vg.Point) (x, y float64) {
	return m.a*float64(p.X) + m.c*float64(p.Y) + m.e, m.b*float64(p.X) + m.d*float64(p.Y) + m.f
}

// times returns the matrix that first does n, then m.
func (m matrix) times(n matrix) matrix {
	return matrix{
		m.a*n.a + m.c*n.b, m.b*n.a + m.d*n.b, m.a*n.c + m.c*n.d, m.b*n.c + m.d*n.d,
		m.a*n.e + m.c*n.f + m.e, m.b*n.e + m.d*n.f + m.f,
	}
}

// pen is what Push keeps.
type pen struct {
	m      matrix
	width  vg.Length
	dashes []vg.Length
	offset vg.Length
	color  color.Color
}

// paper is a canvas on a page of a document that others write on too; its own places are in
// points from the figure's lower left corner.
type paper struct {
	pdf          *fpdf.Fpdf
	family       string
	scale        float64 // mm a point
	left, bottom float64 // mm
	now          pen
	kept         []pen
}

func (p *paper) at(q vg.Point) (x, y float64) {
	x, y = p.now.m.apply(q)
	return p.left + x*p.scale, p.bottom - y*p.scale
}

// size is by how much lengths are scaled.
func (p *paper) size() float64 {
	return p.scale * math.Sqrt(math.Abs(p.now.m.a*p.now.m.d-p.now.m.b*p.now.m.c))
}

// SetLineWidth is of vg.Canvas.
func (p *paper) SetLineWidth(w vg.Length) { p.now.width = w }

// SetLineDash is of vg.Canvas.
func (p *paper) SetLineDash(d []vg.Length, offset vg.Length) { p.now.dashes, p.now.offset = d, offset }

// SetColor is of vg.Canvas.
func (p *paper) SetColor(c color.Color) {
	if c == nil {
		c = color.Black
	}
	p.now.color = c
}

// Rotate is of vg.Canvas.
func (p *paper) Rotate(rad float64) {
	s, c := math.Sincos(rad)
	p.now.m = p.now.m.times(matrix{c, s, -s, c, 0, 0})
}

// Translate is of vg.Canvas.
func (p *paper) Translate(q vg.Point) {
	p.now.m = p.now.m.times(matrix{1, 0, 0, 1, float64(q.X), float64(q.Y)})
}

// Scale is of vg.Canvas.
func (p *paper) Scale(x, y float64) { p.now.m = p.now.m.times(matrix{x, 0, 0, y, 0, 0}) }

// Push is of vg.Canvas.
func (p *paper) Push() { p.kept = append(p.kept, p.now) }

// Pop is of vg.Canvas.
func (p *paper) Pop() {
	p.now = p.kept[len(p.kept)-1]
	p.kept = p.kept[:len(p.kept)-1]
}

func (p *paper) rgb() (r, g, b int) {
	c := color.NRGBAModel.Convert(p.now.color).(color.NRGBA)
	over := func(v uint8) int { return 255 - int(c.A)*(255-int(v))/255 } // on white paper
	return over(c.R), over(c.G), over(c.B)
}

// Stroke is of vg.Canvas.
func (p *paper) Stroke(path vg.Path) {
	if p.now.width <= 0 {
		return
	}
	k := p.size()
	p.pdf.SetDrawColor(p.rgb())
	p.pdf.SetLineWidth(float64(p.now.width) * k)
	dashes := make([]float64, len(p.now.dashes))
	for i, d := range p.now.dashes {
		dashes[i] = float64(d) * k
	}
	p.pdf.SetDashPattern(dashes, float64(p.now.offset)*k)
	p.trace(path)
	p.pdf.DrawPath("D")
}

// Fill is of vg.Canvas.
func (p *paper) Fill(path vg.Path) {
	p.pdf.SetFillColor(p.rgb())
	p.trace(path)
	p.pdf.DrawPath("F")
}

// arcStep is how far apart the points of an arc are at most, rad.
const arcStep = math.Pi / 24

func (p *paper) trace(path vg.Path) {
	begun := false
	to := func(q vg.Point) {
		x, y := p.at(q)
		if begun {
			p.pdf.LineTo(x, y)
		} else {
			p.pdf.MoveTo(x, y)
		}
		begun = true
	}
	for _, c := range path {
		switch c.Type {
		case vg.MoveComp:
			begun = false
			to(c.Pos)
		case vg.LineComp:
			to(c.Pos)
		case vg.ArcComp:
			n := max(1, int(math.Ceil(math.Abs(c.Angle)/arcStep)))
			for i := range n + 1 {
				s, k := math.Sincos(c.Start + c.Angle*float64(i)/float64(n))
				to(vg.Point{X: c.Pos.X + c.Radius*vg.Length(k), Y: c.Pos.Y + c.Radius*vg.Length(s)})
			}
		case vg.CurveComp:
			x, y := p.at(c.Pos)
			if len(c.Control) == 1 {
				a, b := p.at(c.Control[0])
				p.pdf.CurveTo(a, b, x, y)
			} else if len(c.Control) == 2 {
				a, b := p.at(c.Control[0])
				d, e := p.at(c.Control[1])
				p.pdf.CurveBezierCubicTo(a, b, d, e, x, y)
			}
		case vg.CloseComp:
			p.pdf.ClosePath()
			begun = false
		}
	}
}

// FillString is of vg.Canvas: the letters are text in the document, which can be searched.
func (p *paper) FillString(f font.Face, q vg.Point, text string) {
	if f.Font.Size == 0 {
		return
	}
	const pointMM = 25.4 / 72
	text = Settable(text)
	p.pdf.SetFont(p.family, "", float64(f.Font.Size)*p.size()/pointMM)
	p.pdf.SetTextColor(p.rgb())
	x, y := p.at(q)
	turn := math.Atan2(p.now.m.b, p.now.m.a) * 180 / math.Pi
	if turn == 0 {
		p.pdf.Text(x, y, text)
		return
	}
	p.pdf.TransformBegin()
	p.pdf.TransformRotate(turn, x, y)
	p.pdf.Text(x, y, text)
	p.pdf.TransformEnd()
}

// DrawImage is of vg.Canvas; none of our figures has an image in it.
func (p *paper) DrawImage(vg.Rectangle, image.Image) { panic("plots: an image in a figure") }
