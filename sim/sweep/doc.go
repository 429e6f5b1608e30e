// Package sweep lays out the designs of a sweep and looks at what came out: which
// values a design has follows from its number alone, so that any part of a sweep
// can be run anywhere, again, or later.
package sweep
