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

// Query is what an arrival depends on, as far as a Response knows it.
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
		lo, hi := r[i][0], r[i][1]
		v[i] = max(-1, min((2*x-lo-hi)/(hi-lo), 1))
	}
	return v
}

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

// Response gives where links arrive without solving for it: for each load a
// polynomial of degree 3 in nine scaled variables, fitted by least squares to marched
// whole runs (Marcher) on points spread over all of their ranges. It smooths what
// nine pitches of a march leave to the way it began.
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
func (q *Query) Arrive(l Duty) (a Arrival) {
	v := q.point(&responseRanges[l])
	ci, co := &response[l][0], &response[l][1]
	in, out := ci[0], co[0]
	n := 1
	for i := range variables {
		in += ci[n] * v[i]
		out += co[n] * v[i]
		n++
		for j := i; j < variables; j++ {
			ij := v[i] * v[j]
			in += ci[n] * ij
			out += co[n] * ij
			n++
			ck, dk := ci[n:n+variables-j], co[n:n+variables-j]
			var s, t float64
			for k, x := range v[j:] {
				s += ck[k] * x
				t += dk[k] * x
			}
			in += ij * s
			out += ij * t
			n += variables - j
		}
	}
	// A bend of 0 has no offset; towards it the play is not used up.
	return Arrival{Inner: max(in, 0), Outer: max(out, 0)}
}
