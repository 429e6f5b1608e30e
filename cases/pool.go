package cases

import (
	"hash/fnv"
	"sync/atomic"

	"chainpath/sim"
	"chainpath/sim/learn"
)

// Pooled is what many bikes teach together, and how well each would have been foretold by the others.
type Pooled struct {
	*learn.Pooled
	Memory *Memory
}

// Pool learns from many cases at once what is common to the bikes of a kind. Names are for the reader,
// one a case. Done counts steps of all bikes. A bike of which nothing was seen is refused. Errors are
// *Error, or wrap ErrSets.
func Pool(names []string, all []*Case, version string, done *atomic.Int64) (*Pooled, error) {
	shipped, err := shippedSets()
	if err != nil {
		return nil, err
	}
	bikes, known := make([]*learn.Pooling, len(all)), make([][]sim.Chances, len(all))
	for i, c := range all {
		if bikes[i], known[i], err = c.pooling(names[i]); err != nil {
			return nil, err
		}
	}
	p, err := learn.Pool(bikes, known, shipped, done)
	if err != nil {
		return nil, err
	}
	return &Pooled{p, remember(p.Kinds, version)}, nil
}

// pooling returns the case as one bike of a shop, with the chances of its gears by the shipped sets.
func (c *Case) pooling(name string) (*learn.Pooling, []sim.Chances, error) {
	plain := c.clone()
	plain.Learned = nil
	b := &learn.Pooling{Name: name, Speeds: c.Speeds}
	var err error
	if b.Seen, err = c.Seen(); err != nil {
		return nil, nil, err
	}
	if len(b.Seen) == 0 {
		return nil, nil, c.fail("observations", "nothing was seen of this bike, want at least one of observations or symptoms")
	}
	text, err := plainText(plain)
	if err != nil {
		return nil, nil, err
	}
	h := fnv.New64a()
	h.Write(text)
	b.Seed = h.Sum64()
	if b.Source, err = plain.learner(nil); err != nil {
		return nil, nil, err
	}
	known, err := plain.Chances()
	return b, known, err
}
