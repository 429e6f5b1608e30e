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
)

// complainOf is a complaint of a concern in some gears.
func complainOf(k sim.Concern, gears ...int) []Complained {
	return []Complained{{Behind: []sim.Concern{k}, Gears: gears}}
}

// likeliest is the likeliest of the faults that moving parts may cure, with its gear; of gears whose
// work no other chainring does.
func likeliest(t *testing.T, c *Case) (k sim.Concern, gear int) {
	chances, err := c.Chances()
	require.NoError(t, err)
	most, spare := 0.0, decide.Spare(c.Front.Rings, c.Rear.Cogs)
	for g := range chances {
		for _, x := range []sim.Concern{sim.NoiseRiding, sim.DropBackwards} {
			if p := chances[g][x]; p > most && !spare[g] {
				most, k, gear = p, x, g
			}
		}
	}
	return k, gear
}

// Invented bicycles whose chainring sits 4 to 9 mm aside, each complained of what the model believes most: where its rooms are known, no
// advice brings parts against each other on more than 5 of 100 versions, and each tells what is left;
// where they are not, each tells what to measure first, and how much it has to be.
func TestNoAdviceTouches(t *testing.T) {
	ofNumbers(t)
	bikes := few(12, 200)
	if testing.Short() {
		bikes = 6
	}
	told := map[bool]int{}
	measured := 0
	for i := range bikes {
		rng := rand.New(rand.NewPCG(41, uint64(i)))
		open := anyBicycle(rng, i).parse(t).clone()
		require.NoError(t, open.moveLine("front.line", []float64{-1, 1}[i%2]*(4+5*rng.Float64())))
		known := open
		for path, value := range map[string]string{
			"chainstay.gap": fmt.Sprintf("%.1f", 3+8*rng.Float64()), "rear.dropout_gap": fmt.Sprintf("%.1f", 2+4*rng.Float64()),
			"brake_rotor": fmt.Sprintf("{line: %.1f, radius: 70}", 8+4*rng.Float64()), "tyre.size": "47-622",
		} {
			next, err := known.Set(path, value)
			if err != nil { // the bicycle has another way to say it
				continue
			}
			known = next
		}
		for _, c := range []*Case{open, known} {
			b, err := c.Bike()
			require.NoError(t, err)
			k, gear := likeliest(t, c)
			a, err := c.Advise(decide.UsualRule(), nil, complainOf(k, gear))
			require.NoError(t, err)
			for _, x := range a.Cures {
				told[c == known]++
				if c == known || b.Stay != nil {
					for g := range x.Result.Chances {
						for _, at := range touching {
							assert.LessOrEqual(t, x.Result.Chances[g][at], max(mostTouch, a.Before.Chances[g][at]+1e-9), "%d: %s: %s", i, x.Name, at)
						}
					}
				}
				in, out := b.RingFace()-x.Result.Bike.RingFace(), x.Result.Bike.CogFace()-b.CogFace()
				for _, r := range []struct {
					name  string
					known bool
					by    float64
				}{{"chainstay", b.Stay != nil, in}, {"dropout", b.Dropout != nil, out}} {
					at := slices.IndexFunc(x.Rooms, func(m Room) bool { return m.Name == r.name })
					switch {
					case r.by <= movedAtAll:
					case r.known:
						assert.Equal(t, -1, at, "%d: %s: %s", i, x.Name, r.name)
						assert.True(t, slices.ContainsFunc(x.Known, func(m Kept) bool { return m.Name == r.name && m.Left > 0 && m.Touch <= mostTouch }), x.Name)
					default:
						measured++
						require.GreaterOrEqual(t, at, 0, "%d: %s: %s", i, x.Name, r.name)
						assert.Greater(t, x.Rooms[at].Least, r.by+0.5, "%d: %s", i, x.Name)
						assert.Less(t, x.Rooms[at].Least, r.by+4, "%d: %s", i, x.Name)
					}
				}
			}
		}
	}
	t.Log(told[true], "cures with rooms known,", told[false], "without,", measured, "to be measured first")
	assert.Positive(t, told[true])
	assert.Positive(t, measured)
}

// The room that is asked for is where parts touch on 5 of 100 versions: less is more, by the bike
// with that room in it.
func TestRoomThatIsAskedFor(t *testing.T) {
	c, err := Load("trail", nil)
	require.NoError(t, err)
	c.Chainstay = nil
	w, _, err := c.adviser(decide.UsualRule(), nil)
	require.NoError(t, err)
	need := w.need("chainstay")
	assert.InDelta(t, 2.1, need, 0.3)
	for off, over := range map[float64]bool{-0.3: true, 0.3: false} {
		x, err := c.Set("chainstay.gap", fmt.Sprintf("%.1f", need+off))
		require.NoError(t, err)
		chances, err := x.Chances()
		require.NoError(t, err)
		most := 0.0
		for g := range chances {
			most = max(most, chances[g][sim.MeetsStay])
		}
		assert.Equal(t, over, most > mostTouch, "%g mm: %g", need+off, most)
	}
}

