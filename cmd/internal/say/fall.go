package say

import (
	"fmt"
	"strings"
)

// Falling is what a chain does after it dropped off a cog: links by their numbers in the run, wheels by
// their teeth, angles of the cranks in degrees since the first touch.
type Falling struct {
	First   int   // the link that climbed
	Stand   []int // links that stand on tips to the end
	Back    bool  // the link slides back, and the chain stays on
	Over    int   // the first over the edge; -1: none
	OverAt  float64
	Touch   int // the first that touches the next cog; -1: none
	TouchOn int
	TouchAt float64
	Rests   int // on which cog; 0: on none
	Seat    int // the cog on which a link first sits; 0: none
	SeatAt  float64
	Past    bool // beyond the last cog
	Inboard bool // on the side of the spokes
	EndsAt  float64
}

// Fall says what a chain does after it dropped, in the order in which it happens.
func Fall(f *Falling) string {
	if f.Back {
		return fmt.Sprintf("Followed on, link %d slides back over its tooth, and this chain stays on.", f.First)
	}
	var text, others []string
	for _, n := range f.Stand {
		if n != f.First {
			others = append(others, fmt.Sprint(n))
		}
	}
	stands := fmt.Sprintf("Link %d stands on its tip and rides round with the tooth.", f.First)
	if len(others) > 0 {
		stands = fmt.Sprintf("Link %d stands on its tip and rides round with the tooth, and so %s %s.", f.First, number(len(others), "does", "do"), strings.Join(others, " and "))
	}
	text = append(text, stands)
	if f.Over >= 0 {
		text = append(text, fmt.Sprintf("Link %d goes over the edge %.0f° later.", f.Over, f.OverAt))
	}
	if f.Touch >= 0 {
		text = append(text, fmt.Sprintf("Link %d touches the %d first, after %.0f°.", f.Touch, f.TouchOn, f.TouchAt))
	}
	return strings.Join(append(text, f.end()), " ")
}

// end says how it ends, which is one chain of many.
func (f *Falling) end() string {
	switch {
	case f.Rests > 0:
		return fmt.Sprintf("Here it comes to rest on the %d, after %.0f°.", f.Rests, f.EndsAt)
	case f.Past && f.Inboard:
		return "Here it goes down beside the largest cog, where it may jam between cog and spokes. That is not computed."
	case f.Past:
		return "Here it goes past the smallest cog, where it may jam between cog and frame. That is not computed."
	}
	if f.Seat > 0 {
		return fmt.Sprintf("Here it first sits on the %d, after %.0f°, and is not at rest after %.0f°.", f.Seat, f.SeatAt, f.EndsAt)
	}
	return fmt.Sprintf("Here it is not at rest after %.0f°.", f.EndsAt)
}

// FallEnds counts how falls of many chains ended.
type FallEnds struct {
	Of, Back, Open, Past int
	After                float64 // for how much of the cranks the longest was followed, °
	On                   []OnCog // at rest, largest cog first
	Seat                 []OnCog // of those that are not at rest, where they first sit
}

// OnCog is how many chains come to rest on a cog.
type OnCog struct{ Teeth, Chains int }

// EndsOfFalls says how falls ended: "Followed on, 4 of 10 end on the 38".
func EndsOfFalls(f *FallEnds) string {
	var text []string
	for _, c := range f.On {
		text = append(text, fmt.Sprintf("%d %s on the %d", c.Chains, number(c.Chains, "ends", "end"), c.Teeth))
	}
	if f.Past > 0 {
		text = append(text, fmt.Sprintf("%d %s beyond the last cog", f.Past, number(f.Past, "goes", "go")))
	}
	if f.Back > 0 {
		text = append(text, fmt.Sprintf("%d %s on", f.Back, number(f.Back, "slides back and stays", "slide back and stay")))
	}
	for _, c := range f.Seat {
		text = append(text, fmt.Sprintf("%d first %s on the %d", c.Chains, number(c.Chains, "sits", "sit"), c.Teeth))
	}
	if f.Open > 0 {
		text = append(text, fmt.Sprintf("%d %s not at rest after %.0f°", f.Open, number(f.Open, "is", "are"), f.After))
	}
	return fmt.Sprintf("Of %d drops followed on, %s.", f.Of, strings.Join(text, ", "))
}

// number returns one word for one, another for more.
func number(n int, one, more string) string {
	if n == 1 {
		return one
	}
	return more
}

// FallLimits say what of a fall is computed and what is not.
const FallLimits = "Computed, and good up to the next cog: which links stand and which go over, heights, places and angles. " +
	"One chain of many: which cog it ends on, at what angle, and how links lean after that. " +
	"Not computed: shift ramps, the bottom run, and the gap beyond the last cog."
