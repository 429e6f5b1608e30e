package cases

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/decide"
	"chainpath/sim/indexing"
)

// plantedCauses are what is wrong with the invented bikes, by turns.
var plantedCauses = []decide.Cause{decide.AsMeasured, decide.LineOff, decide.ChainLength, decide.FreehubDrag, decide.BadCog, decide.StiffLink, decide.WornChain,
	decide.OfFault(indexing.BentHanger), decide.OfFault(indexing.WrongSpacer), decide.OfFault(indexing.Setting), decide.OfFault(indexing.WrongPull), decide.NotModelled}

// inventedBike is one by lot, with derailleur.
func inventedBike(rng *rand.Rand) string {
	pick := func(list ...string) string { return list[rng.IntN(len(list))] }
	return fmt.Sprintf("chainpath: 1\nspeeds: %s\nframe: {stay: %d, drop: %d}\nfront: {line: %.1f ± 0.5, rings: %s}\nrear: {line: %.1f ± 0.5, cogs: %s}\n",
		"11", 410+rng.IntN(45), 40+rng.IntN(35), 45+7*rng.Float64(), pick("[32]", "[34]", "[40]", "[34, 50]"), 43+2.5*rng.Float64(), pick("[11, 13, 15, 17, 19, 21, 24, 27, 31, 35, 40]", "[11, 12, 13, 14, 16, 18, 20, 22, 25, 28, 32]", "[10, 12, 14, 16, 18, 21, 24, 28, 33, 39, 45]"))
}

// mechanic tells what a bike does: complaints by gear, and of shifts.
type mechanic struct {
	t     *testing.T
	rng   *rand.Rand
	c     *Case
	b     *sim.Bike
	gears map[complaintOf]map[int]bool
}

type complaintOf struct {
	what decide.Complaint
	way  sim.Direction
}

// does notes what a bike's chances make happen.
func (m *mechanic) does(all []sim.Chances) {
	for g := range all {
		for k := range sim.NumConcerns {
			h := &sim.Hazards[k]
			if len(h.Symptoms) == 0 || !all[g].Is(sim.Concern(k)) || all[g][k] < 0.5 {
				continue
			}
			way := sim.Riding
			if !h.Ways[way] {
				way = sim.Backwards
			}
			m.note(decide.Complaint(h.Symptoms[0]), way, g)
		}
	}
}

func (m *mechanic) note(what decide.Complaint, way sim.Direction, g int) {
	k := complaintOf{what, way}
	if m.gears[k] == nil {
		m.gears[k] = map[int]bool{}
	}
	m.gears[k][g] = true
}

// onCogs notes a complaint on some cogs, on every ring.
func (m *mechanic) onCogs(what decide.Complaint, way sim.Direction, from, to int) {
	n := len(m.b.Cogs)
	for r := range m.b.Rings {
		for k := max(0, from); k <= min(to, n-1); k++ {
			m.note(what, way, r*n+k)
		}
	}
}

// symptoms is what was noted; one that is everywhere names every gear.
func (m *mechanic) symptoms() (out []decide.Symptom) {
	for _, what := range decide.Complaints {
		for _, way := range []sim.Direction{sim.Riding, sim.Backwards} {
			if at := m.gears[complaintOf{what, way}]; len(at) > 0 {
				s := decide.Symptom{Complaint: what, Direction: way, Gears: map[[2]int]bool{}}
				for g := range at {
					s.Gears[[2]int{g / len(m.b.Cogs), g % len(m.b.Cogs)}] = true
				}
				out = append(out, s)
			}
		}
	}
	return out
}

// truth draws one version of the case with the rings moved, other links and another drag, and what it does.
func (m *mechanic) truth(version uint64, moved float64, links int, drag float64) ([]sim.Chances, bool) {
	c := m.c.clone()
	if drag > 0 {
		c.Load.FreehubDrag = Q(drag)
	}
	d, err := c.Draws()
	require.NoError(m.t, err)
	b, f, err := d.Trial(77, version)
	if err != nil {
		return nil, false
	}
	n, err := d.Chain(b)
	if err != nil {
		return nil, false
	}
	move(b.Rings, moved)
	all := make([]sim.Chances, len(b.Rings)*len(b.Cogs))
	return all, new(sim.Odds).Gears(all, b, f, n+links) == nil
}

