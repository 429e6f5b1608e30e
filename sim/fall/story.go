package fall

// Story is what a fall came to, link by link, in the order in which a viewer sees it.
type Story struct {
	Stand []int  // links that stand on tips of the first wheel at the end
	Over  *Event // of those over the edge when the chain comes to the next wheel the first of the row; nil: none
	Touch *Event // the first link that touches the next wheel; nil: none
}

// Story tells a fall.
func (r *Result) Story() (s Story) {
	for i := range r.Events {
		e := &r.Events[i]
		switch {
		case e.State == Beyond && e.Cog == 0 && s.Touch == nil && (s.Over == nil || e.N < s.Over.N):
			s.Over = e
		case e.State != Beyond && e.Cog == 1 && s.Touch == nil:
			s.Touch = e
		}
	}
	if n := len(r.Frames); n > 0 {
		for _, l := range r.Frames[n-1].Links {
			if l.Cog == 0 && l.State == Tip {
				s.Stand = append(s.Stand, l.N)
			}
		}
	}
	return s
}
