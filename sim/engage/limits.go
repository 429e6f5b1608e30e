package engage

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
