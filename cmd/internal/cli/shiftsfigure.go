package cli

import (
	"fmt"
	"math"

	"chainpath/cmd/internal/say"
	"chainpath/cmd/internal/show"
	"chainpath/plots"
)

// shiftsFigure is the figure of a case's one setting of the cable.
func shiftsFigure(d *show.Shifting) plots.Figure {
	return plots.Shifting(d.Case+": one setting of the cable", settingFigure(d))
}

// settingFigure returns what the setting's figure is drawn from: of several rings, what all of
// them leave.
func settingFigure(d *show.Shifting) *plots.CableSetting {
	f := &plots.CableSetting{Now: d.Now, Common: [2]float64{d.Setting.From[1], d.Setting.To[1]}}
	f.Answer = fmt.Sprintf("one setting for every shift: %+.1f to %+.1f mm; chance that there is one %s", show.Zeroed(f.Common[0]), show.Zeroed(f.Common[1]), say.Percent(d.Setting.Exists))
	if f.Common[0] > f.Common[1] {
		f.Answer = fmt.Sprintf("one setting for every shift: none in the middle of what is possible; chance that there is one %s", say.Percent(d.Setting.Exists))
	}
	at := map[int]int{}
	for _, w := range d.Windows {
		i, ok := at[w.CogTeeth]
		if !ok {
			i = len(f.Cogs)
			at[w.CogTeeth] = i
			f.Cogs = append(f.Cogs, plots.CogSetting{Name: fmt.Sprint(w.CogTeeth), Runs: [2]float64{math.Inf(-1), math.Inf(1)}, Shift: [2]float64{math.Inf(-1), math.Inf(1)}})
		}
		c := &f.Cogs[i]
		if x := w.From[1] - w.Hanger; x > c.Runs[0] {
			c.Runs[0], c.RunsDoubt[0] = x, [2]float64{w.From[0] - w.Hanger, w.From[2] - w.Hanger}
		}
		if x := w.To[1] - w.Hanger; x < c.Runs[1] {
			c.Runs[1], c.RunsDoubt[1] = x, [2]float64{w.To[0] - w.Hanger, w.To[2] - w.Hanger}
		}
	}
	for _, x := range d.Shifts {
		c := &f.Cogs[at[x.To]]
		if x.To < x.From {
			c.Shift[0] = math.Max(c.Shift[0], x.Past[1])
		} else {
			c.Shift[1] = math.Min(c.Shift[1], -x.Past[1])
		}
	}
	return f
}
