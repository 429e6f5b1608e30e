package cli

import (
	"fmt"
	"math"

	"chainpath/cmd/internal/show"
	"chainpath/plots"
	"chainpath/sim/judge"
)

// shiftsFigure is the figure of a case's one setting of the cable.
func shiftsFigure(d *show.Shifting) plots.Figure {
	return plots.Shifting(d.Case+": one setting of the cable", settingFigure(d))
}

// settingFigure returns what the setting's figure is drawn from.
func settingFigure(d *show.Shifting) *plots.CableSetting {
	half := d.Window.Width[1] / 2
	f := &plots.CableSetting{Answer: d.Headline, Read: d.Setting.Read, Trim: d.Setting.PerClick == nil, Now: d.Setting.Off, Common: [2]float64{-half, half}}
	for _, r := range d.Rooms {
		c := plots.CogSetting{Name: fmt.Sprint(r.CogTeeth)}
		for i, end := range []*judge.Size{r.From, r.To} {
			x := [3]float64{}
			if end != nil {
				x = *end
			} else {
				for k := range x {
					x[k] = math.Inf(2*i - 1)
				}
			}
			c.Room[i], c.Doubt[i] = x[1], [2]float64{x[0], x[2]}
		}
		f.Cogs = append(f.Cogs, c)
	}
	return f
}
