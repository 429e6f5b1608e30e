package cli

import (
	"bufio"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
)

// chanceAsked is what commands that print a chance of a bicycle as it is print, beside what gears does.
func chanceAsked(t *testing.T, name string) {
	of := func(to any, args ...string) {
		code, out, errs := run(append(args, "--format", "json")...)
		require.Equal(t, ExitDone, code, "%s: %s", args, errs)
		require.NoError(t, json.Unmarshal([]byte(out), to))
	}
	var gears struct {
		Gears []struct {
			Ring   int `json:"ring_teeth"`
			Cog    int `json:"cog_teeth"`
			Chance map[string]*float64
		}
		Lines struct {
			Front float64 `json:"front_mm"`
		}
	}
	of(&gears, "gears", name)
	chance, most := map[string]*float64{}, map[string]float64{}
	for _, g := range gears.Gears {
		for k, p := range g.Chance {
			chance[fmt.Sprintf("%d/%d %s", g.Ring, g.Cog, k)] = p
			if p != nil {
				most[k] = math.Max(most[k], *p)
			}
		}
	}

	var window struct {
		Map []struct {
			Line    float64 `json:"front_line_mm"`
			Ring    int     `json:"ring_teeth"`
			Cog     int     `json:"cog_teeth"`
			Concern string
			Chance  float64
		}
		Thresholds []struct {
			Concern string
			Below   float64  `json:"below_chance"`
			From    *float64 `json:"from_mm"`
			To      *float64 `json:"to_mm"`
			Some    bool     `json:"possible"`
		}
	}
	of(&window, "window", name)
	for _, c := range window.Map {
		if c.Line == gears.Lines.Front && c.Concern != "" {
			require.NotNil(t, chance[fmt.Sprintf("%d/%d %s", c.Ring, c.Cog, c.Concern)])
			assert.Equal(t, *chance[fmt.Sprintf("%d/%d %s", c.Ring, c.Cog, c.Concern)], c.Chance, "%s map %+v", name, c)
		}
	}
	for _, x := range window.Thresholds {
		if x.Some && (x.From == nil || *x.From < gears.Lines.Front) && (x.To == nil || *x.To > gears.Lines.Front) {
			assert.LessOrEqual(t, most[x.Concern], x.Below+1e-4, "%s: today is inside %+v", name, x)
		} else if most[x.Concern] < x.Below-1e-4 { // below the level, but beyond a place where it is not
			assert.True(t, x.Some, "%s: %+v", name, x)
		}
	}

	line := strconv.FormatFloat(gears.Lines.Front, 'g', -1, 64)
	code, out, errs := run("sweep", name, "--vary", fmt.Sprintf("front.line=%s,%g", line, gears.Lines.Front+1))
	require.Equal(t, ExitDone, code, errs)
	rows, err := csv.NewReader(bufio.NewReader(strings.NewReader(out))).ReadAll()
	require.NoError(t, err)
	swept := 0
	for i, column := range rows[0] {
		k, is := strings.CutSuffix(column, "_most")
		if _, known := most[k]; !is || !known || rows[1][i] == "" {
			continue
		}
		v, err := strconv.ParseFloat(rows[1][i], 64)
		require.NoError(t, err)
		assert.InDelta(t, most[k], v, 5.1e-5, "%s sweep %s", name, column)
		swept++
	}
	assert.Greater(t, swept, 5)

	last := gears.Gears[len(gears.Gears)-1]
	var march struct {
		Chance *float64 `json:"drop_chance"`
	}
	if code, _, _ := run("march", name, "--ring", strconv.Itoa(last.Ring), "--cog", strconv.Itoa(last.Cog), "--backwards", "--turns", "0.05"); code == ExitDone {
		of(&march, "march", name, "--ring", strconv.Itoa(last.Ring), "--cog", strconv.Itoa(last.Cog), "--backwards", "--turns", "0.05")
		assert.Equal(t, chance[fmt.Sprintf("%d/%d drop_backwards", last.Ring, last.Cog)], march.Chance, "%s simulate", name)
	}

	var accuracy struct {
		Most *struct {
			Gear, Concern string
			Chance        float64
		} `json:"most_doubtful"`
	}
	of(&accuracy, "accuracy", name, "--draws", "100")
	if m := accuracy.Most; m != nil {
		assert.Equal(t, *chance[m.Gear+" "+m.Concern], m.Chance, "%s accuracy", name)
		for k, p := range chance {
			if p != nil && *p >= 0.1 && *p <= 0.9 {
				assert.LessOrEqual(t, math.Abs(m.Chance-0.5), math.Abs(*p-0.5)+1e-4, "%s: %s is nearer to a half", name, k)
			}
		}
	}

	var diagnosis struct {
		Findings []struct {
			Suspects []struct {
				Concern string
				Chances []struct {
					Gear   string
					Chance float64
				} `json:"chance_in_gears"`
			}
		}
	}
	if code, out, _ := run("diagnose", name, "--format", "json"); code == ExitDone {
		require.NoError(t, json.Unmarshal([]byte(out), &diagnosis))
	}
	for _, f := range diagnosis.Findings {
		for _, s := range f.Suspects {
			for _, c := range s.Chances {
				if p := chance[c.Gear+" "+s.Concern]; assert.NotNil(t, p) {
					assert.InDelta(t, *p, c.Chance, 1.1e-4, "%s: %s in %s", name, s.Concern, c.Gear)
				}
			}
		}
	}
}

