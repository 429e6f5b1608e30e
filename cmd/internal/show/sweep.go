package show

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"

	"chainpath/sim"
)

// SweepRow is a design with what came out.
type SweepRow struct {
	Design  int
	Values  []float64 // of the varied fields
	Status  string    // "ok", or why the design cannot be
	Bike    *sim.Bike
	Outcome sim.Outcome
	Loss    float64 // largest loss of a gear, %; NaN: no gear has one
	Wear    float64 // largest wear index of a gear; NaN: no gear has one
	// Most are the largest chances of a gear, by concern, < 0: there is no such thing;
	// Trouble what is to be expected over the riding profile.
	Most    sim.Chances
	Trouble float64
	Shift   sim.ShiftWorst
	Index   sim.Indexer // what Shift is worked out with
	// LateMost is the largest chance that a shift is late, AnyLate that some one is.
	LateMost, AnyLate float64
}

// SweepFormat lays rows out. It is not changed by use.
type SweepFormat struct {
	Varied  []string // columns of the varied fields
	JSON    bool     // JSON Lines instead of CSV
	columns []sweepColumn
}

// SweepColumns are the groups of columns that cost much.
type SweepColumns struct{ Loss, Chances, Shifts bool }

type sweepColumn struct {
	name string
	text bool
	of   func(b []byte, r *SweepRow) []byte // appends the cell
}

// NewSweepFormat returns a format for a sweep's varied columns.
func NewSweepFormat(varied []string, also SweepColumns, lines bool) *SweepFormat {
	f := &SweepFormat{Varied: varied, JSON: lines}
	add := func(name string, text bool, of func(b []byte, r *SweepRow) []byte) {
		f.columns = append(f.columns, sweepColumn{name, text, of})
	}
	add("design", false, func(b []byte, r *SweepRow) []byte { return strconv.AppendInt(b, int64(r.Design), 10) })
	for i, name := range varied {
		add(name, false, func(b []byte, r *SweepRow) []byte { return strconv.AppendFloat(b, r.Values[i], 'f', -1, 64) })
	}
	add("status", true, func(b []byte, r *SweepRow) []byte { return append(b, r.Status...) })
	whole := func(name string, of func(o *sim.Outcome) int) {
		add(name, false, func(b []byte, r *SweepRow) []byte { return strconv.AppendInt(b, int64(of(&r.Outcome)), 10) })
	}
	angle := func(name string, gear string, of func(o *sim.Outcome) *sim.Extreme) {
		add(name, false, func(b []byte, r *SweepRow) []byte {
			return appendExtreme(b, of(&r.Outcome), 180/math.Pi)
		})
		f.gear(gear, of)
	}
	length := func(name, gear string, of func(o *sim.Outcome) *sim.Extreme) {
		add(name, false, func(b []byte, r *SweepRow) []byte { return appendExtreme(b, of(&r.Outcome), 1) })
		f.gear(gear, of)
	}
	whole("links", func(o *sim.Outcome) int { return o.Links })
	angle("top_bend_deg", "top_bend_gear", func(o *sim.Outcome) *sim.Extreme { return &o.TopBend })
	angle("bottom_bend_deg", "bottom_bend_gear", func(o *sim.Outcome) *sim.Extreme { return &o.BottomBend })
	angle("guide_bend_deg", "guide_bend_gear", func(o *sim.Outcome) *sim.Extreme { return &o.GuideBend })
	length("next_cog_straight_mm", "next_cog_gear", func(o *sim.Outcome) *sim.Extreme { return &o.NextCog })
	length("next_ring_straight_mm", "next_ring_gear", func(o *sim.Outcome) *sim.Extreme { return &o.NextRing })
	length("tyre_mm", "tyre_gear", func(o *sim.Outcome) *sim.Extreme { return &o.Tyre })
	length("stay_mm", "stay_gear", func(o *sim.Outcome) *sim.Extreme { return &o.Stay })
	length("top_pull_backwards_n", "top_pull_gear", func(o *sim.Outcome) *sim.Extreme { return &o.TopPull })
	whole("cannot_close", func(o *sim.Outcome) int { return o.NoClose })
	for i, name := range []string{"cage_least_deg", "cage_most_deg"} {
		add(name, false, func(b []byte, r *SweepRow) []byte { return appendExtreme(b, &r.Outcome.Cage[i], 180/math.Pi) })
	}
	add("ring_cog_loop_mm", false, func(b []byte, r *SweepRow) []byte { return appendNumber(b, r.Outcome.Loop) })
	if also.Loss {
		add("loss_percent_most", false, func(b []byte, r *SweepRow) []byte { return appendNumber(b, r.Loss) })
		add("wear_index_most", false, func(b []byte, r *SweepRow) []byte { return appendNumber(b, r.Wear) })
	}
	if also.Chances {
		for k := range sim.NumConcerns {
			add(sim.Concern(k).String()+"_most", false, func(b []byte, r *SweepRow) []byte {
				if r.Most[k] < 0 {
					return b
				}
				return appendNumber(b, r.Most[k])
			})
		}
		add("trouble", false, func(b []byte, r *SweepRow) []byte { return appendNumber(b, r.Trouble) })
	}
	if also.Shifts {
		f.shifting(add, also.Chances)
	}
	return f
}

