package say

import (
	"fmt"
	"slices"
	"strings"
)

// Bike is what is needed to name gears: the teeth of its chainrings and cogs, from small
// to large.
type Bike struct{ Rings, Cogs []int }

// Gear is a gear by the indices of its chainring and cog.
type Gear struct{ Ring, Cog int }

// Name returns a gear as it is typed: 32/51.
func (b *Bike) Name(g Gear) string { return fmt.Sprintf("%d/%d", b.Rings[g.Ring], b.Cogs[g.Cog]) }

// The names gears in a sentence: by their cogs where there is one chainring ("the 44 and 51"),
// and "every gear" where they are all of several.
func (b *Bike) The(gears []Gear) string {
	if n := len(b.Rings) * len(b.Cogs); len(gears) == n && n > 1 {
		return "every gear"
	}
	var names []string
	for _, g := range gears {
		if len(b.Rings) == 1 {
			names = append(names, fmt.Sprint(b.Cogs[g.Cog]))
		} else {
			names = append(names, b.Name(g))
		}
	}
	if len(b.Rings) == 1 {
		return "the " + And(names)
	}
	return And(names)
}

// in puts gears into a sentence that says "on %s" or "off %s", or has them as its subject.
func (b *Bike) in(form string, gears []Gear) string {
	the := b.The(gears)
	if the == "every gear" {
		for _, word := range [...]string{"on %s", "off %s"} {
			form = strings.ReplaceAll(form, word, "in %s")
		}
	}
	return fmt.Sprintf(form, the)
}

// And joins a list: a, b and c.
func And(list []string) string { return join(list, "and") }

// Or joins a list: a, b or c.
func Or(list []string) string { return join(list, "or") }

func join(list []string, word string) string {
	if n := len(list); n > 1 {
		return strings.Join(list[:n-1], ", ") + " " + word + " " + list[n-1]
	}
	return strings.Join(list, "")
}

// Together puts sentences behind each other, without those that are empty.
func Together(sentences ...string) string {
	return strings.Join(slices.DeleteFunc(sentences, func(s string) bool { return s == "" }), " ")
}

// Capital returns a text with a capital as its first letter.
func Capital(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToUpper(text[:1]) + text[1:]
}

// SlackChain says that a chain without a tensioner hangs down too far, mm.
func SlackChain(sag, common float64) string {
	return fmt.Sprintf("the chain hangs down %.0f mm, and up to %.0f mm is usual. A slack chain can drop whatever the chainlines are: tighten it first.", sag, common)
}
