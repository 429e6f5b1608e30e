// Package score says how good predicted chances of yes or no are, fits rules of
// one number and none to compare them with, and holds groups out of a fit. It
// knows nothing of bicycles, and no units: what goes in comes out.
package score
