// Package geom knows circles, tangents, wraps and distances.
//
// Scope: a plane with two axes, X to the right and Y up, angles anticlockwise
// from X, and ordinary space around it. Wheels are circles with a sense of
// rotation, over which an inelastic band runs. Lengths carry no unit of their own (whatever goes
// in comes out), angles are radians.
//
// No function here returns NaN or an infinity: what cannot be drawn is an
// error, and each error is a value that can be compared with errors.Is.
package geom
