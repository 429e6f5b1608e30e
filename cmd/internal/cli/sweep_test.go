package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
	"chainpath/sim/sweep"
)

// sweepText runs a sweep in memory.
func sweepText(t testing.TB, r *rower, from int, shard sweep.Shard) string {
	var out bytes.Buffer
	if from == 0 {
		out.Write(r.format.Header())
	}
	job := sweep.Job{Designs: r.w.Plan.Designs(), From: from, Shard: shard}
	require.NoError(t, sweep.Run(context.Background(), job, r.worker, func(b []byte, _ sweep.Block) error { out.Write(b); return nil }))
	return out.String()
}

// A thousand random designs, each made into a case and asked of the gears command's
// document: the same digits.
func TestSweepRowsAreWhatGearsSays(t *testing.T) {
	n := 1000
	if testing.Short() {
		n = 100
	}
	vary := []string{"front.line=44:58", "frame.stay=415:455", "frame.drop=30:75", "rear.line=44:49", "chainstay.gap=2:9", "tensioner.index_error=-0.8:0.8", "load.freehub_drag=0:0.3"}
	o := &sweepOptions{vary: vary, sample: fmt.Sprintf("random:%d", n), seed: 5, bare: true, format: "jsonl"}
	r := rowerFor(t, small, o)
	lines := strings.Split(strings.TrimSpace(sweepText(t, r, 0, sweep.Shard{})), "\n")
	require.Len(t, lines, n)
	d := r.w.Designer()
	x := make([]float64, len(vary))
	for i, l := range lines {
		var row map[string]any
		require.NoError(t, json.Unmarshal([]byte(l), &row), l)
		r.w.Plan.Design(x, i)
		b, err := d.Bike(x)
		if err != nil {
			assert.NotEqual(t, "ok", row["status"])
			continue
		}
		require.Equal(t, "ok", row["status"], l)
		result, err := b.Evaluate()
		require.NoError(t, err)
		doc, err := show.FromResult(d.Case(), b, result, nil)
		require.NoError(t, err)
		compareRow(t, row, &doc)
	}
}

// compareRow takes a row's numbers from a gears document.
func compareRow(t *testing.T, row map[string]any, doc *show.Gears) {
	top, bottom, guide := 0.0, 0.0, 0.0
	cog, tyre, stay, closes := math.Inf(1), math.Inf(1), math.Inf(1), 0
	for i := range doc.Gears {
		g := &doc.Gears[i]
		top, bottom, guide = math.Max(top, *g.Top.Bend), math.Max(bottom, *g.Bottom.Bend), math.Max(guide, *g.Guide.Bend)
		if s := g.Clearances.NextCogStraight; s != nil {
			cog = math.Min(cog, *s)
		}
		tyre, stay = math.Min(tyre, *g.Clearances.Tyre), math.Min(stay, *g.Clearances.Stay)
		if !g.Closes {
			closes++
		}
	}
	for name, want := range map[string]float64{
		"top_bend_deg": top, "bottom_bend_deg": bottom, "guide_bend_deg": guide, "next_cog_straight_mm": cog, "tyre_mm": tyre, "stay_mm": stay,
		"cannot_close": float64(closes), "links": float64(doc.Chain.Links),
	} {
		assert.Equal(t, want, row[name], name)
	}
}

