package show

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/sim"
	"chainpath/sim/decide"
	"chainpath/sim/judge"
)

// lines prints with a printer, a line an item.
func lines(f func(p *printer)) []string {
	was := Columns
	Columns = 1000
	defer func() { Columns = was }()
	var out strings.Builder
	f(&printer{w: &out})
	return strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n")
}

// Without a derailleur there is none to look at.
func TestChecksOfABike(t *testing.T) {
	assert.Equal(t, []string{"a dry or dirty chain", "a stiff link", "worn teeth or chain", "a loose cog"}, checksOf(&sim.Bike{}, "noise"))
	assert.Len(t, checksOf(&sim.Bike{Tensioner: &sim.Tensioner{}}, "noise"), 6)
}

// What else to check is a line of its own for complaints of shifts alone: others have it in their list.
func TestChecksAreSaidOnce(t *testing.T) {
	c, err := cases.Load("single-tensioner", nil)
	require.NoError(t, err)
	b, err := c.Bike()
	require.NoError(t, err)
	d := FromSymptoms(c, b, []decide.Symptom{{Complaint: decide.Noise}, {Complaint: decide.OfShifts[0]}})
	require.Len(t, d.Findings, 2)
	assert.Empty(t, d.Findings[0].Lines)
	assert.NotEmpty(t, d.Findings[0].Check)
	assert.Equal(t, []string{say.CheckAsWell(checksOf(b, string(decide.OfShifts[0])))}, d.Findings[1].Lines)
}

// Places of a front cage at which cogs run free of it, ring by ring.
func TestTrimsByHand(t *testing.T) {
	front := []TrimOfRing{{30, 1, 40, []int{11, 13}}, {30, 2, 41, nil}, {44, 1, 45, nil}, {44, 2, 46.25, nil}, {50, 1, 50, nil}, {50, 2, 51, []int{11, 13, 15}}}
	assert.Equal(t, []TrimOfRing{front[0], {RingTeeth: 44}, front[5]}, freeTrims(front))
	assert.Equal(t, "Free of the front cage, by the nominal dimensions: 11, 13 on the 30-tooth chainring at trim 1 (40.0 mm); no cog on the 44-tooth chainring; 11 to 15 on the 50-tooth chainring at trim 2 (51.0 mm).", trimWords(front))
	assert.Empty(t, trimWords(nil))
	assert.Equal(t, "11", cogRun([]int{11}))
	got := lines(func(p *printer) { trimText(p, front) })
	assert.Len(t, got, 5, "a head, three chainrings and a blank line")
	assert.Regexp(t, `^44-tooth chainring +- +- +none$`, got[2])
	assert.Regexp(t, `^50-tooth chainring +2 +51\.0 +11 to 15$`, got[3])
	assert.Equal(t, []string{""}, lines(func(p *printer) { trimText(p, nil) }))
}

// Bends at marks in degrees, to a thousandth; none where no mark is reached.
func TestBendsAtMarks(t *testing.T) {
	nan := math.NaN()
	assert.Nil(t, degrees([3]float64{nan, nan, nan}))
	d := degrees([3]float64{nan, sim.Radians(1.23456), sim.Radians(2)})
	assert.Nil(t, d[0])
	assert.Equal(t, [2]float64{1.235, 2}, [2]float64{*d[1], *d[2]})
	x := &BendAt{Noise: d}
	noise, off := x.even()
	assert.Equal(t, [2]string{"1.24", "-"}, [2]string{noise, off})
	assert.Equal(t, []string{"", "1.235", "2", "", "", ""}, x.cells())
	var none *BendAt
	assert.Equal(t, make([]string, 6), none.cells())
	assert.Equal(t, []string{"noise_at_10_percent_deg", "noise_at_50_percent_deg", "noise_at_90_percent_deg", "off_at_10_percent_deg", "off_at_50_percent_deg", "off_at_90_percent_deg"}, bendColumns())
	g := &Gear{Riding: make([]Arrival, 2), Backwards: make([]Arrival, 2)}
	assert.Same(t, &g.Riding[1], g.arrival(sim.Riding, 1))
	assert.Same(t, &g.Backwards[0], g.arrival(sim.Backwards, 0))
}

