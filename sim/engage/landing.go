package engage

import (
	"math"
	"slices"
)

// Landing is a Response for one wheel and one chain, as a polynomial of the three variables that
// are left: bend, tension and length of the run. It gives the same offsets, and is for many
// arrivals on one wheel.
type Landing struct {
	c         [2][20]float64 // inner, outer; see collapse
	bend      [2]float64     // factor and what is taken off to scale each: see scaled
	pull      [2]float64
	length    [2]float64
	beyond    [2][4]float64 // by the bend beyond slack, degrees: a constant, and by bend, tension and length
	slack     float64       // degrees
	most      float64       // bend beyond which nothing is known, degrees
	stiffness float64       // over 12.7 mm, N/rad
	past      [2]float64    // what Beyond takes off offsets, mm
}

// Places in a response of the variables that stay open in a collapse: bend, tension, length, teeth.
var openAt = [4]int{0, 1, variables - 1, 5}

// products is the number of products of up to three of four variables.
const products = 35

// Rows of products by the powers of bend, tension, length and teeth; those without teeth stand as
// Landing has them, in reduced.
var (
	placed, reduced = func() (at, of [4][4][4][4]int) {
		n, m := 0, 0
		for b := 0; b <= 3; b++ {
			for t := 0; b+t <= 3; t++ {
				for l := 0; b+t+l <= 3; l++ {
					for z := 0; b+t+l+z <= 3; z++ {
						at[b][t][l][z], of[b][t][l][z] = n, m
						n++
					}
					m++
				}
			}
		}
		return at, of
	}()
	// collapsed tells for each term of a response which row it goes into, and the up to three
	// variables that its coefficient is multiplied by; variables itself stands for 1.
	collapsed = func() (to [cubed]struct{ row, i, j, k int }) {
		n := 0
		put := func(vs ...int) {
			var powers [4]int
			rest := [3]int{variables, variables, variables}
			closed := 0
		next:
			for _, v := range vs {
				for o, at := range openAt {
					if v == at {
						powers[o]++
						continue next
					}
				}
				rest[closed] = v
				closed++
			}
			to[n].row = placed[powers[0]][powers[1]][powers[2]][powers[3]]
			to[n].i, to[n].j, to[n].k = rest[0], rest[1], rest[2]
			n++
		}
		put()
		for i := range variables {
			put(i)
			for j := i; j < variables; j++ {
				put(i, j)
				for k := j; k < variables; k++ {
					put(i, j, k)
				}
			}
		}
		return to
	}()
)

// Lander makes landings of wheels one after the other; those that differ from the one before in their
// number of teeth alone cost least. It is scratch, for one goroutine.
type Lander struct {
	of     Query // what is collapsed, its teeth aside
	kind   Kind
	some   bool
	c      [2][products]float64
	beyond [2][5]float64 // a constant, and by the open variables
}

// Landing returns the wheel as links of a chain arrive on it.
func (w Wheel) Landing(c Chain) Landing { return new(Lander).Land(w, c) }

// Land returns a wheel as links of a chain arrive on it.
func (d *Lander) Land(w Wheel, c Chain) Landing {
	q, kind := w.query(c, 1), w.kind()
	r := &responseRanges[kind.index()]
	v := q.point(r)
	if other := q; !d.some || d.kind != kind || d.differs(&other) {
		d.collapse(&q, kind, v)
	}
	l := Landing{
		bend: scale(r[0], 180/math.Pi), pull: scale(r[1], 1), length: scale(r[variables-1], 1),
		slack: r.slack(q.Slack), most: r[0][1], stiffness: q.Stiffness / 12.7,
	}
	z := [4]float64{1, v[openAt[3]]}
	z[2] = z[1] * z[1]
	z[3] = z[2] * z[1]
	for k := range l.c {
		for b := 0; b <= 3; b++ {
			for t := 0; b+t <= 3; t++ {
				for n := 0; b+t+n <= 3; n++ {
					sum, at := 0.0, placed[b][t][n][0]
					for p := range 4 - b - t - n {
						sum += d.c[k][at+p] * z[p]
					}
					l.c[k][reduced[b][t][n][0]] = sum
				}
			}
		}
		x := &d.beyond[k]
		l.beyond[k] = [4]float64{x[0] + x[4]*z[1], x[1], x[2], x[3]}
	}
	l.past[Inner], l.past[Outer] = w.Beyond(c, Offsets{})
	return l
}

// differs reports whether a query differs from the collapsed one in more than its teeth.
func (d *Lander) differs(q *Query) bool {
	q.Teeth = d.of.Teeth
	return *q != d.of
}

// collapse puts all of a query but the open variables into the response.
func (d *Lander) collapse(q *Query, kind Kind, v [variables]float64) {
	*d = Lander{of: *q, kind: kind, some: true}
	var x [variables + 1]float64
	copy(x[:], v[:])
	x[variables] = 1
	in, out := &response[kind.index()][Inner], &response[kind.index()][Outer]
	for n := range collapsed {
		to := &collapsed[n]
		m := x[to.i] * x[to.j] * x[to.k]
		d.c[Inner][to.row] += in[n] * m
		d.c[Outer][to.row] += out[n] * m
	}
	for k, of := range [2]*[terms]float64{in, out} {
		d.beyond[k][0] = of[cubed]
		for i, x := range v {
			f := of[cubed+1+i]
			if o := slices.Index(openAt[:], i); o >= 0 {
				d.beyond[k][1+o] = f
			} else {
				d.beyond[k][0] += f * x
			}
		}
	}
}

// scale returns factor and offset that put a range on -1 to 1, of numbers in units of its own.
func scale(r [2]float64, unit float64) [2]float64 {
	return [2]float64{2 * unit / (r[1] - r[0]), (r[0] + r[1]) / (r[1] - r[0])}
}

// on returns a number on a scale, the nearest end where it lies outside.
func on(scale [2]float64, x float64) float64 { return max(-1, min(x*scale[0]-scale[1], 1)) }

// Past returns how far past both holds links land, mm, for a bend, rad, >= 0, a tension, N, > 0,
// and a length of the run, mm: the smaller of what Wheel.Beyond returns of Wheel.Arrive.
func (l *Landing) Past(bend, tension, length float64) float64 {
	if bend == 0 {
		return min(l.past[Inner], l.past[Outer])
	}
	b, t, n := on(l.bend, bend), on(l.pull, math.Log(l.stiffness/tension)), on(l.length, 1/length)
	h := beyond(min(bend*(180/math.Pi), l.most), l.slack)
	at := func(k Link) float64 {
		x := &l.beyond[k]
		return max(cubic(&l.c[k], b, t, n)+h*(x[0]+x[1]*b+x[2]*t+x[3]*n), 0) + l.past[k]
	}
	return min(at(Inner), at(Outer))
}

// cubic returns a polynomial of degree 3 in three variables; its rows stand as placed says.
func cubic(c *[20]float64, b, t, n float64) float64 {
	p0 := c[0] + n*(c[1]+n*(c[2]+n*c[3])) + t*(c[4]+n*(c[5]+n*c[6])+t*(c[7]+n*c[8]+t*c[9]))
	p1 := c[10] + n*(c[11]+n*c[12]) + t*(c[13]+n*c[14]+t*c[15])
	p2 := c[16] + n*c[17] + t*c[18]
	return p0 + b*(p1+b*(p2+b*c[19]))
}
