package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
)

// The pull of a cage that turns about a pivot beside its guide pulley, by virtual work: both pulleys are
// turned about the pivot, which lies beyond the guide pulley on the cage's line, turned forward by its
// angle, and the spring's moment is the pull times what that makes the path longer.
func TestPullOfACageWithAPivot(t *testing.T) {
	for _, pivot := range []struct{ offset, angle float64 }{{0, 0}, {7, 0}, {7, 0.6}, {7, -0.6}, {12, 1.5}} {
		b := trail()
		b.Tensioner.PivotOffset, b.Tensioner.PivotAngle = pivot.offset, pivot.angle
		links, err := b.ChooseLinks()
		require.NoError(t, err)
		for _, cog := range []int{4, 9} {
			var l Loop
			_, err := b.Close(&l, 0, cog, links)
			require.NoError(t, err)
			pull, moment := b.Tensioner.pull(&l), b.Tensioner.Spring+b.Tensioner.SpringRate*l.cageAngle()
			guide, tension := l.Wheels[AtGuide].Centre, l.Wheels[AtTension].Centre
			along := r2.Scale(pivot.offset/r2.Norm(r2.Sub(guide, tension)), r2.Sub(guide, tension))
			p := r2.Add(guide, r2.Rotate(along, pivot.angle, r2.Vec{}))
			path := func(turned float64) (sum float64) {
				l.Wheels[AtGuide].Centre, l.Wheels[AtTension].Centre = r2.Rotate(guide, turned, p), r2.Rotate(tension, turned, p)
				require.NoError(t, l.close())
				for i := range l.N {
					sum += l.Spans[i].Length + l.Wheels[i].Radius*l.Wraps[i]
				}
				return sum
			}
			const h = 1e-5
			slope := (path(h) - path(-h)) / (2 * h)
			assert.InEpsilon(t, moment, -pull*slope, 1e-6, "%+v, cog %d", pivot, cog)
			assert.False(t, math.IsNaN(slope))
		}
	}
}
