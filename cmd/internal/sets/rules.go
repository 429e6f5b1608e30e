package main

import (
	"fmt"

	"chainpath/sim"
)

// numbers fills in for every answer the number that a rule of one number judges by.
func (p *panel) numbers() error {
	gears := make([][]sim.Gear, len(p.bikes))
	for i, b := range p.bikes {
		bike, err := b.Case.Bike()
		if err != nil {
			return err
		}
		r, err := bike.Evaluate()
		if err != nil {
			return fmt.Errorf("%s: %w", b.Case.Title, err)
		}
		gears[i] = r.Gears
	}
	for j := range p.answers {
		a := &p.answers[j]
		a.number = gears[a.bike][a.gear].OneNumber(a.concern)
	}
	return nil
}
