package show

import (
	"fmt"
	"math"

	"chainpath/cases"
	"chainpath/sim"
	"chainpath/sim/indexing"
)

// suspectsShown is how likely a suspect is at least that is something to do.
const suspectsShown = 0.1

// advise fills in what to do: what was seen comes first, then what the file tells.
func (d *Shifting) advise(b *sim.Bike, s *cases.Shifting) {
	if i := s.Inferred; i != nil && len(i.Suspects) > 1 {
		for _, x := range i.Suspects {
			size, unit := sizeOf(x.Fault, x.Size)
			d.Suspects = append(d.Suspects, ShiftSuspect{x.Fault.Code(), x.Fault.Words(), share(cases.OffTheEnds(x.Share)), size, unit, placeOf(b, x.Fault, x.At)})
			if x.Share >= suspectsShown && x.Fault != indexing.AsTold && len(d.Do) < 3 {
				signed, _ := sizeOf(x.Fault, math.Copysign(x.Size, x.Signed))
				d.do(b, s, indexing.Plant{Fault: x.Fault, Size: math.Copysign(x.Size, x.Signed), At: x.At}, DoDoc{From: "seen", Chance: share(cases.OffTheEnds(x.Share)), Size: signed, Unit: unit})
			}
		}
		if s.Checked != "" && len(d.Do) > 1 {
			d.Check = &s.Checked
		}
	}
	for _, r := range s.Remedies {
		if r.Fault == indexing.Setting && s.Click > 0 && math.Round(s.Clicks) == 0 {
			continue // less than half a click: nothing to turn
		}
		size, unit := sizeOf(r.Fault, r.Size)
		after := share(r.After)
		d.do(b, s, r.Plant, DoDoc{From: "file", Chance: share(r.Felt), Size: size, Unit: unit, After: &after})
	}
}

func (d *Shifting) do(b *sim.Bike, s *cases.Shifting, p indexing.Plant, x DoDoc) {
	x.Fault = p.Fault.Code()
	x.Do = doWords(b, s, p, x.From == "seen")
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

// doWords says what to do about a fault; guessed where it was inferred.
func doWords(b *sim.Bike, s *cases.Shifting, p indexing.Plant, guessed bool) string {
	about := ""
	if guessed {
		about = "about "
	}
	side := map[bool]string{true: "outboard", false: "inboard"}[p.Size > 0]
	switch p.Fault {
	case indexing.Setting:
		way := map[bool]string{true: "out", false: "in"}[p.Size > 0]
		if s.Click <= 0 {
			return fmt.Sprintf("trim the derailleur %.1f mm %s", math.Abs(p.Size), map[bool]string{true: "inboard", false: "outboard"}[p.Size > 0])
		}
		n := math.Max(1, math.Round(math.Abs(p.Size)/s.Click))
		if n == 1 {
			return "turn the adjuster " + way + " 1 click"
		}
		return fmt.Sprintf("turn the adjuster %s %s%.0f clicks", way, about, n)
	case indexing.Friction:
		return "clean the cable and its housing, or replace them"
	case indexing.BentHanger:
		if guessed {
			return fmt.Sprintf("the hanger is out, by about %.0f mm at the rim %s: straighten it first", rim*math.Abs(p.Size), side)
		}
		return "the hanger is out: straighten it first"
	case indexing.WrongSpacer:
		return fmt.Sprintf("a spacer between %d and %d is about %.1f mm too %s", b.Cogs[p.At].Teeth, b.Cogs[p.At+1].Teeth, math.Max(0.1, math.Abs(p.Size)), map[bool]string{true: "thick", false: "thin"}[p.Size > 0])
	case indexing.BentCog:
		return fmt.Sprintf("the %d sits about %.1f mm too far %s: it is bent, or its spacers are wrong", b.Cogs[p.At].Teeth, math.Abs(p.Size), side)
	case indexing.WrongPull:
		return fmt.Sprintf("pull and derailleur do not match: %s%.0f %% too %s a step", about, math.Max(1, 100*math.Abs(p.Size)), map[bool]string{true: "much", false: "little"}[p.Size > 0])
	case indexing.PulleyPlay:
		return "replace the guide pulley: it is worn, or has too much float"
	case indexing.WrongCluster:
		return fmt.Sprintf("the cogs are %.2f mm apart, the shifter is made for %.2f: fit a cassette that matches", s.Rear.Pitch+p.Size, s.Rear.Pitch)
	case indexing.ChainLine:
		return "the top run pulls the chain aside: measure the front chainline"
	}
	return "leave it as the file has it"
}
