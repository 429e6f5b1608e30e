package cases

import (
	"errors"
	"math"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/decide"
	"chainpath/sim/judge"
)

// doors are the ways to ask a case for what rests on a whole bike; drawn are those that take sets.
var doors = map[string]struct {
	drawn bool
	ask   func(c *Case) (any, error)
}{
	"chances":  {true, func(c *Case) (any, error) { return c.Chances() }},
	"along":    {true, func(c *Case) (any, error) { return c.ChancesAlong([]float64{0, 1}) }},
	"foresee":  {true, func(c *Case) (any, error) { return c.Foresee() }},
	"outlook":  {true, func(c *Case) (any, error) { _, err := c.Outlook([]float64{0}); return nil, err }},
	"shifting": {false, func(c *Case) (any, error) { return c.Shifting() }},
	"windows":  {true, func(c *Case) (any, error) { return c.Windows() }},
	"a line": {true, func(c *Case) (any, error) {
		a, _, err := c.Along(&decide.Walls{Front: 45}, &decide.Usual)
		return a, err
	}},
	"bends": {false, func(c *Case) (any, error) { return c.BendsAt() }},
	"seen":  {false, func(c *Case) (any, error) { return c.Seen() }},
	"learning": {false, func(c *Case) (any, error) {
		c.Symptoms = []Symptom{{What: "noise"}}
		_, err := c.Learn("v", nil)
		return nil, err
	}},
	"a pool": {false, func(c *Case) (any, error) {
		c.Symptoms = []Symptom{{What: "noise"}}
		var done atomic.Int64
		p, err := Pool([]string{"a"}, []*Case{c}, "v", &done)
		if err != nil {
			return nil, err
		}
		return p, nil
	}},
	"draws":    {false, func(c *Case) (any, error) { return c.Draws() }},
	"warnings": {false, func(c *Case) (any, error) { return c.Warnings() }},
	"usual":    {false, func(c *Case) (any, error) { return c.UsualChanges(nil) }},
	"whole":    {false, func(c *Case) (any, error) { return c.clone().whole() }},
	"candidates": {false, func(c *Case) (any, error) {
		cat, err := ParseCatalogue("p.yaml", []byte("chainpath_parts: 1\nchanges:\n  - {name: a, add: {frame.drop: 1}}\n"))
		if err != nil {
			return nil, err
		}
		return cat.For(c)
	}},
}

// A bike that cannot be is told of by every door, as a mistake of the case's file with its field,
// and nothing is answered beside it.
func TestEveryDoorTellsWhatCannotBe(t *testing.T) {
	for name, d := range doors {
		for want, spoil := range map[string]func(c *Case){
			"bike.yaml: front.rings: no chainrings, want 1 to 3":          func(c *Case) { c.Front.Rings = nil },
			"bike.yaml: rear.cogs: no cogs, want at least 1":              func(c *Case) { c.Rear.Cogs = nil },
			"bike.yaml: frame.travel: given without axle_path, want both": func(c *Case) { c.Frame.Travel = Q(9) },
			"bike.yaml: tyre: neither size nor bead_seat and section":     func(c *Case) { c.Tyre = &Tyre{} },
			"bike.yaml: spokes.rim_radius: missing":                       func(c *Case) { c.Spokes = &Spokes{} },
			"bike.yaml: load: power without cadence":                      func(c *Case) { c.Load.Power = Q(200) },
			"bike.yaml: tensioner.gaps: 1 given, want two":                func(c *Case) { c.Tensioner.Gaps = []Quantity{Q(3)} },
		} {
			if (name == "shifting" || name == "windows") && strings.Contains(want, "rear.cogs") {
				continue
			}
			c := mustParse(t, put("", "", ""))
			c.at = nil
			spoil(c)
			got, err := d.ask(c)
			var e *Error
			require.ErrorAs(t, err, &e, "%s: %s", name, want)
			assert.ErrorContains(t, err, want, name)
			assert.Empty(t, got, name)
		}
	}
}

