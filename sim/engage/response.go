package engage

import (
	_ "embed"
	"encoding/binary"
	"fmt"
	"math"
)

// Duty tells the two kinds of wheel a response was made for.
type Duty int

// The two kinds: a wheel that the chain runs onto slack or guided, under a few
// newtons that stay the same along its seat, and the driven ring, on which hundreds
// of newtons fall off along the seat.
const (
	Idle Duty = iota
	Driven
)

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
	Length    float64 // of the run, mm
}

// ranges are the least and greatest of each variable that responses were made for;
// beyond them the nearest is taken. Bend in degrees, stiffness as ln k/(T p),
// slack in degrees, the teeth and the length by their inverse.
type ranges [variables][2]float64

// Number of a query's variables and of the terms of a polynomial of degree 3 in them.
const (
	variables = 9
	terms     = 220
)

// ResponseRanges returns the least and greatest values, as in Query's order without the tension, that
// the response of a load was made for.
func ResponseRanges(l Duty) [variables][2]float64 { return responseRanges[l] }

var responseRanges = [2]ranges{
	Idle:   {{0, 6}, {3.86, 9.54}, {.2, 1.6}, {3, 5.5}, {.04, .2}, {1. / 56, 1. / 9}, {.1, .45}, {.2, 1.4}, {1. / 650, 1. / 330}},
	Driven: {{0, 6}, {-.24, 6.13}, {.2, 1.6}, {3, 5.5}, {.04, .2}, {1. / 56, 1. / 20}, {.1, .45}, {.2, 1.4}, {1. / 650, 1. / 330}},
}

// point returns a query as a point of the cube from -1 to 1.
func (q *Query) point(r *ranges) (v [variables]float64) {
	v = [variables]float64{
		q.Bend * (180 / math.Pi), math.Log(q.Stiffness / (q.Tension * 12.7)), q.Slack * (180 / math.Pi),
		q.Contact, q.Seat, 1 / q.Teeth, q.PlayInner, q.PlayOuter, 1 / q.Length,
	}
	for i, x := range v {
		v[i] = scaled(x, r[i][0], r[i][1])
	}
	return v
}

// scaled returns a number of a range as one from -1 to 1, the nearest where it lies outside.
func scaled(x, lo, hi float64) float64 { return max(-1, min((2*x-lo-hi)/(hi-lo), 1)) }

// Terms fills the products of up to three of a query's variables, as a least-squares
// fit of a response needs them: 1, v[i], v[i]v[j], v[i]v[j]v[k] with i <= j <= k.
func (q *Query) Terms(l Duty, to *[terms]float64) {
	v := q.point(&responseRanges[l])
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
}

// NumTerms is the number of terms of a response.
const NumTerms = terms

// Response gives where links arrive without solving for it: for each load and kind of link
//
//	y = Σ c_n·v_i·v_j·v_k    over 1 <= i <= j <= k, with powers of 1
//
// v the nine variables of Query, each scaled to -1 to 1 over its range; c 220 coefficients, mm.
// Source: least squares over simulated whole runs (Marcher), on points spread over all of the
// ranges. It smooths what nine pitches of a run leave to the way it began.
type Response [2][2][terms]float64 // by Load; inner, outer

//go:embed response.bin
var responseData []byte

var response = decodeResponse(responseData)

func decodeResponse(b []byte) (r Response) {
	if len(b) != 2*2*terms*4 {
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
func (q *Query) Arrive(l Duty) Offsets {
	c := q.curve(l)
	return c.at(q.Bend)
}

// curve is a response with nothing left open but the bend: for inner and outer links the
// coefficients of a polynomial of degree 3 in the bend as scaled by a range, degrees.
type curve struct {
	c      [2][4]float64
	lo, hi float64
}

// curve puts all of a query but its bend into the shipped response.
func (q *Query) curve(l Duty) (c curve) {
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
	return c
}

// at returns where links arrive at a bend, rad.
func (c *curve) at(bend float64) Offsets {
	v := scaled(bend*(180/math.Pi), c.lo, c.hi)
	of := func(c *[4]float64) float64 { return max(c[0]+v*(c[1]+v*(c[2]+v*c[3])), 0) }
	// A bend of 0 has no offset; towards it the play is not used up.
	return Offsets{Inner: of(&c.c[Inner]), Outer: of(&c.c[Outer])}
}
