package elementary

import (
	"fmt"
	"hash/fnv"
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// precise returns e^x to some 60 digits: the Taylor series of x/2^20, squared 20 times.
func precise(x float64) *big.Float {
	of := func(x float64) *big.Float { return new(big.Float).SetPrec(256).SetFloat64(x) }
	y := new(big.Float).SetMantExp(of(x), -20)
	sum, term := of(1), of(1)
	for n := 1.0; n < 40; n++ {
		term.Mul(term, y)
		term.Quo(term, of(n))
		sum.Add(sum, term)
	}
	for range 20 {
		sum.Mul(sum, sum)
	}
	return sum
}

// units returns how far got is off, in units of its last place.
func units(got float64, want *big.Float) float64 {
	d := new(big.Float).Sub(new(big.Float).SetPrec(256).SetFloat64(got), want)
	unit := math.Nextafter(math.Abs(got), math.Inf(1)) - math.Abs(got)
	n, _ := d.Quo(d, new(big.Float).SetFloat64(unit)).Float64()
	return math.Abs(n)
}

// The exponential against its series in 256 bits.
func TestExpIsNearest(t *testing.T) {
	e, _ := precise(1).Float64()
	require.Equal(t, math.E, e, "the series, by the constant of the library")
	rng := rand.New(rand.NewPCG(7, 7))
	most := 0.0
	for i := range 6000 {
		x := [...]float64{40, 1, 708, 1e-3, 1e-9}[i%5] * (2*rng.Float64() - 1)
		most = max(most, units(Exp(x), precise(x)))
	}
	t.Logf("at most %.4f units in the last place", most)
	assert.Less(t, most, 0.52)
	for i := range 500 { // close to what is no normal number, and below
		x := -745 + 0.08*float64(i)
		assert.Less(t, units(Exp(x), precise(x)), 1.0, "%g", x)
		x = 706 + 0.0075*float64(i)
		assert.Less(t, units(Exp(x), precise(x)), 0.6, "%g", x)
	}
}

func TestExpAtItsEnds(t *testing.T) {
	assert.Equal(t, 1.0, Exp(0))
	assert.Equal(t, 1.0, Exp(math.Copysign(0, -1)))
	assert.Equal(t, math.E, Exp(1))
	assert.True(t, math.IsNaN(Exp(math.NaN())))
	for x, want := range map[float64]float64{math.Inf(1): math.Inf(1), math.Inf(-1): 0, 1e300: math.Inf(1), -1e300: 0,
		709.79: math.Inf(1), 711: math.Inf(1), -745.2: 0, -747: 0, 5e-324: 1, -745.1: 5e-324} {
		assert.Equal(t, want, Exp(x), "%g", x)
	}
	assert.InEpsilon(t, math.MaxFloat64, Exp(709.782712893384), 1e-12)
}

func TestPowByWholePowers(t *testing.T) {
	for _, x := range []float64{0.3, 0.85, 2, 7.5} {
		for k := 1.0; k < 8; k++ {
			assert.InEpsilon(t, math.Sqrt(math.Pow(x, k)), Pow(x, k/2), 1e-14, "%g, %g", x, k)
			assert.Equal(t, math.Pow(x, k), Pow(x, k))
		}
	}
	assert.Equal(t, 0.0, Pow(0, 0.5))
	assert.True(t, math.IsNaN(Pow(-1, 0.5)))
}

// Values of Abramowitz and Stegun 1964, table 7.1 and 7.3, from memory to ten digits; the
// library's function, which has an exponential in it, everywhere.
func TestErfc(t *testing.T) {
	for x, want := range map[float64]float64{0: 1, 0.5: 0.4795001222, 1: 0.1572992071, 2: 0.0046777350, 3: 2.209049700e-5} {
		assert.InEpsilon(t, want, Erfc(x), 1e-8, "%g", x)
		assert.InEpsilon(t, 2-want, Erfc(-x), 1e-8, "%g", x)
	}
	for i := range 4000 {
		x := -9 + 18*float64(i)/3999
		assert.InEpsilon(t, math.Erfc(x), Erfc(x), 1e-14, "%g", x)
	}
	assert.InEpsilon(t, math.Erfc(20), Erfc(20), 1e-13)
	assert.Equal(t, 0.0, Erfc(28))
	assert.Equal(t, 0.0, Erfc(math.Inf(1)))
	assert.Equal(t, 2.0, Erfc(math.Inf(-1)))
	assert.True(t, math.IsNaN(Erfc(math.NaN())))
}

// The same bits on every machine: what 200 000 results are made of, as amd64 gave it. Tests
// run on arm64 and in WebAssembly too, see .ci/run.
func TestSameBitsEverywhere(t *testing.T) {
	h := fnv.New64a()
	rng := rand.New(rand.NewPCG(3, 9))
	for i := range 200000 {
		x := [...]float64{40, 1, 720, 1e-3}[i%4] * (2*rng.Float64() - 1)
		var b [8]byte
		for j, u := 0, math.Float64bits(Exp(x)); j < 8; j++ {
			b[j] = byte(u >> (8 * j))
		}
		h.Write(b[:])
	}
	assert.Equal(t, "7ed7d81940eb2310", fmt.Sprintf("%x", h.Sum64()))
}

var sink float64

func BenchmarkExp(b *testing.B) {
	for name, f := range map[string]func(float64) float64{"ours": Exp, "math": math.Exp} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			x := -20.0
			for b.Loop() {
				sink += f(x)
				if x += 0.37; x > 20 {
					x = -20
				}
			}
		})
	}
}

func BenchmarkErfc(b *testing.B) {
	for name, f := range map[string]func(float64) float64{"ours": Erfc, "math": math.Erfc} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			x := 0.0
			for b.Loop() {
				sink += f(x)
				if x += 0.037; x > 8 {
					x = 0
				}
			}
		})
	}
}
