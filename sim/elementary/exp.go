// Package elementary has the functions of package math that are not the same on every machine:
// math.Exp has code of its own for some processors, which multiplies and adds with one rounding
// where the processor can and with two where it cannot, and what is made of it differs too. Here every
// product is rounded before it is added (The Go Programming Language Specification,
// "Floating-point operators": an explicit conversion bars fusing), so that the bits are the
// same on any processor and in a browser.
package elementary

import "math"

const (
	steps   = 128                   // of an octave, in the table
	perStep = steps / math.Ln2      // steps of a unit of x
	high    = 0x1.62e42feep-08      // ln 2 / steps, its upper bits: times a number of steps exact
	low     = 0x1.a39ef35793c76p-40 // and the rest
	whole   = 0x1.8p52              // added, it rounds to a whole number in the lowest bits
	most    = 708.0                 // within it e^x and its inverse are normal numbers
)

// Exp returns e^x within 0.51 units in the last place, 1 where the result is not a normal
// number (0.507 of 6000 tried); 0 and +Inf beyond what a float64 holds, NaN of NaN.
//
// Method: x = (128 m + i) ln 2/128 + r with |r| <= ln 2/256; e^x = 2^m 2^(i/128) e^r, 2^(i/128)
// from a table in two parts, e^r by its series to r^5, whose next term is below 1e-18 of it
// (Tang 1989, Table-driven implementation of the exponential function, from memory).
func Exp(x float64) float64 {
	if !(math.Abs(x) < most) {
		return extreme(x)
	}
	f, m := parts(x)
	return math.Float64frombits(math.Float64bits(f) + uint64(m)<<52)
}

// parts returns f, about 1 to 2, and m with e^x = 2^m f, for |x| up to 1000.
func parts(x float64) (f float64, m int64) {
	n := float64(x*perStep) + whole
	k := int64(math.Float64bits(n)<<13) >> 13 // the lowest 51 bits, with their sign
	n -= whole
	r := x - float64(n*high) - float64(n*low)
	q := float64(r * r)
	p := r + float64(q*(1.0/2+float64(r*(1.0/6+float64(r*(1.0/24+float64(r*(1.0/120))))))))
	t := &powers[k&(steps-1)]
	return t.near + float64(t.near*(p+t.rest)), k >> 7
}

// extreme is Exp where the result, or nearly so, is no normal number.
func extreme(x float64) float64 {
	switch {
	case math.IsNaN(x):
		return x
	case x > 710: // the largest number's logarithm is 709.78
		return math.Inf(1)
	case x < -746: // half the smallest one's -745.13
		return 0
	}
	f, m := parts(x)
	return math.Ldexp(f, int(m))
}

// Pow returns x^y for x > 0, within |y ln x| + 1 units in the last place. A whole y, for which
// math.Pow multiplies and needs no exponential, is left to that.
func Pow(x, y float64) float64 {
	if !(x > 0) || y == math.Trunc(y) {
		return math.Pow(x, y)
	}
	return Exp(y * math.Log(x))
}
