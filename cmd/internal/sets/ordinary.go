package main

import (
	"fmt"
	"os"
	"strconv"
	"strings"

	"chainpath/cases"
	"chainpath/sim"
)

// ordinaryGroup is the group of bicycles that simply work.
const ordinaryGroup = "ordinary"

// ordinaryClaims are what such a bicycle shows in none of the gears that are ridden.
var ordinaryClaims = []sim.Concern{sim.NoiseRiding, sim.DropRiding, sim.DropBackwards, sim.RubsNextCog, sim.RubsNextRing}

// addOrdinary adds a list of ordinary bicycles, of which practice says that they run well in every
// gear but the two that cross the chain most on several chainrings. Reports are of troubles; these
// are what troubles are rare beside. They are weighed by and never scored.
func (p *panel) addOrdinary(name string) error {
	data, err := os.ReadFile(name)
	if err != nil {
		return err
	}
	for i, line := range strings.Split(string(data), "\n") {
		if line == "" || line[0] == '#' {
			continue
		}
		x := strings.Split(line, "\t")
		if len(x) != 9 {
			return fmt.Errorf("%s:%d: %d columns, want 9", name, i+1, len(x))
		}
		c, err := ordinary(x)
		if err != nil {
			return fmt.Errorf("%s:%d: %w", name, i+1, err)
		}
		bike := len(p.bikes)
		p.bikes = append(p.bikes, &fieldBike{Case: c, Group: ordinaryGroup})
		rings, cogs := len(c.Front.Rings), len(c.Rear.Cogs)
		for g := range rings * cogs {
			if crossed := rings > 1 && (g == 0 || g == rings*cogs-1); crossed {
				continue
			}
			for _, k := range ordinaryClaims {
				p.answers = append(p.answers, answer{bike: bike, gear: g, concern: k, kind: practice})
			}
		}
	}
	return nil
}

// ordinary returns a bicycle as somebody tells of it.
func ordinary(x []string) (*cases.Case, error) {
	d := &cases.Draft{Title: x[0]}
	if x[7] != "-" {
		d.Tyre = x[7]
	}
	if n, err := strconv.Atoi(x[3]); err == nil && strings.Contains(x[2], "-") {
		if err := d.SetSpeeds(n); err != nil {
			return nil, err
		}
	}
	if err := d.SetRings(x[1]); err != nil {
		return nil, err
	}
	if err := d.SetCogs(x[2]); err != nil {
		return nil, err
	}
	for _, s := range []struct {
		set    func(string) (string, error)
		answer string
	}{{d.SetFront, x[4]}, {d.SetRear, x[5]}, {d.SetStay, x[6]}} {
		if _, err := s.set(s.answer); err != nil {
			return nil, err
		}
	}
	if d.AsksForm() {
		if _, err := d.SetForm(x[8]); err != nil {
			return nil, err
		}
	}
	text, err := d.Write()
	if err != nil {
		return nil, err
	}
	return cases.Parse(x[0], text)
}
