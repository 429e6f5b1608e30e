package plots

import (
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Probe is how a chance follows one number of a bike, all else as it is.
type Probe struct {
	Name    string    // of the number, with its unit
	Values  []float64 // rising
	Chances []float64 // 0 to 1, at each
	Today   float64
}

// probeColumns is how many probes stand beside each other.
const probeColumns = 4

// Probes draws what a chance does along several numbers, each in a field of its own on one scale, with
// the bike's own number dashed.
func Probes(title, what string, list []Probe) Figure {
	rows := (len(list) + probeColumns - 1) / probeColumns
	f := Figure{Name: "probes", Title: title, About: "How " + what + " follows one number at a time", Width: 28 * vg.Centimeter, Height: vg.Length(2.2+5.6*float64(rows)) * vg.Centimeter}
	f.draw = func(c draw.Canvas) {
		own, today := line(ink, 1.8, nil), line(ink, 1, dashed)
		body := header(c, title, what, []entry{{"chance", &own, nil}, {"the bike as it is", &today, nil}})
		fields := make([][]*plot.Plot, rows)
		for i := range rows * probeColumns {
			if i >= len(list) {
				fields[i/probeColumns] = append(fields[i/probeColumns], nil)
				continue
			}
			fields[i/probeColumns] = append(fields[i/probeColumns], list[i].field(own, today))
		}
		for r, row := range plot.Align(fields, draw.Tiles{Rows: rows, Cols: probeColumns, PadX: vg.Points(12), PadY: vg.Points(8)}, body) {
			for k, at := range row {
				if fields[r][k] != nil {
					fields[r][k].Draw(at)
				}
			}
		}
	}
	return f
}

// field is one probe.
func (x *Probe) field(own, today draw.LineStyle) *plot.Plot {
	p := plot.New()
	dress(p)
	p.X.Label.Text, p.Y.Label.Text = x.Name, "chance, %"
	p.X.Tick.Marker, p.Y.Tick.Marker = rounded{}, rounded{}
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = x.Values[0], x.Values[len(x.Values)-1], 0, 100
	var way []r2.Vec
	for i, v := range x.Values {
		way = append(way, r2.Vec{X: v, Y: 100 * x.Chances[i]})
	}
	p.Add(shape{[]r2.Vec{{X: x.Today, Y: 0}, {X: x.Today, Y: 100}}, today, nil}, shape{way, own, nil})
	return p
}