// Broken off anywhere, even in the middle of a line, and gone on with: the same
// bytes. Shards merged: the same bytes.
func TestResumeAndMergeAreBitIdentical(t *testing.T) {
	dir := t.TempDir()
	path := func(n string) string { return filepath.Join(dir, n) }
	formats, breaks := []string{"csv", "jsonl"}, 6
	if testing.Short() {
		formats, breaks = formats[:1], 2
	}
	for _, format := range formats {
		args := []string{"sweep", "trail", "--no-chances", "--vary", "front.line=46:56:0.25", "--vary", "frame.stay=415:445:1.5", "--where", "top_pull_backwards_n>=3", "--format", format, "-q"}
		whole := path("whole." + format)
		code, _, errs := run(append(args, "-o", whole)...)
		require.Equal(t, ExitDone, code, errs)
		want, err := os.ReadFile(whole)
		require.NoError(t, err)
		require.Greater(t, bytes.Count(want, []byte("\n")), 300)
		rng := rand.New(rand.NewPCG(2, 3))
		for range breaks {
			part := path("part." + format)
			require.NoError(t, os.WriteFile(part, want[:rng.IntN(len(want))], 0o644))
			breakOff(t, whole, part)
			code, _, errs := run(append(args, "-o", part, "--resume")...)
			require.Equal(t, ExitDone, code, errs)
			got, err := os.ReadFile(part)
			require.NoError(t, err)
			assert.True(t, bytes.Equal(want, got))
		}
		var shards []string
		for i := range 3 {
			name := path(fmt.Sprintf("shard-%d.%s", i, format))
			code, _, errs := run(append(args, "-o", name, "--shard", fmt.Sprintf("%d/3", i))...)
			require.Equal(t, ExitDone, code, errs)
			shards = append(shards, name)
		}
		code, out, errs := run(append([]string{"sweep", "merge"}, shards...)...)
		require.Equal(t, ExitDone, code, errs)
		assert.Equal(t, string(want), out)
		code, _, errs = run("sweep", "merge", shards[0], shards[0])
		assert.Equal(t, ExitBadInput, code)
		assert.Contains(t, errs, "both hold shard 0 of 3")
		// A file of another sweep is not gone on with.
		code, _, errs = run("sweep", "trail", "--no-chances", "--vary", "front.line=46:56:0.25", "--vary", "frame.stay=415:445:2", "--format", format, "-q", "-o", whole, "--resume")
		assert.Equal(t, ExitBadInput, code)
		assert.Contains(t, errs, "holds rows of another sweep: plan, vary[1].step: 1.5 against 2")
	}
}

// breakOff puts beside rows the identity of a sweep that was broken off, from that of
// the whole one.
func breakOff(t *testing.T, whole, part string) {
	id, err := readID(whole)
	require.NoError(t, err)
	require.NotNil(t, id.Ended)
	id.Ended = nil
	require.NoError(t, id.write(part))
}

// stoppedIn marks the whole rows of a file that was broken off, as a sweep does that is
// stopped behind them.
func stoppedIn(t *testing.T, part string) {
	id, err := readID(part)
	require.NoError(t, err)
	f, err := os.Open(part)
	require.NoError(t, err)
	defer f.Close()
	kept := slices.DeleteFunc(id.Proven, func(m mark) bool {
		st, err := f.Stat()
		require.NoError(t, err)
		return m.Bytes > st.Size()
	})
	id.Proven = nil
	s, err := scanRows(f, part, id)
	require.NoError(t, err)
	id.Proven = append(kept, mark{s.at + 1, s.rows, s.end, s.hash()})
	require.NoError(t, id.write(part))
}

// A full disk is one clear error, and whole rows are kept.
func TestFullDisk(t *testing.T) {
	if _, err := os.Stat("/dev/full"); err != nil {
		t.Skip("no /dev/full")
	}
	code, _, errs := run("sweep", "trail", "--no-chances", "--vary", "front.line=46:56:0.1", "-q", "-o", "/dev/full", "--resume")
	assert.Equal(t, ExitBadInput, code)
	assert.Contains(t, errs, "/dev/full is a pipe or device")
	code, _, errs = run("sweep", "trail", "--no-chances", "--vary", "front.line=46:56:0.1", "-q", "-o", "/dev/full")
	assert.Equal(t, ExitFailed, code)
	assert.Equal(t, 1, strings.Count(errs, "\n"), errs)
	assert.Contains(t, errs, "/dev/full: no space left on device")
}

