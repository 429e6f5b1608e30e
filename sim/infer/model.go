package infer

import (
	"math"

	"chainpath/sim/elementary"
)

// Model is what was told of one thing.
type Model struct {
	Numbers int     // standard normals that the thing's own model takes
	Places  Places  // of every fault
	Faults  []Fault // of which something was told
	Tried   int     // how many changes of the thing something was told of too
	Extra   int     // further numbers that an evaluation returns, for the caller
}

// Fault is one fault of which something was told.
type Fault struct {
	Spread Spread
	Told   []Told
	Any    []Any
}

// Told is what was told at one place, of the thing as it is or as it was after a change.
type Told struct {
	Place int
	Tried int // 0: as it is; else the number of the change
	Table *Table
}

// Any is a word that the fault is at one of several places at least.
type Any struct {
	Places  []int
	Tried   int     // as of Told
	Mistake float64 // as of Report
}

// Evaluate works out what the thing's model says of standard normals: the level μ at every place
// of every fault in turn, NaN where there is no such thing, then the same after every change that was
// tried, then the extra numbers. A change leaves the offsets as they are. It reports
// false where such a thing cannot be. It is for one goroutine.
type Evaluate func(numbers, levels []float64) bool

// Particle is one possible thing.
type Particle struct {
	Numbers []float64   // standard normals
	Field   [][]float64 // standard normals of Field, by fault
	Mistake int         // of Mistakes
	Levels  []float64   // as Evaluate gave them
	Offsets [][]float64 // √C·B + √N·S by fault and place

	is   bool    // it can be
	log  float64 // of the likelihood
	from int     // which first particle it comes from
}

func (m *Model) levels() int { return (1+m.Tried)*len(m.Faults)*m.Places.Rows*m.Places.Each + m.Extra }

// Level returns the level of a fault at a place, of the thing as it is or after a change.
func (m *Model) Level(p *Particle, tried, fault, place int) float64 {
	return p.Levels[(tried*len(m.Faults)+fault)*m.Places.Rows*m.Places.Each+place]
}

func (m *Model) newParticle(f *Field) *Particle {
	p := &Particle{Numbers: make([]float64, m.Numbers), Levels: make([]float64, m.levels())}
	for range m.Faults {
		p.Field = append(p.Field, make([]float64, f.Len()))
		p.Offsets = append(p.Offsets, make([]float64, f.Len()-1))
	}
	return p
}

func (p *Particle) copyFrom(o *Particle) {
	copy(p.Numbers, o.Numbers)
	copy(p.Levels, o.Levels)
	for h := range p.Field {
		copy(p.Field[h], o.Field[h])
		copy(p.Offsets[h], o.Offsets[h])
	}
	p.Mistake, p.is, p.log, p.from = o.Mistake, o.is, o.log, o.from
}

// logLike returns the log likelihood of all that was told.
func (m *Model) logLike(p *Particle) (sum float64) {
	for h := range m.Faults {
		f := &m.Faults[h]
		for i := range f.Told {
			t := &f.Told[i]
			if l := m.Level(p, t.Tried, h, t.Place); !math.IsNaN(l) {
				sum += t.Table.Log(p.Mistake, l-p.Offsets[h][t.Place])
			}
		}
		for i := range f.Any {
			sum += m.logAny(p, h, &f.Any[i])
		}
	}
	return sum
}

// logAny returns the log likelihood of a word about several places.
func (m *Model) logAny(p *Particle, fault int, a *Any) float64 {
	s := &m.Faults[fault].Spread
	none := 1.0
	for _, g := range a.Places {
		if l := m.Level(p, a.Tried, fault, g); !math.IsNaN(l) {
			none *= 1 - s.At(l, p.Offsets[fault][g])
		}
	}
	e := a.Mistake
	if e == 0 {
		e = Mistakes[p.Mistake]
	}
	return math.Log((1-e)*(1-none) + e*none)
}

// FaultAt returns the chance of a fault at a place by a particle and what was told there, of the thing
// as it is or after a change; NaN where there is no such thing.
func (m *Model) FaultAt(p *Particle, tried, fault, place int) float64 {
	f := &m.Faults[fault]
	level := m.Level(p, tried, fault, place)
	if math.IsNaN(level) {
		return level
	}
	level -= p.Offsets[fault][place]
	for i := range f.Told {
		if t := &f.Told[i]; t.Place == place && t.Tried == tried {
			return t.Table.Fault(p.Mistake, level)
		}
	}
	return f.Spread.At(level, 0)
}

// mistakeOf returns the mistake at a share of their weights.
func mistakeOf(u float64) int {
	for e, w := range MistakeWeight {
		if u -= w; u < 0 {
			return e
		}
	}
	return len(MistakeWeight) - 1
}

// chance returns e^x up to 1.
func chance(x float64) float64 {
	if x >= 0 {
		return 1
	}
	return elementary.Exp(x)
}
