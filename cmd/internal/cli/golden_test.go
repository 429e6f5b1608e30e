package cli

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"flag"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/cmd/internal/reference"
	"chainpath/cmd/internal/show"
)

var update = flag.Bool("update", false, "write the golden files anew")

// small is a case of two rings and three cogs, for outputs of every gear.
const small = "../../../testdata/small.yaml"

// shop are the bicycles that one workshop knows, two some of them.
const shop = two + " ../../../testdata/shop/quay.yaml ../../../testdata/shop/ridge.yaml"

const two = "../../../testdata/shop/lane.yaml ../../../testdata/shop/mill.yaml"

// long says whether what takes minutes and finds little more is run too, as CI does.
var long = os.Getenv("CHAINPATH_LONG") != ""

// whole says whether samples are as large as they were ever wanted, which takes an hour.
var whole = os.Getenv("CHAINPATH_LONG") == "whole"

// slow are golden outputs that the race detector takes minutes for: others run the same code.
var slow = []string{"parts", "shop", "march.txt", "march-all.txt", "march-trials.csv", "diagnose", "fix.csv", "fix.txt"}

// printed is what run returned for a command that only prints: many tests look at the output
// of the same one.
var printed = map[string]struct {
	code      int
	out, errs string
}{}

// seeing is run, for a command line that writes no file; one that a test has looked at before is
// not run again.
func seeing(args string) (code int, out, errs string) {
	p, ok := printed[args]
	if !ok {
		p.code, p.out, p.errs = run(fields(args)...)
		printed[args] = p
	}
	return p.code, p.out, p.errs
}

// run calls the tool as a user would and returns its exit code and output.
func run(args ...string) (code int, out, errs string) {
	var o, e bytes.Buffer
	code = Main(args, strings.NewReader(""), &o, &e)
	return code, o.String(), e.String()
}

