package engage

import (
	_ "embed"
	"encoding/binary"
	"fmt"
	"math"
)

// Duty tells how a wheel goes with the chain that runs onto it.
type Duty int

// The two duties: a wheel that the chain runs onto slack or guided, under a few
// newtons that stay the same along its seat, and the driven ring, on which hundreds
// of newtons fall off along the seat.
const (
	Idle Duty = iota
	Driven
)

// Kind tells the four kinds of wheel apart that responses are made for: by how it goes with the
// chain, and by whether its teeth are alike or alternate, wide and narrow.
type Kind struct {
	Duty      Duty
	Alternate bool
}

// kinds is their number.
const kinds = 4

// Kinds returns the kinds in the order in which a Response has them.
func Kinds() [kinds]Kind {
	return [kinds]Kind{{Idle, false}, {Driven, false}, {Idle, true}, {Driven, true}}
}

func (k Kind) index() int {
	if k.Alternate {
		return int(k.Duty) + 2
	}
	return int(k.Duty)
}

// Query holds the variables that a Response takes.
type Query struct {
	Bend      float64 // rad
	Tension   float64 // N
	Stiffness float64 // k, N·mm/rad
	Slack     float64 // φ0, rad
	Contact   float64 // l, mm
	Seat      float64 // μ
	Teeth     float64
	PlayInner float64 // half the width inside an inner link less its tooth's full thickness, mm
	PlayOuter float64
	Overlap   float64 // tips over the lower edges of seated plates: tip height plus half a plate's height, mm
	Deep      float64 // depth below the tip at which a tooth is as thick as it gets, mm
	Length    float64 // of the run, mm
}

// ranges are the least and greatest of each variable that responses were made for;
// beyond them the nearest is taken. Bend in degrees, stiffness as ln k/(T p),
// slack in degrees, the teeth and the length by their inverse.
type ranges [variables][2]float64

// Number of a query's variables, of the terms of a polynomial of degree 3 in them, and of all terms:
// those, and a constant and each variable by how far the bend goes beyond the slack of one joint,
// where a run's joints begin to be bent against their stiffness.
const (
	variables = 11
	cubed     = 364
	terms     = cubed + 1 + variables
)

// ResponseRanges returns the least and greatest values, as in Query's order without the tension, that
// the response of a kind of wheel was made for.
func ResponseRanges(k Kind) [variables][2]float64 { return responseRanges[k.index()] }

var responseRanges = [kinds]ranges{
	{{0, 5}, {3.86, 9.54}, {.25, 1.4}, {3.4, 5.5}, {.05, .19}, {1. / 56, 1. / 9}, {.12, .42}, {.75, 1.45}, {4.7, 7.8}, {.3, 2.5}, {1. / 700, 1. / 140}},
	{{0, 5}, {-.24, 6.13}, {.25, 1.4}, {3.4, 5.5}, {.05, .19}, {1. / 56, 1. / 20}, {.12, .42}, {.75, 1.45}, {4.7, 7.8}, {.3, 2.5}, {1. / 700, 1. / 140}},
	{{0, 5}, {3.86, 9.54}, {.25, 1.4}, {3.4, 5.5}, {.05, .19}, {1. / 56, 1. / 20}, {.12, .42}, {.05, .55}, {4.7, 7.8}, {.3, 2.5}, {1. / 700, 1. / 140}},
	{{0, 5}, {-.24, 6.13}, {.25, 1.4}, {3.4, 5.5}, {.05, .19}, {1. / 56, 1. / 20}, {.12, .42}, {.05, .55}, {4.7, 7.8}, {.3, 2.5}, {1. / 700, 1. / 140}},
}

// point returns a query as a point of the cube from -1 to 1.
func (q *Query) point(r *ranges) (v [variables]float64) {
	v = [variables]float64{
		q.Bend * (180 / math.Pi), math.Log(q.Stiffness / (q.Tension * 12.7)), q.Slack * (180 / math.Pi),
		q.Contact, q.Seat, 1 / q.Teeth, q.PlayInner, q.PlayOuter, q.Overlap, q.Deep, 1 / q.Length,
	}
	for i, x := range v {
		v[i] = scaled(x, r[i][0], r[i][1])
	}
	return v
}

// scaled returns a number of a range as one from -1 to 1, the nearest where it lies outside.
func scaled(x, lo, hi float64) float64 { return max(-1, min((2*x-lo-hi)/(hi-lo), 1)) }

// Terms fills the products of up to three of a query's variables, as a least-squares
// fit of a response needs them: 1, v[i], v[i]v[j], v[i]v[j]v[k] with i <= j <= k; then h and h v[i]
// with h the bend beyond the slack of a joint, degrees.
func (q *Query) Terms(k Kind, to *[terms]float64) {
	v := q.point(&responseRanges[k.index()])
	to[0] = 1
	n := 1
	for i := range variables {
		to[n] = v[i]
		n++
		for j := i; j < variables; j++ {
			ij := v[i] * v[j]
			to[n] = ij
			n++
			for k := j; k < variables; k++ {
				to[n] = ij * v[k]
				n++
			}
		}
	}
	r := &responseRanges[k.index()]
	h := beyond(min(q.Bend*(180/math.Pi), r[0][1]), r.slack(q.Slack))
	to[n] = h
	for i := range variables {
		to[n+1+i] = h * v[i]
	}
}