// What reads wrong comes first where it bears on the complaint, and is no verdict where it does not.
func TestWhatReadsWrongComesFirst(t *testing.T) {
	ofNumbers(t)
	c, err := Load("trail", nil)
	require.NoError(t, err)
	c.Symptoms = nil
	bent, err := c.Set("tensioner.hanger", "{lean: -2, toe: 0}")
	require.NoError(t, err)
	shifts := []Complained{{Symptom: decide.Symptom{Complaint: decide.SlowToLarger}, Shifts: true}}
	a, err := bent.Advise(decide.UsualRule(), nil, shifts)
	require.NoError(t, err)
	assert.Equal(t, PutRight, a.Verdict)
	require.NotNil(t, a.Do)
	assert.Equal(t, straightHanger, a.Do.Name)
	assert.Equal(t, 15.0, a.Do.Cost.Minutes)
	rule := decide.UsualRule()
	rule.Readings = false
	a, err = bent.Advise(rule, nil, shifts)
	require.NoError(t, err)
	assert.Equal(t, NotExplained, a.Verdict, "the chainline has no part in shifts")
	a, err = bent.Advise(decide.UsualRule(), nil, []Complained{})
	require.NoError(t, err)
	assert.NotEqual(t, PutRight, a.Verdict, "nothing is complained of")
	require.Len(t, a.Wrong, 1)
	assert.False(t, a.Wrong[0].Bears)
	for path, value := range map[string]string{"rear.spacers": "[0, 0, 0.3, 0, 0, 0, 0, 0, 0, 0, 0]", "tensioner.set_at": "47"} {
		wrong, err := c.Set(path, value)
		require.NoError(t, err)
		a, err := wrong.Advise(decide.UsualRule(), nil, shifts)
		require.NoError(t, err)
		assert.Equal(t, PutRight, a.Verdict, path)
		require.NotNil(t, a.Do, path)
		assert.Equal(t, map[string]string{"rear.spacers": evenCassette, "tensioner.set_at": setCableHere}[path], a.Do.Name)
	}
	for path, x := range map[string][2]string{
		"tensioner.index_error": {"-0.5", setCable}, "chain.slack": {"1.5", newChain}, "load.freehub_drag": {"0.5", serviceFreehub},
	} {
		wrong, err := c.Set(path, x[0])
		require.NoError(t, err)
		told := []Complained{{Symptom: decide.Symptom{Complaint: decide.Noise}, Behind: []sim.Concern{sim.NoiseRiding}, Gears: []int{0}}}
		a, err := wrong.Advise(decide.UsualRule(), nil, told)
		require.NoError(t, err)
		assert.Equal(t, PutRight, a.Verdict, path)
		require.NotNil(t, a.Do, path)
		assert.Equal(t, x[1], a.Do.Name)
	}
}

// A gear that another chainring does the work of is left alone before anything is bought, but not one
// that the chain is too short for.
func TestSpareGearIsLeftAlone(t *testing.T) {
	c, err := Load("road", nil)
	require.NoError(t, err)
	crossed := 0 // small chainring, smallest cog
	a, err := c.Advise(decide.UsualRule(), nil, complainOf(sim.RubsNextRing, crossed))
	require.NoError(t, err)
	assert.Equal(t, AvoidGear, a.Verdict)
	assert.Nil(t, a.Do)
	b, err := c.Bike()
	require.NoError(t, err)
	w, _, err := c.adviser(decide.UsualRule(), nil)
	require.NoError(t, err)
	last := len(b.Rings)*len(b.Cogs) - 1
	assert.True(t, w.spared([]decide.Named{{Of: sim.DropBackwards, Gears: []int{last}}}))
	assert.False(t, w.spared([]decide.Named{{Of: sim.DoesNotClose, Gears: []int{last}}}))
}

// The same advice, bit by bit, whatever was asked before; money that is worth more buys more, money
// that is worth nothing buys nothing.
func TestAdviceByWhatItIsWorth(t *testing.T) {
	ofNumbers(t)
	c, err := Load("trail", nil)
	require.NoError(t, err)
	a, err := c.Advise(decide.UsualRule(), nil, nil)
	require.NoError(t, err)
	again, err := c.Advise(decide.UsualRule(), nil, nil)
	require.NoError(t, err)
	assert.Equal(t, MakeChange, a.Verdict)
	assert.Equal(t, a.Do.Cure, again.Do.Cure)
	assert.Equal(t, a.Same, again.Same)
	rule := decide.UsualRule()
	rule.Worth, rule.Told = 0, 0
	none, err := c.Advise(rule, nil, nil)
	require.NoError(t, err)
	assert.Empty(t, none.Cures)
	rule.Worth, rule.Told = 4000, 8000
	more, err := c.Advise(rule, nil, nil)
	require.NoError(t, err)
	assert.GreaterOrEqual(t, len(more.Cures), len(a.Cures))
	assert.Greater(t, more.Cures[0].Cure.Net, a.Cures[0].Cure.Net)
	for _, x := range more.Cures {
		assert.Greater(t, x.Cure.Net, 0.0)
		assert.LessOrEqual(t, x.Cure.Left, 0.5)
	}
}

// BenchmarkAdvise is a whole advice, its redraws and all.
func BenchmarkAdvise(b *testing.B) {
	for _, name := range []string{"trail", "road", "single"} {
		b.Run(name, func(b *testing.B) {
			c, err := Load(name, nil)
			require.NoError(b, err)
			b.ReportAllocs()
			for b.Loop() {
				_, err := c.Advise(decide.UsualRule(), nil, nil)
				require.NoError(b, err)
			}
		})
	}
}