// shifting adds the columns of indexing and shifts, empty where nothing is shifted.
func (f *SweepFormat) shifting(add func(name string, text bool, of func(b []byte, r *SweepRow) []byte), chances bool) {
	number := func(name string, of func(r *SweepRow) float64) {
		add(name, false, func(b []byte, r *SweepRow) []byte {
			if !r.Shift.Valid {
				return b
			}
			return appendNumber(b, of(r))
		})
	}
	teeth := func(name string, of func(s *sim.ShiftWorst) int) {
		number(name, func(r *SweepRow) float64 { return float64(r.Bike.Cogs[of(&r.Shift)].Teeth) })
	}
	number("shift_window_mm", func(r *SweepRow) float64 { return r.Shift.Window })
	number("shift_window_clicks", func(r *SweepRow) float64 { return r.Shift.Clicks })
	number("shift_best_mm", func(r *SweepRow) float64 { return r.Shift.Best })
	number("shift_margin_mm", func(r *SweepRow) float64 { return r.Shift.Margin })
	teeth("shift_margin_from_teeth", func(s *sim.ShiftWorst) int { return s.From })
	teeth("shift_margin_to_teeth", func(s *sim.ShiftWorst) int { return s.To })
	if chances {
		number("shift_late_most", func(r *SweepRow) float64 { return r.LateMost })
		number("shift_any_late", func(r *SweepRow) float64 { return r.AnyLate })
	}
}

func (f *SweepFormat) gear(name string, of func(o *sim.Outcome) *sim.Extreme) {
	f.gearOf(name, func(r *SweepRow) *sim.Extreme { return of(&r.Outcome) })
}

func (f *SweepFormat) gearOf(name string, of func(r *SweepRow) *sim.Extreme) {
	f.columns = append(f.columns, sweepColumn{name, true, func(b []byte, r *SweepRow) []byte {
		x := of(r)
		if !x.Valid {
			return b
		}
		b = strconv.AppendInt(b, int64(r.Bike.Rings[x.Ring].Teeth), 10)
		b = append(b, '/')
		return strconv.AppendInt(b, int64(r.Bike.Cogs[x.Cog].Teeth), 10)
	}})
}

func appendExtreme(b []byte, x *sim.Extreme, scale float64) []byte {
	if !x.Valid {
		return b
	}
	return appendNumber(b, x.Value*scale)
}

// appendNumber writes a number as every machine output does, to six decimals; none
// for one that is not finite.
func appendNumber(b []byte, x float64) []byte {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return b
	}
	return strconv.AppendFloat(b, round(x), 'f', -1, 64)
}

// Names returns the columns.
func (f *SweepFormat) Names() []string {
	var out []string
	for _, c := range f.columns {
		out = append(out, c.name)
	}
	return out
}

// Header returns what stands before the rows: the columns in CSV, nothing in JSON
// Lines.
func (f *SweepFormat) Header() []byte {
	if f.JSON {
		return nil
	}
	return []byte(strings.Join(f.Names(), ",") + "\n")
}

// Append writes a row at the end of b.
func (f *SweepFormat) Append(b []byte, r *SweepRow) []byte {
	ok := r.Status == "ok"
	if f.JSON {
		b = append(b, '{')
	}
	for i := range f.columns {
		c := &f.columns[i]
		if i > 0 {
			b = append(b, ',')
		}
		if f.JSON {
			b = append(b, '"')
			b = append(b, c.name...)
			b = append(b, `":`...)
		}
		before := len(b)
		if ok || i <= len(f.Varied)+1 {
			if f.JSON && c.text {
				b = append(b, '"')
			}
			b = c.of(b, r)
			if c.text {
				b = f.close(b, before)
			}
		} else if f.JSON && c.text {
			b = append(b, `""`...)
		}
		if f.JSON && len(b) == before {
			b = append(b, "null"...)
		}
	}
	if f.JSON {
		b = append(b, '}')
	}
	return append(b, '\n')
}

// close makes a text cell, begun at a place, one of the format: quoted where it
// must be.
func (f *SweepFormat) close(b []byte, from int) []byte {
	if f.JSON {
		if plainText(b[from+1:]) {
			return append(b, '"')
		}
		text, _ := json.Marshal(string(b[from+1:])) // text always has a form
		return append(b[:from], text...)
	}
	if plainText(b[from:]) {
		return b
	}
	text := strings.ReplaceAll(string(b[from:]), `"`, `""`)
	return append(append(append(b[:from], '"'), text...), '"')
}

// plainText reports whether a text needs no quoting in either format.
func plainText(b []byte) bool {
	for _, c := range b {
		if c == ',' || c == '"' || c == '\\' || c < ' ' {
			return false
		}
	}
	return true
}

// Value returns a column of a row as a number, and whether it has one.
func (f *SweepFormat) Value(r *SweepRow, column string, scratch []byte) (float64, bool) {
	for i := range f.columns {
		if f.columns[i].name == column && !f.columns[i].text {
			if r.Status != "ok" && i > len(f.Varied) {
				return 0, false
			}
			x, err := strconv.ParseFloat(string(f.columns[i].of(scratch[:0], r)), 64)
			return x, err == nil
		}
	}
	return 0, false
}

// Has reports whether there is a column of numbers of a name.
func (f *SweepFormat) Has(column string) bool {
	for _, c := range f.columns {
		if c.name == column && !c.text {
			return true
		}
	}
	return false
}

// Progress says how far a sweep is, for people.
func Progress(done, all int, perSecond float64) string {
	left := "?"
	if perSecond > 0 {
		s := int(float64(all-done)/perSecond + 0.5)
		left = fmt.Sprintf("%d:%02d:%02d", s/3600, s/60%60, s%60)
	}
	return fmt.Sprintf("%d of %d designs (%.0f %%), %.0f a second, %s left", done, all, 100*float64(done)/float64(max(all, 1)), perSecond, left)
}