// slack returns the slack of a joint, rad, in degrees and within a range.
func (r *ranges) slack(x float64) float64 { return min(max(x*(180/math.Pi), r[2][0]), r[2][1]) }

// beyond returns how far a bend goes beyond the slack of a joint, degrees.
func beyond(bend, slack float64) float64 { return max(0, bend-slack) }

// NumTerms is the number of terms of a response.
const NumTerms = terms

// Response gives where links arrive without solving for it: for each kind of wheel and of link
//
//	y = Σ c_n·v_i·v_j·v_k + h·(d_0 + Σ d_i·v_i)    over 1 <= i <= j <= k, with powers of 1
//
// v the eleven variables of Query, each scaled to -1 to 1 over its range; h the bend beyond the slack
// of one joint, degrees; c 364 and d 12 coefficients, mm and mm/degree. Source: least squares over
// simulated whole runs (Marcher), on points spread over all of the ranges, each the mean of two whose
// lengths differ by half a pitch.
type Response [kinds][2][terms]float64 // by Kinds; inner, outer

//go:embed response.bin
var responseData []byte

var response = decodeResponse(responseData)

func decodeResponse(b []byte) (r Response) {
	if len(b) != kinds*2*terms*4 {
		panic(fmt.Sprintf("engage: response of %d bytes", len(b)))
	}
	for l := range r {
		for k := range r[l] {
			for i := range r[l][k] {
				r[l][k][i] = float64(math.Float32frombits(binary.LittleEndian.Uint32(b)))
				b = b[4:]
			}
		}
	}
	return r
}

// Encode returns a response as it is shipped.
func (r *Response) Encode() (b []byte) {
	for l := range r {
		for k := range r[l] {
			for _, c := range r[l][k] {
				b = binary.LittleEndian.AppendUint32(b, math.Float32bits(float32(c)))
			}
		}
	}
	return b
}

// Arrive returns where links arrive by the shipped response, mm, never below the
// seat's play.
func (q *Query) Arrive(k Kind) Offsets {
	c := q.curve(k)
	return c.at(q.Bend)
}

// curve is a response with nothing left open but the bend: for inner and outer links the
// coefficients of a polynomial of degree 3 in the bend as scaled by a range, degrees.
type curve struct {
	c      [2][4]float64
	h      [2][2]float64 // by the bend beyond slack: a constant, and by the scaled bend
	slack  float64       // degrees
	lo, hi float64
}

// curve puts all of a query but its bend into the shipped response.
func (q *Query) curve(kind Kind) (c curve) {
	l := kind.index()
	r := &responseRanges[l]
	v := q.point(r)
	c.lo, c.hi = r[0][0], r[0][1]
	ci, co := &response[l][Inner], &response[l][Outer]
	in, out := &c.c[Inner], &c.c[Outer]
	for p := range in { // 1 and the bend's own powers
		in[p], out[p] = ci[p], co[p]
	}
	n := len(in)
	for k := 1; k < variables; k++ { // its square with another
		in[2] += ci[n] * v[k]
		out[2] += co[n] * v[k]
		n++
	}
	// The bend with others, then others among themselves: vi stands for v[i], 1 for the bend.
	for i := range variables {
		vi, p := v[i], 0
		if i == 0 {
			vi, p = 1, 1
		} else {
			in[0] += ci[n] * vi
			out[0] += co[n] * vi
			n++
		}
		for j := max(i, 1); j < variables; j++ {
			s, t := ci[n], co[n]
			n++
			ck, dk := ci[n:n+variables-j], co[n:n+variables-j]
			for k, x := range v[j:] {
				s += ck[k] * x
				t += dk[k] * x
			}
			in[p] += vi * v[j] * s
			out[p] += vi * v[j] * t
			n += variables - j
		}
	}
	c.slack = r.slack(q.Slack)
	for k, of := range [2]*[terms]float64{ci, co} {
		c.h[k] = [2]float64{of[cubed], of[cubed+1]}
		for i, x := range v[1:] {
			c.h[k][0] += of[cubed+2+i] * x
		}
	}
	return c
}

// at returns where links arrive at a bend, rad.
func (c *curve) at(bend float64) Offsets {
	bend = min(bend*(180/math.Pi), c.hi)
	v, h := scaled(bend, c.lo, c.hi), beyond(bend, c.slack)
	of := func(l Link) float64 {
		p := &c.c[l]
		return max(p[0]+v*(p[1]+v*(p[2]+v*p[3]))+h*(c.h[l][0]+c.h[l][1]*v), 0)
	}
	// A bend of 0 has no offset; towards it the play is not used up.
	return Offsets{Inner: of(Inner), Outer: of(Outer)}
}
