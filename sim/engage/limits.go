package engage

import "math"

// Limits are a sprocket's own bend limits for one tension: the angles from
// which on an arriving link is no longer clear, and no longer guided.
type Limits struct {
	Quiet, Climb         float64 // rad, in [0, MaxAngle]
	QuietLink, ClimbLink Link    // the kind of link that sets each
}

// FindLimits returns the limits of a wheel for a chain under a tension (N): for
// each kind of arriving link the angle at which its offset at first overlap
// reaches the clear and the guided band, and of the two kinds the smaller.
// The Entry is scratch. Errors wrap ErrEntry, ErrStalled or ErrBadInput.
func FindLimits(e *Entry, w Wheel, c Chain, tension float64) (Limits, error) {
	w = w.Canonical(c)
	l := Limits{Quiet: MaxAngle, Climb: MaxAngle}
	for kind := Inner; kind <= Outer; kind++ {
		if err := e.Set(w, c, kind, tension); err != nil {
			return Limits{}, err
		}
		if err := lower(e, e.Clear(), &l.Quiet, &l.QuietLink); err != nil {
			return Limits{}, err
		}
		if err := lower(e, e.Guided(), &l.Climb, &l.ClimbLink); err != nil {
			return Limits{}, err
		}
	}
	return l, nil
}

// canonicalRadius is the pitch radius of a canonical wheel, mm, and canonicalTip
// how far its tips stand above it: on it the link behind the arriving one is
// seated to the full thickness of any tooth whose relief is not deeper.
const (
	canonicalRadius = 60.0
	canonicalTip    = 3.0
)

// Canonical returns the wheel that stands for all with the same limits. Where the
// link behind the arriving one already has the tooth's full thickness between
// its plates, the size of the wheel no longer matters: the same plays stand in
// the same order, and only the teeth's cross-section is kept. Other wheels are
// returned as they are.
func (w Wheel) Canonical(c Chain) Wheel {
	k := Wheel{PitchRadius: canonicalRadius, TipRadius: canonicalRadius + canonicalTip, Teeth: w.Teeth}
	if w.seatsNext(c) && k.seatsNext(c) {
		return k
	}
	return w
}

// seatsNext reports whether the link one pitch behind the arriving one has its
// tooth in it to the full thickness.
func (w Wheel) seatsNext(c Chain) bool {
	s := FirstOverlap(w, c.PlateHalfHeight) - c.Pitch
	if s <= 0 { // none but seated links
		s = 0
	}
	depth := w.TipRadius*math.Cos(s/w.PitchRadius) - (w.PitchRadius - c.PlateHalfHeight)
	return w.Teeth[Inner].Thickness(depth) >= w.Teeth[Inner].Full && w.Teeth[Outer].Thickness(depth) >= w.Teeth[Outer].Full
}

// lower takes the limit down to the entry's own where that is smaller. The
// offset never falls with the angle, so one look at the present limit tells.
func lower(e *Entry, offset float64, limit *float64, link *Link) error {
	if *limit < MaxAngle {
		y, st := e.Offset(*limit)
		if st != Solved {
			return st.Err()
		}
		if y <= offset {
			return nil
		}
	}
	a, st := e.Limit(offset)
	if st != Solved {
		return st.Err()
	}
	if a < *limit {
		*limit, *link = a, e.link
	}
	return nil
}
