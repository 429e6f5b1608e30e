package cli

import (
	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/sim"
)

// loadFlags override the case's load.
type loadFlags struct{ tension, torque, power, cadence string }

func (l *loadFlags) add(c *cobra.Command) {
	for _, f := range []struct {
		to         *string
		name, what string
	}{
		{&l.torque, "torque", "at the cranks, N·m"},
		{&l.tension, "tension", "of the top run, N"},
		{&l.power, "power", "W, with --cadence"},
		{&l.cadence, "cadence", "1/min, with --power, or for the losses alone"},
	} {
		c.Flags().StringVar(f.to, f.name, "", f.what)
		_ = c.Flags().SetAnnotation(f.name, ofLoad, nil)
	}
}

// apply puts the flags given in the place of the case's load.
func (l *loadFlags) apply(c *cases.Case) error {
	given := cases.Rider{Cadence: c.Load.Cadence, FreehubDrag: c.Load.FreehubDrag, SlackSide: c.Load.SlackSide,
		BackTorque: c.Load.BackTorque, Sag: c.Load.Sag, Bumps: c.Load.Bumps}
	ways := 0
	for _, f := range []struct {
		name, text, dim string
		lo, hi          float64
		to              *cases.Quantity
	}{
		{"torque", l.torque, "moment", 0, 400, &given.Torque},
		{"tension", l.tension, "force", 0, 6000, &given.Tension},
		{"power", l.power, "power", 0, 2500, &given.Power},
		{"cadence", l.cadence, "speed", 10, 200, &given.Cadence},
	} {
		if f.text == "" {
			continue
		}
		q, err := quantityFlag(f.name, f.text, f.dim, f.lo, f.hi)
		if err != nil {
			return err
		}
		*f.to = q
		if f.name != "cadence" {
			ways++
		}
	}
	if l.power != "" && l.cadence == "" {
		return usagef("--power without --cadence")
	}
	if ways > 1 {
		return usagef("more than one of --torque, --tension and --power, want one")
	}
	switch {
	case ways == 1:
		c.Load = given
	case l.cadence != "":
		c.Load.Cadence = given.Cadence
	}
	return nil
}

// quantityFlag reads a flag's quantity and checks its range.
func quantityFlag(name, text, dim string, lo, hi float64) (cases.Quantity, error) {
	q, err := cases.ParseQuantity(text, dim)
	if err != nil {
		return q, usagef("--%s: %w", name, err)
	}
	if !(q.Value >= lo && q.Value <= hi) {
		return q, usagef("--%s: %s is out of range, want %g to %g", name, text, lo, hi)
	}
	if !(q.Value-q.Spread >= lo && q.Value+q.Spread <= hi) {
		return q, usagef("--%s: %s reaches out of range, want %g to %g", name, text, lo, hi)
	}
	return q, nil
}

// evaluate loads a case and computes it.
func evaluate(s streams, name string, load *loadFlags) (*cases.Case, *sim.Bike, *sim.Result, error) {
	c, err := cases.Load(name, s.in)
	if err != nil {
		return nil, nil, nil, err
	}
	if load != nil {
		if err := load.apply(c); err != nil {
			return nil, nil, nil, err
		}
	}
	b, r, err := evaluated(c)
	if err != nil {
		return nil, nil, nil, err
	}
	return c, b, r, nil
}

// evaluated computes a case.
func evaluated(c *cases.Case) (*sim.Bike, *sim.Result, error) {
	b, err := c.Bike()
	if err != nil {
		return nil, nil, err
	}
	r, err := b.Evaluate()
	if err != nil {
		return nil, nil, c.Explain(err)
	}
	return b, r, nil
}
