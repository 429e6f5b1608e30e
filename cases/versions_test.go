package cases

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/judge"
)

func own[T any](x *T) *T {
	if x == nil {
		return nil
	}
	y := *x
	return &y
}

// altered returns a bike of its own with other dimensions.
func altered(b *sim.Bike, alter func(b *sim.Bike)) *sim.Bike {
	c := *b
	c.Rings, c.Cogs = slices.Clone(b.Rings), slices.Clone(b.Cogs)
	c.Tensioner, c.Tyre = own(b.Tensioner), own(b.Tyre)
	alter(&c)
	return &c
}

// alteration draws a change of dimensions; the stress is 1 for one that somebody would make.
func alteration(rng *rand.Rand, stress float64) func(b *sim.Bike) {
	u := func(most float64) float64 { return stress * most * (2*rng.Float64() - 1) }
	ring, cog, stay, drop, cage, wider := u(5), u(2), u(10), u(8), u(5), u(6)
	torque, spring, drag := math.Exp(u(0.4)), u(60), u(60)
	return func(b *sim.Bike) {
		for i := range b.Rings {
			b.Rings[i].Line += ring
		}
		for i := range b.Cogs {
			b.Cogs[i].Line += cog
		}
		b.Frame.Drop += drop
		b.Load.Torque, b.Load.FreehubDrag = b.Load.Torque*torque, max(b.Load.FreehubDrag+drag, 0)
		if b.Tensioner != nil {
			b.Frame.Stay += stay
			b.Tensioner.Cage += cage
			b.Tensioner.Spring += spring
		}
		if b.Tyre != nil {
			b.Tyre.Width += wider
		}
	}
}

// differing is by how much answers by versions differ most from those of every version's own bike.
type differing struct {
	chance [sim.NumConcerns]float64
	size   [sim.NumConcerns]float64 // of its 5, 50 and 95 % points, where the last is within 4 of the edge
	gears  int
	anew   int
	judged int
}

// ownBikes compares a design by versions with every version's own bike, altered alike and judged
// by itself.
func (a *differing) ownBikes(t require.TestingT, c *Case, alter func(b *sim.Bike), links int) bool {
	v, err := c.prepare(true)
	require.NoError(t, err)
	sets, err := c.starts()
	require.NoError(t, err)
	d, err := c.Draws()
	require.NoError(t, err)
	design := altered(v.Base, alter)
	if design.Validate() != nil || c.takesUp(design, v.Links+links) != nil {
		return false
	}
	n := len(v.Base.Rings) * len(v.Base.Cogs)
	var o sim.Odds
	o.Sizes = make([]sim.Sizes, n)
	one, got, want := make([]sim.Chances, n), make([]sim.Chances, n), make([]sim.Chances, n)
	sizes := [2][]sim.Sizes{}
	made := 0
	require.NoError(t, v.Judge([]sim.Design{{Bike: design, Links: v.Links + links}}, true, func(_, _, set int, chances []sim.Chances, s []sim.Sizes, err error) {
		x, failed := d.version(sets[set])
		require.NoError(t, failed)
		own := altered(x.Bike, alter)
		if own.Tensioner != nil { // drawn about the design's, and made to take up the chain
			own.Tensioner.Cage = x.Bike.Tensioner.Cage + design.Tensioner.Cage - v.Base.Tensioner.Cage
		}
		require.NoError(t, c.takesUp(own, x.Links+links))
		failed = o.Gears(one, own, x.Free, x.Links+links)
		require.Equal(t, failed == nil, err == nil)
		if err != nil {
			return
		}
		made++
		sets[set].shift(one, len(own.Rings))
		for g := range one {
			for k := range one[g] {
				got[g][k], want[g][k] = got[g][k]+chances[g][k], want[g][k]+one[g][k]
			}
		}
		sizes[0], sizes[1] = append(sizes[0], s...), append(sizes[1], o.Sizes...)
	}))
	if made == 0 {
		return false
	}
	for g := range got {
		for k := range got[g] {
			if want[g][k] < 0 {
				require.Equal(t, want[g][k], got[g][k])
				continue
			}
			a.chance[k] = math.Max(a.chance[k], math.Abs(got[g][k]-want[g][k])/float64(made))
			var p [2]judge.Size
			for i := range p {
				var all []float64
				for j := g; j < len(sizes[i]); j += n {
					all = append(all, sizes[i][j][k])
				}
				p[i] = judge.PointsOf(all)
			}
			if p[1][2] > -4 {
				for i := range p[0] {
					a.size[k] = math.Max(a.size[k], math.Abs(p[0][i]-p[1][i]))
				}
			}
		}
	}
	a.gears += n
	all := v.Parts[0].Of // one core has them all
	a.anew, a.judged = a.anew+all.Anew, a.judged+all.Judged
	return true
}

func (a *differing) String() (s string) {
	for k := range a.chance {
		s += fmt.Sprintf("\n%-20s %.1e %.1e %s", sim.Concern(k), a.chance[k], a.size[k], sim.Hazards[k].Unit)
	}
	return fmt.Sprintf("%d gears, %d of %d laid anew%s", a.gears, a.anew, a.judged, s)
}

