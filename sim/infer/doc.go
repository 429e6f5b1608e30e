// Package infer learns standard normals from reports, where the model between them is
// somebody else's. It knows no bicycle.
//
// A thing has faults, and every fault places (gears, say) at which it may be seen. The model
// gives a chance p of a fault at a place, by some of the unknown numbers. It is not the
// thing itself: one try at place g fails where
//
//	√C·B + √N·S_g + √O·O_g + √T·ε < μ_g,    B, S_g, O_g, ε ~ N(0, 1),    C + N + O + T = 1
//
// B is one per thing and fault, S alike at places near each other, O the place's own, ε the
// try's own. The rate is the share of tries that fail, and the fault is there where the rate is
// above r0:
//
//	r_g = Φ((μ_g - √C·B - √N·S_g - √O·O_g)/√T),    μ_g = √(1-T)·Φ⁻¹(p) + √T·Φ⁻¹(r0)
//
// so that the chance of the fault is p exactly while nothing was seen. A word about a fault is
// right with 1-e; k of n tries have the chance (1-e/5)·Bin(k; n, r) + (e/5)/(n+1). The
// teller's e is one of Mistakes, and is learned too. What was seen of a fault at a place is a
// function of r alone: Table integrates O and T out of it, so that much told costs no more than
// little.
//
// Method: sequential Monte Carlo from the prior to the posterior over powers of the likelihood
// (Del Moral, Doucet and Jasra 2006, Sequential Monte Carlo samplers, from memory), with moves
// that keep the normal prior whatever their number (preconditioned Crank-Nicolson: Cotter and
// others 2013, MCMC methods for functions, from memory). The power 1 is always reached.
package infer
