package cli

import (
	"strings"

	"github.com/spf13/cobra"

	"chainpath/cmd/internal/show"
)

// glossary has a line for each of our own terms, beside the trade's words for the same or
// for what is near it, so that a search for either finds both.
var glossary = []struct{ term, trade, means string }{
	{"allowance", "shift gates, cut teeth", "how much of a cog's hold its cut teeth take off, mm"},
	{"answer", "", "the first sentence of every result: what the bicycle will do, how sure, and whether that is usual"},
	{"arrival", "chain engagement", "the chain running onto a wheel: riding onto ring, tension pulley and cog, backwards onto cog, ring and guide pulley"},
	{"bend", "cross-chaining, chain line angle", "the angle, seen from above, at which a run of chain meets the wheel it runs onto; big-big and small-small have the largest"},
	{"bottom run", "lower run, slack run", "from ring back to the tension pulley"},
	{"budget", "error budget", "how sure a result is, and which reading to take better"},
	{"cage", "derailleur cage", "the arm with both pulleys, sprung to take up chain"},
	{"case", "", "a bicycle as a file: what was measured, in YAML"},
	{"chance", "", "how likely something is, 0 to 1: the mean over drawn sets of numbers that nobody publishes; never 0 or 1"},
	{"clear, touches", "ticking", "how far aside a link may arrive before a tooth's tip reaches its plate; to touch is not yet to be heard"},
	{"climbs", "skipping, riding up", "a link lands on a tooth's tip instead of over it; also felt as a skip"},
	{"cluster, cog", "cassette, freewheel, sprocket", "the sprockets on the rear hub; one of them"},
	{"comes off", "chain drop, dropped chain", "an inner link climbs and the outer one behind it too, with somewhere to fall"},
	{"concern", "", "one of the things that chances are given for: noise, comes off, rubs, hangs slack, does not fit"},
	{"default set", "", "the one set of assumed numbers behind limits in degrees"},
	{"front line", "chain line (front), chainline", "from the ring's middle, or the middle of the set, to the frame's middle plane, mm"},
	{"gates", "shift ramps, shift gates", "places of a cog that help the chain across"},
	{"guide pulley", "upper pulley, jockey wheel", "the pulley beneath the cogs, which does the shifting"},
	{"hangs slack", "chain suck's other side", "backwards the freehub's drag takes the pull off the top run; chain suck, a ring that carries the chain up, is not modelled"},
	{"index window", "indexing, barrel adjuster range", "where the guide pulley may stand beside a cog"},
	{"learned", "", "sets of numbers that fit what was seen of this bicycle"},
	{"march", "", "the chain run link by link: how it comes off, not how often"},
	{"noise", "rattle, grinding, noisy drivetrain", "what a rider calls noisy, by reports of the bend"},
	{"quiet limit, climb limit", "", "bends, degrees, from which by the default set a tip touches, and the chain may come off"},
	{"rear line", "chain line (rear), hub spacing", "from the cluster's middle to the frame's middle plane, mm"},
	{"ring", "chainring, chainwheel", "a sprocket at the cranks"},
	{"rubs", "rubbing, chain rub", "the chain meets the next cog, the next ring, the tyre, or the front cage"},
	{"set", "", "one possible choice of all numbers that nobody publishes"},
	{"slack of a joint", "lateral play, chain wear", "how far a joint turns sideways freely, degrees either way"},
	{"tension pulley", "lower pulley, jockey wheel", "the pulley at the cage's far end"},
	{"top run", "upper run, drive side of the chain", "from cog to ring, under the rider's pull"},
	{"trouble", "", "all chances of a bicycle over its riding profile in one number, by weights"},
	{"wide and narrow", "alternating teeth", "teeth that fill outer and inner links in turn"},
	{"window", "", "where the ring may stand, in mm of front line"},
}

// newWords is the help topic of the terms.
func newWords() *cobra.Command {
	var b strings.Builder
	b.WriteString("Our terms, and the trade's words for the same or for what is near it in brackets.\n\n")
	for _, g := range glossary {
		line := g.term
		if g.trade != "" {
			line += " (" + g.trade + ")"
		}
		b.WriteString(show.Item(line+": "+g.means+".") + "\n")
	}
	return &cobra.Command{Use: "words", Short: "Our terms beside the trade's, a line each", Long: strings.TrimRight(b.String(), "\n")}
}
