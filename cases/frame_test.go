package cases

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const onPath = `chainpath: 1
speeds: 12
frame: {axle_path: [{travel: 0, stay: 430, drop: 20}, {travel: 50, stay: 434, drop: 0}, {travel: 120, stay: 433, drop: -30}], travel: AT}
front: {line: 50, rings: [32]}
rear: {line: 47, cogs: [10, 51]}
tensioner: {}
`

// At the points of the path the frame is theirs, and between them no further than they are;
// beyond its ends and against the order it is refused.
func TestTheAxleStaysOnItsPath(t *testing.T) {
	at := func(travel string) (stay, drop float64, err error) {
		c, err := Parse("bike.yaml", []byte(strings.Replace(onPath, "AT", travel, 1)))
		if err != nil {
			return 0, 0, err
		}
		b, err := c.Bike()
		if err != nil {
			return 0, 0, err
		}
		return b.Frame.Stay, b.Frame.Drop, nil
	}
	for travel, want := range map[string][2]float64{"0": {430, 20}, "50": {434, 0}, "120": {433, -30}} {
		stay, drop, err := at(travel)
		require.NoError(t, err)
		assert.InDelta(t, want[0], stay, 1e-9, travel)
		assert.InDelta(t, want[1], drop, 1e-9, travel)
	}
	last := 20.1
	for _, travel := range []string{"0", "10", "25", "40", "60", "80", "100", "119"} {
		stay, drop, err := at(travel)
		require.NoError(t, err)
		assert.True(t, stay >= 430 && stay <= 434, "no overshoot: %g", stay)
		assert.Less(t, drop, last)
		last = drop
	}
	_, _, err := at("120.1")
	assert.ErrorContains(t, err, "frame.travel: 120.1 mm is off the axle path, want 0 to 120 mm")
	for from, to := range map[string]string{
		"travel: 50, stay: 434":                    "travel: 0, stay: 434",
		"frame: {axle_path":                        "frame: {stay: 430, axle_path",
		", {travel: 50, stay: 434, drop: 0}":       ", {travel: -1, stay: 434, drop: 0}",
		", {travel: 120, stay: 433, drop: -30}], ": "], drop: 10, ",
	} {
		_, err := Parse("bike.yaml", []byte(strings.Replace(strings.Replace(onPath, from, to, 1), "AT", "0", 1)))
		require.Error(t, err, to)
		assert.ErrorContains(t, err, "frame.axle_path", to)
	}
	one := strings.Replace(onPath, ", {travel: 50, stay: 434, drop: 0}, {travel: 120, stay: 433, drop: -30}", "", 1)
	_, err = Parse("bike.yaml", []byte(strings.Replace(one, "AT", "0", 1)))
	assert.ErrorContains(t, err, "1 point, want at least 2")
	alone := "chainpath: 1\nspeeds: 12\nframe: {stay: 430, travel: 10}\nfront: {line: 50, rings: [32]}\nrear: {line: 47, cogs: [10, 51]}\ntensioner: {}\n"
	_, err = Parse("bike.yaml", []byte(alone))
	assert.ErrorContains(t, err, "frame.travel: given without axle_path, want both")
}

// Sizes at both ends of what a tyre may be; ISO 5775-1 writes section and bead seat.
func TestTyreSizesAtTheirEnds(t *testing.T) {
	for text, good := range map[string]bool{
		"10-622": true, "09-622": false, "200-622": true, "201-622": false, "57-100": true, "57-099": false, "57-900": true, "57-901": false,
		"29x7.8": true, "29x7.9": false, "29x1": true, "700x200C": true, "700x201C": false, "650x10B": true, "650x09B": false, "24x2": true, "16x1.5": true, "25x2": false,
	} {
		_, _, err := tyreSize(text)
		assert.Equal(t, good, err == nil, text)
	}
}

// A name of an axle spacing is its range; a ± of its own and a name that is none are refused.
func TestAxleNames(t *testing.T) {
	for _, a := range axleWidths {
		q, err := Q(a.name).fromAxle("x")
		require.NoError(t, err)
		assert.Equal(t, a.name, q.Axle)
		assert.InDelta(t, a.from, q.Value-q.Spread, 1e-9)
		assert.InDelta(t, a.to, q.Value+q.Spread, 1e-9)
		assert.True(t, a.from <= a.name && a.name <= a.to, "the name is one of what it may be")
		assert.Contains(t, axleNames(), strings.TrimSuffix(strings.TrimSpace(axleNames()[:3]), ","))
	}
	_, err := Q(149).fromAxle("149 (axle spacing)")
	assert.ErrorContains(t, err, `"149 (axle spacing)": no axle spacing of that name, known are 110, 114, 120, 126, 130, 132.5,`)
	spread := Q(148)
	spread.Spread = 0.5
	_, err = spread.fromAxle("148 ± 0.5 (axle spacing)")
	assert.ErrorContains(t, err, "want no ±")
}

// Travel is along a path: without one the suspension is not compressed, or the file is refused.
func TestTravelWithoutAPath(t *testing.T) {
	for travel, ok := range map[string]bool{"0": true, "1": false, "0.1": false} {
		_, err := Parse("bike.yaml", []byte("chainpath: 1\nframe: {stay: 430, travel: "+travel+"}\nfront: {line: 52, rings: [32]}\nrear: {line: 47, cogs: [11, 13, 15]}\n"))
		if ok {
			require.NoError(t, err)
			continue
		}
		require.ErrorContains(t, err, "frame.travel: given without axle_path")
	}
}
