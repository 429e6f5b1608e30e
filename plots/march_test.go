package plots

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/march"
)

// marched returns a march of the test bike's ring of 46 on its largest cog,
// backwards, and trials of it.
func marched(t *testing.T) (March, march.Trials) {
	in := input(t)
	in.Bike.Rings[1].Line = 56 // far outboard: it drops
	var err error
	in.Result, err = in.Bike.Evaluate()
	require.NoError(t, err)
	g := &in.Result.Gears[7]
	m, err := march.New(in.Bike, g, in.Result.Links, sim.Backwards, march.Set{Tolerance: march.Tolerance{Width: 0.03, Slack: 0.001}, Turns: 1})
	require.NoError(t, err)
	out, err := m.Run(1, 0, march.Observer{})
	require.NoError(t, err)
	require.True(t, out.Dropped)
	d := March{Title: in.Title, Gear: g, Direction: sim.Backwards, Chain: in.Bike.Chain.Chain, Moment: out.Drop}
	d.Wheels, d.Length = m.Wheels()
	d.Map, err = m.Film(1, 0, 0, out.Turned)
	require.NoError(t, err)
	d.Film = d.Map
	tr, err := march.Try(context.Background(), 1, 5, 1, func() (march.Maker, error) {
		return func(uint64) (*march.Drive, error) { return m, nil }, nil
	}, nil)
	require.NoError(t, err)
	return d, tr
}

func TestMarchFigures(t *testing.T) {
	m, tr := marched(t)
	for _, f := range []Figure{m.MapFigure(), m.AboveFigure(), m.DropsFigure(&tr)} {
		for _, format := range Formats {
			a, err := f.Render(format)
			require.NoError(t, err)
			b, err := f.Render(format)
			require.NoError(t, err)
			assert.True(t, bytes.Equal(a, b), "%s.%s differs on repeat", f.Name, format)
			if format == "svg" {
				assert.NoError(t, wellFormed(a))
				assert.Contains(t, string(a), m.Title)
				assert.Contains(t, string(a), "back-pedalling")
			}
		}
	}
}

// A figure of trials that were stopped says that it is a part.
func TestStoppedTrialsSaySo(t *testing.T) {
	m, tr := marched(t)
	for asked, says := range map[int]bool{0: false, tr.Runs: false, tr.Runs + 7: true} {
		m.Asked = asked
		f := m.DropsFigure(&tr)
		svg, err := f.Render("svg")
		require.NoError(t, err)
		words := fmt.Sprintf("partial: stopped after %d of %d trials", tr.Runs, asked)
		assert.Equal(t, says, strings.Contains(string(svg), "partial"), asked)
		assert.Equal(t, says, strings.Contains(f.About, words), asked)
	}
}

// The moving picture is one well-formed file without script or anything from
// elsewhere, stands still when asked to, and shows each link's way.
func TestMovingPicture(t *testing.T) {
	m, _ := marched(t)
	s := m.Moving()
	assert.NoError(t, wellFormed(s))
	text := string(s)
	assert.NotContains(t, text, "<script")
	assert.Equal(t, 1, strings.Count(text, "http"), "the name space alone")
	assert.Contains(t, text, "@media (prefers-reduced-motion:reduce)")
	ids := m.shown(m.wheelOf())
	tips := strings.Count(text, "@keyframes p")
	assert.Equal(t, 2*len(ids)+tips+1, strings.Count(text, "@keyframes"), "plates and tooth of each link, those on a tip, the crank's hand")
	assert.Greater(t, tips, 0)
	assert.Equal(t, tips, strings.Count(text, ">on the tip<"))
	assert.Greater(t, len(ids), 10)
	assert.Contains(t, text, " this\"", "the link that drops is marked")
	// The last frame is the drop: the still picture and the film's end are one.
	assert.Equal(t, m.Film[len(m.Film)-1].Angle, m.frame().Angle)
}
