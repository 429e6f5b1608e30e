package sweep

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
)

// ErrPlan reports a plan that cannot be laid out.
var ErrPlan = errors.New("sweep: bad plan")

// Method is how designs are chosen.
type Method int

// The methods.
const (
	Grid   Method = iota // every value of each variable with every one of the others
	Random               // each variable anywhere in its range, or any of its values
	Sobol                // the same, evenly spread: Sobol's sequence, shifted by the seed
)

func (m Method) String() string { return [...]string{"grid", "random", "sobol"}[m] }

// Variable is what is varied: a list of values, or a range in steps (Step > 0) or,
// for samples, any number in it.
type Variable struct {
	Name           string
	Values         []float64
	From, To, Step float64
}

// count returns how many values a variable has in a grid.
func (v *Variable) count() int {
	if len(v.Values) > 0 {
		return len(v.Values)
	}
	return int(math.Floor((v.To-v.From)/v.Step+1e-9)) + 1
}

// value returns value i of a grid: multiples of the step, to nine decimals.
func (v *Variable) value(i int) float64 {
	if len(v.Values) > 0 {
		return v.Values[i]
	}
	return math.Round((v.From+float64(i)*v.Step)*1e9) / 1e9
}

// sample returns the value at a place u in [0, 1).
func (v *Variable) sample(u float64) float64 {
	if len(v.Values) > 0 || v.Step > 0 {
		n := v.count()
		return v.value(min(int(u*float64(n)), n-1))
	}
	return v.From + u*(v.To-v.From)
}

// Plan says which designs there are. It is not changed by use: many goroutines may
// share it.
type Plan struct {
	Variables []Variable
	Method    Method
	Count     int    // of samples
	Seed      uint64 // of samples

	designs int
	sobol   *sobol
}

// MostDesigns bounds a sweep.
const MostDesigns = 1 << 40

// Prepare checks a plan and makes it ready. Errors wrap ErrPlan.
func (p *Plan) Prepare() error {
	if len(p.Variables) == 0 {
		return fmt.Errorf("%w: nothing is varied", ErrPlan)
	}
	grid := 1.0
	for i := range p.Variables {
		v := &p.Variables[i]
		if len(v.Values) == 0 {
			if !(v.To >= v.From) || math.IsInf(v.To-v.From, 0) {
				return fmt.Errorf("%w: %s from %g to %g, want them finite and in order", ErrPlan, v.Name, v.From, v.To)
			}
			if p.Method == Grid && !(v.Step > 0) || v.Step < 0 || math.IsNaN(v.Step) {
				return fmt.Errorf("%w: %s in steps of %g, want more than 0", ErrPlan, v.Name, v.Step)
			}
			if v.Step > 0 && (v.To-v.From)/v.Step > MostDesigns {
				return fmt.Errorf("%w: %s has too many steps", ErrPlan, v.Name)
			}
		}
		if p.Method == Grid {
			grid *= float64(v.count())
		}
	}
	if p.Method != Grid {
		grid = float64(p.Count)
		if p.Count < 1 {
			return fmt.Errorf("%w: %d samples, want at least 1", ErrPlan, p.Count)
		}
	}
	if grid > MostDesigns {
		return fmt.Errorf("%w: %.3g designs, want at most %d", ErrPlan, grid, MostDesigns)
	}
	p.designs = int(grid)
	if p.Method == Sobol {
		if len(p.Variables) > mostSobol {
			return fmt.Errorf("%w: %d variables, want at most %d with sobol", ErrPlan, len(p.Variables), mostSobol)
		}
		p.sobol = newSobol(len(p.Variables), p.Seed)
	}
	return nil
}

// Designs returns how many designs there are.
func (p *Plan) Designs() int { return p.designs }

// Design sets x to the values of a design, by its number from 0 on. In a grid the
// last variable changes fastest.
func (p *Plan) Design(x []float64, number int) {
	switch p.Method {
	case Grid:
		for i := len(p.Variables) - 1; i >= 0; i-- {
			v := &p.Variables[i]
			n := v.count()
			x[i] = v.value(number % n)
			number /= n
		}
	case Random:
		r := rand.New(rand.NewPCG(p.Seed, uint64(number)))
		for i := range p.Variables {
			x[i] = p.Variables[i].sample(r.Float64())
		}
	case Sobol:
		for i := range p.Variables {
			x[i] = p.Variables[i].sample(p.sobol.at(i, uint64(number)))
		}
	}
}