func TestShardFromJobArrays(t *testing.T) {
	for _, c := range []struct {
		flag string
		env  map[string]string
		want sweep.Shard
		bad  string
	}{
		{"", nil, sweep.Shard{}, ""},
		{"2/5", nil, sweep.Shard{I: 2, N: 5}, ""},
		{"5/5", nil, sweep.Shard{}, "want I/N"},
		{"x", nil, sweep.Shard{}, "want I/N"},
		{"auto", nil, sweep.Shard{}, "no job array"},
		{"auto", map[string]string{"SLURM_ARRAY_TASK_ID": "7", "SLURM_ARRAY_TASK_MIN": "4", "SLURM_ARRAY_TASK_COUNT": "8"}, sweep.Shard{I: 3, N: 8}, ""},
		{"auto", map[string]string{"SLURM_ARRAY_TASK_ID": "9", "SLURM_ARRAY_TASK_MIN": "1", "SLURM_ARRAY_TASK_STEP": "4", "SLURM_ARRAY_TASK_COUNT": "3"}, sweep.Shard{I: 2, N: 3}, ""},
		{"auto", map[string]string{"JOB_COMPLETION_INDEX": "3"}, sweep.Shard{}, "want auto/N"},
		{"auto/4", map[string]string{"JOB_COMPLETION_INDEX": "3"}, sweep.Shard{I: 3, N: 4}, ""},
		{"auto/3", map[string]string{"JOB_COMPLETION_INDEX": "3"}, sweep.Shard{}, "out of range"},
		{"auto", map[string]string{"SGE_TASK_ID": "2", "SGE_TASK_FIRST": "1", "SGE_TASK_LAST": "6", "SGE_TASK_STEPSIZE": "1"}, sweep.Shard{I: 1, N: 6}, ""},
		{"auto/6", map[string]string{"SGE_TASK_ID": "undefined"}, sweep.Shard{}, "no job array"},
		{"auto/6", map[string]string{"LSB_JOBINDEX": "6"}, sweep.Shard{I: 5, N: 6}, ""},
		{"auto/6", map[string]string{"PBS_ARRAY_INDEX": "0"}, sweep.Shard{I: 0, N: 6}, ""},
		// What a scheduler leaves out: the first is 0, or 1 where it counts so, the step is 1, and how many is not known.
		{"auto", map[string]string{"SLURM_ARRAY_TASK_ID": "3", "SLURM_ARRAY_TASK_COUNT": "8"}, sweep.Shard{I: 3, N: 8}, ""},
		{"auto", map[string]string{"SLURM_ARRAY_TASK_ID": "3", "SLURM_ARRAY_TASK_STEP": "0", "SLURM_ARRAY_TASK_COUNT": "8"}, sweep.Shard{I: 3, N: 8}, ""},
		{"auto/9", map[string]string{"SLURM_ARRAY_TASK_ID": "3", "SLURM_ARRAY_TASK_COUNT": "8"}, sweep.Shard{I: 3, N: 9}, ""},
		{"auto", map[string]string{"SLURM_ARRAY_TASK_ID": "3"}, sweep.Shard{}, "want auto/N"},
		{"auto/6", map[string]string{"SLURM_ARRAY_TASK_ID": "2", "SLURM_ARRAY_TASK_MIN": "3"}, sweep.Shard{}, "index -1 of the job array is out of range, want 0 to 5"},
		{"auto", map[string]string{"SGE_TASK_ID": "5", "SGE_TASK_FIRST": "1", "SGE_TASK_LAST": "9", "SGE_TASK_STEPSIZE": "4"}, sweep.Shard{I: 1, N: 3}, ""},
		{"auto", map[string]string{"SGE_TASK_ID": "2", "SGE_TASK_LAST": "6"}, sweep.Shard{I: 1, N: 6}, ""},
		{"auto", map[string]string{"SGE_TASK_ID": "4", "SGE_TASK_FIRST": "4", "SGE_TASK_LAST": "4"}, sweep.Shard{I: 0, N: 1}, ""},
		{"auto", map[string]string{"SGE_TASK_ID": "2"}, sweep.Shard{}, "want auto/N"},
		{"auto/6", map[string]string{"LSB_JOBINDEX": "0"}, sweep.Shard{}, "no job array"},
		{"auto/6", map[string]string{"LSB_JOBINDEX": "1"}, sweep.Shard{I: 0, N: 6}, ""},
		{"auto/6", map[string]string{"LSB_JOBINDEX": "7"}, sweep.Shard{}, "index 6 of the job array is out of range"},
		{"auto/1", map[string]string{"PBS_ARRAY_INDEX": "0"}, sweep.Shard{I: 0, N: 1}, ""},
		{"auto/0", map[string]string{"PBS_ARRAY_INDEX": "0"}, sweep.Shard{}, "want auto/N"},
		{"auto/x", map[string]string{"PBS_ARRAY_INDEX": "0"}, sweep.Shard{}, "want auto/N"},
	} {
		got, err := shardOf(c.flag, func(k string) string { return c.env[k] })
		if c.bad != "" {
			assert.ErrorContains(t, err, c.bad, "%+v", c)
			continue
		}
		assert.NoError(t, err, "%+v", c)
		assert.Equal(t, c.want, got)
	}
}

