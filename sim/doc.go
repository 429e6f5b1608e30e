// Package sim knows chains, sprockets and bicycles: for each gear the closed
// chain path in space (level 1), where arriving links lie and what that means
// (level 2), the tensions, the clearances and the verdicts.
//
// Frame: the origin is the bottom-bracket centre on the frame's middle plane;
// x forward, y to the drive side, z up. Units: mm, N, N·mm, radians. A line
// (front line, rear line) is a y. Seen from the drive side, cranks, cog and
// tension pulley turn clockwise when riding, the guide pulley anticlockwise.
//
// A bend is atan(|Δy|/L) over a span of length L in the side view; its side
// says which way the chain runs going forward. The rear axle lies at
// x = -√(CS² - d²), z = d (CS chainstay centre to centre, d bottom-bracket drop).
//
// Level 1 is exact, given the dimensions. Level 2 is mechanics on stated
// assumptions: no published criterion of derailment, joint slack or lateral
// stiffness exists for bicycle chain. Shift gates that are not given and frame flex
// beyond the stated allowance are outside the model; dirt, wear and a shift in
// the same moment are in it as a share of gears (Free.Mishap), a bump as an event that lifts the run onto the
// ring, and as what it takes off a slack run's weight.
//
// The package reads no files, prints nothing and keeps no state between calls.
package sim
