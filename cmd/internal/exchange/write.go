package exchange

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"html"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// Formats are what Write knows.
var Formats = []string{"dxf", "svg", "gltf", "csv"}

// Write returns a drawing as a file of one of Formats.
func (d Drawing) Write(format string) ([]byte, error) {
	switch format {
	case "dxf":
		return d.dxf(), nil
	case "svg":
		return d.svg(), nil
	case "gltf":
		return d.gltf()
	case "csv":
		return d.csv()
	}
	return nil, fmt.Errorf("exchange: no format %q", format)
}

func num(x float64) string {
	s := strconv.FormatFloat(math.Round(x*1e6)/1e6, 'f', -1, 64)
	if s == "-0" {
		return "0"
	}
	return s
}

// dxf writes the plain form of the release 12 of DXF: layers, LINE, CIRCLE, POLYLINE.
func (d Drawing) dxf() []byte {
	var b bytes.Buffer
	put := func(code int, value string) { fmt.Fprintf(&b, "%3d\n%s\n", code, value) }
	point := func(first int, v r3.Vec) {
		put(first, num(v.X))
		put(first+10, num(v.Y))
		put(first+20, num(v.Z))
	}
	put(999, "lengths in mm; x forward, y to the drive side, z up")
	put(0, "SECTION")
	put(2, "HEADER")
	put(9, "$ACADVER")
	put(1, "AC1009")
	put(0, "ENDSEC")
	put(0, "SECTION")
	put(2, "TABLES")
	put(0, "TABLE")
	put(2, "LAYER")
	put(70, strconv.Itoa(len(d.Layers)+1))
	for _, name := range append([]string{"0"}, d.names()...) {
		put(0, "LAYER")
		put(2, name)
		put(70, "0")
		put(62, "7")
		put(6, "CONTINUOUS")
	}
	put(0, "ENDTAB")
	put(0, "ENDSEC")
	put(0, "SECTION")
	put(2, "ENTITIES")
	for _, l := range d.Layers {
		name := strings.ToUpper(l.Name)
		for _, c := range l.Circles {
			put(0, "CIRCLE")
			put(8, name)
			// The circle's own frame for the direction y: x turned round, y is z.
			point(10, r3.Vec{X: -c.Centre.X, Y: c.Centre.Z, Z: c.Centre.Y})
			put(40, num(c.Radius))
			point(210, r3.Vec{Y: 1})
		}
		for _, x := range l.Lines {
			if len(x.Points) == 2 && !x.Closed {
				put(0, "LINE")
				put(8, name)
				point(10, x.Points[0])
				point(11, x.Points[1])
				continue
			}
			flags := 8 // in space
			if x.Closed {
				flags |= 1
			}
			put(0, "POLYLINE")
			put(8, name)
			put(66, "1")
			point(10, r3.Vec{})
			put(70, strconv.Itoa(flags))
			for _, p := range x.Points {
				put(0, "VERTEX")
				put(8, name)
				point(10, p)
				put(70, "32")
			}
			put(0, "SEQEND")
			put(8, name)
		}
	}
	put(0, "ENDSEC")
	put(0, "EOF")
	return b.Bytes()
}

func (d Drawing) names() (out []string) {
	for _, l := range d.Layers {
		out = append(out, strings.ToUpper(l.Name))
	}
	return out
}

// svg writes two views in mm, the side view over the view from above, each layer a
// group. Both have the same x.
func (d Drawing) svg() []byte {
	lo, hi := d.bounds()
	const pad = 10.0
	width := hi.X - lo.X + 2*pad
	tall, deep := hi.Z-lo.Z+2*pad, hi.Y-lo.Y+2*pad
	var b bytes.Buffer
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s" fill="none" stroke="#101010" stroke-width="0.35">`+"\n<title>%s</title>\n<desc>Side view above, view from above below it; mm, true scale.</desc>\n",
		num(width), num(tall+deep), num(width), num(tall+deep), html.EscapeString(d.Title))
	view := func(id string, at func(v r3.Vec) (x, y float64), circles bool) {
		fmt.Fprintf(&b, "<g id=\"%s\">\n", id)
		for _, l := range d.Layers {
			if len(l.Lines)+len(l.Circles) == 0 {
				continue
			}
			fmt.Fprintf(&b, "<g id=\"%s-%s\">\n", id, l.Name)
			for _, c := range l.Circles {
				x, y := at(c.Centre)
				if circles {
					fmt.Fprintf(&b, "<circle cx=\"%s\" cy=\"%s\" r=\"%s\"/>\n", num(x), num(y), num(c.Radius))
				} else {
					fmt.Fprintf(&b, "<line x1=\"%s\" y1=\"%s\" x2=\"%s\" y2=\"%s\"/>\n", num(x-c.Radius), num(y), num(x+c.Radius), num(y))
				}
			}
			for _, n := range l.Lines {
				name := "polyline"
				if n.Closed {
					name = "polygon"
				}
				fmt.Fprintf(&b, "<%s points=\"", name)
				for i, p := range n.Points {
					x, y := at(p)
					if i > 0 {
						b.WriteByte(' ')
					}
					b.WriteString(num(x) + "," + num(y))
				}
				b.WriteString("\"/>\n")
			}
			b.WriteString("</g>\n")
		}
		b.WriteString("</g>\n")
	}
	view("side", func(v r3.Vec) (float64, float64) { return v.X - lo.X + pad, hi.Z - v.Z + pad }, true)
	view("above", func(v r3.Vec) (float64, float64) { return v.X - lo.X + pad, tall + v.Y - lo.Y + pad }, false)
	b.WriteString("</svg>\n")
	return b.Bytes()
}

// bounds returns the box around everything drawn as lines and circles.
func (d Drawing) bounds() (lo, hi r3.Vec) {
	lo = r3.Vec{X: math.Inf(1), Y: math.Inf(1), Z: math.Inf(1)}
	hi = r3.Scale(-1, lo)
	see := func(v r3.Vec, r float64) {
		lo = r3.Vec{X: math.Min(lo.X, v.X-r), Y: math.Min(lo.Y, v.Y), Z: math.Min(lo.Z, v.Z-r)}
		hi = r3.Vec{X: math.Max(hi.X, v.X+r), Y: math.Max(hi.Y, v.Y), Z: math.Max(hi.Z, v.Z+r)}
	}
	for _, l := range d.Layers {
		for _, c := range l.Circles {
			see(c.Centre, c.Radius)
		}
		for _, n := range l.Lines {
			for _, p := range n.Points {
				see(p, 0)
			}
		}
	}
	return lo, hi
}

// csv writes every point: lines by their points, circles by centre and radius.
func (d Drawing) csv() ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	_ = w.Write([]string{"layer", "kind", "part", "point", "x_mm", "y_mm", "z_mm", "radius_mm"})
	for _, l := range d.Layers {
		for i, c := range l.Circles {
			_ = w.Write([]string{l.Name, "circle", strconv.Itoa(i), "0", num(c.Centre.X), num(c.Centre.Y), num(c.Centre.Z), num(c.Radius)})
		}
		for i, n := range l.Lines {
			kind := "line"
			if n.Closed {
				kind = "loop"
			}
			for k, p := range n.Points {
				_ = w.Write([]string{l.Name, kind, strconv.Itoa(i), strconv.Itoa(k), num(p.X), num(p.Y), num(p.Z), ""})
			}
		}
	}
	w.Flush()
	return b.Bytes(), w.Error()
}
