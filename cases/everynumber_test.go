package cases

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/loss"
)

// whatIsTold returns what a bike is told: chances with sizes, late shifts, and losses.
func whatIsTold(t *testing.T, c *Case) string {
	f, err := c.Foresee()
	if err != nil {
		return ""
	}
	text := fmt.Sprint(f)
	b, err := c.Bike()
	require.NoError(t, err)
	if c.shiftable(b) == nil {
		s, err := c.Shifting()
		require.NoError(t, err)
		text += fmt.Sprint(s.Shifts, s.Window)
	}
	r, err := b.Evaluate()
	require.NoError(t, err)
	for i := range r.Gears {
		if g := &r.Gears[i]; g.Fit.Mounts() {
			l, err := loss.Of(b, g, c.Friction())
			require.NoError(t, err)
			text += fmt.Sprint(l)
		}
	}
	return text
}

// movesNothing are numbers that have a default and move nothing that a bike is told, with why.
var movesNothing = map[string]string{
	"chain.pitch":           "the standard's; it cannot be changed",
	"tyre.mud":              "room that is wished: a gap is told against it, and walls stand there; no chance is of it",
	"chainstay.flex":        "as tyre.mud",
	"tolerances.link_width": "of single links, in simulations alone",
	"tolerances.bevel":      "of single links, in simulations alone",
	"tolerances.slack":      "of single links, in simulations alone",
	"tolerances.run_out":    "in simulations alone",
}

// inventedParts are bikes with what no shipped one has: a chain guide, cage stops, and readings by every
// instrument. The numbers are ours.
var inventedParts = []string{
	`chainpath: 1
frame: {stay: 430}
front: {line: 53, rings: [32], guide: {width: 9}}
rear: {line: 46, cogs: [11, 13, 15, 17, 20, 24, 28, 33, 39, 46]}
tensioner: {cage: 70, stops: [-60, 60]}
chain: {links: 110}
`,
	`chainpath: 1
frame: {stay: 430 (tape), drop: 60 (drawing)}
front: {measured: {tube_width: 40 (caliper), gap: 28 (depth gauge)}, rings: [32]}
rear: {line: 46 (guess), cogs: [11, 13, 15, 17, 20, 24, 28, 33, 39, 46], dropout_gap: 4 (feeler)}
tensioner: {cage: 70 (catalogue)}
`,
}

// Every number that has a default moves something that a bike is told, or is listed as moving nothing, with why.
// One that is read and then forgotten would be neither.
func TestEveryNumberMovesSomething(t *testing.T) {
	ofNumbers(t)
	var bikes []*Case
	for _, text := range inventedParts {
		bikes = append(bikes, mustParse(t, text))
	}
	for _, name := range Shipped() {
		c, err := Load(name, nil)
		require.NoError(t, err)
		bikes = append(bikes, c)
	}
	was := make([]string, len(bikes))
	moves := func(path string) bool {
		for i, c := range bikes {
			v, ok := c.defaultOf(path)
			if !ok {
				continue
			}
			at := func(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }
			for _, by := range []float64{math.Max(0.25*math.Abs(v), 0.3), 1, 0.5 * math.Abs(v)} {
				n, err := c.Set(path, at(v+by))
				if err != nil {
					n, err = c.Set(path, at(v-by))
				}
				if list, member, is := strings.Cut(path, "["); err != nil && is { // both of a pair are given
					pair := []float64{c.mustDefault(list + "[0]"), c.mustDefault(list + "[1]")}
					k, _ := strconv.Atoi(strings.TrimSuffix(member, "]"))
					pair[k] *= 0.5
					n, err = c.Set(list, fmt.Sprintf("[%g, %g]", pair[0], pair[1]))
				}
				if err != nil {
					continue
				}
				if was[i] == "" {
					was[i] = whatIsTold(t, c)
				}
				if now := whatIsTold(t, n); now != "" && now != was[i] {
					return true
				}
				break
			}
		}
		return false
	}
	for _, d := range Defaults(12) {
		if d.Text != "" {
			continue
		}
		if why, listed := movesNothing[d.Path]; listed {
			assert.False(t, moves(d.Path), "%s moves something, though: %s", d.Path, why)
		} else {
			assert.True(t, moves(d.Path), "%s moves nothing", d.Path)
		}
	}
}

// Every number that nobody publishes moves a chance of some bike: across its range, the others in the middle of
// theirs and each block judging by either of its ways.
func TestEveryUnpublishedNumberMovesAChance(t *testing.T) {
	var bikes []*Case
	for _, name := range Shipped() {
		c, err := Load(name, nil)
		require.NoError(t, err)
		bikes = append(bikes, c)
	}
	bikes = append(bikes, mustParse(t, strings.Replace(inventedParts[0], "rings: [32], guide: {width: 9}", "rings: [34, 50], cage: {inner_width: 9, positions: [46, 52]}", 1)))
	bikes = append(bikes, mustParse(t, inventedParts[1]))
	between := bikes[slices.Index(Shipped(), "idler")].clone()
	between.Idler.Held = true
	bikes = append(bikes, between)
	chances := func(c *Case, set []float64) string {
		d, err := c.Draws()
		require.NoError(t, err)
		b, f, err := d.Bike(set, func() float64 { return 0.5 })
		require.NoError(t, err)
		links, err := d.Chain(b)
		require.NoError(t, err)
		out := make([]sim.Chances, len(b.Rings)*len(b.Cogs))
		require.NoError(t, new(sim.Odds).Gears(out, b, f, links))
		return fmt.Sprint(out)
	}
	for i := range freeNumbers {
		moved := false
		for way := 0.25; way < 1 && !moved; way += 0.5 {
			set := slices.Repeat([]float64{0.5}, len(freeNumbers))
			for b := range NumBlocks {
				if k := BranchOf(Block(b)); k >= 0 {
					set[k] = way
				}
			}
			for _, c := range bikes {
				set[i] = 0.05
				low := chances(c, set)
				set[i] = 0.95
				if moved = chances(c, set) != low; moved {
					break
				}
			}
		}
		assert.True(t, moved, freeNumbers[i].Name)
	}
}
