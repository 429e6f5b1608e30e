package show

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/sim"
	"chainpath/sim/judge"
)

// given returns chances of a gear that has no others.
func given(at map[sim.Concern]float64) Chance {
	var c sim.Chances
	for k := range c {
		c[k] = -1
	}
	for k, p := range at {
		c[k] = p
	}
	return chanceOf(&c)
}

// A cell names two faults, the likeliest first, all of them if asked to; from 10 % on, each in its
// direction; what happens both ways with riding alone.
func TestCellOfFaults(t *testing.T) {
	gear := func(at map[sim.Concern]float64) *Gear { return &Gear{Closes: true, Chance: given(at)} }
	for _, c := range []struct {
		at      map[sim.Concern]float64
		d       sim.Direction
		all     bool
		words   string
		level   say.Level
		isGrave bool
	}{
		{nil, sim.Riding, false, "-", say.Quiet, false},
		{map[sim.Concern]float64{sim.NoiseRiding: 0.0999}, sim.Riding, false, "-", say.Quiet, false},
		{map[sim.Concern]float64{sim.NoiseRiding: 0.1}, sim.Riding, false, "noise 10 %", say.Unlikely, false},
		{map[sim.Concern]float64{sim.NoiseRiding: 0.1}, sim.Backwards, false, "-", say.Quiet, false},
		{map[sim.Concern]float64{sim.NoiseRiding: 0.2, sim.DropRiding: 0.4}, sim.Riding, false, "drop 40 %, noise 20 %", say.Either, true},
		{map[sim.Concern]float64{sim.NoiseRiding: 0.7, sim.RubsNextCog: 0.4, sim.RubsTyreAt: 0.5}, sim.Riding, false, "noise 70 %, tyre 50 %, …", say.Probable, false},
		{map[sim.Concern]float64{sim.NoiseRiding: 0.7, sim.RubsNextCog: 0.4, sim.RubsTyreAt: 0.5}, sim.Riding, true, "noise 70 %, tyre 50 %, next cog 40 %", say.Probable, false},
		{map[sim.Concern]float64{sim.RubsNextCog: 0.4, sim.DropBackwards: 0.65}, sim.Backwards, false, "drop 65 %", say.Probable, true},
		{map[sim.Concern]float64{sim.DropBackwards: 0.3499}, sim.Backwards, false, "drop 35 %", say.Unlikely, true},
	} {
		words, level, bad := faultCell(gear(c.at), c.d, c.all)
		assert.Equal(t, c.words, words)
		assert.Equal(t, c.level, level, words)
		assert.Equal(t, c.isGrave, bad, words)
	}
	words, level, bad := faultCell(&Gear{CloseNote: "too short", Verdicts: []Verdict{{Code: "cannot_close"}}}, sim.Riding, false)
	assert.Equal(t, "too short", words)
	assert.Equal(t, say.Probable, level)
	assert.True(t, bad)
	words, level, _ = faultCell(&Gear{CloseNote: "slack by 5 mm"}, sim.Riding, false)
	assert.Equal(t, "-", words, "a little too long by the nominal dimensions, and no chance of it")
	assert.Equal(t, say.Quiet, level)
}

// The reader is warned of what can throw a rider from 10 % on in any gear, and told whether it is a drop.
func TestWhatMayThrow(t *testing.T) {
	doc := func(at map[sim.Concern]float64) *Gears {
		return &Gears{Answer: &Answer{}, Gears: []Gear{{Chance: given(nil)}, {Chance: given(at)}}}
	}
	for _, c := range []struct {
		at    map[sim.Concern]float64
		level say.Level
		drops bool
	}{
		{map[sim.Concern]float64{sim.DropRiding: 0.35}, say.Either, true},
		{map[sim.Concern]float64{sim.DropRiding: 0.3499}, say.Unlikely, true},
		{map[sim.Concern]float64{sim.DropRiding: 0.2, sim.CageMeets: 0.7}, say.Probable, false},
		{map[sim.Concern]float64{sim.RubsTyreAt: 0.1}, say.Unlikely, false},
		{map[sim.Concern]float64{sim.NoiseRiding: 0.9}, say.Quiet, true},
		{nil, say.Quiet, true},
	} {
		drops, level := mayThrow(doc(c.at))
		assert.Equal(t, c.level, level, "%v", c.at)
		assert.Equal(t, c.drops, drops, "%v", c.at)
	}
	_, level := mayThrow(&Gears{Gears: doc(map[sim.Concern]float64{sim.DropRiding: 0.9}).Gears})
	assert.Equal(t, say.Quiet, level, "no answer, no chances")
}

