package engage

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Without slack and line contact, and for small angles, angles fall off by one factor q a
// link, q + 1/q = 2 + T·p/k, and a long chain's weight hangs p·θ1/(1-q) aside, θ1 = q·tilt
// the first free link's angle.
func TestHungByTheClosedForm(t *testing.T) {
	h := Hung{Links: 80, Pitch: 12.7, Tension: 100, Tilt: 0.01}
	for _, k := range []float64{20e3, 80e3, 280e3} {
		b := 2 + h.Tension*h.Pitch/k
		q := (b - math.Sqrt(b*b-4)) / 2
		assert.InEpsilon(t, h.Pitch*q*h.Tilt/(1-q), h.Aside(0, k), 1e-3, "%g", k)
	}
}

// The found shape has the least energy: weight lowered, line contact, and springs.
func TestHungHasTheLeastEnergy(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		h := Hung{Links: rapid.IntRange(10, 50).Draw(t, "links"), Pitch: 12.7, Tension: f(30, 300, "weight"), Tilt: f(0.03, 0.2, "tilt"), Contact: f(0, 6, "contact")}
		slack, k := f(0.002, 0.02, "slack"), f(2e4, 3e5, "stiffness")
		energy := func(angle []float64) (sum float64) {
			before := h.Tilt
			for _, a := range angle {
				turn := math.Abs(before - a)
				sum += -h.Tension*h.Pitch*math.Cos(a) + h.Tension*h.Contact/2*turn + k/2*math.Pow(math.Max(turn-slack, 0), 2)
				before = a
			}
			return sum
		}
		angle := h.shape(slack, k)
		require.InDelta(t, h.Tilt, angle[0], 1e-9)
		least := energy(angle[1:])
		moved := make([]float64, h.Links)
		for range 200 { // links, lengths of chain, and everything below a joint
			copy(moved, angle[1:])
			i := rapid.IntRange(0, h.Links-1).Draw(t, "from")
			by := rapid.Float64Range(-0.05, 0.05).Draw(t, "by")
			to := rapid.SampledFrom([]int{i + 1, h.Links, min(i+4, h.Links)}).Draw(t, "to")
			for j := i; j < to; j++ {
				moved[j] += by
			}
			assert.GreaterOrEqual(t, energy(moved), least-1e-7)
		}
	})
}

func TestStiffnessInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		h := Hung{Links: rapid.IntRange(20, 60).Draw(t, "links"), Pitch: 12.7, Tension: f(50, 300, "weight"), Tilt: f(0.05, 0.3, "tilt"), Contact: f(3, 6, "contact")}
		slack, k := f(0.002, 0.02, "slack"), f(1e4, 3e5, "stiffness")
		got, err := h.Stiffness(h.Aside(slack, k), slack)
		require.NoError(t, err)
		assert.InEpsilon(t, k, got, 1e-3)
	})
}

// Stiffer joints, more tilt or less weight hang it farther aside.
func TestHungGrows(t *testing.T) {
	h := Hung{Links: 40, Pitch: 12.7, Tension: 100, Tilt: 0.1, Contact: 4}
	at := h.Aside(0.01, 8e4)
	assert.Greater(t, h.Aside(0.01, 1.6e5), at)
	heavier, steeper := h, h
	heavier.Tension, steeper.Tilt = 200, 0.12
	assert.Less(t, heavier.Aside(0.01, 8e4), at)
	assert.Greater(t, steeper.Aside(0.01, 8e4), at)
	t.Logf("%.2f mm aside", at)
}

func TestBadHung(t *testing.T) {
	good := Hung{Links: 40, Pitch: 12.7, Tension: 100, Tilt: 0.1, Contact: 4}
	for _, aside := range []float64{0, math.NaN(), -1, 0.01, 1e6} {
		_, err := good.Stiffness(aside, 0.01)
		assert.ErrorIs(t, err, ErrHung, "%g", aside)
	}
	for _, change := range []func(*Hung){
		func(h *Hung) { h.Links = 1 }, func(h *Hung) { h.Tension = 0 }, func(h *Hung) { h.Tilt = 1 },
		func(h *Hung) { h.Pitch = math.NaN() }, func(h *Hung) { h.Contact = -1 }, func(h *Hung) { h.Tension = math.Inf(1) },
	} {
		h := good
		change(&h)
		_, err := h.Stiffness(10, 0.01)
		assert.ErrorIs(t, err, ErrHung)
	}
	_, err := good.Stiffness(10, 0.2)
	assert.ErrorIs(t, err, ErrHung, "more slack than tilt")
}
