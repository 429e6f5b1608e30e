package budget

import (
	"fmt"
	"math"
	"sort"

	"gonum.org/v1/gonum/stat/distuv"
)

// Model computes outputs from inputs. It must write every output or return an
// error; it may be called from one goroutine at a time.
type Model func(x, y []float64) error

// Contribution is what one input adds to an output's uncertainty.
type Contribution struct {
	Input       int     // index
	Sensitivity float64 // ∂y/∂x
	U           float64 // |∂y/∂x|·u(x)
	Fraction    float64 // U² of the whole, 0 to 1
}

// Result is one output's first-order budget.
type Result struct {
	Value  float64
	U      float64        // combined standard uncertainty
	DOF    float64        // effective degrees of freedom (Welch-Satterthwaite), 0: infinitely many
	Shares []Contribution // largest first
}

// Expanded returns k·U that covers a share p of Student's t with the effective
// degrees of freedom, cut down to a whole number (JCGM 100, G.4.1).
func (r Result) Expanded(p float64) float64 {
	if r.U == 0 {
		return 0
	}
	if dof := math.Floor(r.DOF); dof >= 1 {
		return r.U * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: dof}.Quantile((1+p)/2)
	}
	return r.U * distuv.UnitNormal.Quantile((1+p)/2)
}

// step is the share of a standard uncertainty over which derivatives are taken:
// small beside the curvature of a bend over its uncertainty, large beside the
// rounding of a path that is closed to 1e-9 mm.
const step = 0.1

// FirstOrder propagates the inputs through the model with m outputs, with
// sensitivities by central differences (JCGM 100, 5.1.2).
func FirstOrder(f Model, in []Input, m int) ([]Result, error) {
	x, err := values(in)
	if err != nil {
		return nil, err
	}
	y, lo, hi := make([]float64, m), make([]float64, m), make([]float64, m)
	if err := call(f, x, y); err != nil {
		return nil, err
	}
	out := make([]Result, m)
	welch := make([]float64, m)
	for j := range out {
		out[j].Value = y[j]
	}
	for i, p := range in {
		if p.U == 0 {
			continue
		}
		h := step * p.U
		least, most := p.bounds()
		from, to := max(p.Value-h, least), min(p.Value+h, most)
		if !(to > from) {
			continue
		}
		over := 2 * h
		if from > p.Value-h || to < p.Value+h {
			over = to - from
		}
		x[i] = from
		if err := call(f, x, lo); err != nil {
			return nil, err
		}
		x[i] = to
		if err := call(f, x, hi); err != nil {
			return nil, err
		}
		x[i] = p.Value
		for j := range out {
			c := (hi[j] - lo[j]) / over
			u := math.Abs(c) * p.U
			out[j].Shares = append(out[j].Shares, Contribution{Input: i, Sensitivity: c, U: u})
			out[j].U += u * u
			if p.DOF > 0 {
				welch[j] += u * u * u * u / p.DOF
			}
		}
	}
	for j := range out {
		r := &out[j]
		if welch[j] > 0 {
			r.DOF = r.U * r.U / welch[j]
		}
		for k := range r.Shares {
			if r.U > 0 {
				r.Shares[k].Fraction = r.Shares[k].U * r.Shares[k].U / r.U
			}
		}
		r.U = math.Sqrt(r.U)
		sort.SliceStable(r.Shares, func(a, b int) bool { return r.Shares[a].U > r.Shares[b].U })
	}
	return out, nil
}

func values(in []Input) ([]float64, error) {
	x := make([]float64, len(in))
	for i, p := range in {
		if err := p.Validate(); err != nil {
			return nil, err
		}
		x[i] = p.Value
	}
	return x, nil
}

// call runs the model and refuses outputs that are not finite.
func call(f Model, x, y []float64) error {
	if err := f(x, y); err != nil {
		return err
	}
	for j, v := range y {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("budget: output %d is %g", j, v)
		}
	}
	return nil
}
