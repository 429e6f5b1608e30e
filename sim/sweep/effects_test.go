package sweep

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// By hand: z = 2a + b on the full grid a, b in {-1, 0, 1}: variances 4·2/3 and 2/3,
// no interaction; z = a·b is interaction alone.
func TestEffectsByHand(t *testing.T) {
	var a, b, sum, product []float64
	for _, x := range []float64{-1, 0, 1} {
		for _, y := range []float64{-1, 0, 1} {
			a, b = append(a, x), append(b, y)
			sum, product = append(sum, 2*x+y), append(product, x*y)
		}
	}
	main, pairs := Effects([][]float64{a, b}, sum)
	assert.InDelta(t, 0.8, main[0].Share, 1e-12)
	assert.Equal(t, 0, main[0].A)
	assert.InDelta(t, 0.2, main[1].Share, 1e-12)
	assert.InDelta(t, 0, pairs[0].Share, 1e-12)
	main, pairs = Effects([][]float64{a, b}, product)
	assert.InDelta(t, 0, main[0].Share, 1e-12)
	assert.InDelta(t, 1, pairs[0].Share, 1e-12)
	main, pairs = Effects([][]float64{a}, make([]float64, 9))
	assert.Empty(t, main)
	assert.Empty(t, pairs)
}

// The function of T. Ishigami and T. Homma (ISUMA 1990) with 7 and 0.1, whose
// indices are known in closed form: S1 0.3139, S2 0.4424, S3 0, S13 0.2437.
func TestEffectsOfIshigamisFunction(t *testing.T) {
	p := &Plan{Method: Sobol, Count: 1 << 15, Seed: 4}
	for range 3 {
		p.Variables = append(p.Variables, Variable{From: -math.Pi, To: math.Pi})
	}
	assert.NoError(t, p.Prepare())
	x, z, at := make([][]float64, 3), []float64{}, make([]float64, 3)
	for i := range p.Designs() {
		p.Design(at, i)
		for k := range x {
			x[k] = append(x[k], at[k])
		}
		z = append(z, math.Sin(at[0])+7*math.Pow(math.Sin(at[1]), 2)+0.1*math.Pow(at[2], 4)*math.Sin(at[0]))
	}
	main, pairs := Effects(x, z)
	got := map[[2]int]float64{}
	for _, e := range append(main, pairs...) {
		got[[2]int{e.A, e.B}] = e.Share
	}
	for k, want := range map[[2]int]float64{{0, -1}: 0.3139, {1, -1}: 0.4424, {2, -1}: 0, {0, 2}: 0.2437, {0, 1}: 0, {1, 2}: 0} {
		assert.InDelta(t, want, got[k], 0.02, "%v", k)
	}
}

func TestFront(t *testing.T) {
	a := []float64{1, 2, 3, 1, math.NaN(), 2.5}
	b := []float64{5, 3, 1, 6, 0, 3}
	assert.Equal(t, []int{0, 1, 2}, Front(a, b, [2]bool{false, false}))
	assert.Equal(t, []int{2, 5, 1, 0, 3}[:1], Front(a, b, [2]bool{true, false}))
	// By brute force.
	rng := rand.New(rand.NewPCG(1, 2))
	x, y := make([]float64, 300), make([]float64, 300)
	for i := range x {
		x[i], y[i] = rng.Float64(), rng.Float64()
	}
	on := map[int]bool{}
	for _, i := range Front(x, y, [2]bool{true, false}) {
		on[i] = true
	}
	for i := range x {
		beaten := false
		for j := range x {
			beaten = beaten || x[j] > x[i] && y[j] < y[i]
		}
		assert.Equal(t, !beaten, on[i])
	}
}