// Chances that are spoken of, before or now, are listed as well as those that learning moved, the
// greatest first, those of them first that moved most; eight or all.
func TestWhatLearningChanged(t *testing.T) {
	d := &Learning{}
	for i := range 10 {
		before := given(map[sim.Concern]float64{sim.NoiseRiding: 0.5, sim.DropRiding: 0.1})
		after := given(map[sim.Concern]float64{sim.NoiseRiding: 0.5 - 0.04*float64(i), sim.RubsTyreAt: 0.9})
		d.Gears = append(d.Gears, LearnedGear{32, 10 + i, before, after})
	}
	d.Gears[0].After[sim.NoiseRiding.String()] = optional(true, 0.5625)
	table := d.changedTable(false)
	assert.Len(t, table.Rows, 8)
	assert.Equal(t, []string{"32/10", "noise", "50 %", "56 %"}, table.Rows[0])
	assert.Equal(t, []string{"32/19", "noise", "50 %", "14 %"}, table.Rows[1])
	table = d.changedTable(true)
	assert.Len(t, table.Rows, 10)
	assert.Equal(t, []string{"32/11", "noise", "50 %", "46 %"}, table.Rows[9], "0.04 is no change, and 50 % is spoken of")
	assert.Len(t, d.moves((*say.Moved).Changed), 9)
	d.Gears = d.Gears[1:2]
	d.Gears[0].Before, d.Gears[0].After = given(map[sim.Concern]float64{sim.NoiseRiding: 0.05}), given(map[sim.Concern]float64{sim.NoiseRiding: 0.09})
	assert.Nil(t, d.changedTable(true))
	assert.Equal(t, "Every unknown changed (--all).", d.silentWords())
	d.Unknowns = []Unknown{{Told: true}, {}, {}}
	assert.Equal(t, "2 unknowns did not change (--all).", d.silentWords())
	assert.Equal(t, "shipped versions", d.around())
	d.Shop = "7 bikes"
	assert.Equal(t, "shop's versions", d.around())
}

// shiftsOf are shifts up and down over four cogs, with chances to be late.
func shiftsOf(late ...float64) *Shifting {
	d := &Shifting{Window: SettingWindow{Width: judge.Size{0.1, 0.62, 1}, Exists: 0.9, Inboard: "13>11", Outer: "15>17"}}
	teeth := []int{11, 13, 15, 17}
	for i, x := range late {
		from, to := teeth[i/2], teeth[i/2+1]
		if i%2 == 1 {
			from, to = to, from
		}
		d.Shifts = append(d.Shifts, ShiftDoc{RingTeeth: 32, From: from, To: to, Late: x})
	}
	return d
}

// The default list has the shifts that are late from 10 %, the worst first and six of them, on the first
// chainring alone; no list for one.
func TestListOfLateShifts(t *testing.T) {
	d := shiftsOf(0.3, 0.0999, 0.1, 0.5, 0.2, 0.25)
	d.Case, d.Answer = "title", "answer"
	other := d.Shifts[0]
	other.RingTeeth, other.Late = 44, 0.9
	d.Shifts = append(d.Shifts, other)
	text := func(all bool) []string { return lines(func(p *printer) { p.err = ShiftsText(p.w, d, all, "") }) }
	var shifts []string
	for _, line := range text(false) {
		if strings.Contains(line, " to ") && strings.Contains(line, " %  ") {
			shifts = append(shifts, strings.Join(strings.Fields(line)[:5], " "))
		}
	}
	assert.Equal(t, []string{"15 to 13 50 %", "11 to 13 30 %", "17 to 15 25 %", "15 to 17 20 %", "13 to 15 10 %"}, shifts)
	assert.Contains(t, strings.Join(text(false), "\n"), "Room for the cable's setting: 0.6 (0.1 to 1.0) mm; in brackets 90 of 100 bikes.")
	all := strings.Join(text(true), "\n")
	assert.Regexp(t, `11 to 13 +30 % +0\.0 \(0\.0 to 0\.0\) +13 to 11 +- +0\.0`, all)
	assert.Regexp(t, `15 to 17 +20 % .* 17 to 15 +25 %`, all)
	assert.Equal(t, 1, strings.Count(all, "11 to 13"), "the second chainring's are alike")
	d = shiftsOf(0.3, 0, 0, 0, 0, 0)
	assert.NotContains(t, strings.Join(text(false), "\n"), "room left, mm")
	d = shiftsOf(0.3, 0.31, 0.32, 0.33, 0.34, 0.35)
	d.Shifts = append(d.Shifts, ShiftDoc{32, 17, 19, 0.2, judge.Size{}}, ShiftDoc{32, 19, 17, 0.9, judge.Size{}})
	got := strings.Join(text(false), "\n")
	assert.Equal(t, 6, strings.Count(got, "(0.0 to 0.0)"))
	assert.Contains(t, got, "19 to 17  90 %")
	assert.NotContains(t, got, "11 to 13")
}

