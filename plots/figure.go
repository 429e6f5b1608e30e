package plots

import (
	"bytes"
	"fmt"
	"html"
	"image/color"
	"slices"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgpdf"
	"gonum.org/v1/plot/vg/vgsvg"

	"chainpath/sim"
)

// Input is what the figures are drawn from.
type Input struct {
	Title  string
	Bike   *sim.Bike
	Result *sim.Result
	Answer *Answer
}

// Figure is one figure, drawn when it is rendered.
type Figure struct {
	Name          string    // for a file name, without ending
	Title, About  string    // what it is of, and how it is read, for who cannot see it
	Width, Height vg.Length // of the whole
	draw          func(c draw.Canvas)
}

// Formats are the formats Render knows.
var Formats = []string{"svg", "png", "pdf"}

// dpi of PNG figures: sharp on a screen twice as fine as usual.
const dpi = 160

func init() {
	// The same figure gives the same bytes on every run.
	fixed := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	fpdf.SetDefaultCreationDate(fixed)
	fpdf.SetDefaultModificationDate(fixed)
	fpdf.SetDefaultCatalogSort(true)
}

// Render returns the figure as a file of one of Formats.
func (f Figure) Render(format string) ([]byte, error) {
	var c interface {
		vg.CanvasSizer
		vg.CanvasWriterTo
	}
	switch format {
	case "svg":
		c = vgsvg.New(f.Width, f.Height)
	case "png":
		c = vgimg.PngCanvas{Canvas: vgimg.NewWith(vgimg.UseWH(f.Width, f.Height), vgimg.UseDPI(dpi))}
	case "pdf":
		c = outlined{vgpdf.New(f.Width, f.Height)}
	default:
		return nil, fmt.Errorf("plots: no format %q", format)
	}
	f.draw(draw.New(c))
	var b bytes.Buffer
	if _, err := c.WriteTo(&b); err != nil {
		return nil, fmt.Errorf("plots: %s.%s: %w", f.Name, format, err)
	}
	if format == "svg" {
		return f.told(b.Bytes()), nil
	}
	return b.Bytes(), nil
}

// told puts title and description into an SVG, as its first children (SVG 1.1, 5.4).
func (f Figure) told(svg []byte) []byte {
	at := bytes.Index(svg, []byte("<svg"))
	if at < 0 {
		return svg
	}
	open := at + bytes.IndexByte(svg[at:], '>')
	words := fmt.Sprintf(" role=\"img\" aria-labelledby=\"t d\">\n<title id=\"t\">%s</title>\n<desc id=\"d\">%s</desc>", html.EscapeString(f.Title), html.EscapeString(f.About))
	return slices.Concat(svg[:open], []byte(words), svg[open+1:])
}

// Figures returns the one figure of the answer, the top view, and the side view of the
// given gears (indices into the result).
func Figures(in Input, gears ...int) []Figure {
	figs := []Figure{in.Answer.Draw(), TopView(in)}
	for _, g := range gears {
		figs = append(figs, SideView(in, g))
	}
	return figs
}

// Our ink: black for what the bike does, greys for the frame, and two hues that
// differ in lightness as well (readable for every kind of colour vision).
var (
	ink   = color.Gray{Y: 0x10}
	dark  = color.Gray{Y: 0x55}
	mid   = color.Gray{Y: 0x90}
	pale  = color.Gray{Y: 0xd8}
	ochre = color.RGBA{R: 0xb0, G: 0x6a, B: 0x00, A: 0xff}
	teal  = color.RGBA{R: 0x00, G: 0x55, B: 0x66, A: 0xff}
	// accent is for faults and nothing else.
	accent = color.RGBA{R: 0xae, G: 0x2f, B: 0x16, A: 0xff}
)

