package cases

import (
	"chainpath/sim"
	"chainpath/sim/decide"
	"chainpath/sim/judge"
)

// mishapNumber is the free number that every gear's coming off when riding has in it.
const mishapNumber = "dirt, wear, shifting"

// Carried returns what every bicycle carries of each concern in its chances, however
// straight it is, by the case's sets: what keeps a mean off 0, and the share for dirt,
// wear and shifting. Errors are as of Chances.
func (c *Case) Carried() (*decide.Carried, error) {
	sets, err := c.starts()
	if err != nil {
		return nil, err
	}
	mishap := 0.0
	for _, s := range sets {
		mishap += mishapIn(s.set) / float64(len(sets))
	}
	return carried(mishap), nil
}

func mishapIn(set []float64) float64 {
	i := freeNumber(mishapNumber)
	return freeNumbers[i].At(set[i])
}

func carried(mishap float64) *decide.Carried {
	k := &decide.Carried{Most: judge.OffTheEnds(1)}
	for i := range k.Least {
		k.Least[i] = judge.OffTheEnds(0)
	}
	k.Least[sim.DropRiding] = judge.OffTheEnds(mishap)
	return k
}

// ofSet returns the trouble by one set's chances, so that the mean over all sets is the
// trouble of the mean chances: kept off the ends as those are, less what that set has of
// that share, and nothing but that it does not fit of gears that the case's chain does not reach
// round. The chances are not changed. Errors wrap decide.ErrWeights.
func ofSet(chances []sim.Chances, set []float64, mounts []bool, share []float64, w *decide.Weights) (decide.Trouble, error) {
	told := make([]sim.Chances, len(chances))
	for g := range chances {
		for k, p := range chances[g] {
			switch {
			case p < 0 || !mounts[g] && sim.Concern(k) != sim.DoesNotClose:
				told[g][k] = -1
			default:
				told[g][k] = judge.OffTheEnds(p)
			}
		}
	}
	return decide.Expect(told, share, w, carried(mishapIn(set)))
}

// chained returns the case's bike with the links of its chain. Errors are *Error.
func (c *Case) chained() (*sim.Bike, int, error) {
	b, err := c.Bike()
	if err != nil {
		return nil, 0, err
	}
	links, err := b.ChooseLinks()
	return b, links, c.Explain(err)
}

// mounts reports of every gear whether the case's chain goes round it. Errors are *Error.
func (c *Case) mounts() ([]bool, error) {
	b, links, err := c.chained()
	if err != nil {
		return nil, err
	}
	mounts, err := judge.Mounted(b, links)
	return mounts, c.Explain(err)
}
