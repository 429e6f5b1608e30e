package cases

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"chainpath/sim"
	"chainpath/sim/learn"
)

// learnedVersion is that of the learned block.
const learnedVersion = 2

// learnedForm is what the sets of a learned block are of.
type learnedForm struct {
	readings    []string // with a deviate each
	faults      []sim.Concern
	rings, cogs int
}

// learnedOf is what was learned with a set: the deviates of readings, 0 to 1, and by how much the
// bicycle is off what the model says, by fault and gear, as of infer.Spread.Fault.
type learnedOf struct {
	form     *learnedForm
	readings []float64
	offsets  [][]float64
}

// Names of what is drawn of lines beside readings: their doubt where they were typed without any,
// and whether they were misread.
const (
	frontDoubt   = "doubt of the front line"
	rearDoubt    = "doubt of the rear line"
	frontMisread = "misread front line"
	rearMisread  = "misread rear line"
)

// misreadTimes is how many times as great the error of a misread line is (assumption).
const misreadTimes = 3.0

// readingNames returns the names of all readings, as bike asks for them, then those of misread
// lines; those that are not drawn are "".
func (d *Drawn) readingNames() []string {
	var out []string
	for i, in := range d.inputs {
		if d.fixed[i] || d.free[i] {
			out = append(out, "")
		} else {
			out = append(out, in.Name)
		}
	}
	for _, l := range []struct {
		size float64
		name string
	}{{d.front, frontDoubt}, {d.rear, rearDoubt}} {
		if l.size == 0 {
			l.name = ""
		}
		out = append(out, l.name)
	}
	return append(out, frontMisread, rearMisread)
}

// drawn returns the bike of where a set starts.
func (d *Drawn) drawn(from start) (*sim.Bike, *sim.Free, error) {
	rng := rand.New(rand.NewPCG(from.seed, readingStream))
	if from.own == nil {
		return d.random(from.set, rng, misreadOf(from.seed))
	}
	form := from.own.form
	if d.learned != form {
		d.learned, d.placed = form, nil
		for _, name := range d.readingNames() {
			at := -1
			if name != "" {
				at = slices.Index(form.readings, name)
			}
			d.placed = append(d.placed, at)
		}
	}
	return d.Deviated(from.set, func(i int) float64 {
		if at := d.placed[i]; at >= 0 {
			return from.own.readings[at]
		}
		return rng.Float64()
	})
}

// random returns the bike with readings drawn, and lines misread at deviates, 0 to 1.
func (d *Drawn) random(set []float64, rng *rand.Rand, misread [2]float64) (*sim.Bike, *sim.Free, error) {
	return d.Deviated(set, func(i int) float64 {
		if at := i - len(d.inputs) - 2; at >= 0 {
			return misread[at]
		}
		return rng.Float64()
	})
}

// misreadOf deals deviates of misread lines out to sets evenly, so that of 200 sets as many are
// misread as the chance says: the first points of a sequence that fills the square (Weyl's, by steps of
// 1/p and 1/p², p³ = p + 1; from memory).
func misreadOf(set uint64) [2]float64 {
	const p = 1.3247179572447460
	_, front := math.Modf(0.5 + float64(set%(1<<16))/p)
	_, rear := math.Modf(0.5 + float64(set%(1<<16))/(p*p))
	return [2]float64{front, rear}
}

// Deviated returns the bike at deviates of all of readingNames.
func (d *Drawn) Deviated(set []float64, u func(i int) float64) (*sim.Bike, *sim.Free, error) {
	off := [2]float64{1, 1}
	for i := range off {
		if u(len(d.inputs)+2+i) > 1-learn.Misread {
			off[i] = misreadTimes
		}
	}
	return d.bike(set, u, off)
}

// shift puts what was learned of the bicycle into the chances of a set: those of the gears of so
// many rings, from small to large. Of other gears than it was learned of, each has the offset of
// the place that it comes nearest to.
func (s *start) shift(gears []sim.Chances, rings int) {
	if s.own == nil {
		return
	}
	for g := range gears {
		for h, k := range s.own.form.faults {
			offset := s.own.offsets[h][s.own.form.place(g, rings, len(gears)/rings)]
			shiftOne(&gears[g], k, offset)
			if k == sim.DropRiding { // it holds those on a smooth road
				shiftOne(&gears[g], sim.DropSmooth, offset)
				gears[g][sim.DropSmooth] = min(gears[g][sim.DropSmooth], gears[g][sim.DropRiding])
			}
		}
	}
}

func shiftOne(c *sim.Chances, k sim.Concern, offset float64) {
	if c.Is(k) {
		c[k] = learn.SpreadOf(k).Fault(learn.Unsure(k, c[k]), offset)
	}
}