// A learned block that cannot be used is told of by every door that takes sets.
func TestEveryDoorTellsOfABadBlock(t *testing.T) {
	for name, d := range doors {
		c := mustParse(t, put("", "", ""))
		c.Learned = &Learned{Version: learnedVersion, Gears: []int{1, 1}, From: "0123456789abcdef"}
		_, err := d.ask(c)
		if d.drawn {
			assert.ErrorContains(t, err, "learned.from: made from other shipped sets (0123456789abcdef, these are", name)
		}
		c.Learned.From = fingerprint(setsData)
		c.Learned.Sets = []string{"AAAA"}
		if _, err = d.ask(c); d.drawn {
			assert.ErrorContains(t, err, "learned.sets: damaged: not 200 sets", name)
		}
	}
	c := mustParse(t, put("", "", ""))
	d, err := c.Draws()
	require.NoError(t, err)
	d.c.Learned = &Learned{Version: learnedVersion, From: "0"}
	_, _, err = d.Trial(1, 2)
	require.ErrorContains(t, err, "made from other shipped sets")
}

// undrawn draws no version.
type undrawn struct{}

func (undrawn) Draw(int) (judge.Version, error) { return judge.Version{}, errors.New("not drawn") }
func (undrawn) CageWithin() float64             { return 0 }

// meanOver is the mean of a design over draws, dealt into parts as a case's are.
func meanOver(t *testing.T, c *Case, draws []judge.Draw, design int) ([]sim.Chances, error) {
	b, links, err := c.chained()
	require.NoError(t, err)
	v, err := judge.Prepare(judge.Source{
		Base: b, Links: links, Sets: len(draws), Explain: c.Explain, Stopped: c.Stopped,
		Drawer: func() (judge.Drawer, error) { return undrawn{}, nil },
	})
	require.NoError(t, err)
	return v.MeanOf(draws, design, &sim.Design{Bike: b, Links: links})
}

// Half of the draws must be: one less is an error that says how many cannot, with the last reason.
func TestHalfOfTheDrawsMustBe(t *testing.T) {
	c := mustParse(t, put("", "", ""))
	gears := [][]sim.Chances{make([]sim.Chances, 4)}
	mean := func(good, bad int) error {
		var draws []judge.Draw
		for range good {
			draws = append(draws, judge.Draw{Chances: gears})
		}
		for range bad {
			draws = append(draws, judge.Draw{Err: ErrSets})
		}
		_, err := meanOver(t, c, draws, 0)
		return err
	}
	require.NoError(t, mean(5, 5))
	require.NoError(t, mean(5, 0))
	err := mean(4, 6)
	require.ErrorIs(t, err, ErrSets)
	assert.ErrorContains(t, err, "6 of 10 draws cannot be")
}

// Means by hand, over draws that can be, settled; a gear that the case's chain is too short for has
// no chance but that.
func TestMeansOfDraws(t *testing.T) {
	c := mustParse(t, put("", "", ""))
	at := func(p, q float64) judge.Draw {
		g := make([]sim.Chances, 4)
		for i := range g {
			g[i][sim.NoiseRiding], g[i][sim.RubsNextCog], g[i][sim.DoesNotClose] = p, q, p
		}
		return judge.Draw{Chances: [][]sim.Chances{g, g}}
	}
	for design := range 2 {
		out, err := meanOver(t, c, []judge.Draw{at(0.2, -1), {Err: ErrSets}, at(0.6, -1)}, design)
		require.NoError(t, err)
		for _, g := range out {
			assert.InDelta(t, judge.OffTheEnds(0.4), g[sim.NoiseRiding], 1e-12)
			assert.Equal(t, -1.0, g[sim.RubsNextCog])
			assert.InDelta(t, judge.OffTheEnds(0.4), g[sim.DoesNotClose], 1e-12)
		}
	}
	c = mustParse(t, put("", "", "chain: {links: 100}"))
	out, err := meanOver(t, c, []judge.Draw{at(0.2, 0.1)}, 1)
	require.NoError(t, err)
	b, err := c.Bike()
	require.NoError(t, err)
	mounts := 0
	for g := range out {
		fit, err := b.Close(new(sim.Loop), 0, g, 100)
		require.NoError(t, err)
		if fit.Mounts() {
			mounts++
			assert.Positive(t, out[g][sim.NoiseRiding])
			continue
		}
		for k, p := range out[g] {
			assert.Equal(t, sim.Concern(k) != sim.DoesNotClose, p == -1, "gear %d %s", g, sim.Concern(k))
		}
	}
	assert.Less(t, mounts, 4)
}

