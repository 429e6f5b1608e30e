package cases

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const bikeForParts = `chainpath: 1
title: for parts
speeds: 12
frame: {stay: 435 ± 1}
front: {measured: {tube_width: 44 ± 0.3, gap: 30 ± 0.4}, rings: [32]}
rear: {line: 47.5, cogs: [10, 12, 14, 16, 18, 21, 24, 28, 32, 38, 44, 51]}
tensioner: {}
chainstay: {gap: 6, angle: 4}
`

func partsFor(changes string) (*Candidates, error) {
	c, err := Parse("bike.yaml", []byte(bikeForParts))
	if err != nil {
		return nil, err
	}
	cat, err := ParseCatalogue("parts.yaml", []byte("chainpath_parts: 1\nchanges:\n"+changes))
	if err != nil {
		return nil, err
	}
	return cat.For(c)
}

// Options, prices, groups and ties of a small catalogue, by hand.
func TestCatalogueBecomesAPlan(t *testing.T) {
	k, err := partsFor(`  - {name: spacer, group: line, price: 3, steps: {path: front.line, from: -1, to: 1.5, step: 0.5}}
  - {name: bolt, price: 2, on_shelf: true, add: {front.line: 1}, needs: [ring]}
  - {name: ring, group: ring, price: 40, set: {front.rings: [34]}, excludes: [spacer]}
  - {name: big ring, group: ring, price: 45, set: {front.rings: [36]}}
`)
	require.NoError(t, err)
	var names []string
	var prices []float64
	for _, o := range k.Plan.Options {
		names, prices = append(names, o.Name), append(prices, o.Price)
	}
	assert.Equal(t, []string{"spacer -1", "spacer -0.5", "spacer +0.5", "spacer +1", "spacer +1.5", "bolt", "ring", "big ring"}, names, "no step of nothing")
	assert.Equal(t, []float64{3, 3, 3, 3, 3, 0, 40, 45}, prices)
	assert.Equal(t, [][]int{{0, 1, 2, 3, 4}, {5}, {6, 7}}, k.Plan.Groups)
	assert.Equal(t, []int{6}, k.Plan.Options[5].Needs)
	assert.Equal(t, []int{0, 1, 2, 3, 4}, k.Plan.Options[6].Excludes)
	assert.Empty(t, k.Plan.Options[0].Needs)

	// 44/2 + 30 mm and what is picked; a measured line moves with its readings, and keeps how they were read.
	for _, c := range []struct {
		picks []int
		line  float64
		ring  int
	}{{nil, 52, 32}, {[]int{0}, 51, 32}, {[]int{4}, 53.5, 32}, {[]int{5, 6}, 53, 34}, {[]int{3, 7}, 53, 36}} {
		made, b, err := k.build(c.picks)
		require.NoError(t, err)
		assert.InDelta(t, c.line, b.Rings[0].Line, 1e-9, "%v", c.picks)
		assert.Equal(t, c.ring, b.Rings[0].Teeth)
		if len(c.picks) > 0 && c.picks[0] < 6 {
			assert.False(t, made.Front.Line.Given)
			was, is := k.base.Front.Measured, made.Front.Measured
			assert.Equal(t, was.Tube, is.Tube)
			assert.Equal(t, was.Gap.plus(c.line-52), is.Gap)
		}
		assert.Equal(t, k.held.stay, b.Stay, "the stay stays where it was measured")
	}
	assert.Equal(t, 30.0, k.base.Front.Measured.Gap.Value, "the case itself is left alone")
}

// A change that sets the chainstay's gap moves it; one of a field that the case leaves to its
// default adds to that.
func TestChangesOfStayAndDefaults(t *testing.T) {
	k, err := partsFor("  - {name: dented, set: {chainstay.gap: 8}}\n  - {name: more slack, add: {chain.slack: 0.2}}\n  - {name: longer, add: {frame.stay: 5}}\n")
	require.NoError(t, err)
	_, was, err := k.build(nil)
	require.NoError(t, err)
	_, dented, err := k.build([]int{0})
	require.NoError(t, err)
	assert.InDelta(t, was.Stay.Face-2, dented.Stay.Face, 1e-9)
	_, slack, err := k.build([]int{1})
	require.NoError(t, err)
	assert.InDelta(t, was.Chain.Slack+0.2*math.Pi/180, slack.Chain.Slack, 1e-12)
	c, longer, err := k.build([]int{2})
	require.NoError(t, err)
	assert.Equal(t, 440.0, longer.Frame.Stay)
	assert.Equal(t, 1.0, c.Frame.Stay.Spread, "a field keeps its ±")
}

