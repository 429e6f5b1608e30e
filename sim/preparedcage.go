package sim

// cageNodes is with how many cages a change is looked at where the versions' differ.
const cageNodes = 3

// alikeCage is up to how far cages may differ from the bike's for one to do, mm.
const alikeCage = 0.5

// setCages finds the cages that changes are looked at with: where nobody measured the cage,
// versions have cages so different, by so many mm either way, that what a change does differs
// too. In between it goes by the parabola through the three.
func (p *Prepared) setCages(within float64) {
	if p.cages = []float64{0}; p.base.Tensioner != nil && within > alikeCage {
		p.cages, p.middle = []float64{-within, 0, within}, 1
	}
}

// cagesOf finds the shares of the cages' places that a version has with so many links. A cage that
// is not known is in the design a longer one where that one would not take up the chain.
func (p *Prepared) cagesOf(v *prepared, kept *otherLinks) {
	if len(p.cages) == 1 {
		return
	}
	v.cageWas = p.shares(kept.bike.Tensioner.Cage - p.base.Tensioner.Cage)
	if v.cageIs = v.cageWas; p.shift.across {
		return
	}
	off := v.Bike.Tensioner.Cage - p.base.Tensioner.Cage
	if c := p.leastOf(kept.links); kept.least > 0 && c[0] > 0 && c[1] > 0 {
		off = max(off, kept.least+c[1]-c[0]+p.Spare-p.design.Tensioner.Cage)
	}
	v.cageIs = p.shares(off)
}

// leastOf returns the least cages of the bike without doubt that take up so many links, as prepared
// and in the design, mm; 0: any does, or none.
func (p *Prepared) leastOf(links int) [2]float64 {
	for i := range p.leasts {
		if x := &p.leasts[i]; x.links == links {
			return x.least
		}
	}
	x := leastCages{links: links}
	for i, b := range [...]*Bike{p.base, p.design} {
		if least, err := b.LeastCage(links); err == nil && least < mostCage {
			x.least[i] = least
		}
	}
	p.leasts = append(p.leasts, x)
	return x.least
}

type leastCages struct {
	links int
	least [2]float64
}

// shares returns Lagrange's shares of the cages' places for a cage so much longer than the bike's.
func (p *Prepared) shares(at float64) (w [cageNodes]float64) {
	for i, x := range p.cages {
		w[i] = 1
		for j, y := range p.cages {
			if i != j {
				w[i] *= (at - y) / (x - y)
			}
		}
	}
	return w
}