// What to type next: the chainline for what goes by the angle and where most bikes do better, diagnose where the rider told of
// something, else everything; nothing for a case without a name.
func TestWhatIsNext(t *testing.T) {
	doc := &Gears{Lines: Lines{Front: 50, Rear: 48, Difference: 2}, Gears: []Gear{{CogTeeth: 12, Chance: given(map[sim.Concern]float64{sim.NoiseRiding: 0.5})}, {CogTeeth: 14}, {CogTeeth: 12}}}
	doc.lines(func(_, _ float64, rings, cogs int) string {
		assert.Equal(t, [2]int{1, 2}, [2]int{rings, cogs})
		return ""
	})
	why, next := whyWords(doc, &Answer{}, GearView{Name: "bike.yaml"})
	assert.Regexp(t, `^Why: .*2\.0 mm.*\.$`, why)
	assert.Equal(t, "chainline bike.yaml", next)
	_, next = whyWords(doc, &Answer{}, GearView{Name: ""})
	assert.Empty(t, next)
	doc.Gears[0].Chance = given(map[sim.Concern]float64{sim.NoiseRiding: 0.3})
	why, next = whyWords(doc, &Answer{Complaints: []Complaint{{}}}, GearView{Name: "bike.yaml"})
	assert.NotContains(t, why, "Why")
	assert.Equal(t, "diagnose bike.yaml", next)
	_, next = whyWords(doc, &Answer{Usual: &UsualRank{Of: 5, Less: 2, More: 3}}, GearView{Name: "bike.yaml"})
	assert.Equal(t, "gears bike.yaml --all", next)
	_, next = whyWords(doc, &Answer{}, GearView{Name: "bike.yaml", All: true})
	assert.Equal(t, "accuracy bike.yaml", next, "not what was typed")
	_, next = whyWords(doc, &Answer{Usual: &UsualRank{Of: 5, Less: 3, More: 2}}, GearView{Name: "bike.yaml"})
	assert.Equal(t, "chainline bike.yaml", next, "most bikes do better")
}

// Less room than wished is told of from touching, 0 mm, up to the wish itself, of the gear with the
// least, and not where a fault of that room is told of already.
func TestLessRoomThanWished(t *testing.T) {
	b := &sim.Bike{Tyre: &sim.Tyre{Mud: 6}}
	gear := func(cog int, gap float64, closes bool) sim.Gear {
		return sim.Gear{RingTeeth: 32, CogTeeth: cog, Fit: sim.Fit{Closes: closes}, Clearances: sim.Clearances{Tyre: sim.Gap{Valid: true, MM: gap}}}
	}
	for gap, want := range map[float64][]string{
		0:      nil,
		-0.001: {"Little room of the chain to the tyre in 32/51: 6.0 mm, 6 wanted."},
		-2.5:   {"Little room of the chain to the tyre in 32/51: 3.5 mm, 6 wanted."},
		-6:     {"Little room of the chain to the tyre in 32/51: 0.0 mm, 6 wanted."},
		-6.001: nil,
	} {
		r := &sim.Result{Gears: []sim.Gear{gear(44, 1, true), gear(51, gap, true), gear(12, 0.5, true)}}
		assert.Equal(t, want, roomShort(&Gears{}, b, r), "%g", gap)
		assert.Equal(t, 51, leastOf(r, func(g *sim.Gear) sim.Gap { return g.Clearances.Tyre }).CogTeeth)
	}
	r := &sim.Result{Gears: []sim.Gear{gear(51, -2, true)}}
	told := &Gears{Answer: &Answer{}, Gears: []Gear{{Chance: given(map[sim.Concern]float64{sim.RubsTyreAt: 0.35})}}}
	assert.Empty(t, roomShort(told, b, r))
	told.Gears[0].Chance = given(map[sim.Concern]float64{sim.RubsTyreAt: 0.34})
	assert.Len(t, roomShort(told, b, r), 1)
	b.Tyre.Mud = 0
	assert.Empty(t, roomShort(&Gears{}, b, r), "none wished")
	r.Gears[0].Clearances.Tyre.Valid = false
	assert.Nil(t, leastOf(r, func(g *sim.Gear) sim.Gap { return g.Clearances.Tyre }))
}

// How long the chain is, and under what: a tension that is given, else the torque in N·m.
func TestWordsOfLength(t *testing.T) {
	b, r := &sim.Bike{}, &sim.Result{Links: 116, Chosen: true}
	b.Load.Torque = 60400
	assert.Equal(t, "Chain 116 links (chosen). Crank torque 60 N·m.", lengthWords(b, r))
	b.Load.Tension, r.Chosen = 0.6, false
	assert.Equal(t, "Chain 116 links (given). Top run under 1 N.", lengthWords(b, r))
}

// An overlap is borderline below 65 % where its range holds 0, of parts that meet alone.
func TestBorderline(t *testing.T) {
	for _, c := range []struct {
		k      sim.Concern
		chance float64
		size   judge.Size
		want   bool
	}{
		{sim.RubsTyreAt, 0.5, judge.Size{-1, 0.2, 1}, true},
		{sim.RubsTyreAt, 0.6499, judge.Size{-1, 0.2, 1}, true},
		{sim.RubsTyreAt, 0.65, judge.Size{-1, 0.2, 1}, false},
		{sim.RubsTyreAt, 0.5, judge.Size{0, 0.2, 1}, false},
		{sim.RubsTyreAt, 0.5, judge.Size{-1, -0.2, 0}, false},
		{sim.NoiseRiding, 0.5, judge.Size{-1, 0.2, 1}, false},
	} {
		assert.Equal(t, c.want, borderline(c.k, c.chance, c.size), "%+v", c)
	}
	assert.Equal(t, "more", also("", "more"))
	assert.Equal(t, "one; more", also("one", "more"))
	assert.True(t, Grave("drop_riding") && Grave("cannot_close"))
	assert.False(t, Grave("noise_riding") || Grave("no such code"))
}

