// Package march runs a chain link by link round the bicycle (level 3): every link
// with its own tolerances, over ring, cog and pulleys, in steps of a fraction of a
// pitch, riding or backwards. At every step the sideways equilibrium of the whole
// chain is solved with the teeth of that moment, line contact of pins and bushes and
// friction of seated links, starting from the last one (package engage's runs, from
// wheel to wheel all round).
//
// A link is judged where a tooth tip first reaches it, by level 2's rule: an inner
// link beyond its guided band climbs and is freed of wall and friction; the chain
// comes off where the outer link behind it then arrives beyond its own band too. A
// link that climbs alone is pulled back. On pulleys the cage's plates hold the chain,
// towards a larger cog or ring a wall does, and on the top run a front cage. Links that find
// no place beside all teeth at once climb too, one after the other until the rest do.
//
// Known to be missing: a climbing link stands up to 6 mm high and lifts its neighbours'
// pins; the force that seats links is bounded; links roll about the chain. The first
// brings drops forward, the last holds them back. Package fall has all three from the drop on. So a march shows how, not how often:
// its counts compare set-ups and are no probability. Bumps, dirt, flex and inertia are
// left out.
//
// Lateral places are in the frame of package sim, mm; forces in N; distances along
// the chain in pitches, from the middle of the ring's seat in the direction of
// travel; crank angles in radians turned since the start.
package march
