package sweep

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// gridOf lays out every pair of two axes, in any order of designs.
func gridOf(a, b []float64, rng *rand.Rand) (x [][]float64) {
	x = make([][]float64, 2)
	for _, p := range a {
		for _, q := range b {
			x[0], x[1] = append(x[0], p), append(x[1], q)
		}
	}
	rng.Shuffle(len(x[0]), func(i, j int) {
		x[0][i], x[0][j] = x[0][j], x[0][i]
		x[1][i], x[1][j] = x[1][j], x[1][i]
	})
	return x
}

func steps(from, to, step float64) (out []float64) {
	for i := 0; ; i++ {
		v := math.Round((from+float64(i)*step)*1e6) / 1e6
		if v > to+1e-9 {
			return out
		}
		out = append(out, v)
	}
}

func going() error { return nil }

// Things made evenly within ±1 of p have p + e ≤ 5 with the chance (6 - p)/2; with a second bound on the
// sum of both numbers the share is an area, by hand.
func TestRegionByHand(t *testing.T) {
	x := gridOf(steps(0, 8, 0.5), steps(0, 4, 0.5), rand.New(rand.NewPCG(1, 1)))
	sum := make([]float64, len(x[0]))
	for i := range sum {
		sum[i] = x[0][i] + x[1][i]
	}
	r := &Region{Within: []float64{1, 0}, All: make([][]int, 2), Least: 0.95, Draws: 1024,
		Keeps: []Keep{{Name: "p", X: x[0], Least: math.Inf(-1), Most: 5}}}
	require.NoError(t, r.Prepare(x))
	for p, want := range map[float64]float64{3.5: 1, 4: 1, 4.5: 0.75, 5: 0.5, 5.5: 0.25, 6: 0, 6.5: 0} {
		m := r.At([]int{int(2 * p), 3})
		assert.InDelta(t, want, m.Good, 0.002, "%g", p)
		assert.Greater(t, m.Good, 0.0)
		assert.Less(t, m.Good, 1.0)
		assert.InDelta(t, 1024*(1-want), m.Failed[0], 2, "%g", p)
	}
	assert.True(t, math.IsNaN(r.At([]int{1, 3}).Good), "made to 0.5 ± 1 some lie below 0, where no design was")
	f, err := r.Find(going)
	require.NoError(t, err)
	assert.Equal(t, 13*9, f.Judged, "1 to 7")
	assert.Equal(t, 7*9, f.Inside, "1 to 4")

	// both ± 1: of the square about (3, 2) the part with a sum above 6 is a triangle, half of it off each
	// way by 1: (1)²/2 of 4.
	r = &Region{Within: []float64{1, 1}, All: make([][]int, 2), Least: 0.8, Draws: 4096,
		Keeps: []Keep{{Name: "sum", X: sum, Least: math.Inf(-1), Most: 6}}}
	require.NoError(t, r.Prepare(x))
	assert.InDelta(t, 1-0.5/4, r.At([]int{6, 4}).Good, 0.002)
	assert.InDelta(t, 0.5, r.At([]int{8, 4}).Good, 0.002)
	assert.InDelta(t, 1, r.At([]int{4, 4}).Good, 0.002)
}

// Of sizes all have to be good: the worst counts, and which bound fails is told of that one.
func TestRegionOfSizes(t *testing.T) {
	x := gridOf(steps(0, 10, 1), []float64{1, 2, 3}, rand.New(rand.NewPCG(2, 1)))
	product := make([]float64, len(x[0]))
	for i := range product {
		product[i] = x[0][i] * x[1][i]
	}
	r := &Region{Within: []float64{0, 0}, All: [][]int{nil, {0, 2}}, Least: 0.95, Draws: 64,
		Keeps: []Keep{{Name: "product", X: product, Least: 3, Most: 12}, {Name: "first", X: x[0], Least: math.Inf(-1), Most: 9}}}
	require.NoError(t, r.Prepare(x))
	f, err := r.Find(going)
	require.NoError(t, err)
	assert.Equal(t, []int{0}, f.Choice)
	var in []int
	for i, good := range f.Good {
		if good >= r.Least {
			in = append(in, i)
		}
	}
	assert.Equal(t, []int{3, 4}, in, "at least 3 by the smallest, at most 12 by three times")
	assert.Contains(t, []int{3, 4}, f.Best[0])
	assert.Equal(t, [2]Side{{At: 3, By: 0}, {At: 4, By: 0}}, f.Sides[0])
}