// Every number in a case can be varied by its path.
func TestEveryNumberCanBeVaried(t *testing.T) {
	for _, v := range []string{
		"frame.stay=430:440:5", "rear.cogs[11]=48:52:2", "front.rings[0]=30:34:2", "chain.slack=0.5:1:0.5", "chain.links=114,118", "tyre.width=50,60",
		"tensioner.gaps[1]=5,7", "load.torque=20:60:20", "rear.measured.gap=2:4:1", "front.tooth.wide_thickness=3.3,3.5", "speeds=11,12", "chainstay.angle=2,4",
	} {
		r := rowerFor(t, "trail", &sweepOptions{vary: []string{v}})
		text := sweepText(t, r, 0, sweep.Shard{})
		lines := strings.Split(strings.TrimSpace(text), "\n")
		assert.GreaterOrEqual(t, len(lines), 3)
		for _, l := range lines[1:] {
			assert.Contains(t, l, ",ok,", v)
		}
	}
}

// What is varied reaches the columns of losses: the worst gear's is what the gears
// command says of that very bicycle.
func TestVariedFrictionReachesLosses(t *testing.T) {
	for path, key := range map[string]string{"friction.pin=0.02,0.2": "pin", "friction.flank=0,0.3": "flank", "friction.bearing_drag=0.001,0.05": "bearing_drag"} {
		_, values, _ := strings.Cut(path, "=")
		r := rowerFor(t, "trail", &sweepOptions{vary: []string{path}, bare: true, loss: true, format: "jsonl"})
		for i, l := range strings.Split(strings.TrimSpace(sweepText(t, r, 0, sweep.Shard{})), "\n") {
			var row struct {
				Most float64 `json:"loss_percent_most"`
			}
			require.NoError(t, json.Unmarshal([]byte(l), &row))
			bike, err := os.ReadFile("../../../cases/shipped/trail.yaml")
			require.NoError(t, err)
			require.NotContains(t, string(bike), "friction:")
			file := filepath.Join(t.TempDir(), "bike.yaml")
			text := fmt.Sprintf("%s\nfriction:\n  %s: %s\n", bike, key, strings.Split(values, ",")[i])
			require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
			code, out, errs := run("gears", file, "--format", "json")
			require.Equal(t, ExitDone, code, errs)
			var doc show.Gears
			require.NoError(t, json.Unmarshal([]byte(out), &doc))
			most := 0.0
			for _, g := range doc.Gears {
				most = math.Max(most, *g.Loss.Percent)
			}
			assert.Equal(t, most, row.Most, "%s, row %d", path, i)
		}
	}
}