// The machine output is a contract; the tables are read by people.
func TestGoldenOutput(t *testing.T) {
	for name, args := range map[string]string{
		"trail.txt":        "gears trail",
		"trail-why.txt":    "gears trail --why",
		"small.json":       "gears " + small + " --format json",
		"single.json":      "gears single --format json",
		"single.txt":       "gears single",
		"fixed.txt":        "gears fixed --why",
		"idler.txt":        "gears idler --why",
		"idler.csv":        "gears idler --format csv",
		"march-idler.csv":  "march idler --cog 10 --turns 0.3 --format csv",
		"fixed.json":       "gears fixed --format json",
		"small.csv":        "gears " + small + " --format csv --power 300 --cadence 70",
		"tourer.txt":       "gears tourer --tension 500",
		"defaults.txt":     "defaults",
		"defaults-all.txt": "defaults --all",
		"defaults-9.json":  "defaults --speeds 9 --format json",
		"defaults-1.csv":   "defaults --speeds 1 --format csv",
		"cases.txt":        "cases",
		"front.txt":        "line front --tube-width 48.6 --gap 29.9",
		"front-double.txt": "line front --tube-width 34 --reading 23.65 --reading 31.15 --face outer --thickness 1.8",
		"front-triple.txt": "line front --tube-width 34 --reading 20 --reading 28.5 --reading 37 --face inner --thickness 2",
		"rear.txt":         "line rear --dropouts 147.5 --stack 42.6 --protrusion 0.9 --gap 4.9",
		"rear.json":        "line rear --dropouts 147.5 --stack 41.7 --gap 4.9 --format json",
		"rear.csv":         "line rear --dropouts 14.75cm --stack 41.7 --gap 4.9 --format csv",
		"check.txt":        "check " + strings.Join(cases.Shipped(), " "),
		"window.txt":       "window trail",
		"window.json":      "window single-tensioner --format json",
		"window.csv":       "window trail --format csv",
		"window-none.json": "window " + small + " --format json",
		"budget.txt":       "budget trail --draws 200 --seed 4",
		"budget.json":      "budget " + small + " --draws 100 --format json",
		"budget.csv":       "budget single --draws 100 --format csv",
		"fix.txt":          "fix trail",
		"fix-leave.txt":    "fix road",
		"fix.json":         "fix trail --format json",
		"fix.csv":          "fix trail --worth 4000 --format csv",
		"parts.txt":        "parts trail trail-parts --complaint backwards",
		"parts.json":       "parts " + small + " trail-parts --format json --top 1",
		"parts.csv":        "parts " + small + " trail-parts --format csv",
		"compare.txt":      "compare trail trail-short",
		"compare.json":     "compare single single-tensioner --format json",
		"compare.csv":      "compare trail trail-short wide-tyre --format csv",
		"diagnose.txt":     "diagnose trail",
		"diagnose.json":    "diagnose trail --format json",
		"diagnose.csv":     "diagnose trail --format csv",
		"learn.txt":        "learn trail --seen 32/38:quiet --seen */44:noise",
		"learn.json":       "learn single --seen */17:quiet --format json",
		"learn.csv":        "learn trail --seen 32/38:quiet --format csv",
		"shop.txt":         "learn --shop /dev/null " + two,
		"shop.json":        "learn --shop /dev/null --format json " + two,
		"shop.csv":         "learn --shop /dev/null --format csv " + two,
		"slack.txt":        "slack --links 12 --sag 15±1 --links 30 --sag 160±3 --mass 2.3±0.02",
		"slack.json":       "slack --links 30 --sag 160±3 --links 12 --sag 15±1 --mass 2.3±0.02 --format json",
		"slack.csv":        "slack --links 12 --sag 1.5cm --links 30 --sag 160 --mass 2.3 --format csv",
		"limit.txt":        "limit " + small + " front.line",
		"limit.json":       "limit " + small + " chainstay.gap --chance 0.2 --format json",
		"limit.csv":        "limit " + small + " rear.line --format csv",
		"next.txt":         "next gravel --top 3 --weight meets_stay=0",
		"next.json":        "next " + small + " --format json",
		"next.csv":         "next " + small + " --format csv",
		"shifts.txt":       "shifts trail",
		"shifts.json":      "shifts " + small + " --format json",
		"shifts.csv":       "shifts " + small + " --format csv",
		"windows.csv":      "shifts " + small + " --format csv --rows windows",
		"hanger.txt":       "bench hanger --bottom-top 6±1 --front-back -2±1",
		"stiffness.txt":    "bench stiffness --tilt 15±0.5 --mass 10 --aside 16±0.5 --slack 0.7±0.1",
		"twist.json":       "bench twist --links 20 --turn 28±2 --format json",
		"widths.txt":       "bench widths --inner 2.19 --plate 0.81 --over-plates 5.5 --over-rivets 5.62±0.05 --cog-tip 0.9 --cog-root 1.6",
		"widths.csv":       "bench widths --inner 2.19 --ring-tip 1.1±0.05 --format csv",
		"march.txt":        "march trail --cog 51 --backwards --turns 1 --trials 20",
		"march.json":       "march trail --cog 44 --backwards --turns 0.2 --trials 3 --places 0 --events 2 --format json",
		"march.csv":        "march road --ring 50 --cog 28 --turns 0.3 --format csv",
		"march-places.csv": "march single --turns 0.1 --places 10 --rows places --format csv",
		"march-trials.csv": "march trail --cog 38 --backwards --turns 0.5 --trials 4 --rows trials --format csv",
		"sweep.csv":        "sweep trail --vary front.line=48:54:2 --vary chain.slack=0.6,1.5 -q",
		"sweep.jsonl":      "sweep full-suspension --vary frame.travel=0:140:70 --one-chain --loss --format jsonl -q",
		"sweep-bare.csv":   "sweep trail --vary front.line=48:54:2 --vary chain.width=5.1,5.4 --no-chances -q",
		"sweep-shifts.csv": "sweep trail --vary tensioner.index_error=-0.6,0.2 --shifts -q",
		"adjuster.txt":     "bench adjuster road --clicks 4 --first-inboard 28>25 --first-outboard 11>12",
		"sweep-sobol.csv":  "sweep road --vary front.line=40:48 --vary load.power=150:350 --sample sobol:6 --where drop_riding_most<=0.9 -q",
		// Everything, not one screen.
		"road-all.txt":            "gears road --all",
		"full-suspension-all.txt": "gears full-suspension --all",
		"window-all.txt":          "window " + small + " --all",
		"window-map.csv":          "window " + small + " --format csv --map",
		"window-along.csv":        "window " + small + " --format csv --along",
		"budget-all.txt":          "budget " + small + " --draws 100 --all",
		"compare-all.txt":         "compare trail trail-short --all",
		"diagnose-all.txt":        "diagnose trail --all",
		"learn-all.txt":           "learn trail --seen 32/38:quiet --seen */44:noise --all",
		"shop-all.txt":            "learn --shop /dev/null --all " + two,
		"shifts-all.txt":          "shifts trail --all",
		"march-all.txt":           "march trail --cog 51 --backwards --turns 1 --trials 20 --all",
		"unknowns.txt":            "defaults --unknowns",
		"unknowns.json":           "defaults --unknowns --format json",

		"schema.json":    "schema",
		"help.txt":       "--help",
		"help-gears.txt": "gears --help",
	} {
		if !long && slices.Contains([]string{"shop.csv", "shop.json", "diagnose.csv", "diagnose.json", "window.csv", "next.csv", "parts.csv"}, name) {
			continue // other formats of what takes long
		}
		if raced && slices.ContainsFunc(slow, func(s string) bool { return strings.HasPrefix(name, s) }) {
			continue
		}
		t.Run(name, func(t *testing.T) {
			code, out, errs := seeing(args)
			require.Equal(t, ExitDone, code, errs)
			path := filepath.Join("../../../testdata/golden", name)
			if *update {
				require.NoError(t, os.WriteFile(path, []byte(out), 0o644))
			}
			want, err := os.ReadFile(path)
			require.NoError(t, err)
			assert.Equal(t, string(want), out)
			assert.NotContains(t, out, "\x1b", "no colour into a pipe")
			assert.NotContains(t, out, "NaN")
			assert.NotContains(t, out, "Inf")
		})
	}
}

