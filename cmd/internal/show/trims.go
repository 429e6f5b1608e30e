package show

import (
	"fmt"
	"strings"

	"chainpath/sim"
)

// TrimOfRing is what a ring runs on at one place of the front cage.
type TrimOfRing struct {
	RingTeeth int     `json:"ring_teeth"`
	Trim      int     `json:"trim"`
	Place     float64 `json:"position_mm"`
	Cogs      []int   `json:"cogs"`
}

// trims lists for every ring and place of the front cage the cogs that run free of it.
func trims(b *sim.Bike, r *sim.Result) (out []TrimOfRing) {
	out = []TrimOfRing{}
	for ring := range b.Rings {
		for k, cogs := range b.TrimFree(ring, r) {
			t := TrimOfRing{b.Rings[ring].Teeth, k + 1, round(b.FrontCage.Places[k]), []int{}}
			for _, c := range cogs {
				t.Cogs = append(t.Cogs, b.Cogs[c].Teeth)
			}
			out = append(out, t)
		}
	}
	return out
}

// freeTrims are, ring by ring, the places of the front cage at which cogs run free of it; of a
// ring with none one place without cogs.
func freeTrims(front []TrimOfRing) (out []TrimOfRing) {
	for i, x := range front {
		if len(x.Cogs) > 0 {
			out = append(out, x)
		}
		last := i+1 == len(front) || front[i+1].RingTeeth != x.RingTeeth
		if last && (len(out) == 0 || out[len(out)-1].RingTeeth != x.RingTeeth) {
			out = append(out, TrimOfRing{RingTeeth: x.RingTeeth})
		}
	}
	return out
}

// trimText prints, ring by ring, how far one place of the front cage takes it.
func trimText(p *printer, front []TrimOfRing) {
	if len(front) == 0 {
		return
	}
	t := &Table{Head: [][]string{{"front cage, nominal", "trim", "at, mm", "cogs that run free of it"}}, Left: map[int]bool{0: true, 3: true}}
	for _, x := range freeTrims(front) {
		row := []string{fmt.Sprintf("%d-tooth chainring", x.RingTeeth), "-", "-", "none"}
		if len(x.Cogs) > 0 {
			row = []string{row[0], fmt.Sprint(x.Trim), fmt.Sprintf("%.1f", x.Place), cogRun(x.Cogs)}
		}
		t.Rows = append(t.Rows, row)
	}
	p.write(t.Write)
	p.printf("\n")
}

// trimWords is the same in a sentence; empty without a front cage.
func trimWords(front []TrimOfRing) string {
	var said []string
	for _, x := range freeTrims(front) {
		if len(x.Cogs) == 0 {
			said = append(said, fmt.Sprintf("no cog on the %d-tooth chainring", x.RingTeeth))
		} else {
			said = append(said, fmt.Sprintf("%s on the %d-tooth chainring at trim %d (%.1f mm)", cogRun(x.Cogs), x.RingTeeth, x.Trim, x.Place))
		}
	}
	if len(said) == 0 {
		return ""
	}
	return "Free of the front cage, by the nominal dimensions: " + strings.Join(said, "; ") + "."
}

// cogRun names cogs in a row by the first and the last.
func cogRun(cogs []int) string {
	if len(cogs) < 3 {
		return strings.Trim(strings.ReplaceAll(fmt.Sprint(cogs), " ", ", "), "[]")
	}
	return fmt.Sprintf("%d to %d", cogs[0], cogs[len(cogs)-1])
}
