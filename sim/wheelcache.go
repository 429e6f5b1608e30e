package sim

// wheelCache holds what an evaluator looks up for the wheels of the design before, by
// place: designs of a sweep share most of them.
type wheelCache struct {
	chain  Chain
	wheels []cachedWheel
	rubs   []cachedRub
	loops  []Loop
	off    []bool // by cog: the chain does not go round it
	least  []float64
	pulls  pullsAt
}

type cachedWheel struct {
	sprocket Sprocket
	source   *limitSource
}

type cachedRub struct {
	own, next Sprocket
	apart     float64
	room      float64
	table     *table
	filled    bool
}

// at returns the looked-up wheel of a place.
func (q *wheelCache) at(e *Evaluator, place int, s *Sprocket, c *Chain, driven bool) *limitSource {
	place *= 2
	if driven {
		place++
	}
	for len(q.wheels) <= place {
		q.wheels = append(q.wheels, cachedWheel{})
	}
	w := &q.wheels[place]
	if w.source == nil || w.sprocket != *s {
		k := *e.source(*s, c.Chain, driven)
		*w = cachedWheel{*s, &k}
	}
	return w.source
}

// rub returns the looked-up table of a neighbour.
func (q *wheelCache) rub(e *Evaluator, place int, own, next *Wheel, c *Chain, room float64) *table {
	for len(q.rubs) <= place {
		q.rubs = append(q.rubs, cachedRub{})
	}
	r := &q.rubs[place]
	apart := own.Line - next.Line
	if !r.filled || r.room != room || r.own != own.Sprocket || r.next != next.Sprocket || r.apart != apart {
		*r = cachedRub{own.Sprocket, next.Sprocket, apart, room, e.rubTable(own, next, c, room), true}
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

func (q *wheelCache) pullsAt(t *Tensions) *pullsAt {
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
