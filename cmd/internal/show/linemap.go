package show

import (
	"fmt"

	"chainpath/cmd/internal/say"
	"chainpath/sim"
	"chainpath/sim/decide"
)

// MapCell is a gear at a place of the ring, with what is worst there; concern is empty
// where nothing has a chance of a tenth.
type MapCell struct {
	Line      float64 `json:"front_line_mm"`
	RingTeeth int     `json:"ring_teeth"`
	CogTeeth  int     `json:"cog_teeth"`
	Concern   string  `json:"concern"`
	Chance    float64 `json:"chance"`
	Trouble   float64 `json:"trouble"`
}

// AddMap adds every gear at every place along the front line.
func (d *Window) AddMap(b *sim.Bike, m *decide.LineMap) {
	d.Map = []MapCell{}
	for i, gears := range m.Cells {
		for g, c := range gears {
			x := MapCell{Line: round(m.Along.Places[i].Line), RingTeeth: b.Rings[g/len(b.Cogs)].Teeth, CogTeeth: b.Cogs[g%len(b.Cogs)].Teeth, Chance: share(c.Chance), Trouble: share(c.Trouble)}
			if say.LevelOf(c.Chance) > say.Quiet {
				x.Concern = c.Concern.String()
			}
			d.Map = append(d.Map, x)
		}
	}
}

// MapHeader names the columns of the window command's CSV with --map.
var MapHeader = []string{"front_line_mm", "ring_teeth", "cog_teeth", "concern", "chance", "trouble"}

// MapRows returns them, one a place and gear.
func (d *Window) MapRows() (rows [][]string) {
	for _, c := range d.Map {
		rows = append(rows, []string{fmt.Sprint(c.Line), fmt.Sprint(c.RingTeeth), fmt.Sprint(c.CogTeeth), c.Concern, fmt.Sprint(c.Chance), fmt.Sprint(c.Trouble)})
	}
	return rows
}
