package show

import (
	"strconv"
	"strings"
)

// arrivalRow is a row of the gears command's CSV: a gear in one direction, and where the chain arrives.
type arrivalRow struct {
	*Gear
	way string
	at  *Arrival // nil: the chain does not go round
}

// CSVHeader names the columns of the gears command's CSV, one row an arrival.
var CSVHeader = names(arrivalColumns)

// Rows returns the CSV rows: gear after gear, riding before backwards; a gear that the chain does not
// go round has one each for its verdicts. Losses are those of riding.
func (d *Gears) Rows() (rows [][]string) {
	for i := range d.Gears {
		g := &d.Gears[i]
		add := func(way string, arrivals []Arrival) {
			for k := range arrivals {
				rows = append(rows, row(arrivalColumns, &arrivalRow{g, way, &arrivals[k]}))
			}
			if len(arrivals) == 0 {
				rows = append(rows, row(arrivalColumns, &arrivalRow{g, way, nil}))
			}
		}
		add("riding", g.Riding)
		add("backwards", g.Backwards)
	}
	return rows
}

// arrivalColumns are its columns, in their order; new ones stand at the end.
var arrivalColumns = func() []column[arrivalRow] {
	f := func(x float64) string { return num(&x) }
	ofGear := func(name string, of func(g *Gear) *float64) column[arrivalRow] {
		return column[arrivalRow]{name, func(x *arrivalRow) string { return num(of(x.Gear)) }}
	}
	ofSpan := func(name string, of func(g *Gear) *Span) []column[arrivalRow] {
		side := func(x *arrivalRow) string {
			if s := of(x.Gear); s != nil {
				return s.Side
			}
			return ""
		}
		part := func(what string, of2 func(s *Span) *float64) column[arrivalRow] {
			return ofGear(name+what, func(g *Gear) *float64 {
				if s := of(g); s != nil {
					return of2(s)
				}
				return nil
			})
		}
		return []column[arrivalRow]{part("_length_mm", func(s *Span) *float64 { return s.Length }), part("_bend_deg", func(s *Span) *float64 { return s.Bend }), {name + "_side", side}}
	}
	arriving := func(name string, of func(a *Arrival) string) column[arrivalRow] {
		return column[arrivalRow]{name, func(x *arrivalRow) string {
			if x.at == nil {
				return ""
			}
			return of(x.at)
		}}
	}
	lost := func(name string, of func(l *Loss) *float64) column[arrivalRow] {
		return column[arrivalRow]{name, func(x *arrivalRow) string {
			if x.at == nil || x.Loss == nil {
				return ""
			}
			return num(of(x.Loss))
		}}
	}
	list := []column[arrivalRow]{
		{"ring_teeth", func(x *arrivalRow) string { return strconv.Itoa(x.RingTeeth) }},
		{"cog_teeth", func(x *arrivalRow) string { return strconv.Itoa(x.CogTeeth) }},
		ofGear("ratio", func(g *Gear) *float64 { return &g.Ratio }),
		ofGear("ring_line_mm", func(g *Gear) *float64 { return &g.RingLine }),
		ofGear("cog_line_mm", func(g *Gear) *float64 { return &g.CogLine }),
		{"closes", func(x *arrivalRow) string { return strconv.FormatBool(x.Closes) }},
		ofGear("cage_deg", func(g *Gear) *float64 { return g.Cage }),
		ofGear("stay_length_mm", func(g *Gear) *float64 { return &g.Stay }),
	}
	list = append(list, ofSpan("top", func(g *Gear) *Span { return &g.Top })...)
	list = append(list, ofSpan("bottom", func(g *Gear) *Span { return &g.Bottom })...)
	list = append(list, ofSpan("guide", func(g *Gear) *Span { return g.Guide })...)
	list = append(list,
		ofGear("next_cog_mm", func(g *Gear) *float64 { return g.Clearances.NextCog }),
		ofGear("next_cog_straight_mm", func(g *Gear) *float64 { return g.Clearances.NextCogStraight }),
		ofGear("next_ring_mm", func(g *Gear) *float64 { return g.Clearances.NextRing }),
		ofGear("next_ring_straight_mm", func(g *Gear) *float64 { return g.Clearances.NextRingStraight }),
		ofGear("tyre_mm", func(g *Gear) *float64 { return g.Clearances.Tyre }),
		ofGear("tyre_at_mm", func(g *Gear) *float64 { return g.Clearances.TyreAt }),
		ofGear("stay_mm", func(g *Gear) *float64 { return g.Clearances.Stay }),
		ofGear("ring_stay_mm", func(g *Gear) *float64 { return g.Clearances.RingStay }),
		ofGear("chain_stay_mm", func(g *Gear) *float64 { return g.Clearances.ChainStay }),
		column[arrivalRow]{"direction", func(x *arrivalRow) string { return x.way }},
		arriving("at", func(a *Arrival) string { return a.At }),
		arriving("bend_deg", func(a *Arrival) string { return f(a.Bend) }),
		arriving("offset_mm", func(a *Arrival) string { return f(a.Offset) }),
		arriving("link", func(a *Arrival) string { return a.Link }),
		arriving("tension_n", func(a *Arrival) string { return f(a.Tension) }),
		column[arrivalRow]{"gear_verdicts", func(x *arrivalRow) string { return verdictCodes(x.Verdicts, x.way) }},
		lost("loss_w", func(l *Loss) *float64 { return &l.Watts }),
		lost("loss_percent", func(l *Loss) *float64 { return l.Percent }),
		lost("pins_w", func(l *Loss) *float64 { return &l.Pins }),
		lost("flanks_w", func(l *Loss) *float64 { return &l.Flanks }),
		lost("bearings_w", func(l *Loss) *float64 { return &l.Bearings }),
		lost("side_force_n", func(l *Loss) *float64 { return &l.SideForce }),
		lost("wear_index", func(l *Loss) *float64 { return &l.Wear }),
		lost("wear_to_straightest", func(l *Loss) *float64 { return &l.WearStraightest }),
		lost("noise_index_db", func(l *Loss) *float64 { return &l.Noise }),
		lost("noise_to_straightest_db", func(l *Loss) *float64 { return &l.NoiseStraightest }),
	)
	list = append(list, chanceCells(func(x *arrivalRow) Chance { return x.Chance })...)
	list = append(list, ofSpan("lead", func(g *Gear) *Span { return g.Lead })...)
	list = append(list,
		ofGear("front_cage_mm", func(g *Gear) *float64 { return g.Clearances.FrontCage }),
		column[arrivalRow]{"front_cage_trim", func(x *arrivalRow) string {
			if t := x.Clearances.FrontTrim; t != nil {
				return strconv.Itoa(*t)
			}
			return ""
		}},
	)
	for m, name := range bendColumns() {
		list = append(list, column[arrivalRow]{name, func(x *arrivalRow) string {
			if x.at == nil {
				return ""
			}
			return x.at.BendAt.cells()[m]
		}})
	}
	return list
}()

// verdictCodes lists the verdicts of a direction, semicolons between.
func verdictCodes(list []Verdict, way string) string {
	var codes []string
	for _, v := range list {
		if v.Direction == way {
			codes = append(codes, v.Code)
		}
	}
	return strings.Join(codes, ";")
}
