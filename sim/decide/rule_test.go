package decide

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"chainpath/sim"
)

// design is one of some gears without a fault, all ridden alike.
func design(gears int) Design {
	d := Design{Chances: make([]sim.Chances, gears), Share: make([]float64, gears)}
	for g := range d.Share {
		d.Share[g] = 1 / float64(gears)
	}
	return d
}

var nothing = Carried{Most: 1}

// A fault by itself is named from a chance of a half, or a fifth where it can throw the rider, and
// where it weighs enough; in gears that are used alone.
func TestFaultsThatAreNamed(t *testing.T) {
	r := UsualRule()
	d := design(4)
	assert.Empty(t, r.Faults(&d, &nothing))
	d.Chances[3][sim.NoiseRiding] = 0.49
	assert.Empty(t, r.Faults(&d, &nothing))
	d.Chances[3][sim.NoiseRiding] = 0.5
	f := r.Faults(&d, &nothing)
	assert.Equal(t, []Named{{Of: sim.NoiseRiding, Gears: []int{3}, Complaint: -1, Most: 0.5, Burden: 0.125}}, f)
	d.Chances[0][sim.RubsTyreAt] = 0.2
	f = r.Faults(&d, &nothing)
	assert.Equal(t, sim.RubsTyreAt, f[0].Of, "0.2 · 5 / 4 weighs more")
	assert.True(t, f[0].Contact())
	assert.False(t, f[1].Contact())
	d.Share = []float64{0, 0.5, 0.5, 0}
	assert.Empty(t, r.Faults(&d, &nothing), "gears that nobody uses")
	d.Share = []float64{0, 0.47, 0.45, 0.08}
	assert.Empty(t, r.Faults(&d, &nothing), "0.08 · 0.5 is too little")
	assert.Empty(t, r.Danger(&d).Gears)
	d.Chances[0][sim.RubsTyreAt] = 0.6
	assert.Equal(t, []int{0}, r.Danger(&d).Gears, "a look costs nothing, however little the gear is used")
}

// A complaint is explained from 0.35, by the likeliest fault that can be behind it, in all its gears.
func TestComplaintsThatAreExplained(t *testing.T) {
	r := UsualRule()
	d := design(3)
	d.Chances[0][sim.NoiseRiding], d.Chances[1][sim.RubsNextCog], d.Chances[2][sim.DropRiding] = 0.3, 0.34, 0.9
	behind := []sim.Concern{sim.NoiseRiding, sim.RubsNextCog}
	f, ok := r.Explained(&d, &nothing, behind, []int{0, 1}, 2)
	assert.False(t, ok)
	assert.Equal(t, sim.RubsNextCog, f.Of)
	d.Chances[1][sim.RubsNextCog] = 0.35
	f, ok = r.Explained(&d, &nothing, behind, []int{0, 1}, 2)
	assert.True(t, ok)
	assert.Equal(t, Named{Of: sim.RubsNextCog, Gears: []int{0, 1}, Told: true, Complaint: 2, Most: 0.35, Burden: f.Burden}, f)
	assert.InDelta(t, 2*0.35/3, f.Burden, 1e-12)
	_, ok = r.Explained(&d, &nothing, nil, []int{0}, 0)
	assert.False(t, ok, "nothing in the model can be behind it")
}

// A change has to halve the fault, surely, for less than it is worth, and may bring little of its
// own; each bound by itself.
func TestWhatCountsAsACure(t *testing.T) {
	r := UsualRule()
	was, is := design(2), design(2)
	was.Chances[1][sim.NoiseRiding], is.Chances[1][sim.NoiseRiding] = 0.8, 0.4
	fault := r.Faults(&was, &nothing)
	cost := Cost{Price: 50, Minutes: 30} // 70 with work at 40
	x, ok := r.Cure(&was, &is, fault, &nothing, cost, 0.8)
	assert.True(t, ok)
	assert.InDelta(t, 0.5, x.Left, 1e-12)
	assert.InDelta(t, 0.2, x.Avoided, 1e-12)
	assert.InDelta(t, 0.2*400-70, x.Net, 1e-9)
	assert.True(t, x.Below)
	_, ok = r.Cure(&was, &is, fault, &nothing, cost, 0.79)
	assert.False(t, ok, "not surely")
	_, ok = r.Cure(&was, &is, fault, &nothing, Cost{Price: 61, Minutes: 30}, 1)
	assert.False(t, ok, "too dear")
	told := []Named{fault[0]}
	told[0].Told = true
	x, ok = r.Cure(&was, &is, told, &nothing, Cost{Price: 61, Minutes: 30}, 1)
	assert.True(t, ok, "what was complained of is worth more")
	assert.InDelta(t, (0.2+0.5*0.5)*800-81, x.Net, 1e-9)
	is.Chances[1][sim.NoiseRiding] = 0.41
	_, ok = r.Cure(&was, &is, fault, &nothing, cost, 1)
	assert.False(t, ok, "more than half is left")
	is.Chances[1][sim.NoiseRiding] = 0.1
	is.Chances[0][sim.NoiseRiding] = 0.35 // 0.175 of a gain of 0.175
	_, ok = r.Cure(&was, &is, fault, &nothing, Cost{}, 1)
	assert.False(t, ok, "as much comes in another gear")
	is.Chances[0][sim.NoiseRiding] = 0
	is.Chances[0][sim.DropRiding] = 0.11
	_, ok = r.Cure(&was, &is, fault, &nothing, Cost{}, 1)
	assert.False(t, ok, "it may come off when riding")
	was.Chances[0][sim.DropRiding] = 0.07
	_, ok = r.Cure(&was, &is, fault, &nothing, Cost{}, 1)
	assert.True(t, ok, "as it nearly did before")
	short := design(1)
	_, ok = r.Cure(&was, &short, fault, &nothing, Cost{}, 1)
	assert.False(t, ok, "other gears are not compared")
}

// Shares of time where nobody says them: about a ratio of 2, none in crossed gears whose work another
// chainring does.
func TestUsualShares(t *testing.T) {
	w := UsualShares([]int{32}, []int{10, 16, 51})
	assert.InDelta(t, 1, w[0]+w[1]+w[2], 1e-12)
	assert.True(t, w[1] > w[0] && w[0] > w[2], "32/16 is 2")
	assert.Equal(t, []float64{1}, UsualShares([]int{46}, []int{17}))
	low := UsualShares([]int{20}, []int{20, 30, 40})
	assert.True(t, low[1] > low[0] && low[1] > low[2], "the middle gear, where 2 is beyond them")
	rings, cogs := []int{34, 50}, []int{11, 13, 15, 17, 19, 21, 24, 27, 30}
	spare := Spare(rings, cogs)
	w = UsualShares(rings, cogs)
	for g := range spare {
		crossed := g < 3 || g >= 2*9-3
		assert.Equal(t, crossed, spare[g], g)
		assert.Equal(t, spare[g], w[g] == 0, g)
	}
	assert.Equal(t, 9+2, Instead(rings, cogs, 0)-1, "50/17 for 34/11") // 3.09: 50/15 3.33, 50/17 2.94
	for _, s := range Spare([]int{16, 60}, cogs) {
		assert.False(t, s, "no other chainring is near")
	}
	assert.Equal(t, 0, Instead([]int{34}, cogs, 0))
}