// Chances of a row are what the gears command says of that very bicycle, and are asked
// of one chain like the rest.
func TestSweptChancesAreThoseOfGears(t *testing.T) {
	r := rowerFor(t, "trail", &sweepOptions{vary: []string{"chain.slack=0.5,1.2"}, format: "jsonl"})
	bike, err := os.ReadFile("../../../cases/shipped/trail.yaml")
	require.NoError(t, err)
	require.NotContains(t, string(bike), "chain:\n")
	for i, l := range strings.Split(strings.TrimSpace(sweepText(t, r, 0, sweep.Shard{})), "\n") {
		var row map[string]any
		require.NoError(t, json.Unmarshal([]byte(l), &row))
		file := filepath.Join(t.TempDir(), "bike.yaml")
		text := fmt.Sprintf("%s\nchain:\n  slack: %s\n", bike, []string{"0.5", "1.2"}[i])
		require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
		code, out, errs := run("gears", file, "--format", "json")
		require.Equal(t, ExitDone, code, errs)
		var doc struct {
			Gears []struct {
				Chance map[string]*float64 `json:"chance"`
			} `json:"gears"`
		}
		require.NoError(t, json.Unmarshal([]byte(out), &doc))
		for name := range doc.Gears[0].Chance {
			var most any
			for _, g := range doc.Gears {
				if p := g.Chance[name]; p != nil {
					if q, ok := most.(float64); !ok || *p > q {
						most = *p
					}
				}
			}
			if most == nil {
				assert.Nil(t, row[name+"_most"], name)
				continue
			}
			assert.InDelta(t, most, row[name+"_most"], 1e-4, "%s, row %d", name, i) // gears says four decimals
		}
		assert.Greater(t, row["trouble"], 0.0)
	}
}

// Chances of shifts in a row are what the shifts command says of that very bicycle: with another
// front line, hanger, ratio, a cog's line and a whole other wheel.
func TestSweptShiftsAreThoseOfShifts(t *testing.T) {
	for vary, is := range map[string][2]string{
		"tensioner.hanger.lean=-1,2":     {"hanger: {lean: -1}", "hanger: {lean: 2}"},
		"tensioner.index_error=-0.6,0.3": {"index_error: -0.6", "index_error: 0.3"},
		"tensioner.ratio=1.05,1.15":      {"ratio: 1.05", "ratio: 1.15"},
		"tensioner.adjuster_clicks=3,6":  {"adjuster_clicks: 3", "adjuster_clicks: 6"},
		"tensioner.float=0.9,1.4":        {"float: 0.9", "float: 1.4"},
		"front.line=50,54,--front":       {},
		"rear.line=46,49,--rear":         {},
	} {
		text, err := os.ReadFile("../../../cases/shipped/trail.yaml")
		require.NoError(t, err)
		bike := strings.Replace(string(text), "\ntensioner:\n", "\ntensioner:\n  cable_per_shift: 3.3\n", 1)
		if strings.Contains(vary, "hanger") {
			bike = strings.Replace(bike, "\ntensioner:\n", "\ntensioner:\n  hanger: {toe: 0.5}\n", 1)
		}
		file := filepath.Join(t.TempDir(), "bike.yaml")
		require.NoError(t, os.WriteFile(file, []byte(bike), 0o644))
		vary, line, _ := strings.Cut(vary, ",--")
		r := rowerFor(t, file, &sweepOptions{vary: []string{vary}, shifts: true, format: "jsonl"})
		for i, l := range strings.Split(strings.TrimSpace(sweepText(t, r, 0, sweep.Shard{})), "\n") {
			var row map[string]any
			require.NoError(t, json.Unmarshal([]byte(l), &row))
			require.Equal(t, "ok", row["status"])
			was := bike
			if line == "" {
				was = strings.Replace(bike, "\ntensioner:\n", "\ntensioner:\n  "+is[i]+"\n", 1)
				if strings.Contains(vary, "hanger") {
					was = strings.Replace(strings.Replace(bike, "hanger: {toe: 0.5}", is[i], 1), "}\n", ", toe: 0.5}\n", 1)
				}
			}
			own := filepath.Join(t.TempDir(), "own.yaml")
			require.NoError(t, os.WriteFile(own, []byte(was), 0o644))
			code, out, errs := run("shifts", own, "--format", "json")
			require.Equal(t, ExitDone, code, "%s: %s", vary, errs)
			var doc struct {
				Any    float64 `json:"chance_any_late"`
				Shifts []struct {
					Late float64 `json:"chance_late"`
				} `json:"shifts"`
			}
			require.NoError(t, json.Unmarshal([]byte(out), &doc))
			late := 0.0
			for _, s := range doc.Shifts {
				late = math.Max(late, s.Late)
			}
			assert.InDelta(t, late, row["shift_late_most"], 1e-4, "%s, row %d", vary, i) // lines alone move nothing
			assert.InDelta(t, doc.Any, row["shift_any_late"], 1e-4, "%s, row %d", vary, i)
			assert.InDelta(t, row["shift_window_mm"].(float64)/(0.8*1.106/4), row["shift_window_clicks"].(float64), 9)
		}
	}
}