// A chance of a bicycle is one number, whatever prints it.
func TestChancesAreOneNumber(t *testing.T) {
	ofText(t)
	names := cases.Shipped()
	if !long {
		names = []string{"trail", "tourer"}
	}
	for _, name := range names {
		chanceAsked(t, name)
	}
}

// Trouble and chances of bicycles by lot are one number each, whatever prints them: 200 with the large samples.
func TestAnyBicycleIsJudgedOnce(t *testing.T) {
	ofText(t)
	rng := rand.New(rand.NewPCG(24, 6))
	n, asked := 3, 0
	if whole {
		n = 200
	} else if long {
		n = 12
	}
	name := filepath.Join(t.TempDir(), "bike.yaml")
	for i := range n {
		require.NoError(t, os.WriteFile(name, []byte(byLot(rng)), 0o644))
		if code, _, errs := run("gears", name); code != ExitDone {
			t.Log(errs)
			continue
		}
		asked++
		by := troubles(t, name)
		for command, v := range by {
			assert.Equal(t, by["gears"], v, "bike %d, %s: %v", i, command, by)
		}
		if i%4 == 0 {
			chanceAsked(t, name)
		}
		if t.Failed() {
			return
		}
	}
	assert.Greater(t, 10*asked, 9*n)
}

// byLot draws a bicycle of one to three chainrings and one to thirteen cogs, with some of the parts beside them.
func byLot(rng *rand.Rand) string {
	pick := func(list ...string) string { return list[rng.IntN(len(list))] }
	mm := func(lo, hi float64) string {
		return strconv.FormatFloat(math.Round(10*(lo+(hi-lo)*rng.Float64()))/10, 'g', -1, 64)
	}
	rings := pick("[32]", "[30]", "[38]", "[34, 50]", "[36, 46]", "[26, 36, 48]")
	largest := pick("34", "28", "51", "42", "17", "32")
	cogs := map[string]string{"51": "10-51", "17": "[17]"}[largest]
	if cogs == "" {
		cogs = "11-" + largest
	}
	text := "chainpath: 1\nframe: {stay: " + mm(405, 460) + ", drop: " + mm(40, 75) + "}\n"
	text += "front: {line: " + mm(42, 53) + pick("", " ± 0.5") + ", rings: " + rings + "}\n"
	text += "rear: {line: " + mm(43, 47) + ", cogs: " + cogs + pick("", ", dropout_gap: "+mm(2, 7)) + "}\n"
	text += pick("", "chain: {slack: "+mm(0.4, 1.2)+"}\n", "chain: {stiffness: "+mm(40, 160)+"}\n")
	text += pick("", "tyre: {size: "+pick("40-622", "57-622", "28-622")+"}\n")
	text += pick("", "chainstay: {gap: "+mm(4, 9)+"}\n")
	text += pick("", "symptoms:\n  - {what: "+pick("noise", "drop")+", cogs: ["+largest+"]}\n")
	text += pick("", "", "load: {torque: "+mm(20, 60)+" ± 15}\n") // a doubt that is drawn as well
	text += pick("", "riding: {ratio: "+mm(1.2, 2.6)+", spread: 1.5}\n")
	return text
}
