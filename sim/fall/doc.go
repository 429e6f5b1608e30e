// Package fall follows a chain that comes off a cog from the first touch of a tooth tip to rest on
// another cog, quasi-statically: at every step the heights of the links (a taut string of rigid links
// over tips and root circles), then their lateral places and rolls (package march's energy with walls
// only where a tooth stands in a link), then what each link does, changed one at a time, the most
// violated first.
//
// A link that climbs stands on its tip and rides round with it; the one behind it is lifted with it,
// so that no tooth holds it; the next goes over the edge, and the chain comes down on the neighbour a
// few links further behind. A link that climbs slides back where its lower edge comes within its bevel
// before the next one has arrived.
//
// A tip bears under one plate and leans the link, outer side down; the plate that leans slides outwards
// and goes over the edge when it has left the whole length of the tip. About pins that lean, a chain
// that turns down turns sideways too, and a tip under a bevel lifts what is pulled across it. That takes
// links off the tips of the wheels in between, so that a chain can come to rest.
//
// The rules and the numbers that tests hold them to come from explicit dynamics of rigid links,
// written for this project and kept apart. Good up to the neighbour: which links stand and go over,
// heights and places, the angles of landing and of the first touch. Of one chain of many: which cog it
// ends on, the angle of rest, the lean after the neighbour. A link that leaves its tip falls at once here.
// Left out: shift gates and ramps, the run that leaves, gravity, inertia, rollers that stand on flanks,
// side play of joints, and the gap beyond the last cog.
//
// Places are mm from the plane of the wheel that the chain leaves, positive to the side of the fall;
// forces N; the way in pitches; angles of the cranks in radians since the first touch.
package fall