func TestJSONHasEveryPromisedField(t *testing.T) {
	for _, name := range cases.Shipped() {
		_, out, _ := seeing("gears " + name + " --format json")
		var doc map[string]any
		require.NoError(t, json.Unmarshal([]byte(out), &doc))
		dig := func(v any, path string) any {
			for _, k := range strings.Split(path, ".") {
				m, ok := v.(map[string]any)
				require.True(t, ok, path)
				v, ok = m[k]
				require.True(t, ok, "%s: %s", name, path)
			}
			return v
		}
		for _, p := range []string{"lines.front_mm", "lines.rear_mm", "lines.difference_mm", "chain.links", "shop_limits.quiet_deg", "load.torque_nm"} {
			dig(doc, p)
		}
		for _, g := range dig(doc, "gears").([]any) {
			for _, p := range []string{
				"ring_teeth", "cog_teeth", "ratio", "cog_line_mm", "ring_line_mm", "cage_deg", "top.length_mm", "top.bend_deg",
				"bottom.length_mm", "bottom.bend_deg", "guide", "clearances.next_cog_mm", "clearances.next_ring_mm",
				"clearances.tyre_mm", "clearances.stay_mm", "verdicts",
			} {
				dig(g, p)
			}
			if guide := dig(g, "guide"); guide != nil {
				dig(guide, "bend_deg")
				dig(guide, "length_mm")
			}
			for _, way := range []string{"riding", "backwards"} {
				for _, a := range dig(g, way).([]any) {
					for _, p := range []string{"at", "bend_deg", "offset_mm", "tension_n", "bend_at_chance_deg.noise", "bend_at_chance_deg.off"} {
						dig(a, p)
					}
				}
			}
			// The bend follows from the lines and the length on the same page.
			across := dig(g, "ring_line_mm").(float64) - dig(g, "cog_line_mm").(float64)
			if lead := dig(g, "lead"); lead != nil { // over an idler in two steps
				step := func(v any) float64 {
					y := dig(v, "length_mm").(float64) * math.Tan(dig(v, "bend_deg").(float64)*math.Pi/180)
					return y * map[string]float64{"outboard": 1, "inboard": -1, "straight": 0}[dig(v, "side").(string)]
				}
				assert.InDelta(t, across, step(dig(g, "top"))+step(lead), 1e-4)
				continue
			}
			bend := math.Atan(math.Abs(across)/dig(g, "top.length_mm").(float64)) * 180 / math.Pi
			assert.InDelta(t, bend, dig(g, "top.bend_deg"), 2e-6)
		}
	}
}

