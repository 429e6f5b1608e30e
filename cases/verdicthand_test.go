package cases

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/decide"
)

// What an advice comes to, on a bike of two chainrings and two cogs whose gears are each ridden a quarter of the
// time: 0 and 1 are those of the small chainring. A change cures the faults that a row names, and what is asked for is
// told: all that was complained of at once, then one after the other; of what nobody complained of one after the
// other, the heaviest first, up to one that a look shows.
func TestVerdictByHand(t *testing.T) {
	c := mustParse(t, "chainpath: 1\nframe: {stay: 430}\nfront: {ring_lines: [44, 51], rings: [30, 42]}\nrear: {line: 44, cogs: [14, 16]}\n")
	w, _, err := c.adviser(decide.UsualRule(), nil)
	require.NoError(t, err)
	fault := func(of sim.Concern, gears ...int) decide.Named { return decide.Named{Of: of, Gears: gears, Told: true} }
	noise, rub, short, dropped := fault(sim.NoiseRiding, 1), fault(sim.RubsNextCog, 0, 1), fault(sim.DoesNotClose, 1), fault(sim.DropRiding, 2)
	name := func(list []decide.Named) string {
		var all []string
		for _, f := range list {
			all = append(all, f.Of.String()+fmt.Sprint(f.Gears))
		}
		return strings.Join(all, " ")
	}
	type row struct {
		chances map[sim.Concern]float64 // in gear 2
		unused  bool                    // gear 2 is never ridden, the others a third of the time each
		told    []decide.Named
		cures   string // by name
		want    Verdict
		faults  string
		asked   string
	}
	for what, x := range map[string]row{
		"nothing explains it":             {want: NotExplained, told: []decide.Named{}},
		"one change cures all":            {told: []decide.Named{noise, rub}, cures: "noise_riding[1] rubs_next_cog[0 1]", want: MakeChange, faults: "noise_riding[1] rubs_next_cog[0 1]", asked: "noise_riding[1] rubs_next_cog[0 1]"},
		"another chainring does the work": {told: []decide.Named{noise, rub}, want: AvoidGear, faults: "noise_riding[1] rubs_next_cog[0 1]", asked: "noise_riding[1] rubs_next_cog[0 1]"},
		"but for one gear":                {told: []decide.Named{noise, dropped}, want: LeaveIt, faults: "noise_riding[1] drop_riding[2]", asked: "noise_riding[1] drop_riding[2], noise_riding[1], drop_riding[2]"},
		"a chain that is too short":       {told: []decide.Named{short}, want: LeaveIt, faults: "cannot_close[1]", asked: "cannot_close[1]"},
		"the second alone":                {told: []decide.Named{noise, dropped}, cures: "drop_riding[2]", want: MakeChange, faults: "drop_riding[2]", asked: "noise_riding[1] drop_riding[2], noise_riding[1], drop_riding[2]"},
		"the first alone":                 {told: []decide.Named{dropped, noise}, cures: "drop_riding[2]", want: MakeChange, faults: "drop_riding[2]", asked: "drop_riding[2] noise_riding[1], drop_riding[2]"},
		"a single one, not cured":         {told: []decide.Named{dropped}, want: LeaveIt, faults: "drop_riding[2]", asked: "drop_riding[2]"},

		"quiet":               {want: LeaveIt},
		"noise, cured":        {chances: map[sim.Concern]float64{sim.NoiseRiding: 0.9}, cures: "noise_riding[2]", want: MakeChange, faults: "noise_riding[2]", asked: "noise_riding[2]"},
		"noise, not cured":    {chances: map[sim.Concern]float64{sim.NoiseRiding: 0.9}, want: LeaveIt, faults: "noise_riding[2]", asked: "noise_riding[2]"},
		"the heavier first":   {chances: map[sim.Concern]float64{sim.NoiseRiding: 0.9, sim.DropRiding: 0.3}, cures: "drop_riding[2]", want: MakeChange, faults: "drop_riding[2]", asked: "drop_riding[2]"}, // 0.9·1 against 0.3·5
		"then the lighter":    {chances: map[sim.Concern]float64{sim.NoiseRiding: 0.9, sim.DropRiding: 0.3}, cures: "noise_riding[2]", want: MakeChange, faults: "noise_riding[2]", asked: "drop_riding[2], noise_riding[2]"},
		"neither":             {chances: map[sim.Concern]float64{sim.NoiseRiding: 0.9, sim.DropRiding: 0.3}, want: LeaveIt, faults: "drop_riding[2] noise_riding[2]", asked: "drop_riding[2], noise_riding[2]"},
		"a look before that":  {chances: map[sim.Concern]float64{sim.NoiseRiding: 0.9, sim.MeetsStay: 0.6}, cures: "noise_riding[2]", want: LookThere, faults: "meets_stay[2]"},                     // 0.6·2
		"a look after that":   {chances: map[sim.Concern]float64{sim.NoiseRiding: 0.9, sim.MeetsStay: 0.6, sim.DropRiding: 0.3}, want: LookThere, faults: "meets_stay[2]", asked: "drop_riding[2]"}, // 1.5, 1.2, 0.9
		"danger, never used":  {chances: map[sim.Concern]float64{sim.MeetsWheel: 0.6, sim.RubsTyreAt: 0.6}, unused: true, want: LookThere, faults: "rubs_tyre[2]"},                                  // by its order
		"danger, a half":      {chances: map[sim.Concern]float64{sim.MeetsWheel: 0.5}, unused: true, want: LookThere, faults: "meets_wheel[2]"},
		"danger, less":        {chances: map[sim.Concern]float64{sim.MeetsWheel: 0.49}, unused: true, want: LeaveIt},
		"a drop, never used":  {chances: map[sim.Concern]float64{sim.DropRiding: 0.9}, unused: true, want: LeaveIt}, // no look shows it
		"harmless and unused": {chances: map[sim.Concern]float64{sim.MeetsStay: 0.9, sim.DoesNotClose: 0.9}, unused: true, want: LeaveIt},
	} {
		d := decide.Design{Chances: make([]sim.Chances, 4), Share: []float64{0.25, 0.25, 0.25, 0.25}}
		if x.unused {
			d.Share = []float64{1. / 3, 1. / 3, 0, 1. / 3}
		}
		for k, p := range x.chances {
			d.Chances[2][k] = p
		}
		w.spare = []bool{true, true, false, false}
		var asked []string
		got, faults := w.verdict(&d, x.told, x.told != nil, w.rule, func(list []decide.Named) bool {
			asked = append(asked, name(list))
			return name(list) == x.cures
		})
		assert.Equal(t, x.want, got, what)
		assert.Equal(t, x.faults, name(faults), what)
		assert.Equal(t, x.asked, strings.Join(asked, ", "), what)
	}
}
