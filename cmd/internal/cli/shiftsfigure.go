package cli

import (
	"fmt"

	"chainpath/cmd/internal/show"
	"chainpath/plots"
)

// shiftsFigure is the figure of a case's one setting of the cable.
func shiftsFigure(d *show.Shifting) plots.Figure {
	return plots.Shifting(d.Case+": one setting of the cable", settingFigure(d))
}

// settingFigure returns what the setting's figure is drawn from.
func settingFigure(d *show.Shifting) *plots.CableSetting {
	half := d.Window.Width[1] / 2
	f := &plots.CableSetting{Answer: d.Headline(), Read: d.Setting.Read, Now: d.Setting.Off, Common: [2]float64{-half, half}}
	for i, r := range d.Rooms() {
		f.Cogs = append(f.Cogs, plots.CogSetting{Name: fmt.Sprint(d.CogTeeth(i)), Room: [2]float64{r.From[1], r.To[1]}, Doubt: [2][2]float64{{r.From[0], r.From[2]}, {r.To[0], r.To[2]}}})
	}
	return f
}
