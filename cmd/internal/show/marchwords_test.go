package show

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/march"
)

// What trials came to, by hand: drops within the horizons that were marched and at the end, the angle by which
// half dropped, and each trial's end with its events of all wheels.
func TestTrialsByHand(t *testing.T) {
	turn := 2 * math.Pi
	fate := func(dropped bool, climbs, guided int) march.Fate {
		f := march.Fate{Dropped: dropped}
		f.At[sim.AtCog].Climbs, f.At[sim.AtRing].Climbs = climbs, 1
		f.At[sim.AtCog].Guided, f.At[sim.AtRing].Guided = guided, 2
		f.Drop.At, f.Drop.To = sim.AtCog, "the axle"
		return f
	}
	trials := march.Trials{Runs: 4, Turns: 2, Angles: []float64{0.25 * turn, math.Inf(1), 0.75 * turn, math.Inf(1)}, Median: 0.75 * turn,
		Results: []march.Fate{fate(true, 3, 5), fate(false, 0, 0), fate(true, 1, 1), {}}, Cannot: []bool{false, false, false, true}}
	var d March
	d.FromTrials(trials, nil)
	m := d.Trials
	assert.Equal(t, [3]int{4, 1, 2}, [3]int{m.Runs, m.Cannot, m.Drops})
	assert.Equal(t, []MarchCount{{0.5, 1}, {1, 2}, {2, 2}}, m.Within, "ten turns were not marched")
	assert.Equal(t, 270.0, *m.Median)
	require.Len(t, m.Each, 4)
	quarter := 90.0
	assert.Equal(t, MarchTrial{Trial: 0, Set: 0, Dropped: true, Crank: &quarter, At: "cog", Falls: "the axle", Climbs: 4, Guided: 7}, m.Each[0])
	assert.Equal(t, MarchTrial{Trial: 1, Set: 1, Climbs: 1, Guided: 2}, m.Each[1])
	assert.Equal(t, MarchTrial{Trial: 3, Set: 3, Cannot: true}, m.Each[3])
	assert.Equal(t, []string{"0", "0", "false", "true", "90", "cog", "the axle", "4", "7", "", ""}, d.TrialRows()[0])

	trials.Turns, trials.Median = 1, math.Inf(1)
	d.FromTrials(trials, nil)
	assert.Equal(t, []MarchCount{{0.5, 1}, {1, 2}}, d.Trials.Within, "a horizon at the end is told once")
	assert.Nil(t, d.Trials.Median)
	assert.Empty(t, (&March{}).TrialRows())
}

// A gear's run by hand: events of a wheel, and of them a turn.
func TestRunByHand(t *testing.T) {
	r := march.Fate{Turned: 4 * math.Pi, Parts: []sim.Part{sim.AtRing, sim.AtCog}}
	r.At[sim.AtCog].Arrivals, r.At[sim.AtCog].Guided, r.At[sim.AtCog].Climbs, r.At[sim.AtCog].FallsBack = 90, 8, 3, 1
	r.Deepest[sim.AtCog] = 0.7
	var d March
	d.FromRun(203, &sim.Gear{}, r)
	assert.Equal(t, uint64(3), d.Run.Set, "203 is the third of 200 versions again")
	assert.Equal(t, 720.0, d.Run.Turned)
	assert.Nil(t, d.Run.Drop)
	assert.Equal(t, []MarchTally{{At: "ring"}, {At: "cog", Arrivals: 90, Guided: 8, Climbs: 3, FallsBack: 1, GuidedPerTurn: 4, ClimbsPerTurn: 1.5, Deepest: 0.7}}, d.Run.Wheels)
	d = March{}
	r.Turned = 0
	d.FromRun(0, &sim.Gear{}, r)
	assert.Zero(t, d.Run.Wheels[1].GuidedPerTurn)
}

// Of many events the first are shown, or where the chain drops the last, which lead to it; in full with a
// note of how many more there are.
func TestEventsShown(t *testing.T) {
	for _, c := range []struct {
		events, leftOut int
		dropped, all    bool
		first, rows     int
		note            string
	}{
		{0, 0, false, false, 0, 0, ""},
		{fewLines, 0, true, false, 0, fewLines, ""},
		{fewLines + 1, 0, true, false, 1, fewLines, ""},
		{fewLines + 1, 0, false, false, 0, fewLines, ""},
		{mostLines, 0, true, true, 0, mostLines, ""},
		{mostLines, 3, true, true, 0, mostLines, "and 3 more"},
		{mostLines + 2, 3, true, true, 0, mostLines, "and 5 more"},
		{2, 5, false, false, 0, 2, ""},
	} {
		d := March{Run: MarchRun{Dropped: c.dropped, LeftOut: c.leftOut}}
		for i := range c.events {
			d.Run.Events = append(d.Run.Events, MarchEvent{Event: march.Climbs.String(), Crank: float64(i), Offset: -0.5})
		}
		table := d.eventTable(c.all)
		if c.rows == 0 {
			assert.Nil(t, table)
			continue
		}
		require.Len(t, table.Rows, c.rows, "%+v", c)
		assert.Equal(t, num(ptr(float64(c.first)))+".0", table.Rows[0][0], "%+v", c)
		assert.Equal(t, "-0.50", table.Rows[0][5])
		if c.note == "" {
			assert.Empty(t, table.Notes, "%+v", c)
		} else {
			assert.Contains(t, table.Notes[c.rows-1], c.note, "%+v", c)
		}
	}
}

func ptr(x float64) *float64 { return &x }