// The best place is the one farthest from what is outside, and every side says where it ends and by what.
func TestRegionsBestPlaceAndSides(t *testing.T) {
	x := gridOf(steps(0, 20, 1), steps(0, 20, 1), rand.New(rand.NewPCG(3, 1)))
	far := make([]float64, len(x[0]))
	for i := range far {
		far[i] = math.Max(math.Abs(x[0][i]-12), math.Abs(x[1][i]-7))
	}
	r := &Region{Within: []float64{0, 0}, All: make([][]int, 2), Least: 0.9, Draws: 64,
		Keeps: []Keep{{Name: "far", X: far, Least: math.Inf(-1), Most: 4}, {Name: "second", X: x[1], Least: 5, Most: math.Inf(1)}}}
	require.NoError(t, r.Prepare(x))
	f, err := r.Find(going)
	require.NoError(t, err)
	assert.Equal(t, 9*7, f.Inside)
	assert.Equal(t, []int{12, 8}, f.Best)
	assert.Equal(t, [][2]Side{{{At: 8, By: 0}, {At: 16, By: 0}}, {{At: 5, By: 1}, {At: 11, By: 0}}}, f.Sides)

	none := &Region{Within: []float64{0, 0}, All: make([][]int, 2), Least: 0.9, Draws: 64, Keeps: []Keep{{Name: "far", X: far, Least: math.Inf(-1), Most: -1}}}
	require.NoError(t, none.Prepare(x))
	f, err = none.Find(going)
	require.NoError(t, err)
	assert.Zero(t, f.Inside)
	assert.Empty(t, f.Sides)
	assert.NotNil(t, f.Best)
}

// A chance goes between two designs straight in the logarithm of its odds: halfway between 0.1 and 0.9 it
// is a half, and between 0.01 and 0.5 0.09.
func TestRegionOfChances(t *testing.T) {
	x := [][]float64{{0, 1, 2}}
	keep := func(p, q, s, most float64) float64 {
		r := &Region{Within: []float64{1}, All: make([][]int, 1), Least: 0.9, Draws: 4096, Keeps: []Keep{{X: []float64{p, q, s}, Least: math.Inf(-1), Most: most, Chance: true}}}
		require.NoError(t, r.Prepare(x))
		return r.At([]int{1}).Good
	}
	assert.InDelta(t, 0.75, keep(0.01, 0.1, 0.9, 0.5), 0.002)
	assert.InDelta(t, 0.25, keep(0.01, 0.5, 0.9, 0.091321), 0.002)
	assert.InDelta(t, 0.5, keep(0, 0.5, 1, 0.5), 0.002, "0 and 1 are finite too")
}

// madeTo returns the numbers of a thing made to a place.
func madeTo(r *Region, place []int, draw int) (x []float64) {
	for d, i := range place {
		x = append(x, r.Axes[d][i]+r.Within[d]*r.Off[draw][d])
	}
	return x
}

// What the draws say is what laying the same things out one by one says.
func TestRegionAgainstOneByOne(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 1))
	x := gridOf(steps(0, 5, 0.25), steps(-2, 2, 0.25), rng)
	of := func(p, q float64) float64 { return 0.3*p*q + p - 2*q } // straight along either
	z := make([]float64, len(x[0]))
	for i := range z {
		z[i] = of(x[0][i], x[1][i])
	}
	r := &Region{Within: []float64{0.6, 0.35}, All: make([][]int, 2), Least: 0.95, Draws: 300, Keeps: []Keep{{X: z, Least: 0.5, Most: 3.3}}}
	require.NoError(t, r.Prepare(x))
	for range 50 {
		place := []int{3 + rng.IntN(14), 2 + rng.IntN(12)}
		good := 0
		for draw := range r.Draws {
			made := madeTo(r, place, draw)
			assert.InDelta(t, r.Axes[0][place[0]], made[0], 0.6)
			if v := of(made[0], made[1]); v >= 0.5 && v <= 3.3 {
				good++
			}
		}
		assert.InDelta(t, float64(good)/300, r.At(place).Good, 0.002)
	}
}

// Designs that are no grid, that are there twice, or of which one cannot be.
func TestRegionOfNoGrid(t *testing.T) {
	keep := []Keep{{X: []float64{1, 1, 1, math.NaN()}, Least: 0, Most: 2}}
	r := &Region{Within: []float64{0, 0}, All: make([][]int, 2), Draws: 8, Keeps: keep}
	assert.ErrorIs(t, r.Prepare([][]float64{{0, 0, 1, 2}, {0, 1, 0, 1}}), ErrGrid)
	assert.ErrorIs(t, r.Prepare([][]float64{{0, 0, 1, 1}, {0, 1, 0, 0}}), ErrGrid)
	assert.ErrorIs(t, (&Region{Within: []float64{1, 1}, All: make([][]int, 2), Keeps: keep}).Prepare([][]float64{{0, 1, 2, 3}, {5, 5, 5, 5}}), ErrGrid)
	require.NoError(t, r.Prepare([][]float64{{0, 0, 1, 1}, {0, 1, 0, 1}}))
	assert.Greater(t, r.At([]int{0, 0}).Good, 0.9)
	assert.Less(t, r.At([]int{1, 1}).Good, 0.1, "one that cannot be is not good")
	r.Within = []float64{1, 0}
	assert.True(t, math.IsNaN(r.At([]int{0, 1}).Good))
}
