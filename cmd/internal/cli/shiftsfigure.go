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
	f := &plots.CableSetting{Read: d.Setting.Read, Now: d.Setting.Off, Common: [2]float64{-half, half}}
	f.Answer = fmt.Sprintf("one setting for every shift: %.1f mm from end to end, %.1f to %.1f mm on 90 of 100 bikes", show.Zeroed(2*half), show.Zeroed(d.Window.Width[0]), show.Zeroed(d.Window.Width[2]))
	if half < 0 {
		f.Answer = "no one setting makes every shift on most bikes like this"
	}
	if n := d.Setting.Clicks; n != nil && d.Setting.Read && (*n >= 0.5 || *n <= -0.5) {
		way, by := "out", *n
		if by < 0 {
			way, by = "in", -by
		}
		f.Answer += fmt.Sprintf("; turn the adjuster %s %.0f clicks", way, by)
	}
	for i, r := range d.Rooms() {
		f.Cogs = append(f.Cogs, plots.CogSetting{Name: fmt.Sprint(d.CogTeeth(i)), Room: [2]float64{r.From[1], r.To[1]}, Doubt: [2][2]float64{{r.From[0], r.From[2]}, {r.To[0], r.To[2]}}})
	}
	return f
}
