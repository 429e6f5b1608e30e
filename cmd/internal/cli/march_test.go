package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/cmd/internal/ask"
	"chainpath/cmd/internal/say"
	"chainpath/cmd/internal/show"
	"chainpath/sim"
	"chainpath/sim/march"
)

func marchOf(t *testing.T, stdin string, args ...string) (doc show.March) {
	t.Helper()
	args = append([]string{"march"}, append(args, "--format", "json")...)
	var out, errs bytes.Buffer
	code := Main(args, strings.NewReader(stdin), &out, &errs)
	require.Equal(t, ExitDone, code, errs.String())
	require.NoError(t, json.Unmarshal(out.Bytes(), &doc))
	return doc
}

// A march comes to about the chances of its trials' sets, judged by links, where
// single links do not differ besides: what differs between chains is in the sets. The
// bound is three standard deviations of a count and 0.1 for what the fit to marched runs
// leaves out; backwards either wheel may lose the chain there, as in level 2's chance.
func TestMarchDoesNotContradictChances(t *testing.T) {
	ofText(t)
	const n = 100
	gears := []struct {
		name      string
		ring, cog int // indices
		way       sim.Direction
	}{{"trail", 0, 11, sim.Backwards}, {"trail", 0, 9, sim.Backwards}, {"road", 1, 10, sim.Riding}, {"trail", 0, 10, sim.Backwards}, {"trail", 0, 6, sim.Backwards}, {"trail", 0, 11, sim.Riding}, {"road", 1, 10, sim.Backwards}}
	if !long {
		gears = gears[:1]
	}
	for _, x := range gears {
		c, err := cases.Load(x.name, nil)
		require.NoError(t, err)
		b, err := c.Bike()
		require.NoError(t, err)
		d, err := c.Draws()
		require.NoError(t, err)
		var o sim.Odds
		p, to := 0.0, make([]sim.Chances, len(b.Rings)*len(b.Cogs))
		for k := range uint64(n) {
			drawn, f, err := d.Trial(5, k)
			require.NoError(t, err)
			links, err := d.Chain(drawn)
			require.NoError(t, err)
			require.NoError(t, o.Gears(to, drawn, f, links))
			p += to[x.ring*len(b.Cogs)+x.cog][[2]sim.Concern{sim.DropRiding, sim.DropBackwards}[x.way]] / n
		}
		a := ask.Attempt{Case: c, Ring: x.ring, Cog: x.cog, Way: x.way, Seed: 5, Set: march.Set{Turns: 0.1}}
		tr, err := march.Try(context.Background(), 5, n, 0.1, a.Maker, nil)
		require.NoError(t, err)
		require.Equal(t, n, tr.Of())
		share := float64(tr.By(math.Pi)) / n
		t.Logf("%s, gear %d of ring %d, %s: chance %.2f, share %.2f", x.name, x.cog, x.ring, x.way, p, share)
		assert.InDelta(t, p, share, 0.1+3*math.Sqrt(p*(1-p)/n))
	}
}

const roadDouble = `chainpath: 1
title: Road double, ring over its largest cogs
speeds: 11
frame: {stay: 410, drop: 70}
front: {line: 43.5, rings: [34, 50]}
rear: {line: 45, cogs: [11, 12, 13, 14, 15, 16, 17, 19, 21, 23, 25]}
tensioner: {}
`

// On a double the front cage holds what a march would once throw off after a few
// degrees of the cranks: 50 with the largest cog, riding.
func TestRoadDoubleKeepsItsChain(t *testing.T) {
	ofText(t)
	doc := marchOf(t, roadDouble, "-", "--ring", "50", "--cog", "25", "--turns", "0.5", "--trials", "60")
	assert.Less(t, *doc.Chance, 0.1)
	assert.Empty(t, doc.Words)
	assert.False(t, doc.Run.Dropped)
	assert.Less(t, doc.Trials.Drops, 6)
	assert.Equal(t, 60, doc.Trials.Runs)
}

// The words are those of the gears command, and what is counted is no probability.
func TestMarchSaysWhatGearsSays(t *testing.T) {
	ofText(t)
	_, out, _ := run("gears", "trail", "--format", "json")
	var gears show.Gears
	require.NoError(t, json.Unmarshal([]byte(out), &gears))
	for i, cog := range map[int]string{11: "51", 10: "44", 3: "16"} {
		doc := marchOf(t, "", "trail", "--cog", cog, "--backwards", "--turns", "0.1", "--trials", "3")
		g := gears.Gears[i]
		assert.Equal(t, *g.Chance["drop_backwards"], *doc.Chance, "cog %s", cog)
		assert.Equal(t, say.LevelOf(*g.Chance["drop_backwards"]).Word(), doc.Words, "cog %s", cog)
	}
	for _, args := range []string{"--format json", "--format csv --rows trials", ""} {
		_, out, _ := run(strings.Fields("march trail --cog 51 --backwards --turns 0.5 --trials 4 " + args)...)
		assert.NotRegexp(t, `drop.*%|came off.*%`, out)
		assert.NotContains(t, out, `"probability`)
	}
}

// A trial is the same whichever others are marched, and its set is its number modulo the
// sets there are.
func TestTrialIsItsOwn(t *testing.T) {
	ofText(t)
	all := marchOf(t, "", "trail", "--cog", "51", "--backwards", "--turns", "0.5", "--trials", "8", "--seed", "3")
	for k, x := range all.Trials.Each {
		one := marchOf(t, "", "trail", "--cog", "51", "--backwards", "--turns", "0.5", "--seed", "3", "--trial", strconv.Itoa(k))
		assert.Equal(t, x.Dropped, one.Run.Dropped)
		if x.Dropped {
			assert.Equal(t, *x.Crank, one.Run.Drop.Crank)
		}
		assert.Equal(t, k, x.Set)
	}
	far := marchOf(t, "", "trail", "--cog", "51", "--turns", "0.1", "--trial", "407")
	assert.EqualValues(t, 7, far.Run.Set)
}

// Bicycles that every other command computes are marched too: with a hanger bent by 5°, and
// with wheels that wobble by as much as may be said.
func TestMarchOfWhatHasNoRoom(t *testing.T) {
	ofText(t)
	bike, err := os.ReadFile("../../../cases/shipped/trail.yaml")
	require.NoError(t, err)
	bent := strings.Replace(string(bike), "\ntensioner:\n", "\ntensioner:\n  hanger: {lean: 5}\n", 1)
	require.NotEqual(t, string(bike), bent)
	for text, cogs := range map[string][]string{bent: {"51"}, string(bike) + "\ntolerances: {run_out: 2}\n": {"10", "21", "51"}} {
		file := filepath.Join(t.TempDir(), "bike.yaml")
		require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
		for _, cog := range cogs {
			for _, way := range []string{"--backwards", "--backwards=false"} {
				code, out, errs := run("march", file, "--cog", cog, "--turns", "1", "--format", "json", way)
				require.Equal(t, ExitDone, code, "%s %s: %s", cog, way, errs)
				assert.Contains(t, out, `"event": "climbs"`)
			}
		}
	}
}
