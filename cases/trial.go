package cases

import (
	"fmt"
	"math/rand/v2"

	"chainpath/sim"
)

// readingsOf sets the random stream of a trial's readings apart from that of its links.
const readingsOf = 0x726561646e6773

// Trial returns the bike of trial number n of a seed: set n modulo Sets of the learned or else
// shipped free numbers, in their order, with readings and lines drawn as Chances draws
// them; those of a learned set are the ones it was learned with. The set is put into the bike's chain and cogs, and
// judges drops by links, as a march does, also where the set goes by the bend. The same seed
// and number give the same bike. Errors are *Error, wrap ErrSets, or come from package
// sim: a draw may take a dimension past what can be.
func (d *Drawn) Trial(seed, n uint64) (*sim.Bike, *sim.Free, error) {
	sets, err := d.c.starts()
	if err != nil {
		return nil, nil, err
	}
	from := sets[n%uint64(len(sets))]
	var b *sim.Bike
	var f *sim.Free
	if d.c.Learned != nil { // its readings are what the set was learned with
		b, f, err = d.drawn(from)
	} else {
		rng := rand.New(rand.NewPCG(seed^readingsOf, n))
		misread := [2]float64{rng.Float64(), rng.Float64()}
		b, f, err = d.random(from.set, rng, misread)
	}
	if err != nil {
		return nil, nil, fmt.Errorf("trial %d of seed %d: %w", n, seed, err)
	}
	f.DropByBend = false
	f.Put(b)
	return b, f, nil
}
