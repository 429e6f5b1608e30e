package decide

import (
	"errors"
	"fmt"
	"math"

	"chainpath/sim"
)

// ErrWeights reports weights or shares that cannot be.
var ErrWeights = errors.New("decide: bad weights")

// Weights say how bad each concern is beside the others: what a unit of time in a gear
// that surely has it counts. Each >= 0.
type Weights [sim.NumConcerns]float64

// Usual are the default weights (our assumption): faults that can throw the rider count most.
var Usual = func() (w Weights) {
	for k := range w {
		w[k] = sim.Hazards[k].Weight
	}
	return w
}()

// Trouble is what is to be expected of a bicycle, and the one number for it:
//
//	Sum = Σ_g share_g · Σ_h weight_h · max(0, C_gh - least_h)
//
// over gears g and concerns h, with the chances C and what every bicycle carries of them,
// least, so that a straight one has none. By are the shares of time in gears that have a
// concern, 0 to 1, with what every bicycle carries; Over those without.
type Trouble struct {
	By, Over [sim.NumConcerns]float64
	Sum      float64
}

// Carried is what every bicycle carries of each concern in its chances, and the greatest
// chance that is told: what is sure counts no more.
type Carried struct {
	Least [sim.NumConcerns]float64
	Most  float64
}

// Expect returns the fault score. share[i] is the time in gear i; nil weights all gears
// equally. Faults that cannot occur count 0. Errors wrap ErrWeights.
func Expect(chances []sim.Chances, share []float64, w *Weights, c *Carried) (Trouble, error) {
	var t Trouble
	if len(chances) == 0 || share != nil && len(share) != len(chances) {
		return t, fmt.Errorf("%w: %d shares of %d gears", ErrWeights, len(share), len(chances))
	}
	for i := range chances {
		s := 1 / float64(len(chances))
		if share != nil {
			s = share[i]
		}
		for k, p := range chances[i] {
			t.By[k] += s * max(p, 0)
			t.Over[k] += s * max(min(p, c.Most)-c.Least[k], 0)
		}
	}
	for k, x := range w {
		if !(x >= 0) || math.IsInf(x, 0) {
			return t, fmt.Errorf("%w: weight %g of %s, want 0 or more", ErrWeights, x, sim.Concern(k))
		}
		t.Sum += x * t.Over[k]
	}
	return t, nil
}

// Place is a front line with what is to be expected there.
type Place struct {
	Line float64 // mm
	Trouble
}

// Along is the trouble to be expected along the front line.
type Along struct {
	Places  []Place // from inboard to outboard
	Weights Weights
	Today   int // the place of today's line
	Best    int // the least trouble between the walls; -1: they leave no place
	// From, To are the hard walls, mm: chainstay and tyre; -Inf and +Inf: none.
	From, To     float64
	FromBy, ToBy string
	// Flat are the places next to Best that are as good within a tenth.
	Flat [2]int
}

// alike is within what share of the best trouble, and untold within how much of it, a place
// counts as good: chances from 200 draws tell no finer (assumptions).
const alike, untold = 0.1, 0.02

// asGood reports whether a sum of trouble is no more than another by more than chances can
// tell.
func asGood(sum, than float64) bool { return sum <= than*(1+alike)+untold }

// Split returns what of a trouble is of the complaint, and by how much the other concerns
// together have grown since before; both weighted sums.
func (t *Trouble) Split(before *Trouble, complaint func(sim.Concern) bool, w *Weights) (left, harm float64) {
	for k, x := range w {
		if complaint(sim.Concern(k)) {
			left += x * t.Over[k]
		} else {
			harm += x * (t.Over[k] - before.Over[k])
		}
	}
	return left, max(harm, 0)
}

// Less reports whether trouble is less than another by more than chances can tell.
func (t *Trouble) Less(than *Trouble) bool { return !asGood(than.Sum, t.Sum) }

// Along finds the best front line among places, from inboard to outboard, between the walls.
func (w *Walls) Along(places []Place, by *Weights) *Along {
	a := &Along{Places: places, Weights: *by, Best: -1, From: math.Inf(-1), To: math.Inf(1)}
	for _, r := range w.Rooms {
		if !r.Lo.Open && r.Lo.Line > a.From {
			a.From, a.FromBy = r.Lo.Line, r.Part
		}
		if !r.Hi.Open && r.Hi.Line < a.To {
			a.To, a.ToBy = r.Hi.Line, r.Part
		}
	}
	for i, p := range places {
		if math.Abs(p.Line-w.Front) < math.Abs(places[a.Today].Line-w.Front) {
			a.Today = i
		}
		if p.Line >= a.From && p.Line <= a.To && (a.Best < 0 || p.Sum < places[a.Best].Sum) {
			a.Best = i
		}
	}
	if a.Best < 0 {
		return a
	}
	good := func(i int) bool {
		return i >= 0 && i < len(places) && places[i].Line >= a.From && places[i].Line <= a.To &&
			asGood(places[i].Sum, places[a.Best].Sum)
	}
	a.Flat = [2]int{a.Best, a.Best}
	for good(a.Flat[0] - 1) {
		a.Flat[0]--
	}
	for good(a.Flat[1] + 1) {
		a.Flat[1]++
	}
	return a
}
