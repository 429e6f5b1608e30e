package indexing

import (
	"math/rand/v2"
)

// Unknowns holds the numbers of indexing that nobody publishes.
type Unknowns struct {
	Room       float64 // w: of a straight bike's steps, share of the pitch
	Kappa      float64 // how many times a gap's error counts
	StopSpread float64 // standard deviation of single stops, mm
	CogSpread  float64 // of single cogs' planes, mm
	GateSpread float64 // of the depth of gates, mm
}

// Draw is one bicycle of a kind.
type Draw struct {
	Unknowns
	Bow     float64   // by what share of itself the last stop is off, growing along the steps
	Click   float64   // where between two clicks the best setting lies, -0.5 to 0.5
	Stop    []float64 // of single stops, mm
	Cog     []float64 // of single cogs, mm
	In, Out []float64 // of the gates of each pair, mm
}

// BowSpread is the standard deviation of Bow (assumption).
const BowSpread = 0.006

// Draw draws a bicycle of n cogs.
func (u Unknowns) Draw(n int, r *rand.Rand) *Draw {
	d := &Draw{Unknowns: u, Bow: BowSpread * r.NormFloat64(), Click: r.Float64() - 0.5}
	all := make([]float64, 4*n)
	d.Stop, d.Cog, d.In, d.Out = all[:n:n], all[n:2*n:2*n], all[2*n:3*n:3*n], all[3*n:]
	for k := range n {
		d.Stop[k], d.Cog[k] = u.StopSpread*r.NormFloat64(), u.CogSpread*r.NormFloat64()
		d.In[k], d.Out[k] = u.GateSpread*r.NormFloat64(), u.GateSpread*r.NormFloat64()
	}
	return d
}

// Middle returns the bicycle of n cogs with nothing off.
func (u Unknowns) Middle(n int) *Draw {
	z := make([]float64, n)
	return &Draw{Unknowns: u, Stop: z, Cog: z, In: z, Out: z}
}
