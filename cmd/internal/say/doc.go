// Package say has the sentences that people read: command, page, report and figures say a
// fault, a chance, a size, a doubt or a warning in the words of this package alone. It
// computes nothing. Texts of JSON that are for people are from here too.
//
// A chance counts bikes: of bikes like this one, how many have the fault. How often a bike
// that has it shows it, per pedal stroke, is another number.
package say
