package cases

import (
	"bytes"
	"fmt"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
)

// characteristic compares a text with what was written down: a change of a number that
// nobody meant is seen here, and one that was meant is read in the difference.
func characteristic(t *testing.T, name string, got []byte) {
	path := "../testdata/characteristic/" + name
	if *update {
		require.NoError(t, os.MkdirAll("../testdata/characteristic", 0o755))
		require.NoError(t, os.WriteFile(path, got, 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), string(got))
}

// Defaults of every number of speeds, and the free numbers with their ranges and what the
// panel leaves of them.
func TestDefaultsAreAsWritten(t *testing.T) {
	var b bytes.Buffer
	last := map[string]string{}
	for speeds := 1; speeds <= mostSpeeds; speeds++ {
		for _, d := range Defaults(speeds) {
			line := fmt.Sprintf("%v %s within %v %q", d.Value, d.Unit, d.Within, d.Text)
			if last[d.Path] != line {
				fmt.Fprintf(&b, "%d %s: %s\n", speeds, d.Path, line)
			}
			last[d.Path] = line
		}
	}
	post, err := Posterior([3]float64{0.05, 0.5, 0.95})
	require.NoError(t, err)
	for i, f := range FreeNumbers() {
		fmt.Fprintf(&b, "%s: %v to %v %s, log %v, block %d, standing %v, %.5g\n", f.Name, f.Low, f.Up, f.Unit, f.Log, f.Block, standing(f.Name), post[i])
	}
	characteristic(t, "defaults.txt", b.Bytes())
}

// The shipped cases: what the bike is made of, and every gear's chances to four digits.
func TestShippedBikesAreAsWritten(t *testing.T) {
	var b bytes.Buffer
	for _, name := range Shipped() {
		c, err := Load(name, nil)
		require.NoError(t, err)
		bike, err := c.Bike()
		require.NoError(t, err)
		fmt.Fprintf(&b, "%s\nchain %+v\nframe %+v load %+v slot %+v room %.6g pins %.6g\n", name, bike.Chain, bike.Frame, bike.Load, bike.Slot, bike.CogRoom, bike.RingPins)
		for _, w := range append(append([]sim.Wheel{}, bike.Rings...), bike.Cogs...) {
			fmt.Fprintf(&b, "wheel %.6v\n", w)
		}
		for _, p := range []any{bike.Tensioner, bike.Tyre, bike.Stay, bike.FrontCage} {
			fmt.Fprintf(&b, "%.6v\n", p)
		}
		fmt.Fprintf(&b, "friction %+v tolerances %+v\n", c.Friction(), c.Tolerances())
		all, err := c.Chances()
		require.NoError(t, err)
		for g, chances := range all {
			fmt.Fprintf(&b, "%d/%d", bike.Rings[g/len(bike.Cogs)].Teeth, bike.Cogs[g%len(bike.Cogs)].Teeth)
			for _, p := range chances {
				fmt.Fprintf(&b, " %.4f", p)
			}
			fmt.Fprintln(&b)
		}
	}
	characteristic(t, "shipped.txt", b.Bytes())
}
