package infer

import (
	"math"

	"chainpath/sim/elementary"
)

// Places says where the places of a field are: rows (rings, say) of so many each.
type Places struct{ Rows, Each int }

// Numbers of the field: over how many places offsets are alike, and what a row's are worth to the
// next (assumption).
const (
	nearPlaces = 1.5
	nextRow    = 0.5
)

// Field makes offsets of standard normals: one for all places, and one more for each.
type Field struct {
	places Places
	near   Correlation
}

// NewField prepares a field: S is a Gaussian process with the covariance
// exp(-d²/(2·1.5²))/2^r of places d apart in rows r apart.
func NewField(p Places) *Field {
	cov := func(i, j int) float64 {
		d := float64(i%p.Each-j%p.Each) / nearPlaces
		v := elementary.Exp(-d*d/2) * elementary.Pow(nextRow, math.Abs(float64(i/p.Each-j/p.Each)))
		if i == j {
			v += 1e-6 // keeps rounding from leaving it no factor
		}
		return v
	}
	return &Field{p, NewCorrelation(p.Rows*p.Each, cov)}
}

// Len returns how many standard normals make the field.
func (f *Field) Len() int { return 1 + f.places.Rows*f.places.Each }

// Offsets fills the offsets √C·B + √N·S of every place from the normals.
func (f *Field) Offsets(to []float64, s *Spread, normals []float64) {
	common, near := math.Sqrt(s.Common)*normals[0], math.Sqrt(s.Near)
	f.near.Correlate(to, normals[1:])
	for i, x := range to {
		to[i] = common + near*x
	}
}