// Dashes of the lines that have a meaning of their own.
var (
	dashed  = []vg.Length{vg.Points(6), vg.Points(3)}
	dotted  = []vg.Length{vg.Points(1.2), vg.Points(2.6)}
	dotdash = []vg.Length{vg.Points(8), vg.Points(2.5), vg.Points(1.5), vg.Points(2.5)}
)

// style returns a text style in our face.
func style(size float64, c color.Color) text.Style {
	return text.Style{
		Color:   c,
		Font:    font.Font{Typeface: "Liberation", Variant: "Sans", Size: vg.Points(size)},
		Handler: plot.DefaultTextHandler,
	}
}

// dress puts our face and ink on a plot's axes.
func dress(p *plot.Plot) {
	p.BackgroundColor = color.White
	p.Title.TextStyle = style(10, ink)
	p.Title.TextStyle.XAlign, p.Title.TextStyle.YAlign = draw.XCenter, draw.YTop
	p.Title.Padding = vg.Points(4)
	for _, a := range []*plot.Axis{&p.X, &p.Y} {
		rot := a.Label.TextStyle.Rotation
		xa, ya := a.Label.TextStyle.XAlign, a.Label.TextStyle.YAlign
		a.Label.TextStyle = style(9, ink)
		a.Label.TextStyle.Rotation, a.Label.TextStyle.XAlign, a.Label.TextStyle.YAlign = rot, xa, ya
		xa, ya = a.Tick.Label.XAlign, a.Tick.Label.YAlign
		a.Tick.Label = style(8, ink)
		a.Tick.Label.XAlign, a.Tick.Label.YAlign = xa, ya
		a.Color, a.Tick.Color = dark, dark
		a.Padding = vg.Points(3)
	}
}

// line returns a line style.
func line(c color.Color, width float64, dashes []vg.Length) draw.LineStyle {
	return draw.LineStyle{Color: c, Width: vg.Points(width), Dashes: dashes}
}

// write sets a text at a point of the canvas.
func write(c draw.Canvas, size float64, x draw.XAlignment, y draw.YAlignment, at vg.Point, s string) {
	st := style(size, ink)
	st.XAlign, st.YAlign = x, y
	c.FillText(st, at, s)
}

// entry is one sample of a legend.
type entry struct {
	text  string
	line  *draw.LineStyle
	glyph *draw.GlyphStyle
}

// legend sets entries in a row from the left edge at height y, wrapping at the
// canvas's right edge, and returns the height of the last row.
func legend(c draw.Canvas, y vg.Length, entries []entry) vg.Length {
	st := style(8, ink)
	st.YAlign = draw.YCenter
	const sample, gap, row = 26, 6, 14
	x := c.Min.X
	for _, e := range entries {
		w := vg.Points(sample+gap+14) + st.Width(e.text)
		if x > c.Min.X && x+w > c.Max.X {
			x, y = c.Min.X, y-vg.Points(row)
		}
		if e.line != nil {
			c.StrokeLine2(*e.line, x, y, x+vg.Points(sample), y)
		}
		if e.glyph != nil {
			c.DrawGlyph(*e.glyph, vg.Point{X: x + vg.Points(sample/2), Y: y})
		}
		c.FillText(st, vg.Point{X: x + vg.Points(sample+gap), Y: y}, e.text)
		x += w
	}
	return y
}

// header writes the title and a second line and returns the canvas below them.
func header(c draw.Canvas, title, second string, entries []entry) draw.Canvas {
	pad := vg.Points(10)
	c = draw.Crop(c, pad, -pad, pad, -pad)
	write(c, 12, draw.XLeft, draw.YTop, vg.Point{X: c.Min.X, Y: c.Max.Y}, title)
	write(c, 9, draw.XLeft, draw.YTop, vg.Point{X: c.Min.X, Y: c.Max.Y - vg.Points(18)}, second)
	y := legend(c, c.Max.Y-vg.Points(42), entries)
	return draw.Crop(c, 0, 0, 0, y-vg.Points(12)-c.Max.Y)
}