// plant does what a cause does to an invented bike, by other numbers than it is looked for with.
func (m *mechanic) plant(cause decide.Cause, version uint64) bool {
	rng, n := m.rng, len(m.b.Cogs)
	either := func(x float64) float64 { return x * float64(1-2*rng.IntN(2)) }
	moved, links, drag := 0.0, 0, 0.0
	switch cause {
	case decide.LineOff:
		moved = either(2.5 + 2.5*rng.Float64())
	case decide.ChainLength:
		links = 2 * (1 + rng.IntN(3)) * (1 - 2*rng.IntN(2))
	case decide.FreehubDrag:
		drag = 0.4 + rng.Float64()
	}
	all, is := m.truth(version, moved, links, drag)
	if !is {
		return false
	}
	m.does(all)
	switch cause {
	case decide.BadCog:
		k := rng.IntN(n)
		m.onCogs(decide.Skips, sim.Riding, k, k)
		if rng.IntN(2) == 0 {
			m.onCogs(decide.Noise, sim.Riding, k, k)
		}
	case decide.StiffLink:
		m.onCogs(decide.Skips, sim.Riding, 0, 1+rng.IntN(5))
		if rng.IntN(2) == 0 {
			m.onCogs(decide.Noise, sim.Riding, 0, 1+rng.IntN(3))
		}
		if rng.IntN(3) == 0 {
			m.onCogs(decide.LooseTop, sim.Backwards, 0, n)
		}
	case decide.WornChain:
		k := rng.IntN(n - 2)
		m.onCogs(decide.Skips, sim.Riding, k, k+1+rng.IntN(2))
	case decide.NotModelled:
		for g := range len(m.b.Rings) * n {
			if rng.IntN(2) == 0 {
				m.note([]decide.Complaint{decide.Noise, decide.Skips, decide.Drop}[rng.IntN(3)], sim.Riding, g)
			}
		}
	}
	if cause == decide.AsMeasured {
		return len(m.gears) > 0
	}
	if f, is := cause.Fault(); is {
		return m.shifts(f)
	}
	without := &mechanic{c: m.c, b: m.b, t: m.t, gears: map[complaintOf]map[int]bool{}}
	if all, is = m.truth(version, 0, 0, 0); is {
		without.does(all)
	}
	return fmt.Sprint(without.symptoms()) != fmt.Sprint(m.symptoms()) // it is felt
}

// shifts tells of every shift how often it was late with a fault, of ten tries, and what happened before.
func (m *mechanic) shifts(f indexing.Fault) bool {
	base := new(indexing.Rear)
	m.b.Rear(base)
	draw := indexing.Draws(ShiftSets(), len(m.b.Cogs), 200)[m.rng.IntN(200)]
	p := f.Draw(base, m.b.Around(), m.rng)
	p.Into(base)
	var margins indexing.Margins
	margins.Of(base, draw)
	for _, x := range indexing.Shifts(len(m.b.Cogs)) {
		late := 0
		for range 10 {
			if m.rng.Float64() < indexing.Late(margins.Own(x)) {
				late++
			}
		}
		o := Observation{Gears: fmt.Sprintf("*/%d>%d", m.b.Cogs[x.From()].Teeth, m.b.Cogs[x.To()].Teeth), What: "late", Off: late, Of: 10}
		require.NoError(m.t, m.c.AddSeen(o))
	}
	switch f {
	case indexing.BentHanger:
		m.c.Symptoms = append(m.c.Symptoms, Symptom{What: string(decide.AfterCrash)})
	case indexing.WrongSpacer:
		m.c.Symptoms = append(m.c.Symptoms, Symptom{What: string(decide.AfterWheel)})
	}
	return margins.Least() < 0
}

// Faults planted in invented bikes, told by a mechanic who tries every gear and every shift: the right cause
// is the first in most, and among the first three in four of five.
func TestPlantedCausesAreFound(t *testing.T) {
	if testing.Short() {
		t.Skip("judges many bikes")
	}
	each := few(3, 17)
	var first, three, all int
	for _, cause := range plantedCauses {
		rng := rand.New(rand.NewPCG(uint64(cause), 411))
		own := [3]int{}
		for n := 0; n < each; {
			c := mustParse(t, inventedBike(rng))
			b, err := c.Bike()
			require.NoError(t, err)
			m := &mechanic{t: t, rng: rng, c: c, b: b, gears: map[complaintOf]map[int]bool{}}
			if !m.plant(cause, rng.Uint64N(200)) {
				continue
			}
			n++
			got, err := c.Causes(b, m.symptoms())
			require.NoError(t, err)
			sum := 0.0
			for _, r := range got {
				sum += r.Share
				assert.True(t, r.Share > 0 && r.Share < 1)
			}
			assert.InDelta(t, 1, sum, 0.1)
			at := slices.IndexFunc(got, func(r decide.Ranked) bool { return r.Cause == cause })
			if own[2]++; at == 0 {
				own[0]++
			}
			if at >= 0 && at < 3 {
				own[1]++
			}
		}
		t.Logf("%-14s first %d, among three %d of %d", cause.Code(), own[0], own[1], own[2])
		first, three, all = first+own[0], three+own[1], all+own[2]
	}
	t.Logf("first %d, among three %d of %d", first, three, all)
	if long { // few bikes tell little
		assert.GreaterOrEqual(t, 5*first, 3*all)
		assert.GreaterOrEqual(t, 5*three, 4*all)
	}
	assert.GreaterOrEqual(t, 5*first, 2*all)
	assert.GreaterOrEqual(t, 5*three, 3*all)
}
