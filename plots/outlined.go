package plots

import (
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgpdf"
)

// outlined is a PDF canvas that draws letters as filled outlines: every sign a
// font has comes out right (the PDF writer's own text knows only one code page),
// and the file needs no fonts. Text in it cannot be searched.
type outlined struct{ *vgpdf.Canvas }

// FillString draws a text from its left end on the base line.
func (c outlined) FillString(f font.Face, pt vg.Point, s string) {
	var buf sfnt.Buffer
	// Outlines are loaded at the font's own units, then scaled: nothing is lost.
	units := int(f.Face.UnitsPerEm())
	ppem := fixed.I(units)
	scale := f.Font.Size / vg.Length(units)
	at := pt.X
	point := func(p fixed.Point26_6) vg.Point {
		return vg.Point{X: at + scale*vg.Length(p.X)/64, Y: pt.Y - scale*vg.Length(p.Y)/64}
	}
	var last sfnt.GlyphIndex
	for i, r := range s {
		g, err := f.Face.GlyphIndex(&buf, r)
		if err != nil {
			continue
		}
		if i > 0 {
			if k, err := f.Face.Kern(&buf, last, g, ppem, 0); err == nil {
				at += scale * vg.Length(k) / 64
			}
		}
		segments, err := f.Face.LoadGlyph(&buf, g, ppem, nil)
		if err != nil {
			continue
		}
		var p vg.Path
		for _, seg := range segments {
			switch seg.Op {
			case sfnt.SegmentOpMoveTo:
				if len(p) > 0 {
					p.Close()
				}
				p.Move(point(seg.Args[0]))
			case sfnt.SegmentOpLineTo:
				p.Line(point(seg.Args[0]))
			case sfnt.SegmentOpQuadTo:
				p.QuadTo(point(seg.Args[0]), point(seg.Args[1]))
			case sfnt.SegmentOpCubeTo:
				p.CubeTo(point(seg.Args[0]), point(seg.Args[1]), point(seg.Args[2]))
			}
		}
		if len(p) > 0 {
			p.Close()
			c.Fill(p)
		}
		if w, err := f.Face.GlyphAdvance(&buf, g, ppem, 0); err == nil {
			at += scale * vg.Length(w) / 64
		}
		last = g
	}
}
