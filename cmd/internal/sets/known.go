package main

import (
	"encoding/json"
	"math"
	"os"

	"chainpath/cases"
	"chainpath/sim/decide"
)

// writeKnown writes the trouble of the panel's bicycles that run well, by the sets as they
// are built in, to compare others with.
func writeKnown(name string) error {
	p, err := readPanel("testdata/field")
	if err != nil {
		return err
	}
	known := []cases.Known{}
	for _, b := range p.bikes {
		if b.Grade != "good" {
			continue
		}
		c, err := b.Case.Chances()
		if err != nil {
			return err
		}
		carried, err := b.Case.Carried()
		if err != nil {
			return err
		}
		bike, err := b.Case.Bike()
		if err != nil {
			return err
		}
		share, err := b.Case.Shares(bike)
		if err != nil {
			return err
		}
		t, err := decide.Expect(c, share, &decide.Usual, carried)
		if err != nil {
			return err
		}
		known = append(known, cases.Known{Tensioned: b.Case.Tensioner != nil, Trouble: math.Round(t.Sum*1e4) / 1e4})
	}
	data, err := json.MarshalIndent(known, "", "\t")
	if err != nil {
		return err
	}
	return os.WriteFile(name, append(data, '\n'), 0o644)
}
