// Package engage says where an arriving chain link lies sideways when a tooth
// tip first reaches it, and from which bend angle on it is no longer clear
// (level 2 of the model).
//
// The chain is a row of pins one pitch apart under a tension. Joints turn
// sideways freely within a slack ±φ0, then resist with a stiffness k. A tooth
// stands in every link that is engaged and holds it within its play. The
// lateral places of the pins minimise a convex energy; package engage solves it
// exactly with a banded active-set method (see pinRow) and judges the link whose
// plates the next tooth tip is about to pass (see Entry).
//
// Units: mm, N, N·mm/rad, radians. Lateral places are counted from the
// sprocket's middle plane, positive towards the side the chain is pulled to; a
// mirrored set-up gives mirrored results, so only that side is computed.
//
// Outside the model: shift gates, frame flex, dirt, gravity, friction on the
// tooth flanks, and the reach of a span so short that its far end stiffens it.
// Joint slack and lateral stiffness of bicycle chain have no published values.
package engage