// A field set to what cannot be read says so without a place, for nobody has seen that text.
func TestSetSaysWhatIsWrong(t *testing.T) {
	c := mustParse(t, put("", "", ""))
	for path, x := range map[string][2]string{
		"frame.stay":      {"wide", `bike.yaml: frame.stay: "wide" is not a length, want a number in m`},
		"frame.drop":      {"600", "bike.yaml: frame.drop: 600 mm is out of range, want -500 mm to 500 mm"},
		"front.rings":     {"8", "bike.yaml: front.rings[0]: 8 is out of range, want 9 to 120"},
		"rear.cogs":       {"11, x", `bike.yaml: rear.cogs[1]: "x" is not a whole number, want 9 to 120`},
		"front.lien":      {"1", `bike.yaml: front.lien: no case field "front.lien"`},
		"chain.links":     {"111", "bike.yaml: chain.links: 111 links is odd, want an even number"},
		"front.form":      {"round", `bike.yaml: front.form: "round", want one of plain, wide_narrow`},
		"front.line":      {"301", "bike.yaml: front.line: 301 mm is out of range, want 0 mm to 300 mm"},
		"tyre.width":      {"50", "bike.yaml: tyre: neither size nor bead_seat and section"},
		"chainstay.angle": {"4", "bike.yaml: chainstay.gap: missing"},
		"idler.held":      {"true", "bike.yaml: idler: its teeth hit the 34-tooth chainring"},
		"tensioner.stops": {"[5, 4]", "cage stops 5.0° and 4.0°, want the folded one first"},
	} {
		_, err := c.Set(path, x[0])
		var e *Error
		require.ErrorAs(t, err, &e, path)
		assert.ErrorContains(t, err, x[1])
		assert.Zero(t, e.Line, path)
		assert.Zero(t, e.Col, path)
	}
	_, err := c.Set("frame.stay", "")
	assert.ErrorContains(t, err, `frame.stay: "" is not a value`)
	_, err = c.Set("frame.stay", "{a: [")
	assert.ErrorContains(t, err, "is not a value")
	_, err = c.Unset("frame.lien")
	assert.ErrorContains(t, err, `no case field "frame.lien"`)
	_, err = c.Unset("front.line")
	assert.ErrorContains(t, err, "front: neither line nor measured")
}

// When the ring moves the stay stays where it was; when it is another one too, and what names gears
// goes then.
func TestTheStayStaysWhenTheRingChanges(t *testing.T) {
	c := mustParse(t, put("", "", "chainstay: {gap: 6}\nriding: {shares: [{ring: 34, cog: 11, share: 1}]}\nsymptoms: [{what: noise}]\nobservations: [{gears: 34/30, what: quiet}]"))
	face := func(c *Case) float64 {
		b, err := c.Bike()
		require.NoError(t, err)
		return b.Stay.Face + (60-b.Stay.Radius)*math.Tan(b.Stay.Angle)
	}
	moved, err := c.Set("front.line", "47.5")
	require.NoError(t, err)
	assert.InDelta(t, 8.5, moved.Chainstay.Gap.Value, 1e-12)
	assert.InDelta(t, face(c), face(moved), 1e-9)
	assert.NotNil(t, moved.Riding)
	assert.Len(t, moved.Symptoms, 1)
	other, err := c.Set("front.rings", "38")
	require.NoError(t, err)
	assert.InDelta(t, face(c), face(other), 1e-9)
	assert.True(t, other.Chainstay.Radius.Given)
	assert.Nil(t, other.Riding)
	assert.Empty(t, other.Symptoms)
	assert.Empty(t, other.Observations)
	one, err := c.Set("front.rings[0]", "36")
	require.NoError(t, err)
	assert.InDelta(t, face(c), face(one), 1e-9)
	assert.Nil(t, one.Riding)
	cogs, err := c.Set("rear.cogs", "12, 16, 22, 32")
	require.NoError(t, err)
	assert.False(t, cogs.Chainstay.Radius.Given)
	assert.Nil(t, cogs.Riding)
	drop, err := c.Set("frame.drop", "50")
	require.NoError(t, err)
	assert.NotNil(t, drop.Riding)
	byRatio := mustParse(t, put("", "", "riding: {ratio: 2, spread: 1.5}"))
	other, err = byRatio.Set("front.rings", "38")
	require.NoError(t, err)
	assert.NotNil(t, other.Riding, "a ratio names no gear")
	assert.Nil(t, other.Chainstay)
}

