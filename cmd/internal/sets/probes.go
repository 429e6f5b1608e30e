package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"

	"chainpath/cases"
	"chainpath/plots"
	"chainpath/sim"
)

// probed is a number that mechanics go by, and how far it is looked at.
type probed struct {
	path, name string
	from, to   float64
}

// probedNumbers are those of the drops: drag, stiffness, side play (wear), teeth, plates, tension.
var probedNumbers = []probed{
	{"chain.slack", "side play of a joint, °", 0.3, 1.3},
	{"chain.stiffness", "stiffness of a joint, N·m/rad", 20, 280},
	{"chain.plate_height", "height of the plates, mm", 7, 9},
	{"rear.tooth.tip_thickness", "thickness of the cogs' tips, mm", 0.6, 1.4},
	{"rear.tooth.tip_height", "cogs' tips over the pitch circle, mm", 1, 3.4},
	{"load.freehub_drag", "drag of the freehub, N·m", 0, 0.4},
	{"tensioner.spring", "derailleur's spring, N·m", 0.6, 2.2},
	{"front.line", "front chainline, mm", 44, 56},
}

// Steps of a probe, and the gear that is probed: the largest cog of the shipped trail bike, back-pedalling.
const (
	probeSteps = 13
	probedCase = "trail"
)

// probes draws how the chance of a drop follows the mechanics, into a file, and prints the ends.
func probes(w io.Writer, file string) error {
	c, err := cases.Load(probedCase, nil)
	if err != nil {
		return err
	}
	gear := len(c.Rear.Cogs) - 1
	var list []plots.Probe
	for _, of := range probedNumbers {
		today, err := c.Number(of.path)
		if err != nil {
			return err
		}
		x := plots.Probe{Name: of.name, Today: today}
		for i := range probeSteps {
			v := of.from + (of.to-of.from)*float64(i)/(probeSteps-1)
			moved, err := c.Set(of.path, strconv.FormatFloat(v, 'g', 6, 64)+" ± 0")
			if err != nil {
				return err
			}
			all, err := moved.Chances()
			if err != nil {
				return err
			}
			x.Values, x.Chances = append(x.Values, v), append(x.Chances, all[gear][sim.DropBackwards])
		}
		list = append(list, x)
		n := len(x.Values) - 1
		fmt.Fprintf(w, "%-34s %6.2f to %6.2f: %.3f to %.3f (%.3f to %.3f)\n", x.Name, x.Values[0], x.Values[n], x.Chances[0], x.Chances[n], slices.Min(x.Chances), slices.Max(x.Chances))
	}
	what := fmt.Sprintf("Chance that the chain drops off the %d when you back-pedal, by one number at a time", c.Rear.Cogs[gear])
	data, err := plots.Probes(c.Title, what, list).Render("svg")
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Clean(file), data, 0o644)
}
