package score

import (
	"fmt"
	"sort"
)

// Bin is a row of a reliability table: the predictions in a range of chances
// beside how often it happened. An empty bin has means of 0.
type Bin struct {
	From, To float64 // From <= chance < To; the last bin holds To = 1 as well
	N, Yes   int     // predictions, and those of them that happened
	Mean     float64 // mean chance, 0 to 1
	Share    float64 // Yes/N, 0 to 1
}

// Reliability sorts predictions into bins. Edges rise from 0 to 1, one more than
// there are bins. Errors wrap ErrInput.
func Reliability(o []Prediction, edges []float64) ([]Bin, error) {
	if err := validate(o); err != nil {
		return nil, err
	}
	last := len(edges) - 1
	if last < 1 || edges[0] != 0 || edges[last] != 1 {
		return nil, fmt.Errorf("%w: edges %g, want them from 0 to 1", ErrInput, edges)
	}
	for i := range last {
		if !(edges[i] < edges[i+1]) {
			return nil, fmt.Errorf("%w: edge %g after %g, want them to rise", ErrInput, edges[i+1], edges[i])
		}
	}
	bins := make([]Bin, last)
	for i := range bins {
		bins[i].From, bins[i].To = edges[i], edges[i+1]
	}
	for _, x := range o {
		b := &bins[sort.Search(last-1, func(i int) bool { return x.P < edges[i+1] })]
		b.N++
		b.Mean += x.P
		if x.Happened {
			b.Yes++
		}
	}
	for i := range bins {
		if b := &bins[i]; b.N > 0 {
			b.Mean /= float64(b.N)
			b.Share = float64(b.Yes) / float64(b.N)
		}
	}
	return bins, nil
}
