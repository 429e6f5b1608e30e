package show

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"strconv"
	"strings"
)

// JSON writes a document, indented, with a line end.
func JSON(w io.Writer, doc any) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(doc)
}

// CSV writes rows of cells under a header. A text that a spreadsheet would run as a
// formula gets an apostrophe in front.
func CSV(w io.Writer, header []string, rows [][]string) error {
	c := csv.NewWriter(w)
	if err := c.Write(header); err != nil {
		return err
	}
	for _, row := range rows {
		safe := make([]string, len(row))
		for i, cell := range row {
			safe[i] = harmless(cell)
		}
		if err := c.Write(safe); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

// harmless returns a cell that no spreadsheet takes for a formula: text that begins with
// =, +, -, @, a tab or a carriage return has an apostrophe put before it (common
// practice, no published source); numbers stay.
func harmless(cell string) string {
	if cell == "" || !strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
		return cell
	}
	if _, err := strconv.ParseFloat(cell, 64); err == nil {
		return cell
	}
	return "'" + cell
}

// num prints a number for CSV: as in JSON, empty for null.
func num(x *float64) string {
	if x == nil {
		return ""
	}
	return strconv.FormatFloat(*x, 'f', -1, 64)
}

// CSVHeader names the columns of the gears command's CSV, one row an arrival.
var CSVHeader = append([]string{
	"ring_teeth", "cog_teeth", "ratio", "ring_line_mm", "cog_line_mm", "closes", "cage_deg", "stay_length_mm",
	"top_length_mm", "top_bend_deg", "top_side", "bottom_length_mm", "bottom_bend_deg", "bottom_side",
	"guide_length_mm", "guide_bend_deg", "guide_side",
	"next_cog_mm", "next_cog_straight_mm", "next_ring_mm", "next_ring_straight_mm",
	"tyre_mm", "tyre_at_mm", "stay_mm", "ring_stay_mm", "chain_stay_mm",
	"direction", "at", "bend_deg", "offset_mm", "link", "tension_n",
	"gear_verdicts", "loss_w", "loss_percent", "pins_w", "flanks_w", "bearings_w", "side_force_n",
	"wear_index", "wear_to_straightest", "noise_index_db", "noise_to_straightest_db",
}, append(append(chanceColumns(), "lead_length_mm", "lead_bend_deg", "lead_side", "front_cage_mm", "front_cage_trim"), bendColumns()...)...)

// Rows returns the CSV rows: gear after gear, riding before backwards. The
// column gear_verdicts lists the gear's verdicts in the row's direction,
// semicolons between; losses are those of riding.
func (d *Gears) Rows() (rows [][]string) {
	f := func(x float64) string { return num(&x) }
	for i := range d.Gears {
		g := &d.Gears[i]
		guide := []string{"", "", ""}
		if g.Guide != nil {
			guide = []string{num(g.Guide.Length), num(g.Guide.Bend), g.Guide.Side}
		}
		tail := append(g.Chance.cells(), "", "", "")
		if x := g.Lead; x != nil {
			tail = append(g.Chance.cells(), num(x.Length), num(x.Bend), x.Side)
		}
		c := g.Clearances
		trim := ""
		if c.FrontTrim != nil {
			trim = strconv.Itoa(*c.FrontTrim)
		}
		tail = append(tail, num(c.FrontCage), trim)
		head := append([]string{
			strconv.Itoa(g.RingTeeth), strconv.Itoa(g.CogTeeth), f(g.Ratio), f(g.RingLine), f(g.CogLine),
			strconv.FormatBool(g.Closes), num(g.Cage), f(g.Stay),
			num(g.Top.Length), num(g.Top.Bend), g.Top.Side, num(g.Bottom.Length), num(g.Bottom.Bend), g.Bottom.Side,
		}, guide...)
		for _, x := range []*float64{c.NextCog, c.NextCogStraight, c.NextRing, c.NextRingStraight, c.Tyre, c.TyreAt, c.Stay, c.RingStay, c.ChainStay} {
			head = append(head, num(x))
		}
		for _, way := range []struct {
			name     string
			arrivals []Arrival
		}{{"riding", g.Riding}, {"backwards", g.Backwards}} {
			var codes []string
			for _, v := range g.Verdicts {
				if v.Direction == way.name {
					codes = append(codes, v.Code)
				}
			}
			if len(way.arrivals) == 0 { // the chain does not go round: a row for its verdict
				row := append(append([]string{}, head...), way.name, "", "", "", "", "", strings.Join(codes, ";"))
				row = append(append(row, make([]string, 10)...), tail...)
				rows = append(rows, append(row, (*BendAt)(nil).cells()...))
			}
			for _, a := range way.arrivals {
				row := append(append([]string{}, head...), way.name, a.At, f(a.Bend), f(a.Offset), a.Link, f(a.Tension), strings.Join(codes, ";"))
				l := g.Loss
				row = append(row, f(l.Watts), num(l.Percent), f(l.Pins), f(l.Flanks), f(l.Bearings), f(l.SideForce), f(l.Wear), f(l.WearStraightest), f(l.Noise), f(l.NoiseStraightest))
				rows = append(rows, append(append(row, tail...), a.BendAt.cells()...))
			}
		}
	}
	return rows
}
