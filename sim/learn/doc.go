// Package learn draws possible bicycles by what was seen of one, and finds what many bikes of a shop
// have in common. It knows bikes, their faults, and observations of them; who draws a bike, and what
// its numbers mean, it does not know.
package learn
