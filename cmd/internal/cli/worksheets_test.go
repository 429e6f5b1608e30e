package cli

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/sim"
	"chainpath/sim/sweep"
)

// Worksheets step by step, by hand.
func TestWorksheetsByHand(t *testing.T) {
	for args, want := range map[string]string{
		"line front --tube-width 40 --gap 30":                               "half the tube's width 40 / 2 20|tube's face to the chainring as read 30|together 20 + 30 50",
		"line front --tube-width 40 --reading 20 --reading 30":              "half the tube's width 40 / 2 20|middle of the two chainrings (20 + 30) / 2 25|together 20 + 25 45",
		"line front --tube-width 40 --reading 20 --reading 30 --reading 41": "half the tube's width 40 / 2 20|the middle chainring second of 20 30 41 30|together 20 + 30 50",
		"line front --tube-width 40 --gap 30 --face outer --thickness 3":    "half the tube's width 40 / 2 20|tube's face to the chainring as read 30|from the outer face to the centre 30 - 3 / 2 28.5|together 20 + 28.5 48.5",
		"line front --tube-width 40 --gap 30 --face inner --thickness 3":    "half the tube's width 40 / 2 20|tube's face to the chainring as read 30|from the inner face to the centre 30 + 3 / 2 31.5|together 20 + 31.5 51.5",
		"line rear --dropouts 140 --stack 40 --gap 5":                       "half the dropouts' distance 140 / 2 70|half the stack 40 / 2 20|from the dropout to the cassette's centre 5 + 20 25|together 70 - 25 45",
		"line rear --dropouts 140 --stack 42 --protrusion 2 --gap 5":        "half the dropouts' distance 140 / 2 70|stack of the cogs alone 42 - 2 40|half the stack 40 / 2 20|from the dropout to the cassette's centre 5 + 20 25|together 70 - 25 45",
		"line rear --dropouts 140 --stack 42 --protrusion 2 --gap -1":       "half the dropouts' distance 140 / 2 70|stack of the cogs alone 42 - 2 40|half the stack 40 / 2 20|from the dropout to the cassette's centre '-1 + 20 19|together 70 - 19 51",
	} {
		code, out, errs := run(append(fields(args), "--format", "csv")...)
		require.Equal(t, ExitDone, code, "%s: %s", args, errs)
		var steps []string
		for _, row := range strings.Split(strings.TrimSpace(out), "\n")[1:] {
			cells := strings.Split(row, ",")
			steps = append(steps, strings.Join(cells[1:len(cells)-1], " "))
		}
		assert.Equal(t, want, strings.Join(steps, "|"), args)
	}
}

func TestPastedByHand(t *testing.T) {
	got := pasted([]benchResult{
		{Path: "tensioner.hanger.lean", Value: 0.5, U: 0.1, Unit: "°"}, {Path: "tensioner.hanger.toe", Value: -0.25, U: 0.1, Unit: "°"},
		{Path: "tensioner.float", Value: 0.5, U: 0.1, Unit: "mm"}, {Path: "x.stiffness", Value: 7, U: 1, Unit: "N*m"}, {Path: "line", Value: 48, U: 1, Unit: "mm"}})
	assert.Equal(t, `tensioner:
  hanger:
    lean: 0.5 ± 0.1732
    toe: -0.25 ± 0.1732
  float: 0.5 ± 0.1732
x:
  stiffness: 7 ± 1.732 N*m
line: 48 ± 1.732
`, got)
}

// Gears of the side view: one, the ends, or those named.
func TestPickedGears(t *testing.T) {
	r := &sim.Result{Gears: []sim.Gear{{RingTeeth: 32, CogTeeth: 11}, {RingTeeth: 32, CogTeeth: 32}, {RingTeeth: 44, CogTeeth: 11}}}
	for want, names := range map[[2]int][]string{{0, 2}: nil, {1, 1}: {"32/32"}, {2, 0}: {"44/11", "32/11"}} {
		got, err := (&figureOptions{gears: names}).pick(r)
		require.NoError(t, err)
		assert.Equal(t, want, [2]int{got[0], got[len(got)-1]}, "%v", names)
	}
	one := &sim.Result{Gears: r.Gears[:1]}
	got, err := (&figureOptions{}).pick(one)
	require.NoError(t, err)
	assert.Equal(t, []int{0}, got)
	r.Gears[1].RingTeeth = 33 // the first gear is the example
	for _, bad := range []string{"32/12", "44/32", "32", "a/11", "32/b", "11/32"} {
		_, err := (&figureOptions{gears: []string{bad}}).pick(r)
		assert.ErrorContains(t, err, `"`+bad+`" is no gear of this bike, want RING/COG such as 32/11`)
	}
}

