package engage

import "math"

// closedForm is the limit of the row for a pitch much shorter than the bent
// part: a half-infinite span clamped where the sprocket begins.
//
// With κ0 = φ0/p, λ = √(k p/T) and s* = λ asinh(θ/(κ0 λ)) the slope is
// y'(s) = κ0 λ [sinh(s*/λ) - sinh((s* - s)/λ)] for s < s*, then θ.
// Derived here from the row's energy: k p (y” - κ0)' = T (y' - θ) with the
// joint moment zero at s*. κ0 → 0 gives the tensioned beam θ(1 - e^(-s/λ))
// (Timoshenko, Strength of Materials II, on beams with axial tension).
type closedForm struct {
	Pitch     float64 // p, mm, > 0
	Tension   float64 // T, N, > 0
	Stiffness float64 // k, N·mm/rad, >= 0
	Slack     float64 // φ0, rad, >= 0
}

// lambda returns the length over which bending fades, λ = √(k p/T), mm.
func (f closedForm) lambda() float64 { return math.Sqrt(f.Stiffness * f.Pitch / f.Tension) }

// bent returns s*, the length of the bent part for a bend angle θ in rad, mm:
// +Inf would be the answer without slack, for which the largest float is given.
func (f closedForm) bent(theta float64) float64 {
	l, k0 := f.lambda(), f.Slack/f.Pitch
	switch {
	case theta == 0 || (l == 0 && k0 == 0):
		return 0
	case k0 == 0:
		return math.MaxFloat64
	case l < 1e-9*theta/k0:
		return l * math.Log(2*theta/(k0*max(l, 1e-300)))
	}
	return l * math.Asinh(math.Abs(theta)/(k0*l))
}

// offset returns y(s), mm, for a bend angle θ in rad, θ >= 0: the integral of y' from
// the clamp.
func (f closedForm) offset(theta, s float64) float64 {
	l, k0 := f.lambda(), f.Slack/f.Pitch
	if s <= 0 {
		return 0
	}
	if k0 == 0 || l == 0 {
		if l == 0 {
			return theta * s
		}
		return theta * (s + l*math.Expm1(-s/l))
	}
	bent := f.bent(theta)
	t := min(s, bent)
	y := k0 * l * (t*math.Sinh(bent/l) - l*(math.Cosh(bent/l)-math.Cosh((bent-t)/l)))
	return y + theta*(s-t)
}