// What explains several symptoms, by hand: their numbers in the document from 0, those left over, one fault by its
// own name; of one symptom nothing is said.
func TestTogetherDocumentByHand(t *testing.T) {
	var d Diagnosis
	d.AddTogether([]int{4}, decide.OneCause{}, true)
	assert.Nil(t, d.Together)
	d.AddTogether([]int{0, 2, 3}, decide.OneCause{}, false)
	require.NotNil(t, d.Together)
	assert.Empty(t, d.Together.Concerns)
	assert.Empty(t, d.Together.Findings)
	assert.Nil(t, d.Together.Share)
	assert.NotEmpty(t, d.Together.Words)
	for _, concerns := range [][]sim.Concern{{sim.RubsNextCog}, {sim.NoiseRiding, sim.DropBackwards}} {
		d.AddTogether([]int{0, 2, 3}, decide.OneCause{Concerns: concerns, Of: []int{0, 2}, Share: 0.75}, true)
		assert.Len(t, d.Together.Concerns, len(concerns))
		assert.Equal(t, []int{0, 3}, d.Together.Findings)
		assert.Equal(t, 0.75, *d.Together.Share)
		for _, want := range []string{"1", "4", "3", "75 %"} {
			assert.Contains(t, d.Together.Words, want)
		}
		assert.Equal(t, len(concerns) == 1, strings.Contains(d.Together.Words, sim.Hazards[sim.RubsNextCog].Cause), d.Together.Words)
	}
}

// A table of troubles has a column of each fault that any row has for a five-hundredth of the time, and the sum.
func TestColumnsOfTroubles(t *testing.T) {
	list := make([]decide.Trouble, 2)
	list[0].By[sim.NoiseRiding], list[1].By[sim.NoiseRiding] = 0.001, 0.123
	list[0].By[sim.RubsNextCog], list[1].By[sim.DropRiding] = 0.002, 0.0019
	list[0].Sum, list[1].Sum = 0.456, 1.234
	table := troubleTable([3]string{"place", "", "mm"}, "where", list)
	assert.Equal(t, [][]string{{"0.1", "0.2", "0.46"}, {"12.3", "0.0", "1.23"}}, table.Rows)
	noise, rub := &sim.Hazards[sim.NoiseRiding], &sim.Hazards[sim.RubsNextCog]
	assert.Equal(t, [][]string{{"place", noise.Head[0], rub.Head[0], "fault", "where"}, {"", noise.Head[1], rub.Head[1], "score", ""}, {"mm", "%", "%", "", ""}}, table.Head)
	assert.Len(t, troubleTable([3]string{}, "", list).Head[0], 4)
}

// What the % of causes count is told below them, in short and with all in full; not where no cause has
// one.
func TestWhatSharesCountIsTold(t *testing.T) {
	d := &Diagnosis{Findings: []FindingDoc{{Words: "Noise", Outside: 0.3, Suspects: []SuspectDoc{{Share: 0.7, words: "too much"}}}}}
	text := func(all bool) string {
		return strings.Join(lines(func(p *printer) { p.err = DiagnosisText(p.w, d, all, "") }), "\n")
	}
	assert.Contains(t, text(false), say.ShareOf)
	assert.Contains(t, text(true), say.ShareOfWhole)
	d.Findings[0].Suspects = nil
	assert.NotContains(t, text(false), say.ShareOf)
}
