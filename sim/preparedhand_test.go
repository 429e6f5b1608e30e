package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Where nobody measured the cage a design is laid with three of them, each as a bike with such a cage
// closes by itself.
func TestCagesThatDesignsAreLaidWith(t *testing.T) {
	b := trail()
	links, err := b.ChooseLinks()
	require.NoError(t, err)
	p := Prepare(b, links, 8, nil)
	require.Equal(t, []float64{-8, 0, 8}, p.cages)
	var list []laidAt
	for i, more := range []float64{-8, 0, 8} {
		with := *b
		cage := *b.Tensioner
		cage.Cage += more
		with.Tensioner = &cage
		for cog := range b.Cogs {
			var l Loop
			_, err := with.Close(&l, 0, cog, links)
			require.NoError(t, err)
			list = list[:0]
			x := p.at(&list, b, cog, links, i)
			require.NoError(t, x.err)
			assert.InDelta(t, l.cageAngle(), x.facts.angle, 1e-6, "cage %+g mm, cog %d", more, cog)
			assert.Same(t, x, p.at(&list, b, cog, links, i), "laid once")
		}
	}
	assert.Equal(t, 93.0, b.Tensioner.Cage)
}

// A chain is cut to whole links. Where what a design needs is an even number but for rounding, the version is
// asked itself, and has the design's own chain where it has its dimensions.
func TestChainCutForADesign(t *testing.T) {
	b := trail()
	need, err := b.Need()
	require.NoError(t, err)
	own := b.evenUp(need)
	p := Prepare(b, own, 0, []Version{{Bike: b, Free: &Free{}, Links: own, Need: need}})
	longer := func(stay float64) (*Bike, float64) {
		d := b.copied()
		d.Frame.Stay += stay
		n, err := d.Need()
		require.NoError(t, err)
		return d, n
	}
	lo, hi := 0.0, 30.0 // the chain grows by some two pitches a pitch of stay, 12.7 mm
	for range 60 {
		if _, n := longer((lo + hi) / 2); n < float64(own+2) {
			lo = (lo + hi) / 2
		} else {
			hi = (lo + hi) / 2
		}
	}
	for stay, want := range map[float64]int{lo - 2: own + 2, lo - 0.01: own + 2, lo + 0.01: own + 4, lo + 2: own + 4} {
		d, n := longer(stay)
		require.Equal(t, want, d.evenUp(n))
		require.NoError(t, p.start(&Design{Bike: d, Cut: true, Links: want}))
		got, err := p.linksOf(&p.versions[0], &Design{Bike: d, Cut: true, Links: want})
		require.NoError(t, err)
		assert.Equal(t, want, got, "a stay of %.3f mm more", stay)
	}
}