func TestCSVIsRectangularAndSaysTheSameAsJSON(t *testing.T) {
	for _, name := range cases.Shipped() {
		_, out, _ := run("gears", name, "--format", "csv")
		rows, err := csv.NewReader(strings.NewReader(out)).ReadAll() // refuses ragged rows
		require.NoError(t, err)
		assert.Equal(t, show.CSVHeader, rows[0])
		_, out, _ = seeing("gears " + name + " --format json")
		var doc show.Gears
		require.NoError(t, json.Unmarshal([]byte(out), &doc))
		assert.Equal(t, doc.Rows(), rows[1:])
	}
}

// Every field of the JSON document stands in the reference pages with its meaning.
func TestEveryFieldIsDocumented(t *testing.T) {
	var pages []byte
	for _, topic := range reference.Topics {
		_, text := reference.Page(topic)
		pages = append(pages, text...)
	}
	var walk func(v any)
	walk = func(v any) {
		switch x := v.(type) {
		case map[string]any:
			for k, y := range x {
				assert.True(t, bytes.Contains(pages, []byte("`"+k+"`")), "the reference names the field %s", k)
				walk(y)
			}
		case []any:
			for _, y := range x {
				walk(y)
			}
		}
	}
	for _, args := range []string{"gears trail", "bench widths --inner 2.2"} {
		code, out, errs := seeing(args + " --format json")
		require.Equal(t, ExitDone, code, errs)
		walkText(t, out, walk)
	}
	documents, err := filepath.Glob("../../../testdata/golden/*.json")
	require.NoError(t, err)
	require.Greater(t, len(documents), 15)
	for _, name := range documents { // as the golden tests saw them
		if filepath.Base(name) == "schema.json" {
			continue
		}
		text, err := os.ReadFile(name)
		require.NoError(t, err)
		walkText(t, string(text), walk)
	}
	for _, h := range [][]string{show.CSVHeader, show.WindowHeader, show.PartsHeader, show.ComparisonHeader, show.DiagnosisHeader, show.LearningHeader, show.PoolingHeader, show.ShiftsHeader, show.IndexHeader, show.NextHeader, show.MarchEventHeader, show.MarchPlaceHeader, show.MarchTrialHeader, show.NewSweepFormat(nil, show.SweepColumns{Loss: true, Chances: true, Shifts: true}, false).Names(), show.EffectsHeader} {
		for _, name := range h {
			assert.True(t, bytes.Contains(pages, []byte("`"+name+"`")), "the reference names the column %s", name)
		}
	}
}

func walkText(t *testing.T, text string, walk func(any)) {
	t.Helper()
	var doc any
	require.NoError(t, json.Unmarshal([]byte(text), &doc))
	walk(doc)
}
