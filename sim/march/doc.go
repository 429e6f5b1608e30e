// Package march runs a chain link by link round the bicycle (level 3): every link
// with its own tolerances, over ring, cog and pulleys, in steps of a fraction of a
// pitch, riding or backwards. At every step the sideways equilibrium of the whole
// chain is solved with the contacts of that moment, starting from the last one.
//
// A link is judged where a tooth tip first reaches it (package engage): clear,
// guided over the plate's bevel, or climbing, its plate on the tip. What happens
// to a link on a tip follows from its seating force, friction and what its
// neighbours do. Two in a row on the tips of ring or cog, pulled outward, are a
// derailment. On pulleys the cage's plates hold the chain.
//
// No published criterion of derailment exists. The march compares set-ups; it
// promises nothing. Bumps, dirt, shift gates and flex are left out, and so is
// inertia.
//
// Lateral places are in the frame of package sim, mm; forces in N; distances along
// the chain in pitches, from the middle of the ring's seat in the direction of
// travel; crank angles in radians turned since the start.
package march