// sizeOff is how far a size that is near its edge may be off, in its unit. Pulls of a top run that
// is near slack, with the cage near its folded stop, are told less exactly; what is nearer to slack than half a newton is laid anew.
func sizeOff(k sim.Concern) float64 {
	switch k {
	case sim.TopSlackBackwards:
		return 0.8
	case sim.DropRiding:
		return 0.025
	}
	return 0.02
}

// Designs of every shipped case are judged by versions as by every version's own bike: the case
// itself exactly, others within 0.005 in a chance, and in a size where it is near its edge within sizeOff.
func TestDesignsAreJudgedAsOwnBikes(t *testing.T) {
	rng := rand.New(rand.NewPCG(25, 1))
	var self, near differing
	names := Shipped()
	if testing.Short() {
		names = []string{"trail", "road", "idler", "fixed"}
	}
	for _, name := range names {
		c, err := Load(name, nil)
		require.NoError(t, err)
		require.True(t, self.ownBikes(t, c, func(*sim.Bike) {}, 0))
		for range few(2, 12) {
			near.ownBikes(t, c, alteration(rng, 1), 0)
		}
	}
	for k := range self.chance {
		assert.Less(t, self.chance[k], 1e-9, sim.Concern(k))
		assert.Less(t, self.size[k], 1e-9, sim.Concern(k))
	}
	t.Log(&near)
	for k := range near.chance {
		assert.LessOrEqual(t, near.chance[k], 0.005, sim.Concern(k))
		assert.LessOrEqual(t, near.size[k], sizeOff(sim.Concern(k)), sim.Concern(k))
	}
}

// The same of ordinary bicycles by lot, of changes that somebody would make and of three times
// those, with up to four links more or fewer.
func TestDesignsOfAnyBicycleAreJudgedAsOwnBikes(t *testing.T) {
	rng := rand.New(rand.NewPCG(25, 2))
	var usual, stressed differing
	bikes := few(10, 100)
	if testing.Short() {
		bikes = 4
	}
	for i := range bikes {
		c := anyBicycle(rng, i).parse(t)
		usual.ownBikes(t, c, alteration(rng, 1), 0)
		links := 0
		if i%5 > 0 {
			links = 2 * (rng.IntN(5) - 2)
		}
		stressed.ownBikes(t, c, alteration(rng, 3), links)
	}
	for _, a := range []*differing{&usual, &stressed} {
		t.Log(a)
		for k := range a.chance {
			assert.LessOrEqual(t, a.chance[k], 0.005, sim.Concern(k))
			assert.LessOrEqual(t, a.size[k], sizeOff(sim.Concern(k)), sim.Concern(k))
		}
	}
}

// What was asked before changes no bit of an answer.
func TestAnswersDoNotDependOnThoseBefore(t *testing.T) {
	for _, name := range []string{"trail", "road"} {
		c, err := Load(name, nil)
		require.NoError(t, err)
		asked, err := c.Prepare()
		require.NoError(t, err)
		for _, shift := range []float64{-7, 2.5, 11, -0.3, 0} {
			got, err := asked.Means(asked.Along([]float64{shift}))
			require.NoError(t, err)
			fresh, err := c.prepare(true)
			require.NoError(t, err)
			want, err := fresh.Means(fresh.Along([]float64{shift}))
			require.NoError(t, err)
			assert.Equal(t, want, got, "%s moved by %g", name, shift)
		}
	}
}

// A design of another chain or of other teeth is not judged by these versions.
func TestOtherBikesAreRefused(t *testing.T) {
	c, err := Load("trail", nil)
	require.NoError(t, err)
	v, err := c.Prepare()
	require.NoError(t, err)
	for what, alter := range map[string]func(b *sim.Bike){
		"chain": func(b *sim.Bike) { b.Chain.Width += 0.1 },
		"teeth": func(b *sim.Bike) { b.Rings[0].Teeth += 2 },
		"tip":   func(b *sim.Bike) { b.Cogs[3].TipHeight += 0.1 },
		"cogs":  func(b *sim.Bike) { b.Cogs = b.Cogs[1:] },
		"tyre":  func(b *sim.Bike) { b.Tyre = nil },
		"drive": func(b *sim.Bike) { b.Drive = sim.Fixed },
	} {
		_, err := v.Means([]sim.Design{{Bike: altered(v.Base, alter), Links: v.Links}})
		assert.ErrorIs(t, err, sim.ErrOther, what)
	}
}

// The same of sets that were learned.
func TestDesignsOfALearnedBikeAreJudgedAsOwnBikes(t *testing.T) {
	text, err := ShippedText("trail")
	require.NoError(t, err)
	c := taught(t, string(text), "32/51: noise", "32/51 backwards: off 7 of 10", "32/10: quiet").Case
	require.NotNil(t, c.Learned)
	rng := rand.New(rand.NewPCG(25, 3))
	var a differing
	for range few(2, 8) {
		a.ownBikes(t, c, alteration(rng, 1), 0)
	}
	t.Log(&a)
	for k := range a.chance {
		assert.LessOrEqual(t, a.chance[k], 0.005, sim.Concern(k))
		assert.LessOrEqual(t, a.size[k], sizeOff(sim.Concern(k)), sim.Concern(k))
	}
}
