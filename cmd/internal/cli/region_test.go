package cli

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cmd/internal/show"
	"chainpath/sim"
	"chainpath/sim/sweep"
)

// exactBike is the small bike with what has a tolerance in these tests beyond doubt.
func exactBike(t *testing.T) string {
	text, err := os.ReadFile(small)
	require.NoError(t, err)
	exact := strings.NewReplacer("stay: 425 ± 1", "stay: 425 ± 0", "line: 54.5 ± 0.5", "line: 54.5 ± 0").Replace(string(text))
	require.NotContains(t, exact, "54.5 ± 0.5")
	name := filepath.Join(t.TempDir(), "exact.yaml")
	require.NoError(t, os.WriteFile(name, []byte(exact), 0o600))
	return name
}

// Bikes built one by one, off by the same deviations, are good as often as the region says, which goes
// between the designs that were swept: within 1 in 100.
func TestRegionAgainstBikesBuiltOneByOne(t *testing.T) {
	name := exactBike(t)
	o := &sweepOptions{vary: []string{"front.line=44:58:0.5", "frame.stay=420:450:2"}, format: "csv"}
	r := rowerFor(t, name, o)
	rows := filepath.Join(t.TempDir(), "rows.csv")
	require.NoError(t, os.WriteFile(rows, []byte(sweepText(t, r, 0, sweep.Shard{})), 0o600))
	tab, err := readRows(rows)
	require.NoError(t, err)
	ask := &regionOptions{keep: []string{"drop_backwards_most<=0.3", "stay_mm>=0"}, tolerance: map[string]string{"front_line_mm": "0.6", "frame_stay_mm": "2"}, share: 0.95, draws: 200}
	reg, err := ask.region(tab)
	require.NoError(t, err)
	require.NoError(t, reg.Prepare(tab.x[1:3]))
	found, err := reg.Find(func() error { return nil })
	require.NoError(t, err)
	require.Greater(t, found.Inside, 0)

	var at [][]int // designs of which some bikes are good and some are not, and one of each other kind
	for i := range reg.Axes[0] {
		for j := range reg.Axes[1] {
			if m := reg.At([]int{i, j}); m.Good > 0.1 && m.Good < 0.97 {
				at = append(at, []int{i, j})
			}
		}
	}
	require.Greater(t, len(at), 8)
	at = [][]int{at[0], at[len(at)/2], at[len(at)-1], found.Best}
	if testing.Short() {
		at = at[1:2]
	}
	names := tab.names
	d, e := r.w.Designer(), new(sim.Outcomes)
	for _, place := range at {
		good := 0
		for draw := range reg.Draws {
			row := &show.SweepRow{Status: "ok"}
			for k, i := range place {
				row.Values = append(row.Values, reg.Axes[k][i]+reg.Within[k]*reg.Off[draw][k])
			}
			require.NoError(t, r.outcome(row, d, e))
			cells, err := csv.NewReader(strings.NewReader(string(r.format.Append(nil, row)))).Read()
			require.NoError(t, err)
			cell := func(of string) float64 {
				x, err := strconv.ParseFloat(cells[slices.Index(names, of)], 64)
				require.NoError(t, err)
				return x
			}
			if cell("drop_backwards_most") <= 0.3 && cell("stay_mm") >= 0 {
				good++
			}
		}
		assert.InDelta(t, float64(good)/float64(reg.Draws), reg.At(place).Good, 0.0101, "front line %g, stay %g", reg.Axes[0][place[0]], reg.Axes[1][place[1]])
	}
}

// What is asked that cannot be answered, one line each; and the three formats of one that can.
func TestRegionCommand(t *testing.T) {
	dir := t.TempDir()
	rows := filepath.Join(dir, "rows.csv")
	code, _, errs := run("sweep", small, "--vary", "front.line=50:54:1", "--vary", "frame.stay=430:436:3", "--no-chances", "-q", "-o", rows)
	require.Equal(t, 0, code, errs)
	for args, want := range map[string]string{
		"":               "nothing to keep: --keep",
		"--keep stay":    `--keep "stay", want COLUMN>=NUMBER`,
		"--keep stay<=1": `--keep: no column "stay", there are design`,
		"--keep stay_mm>=0 --tolerance stay_mm=1":                               `--tolerance: "stay_mm" is not varied in these rows, there are front_line_mm, frame_stay_mm`,
		"--keep stay_mm>=0 --tolerance front_line_mm=-1":                        "--tolerance front_line_mm=-1, want a number of 0 or more",
		"--keep stay_mm>=0 --tolerance front_line_mm=NaN":                       "want a number of 0 or more",
		"--keep stay_mm>=0 --tolerance front_line_mm=9":                         "no design is as far from the ends of what was swept",
		"--keep stay_mm>=0 --sizes frame_stay_mm=431":                           `"431" is no value that was swept, there are 430, 433, 436`,
		"--keep stay_mm>=0 --sizes frame_stay_mm --sizes front_line_mm":         "nothing is left to choose",
		"--keep stay_mm>=0 --share 1":                                           "--share 1 is out of range, want 0.5 to 0.99",
		"--keep stay_mm>=0 --draws 5":                                           "--draws 5 is out of range",
		"--keep stay_mm>=0 --sizes frame_stay_mm --figures " + dir + "/figures": "one number is a choice, a map takes two",
	} {
		code, out, errs := run(append([]string{"sweep", "region", rows}, strings.Fields(args)...)...)
		assert.Equal(t, 2, code, args)
		assert.Empty(t, out, args)
		assert.Contains(t, errs, want, args)
	}
	assert.NoDirExists(t, dir+"/figures")

	ask := []string{"sweep", "region", rows, "--keep", "stay_mm>=0.5", "--tolerance", "front_line_mm=0.5", "--sizes", "frame_stay_mm"}
	code, out, errs := run(append(ask, "--format", "json")...)
	require.Equal(t, 0, code, errs)
	var doc show.Region
	require.NoError(t, json.Unmarshal([]byte(out), &doc))
	assert.Equal(t, 5, doc.Designs)
	assert.Equal(t, 3, doc.Judged)
	assert.Len(t, doc.Numbers[1].Sizes, 3)
	code, out, _ = run(append(ask, "--format", "csv")...)
	require.Equal(t, 0, code)
	lines := strings.Split(strings.TrimSpace(out), "\n")
	assert.Equal(t, "front_line_mm,share_good,inside", lines[0])
	assert.Equal(t, "50,,false", lines[1], "not judged")
	inside := 0
	for _, l := range lines[1:] {
		if strings.HasSuffix(l, "true") {
			inside++
		}
	}
	assert.Equal(t, doc.Inside, inside)
	code, out, _ = run(ask...)
	require.Equal(t, 0, code)
	assert.Contains(t, out, doc.Words[:20])
	assert.Contains(t, out, "2 designs lie nearer to the end of what was swept")
	assert.False(t, math.IsNaN(doc.Good))

	code, _, errs = run("sweep", small, "--vary", "front.line=50:54", "--vary", "frame.stay=430:436", "--sample", "random:9", "--no-chances", "-q", "-o", rows+"2")
	require.Equal(t, 0, code, errs)
	code, _, errs = run("sweep", "region", rows+"2", "--keep", "stay_mm>=0")
	assert.Equal(t, 2, code)
	assert.Contains(t, errs, "the designs are no grid")
}
