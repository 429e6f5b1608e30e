package sim

// quick holds what an evaluator looks up for the wheels of the design before, by
// place: designs of a sweep share most of them.
type quick struct {
	chain  Chain
	wheels []quickWheel
	rubs   []quickRub
	loops  []Loop
	off    []bool // by cog: the chain does not go round it
	least  []float64
	pulls  pullsAt
}

type quickWheel struct {
	sprocket Sprocket
	known    *known
}

type quickRub struct {
	own, next Sprocket
	apart     float64
	room      float64
	table     *table
	know      bool
}

// at returns the looked-up wheel of a place.
func (q *quick) at(e *Evaluator, place int, s *Sprocket, c *Chain, driven bool) *known {
	place *= 2
	if driven {
		place++
	}
	for len(q.wheels) <= place {
		q.wheels = append(q.wheels, quickWheel{})
	}
	w := &q.wheels[place]
	if w.known == nil || w.sprocket != *s {
		k := *e.know(*s, c.Chain, driven)
		*w = quickWheel{*s, &k}
	}
	return w.known
}

// rub returns the looked-up table of a neighbour.
func (q *quick) rub(e *Evaluator, place int, own, next *Wheel, c *Chain, room float64) *table {
	for len(q.rubs) <= place {
		q.rubs = append(q.rubs, quickRub{})
	}
	r := &q.rubs[place]
	apart := own.Line - next.Line
	if !r.know || r.room != room || r.own != own.Sprocket || r.next != next.Sprocket || r.apart != apart {
		*r = quickRub{own.Sprocket, next.Sprocket, apart, room, e.rubTable(own, next, c, room), true}
	}
	return r.table
}

// pullsAt are the places of a gear's tensions; those that stay from gear to gear are
// not looked up again.
type pullsAt struct {
	pulls       Tensions
	top, bottom [2]tensionAt
}

// of returns the place of an arrival's pull.
func (p *pullsAt) of(a *planned) tensionAt {
	if a.top {
		return p.top[a.direction]
	}
	return p.bottom[a.direction]
}

func (q *quick) pullsAt(t *Tensions) *pullsAt {
	p := &q.pulls
	for d := range t.Top {
		if t.Top[d] != p.pulls.Top[d] {
			p.top[d] = placeOf(t.Top[d])
		}
		switch {
		case d == int(Backwards) && t.Bottom[d] == t.Bottom[Riding]:
			p.bottom[d] = p.bottom[Riding]
		case t.Bottom[d] != p.pulls.Bottom[d]:
			p.bottom[d] = placeOf(t.Bottom[d])
		}
	}
	p.pulls = *t
	return p
}
