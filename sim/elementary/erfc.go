package elementary

import "math"

// gauss are e^(-n²/4).
var gauss = func() (g [14]float64) {
	for n := range g {
		g[n] = Exp(-float64(n*n) / 4)
	}
	return g
}()

// Erfc returns the complementary error function, 2/√π times the integral of e^(-t²) from x on,
// within a relative 1e-14 up to x = 9.
//
// Method: the trapezoidal rule of step h = 1/2 for
// erfc x = (x/π) e^(-x²) ∫ e^(-t²)/(t² + x²) dt, with what the pole at t = ix adds,
// 2/(1 - e^(2πx/h)), which is nothing beside it from 6 on (Chiarella and Reichel 1968, On the
// evaluation of integrals related to the error function, from memory). Below 1/2 it is
// 1 - erf x, whose series needs no exponential.
func Erfc(x float64) float64 {
	const h = 0.5
	switch {
	case x < 0:
		return 2 - Erfc(-x)
	case !(x >= 0.5):
		return 1 - math.Erf(x)
	case x > 27.3: // below the smallest number
		return 0
	}
	q := float64(x * x)
	sum := 0.0
	for n := len(gauss) - 1; n > 0; n-- { // the small ones first
		sum += gauss[n] / (float64(n*n)*h*h + q)
	}
	out := float64(float64(h/math.Pi*x)*Exp(-q)) * (1/q + 2*sum)
	if x < 6 {
		out += 2 / (1 - Exp(2*math.Pi/h*x))
	}
	return out
}
