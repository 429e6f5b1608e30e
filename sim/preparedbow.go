package sim

import (
	"math"

	"chainpath/sim/elementary"
)

// bow is how the gap of a version's run to a neighbour, less how far apart their lines are,
// goes with slope and tension of the run: at steps from those that the version was prepared
// with, exactly, and linear between.
type bow struct {
	known       bool
	slope, pull float64 // as prepared
	reach, half float64 // of the straight bound: see beside.straightLeast
	step        float64 // of slope from row to row
	rows        []bowRow
}

// bowRow is one tension, so many steps off; NaN: not solved yet.
type bowRow struct {
	step  int
	first int // slope step of the first
	less  []float64
}

// Steps of a bow, in slope beside a cog and beside a ring, whose larger rim is met farther out,
// and in the logarithm of the tension, and within what part of a step a tension counts as that
// of the row.
const (
	cogSlope   = 0.0025
	ringSlope  = 0.0015
	bowPull    = 0.35
	bowSame    = 0.1
	mostBowRow = 512 // steps of slope, beyond which no run leans
)

// bow returns the gap to a neighbour where the lines are so far apart, mm, signed as
// own less next; n has the version's own wheels, and slope and pulls of the design. had are the
// version's facts as prepared, with that gap.
func (p *Prepared) bow(w *bow, n *beside, v *prepared, had *facts, gap, apart, enough float64) (float64, error) {
	c, side := &v.Bike.Chain, 1.0
	if apart < 0 {
		side = -1
	}
	if !w.known {
		p.firstBow(w, n, v, had, gap)
	}
	least := side*apart + min(0, side*n.drift)*w.reach - w.half
	if least > min(enough, leastMeeting) {
		return least, nil
	}
	t := 0.0
	if pull := max(n.hardest(), leastTension); pull != w.pull {
		t = math.Log(pull/w.pull) / bowPull
	}
	row := math.Floor(t)
	if part := t - row; part < bowSame || part > 1-bowSame {
		at, err := p.bowAt(w, n, c, int(math.Round(t)))
		return side*apart + at, err
	}
	lo, err := p.bowAt(w, n, c, int(row))
	if err != nil {
		return 0, err
	}
	hi, err := p.bowAt(w, n, c, int(row)+1)
	return side*apart + between(lo, hi, t-row), err
}

// firstBow begins a bow with what is known of it.
func (p *Prepared) firstBow(w *bow, n *beside, v *prepared, had *facts, gap float64) {
	c := &v.Bike.Chain
	lo, rim := n.own.PitchRadius(c.Pitch)-c.PlateHalfHeight, n.next.TipRadius(c.Pitch)
	*w = bow{known: true, step: cogSlope, reach: math.Sqrt(max(0, rim*rim-lo*lo)), half: (c.Width + n.next.Thickness()) / 2}
	if n.kind == toRing {
		w.step = ringSlope
	}
	then := *n
	then.runs(had)
	w.slope, w.pull = then.drift, max(then.hardest(), leastTension)
	if then.straightLeast(c) <= leastMeeting {
		w.rows = append(w.rows, bowRow{less: []float64{gap - math.Abs(n.own.Line-n.next.Line)}})
	}
}

// runs gives a run beside a neighbour the slope, away from its own sprocket, and the pulls of a
// gear's facts.
func (n *beside) runs(x *facts) {
	switch {
	case n.kind == toCog:
		n.drift, n.pulls = x.top.across/x.top.length, x.pulls.Top
	case n.span == Bottom:
		n.drift, n.pulls = -x.bottom.across/x.bottom.length, x.pulls.Bottom
	case x.idled:
		n.drift, n.pulls = -x.lead.across/x.lead.length, x.pulls.Top
	default:
		n.drift, n.pulls = -x.top.across/x.top.length, x.pulls.Top
	}
}

// bowAt returns what a row gives at the slope of a run.
func (p *Prepared) bowAt(w *bow, n *beside, c *Chain, step int) (float64, error) {
	x := (n.drift - w.slope) / w.step
	if !(math.Abs(x) < mostBowRow) {
		x = math.Copysign(mostBowRow, x)
	}
	m := math.Floor(x)
	lo, err := p.bowNode(w, n, c, step, int(m))
	if err != nil || x == m {
		return lo, err
	}
	hi, err := p.bowNode(w, n, c, step, int(m)+1)
	return between(lo, hi, x-m), err
}

// between returns a share of the way from lo to hi; from or to none there is none.
func between(lo, hi, share float64) float64 {
	if math.IsInf(lo, 1) || math.IsInf(hi, 1) {
		return math.Inf(1)
	}
	return lo + share*(hi-lo)
}

// bowNode returns one node, solved when it is first asked for.
func (p *Prepared) bowNode(w *bow, n *beside, c *Chain, step, m int) (float64, error) {
	at := -1
	for i := range w.rows {
		if w.rows[i].step == step {
			at = i
			break
		}
	}
	if at < 0 {
		at = len(w.rows)
		w.rows = append(w.rows, bowRow{step: step, first: m})
	}
	r := &w.rows[at]
	r.reach(m)
	if f := &r.less[m-r.first]; !math.IsNaN(*f) {
		return *f, nil
	}
	node := *n
	node.drift = w.slope + w.step*float64(m)
	pull := w.pull * elementary.Exp(bowPull*float64(step))
	s := node.strand(c, 0)
	g, err := s.bowed(&p.o.s, pull)
	if err != nil {
		return 0, err
	}
	r.less[m-r.first] = g.orNone() - math.Abs(n.own.Line-n.next.Line)
	return r.less[m-r.first], nil
}

// reach makes room for a node.
func (r *bowRow) reach(m int) {
	for m < r.first {
		r.less = append(r.less, 0)
		copy(r.less[1:], r.less)
		r.less[0] = math.NaN()
		r.first--
	}
	for m >= r.first+len(r.less) {
		r.less = append(r.less, math.NaN())
	}
}