// Every mistake names file, line, field, value and what is allowed.
func TestCatalogueMistakes(t *testing.T) {
	for _, c := range []struct{ changes, want string }{
		{"  - {name: a, set: {learned: {count: 1}}}\n", "parts.yaml:3:21: changes[0].set: learned is what was learned of a bicycle and no part of one, want another field"},
		{"  - {name: a, add: {learned.count: 1}}\n", "parts.yaml:3:21: changes[0].add: learned.count is what was learned of a bicycle and no part of one, want another field"},
		{"  - {name: a, set: {front.lien: 1}}\n", `parts.yaml:3:21: changes[0].set: no case field "front.lien"`},
		{"  - {name: a, set: {frame.stay: 4}}\n", "parts.yaml:3:33: frame.stay: 4 mm is out of range, want 200 mm to 2000 mm"},
		{"  - {name: a, add: {front.lien: 1}}\n", `parts.yaml:3:21: changes[0].add: no case quantity "front.lien"`},
		{"  - {name: a, add: {front.rings: 1}}\n", `parts.yaml:3:21: changes[0].add: no case quantity "front.rings"`},
		{"  - {name: a, add: {front.line: [1]}}\n", "parts.yaml:3:33: front.line: a list, want a length to add"},
		{"  - {name: a, add: {front.line: x}}\n", `parts.yaml:3:33: front.line: "x", want a length to add`},
		{"  - {name: a, add: {front.line: 1 ± 0.2}}\n", `parts.yaml:3:33: front.line: "1 ± 0.2", want an amount alone: the field keeps its own tolerance`},
		{"  - {name: a, add: {front.line: 1 (caliper)}}\n", `parts.yaml:3:33: front.line: "1 (caliper)", want an amount alone: the field keeps its own tolerance`},
		{"  - {name: a, add: {front.line: 248.1}}\n", "parts.yaml:3:20: changes[0].add: front.line becomes 300.1 mm, want 0 mm to 300 mm"},
		{"  - {name: a, add: {front.line: -52.1}}\n", "front.line becomes -0.1 mm, want 0 mm to 300 mm"},
		{"  - {name: a, add: {tyre.width: 3}}\n", "tyre.width is not given in the case, nothing to add to"},
		{"  - {name: a, steps: {path: front.rings, from: 1, to: 2, step: 1}}\n", `changes[0].steps: no case quantity "front.rings"`},
		{"  - {name: a, steps: {path: front.line, from: 0, to: 0, step: 1}}\n", "changes[0].steps: 0 steps, want 1 to 1000"},
		{"  - {name: a, steps: {path: front.line, from: 0, to: 10, step: 0.01}}\n", "changes[0].steps: 1000 steps, want"},
		{"  - {name: a, steps: {path: front.line, from: 0, to: 10.01, step: 0.01}}\n", "changes[0].steps: 1001 steps, want 1 to 1000"},
		{"  - {name: a, add: {front.line: 1}}\n  - {name: a, add: {front.line: 2}}\n", `changes[1].name: "a" is given twice`},
		{"  - {name: abc, add: {front.line: 1}}\n  - {name: b, needs: [abd], add: {front.line: 2}}\n", `no change named "abd", did you mean "abc"?`},
		{"  - {name: abc, add: {front.line: 1}}\n  - {name: b, excludes: [xyzzy], add: {front.line: 2}}\n", `excludes: no change named "xyzzy"`},
		{"  - {name: a, steps: {path: front.line, from: 0, to: 2, step: 1}}\n  - {name: b, needs: [a], add: {front.line: 2}}\n", "changes[1].needs: a change in steps cannot be needed, name one without steps"},
		{"  - {name: odd, set: {front.rings: [33], front.form: wide_narrow}}\n", `changes[0].name: "odd" makes front.`},
	} {
		_, err := partsFor(c.changes)
		if c.want == "changes[0].steps: 1000 steps, want" { // a thousand are allowed
			assert.NoError(t, err)
			continue
		}
		if assert.Error(t, err, c.changes) {
			assert.Contains(t, err.Error(), c.want)
		}
		var e *Error
		require.ErrorAs(t, err, &e)
		assert.Equal(t, "parts.yaml", e.File)
	}
	// Within the range, at both of its ends.
	_, err := partsFor("  - {name: a, add: {front.line: 38}}\n")
	assert.NoError(t, err)
	_, err = partsFor("  - {name: a, steps: {path: front.line, from: 37, to: 38, step: 0.25}}\n")
	assert.NoError(t, err)
}

// Amounts of a stepped change: from the least to the largest that a step comes to, without
// rounding's leftovers and without none.
func TestAmountsByHand(t *testing.T) {
	for _, c := range []struct {
		from, to, step float64
		want           []float64
	}{
		{-0.3, 0.3, 0.1, []float64{-0.3, -0.2, -0.1, 0.1, 0.2, 0.3}},
		{0.5, 2.4, 0.5, []float64{0.5, 1, 1.5, 2}},
		{1, 1, 5, []float64{1}},
		{2, 1, 0.5, nil},
	} {
		cat := Catalogue{Changes: []Change{{Steps: &Steps{From: Q(c.from), To: Q(c.to), Step: Q(c.step)}}, {}}}
		assert.Equal(t, c.want, cat.amounts(0), fmt.Sprint(c))
		assert.Equal(t, []float64{0}, cat.amounts(1))
	}
}
