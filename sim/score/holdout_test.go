package score

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func byGroup(o Prediction) string { return o.Group }

func base(rest []Prediction) (func(Prediction) float64, error) {
	p := baseRate(rest)
	return func(Prediction) float64 { return p }, nil
}

// Worked by hand: without a 0 of 1 happened, without b 1 of 3, without c 1 of 2.
func TestHoldOutByHand(t *testing.T) {
	o := []Prediction{{Group: "a"}, {Group: "b"}, {Group: "a", Happened: true}, {Group: "c"}}
	got, err := holdOut(o, byGroup, base)
	require.NoError(t, err)
	assert.Equal(t, []float64{1.0 / 4, 2.0 / 5, 1.0 / 4, 2.0 / 5}, got)
}

// A rule never sees the group it is asked about, sees all else in order, and is
// asked about each item once.
func TestHoldOutKeepsTheGroupOut(t *testing.T) {
	o := drawn(5, 60)
	asked := map[float64]int{}
	_, err := holdOut(o, byGroup, func(rest []Prediction) (func(Prediction) float64, error) {
		seen := map[string]bool{}
		for _, x := range rest {
			seen[x.Group] = true
		}
		return func(x Prediction) float64 {
			assert.False(t, seen[x.Group])
			want := []Prediction{}
			for _, y := range o {
				if y.Group != x.Group {
					want = append(want, y)
				}
			}
			assert.Equal(t, want, rest)
			asked[x.X]++
			return 0.5
		}, nil
	})
	require.NoError(t, err)
	assert.Len(t, asked, len(o))
}

// What happened in a group leaves that group's own chances as they are.
func TestHoldOutOfALogisticRule(t *testing.T) {
	fit := func(rest []Prediction) (func(Prediction) float64, error) {
		l, err := fitLogistic(rest, weak)
		return func(x Prediction) float64 { return l.Chance(x.X) }, err
	}
	o := drawn(9, 80)
	before, err := holdOut(o, byGroup, fit)
	require.NoError(t, err)
	for i := range o {
		if o[i].Group == "b" {
			o[i].Happened = !o[i].Happened
		}
	}
	after, err := holdOut(o, byGroup, fit)
	require.NoError(t, err)
	moved := 0
	for i := range o {
		if o[i].Group == "b" {
			assert.Equal(t, before[i], after[i]) // bit for bit
		} else if before[i] != after[i] {
			moved++
		}
	}
	assert.Positive(t, moved)
}

func TestHoldOutRefuses(t *testing.T) {
	_, err := holdOut([]Prediction{{Group: "a"}, {Group: "a"}}, byGroup, base)
	require.EqualError(t, err, "score: bad input: number of groups 1, want at least 2")
	_, err = holdOut(nil, byGroup, base)
	require.ErrorIs(t, err, ErrInput)

	two := []Prediction{{Group: "b"}, {Group: "a"}}
	boom := errors.New("boom")
	_, err = holdOut(two, byGroup, func([]Prediction) (func(Prediction) float64, error) { return nil, boom })
	require.ErrorIs(t, err, boom)
	require.EqualError(t, err, `without "a": boom`)
	_, err = holdOut(two, byGroup, func([]Prediction) (func(Prediction) float64, error) {
		return func(Prediction) float64 { return 1.1 }, nil
	})
	require.EqualError(t, err, `score: bad input: without "a": chance 1.1, want 0 to 1`)
}
