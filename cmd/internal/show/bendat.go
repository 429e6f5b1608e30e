package show

import (
	"fmt"
	"math"

	"chainpath/cases"
	"chainpath/sim"
	"chainpath/sim/judge"
)

// BendAt are the bends of an arrival's run at which chances are 0.1, 0.5 and 0.9, degrees:
// that it is called noisy, and that the chain comes off this wheel; null where there is none.
type BendAt struct {
	Noise *[3]*float64 `json:"noise"`
	Off   *[3]*float64 `json:"off"`
}

// AddBends computes, of every arrival, the bends at which chances are 0.1, 0.5 and 0.9.
func (d *Gears) AddBends(c *cases.Case, b *sim.Bike) error {
	all, err := c.BendsAt()
	if err != nil {
		return err
	}
	for g, arrivals := range all {
		met := map[sim.Direction]int{}
		for _, a := range arrivals {
			d.Gears[g].arrival(a.Direction, met[a.Direction]).BendAt = &BendAt{degrees(a.Noise), degrees(a.Off)}
			met[a.Direction]++
		}
	}
	return nil
}

// arrival returns the arrival of a direction at an index.
func (g *Gear) arrival(d sim.Direction, i int) *Arrival {
	if d == sim.Riding {
		return &g.Riding[i]
	}
	return &g.Backwards[i]
}

func degrees(rad [3]float64) (d *[3]*float64) {
	for i, x := range rad {
		if math.IsNaN(x) {
			continue
		}
		if d == nil {
			d = &[3]*float64{}
		}
		v := math.Round(sim.Degrees(x)*1e3) / 1e3 // two hundred draws are good for less
		d[i] = &v
	}
	return d
}

// bendColumns are the columns of those bends in CSV.
func bendColumns() (names []string) {
	for _, of := range [2]string{"noise", "off"} {
		for _, p := range judge.Marks {
			names = append(names, fmt.Sprintf("%s_at_%.0f_percent_deg", of, 100*p))
		}
	}
	return names
}

// cells are what they hold.
func (x *BendAt) cells() (row []string) {
	for m := range judge.Marks {
		row = append(row, num(x.noise(m)))
	}
	for m := range judge.Marks {
		row = append(row, num(x.off(m)))
	}
	return row
}

func (x *BendAt) noise(mark int) *float64 {
	if x == nil || x.Noise == nil {
		return nil
	}
	return x.Noise[mark]
}

func (x *BendAt) off(mark int) *float64 {
	if x == nil || x.Off == nil {
		return nil
	}
	return x.Off[mark]
}

// even returns, for a table, the bends from which noise and coming off are as likely as not.
func (x *BendAt) even() (noise, off string) {
	cell := func(v *float64) string {
		if v == nil {
			return "-"
		}
		return fmt.Sprintf("%.2f", *v)
	}
	return cell(x.noise(1)), cell(x.off(1))
}
