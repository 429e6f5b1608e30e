package show

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim/fall"
	"chainpath/sim/march"
)

// fell is a fall of a chain of 100 links from a 24 past a 21 to an 18, which ended after 90°; the link that climbs is the
// march's 1.
func fell(end fall.End, cog int) *fall.Followed {
	f := &fall.Followed{Setup: &fall.Setup{Cogs: []fall.Cog{{Teeth: 24}, {Teeth: 21}, {Teeth: 18}}}, Links: 100, Drop: march.Event{Offset: 1}}
	f.Result.End, f.Result.Cog, f.Result.Angle = end, cog, math.Pi/2
	return f
}

// What a fall's document says of its end: where it rests if it does, where a link first sits if one does.
func TestFallsAsTheyEnd(t *testing.T) {
	f := fell(fall.AtRest, 2)
	d := FromFall(f)
	require.NotNil(t, d.RestsOn)
	assert.Equal(t, 18, *d.RestsOn)
	assert.Nil(t, d.SitsOn)
	assert.Equal(t, []any{90.0, 1}, []any{d.EndsAt, d.First})
	assert.Equal(t, 18, Falling(f).Rests)

	f = fell(fall.Back, 2)
	f.Result.Seat, f.Result.SeatAt = 1, math.Pi/3
	d = FromFall(f)
	assert.Nil(t, d.RestsOn)
	require.NotNil(t, d.SitsOn)
	assert.Equal(t, []any{21, 60.0}, []any{*d.SitsOn, *d.SitsAt})
	w := Falling(f)
	assert.Equal(t, []any{0, 21, true, false, -1, -1}, []any{w.Rests, w.Seat, w.Back, w.Past, w.Over, w.Touch})
	assert.InDelta(t, 60, w.SeatAt, 1e-12)

	// Over the edge of the first wheel, then onto the next: the second and third link behind it, on the inboard side.
	f = fell(fall.PastAll, 0)
	f.Drop.Offset = -1
	f.Result.Events = []fall.Event{
		{Angle: math.Pi / 18, N: 2, State: fall.Beyond, Cog: 0, Link: fall.Link{Height: 3, Y: 2.5, Lean: math.Pi / 36, Force: 7}},
		{Angle: math.Pi / 9, N: 3, State: fall.Tip, Cog: 1},
	}
	d = FromFall(f)
	assert.Equal(t, &FallStep{10, 99, 2, fall.Beyond.String(), 24, 3, -2.5, -5, 7}, d.Over)
	require.NotNil(t, d.Touch)
	assert.Equal(t, []any{20.0, 98, 21}, []any{d.Touch.After, d.Touch.Link, d.Touch.Cog})
	assert.Len(t, d.Steps, 2)
	w = Falling(f)
	assert.Equal(t, []any{99, 98, 21, true, true, false}, []any{w.Over, w.Touch, w.TouchOn, w.Past, w.Inboard, w.Back})
}

// How many of several chains end how, the largest cog first; those that are still in the air by where they first sit.
func TestEndsOfSeveralFalls(t *testing.T) {
	assert.Nil(t, EndsOf([]*fall.Followed{nil, nil}))
	open, none := fell(fall.Open, 0), fell(fall.Open, 0)
	open.Result.Seat = 1
	e := EndsOf([]*fall.Followed{fell(fall.AtRest, 2), nil, fell(fall.AtRest, 1), fell(fall.AtRest, 2), fell(fall.Back, 0), fell(fall.PastAll, 0), open, none, fell(fall.Back, 0)})
	require.NotNil(t, e)
	assert.Equal(t, []any{8, 2, 1, 2}, []any{e.Of, e.Back, e.Past, e.Open})
	assert.Equal(t, []FallRest{{21, 1}, {18, 2}}, e.Rests)
	assert.Equal(t, []FallRest{{21, 1}}, e.Sits)
}