// A chance keeps four digits behind the point; what there is not has none, and 0 is one.
func TestChancesAreRounded(t *testing.T) {
	c := given(map[sim.Concern]float64{sim.NoiseRiding: 0.12345, sim.DropRiding: 0, sim.DropBackwards: 0.99996})
	assert.Equal(t, 0.1235, *c.at(sim.NoiseRiding))
	assert.Equal(t, 0.0, *c.at(sim.DropRiding))
	assert.Equal(t, 1.0, *c.at(sim.DropBackwards))
	assert.Nil(t, c.at(sim.RubsTyreAt))
	assert.True(t, c.AtLeast(sim.DropRiding, 0) && c.AtLeast(sim.NoiseRiding, 0.1235))
	assert.False(t, c.AtLeast(sim.RubsTyreAt, 0) || c.AtLeast(sim.NoiseRiding, 0.12351))
	assert.Len(t, chanceCells(func(x *Chance) Chance { return *x }), sim.NumConcerns)
	f := &judge.Foreseen{}
	for k := range f.Chances {
		f.Chances[k], f.Sizes[k] = -1, judge.Size{1.23456, 2, 3}
	}
	f.Chances[sim.NoiseRiding] = 0
	sizes := sizesOf(f)
	assert.Len(t, sizes, sim.NumConcerns)
	for name, s := range sizes {
		if name == "noise_riding_"+sim.Hazards[sim.NoiseRiding].Unit {
			assert.Equal(t, &SizeRange{1.2346, 2, 3}, s)
		} else {
			assert.Nil(t, s, name)
		}
	}
}

// Every fault's reason is told, and what holds everywhere else once.
func TestReasonsByHand(t *testing.T) {
	calm := Verdict{Direction: "riding", Code: sim.IsQuiet.String(), Words: "no fault expected", Reason: "all below"}
	noisy := Verdict{Direction: "backwards", Code: "noise_riding", Words: "noise 50 %", Reason: "it is bent"}
	said := func(verdicts ...Verdict) []string {
		return lines(func(p *printer) { reasons(p, &Gears{Gears: []Gear{{RingTeeth: 32, CogTeeth: 51, Verdicts: verdicts}}}) })
	}
	assert.Equal(t, []string{"", "Why", "Every gear, riding and back-pedalling: all below."}, said(calm, calm))
	assert.Equal(t, []string{"", "Why", "32/51 back-pedalling, noise 50 %: it is bent", "Every other gear or direction: all below."}, said(calm, noisy))
	assert.Equal(t, []string{"", "Why", "32/51 back-pedalling, noise 50 %: it is bent"}, said(noisy))
}

// How far apart the chainrings are taken to be is told where a fault that could be there rests on it.
func TestTheChainringsPitchIsTold(t *testing.T) {
	pitch := Assumed{Path: "front.ring_pitch", Value: "7.5 mm", Concerns: []string{"rubs_next_ring", "rubs_front_cage"}}
	for _, c := range []struct {
		at   map[sim.Concern]float64
		list []Assumed
		told bool
	}{
		{map[sim.Concern]float64{sim.RubsNextRing: 0.35}, []Assumed{{Path: "frame.stay"}, pitch}, true},
		{map[sim.Concern]float64{sim.RubsFrontCage: 0.7}, []Assumed{pitch}, true},
		{map[sim.Concern]float64{sim.RubsNextRing: 0.3499}, []Assumed{pitch}, false},
		{map[sim.Concern]float64{sim.RubsNextCog: 0.9}, []Assumed{pitch}, false},
		{map[sim.Concern]float64{sim.RubsNextRing: 0.9}, nil, false},
	} {
		d := &Gears{Assumed: c.list, Gears: []Gear{{Chance: given(c.at)}}}
		want := ""
		if c.told {
			want = "7.5 mm"
		}
		assert.Equal(t, want, d.pitchTaken(), "%v", c.at)
		why, _ := whyWords(d, &Answer{}, GearView{})
		assert.Equal(t, c.told, strings.Contains(why, "is assumed"), why)
		d.Lines.Difference, d.Gears = 2, append(d.Gears, Gear{Chance: given(map[sim.Concern]float64{sim.NoiseRiding: 0.9})})
		why, _ = whyWords(d, &Answer{}, GearView{})
		assert.Equal(t, c.told, strings.Contains(why, say.RingPitch("7.5 mm")), why)
	}
}

// Every default that accuracy varies is named in words.
func TestEveryVariedDefaultHasWords(t *testing.T) {
	for _, d := range cases.Defaults(11) {
		if d.Within > 0 {
			assert.NotEqual(t, d.Path, say.Reading(d.Path))
		}
	}
}