// A bike on which nothing is shifted has empty columns.
func TestSweptShiftsOfOneCog(t *testing.T) {
	code, out, errs := run("sweep", "single", "--vary", "front.line=43,45", "--shifts", "--format", "jsonl", "-q")
	require.Equal(t, ExitDone, code, errs)
	var row map[string]any
	require.NoError(t, json.Unmarshal([]byte(strings.SplitN(out, "\n", 2)[0]), &row))
	for _, name := range []string{"shift_window_mm", "shift_window_clicks", "shift_best_mm", "shift_margin_mm", "shift_margin_from_teeth", "shift_late_most", "shift_any_late"} {
		v, ok := row[name]
		assert.True(t, ok && v == nil, name)
	}
}

// A field that changes no column is refused, with the reason.
func TestIdleFieldsAreRefused(t *testing.T) {
	for v, says := range map[string]string{
		"friction.pin=0.01,0.2":       "friction.pin changes no column without --loss",
		"instruments.caliper=0.2,0.5": "budget counts it",
		"riding.ratio=1,2":            "weighs gears by time",
		"tolerances.run_out=0.1,0.2":  "which only march does",
		"limits.quiet=1,2":            "changes no number",
		"chainpath=1":                 "version of the case format",
		"title=a":                     "changes no number",
		"tensioner.float=0.9,1.9":     "tensioner.float changes no column without --shifts",
		"chain.link_mass=2,3":         "chain.link_mass changes no column",
		"load.slack_side=5,9":         "load.slack_side changes no column",
		"front.ring_pitch=7,8":        "front.ring_pitch changes no column",
	} {
		code, out, errs := run("sweep", "trail", "--vary", v, "-q")
		assert.Equal(t, ExitBadInput, code, v)
		assert.Empty(t, out, v)
		assert.Contains(t, errs, says, v)
	}
}

// A design that cannot be is a row that says why.
func TestDesignsThatCannotBe(t *testing.T) {
	code, out, errs := run("sweep", "trail", "--vary", "front.rings[0]=31,33", "-q")
	assert.Equal(t, ExitFailed, code)
	assert.Equal(t, 3, strings.Count(out, "\n"))
	assert.Contains(t, errs, "none of 2 designs can be: the first, 0: front.rings: chainring of 31 teeth: narrow-wide")
	code, out, errs = run("sweep", "trail", "--vary", "front.rings[0]=31,32", "-q")
	require.Equal(t, ExitDone, code, errs)
	assert.Contains(t, out, "\n0,31,front.rings: chainring of 31 teeth: narrow-wide teeth need an even number,,")
	assert.Contains(t, out, "\n1,32,ok,")
}

// Travel of rear suspension: the stay follows the path, and the loop grows with it.
func TestTravel(t *testing.T) {
	r := rowerFor(t, "full-suspension", &sweepOptions{vary: []string{"frame.travel=0:140:35"}, format: "jsonl"})
	c, err := cases.Load("full-suspension", nil)
	require.NoError(t, err)
	for i, l := range strings.Split(strings.TrimSpace(sweepText(t, r, 0, sweep.Shard{})), "\n") {
		var row map[string]any
		require.NoError(t, json.Unmarshal([]byte(l), &row))
		d := r.w.Designer()
		b, err := d.Bike([]float64{35 * float64(i)})
		require.NoError(t, err)
		// At a point of the path the path's own numbers.
		assert.InDelta(t, c.Frame.Path[i].Stay.Value, b.Frame.Stay, 1e-9)
		assert.InDelta(t, c.Frame.Path[i].Drop.Value, b.Frame.Drop, 1e-9)
		assert.Zero(t, row["cannot_close"], "the chain is long enough, travel "+strconv.Itoa(35*i))
		loop, _ := row["ring_cog_loop_mm"].(float64)
		assert.Greater(t, loop, 1300.0)
	}
}

