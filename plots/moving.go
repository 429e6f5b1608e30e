package plots

import (
	"bytes"
	"fmt"
	"html"
	"math"

	"chainpath/sim"
	"chainpath/sim/engage"
	"chainpath/sim/march"
)

// Scale of the moving picture: pixels a mm along and sideways, and how long a
// pitch takes, s.
const (
	alongScale = 5.2
	sideScale  = 13
	pitchTime  = 1.8
	holdTime   = 2.5 // at the end
	toothDrawn = 40  // pixels that a tooth is thick before it is scaled
)

// Moving returns a moving picture as SVG: links running onto the wheel, seen from
// above, around the moment. It has no script: style sheet animation, which stands
// still at the moment for those who asked for reduced motion.
func (m March) Moving() []byte {
	w := m.wheelOf()
	pitch := m.Chain.Pitch
	width, top := (aboveBefore+aboveAfter)*pitch*alongScale, 136.0
	lo, hi := m.movingRange(w)
	height := top + (hi-lo)*sideScale + 40
	px := func(along float64) float64 { return (along - w.From + aboveBefore*pitch) * alongScale }
	py := func(y float64) float64 { return top + (hi-(y-w.Line))*sideScale }
	var style, body bytes.Buffer
	first, last := m.Film[0].Angle, m.Film[len(m.Film)-1].Angle
	run := math.Max(pitchTime*(last-first)/(2*math.Pi/float64(m.Gear.RingTeeth)), 0.1)
	still := m.frame()
	for _, id := range m.shown(w) {
		plates, tooth := m.keyframes(id, w, px, py, run)
		fmt.Fprintf(&style, "@keyframes l%d{%s}\n#l%d{animation:l%d %.2fs linear infinite}\n", id, plates, id, id, run+holdTime)
		fmt.Fprintf(&style, "@keyframes t%d{%s}\n#t%d{animation:t%d %.2fs linear infinite}\n", id, tooth, id, id, run+holdTime)
		if tip := m.tipKeyframes(id, w, run); tip != "" {
			fmt.Fprintf(&style, "@keyframes p%d{%s}\n#p%d{animation:p%d %.2fs step-end infinite}\n", id, tip, id, id, run+holdTime)
		}
		m.movingLink(&body, id, still, w, px, py)
	}
	m.clock(&style, &body, width, run)
	var out bytes.Buffer
	fmt.Fprintf(&out, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %.0f %.0f" width="%.0f" height="%.0f" role="img" aria-labelledby="t d" font-family="Liberation Sans, Arial, sans-serif">
<title id="t">%s</title>
<desc id="d">%s. Links run from the left onto the wheel, seen from above, outboard upwards; sideways drawn larger than along.</desc>
<style>
.inner{fill:#909090}.outer{fill:#101010}.tooth{fill:#b06a00;stroke:#101010;stroke-width:.6;vector-effect:non-scaling-stroke}.this{stroke:#b06a00;stroke-width:2.5}
%s.tip{font-size:11px;fill:#7a1f00;text-anchor:middle;opacity:0}
@media (prefers-reduced-motion:reduce){g,rect,line,text{animation:none!important}}
</style>
<rect width="100%%" height="100%%" fill="#fff"/>
<text x="14" y="26" font-size="17" fill="#101010">%s</text>
<text x="14" y="48" font-size="13" fill="#101010">%s</text>
<text x="14" y="70" font-size="12" fill="#101010">from above, travel to the right; black: outer links, grey: inner links, ochre: teeth; sideways drawn %.1f times larger</text>
`, width, height, width, height, html.EscapeString(m.Title), html.EscapeString(m.second(m.Moment.Words())), style.String(),
		html.EscapeString(m.Title), html.EscapeString(m.second(m.Moment.Words())), float64(sideScale)/alongScale)
	fmt.Fprintf(&out, "<line x1=\"0\" x2=\"%.0f\" y1=\"%.1f\" y2=\"%.1f\" stroke=\"#555\" stroke-dasharray=\"8 3 2 3\"/>\n", width, py(w.Line), py(w.Line))
	fmt.Fprintf(&out, "<line x1=\"%.1f\" x2=\"%.1f\" y1=\"%.0f\" y2=\"%.0f\" stroke=\"#909090\" stroke-dasharray=\"2 4\"/>\n", px(w.From), px(w.From), top, height-34)
	out.Write(body.Bytes())
	fmt.Fprintf(&out, "<text x=\"%.1f\" y=\"%.0f\" font-size=\"12\" fill=\"#101010\">%s</text>\n", px(w.From)+6, height-28, "chain runs onto the "+w.Part.Name())
	mark := 10 * alongScale
	fmt.Fprintf(&out, "<path d=\"M14 %.0fh%.1f\" stroke=\"#101010\" stroke-width=\"2\"/><text x=\"%.1f\" y=\"%.0f\" font-size=\"12\" fill=\"#101010\">10 mm along</text>\n", height-14, mark, 22+mark, height-10)
	fmt.Fprintf(&out, "<path d=\"M%.1f %.0fv-%d\" stroke=\"#101010\" stroke-width=\"2\"/><text x=\"%.1f\" y=\"%.0f\" font-size=\"12\" fill=\"#101010\">1 mm sideways</text>\n</svg>\n", 150+mark, height-10, sideScale, 158+mark, height-10)
	return out.Bytes()
}

// shown returns the links that come into the picture, by number.
func (m March) shown(w march.Wheel) (ids []int) {
	seen := map[int]bool{}
	for _, f := range m.Film {
		for _, q := range f.Places {
			if m.inside(q, w) && !seen[q.Link] {
				seen[q.Link] = true
				ids = append(ids, q.Link)
			}
		}
	}
	return ids
}

func (m March) inside(q march.Landing, w march.Wheel) bool {
	x := (q.Along - w.From) / m.Chain.Pitch
	return x > -aboveBefore-1 && x < aboveAfter+1
}

// movingRange returns the sideways range that is needed, mm from the wheel's plane.
func (m March) movingRange(w march.Wheel) (lo, hi float64) {
	half := m.Chain.OuterWidth/2 + plateThick + 0.4
	lo, hi = -half, half
	for _, f := range m.Film {
		for _, q := range f.Places {
			if m.inside(q, w) {
				lo, hi = math.Min(lo, q.Y-w.Line-half), math.Max(hi, q.Y-w.Line+half)
			}
		}
	}
	return lo, hi
}

// linkKind returns a link's kind and the name of its class.
func linkKind(inner bool) (engage.Link, string) {
	if inner {
		return engage.Inner, "inner"
	}
	return engage.Outer, "outer"
}

// keyframes returns a link's and its tooth's ways through the film.
func (m March) keyframes(id int, w march.Wheel, px, py func(float64) float64, run float64) (plates, tooth string) {
	var a, b bytes.Buffer
	for i, f := range m.Film {
		when := m.when(i, run)
		fmt.Fprintf(&a, "%s{transform:%s}", when, m.placed(f, id, w, px, py, true))
		fmt.Fprintf(&b, "%s{transform:%s}", when, m.toothPlaced(f, id, w, px, py, true))
	}
	return a.String(), b.String()
}

// when is a frame's place in the animation; the last one holds.
func (m March) when(i int, run float64) string {
	first, last, at := m.Film[0].Angle, m.Film[len(m.Film)-1].Angle, 100.0
	if last > first {
		at = 100 * (m.Film[i].Angle - first) / (last - first) * run / (run + holdTime)
	}
	when := fmt.Sprintf("%.2f%%", at)
	if i == len(m.Film)-1 {
		when += ",100%"
	}
	return when
}

// slot returns a link's index in a frame.
func slot(f march.Frame, id int) int {
	for i := range f.Places {
		if f.Places[i].Link == id {
			return i
		}
	}
	return 0
}

// placed returns the transform of a link's plates.
func (m March) placed(f march.Frame, id int, w march.Wheel, px, py func(float64) float64, css bool) string {
	i := slot(f, id)
	q := f.Places[i]
	slope := 0.0
	if i > 0 && i+1 < len(f.Places) {
		slope = (f.Places[i+1].Y - f.Places[i-1].Y) / (2 * m.Chain.Pitch)
	}
	skew := -math.Atan(slope*sideScale/alongScale) * 180 / math.Pi
	if css {
		return fmt.Sprintf("translate(%.1fpx,%.1fpx) skewY(%.2fdeg)", px(q.Along), py(q.Y), skew)
	}
	return fmt.Sprintf("translate(%.1f %.1f) skewY(%.2f)", px(q.Along), py(q.Y), skew)
}

// toothPlaced returns the transform of the tooth that stands in a link, as thick as
// it is at the plates' lower edge; before the tip reaches them it has no thickness.
func (m March) toothPlaced(f march.Frame, id int, w march.Wheel, px, py func(float64) float64, css bool) string {
	q := f.Places[slot(f, id)]
	kind, _ := linkKind(q.Inner)
	thick := 0.0
	if q.Overlap > 0 && q.At == w.Part.String() {
		thick = w.Entry.Teeth[kind].Thickness(q.Overlap)
	}
	if css {
		return fmt.Sprintf("translate(%.1fpx,%.1fpx) scaleY(%.3f)", px(q.Along), py(w.Line), thick*sideScale/toothDrawn)
	}
	return fmt.Sprintf("translate(%.1f %.1f) scale(1 %.3f)", px(q.Along), py(w.Line), thick*sideScale/toothDrawn)
}

// movingLink writes a link and its tooth, where they stand at the moment.
func (m March) movingLink(out *bytes.Buffer, id int, still march.Frame, w march.Wheel, px, py func(float64) float64) {
	q := still.Places[slot(still, id)]
	kind, class := linkKind(q.Inner)
	if id == m.Moment.Link {
		class += " this"
	}
	reach, half := 0.58*m.Chain.Pitch*alongScale, m.Chain.Width(kind)/2*sideScale
	thick := plateThick * sideScale
	fmt.Fprintf(out, `<rect id="t%d" class="tooth" x="-11" width="22" y="-20" height="40" transform="%s"/>`+"\n", id, m.toothPlaced(still, id, w, px, py, false))
	fmt.Fprintf(out, `<g id="l%d" class="%s" transform="%s"><rect x="%.1f" width="%.1f" y="%.1f" height="%.1f"/><rect x="%.1f" width="%.1f" y="%.1f" height="%.1f"/></g>`+"\n",
		id, class, m.placed(still, id, w, px, py, false), -reach, 2*reach, -half-thick, thick, -reach, 2*reach, half, thick)
	for _, f := range m.Film {
		if m.onTip(f, id, w) {
			shows := 0
			if m.onTip(still, id, w) {
				shows = 1
			}
			fmt.Fprintf(out, `<g transform="%s"><text id="p%d" class="tip" y="%.1f" style="opacity:%d">on the tip</text></g>`+"\n", m.placed(still, id, w, px, py, false), id, half+thick+12, shows)
			break
		}
	}
}

// onTip reports whether one of a link's plates lies over the tooth that stands in it.
func (m March) onTip(f march.Frame, id int, w march.Wheel) bool {
	q := f.Places[slot(f, id)]
	if q.Link != id || q.Overlap <= 0 || q.At != w.Part.String() {
		return false
	}
	kind, _ := linkKind(q.Inner)
	return q.OnTip(w, m.Chain.Width(kind), w.Entry.Teeth[kind].Thickness(q.Overlap))
}

// tipKeyframes shows the word at a link while it lies on a tip; "" where it never does.
func (m March) tipKeyframes(id int, w march.Wheel, run float64) string {
	var b bytes.Buffer
	ever := false
	for i, f := range m.Film {
		on := 0
		if m.onTip(f, id, w) {
			on, ever = 1, true
		}
		fmt.Fprintf(&b, "%s{opacity:%d}", m.when(i, run), on)
	}
	if !ever {
		return ""
	}
	return b.String()
}

// clock draws the crank as a hand, seen from the drive side, and says how far it is turned.
func (m March) clock(style, body *bytes.Buffer, width, run float64) {
	first, last := sim.Degrees(m.Film[0].Angle), sim.Degrees(m.Film[len(m.Film)-1].Angle)
	way := 1.0
	if m.Direction == sim.Backwards {
		way = -1
	}
	cx, cy, still := width-40.0, 106.0, sim.Degrees(m.frame().Angle)
	end := m.when(len(m.Film)-1, run)
	fmt.Fprintf(style, "@keyframes hand{0%%{transform:rotate(%.2fdeg)}%s{transform:rotate(%.2fdeg)}}\n#hand{transform-origin:%.1fpx %.1fpx;animation:hand %.2fs linear infinite}\n", way*first, end, way*last, cx, cy, run+holdTime)
	fmt.Fprintf(body, `<circle cx="%.1f" cy="%.1f" r="24" fill="none" stroke="#101010"/>`+"\n", cx, cy)
	for k := range 12 {
		s, c := math.Sincos(float64(k) * math.Pi / 6)
		fmt.Fprintf(body, `<line x1="%.1f" y1="%.1f" x2="%.1f" y2="%.1f" stroke="#909090"/>`+"\n", cx+20*s, cy-20*c, cx+24*s, cy-24*c)
	}
	fmt.Fprintf(body, `<g id="hand" transform="rotate(%.2f %.1f %.1f)"><line x1="%.1f" y1="%.1f" x2="%.1f" y2="%.1f" stroke="#b06a00" stroke-width="4"/></g>`+"\n", way*still, cx, cy, cx, cy, cx, cy-21)
	fmt.Fprintf(body, `<text x="%.1f" y="110" font-size="12" text-anchor="end" fill="#101010">crank %.1f° to %.1f°, seen from the drive side</text>`+"\n", width-72, first, last)
}
