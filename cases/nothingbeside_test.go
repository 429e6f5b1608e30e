package cases

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A text that is refused is no number: nothing is read of it, nor of a size or a range that there is
// not.
func TestNothingIsReadBesideAnError(t *testing.T) {
	length := dimensions["length"]
	for text, problem := range map[string]string{
		"017": "leading zero, write 17", "-017": "leading zero, write 17", "1e999": "not a finite number", "NaN": "not a finite number",
		"1/3": "no fraction of a ruler", "2 5/4": "no fraction of a ruler", "2 1/128": "no fraction of a ruler", "2 1/1": "no fraction of a ruler", "01 1/2": "leading zero", "-x 1/2": "not a finite number",
	} {
		v, err := length.convert(text, "")
		assert.ErrorContains(t, err, problem, text)
		assert.Zero(t, v, text)
	}
	for text, unit := range map[string]string{"3/4": "mm", "17": "N"} {
		v, err := length.convert(text, unit)
		assert.Error(t, err, text)
		assert.Zero(t, v, text)
	}
	for text, want := range map[string]float64{"2 1/2": 63.5, "-2 1/2": -63.5, "+1/64": 25.4 / 64, "63/64": 25.4 * 63 / 64, "0.5": 0.5, "0": 0} {
		v, err := length.convert(text, "")
		require.NoError(t, err, text)
		assert.InDelta(t, want, v, 1e-12, text)
	}
	for text, problem := range map[string]string{"large": "want section and bead seat", "201-622": "out of range", "40-901": "out of range"} {
		section, bead, err := tyreSize(text)
		assert.ErrorContains(t, err, problem, text)
		assert.Equal(t, [2]float64{}, [2]float64{section, bead}, text)
	}
	for text, want := range map[string][2]float64{"10-100": {10, 100}, "200-900": {200, 900}, "57-622": {57, 622}} {
		section, bead, err := tyreSize(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, [2]float64{section, bead})
	}
	lo, hi, unit, doc, err := Bounds("frame.colour")
	require.EqualError(t, err, `cases: no range of "frame.colour"`)
	assert.Equal(t, [2]float64{}, [2]float64{lo, hi})
	assert.Empty(t, unit+doc)
	v, err := mustParse(t, learner).Number("frame.colour")
	require.ErrorContains(t, err, "frame.colour: not a number that the case or a default gives")
	assert.Zero(t, v)
}

// Lines that are told twice, or by half, are no lines.
func TestNoLineBesideAnError(t *testing.T) {
	for problem, spoil := range map[string]func(c *Case){
		"front.measured: line and measured are both given": func(c *Case) { c.Front.Measured = &FrontMeasured{Gap: Q(20)} },
		"front: neither line nor measured":                 func(c *Case) { c.Front.Line = Quantity{} },
		"readings: gap and readings are both given": func(c *Case) {
			c.Front.Line, c.Front.Measured = Quantity{}, &FrontMeasured{Gap: Q(20), Readings: []Quantity{Q(20)}}
		},
		"readings: 2 given, want one for each of the chainrings": func(c *Case) {
			c.Front.Line, c.Front.Measured = Quantity{}, &FrontMeasured{Readings: []Quantity{Q(20), Q(27)}}
		},
		"front.measured: neither gap nor readings":                               func(c *Case) { c.Front.Line, c.Front.Measured = Quantity{}, &FrontMeasured{} },
		"rear.measured: line and measured are both given":                        func(c *Case) { c.Rear.Measured = &RearMeasured{Gap: Q(4)} },
		"rear: neither line nor measured, want one of the two, such as line: 46": func(c *Case) { c.Rear.Line = Quantity{} },
	} {
		c := mustParse(t, learner)
		spoil(c)
		front, e1 := c.FrontLine()
		rear, e2 := c.RearLine()
		if e1 != nil {
			assert.ErrorContains(t, e1, problem)
			assert.Zero(t, front, problem)
			assert.Equal(t, 44.5, rear)
		} else {
			assert.ErrorContains(t, e2, problem)
			assert.Zero(t, rear, problem)
			assert.Equal(t, 52.0, front)
		}
	}
}

// A bike that cannot be has no chain and no count of links.
func TestNoChainOfNoBike(t *testing.T) {
	c := mustParse(t, learner)
	c.Front.Rings = nil
	b, links, err := c.chained()
	require.Error(t, err)
	assert.Nil(t, b)
	assert.Zero(t, links)
}