// place returns the gear, of those that were learned of, that stands where gear g does of so many.
func (f *learnedForm) place(g, rings, cogs int) int {
	return scaled(g/cogs, rings, f.rings)*f.cogs + scaled(g%cogs, cogs, f.cogs)
}

func scaled(i, of, to int) int {
	if of == to || of < 2 {
		return i
	}
	return (2*i*(to-1) + of - 1) / (2 * (of - 1))
}

// shiftBends does the same for what every arrival would do at bends.
func (s *start) shiftBends(gears [][]sim.Bent, rings int) {
	if s.own == nil {
		return
	}
	for g := range gears {
		for h, k := range s.own.form.faults {
			offset := s.own.offsets[h][s.own.form.place(g, rings, len(gears)/rings)]
			for i := range gears[g] {
				a := &gears[g][i]
				var curve []float64
				switch {
				case k == sim.NoiseRiding:
					curve = a.Noise
				case k == sim.DropRiding && a.Direction == sim.Riding, k == sim.DropBackwards && a.Direction == sim.Backwards:
					curve = a.Off
				}
				for j, p := range curve {
					curve[j] = learn.SpreadOf(k).Fault(learn.Unsure(k, p), offset)
				}
			}
		}
	}
}

// offsetStep is the step in which offsets are written, either way of 0 to mostOffset.
const (
	offsetStep = 0.04
	mostOffset = 127 * offsetStep
)

// learnedBlock makes the block of a case from what was learned of it.
func (c *Case) learnedBlock(of *learn.Lesson, version string) *Learned {
	var b []byte
	for _, s := range of.Kept {
		b = packShares(b, s.Set)
		for _, u := range s.Readings {
			b = append(b, byte(min(u*256, 255)))
		}
		for _, gears := range s.Offsets {
			for _, x := range gears {
				b = append(b, byte(128+math.Round(max(-mostOffset, min(x, mostOffset))/offsetStep)))
			}
		}
	}
	l := &Learned{Tool: version, Version: learnedVersion, From: fingerprint(setsData), Seen: c.seenPrint(), Readings: of.Readings, Gears: []int{len(c.Front.Rings), len(c.Rear.Cogs)}, Sets: inLines(summed(b))}
	for _, k := range of.Faults {
		l.Faults = append(l.Faults, k.String())
	}
	return l
}

// learnedSets reads the block. Errors are *Error.
func (c *Case) learnedSets() ([]start, error) {
	l := c.Learned
	if l.Version != learnedVersion {
		return nil, c.fail("learned", "of version %d, learned in another way than version %d: %s", l.Version, learnedVersion, c.learnAnew())
	}
	if want := fingerprint(setsData); l.From != want {
		return nil, c.fail("learned.from", "made from other shipped sets (%s, these are %s): %s", shorten(l.From), want, c.learnAnew())
	}
	form, err := l.form()
	if err != nil {
		return nil, c.fail("learned", "%s: %s", err, c.learnAnew())
	}
	gears := form.rings * form.cogs
	list, err := rows(l.Sets, len(freeNumbers)+len(form.readings)+gears*len(form.faults))
	if err != nil {
		return nil, c.fail("learned.sets", "%s: %s", err, c.learnAnew())
	}
	var out []start
	for k, row := range list {
		s := start{set: unpackShares(row[:len(freeNumbers)]), seed: uint64(k), own: &learnedOf{form: form}}
		row = row[len(freeNumbers):]
		for _, x := range row[:len(form.readings)] {
			s.own.readings = append(s.own.readings, (float64(x)+0.5)/256)
		}
		for row = row[len(form.readings):]; len(row) > 0; row = row[gears:] {
			offsets := make([]float64, gears)
			for g := range offsets {
				offsets[g] = (float64(row[g]) - 128) * offsetStep
			}
			s.own.offsets = append(s.own.offsets, offsets)
		}
		out = append(out, s)
	}
	return out, nil
}

// form reads what the sets of a block are of.
func (l *Learned) form() (*learnedForm, error) {
	f := &learnedForm{readings: l.Readings}
	if len(l.Gears) != 2 || min(l.Gears[0], l.Gears[1]) < 1 || max(l.Gears[0], l.Gears[1]) > 100 {
		return nil, fmt.Errorf("gears %v, want the numbers of chainrings and cogs", l.Gears)
	}
	f.rings, f.cogs = l.Gears[0], l.Gears[1]
	for _, name := range l.Faults {
		k := slices.IndexFunc(sim.Hazards[:], func(h sim.Hazard) bool { return h.Code == name && h.Seen != "" })
		if k < 0 {
			return nil, fmt.Errorf("no fault %q", shorten(name))
		}
		f.faults = append(f.faults, sim.Concern(k))
	}
	return f, nil
}
