package show

import (
	"fmt"
	"math"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/sim"
	"chainpath/sim/indexing"
	"chainpath/sim/judge"
)

// seen is where an advice comes from that does not come from the file.
const seen = "seen"

// agree is how large the mean of a suspect's sizes with their signs is, of that without, for one way
// to be told: three of four bikes agree (assumption).
const agree = 0.5

// suspectsShown is how likely a suspect is at least that is something to do.
const suspectsShown = 0.1

// advise fills in what to do: what was seen comes first, then what the file tells.
func (d *Shifting) advise(b *sim.Bike, s *cases.Shifting) {
	if i := s.Inferred; i != nil && len(i.Suspects) > 1 {
		var do []indexing.Fault
		for _, x := range i.Suspects {
			size, unit := sizeOf(x.Fault, x.Size)
			d.Suspects = append(d.Suspects, ShiftSuspect{x.Fault.Code(), x.Fault.Words(), share(judge.OffTheEnds(x.Share)), size, unit, placeOf(b, x.Fault, x.At)})
			if x.Share >= suspectsShown && x.Fault != indexing.AsTold && len(d.Do) < 3 {
				signed, _ := sizeOf(x.Fault, math.Copysign(x.Size, x.Signed))
				either := math.Abs(x.Signed) < agree*x.Size
				d.do(b, s, indexing.Plant{Fault: x.Fault, Size: math.Copysign(x.Size, x.Signed), At: x.At}, either, DoDoc{From: seen, Chance: share(judge.OffTheEnds(x.Share)), Size: signed, Unit: unit})
				do = append(do, x.Fault)
			}
		}
		if len(do) > 1 {
			if check := say.ShiftCheck(indexing.Separates(do[0], do[1])); check != "" {
				d.Check = &check
			}
		}
	}
	for _, r := range s.Remedies {
		if r.Fault == indexing.Setting && s.Click > 0 && math.Round(s.Clicks) == 0 {
			continue // less than half a click: nothing to turn
		}
		size, unit := sizeOf(r.Fault, r.Size)
		after := share(r.After)
		d.do(b, s, r.Plant, false, DoDoc{From: "file", Chance: share(r.Felt), Size: size, Unit: unit, After: &after})
	}
}

// do adds an advice; either says that it may be the other way about.
func (d *Shifting) do(b *sim.Bike, s *cases.Shifting, p indexing.Plant, either bool, x DoDoc) {
	x.Fault = p.Fault.Code()
	fix := fixOf(b, s, p, x.From == seen)
	fix.Either = either
	x.Do = fix.Words()
	if p.Fault == indexing.Setting && s.Click > 0 {
		clicks := round(p.Size / s.Click)
		x.Clicks = &clicks
	}
	d.Do = append(d.Do, x)
}

// rim is the diameter at which a hanger's lean is told, mm (ISO 5775-1).
const rim = 622

// sizeOf turns a fault's size into output units.
func sizeOf(f indexing.Fault, size float64) (float64, string) {
	switch f {
	case indexing.WrongPull:
		return round(100 * size), "percent"
	case indexing.BentHanger:
		return round(rim * size), "mm_at_rim"
	}
	return round(size), "mm"
}

// placeOf names where a fault is; empty where it has no place.
func placeOf(b *sim.Bike, f indexing.Fault, at int) string {
	switch {
	case at < 0:
		return ""
	case f == indexing.WrongSpacer:
		return fmt.Sprintf("%d-%d", b.Cogs[at].Teeth, b.Cogs[at+1].Teeth)
	}
	return fmt.Sprint(b.Cogs[at].Teeth)
}

// fixOf is a fault as an advice; guessed where it was inferred.
func fixOf(b *sim.Bike, s *cases.Shifting, p indexing.Plant, guessed bool) *say.ShiftFix {
	f := &say.ShiftFix{Fault: p.Fault, Size: p.Size, Guessed: guessed, Click: s.Click, Pitch: s.Rear.Pitch, Rim: rim}
	for i := range f.Cogs {
		if at := p.At + i; p.At >= 0 && at < len(b.Cogs) {
			f.Cogs[i] = fmt.Sprint(b.Cogs[at].Teeth)
		}
	}
	return f
}

// advice is what to do as it is said.
func advice(list []DoDoc) (out []say.ShiftAdvice) {
	for _, x := range list {
		out = append(out, say.ShiftAdvice{Do: x.Do, Seen: x.From == seen, Chance: x.Chance})
	}
	return out
}
