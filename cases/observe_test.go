package cases

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim/judge"
	"chainpath/sim/learn"
)

// One line of what was seen reads back as it is written, with what is left out filled in.
func TestSeenReadsBack(t *testing.T) {
	for text, want := range map[string]string{
		"32/51 backwards: off 3 of 10": "32/51 backwards: off 3 of 10",
		"*/14: noise loud sure 0.8":    "*/14 riding: noise loud sure 0.8",
		" 32/* riding : quiet ":        "32/* riding: quiet",
		"32/10,32/12: fine":            "32/10,32/12 riding: fine",
		"32/51 backwards: off 0 of 5":  "32/51 backwards: off 0 of 5",
		"32/51: noise slight":          "32/51 riding: noise slight",
	} {
		o, err := ParseSeen(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, o.String())
		again, err := ParseSeen(o.String())
		require.NoError(t, err)
		assert.Equal(t, o.String(), again.String())
	}
	for _, text := range []string{"", "32/51", "32/51 quiet", "32/51: off 3", "32/51: off 3 of", "32/51 backwards off: 3 of 10", "32/51: noise soft", "32/51: quiet sure x"} {
		_, err := ParseSeen(text)
		assert.Error(t, err, text)
	}
}

// What may be seen of a bike, at both sides of each bound.
func TestWhatMayBeSeen(t *testing.T) {
	const bike = "chainpath: 1\nspeeds: 12\nframe: {stay: 438}\nfront: {line: 46, rings: [30, 44]}\nrear: {line: 44.5, cogs: [10, 28, 51]}\ntensioner: {}\n"
	for text, good := range map[string]bool{
		"30/51: quiet sure 0.5": true, "30/51: quiet sure 0.49": false, "30/51: quiet sure 0.99": true, "30/51: quiet sure 0.995": false,
		"30/51 backwards: off 10 of 10": true, "30/51 backwards: off 11 of 10": false, "30/51 backwards: off": true, "*/51 backwards: off 1 of 10": false,
		"30/51: noise loud": true, "30/51: off loud": false, "30/51: noise 1 of 3": false, "30/51 backwards: noise": false, "30/51 backwards: quiet": false, "30/51 backwards: fine": true,
		"30/28: rubs_next_cog": true, "30/51: rubs_next_cog": false, "30/28: rubs_next_ring": true, "44/28: rubs_next_ring": false, "*/28: rubs_next_ring": false, "*/*: quiet": true,
		"30/28: rubs_tyre": false, "30/29: quiet": false, "30/28 sideways: quiet": false, "30/28: sings": false, "30/10, 30/28: quiet": false, "30/10,44/28: quiet": true,
	} {
		c := mustParse(t, bike)
		o, err := ParseSeen(text)
		if err == nil {
			err = c.AddSeen(o)
		}
		assert.Equal(t, good, err == nil, "%s: %v", text, err)
	}
	c := mustParse(t, bike)
	for _, text := range []string{"44/28,*/10: quiet", "*/51 backwards: fine"} {
		o, err := ParseSeen(text)
		require.NoError(t, err)
		require.NoError(t, c.AddSeen(o))
	}
	seen, err := c.Seen()
	require.NoError(t, err)
	assert.Equal(t, []int{0, 3, 4}, seen[0].Gears, "rings first, cogs within")
	assert.Equal(t, []int{2, 5}, seen[1].Gears)
	assert.Equal(t, learn.Surely, seen[0].Sure)
}

// What a tool reads of an unknown is spread over ranges that hold equally many sets: chances
// that add up to one under every set, nearly all in a set's own range for a good tool, alike
// for a bad one.
func TestReadingsAreSpread(t *testing.T) {
	o := &Outlook{draws: make([]judge.Draw, 80)}
	of := func(set int) float64 { return float64(set) }
	o.draws[7].Err = ErrTouches
	for _, within := range []float64{1e-6, 3, 1e6} {
		e := o.measured(within, of)
		require.Len(t, e, readings)
		for k := range o.draws {
			sum := 0.0
			for n := range e {
				assert.True(t, e[n][k] >= 0 && e[n][k] <= 1)
				sum += e[n][k]
			}
			assert.InDelta(t, 1, sum, 1e-9)
		}
		assert.InDelta(t, 1.0/readings, e[3][7], 1e-12, "a set that cannot be says nothing")
	}
	sharp := o.measured(1e-6, of)
	for k, n := range map[int]int{0: 0, 3: 0, 15: 1, 79: 7, 45: 4} {
		assert.InDelta(t, 1, sharp[n][k], 1e-6, "set %d", k)
	}
	blunt := o.measured(1e6, of)
	assert.InDelta(t, 0.5, blunt[0][40], 1e-4)
	assert.InDelta(t, 0.5, blunt[readings-1][40], 1e-4)
}