// Where travel is varied all designs have one chain, unless each is to have its own.
func TestTravelHasOneChain(t *testing.T) {
	links := func(args ...string) (said string, all map[string]bool) {
		code, out, errs := run(append([]string{"sweep", "full-suspension", "--vary", "frame.travel=0:140:35", "--format", "jsonl"}, args...)...)
		require.Equal(t, ExitDone, code, errs)
		all = map[string]bool{}
		for _, m := range regexp.MustCompile(`"links":(\d+)`).FindAllString(out, -1) {
			all[m] = true
		}
		return errs, all
	}
	said, all := links()
	assert.Contains(t, said, "one chain for all")
	assert.Len(t, all, 1)
	said, all = links("--one-chain=false")
	assert.NotContains(t, said, "one chain for all")
	assert.Len(t, all, 1, "which is that of the farthest axle, wherever along its path the design stands")
}

// Work of years is not begun in silence, and nothing is written; a shard of it, or what a
// computer can do, is.
func TestYearsAreNotBegunInSilence(t *testing.T) {
	file := filepath.Join(t.TempDir(), "rows")
	code, _, errs := run("sweep", "trail", "--no-chances", "--vary", "front.line=46:56:0.00001", "--vary", "frame.stay=420:450:0.00003", "-q", "-o", file)
	assert.Equal(t, ExitBadInput, code)
	assert.Regexp(t, `about \S+ days of work ahead: 1000002000001 designs; -q would not tell`, errs)
	assert.NoFileExists(t, file)
	r := rowerFor(t, "trail", &sweepOptions{bare: true, vary: []string{"front.line=46:56:0.00001", "frame.stay=420:450:0.00003"}, quiet: true})
	job := sweep.Job{Designs: r.w.Plan.Designs(), Shard: sweep.Shard{I: 7, N: 100_000}}
	assert.NoError(t, r.o.tooQuiet(r, job))
	r.o.quiet = false
	job.Shard = sweep.Shard{}
	assert.NoError(t, r.o.tooQuiet(r, job))
}

// FuzzSweepPlan: a plan is read or refused with an error that names its file.
func FuzzSweepPlan(f *testing.F) {
	f.Add("chainpath_sweep: 1\nvary:\n- {path: front.line, from: 46, to: 56, step: 1}\nwhere:\n- {of: front.line, at_least: 47}\n")
	f.Add("chainpath_sweep: 1\nvary:\n- {path: chain.slack, values: [0.5, 1]}\nlinked: [{path: frame.drop, follows: chain.slack, factor: 2, offset: 50}]\nsample: {method: sobol, count: 8}\n")
	c, err := cases.Load("trail", nil)
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, text string) {
		p, err := cases.ParseSweep("plan.yaml", []byte(text))
		var w *cases.Sweep
		if err == nil {
			w, err = p.For(c)
		}
		if err != nil {
			assert.Contains(t, err.Error(), "plan.yaml")
			return
		}
		x := make([]float64, len(w.Plan.Variables))
		d := w.Designer()
		for _, n := range []int{0, w.Plan.Designs() / 2, w.Plan.Designs() - 1} {
			w.Plan.Design(x, n)
			_, _ = d.Bike(x)
			for _, v := range x {
				assert.False(t, math.IsNaN(v) || math.IsInf(v, 0))
			}
		}
	})
}

// Options that are not needed any more are taken, and say so beside the rows, which are as without.
func TestOptionsThatWentAreTaken(t *testing.T) {
	args := []string{"sweep", "single", "--vary", "front.line=43,45", "-q"}
	code, want, errs := run(args...)
	require.Equal(t, ExitDone, code, errs)
	assert.Empty(t, errs)
	code, got, errs := run(append(args, "--chances", "--exact", "--window")...)
	require.Equal(t, ExitDone, code)
	assert.Equal(t, want, got)
	for _, name := range []string{"chances", "exact", "window"} {
		assert.Contains(t, errs, "--"+name+" does nothing any more: ")
	}
	assert.Equal(t, 3, strings.Count(errs, "\n"))
}
