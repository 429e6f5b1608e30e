package engage

import "math"

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

// Places of the three open variables in a response, and of the products of up to three of
// them in Landing's rows: by the powers of bend, tension and length.
var (
	openAt = [3]int{0, 1, variables - 1}
	placed = func() (at [4][4][4]int) {
		n := 0
		for b := 0; b <= 3; b++ {
			for t := 0; b+t <= 3; t++ {
				for l := 0; b+t+l <= 3; l++ {
					at[b][t][l] = n
					n++
				}
			}
		}
		return at
	}()
	// collapsed tells for each term of a response which row it goes into, and the up to three
	// variables that its coefficient is multiplied by; variables itself stands for 1.
	collapsed = func() (to [cubed]struct{ row, i, j, k int }) {
		n := 0
		put := func(vs ...int) {
			var powers [3]int
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
			to[n].row = placed[powers[0]][powers[1]][powers[2]]
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

// Landing returns the wheel as links of a chain arrive on it.
func (w Wheel) Landing(c Chain) Landing {
	q := w.query(c, 1)
	load := w.kind().index()
	r := &responseRanges[load]
	v := q.point(r)
	var x [variables + 1]float64
	copy(x[:], v[:])
	x[variables] = 1
	l := Landing{bend: scale(r[0], 180/math.Pi), pull: scale(r[1], 1), length: scale(r[variables-1], 1), stiffness: q.Stiffness / 12.7}
	in, out := &response[load][Inner], &response[load][Outer]
	for n := range collapsed {
		to := &collapsed[n]
		m := x[to.i] * x[to.j] * x[to.k]
		l.c[Inner][to.row] += in[n] * m
		l.c[Outer][to.row] += out[n] * m
	}
	l.slack, l.most = r.slack(q.Slack), r[0][1]
	for k, of := range [2]*[terms]float64{in, out} {
		l.beyond[k][0] = of[cubed]
		for i, x := range v {
			switch f := of[cubed+1+i]; i {
			case openAt[0]:
				l.beyond[k][1] = f
			case openAt[1]:
				l.beyond[k][2] = f
			case openAt[2]:
				l.beyond[k][3] = f
			default:
				l.beyond[k][0] += f * x
			}
		}
	}
	l.past[Inner], l.past[Outer] = w.Beyond(c, Offsets{})
	return l
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
