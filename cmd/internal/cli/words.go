package cli

import (
	"strings"

	"github.com/spf13/cobra"

	"chainpath/cmd/internal/show"
)

// glossary has a line for each of the tool's terms, beside the trade's other words for the same
// or for what is near it, so that a search for either finds both.
var glossary = []struct{ term, trade, means string }{
	{"back-pedalling", "pedalling backwards", "turning the cranks backwards"},
	{"bike file", "case", "a bike as text, in YAML: what was measured and what was seen"},
	{"borderline", "", "parts that may touch or not within the doubt"},
	{"bottom run", "lower run, slack run", "the chain from the chainring back to the tension pulley"},
	{"cage", "derailleur cage", "the arm with both pulleys, sprung to take up chain"},
	{"chain angle", "cross-chaining, chainline angle, bend", "the sideways angle, seen from above, at which a run of chain meets the wheel it runs onto; big-big and small-small have the largest"},
	{"chainring", "ring, chainwheel", "a front sprocket"},
	{"chance", "", "of 100 bikes like this one, how many have the fault; never 0 or 100 %"},
	{"change list", "catalogue", "changes with their prices, for fix and next"},
	{"clearance", "gap, room", "the space between two parts"},
	{"cog, cassette", "sprocket, freewheel", "one rear sprocket; all of them"},
	{"drops", "derails, dropped chain", "the chain leaves its wheel: an inner link rides up, and the outer one behind it too, with somewhere to fall"},
	{"fault", "", "what can go wrong in a gear: noise, a drop, a rub, a slack run, a chain that does not fit"},
	{"fault score", "", "all faults of a bike in one number, 0 best: how much of the time you ride in gears with each fault, the dangerous ones counting most; help model has the weights"},
	{"front chainline", "chain line at the front", "from the frame centreline to the chainring, or to the middle of several, mm"},
	{"frame centreline", "y = 0", "the plane through the middle of the frame"},
	{"guide pulley", "upper pulley, jockey wheel", "the pulley beneath the cogs, which does the shifting"},
	{"limit", "", "where a fault begins: a chain angle, or the end of the chainring's travel"},
	{"narrow-wide", "alternating teeth", "chainring teeth that fill outer and inner links in turn"},
	{"noise", "rattle, grinding", "what a rider calls noisy, by reports of the chain angle"},
	{"rear chainline", "hub spacing", "from the frame centreline to the middle of the cassette, mm"},
	{"rides up", "skipping", "a link lands on a tooth's tip instead of over it; also felt as a skip"},
	{"rubs", "chain rub", "the chain touches the next cog, the next chainring, the tyre, or the front derailleur cage"},
	{"shift ramps", "shift gates", "places of a cog that help the chain across"},
	{"side play", "lateral play, joint slack, chain wear", "how far a joint turns sideways freely, degrees either way"},
	{"slack", "", "the freehub's drag takes the tension off the top run when you back-pedal; chain suck, a chainring that carries the chain up, is not modelled"},
	{"tension pulley", "lower pulley, jockey wheel", "the pulley at the cage's far end"},
	{"top run", "upper run", "the chain from cog to chainring, under the rider's pull"},
	{"typical values", "", "the middle of the numbers that differ between versions"},
	{"version of the bike", "bike like this", "one possible bike: your readings within their tolerances, and one choice of the numbers that nobody publishes; 200 of them stand for the bikes like yours that chances count"},
}

// newWords is the help topic of the terms.
func newWords() *cobra.Command {
	var b strings.Builder
	b.WriteString("The terms of this tool, and in brackets the trade's other words for the same or for what is near it.\n\n")
	for _, g := range glossary {
		line := g.term
		if g.trade != "" {
			line += " (" + g.trade + ")"
		}
		b.WriteString(show.Item(line+": "+g.means+".") + "\n")
	}
	return &cobra.Command{Use: "words", Short: "The terms, with other names for them", Long: strings.TrimRight(b.String(), "\n")}
}
