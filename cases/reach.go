package cases

import (
	"fmt"
	"reflect"
	"strings"

	"chainpath/sim"
	"chainpath/sim/loss"
	"chainpath/sim/sweep"
)

// idleGroups are case fields that no row of a sweep rests on, with the reason.
var idleGroups = []struct{ path, why string }{
	{"chainpath", "is the version of the case format"},
	{"title", "names the bike and changes no number"},
	{"about", "is free text and changes no number"},
	{"instruments", "says how well is read: rows are computed from the values alone; budget counts it"},
	{"tolerances", "tells single links apart, which only march does"},
	{"riding", "weighs gears by time, in the trouble of --chances alone"},
	{"symptoms", "is what was seen, for diagnose"},
	{"observations", "is what was seen, for learn"},
	{"learned", "is what observations taught, and no dimension"},
	{"limits", "is drawn beside the model's limits and changes no number"},
}

// idle returns why a field of the case can change no row of a sweep, "" when it may.
func idle(path string) string {
	for _, g := range idleGroups {
		if path == g.path || strings.HasPrefix(path, g.path+".") || strings.HasPrefix(path, g.path+"[") {
			return g.why
		}
	}
	return ""
}

// Reached are the groups of columns that are asked for.
type Reached struct{ Losses, Chances, Shifts bool }

// Reach looks whether every varied field that takes more than one value can reach a
// column of the rows. It builds designs that differ in that field alone: where the
// models are the same, so are the rows.
// Errors are *Error.
func (s *Sweep) Reach(p *SweepPlan, to Reached) error {
	var ends [2][]float64
	for i := range s.Plan.Variables {
		lo, hi := span(&s.Plan.Variables[i])
		ends[0], ends[1] = append(ends[0], lo), append(ends[1], hi)
	}
	for i := range s.Plan.Variables {
		if ends[0][i] == ends[1][i] || s.reaches(i, ends, to) {
			continue
		}
		why := "with this case and the other values"
		switch {
		case !to.Losses && s.reaches(i, ends, Reached{Losses: true}):
			why = "without --loss"
		case !to.Chances && s.reaches(i, ends, Reached{Chances: true}):
			why = "with --no-chances"
		case !to.Shifts && s.reaches(i, ends, Reached{Shifts: true}):
			why = "without --shifts"
		}
		return p.fail(fmt.Sprintf("vary[%d].path", i), "%s changes no column %s", s.vars[i].path, why)
	}
	return nil
}

// span returns the least and the largest value of a variable.
func span(v *sweep.Variable) (lo, hi float64) {
	if len(v.Values) == 0 {
		return v.From, v.To
	}
	lo, hi = v.Values[0], v.Values[0]
	for _, x := range v.Values {
		lo, hi = min(lo, x), max(hi, x)
	}
	return lo, hi
}

// reaches reports whether a variable changes the model, the others at their least or
// at their largest values. One that makes designs that cannot be does.
func (s *Sweep) reaches(i int, ends [2][]float64, to Reached) bool {
	for _, others := range ends {
		var bikes [2]*sim.Bike
		var rub [2]loss.Friction
		for k := range bikes {
			d := s.Designer()
			x := append([]float64(nil), others...)
			x[i] = ends[k][i]
			b, err := d.Bike(x)
			if err != nil {
				return true
			}
			bikes[k], rub[k] = b, d.Case().Friction()
			bikes[k] = seen(b)
			if !to.Chances {
				bikes[k] = unjudged(bikes[k])
			}
			bikes[k] = unshifted(bikes[k], to.Shifts)
			rub[k].Cadence = 0 // shares of a loss do not hang on it
			if b.Tensioner == nil {
				rub[k].Bearing = 0
			}
		}
		if !reflect.DeepEqual(bikes[0], bikes[1]) || to.Losses && rub[0] != rub[1] {
			return true
		}
	}
	return false
}

// unshifted returns a bike without what shifts alone look at, or with that but for the pulley's
// float, of which no row has more than what Stops takes of it.
func unshifted(b *sim.Bike, stops bool) *sim.Bike {
	n := *b
	if n.Tensioner != nil {
		t := *n.Tensioner
		if t.Float = 0; !stops {
			t.Stops = sim.Stops{}
		}
		n.Tensioner = &t
	}
	return &n
}

// seen returns a bike without what rows do not look at.
func seen(b *sim.Bike) *sim.Bike {
	n := *b
	if n.Load.Sag == 0 {
		n.Chain.Weight = 0
	}
	if n.Drive == sim.Freewheel {
		n.Load.BackTorque = 0
	} else {
		n.Load.FreehubDrag = 0
	}
	if n.Tensioner != nil {
		n.Load.SlackSide = 0
		if n.Tensioner.PivotOffset == 0 {
			t := *n.Tensioner
			t.PivotAngle = 0
			n.Tensioner = &t
		}
	}
	if n.Stay == nil {
		n.Bolts = sim.Bolts{}
	}
	return &n
}

// unjudged returns a bike without what chances alone look at.
func unjudged(b *sim.Bike) *sim.Bike {
	n := *b
	n.Spokes, n.Rotor, n.Dropout, n.FrontCage = nil, nil, nil, nil
	n.CogRoom, n.NoiseFrom, n.RingPins, n.PinsAt = 0, 0, 0, 0
	c := &n.Chain
	c.InnerWidth, c.OuterWidth, c.Bevel, c.Slack, c.Stiffness, c.Contact, c.Seat = 0, 0, 0, 0, 0, 0, 0
	return &n
}
