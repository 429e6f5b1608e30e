package budget

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"
)

// Dist is the shape of an input's distribution.
type Dist int

// The shapes: Normal; Rectangular, surely within its half width; Triangular,
// likewise but likelier in the middle; Repeated, the mean of a few readings,
// which scatters as Student's t.
const (
	Normal Dist = iota
	Rectangular
	Triangular
	Repeated
)

func (d Dist) String() string {
	return [...]string{"normal", "rectangular", "triangular", "repeated readings"}[d]
}

// Input is one uncertain input.
type Input struct {
	Name  string
	Value float64
	U     float64 // standard uncertainty, >= 0
	Dist  Dist
	DOF   float64 // degrees of freedom, > 0; 0 means infinitely many
	// Bounds between which the value surely lies, which cut the distribution off; none
	// when both are 0.
	Lo, Hi float64
}

// bounds returns the bounds, infinite without any.
func (in Input) bounds() (lo, hi float64) {
	if in.Lo == 0 && in.Hi == 0 {
		return math.Inf(-1), math.Inf(1)
	}
	return in.Lo, in.Hi
}

// ErrInput reports an input that cannot be.
var ErrInput = errors.New("budget: bad input")

// Validate returns an error wrapping ErrInput that says what is wrong.
func (in Input) Validate() error {
	fin := func(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
	switch {
	case !fin(in.Value) || !fin(in.U) || in.U < 0:
		return fmt.Errorf("%w: %s %g ± %g", ErrInput, in.Name, in.Value, in.U)
	case !(in.DOF >= 0) || in.Dist == Repeated && in.DOF < 1:
		return fmt.Errorf("%w: %s with %g degrees of freedom", ErrInput, in.Name, in.DOF)
	}
	if lo, hi := in.bounds(); !(lo <= in.Value && in.Value <= hi) {
		return fmt.Errorf("%w: %s %g outside of %g to %g", ErrInput, in.Name, in.Value, lo, hi)
	}
	return nil
}

// FromHalfWidth returns the standard uncertainty of a distribution that lies
// surely within ±a: a/√3 for a rectangle, a/√6 for a triangle (JCGM 100, 4.3.7,
// 4.3.9); for others a is taken as two standard uncertainties, 95 %.
func FromHalfWidth(d Dist, a float64) float64 {
	switch d {
	case Rectangular:
		return a / math.Sqrt(3)
	case Triangular:
		return a / math.Sqrt(6)
	}
	return a / 2
}

// Within95 returns within how much of the value, either way, 95 of 100 such inputs are: by the shape
// of a rectangle, 0.95 a, and of a triangle, (1 - √0.05) a (JCGM 101, 6.4.2, 6.4.5), else two
// standard uncertainties, as FromHalfWidth takes them.
func (in Input) Within95() float64 {
	switch in.Dist {
	case Rectangular:
		return 0.95 * math.Sqrt(3) * in.U
	case Triangular:
		return (1 - math.Sqrt(0.05)) * math.Sqrt(6) * in.U
	}
	return 2 * in.U
}

// FromReadings returns the mean of at least two readings as an input: standard
// uncertainty s/√n with n-1 degrees of freedom (JCGM 100, 4.2.3).
func FromReadings(name string, x []float64) (Input, error) {
	n := float64(len(x))
	if n < 2 {
		return Input{}, fmt.Errorf("%w: %s with %d readings, want at least 2", ErrInput, name, len(x))
	}
	mean, ss := 0.0, 0.0
	for _, v := range x {
		mean += v / n
	}
	for _, v := range x {
		ss += (v - mean) * (v - mean)
	}
	in := Input{Name: name, Value: mean, U: math.Sqrt(ss / (n - 1) / n), Dist: Repeated, DOF: n - 1}
	return in, in.Validate()
}

// mostRedraws bounds how often a draw is made again.
const mostRedraws = 1000

// draw returns a sample of the input, drawn again while it is outside its bounds.
func (in Input) draw(r *rand.Rand) float64 {
	lo, hi := in.bounds()
	for range mostRedraws {
		if x := in.sample(r); lo <= x && x <= hi {
			return x
		}
	}
	return in.Value
}

// sample returns a sample of the distribution without its bounds.
func (in Input) sample(r *rand.Rand) float64 {
	switch in.Dist {
	case Rectangular:
		return in.Value + in.U*math.Sqrt(3)*(2*r.Float64()-1)
	case Triangular:
		return in.Value + in.U*math.Sqrt(6)*(r.Float64()+r.Float64()-1)
	case Repeated:
		return in.Value + in.U*studentT(in.DOF, r)
	}
	return in.Value + in.U*r.NormFloat64()
}

// studentT draws from Student's t: a normal over the root of a mean chi-squared
// (JCGM 101, 6.4.9).
func studentT(dof float64, r *rand.Rand) float64 {
	z := r.NormFloat64()
	chi := distuv.ChiSquared{K: dof, Src: r}.Rand()
	return z / math.Sqrt(chi/dof)
}
