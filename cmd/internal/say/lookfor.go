package say

import (
	"chainpath/sim/decide"
	"chainpath/sim/indexing"
)

// ToLook is a cause of everything that was told, with how likely it is.
type ToLook struct {
	Cause decide.Cause
	Share float64
	Cog   string // of one bad cog; "" of others
}

// looks name the causes that are none of the indexing, and what to do first about each: nothing of it takes
// anything to pieces (common practice, no published source).
var looks = map[decide.Cause][2]string{
	decide.AsMeasured:  {"the chainline as you measured it", ""},
	decide.LineOff:     {"a chainring that stands elsewhere than you said", "measure the front chainline again"},
	decide.ChainLength: {"a chain of the wrong length", "count the chain's links"},
	decide.FreehubDrag: {"a freehub that drags", "turn the wheel backwards by hand: the top run must stay tight"},
	decide.BadCog:      {"a bad cog", "look at the cog's teeth and watch it turn"},
	decide.StiffLink:   {"a stiff link", "turn the cranks slowly backwards and watch for the link that jumps"},
	decide.WornChain:   {"a worn chain and cogs", "measure the chain's wear"},
	decide.NotModelled: {"something that is not modelled", ""},
}

// faultChecks are the checks that show a fault of the indexing; of the top run's lean there is none.
var faultChecks = map[indexing.Fault]indexing.Check{
	indexing.Setting: indexing.TurnTwoClicks, indexing.Friction: indexing.TurnTwoClicks, indexing.BentHanger: indexing.GaugeHanger,
	indexing.WrongSpacer: indexing.MeasureGaps, indexing.BentCog: indexing.WatchCog, indexing.WrongPull: indexing.MeasureCable,
	indexing.PulleyPlay: indexing.PushPulley, indexing.WrongCluster: indexing.MeasureStack,
}

// Words names the cause.
func (t *ToLook) Words() string {
	if f, is := t.Cause.Fault(); is {
		return f.Words()
	}
	if t.Cog != "" {
		return "a bad " + t.Cog + "-tooth cog"
	}
	return looks[t.Cause][0]
}

// Check says what to do first about it; "" where there is nothing.
func (t *ToLook) Check() string {
	if f, is := t.Cause.Fault(); is {
		return ShiftCheck(faultChecks[f])
	}
	return looks[t.Cause][1]
}

// lookMost is how many causes are told, and lookLeast how likely the next ones are at least.
const (
	lookMost  = 3
	lookLeast = 0.1
)

// LookFor says what may be behind all that was told, the likeliest first; how likely stands in JSON alone,
// since it rests on how common each is, which nobody has counted.
func LookFor(list []ToLook) string {
	var said []string
	for i := range list {
		if t := &list[i]; i == 0 || i < lookMost && t.Share >= lookLeast {
			text := t.Words()
			if check := t.Check(); check != "" {
				text += " (" + check + ")"
			}
			said = append(said, text)
		}
	}
	if len(said) == 0 {
		return ""
	}
	return "If all that you told has one cause, it may be " + Or(said) + "."
}
