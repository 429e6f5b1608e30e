// Package say has the sentences of an answer: what the rider told, a fault, a chance, a size,
// what was not worked out, a caution. Command, page, report and figures print them; texts of
// JSON that are for people are from here too. The pieces of a fault are in its row of
// sim.Hazards. It computes nothing.
//
// A chance counts bikes: of bikes like this one, how many have the fault. How often a bike
// that has it shows it, per pedal stroke, is another number.
package say
