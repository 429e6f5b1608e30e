package cases

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Late shifts are those of Shifting to the last bit, of every shipped bike and where something was
// seen of shifts, counted or complained of.
func TestLateShiftsAreThoseOfShifting(t *testing.T) {
	texts := map[string]string{}
	for _, name := range Shipped() {
		text, err := ShippedText(name)
		require.NoError(t, err)
		texts[name] = string(text)
	}
	for name, put := range map[string]string{"seen": "\nobservations:\n  - {gears: 50/11>12, what: late}\ntensioner:\n", "counted": "\ntensioner:\n  adjuster_range: {clicks: 3}\n",
		"told": "\nsymptoms:\n  - {what: slow_to_larger}\ntensioner:\n", "since": "\nsymptoms:\n  - {what: after_crash}\ntensioner:\n", "off": "\ntensioner:\n  index_error: 0.6\n"} {
		require.Contains(t, texts["road"], "\ntensioner:\n")
		texts[name] = strings.Replace(texts["road"], "\ntensioner:\n", put, 1)
	}
	shifted := 0
	for name, text := range texts {
		c, err := Parse(name, []byte(text))
		require.NoError(t, err, name)
		b, err := c.Bike()
		require.NoError(t, err)
		got, err := c.lateShifts(b)
		s, whole := c.Shifting()
		if whole != nil {
			assert.EqualError(t, err, whole.Error(), name)
			continue
		}
		require.NoError(t, err, name)
		most := 0.0
		for _, x := range s.Shifts {
			most = math.Max(most, x.Late)
		}
		assert.Equal(t, LateShifts{s.Late, most}, got, name)
		shifted++
	}
	assert.Greater(t, shifted, 10)
	at := func(name string) LateShifts {
		c, err := Parse(name, []byte(texts[name]))
		require.NoError(t, err)
		b, err := c.Bike()
		require.NoError(t, err)
		l, err := c.lateShifts(b)
		require.NoError(t, err)
		return l
	}
	assert.Equal(t, at("road"), at("since"), "a crash alone tells of no shift")
	for _, name := range []string{"seen", "counted", "told", "off"} {
		assert.NotEqual(t, at("road"), at(name), name)
	}
}
