// Package budget propagates uncertainties through any model of several inputs
// and outputs: to first order (JCGM 100, the GUM) and by Monte Carlo (JCGM 101).
// It knows nothing of bicycles, and no units: what goes in comes out.
package budget