func TestAmountsAhead(t *testing.T) {
	for n, want := range map[float64]string{4e6: "4 MB", 9.99e8: "999 MB", 1e9: "1 GB", 1.05e9: "1.05 GB", 4e11: "400 GB"} {
		assert.Equal(t, want, gigabytes(n))
	}
	for h, want := range map[float64]string{1: "1.0 hours", 47.9: "47.9 hours", 48: "2 days", 60: "2.5 days", 2400: "100 days"} {
		assert.Equal(t, want, hours(time.Duration(h*float64(time.Hour))))
	}
	var b bytes.Buffer
	forecast{time: longWork, bytes: 5}.say(&b, 5)
	assert.Empty(t, b.String(), "just as much as there is")
	forecast{time: longWork + 1, bytes: 6}.say(&b, 5)
	assert.Equal(t, 2, strings.Count(b.String(), "ahead"))
	b.Reset()
	forecast{bytes: 6}.say(&b, -1)
	assert.Empty(t, b.String(), "nobody knows the disk")
	forecast{bytes: 6}.say(&b, 0)
	assert.NotEmpty(t, b.String())
	assert.Equal(t, 1.235, figures(1.2346))
	assert.Equal(t, -1235.0, figures(-1234.6))
	_, _, _, _, err := cases.Bounds("nothing")
	assert.Error(t, err)
}

// What a chart is asked for and cannot have.
func TestChartRefuses(t *testing.T) {
	dir := t.TempDir()
	rows := dir + "/rows.csv"
	code, _, errs := run("sweep", "trail", "--vary", "front.line=48:52:1", "--vary", "frame.stay=430:440:5", "-q", "-o", rows)
	require.Equal(t, ExitDone, code, errs)
	for args, want := range map[string]string{
		"":                                       "nothing to draw",
		"--level 1 --front stay_mm,top_bend_deg": "--level without --z",
		"--z stay_mm":                            "--z without --x",
		"--z nonsense --x front_line_mm":         "nonsense",
		"--z stay_mm --x nonsense":               "nonsense",
		"--z stay_mm --x front_line_mm --y nonsense":           "nonsense",
		"--z stay_mm --x front_line_mm --image gif":            "--image",
		"--z stay_mm --x front_line_mm --feasible stay_mm":     "feasible",
		"--z stay_mm --x front_line_mm --feasible stay_mm>=x":  "feasible",
		"--z stay_mm --x front_line_mm --feasible nonsense>=1": "nonsense",
		"--front stay_mm":                    "want COLUMN:less,COLUMN:more",
		"--front stay_mm,top_bend_deg,links": "want COLUMN:less,COLUMN:more",
		"--front stay_mm:up,top_bend_deg":    "want less or more",
		"--front stay_mm:more,nonsense":      "nonsense",
		"--effects nonsense":                 "nonsense",
	} {
		code, out, errs := run(append(append([]string{"chart", rows}, fields(args)...), "-o", dir+"/figures")...)
		assert.Equal(t, ExitBadInput, code, "%s: %s", args, errs)
		assert.Contains(t, errs, want, args)
		assert.Empty(t, out, args)
		assert.NoDirExists(t, dir+"/figures", args)
	}
}

// A forecast is worth its time from a thousand designs on where each takes long, from a million on else.
func TestWhatIsWorthAForecast(t *testing.T) {
	job := func(n int) sweep.Job { return sweep.Job{Designs: n} }
	for _, o := range []sweepOptions{{}, {bare: true, loss: true}, {bare: true, shifts: true}} {
		r := &rower{o: &o}
		assert.True(t, r.short(job(999)), "%+v", o)
		assert.False(t, r.short(job(1000)), "%+v", o)
		assert.False(t, r.short(job(2000000)), "%+v", o)
	}
	r := &rower{o: &sweepOptions{bare: true}}
	assert.True(t, r.short(job(999999)))
	assert.False(t, r.short(job(1000000)))
	assert.Equal(t, 720.0, loud.Hours(), "thirty days")
}

// What a bike complains of, in words, with its way and gears, and what was seen of it behind that.
func TestComplaintWordsByHand(t *testing.T) {
	c := &cases.Case{}
	assert.Empty(t, complaintWords(c))
	c.Symptoms = []cases.Symptom{{What: "noise", Cogs: []int{44, 51}}, {What: "drop", Direction: "backwards", Cogs: []int{51}, Rings: []int{32, 48}}, {What: "rubs_next_cog", Direction: "riding"}}
	assert.Equal(t, "noise on the cogs of 44, 51; drop pedalling backwards on the cogs of 51 on the chainrings of 32, 48; rubs next cog", complaintWords(c))
}

// Readings that are exact have no uncertainty, and its cell is empty: 48.6 / 2 + 29.9 = 54.2 mm.
func TestWorksheetOfExactReadings(t *testing.T) {
	code, out, errs := run("line", "front", "--tube-width", "48.6 ± 0", "--gap", "29.9 ± 0", "--format", "csv")
	assert.Equal(t, ExitDone, code, errs)
	last := strings.Split(strings.TrimSpace(out), "\n")
	assert.Regexp(t, `,54\.2,$`, last[len(last)-1])
	_, out, _ = run("line", "front", "--tube-width", "48.6 ± 0.2", "--gap", "29.9 ± 0", "--format", "csv")
	last = strings.Split(strings.TrimSpace(out), "\n")
	assert.Regexp(t, `,54\.2,0\.05`, last[len(last)-1], "half of 0.2/√3 is 0.058")
}
