package cases

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim/budget"
	"chainpath/sim/judge"
)

// A memory has a pool for the whole shop and for every kind of two bikes, with how many and how much
// was seen, and reads back.
func TestWhatAShopRemembers(t *testing.T) {
	ofNumbers(t)
	bike := func(speeds, seen int) *Case {
		text := strings.Replace(learner, "speeds: 12", fmt.Sprintf("speeds: %d", speeds), 1)
		return mustParse(t, text+"observations:\n"+strings.Repeat("  - {gears: 32/51, what: quiet}\n", seen))
	}
	p := pool(t, []string{"a", "b", "c"}, []*Case{bike(12, 3), bike(11, 4), bike(12, 5)})
	m := p.Memory
	require.Len(t, m.Kinds, 2)
	assert.Equal(t, [3]int{0, 3, 12}, [3]int{m.Kinds[0].Speeds, m.Kinds[0].Bikes, m.Kinds[0].Seen})
	assert.Equal(t, [3]int{12, 2, 8}, [3]int{m.Kinds[1].Speeds, m.Kinds[1].Bikes, m.Kinds[1].Seen})
	for _, b := range p.Bikes {
		assert.False(t, b.OwnKind, "one other of a kind is too few")
	}
	text, err := m.Text()
	require.NoError(t, err)
	back, err := ParseMemory("shop.yaml", text)
	require.NoError(t, err)
	assert.Equal(t, "test", back.Tool)
	require.Len(t, back.Kinds, 2)
	assert.Len(t, back.Kinds[1].starts, judge.Sets)
	assert.Equal(t, uint64(7), back.Kinds[1].starts[7].seed)
	for from, to := range map[string]string{"from: " + m.From: "from: 0123456789abcdef", m.Kinds[1].Sets[0]: "AAAA", "bikes: 2": "bikes: 0", "chainpath_shop: 2": "chainpath_shop: 3"} {
		_, err := ParseMemory("shop.yaml", []byte(strings.Replace(string(text), from, to, 1)))
		var e *Error
		require.ErrorAs(t, err, &e, to)
		assert.Equal(t, "shop.yaml", e.File)
		assert.Positive(t, e.Line, to)
	}
}

// Readings as uncertain inputs by hand: half widths by the instrument's distribution, its usual ± or
// the shop's where none is given; a bare number is exact, and repeated readings are their scatter.
func TestReadingsAsInputs(t *testing.T) {
	for text, want := range map[string]struct {
		u    float64
		dist budget.Dist
	}{
		"50 ± 0.3":           {0.3 / math.Sqrt(3), budget.Rectangular},
		"50 ± 0.3 (tape)":    {0.3 / math.Sqrt(6), budget.Triangular},
		"50 (tape)":          {2 / math.Sqrt(6), budget.Triangular},
		"50 ± 0.3 (drawing)": {0.3 / math.Sqrt(3), budget.Rectangular},
		"~50":                {5 / math.Sqrt(3), budget.Rectangular},
		"142 (axle spacing)": {3.5 / math.Sqrt(3), budget.Rectangular},
	} {
		q, err := ParseQuantity(text, "length")
		require.NoError(t, err)
		in, ok, err := AsInput("x", q)
		require.NoError(t, err)
		assert.True(t, ok, text)
		assert.InDelta(t, want.u, in.U, 1e-12, text)
		assert.Equal(t, want.dist, in.Dist, text)
		assert.Equal(t, q.Value, in.Value)
	}
	caliper, err := ParseQuantity("50 ± 0.3 (caliper)", "length")
	require.NoError(t, err)
	in, _, err := AsInput("x", caliper)
	require.NoError(t, err)
	assert.InDelta(t, 0.3/1.96, in.U, 0.005, "± holds 95 % of a normal spread: 1.96, rounded to 2")
	for _, q := range []Quantity{{}, Q(50), {Value: 50, Spread: 0.1}} {
		_, ok, err := AsInput("x", q)
		require.NoError(t, err)
		assert.False(t, ok)
	}
	c := mustParse(t, put("", "", "instruments: {tape: 1.2, caliper: 0.1}"))
	q, err := ParseQuantity("50 (tape)", "length")
	require.NoError(t, err)
	in, _, err = c.input("x", &q)
	require.NoError(t, err)
	assert.InDelta(t, 1.2/math.Sqrt(6), in.U, 1e-12, "the shop's own")
	q.Spread = 0.4
	in, _, err = c.input("x", &q)
	require.NoError(t, err)
	assert.InDelta(t, 0.4/math.Sqrt(6), in.U, 1e-12)
	r := Quantity{Given: true, Value: 50, Readings: []float64{49.9, 50.1, 50}}
	in, ok, err := c.input("x", &r)
	require.NoError(t, err)
	assert.True(t, ok)
	assert.InDelta(t, 0.1/math.Sqrt(3), in.U, 1e-12, "standard deviation of the mean (JCGM 100, 4.2.3)")
}

// A tolerance may reach to the end of its field's range and no farther.
func TestTolerancesAtTheEndsOfRanges(t *testing.T) {
	for spread, good := range map[string]bool{"10": true, "10.001": false} {
		for _, stay := range []string{"210", "1990"} {
			_, err := Parse("bike.yaml", []byte(strings.Replace(put("", "", "chain: {slack: 0.5}"), "stay: 430", fmt.Sprintf("stay: %s ± %s", stay, spread), 1)))
			if good {
				assert.NoError(t, err)
			} else if !good {
				assert.ErrorContains(t, err, "frame.stay: "+stay+" mm ± 10.001 mm reaches ")
				assert.ErrorContains(t, err, ", want 200 mm to 2000 mm")
			}
		}
	}
	c := mustParse(t, put("", "", ""))
	for _, x := range []struct {
		value, spread float64
		good          bool
	}{{200.1, 0.1, true}, {1999.9, 0.1, true}, {210, 10 + 5e-10, true}, {210, 10 + 5e-9, false}, {1990, 10 + 5e-10, true}, {1990, 10 + 5e-9, false}} {
		c.Frame.Stay = Quantity{Value: x.value, Spread: x.spread, Given: true}
		assert.Equal(t, x.good, c.checkSpreads() == nil, "%+v", x)
	}
	// Drawn beyond a range counts as its end.
	c = mustParse(t, strings.Replace(put("", "", ""), "stay: 430", "stay: 1990 ± 5", 1))
	u, err := c.Uncertain()
	require.NoError(t, err)
	v, x := u.Vary(), make([]float64, len(u.Inputs))
	for i, in := range u.Inputs {
		if x[i] = in.Value; in.Name == "frame.stay" {
			x[i] = 2012
		}
	}
	b, err := v.Bike(x)
	require.NoError(t, err)
	assert.Equal(t, 2000.0, b.Frame.Stay)
	assert.Equal(t, 1990.0, c.Frame.Stay.Value, "the case is left alone")
}

// ± 0 is beyond doubt, by whatever instrument.
func TestNoDoubtIsNoInput(t *testing.T) {
	for text, want := range map[string]bool{"50 ± 0 (tape)": false, "50 ± 0": false, "50 (tape)": true, "50 ± 0.1": true} {
		q, err := ParseQuantity(text, "length")
		require.NoError(t, err)
		in, ok, err := AsInput("x", q)
		require.NoError(t, err)
		assert.Equal(t, want, ok, text)
		assert.Equal(t, want, in.U > 0, text)
	}
}
