package show

import (
	"io"
	"math"
	"strconv"

	"chainpath/cmd/internal/say"
	"chainpath/sim/sweep"
)

// Region is the JSON document of sweep region.
type Region struct {
	From    string       `json:"rows"`
	Share   float64      `json:"share"`
	Draws   int          `json:"draws"`
	Designs int          `json:"designs"`
	Judged  int          `json:"judged"`
	Inside  int          `json:"inside"`
	Good    float64      `json:"share_good"` // of the best
	Numbers []RegionAxis `json:"numbers"`
	Keeps   []RegionKeep `json:"keeps"`
	Words   string       `json:"words"`
}

// RegionAxis is one varied number.
type RegionAxis struct {
	Column    string     `json:"column"`
	Tolerance float64    `json:"tolerance"`
	Sizes     []float64  `json:"sizes"` // values that all have to be good; null: it is a choice
	Best      *float64   `json:"best"`
	Less      *RegionEnd `json:"less"`
	More      *RegionEnd `json:"more"`
}

// RegionEnd is where the region ends on one side of the best design.
type RegionEnd struct {
	At   float64 `json:"at"`
	Keep *string `json:"ended_by"` // null: it goes on as far as was swept
}

// RegionKeep is one bound, and of how many of the best design's bikes it does not hold.
type RegionKeep struct {
	Keep   string  `json:"keep"`
	Failed float64 `json:"share_not_kept"`
}

// FromRegion returns the document.
func FromRegion(rows string, names []string, r *sweep.Region, f *sweep.Found) Region {
	d := Region{From: rows, Share: r.Least, Draws: r.Draws, Designs: len(f.Good), Judged: f.Judged, Inside: f.Inside, Good: round(f.Of.Good)}
	for i, name := range names {
		a := RegionAxis{Column: name, Tolerance: r.Within[i]}
		if r.All[i] == nil {
			a.Best = &r.Axes[i][f.Best[i]]
		}
		for _, k := range r.All[i] {
			a.Sizes = append(a.Sizes, r.Axes[i][k])
		}
		d.Numbers = append(d.Numbers, a)
	}
	for k, s := range f.Sides {
		a := &d.Numbers[f.Choice[k]]
		a.Less, a.More = regionEnd(r, s[0]), regionEnd(r, s[1])
	}
	for k := range r.Keeps {
		d.Keeps = append(d.Keeps, RegionKeep{r.Keeps[k].Name, round(float64(f.Of.Failed[k]) / float64(r.Draws))})
	}
	d.Words = say.Region(d.Inside, d.Judged, d.Share, d.Good)
	return d
}

func regionEnd(r *sweep.Region, s sweep.Side) *RegionEnd {
	e := &RegionEnd{At: s.At}
	if !s.Open {
		e.Keep = &r.Keeps[s.By].Name
	}
	return e
}

// Header names the columns of the CSV: the numbers that are a choice, the share of bikes that are good,
// and whether that is enough.
func (d *Region) Header() (names []string) {
	for _, a := range d.Numbers {
		if a.Sizes == nil {
			names = append(names, a.Column)
		}
	}
	return append(names, "share_good", "inside")
}

// RegionRows returns the CSV rows, one a design; share_good is empty where it was not judged.
func RegionRows(r *sweep.Region, f *sweep.Found) (rows [][]string) {
	for i, good := range f.Good {
		var row []string
		for k, d := range f.Choice {
			row = append(row, strconv.FormatFloat(r.Axes[d][f.Along(i, k)], 'f', -1, 64))
		}
		share := ""
		if !math.IsNaN(good) {
			share = strconv.FormatFloat(round(good), 'f', -1, 64)
		}
		rows = append(rows, append(row, share, strconv.FormatBool(good >= r.Least)))
	}
	return rows
}

// RegionTable prints it for people; words turns a column's name into words.
func RegionTable(w io.Writer, d *Region, words func(column string) string) error {
	p := &printer{w: w}
	p.printf("%s\n\n", d.Words)
	t := &Table{Head: [][]string{{"number", "tolerance", "best", "from", "to"}}, Left: map[int]bool{0: true}}
	number := func(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }
	at := func(e *RegionEnd) string {
		if e == nil {
			return ""
		}
		return number(e.At)
	}
	for _, a := range d.Numbers {
		best, within := "all sizes", "exact"
		if a.Best != nil {
			best = number(*a.Best)
		}
		if a.Tolerance > 0 {
			within = "± " + number(a.Tolerance)
		}
		t.Rows = append(t.Rows, []string{words(a.Column), within, best, at(a.Less), at(a.More)})
	}
	p.write(t.Write)
	if d.Inside > 0 {
		p.printf("\n")
	}
	for _, a := range d.Numbers {
		for i, e := range []*RegionEnd{a.Less, a.More} {
			if e == nil {
				continue
			}
			by := ""
			if e.Keep != nil {
				by = *e.Keep
			}
			p.printf("%s\n", say.RegionEnds(words(a.Column), number(e.At), i == 1, by))
		}
	}
	p.printf("\n")
	for _, k := range d.Keeps {
		p.printf("%s\n", say.RegionKept(k.Keep, k.Failed))
	}
	if n := d.Designs - d.Judged; n > 0 {
		p.printf("%s\n", say.RegionNotJudged(n))
	}
	return p.err
}