// Numbers of a case as given, worked out, or by default; what is no number is told.
func TestNumberByPath(t *testing.T) {
	c := mustParse(t, put("", "", "tyre: {size: 50-584}\nchain: {slack: 0.9}"))
	for path, want := range map[string]float64{
		"front.line": 45, "rear.line": 44, "frame.stay": 430, "frame.drop": 60, "tyre.width": 50, "chain.slack": 0.9, "chain.bevel": 0.6,
		"front.rings[0]": 34, "rear.cogs[3]": 30, "speeds": 11, "tensioner.cage": 75, "load.torque": 40,
	} {
		got, err := c.Number(path)
		require.NoError(t, err, path)
		assert.InDelta(t, want, got, 1e-12, path)
	}
	for _, path := range []string{"title", "front.lien", "tyre.section", "front", "rear.cogs[4]", "chain.links.x"} {
		_, err := c.Number(path)
		assert.ErrorContains(t, err, "not a number that the case or a default gives", path)
	}
	lo, hi, unit, doc, err := Bounds("frame.stay")
	require.NoError(t, err)
	assert.Equal(t, [2]float64{200, 2000}, [2]float64{lo, hi})
	assert.Equal(t, "mm", unit)
	assert.Contains(t, doc, "chainstay length")
	_, _, unit, _, err = Bounds("front.rings")
	require.NoError(t, err)
	assert.Empty(t, unit)
	for _, path := range []string{"title", "frame.lien", "front.form"} {
		_, _, _, _, err = Bounds(path)
		assert.ErrorContains(t, err, "cases: no range of \""+path+"\"")
	}
}

// What a case gives, with how it was read: the instrument and its distribution, how many readings, or
// as exact; what is said of ± where the instrument alone is named.
func TestHowItWasRead(t *testing.T) {
	c := mustParse(t, strings.Replace(put("", "", "tyre: {size: 50-584, width: [50, 51, 55]}\nchain: {slack: 0.7 ± 0.1, bevel: 0.5 ± 0}"), "stay: 430", "stay: 430 (tape)", 1))
	by := map[string]Given{}
	for _, g := range c.Given() {
		by[g.Path] = g
	}
	for path, want := range map[string][2]string{
		"tyre.width": {"3 readings", "52 mm"}, "frame.stay": {"tape, triangular", "430 ± 2 mm"}, "chain.slack": {"rectangular", "0.7 ± 0.1 °"},
		"chain.bevel": {"given", "0.5 mm"}, "frame.drop": {"as typed", "60 ± 0.5 mm"},
	} {
		assert.Equal(t, want, [2]string{by[path].From, by[path].said}, path)
	}
	assert.Zero(t, by["chain.bevel"].U)
	assert.InDelta(t, 2/math.Sqrt(6), by["frame.stay"].U, 1e-12)
	assert.Equal(t, "chainstay length, bottom-bracket centre to axle centre", by["frame.stay"].Words)
	assert.Equal(t, "mm", by["frame.stay"].Unit)
	assert.NotContains(t, by, "chain.width")
}

// A catalogue that is not there, and one whose change is no list of fields.
func TestCataloguesThatAreNone(t *testing.T) {
	_, err := LoadCatalogue("trail-part")
	assert.EqualError(t, err, `trail-part: neither a file nor a shipped catalogue, did you mean "trail-parts"?`)
	_, err = LoadCatalogue("./nothing-there.yaml")
	assert.ErrorContains(t, err, "./nothing-there.yaml: ")
	for _, set := range []string{"3", "[a]", ""} {
		_, err = ParseCatalogue("p.yaml", []byte("chainpath_parts: 1\nchanges:\n  - {name: a, set: "+set+"}\n"))
		assert.ErrorContains(t, err, "want field paths with values", set)
	}
}
