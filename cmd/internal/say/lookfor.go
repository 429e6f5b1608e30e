package say

import "strings"

// ToLook is a cause of everything that was told, with how likely it is.
type ToLook struct {
	Code  string
	Share float64
	Cog   string // of one bad cog; "" of others
}

// looks name causes, and what to do first about each: nothing of it takes anything to pieces (common
// practice, no published source).
var looks = map[string][2]string{
	"as_measured":    {"the chainline as you measured it", ""},
	"front_line":     {"a chainring that stands elsewhere than you said", "measure the front chainline again"},
	"chain_length":   {"a chain of the wrong length", "count the chain's links"},
	"freehub_drag":   {"a freehub that drags", "turn the wheel backwards by hand: the top run must stay tight"},
	"bad_cog":        {"a bad cog", "look at the cog's teeth and watch it turn"},
	"stiff_link":     {"a stiff link", "turn the cranks slowly backwards and watch for the link that jumps"},
	"worn_chain":     {"a worn chain and cogs", "measure the chain's wear"},
	"setting":        {"the cable's setting", "turn the adjuster"},
	"cable_friction": {"friction of the cable", "pull the cable by hand and feel whether it comes back"},
	"hanger":         {"a bent hanger", "gauge it against the wheel"},
	"spacer":         {"a spacer between two cogs", "measure the gaps from cog to cog"},
	"bent_cog":       {"a bent cog", "watch it turn"},
	"pull":           {"a shifter and a derailleur that do not match", "measure how far one click pulls the cable"},
	"pulley_play":    {"a worn guide pulley", "push it aside by hand"},
	"wrong_cluster":  {"a cassette for another number of speeds", "measure over all the cogs"},
	"chain_line":     {"the top run's lean", "shift on another chainring"},
	"not_modelled":   {"something that is not modelled", ""},
}

// Words names the cause.
func (t *ToLook) Words() string {
	name := looks[t.Code][0]
	if t.Cog != "" {
		name += ", the " + t.Cog
	}
	return name
}

// Check says what to do first about it; "" where there is nothing.
func (t *ToLook) Check() string { return looks[t.Code][1] }

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
				text += ": " + check
			}
			said = append(said, text)
		}
	}
	if len(said) == 0 {
		return ""
	}
	return "If all that you told has one cause, it may be " + strings.Join(said, "; or ") + "."
}