// A load is one of its kinds, and a power needs its cadence: 250 W at 80 1/min is 29.842 N·m.
func TestLoadsByHand(t *testing.T) {
	const bike = "chainpath: 1\nspeeds: 12\nframe: {stay: 438}\nfront: {line: 50, rings: [30]}\nrear: {line: 44.5, cogs: [10, 51]}\ntensioner: {}\n"
	for load, want := range map[string]string{
		"{power: 250, cadence: 80}": "", "{power: 250}": "power without cadence", "{torque: 30}": "", "{tension: 400}": "", "{cadence: 80}": "",
		"{torque: 30, tension: 400}": "more than one of torque, power and tension", "{torque: 30, power: 250, cadence: 80}": "more than one of torque, power and tension",
	} {
		_, err := Parse("bike.yaml", []byte(bike+"load: "+load+"\n"))
		if want == "" {
			assert.NoError(t, err, load)
		} else {
			assert.ErrorContains(t, err, want, load)
		}
	}
	b, err := mustParse(t, bike+"load: {power: 250, cadence: 80, freehub_drag: 0.2}\n").Bike()
	require.NoError(t, err)
	assert.InDelta(t, 29841.55, b.Load.Torque, 0.01)
	assert.InDelta(t, 200, b.Load.FreehubDrag, 1e-9)
	b, err = mustParse(t, bike+"load: {torque: 31.5}\n").Bike()
	require.NoError(t, err)
	assert.InDelta(t, 31500, b.Load.Torque, 1e-9)
	b, err = mustParse(t, bike+"load: {tension: 400}\n").Bike()
	require.NoError(t, err)
	assert.Equal(t, 400.0, b.Load.Tension)
	f := mustParse(t, bike+"friction: {pin: 0.09, flank: 0.07, bearing_drag: 0.004}\nload: {cadence: 77}\n").Friction()
	assert.Equal(t, []float64{77, 0.09, 0.07, 4}, []float64{f.Cadence, f.Pin, f.Flank, f.Bearing})
	x := mustParse(t, bike+"tolerances: {link_width: 0.03, bevel: 0.02, slack: 0.18, run_out: 0.3}\n").Tolerances()
	assert.InDelta(t, 0.03, x.Width, 1e-12)
	assert.InDelta(t, 0.02, x.Bevel, 1e-12)
	assert.InDelta(t, 0.18*math.Pi/180, x.Slack, 1e-12)
	assert.InDelta(t, 0.3, x.RunOut, 1e-12)
}

// Fractions of a ruler: halves to 64ths, below one, with a sign.
func TestFractionsOfARuler(t *testing.T) {
	for text, want := range map[string]float64{"1/2 in": 0.5, "63/64 in": 63. / 64, "2 1/64 in": 2 + 1./64, "-1 3/8 in": -1.375, "+1 3/8 in": 1.375, "0/2 in": 0} {
		q, err := ParseQuantity(text, "length")
		require.NoError(t, err, text)
		assert.InDelta(t, 25.4*want, q.Value, 1e-12, text)
	}
	for _, text := range []string{"1/1 in", "2/2 in", "3/2 in", "1/128 in", "1/6 in", "1/0 in", "1/2 mm", "01 1/2 in"} {
		_, err := ParseQuantity(text, "length")
		assert.Error(t, err, text)
	}
	_, err := ParseQuantity("1                                                                                                                      mm", "length")
	assert.ErrorContains(t, err, "characters, want a length")
	assert.Equal(t, "3 mm", dimensions["length"].format(3))
	assert.Equal(t, "3°", dimensions["angle"].format(3))
	assert.Equal(t, "3", dimensions["number"].format(3))
	q := Quantity{Value: 2, Readings: []float64{1, 3}, Spread: 0.5, Axle: 148, Given: true}.plus(0.5)
	assert.Equal(t, Quantity{Value: 2.5, Readings: []float64{1.5, 3.5}, Spread: 0.5, Given: true}, q)
	assert.Equal(t, 7.0, Quantity{}.Or(7))
	assert.Equal(t, 2.0, Q(2).Or(7))
}
