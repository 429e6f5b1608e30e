package cli

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/cmd/internal/show"
	"chainpath/sim/judge"
)

func newDefaults(s streams) *cobra.Command {
	var speeds int
	var format string
	var unknowns, all bool
	c := &cobra.Command{
		Use:   "defaults",
		Short: "The values used where a bike file is silent, and what they rest on",
		Long: `defaults prints which values are used where a bike file is silent, and what they rest on: a
standard, common practice without a published source, or an assumption. ± is how far off a value
may be, and accuracy counts that. --all prints every value with its reason, and --unknowns the
numbers that nobody publishes, by which the bikes differ that chances count.`,
		Example: `  chainpath case defaults
  chainpath case defaults --speeds 9 --all`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := checkFormat(format); err != nil {
				return err
			}
			if speeds < 1 || speeds > 13 {
				return usagef("--speeds %d is out of range, want 1 to 13", speeds)
			}
			if unknowns {
				return printUnknowns(s, format)
			}
			return printDefaults(s, speeds, all, format)
		},
	}
	c.Flags().IntVar(&speeds, "speeds", 12, "number of speeds, 1 to 13")
	allFlag(c, &all)
	c.Flags().BoolVar(&unknowns, "unknowns", false, "the numbers that chances draw, before and after the field panel")
	formatFlag(c, &format)
	return c
}

func printDefaults(s streams, speeds int, all bool, format string) error {
	type row struct {
		Path   string  `json:"path"`
		Value  float64 `json:"value"`
		Text   string  `json:"text"`
		Unit   string  `json:"unit"`
		Basis  string  `json:"basis"`
		Within float64 `json:"within"`
		Note   string  `json:"note"`
	}
	var doc struct {
		Speeds   int   `json:"speeds"`
		Defaults []row `json:"defaults"`
	}
	doc.Speeds = speeds
	head := []string{"path", "value", "unit", "within", "basis", "note"}
	var cells [][]string
	for _, d := range cases.Defaults(speeds) {
		doc.Defaults = append(doc.Defaults, row{d.Path, d.Value, d.Text, d.Unit, string(d.Basis), d.Within, d.Note})
		within := ""
		if d.Within > 0 {
			within = strconv.FormatFloat(d.Within, 'g', -1, 64)
		}
		value := strconv.FormatFloat(d.Value, 'g', -1, 64)
		if d.Text != "" {
			value = d.Text
		}
		cells = append(cells, []string{d.Path, value, d.Unit, within, string(d.Basis), d.Note})
	}
	out := output{doc, head, func() [][]string { return cells }, func(w io.Writer) error {
		if !all {
			return defaultsSummary(w, speeds)
		}
		t := show.Table{Head: [][]string{{"path", "value", "unit", "within"}}, Left: map[int]bool{0: true, 2: true}, Notes: map[int]string{}}
		for i, c := range cells {
			t.Rows, t.Notes[i] = append(t.Rows, c[:4]), c[4]+": "+c[5]
		}
		if _, err := fmt.Fprintf(w, "%s\n\n", show.Wrap("Values where a bike file is silent. within: how far off it may be at the utmost, where accuracy counts that. Below each is what it rests on.", show.Columns)); err != nil {
			return err
		}
		return t.Write(w)
	}}
	return out.print(s, format, nil)
}

// leastWide is how many characters the summary has for the values of a part.
const leastWide = 38

// defaultsSummary prints how many values of each part there are, what they rest on, and those that
// may be farthest off.
func defaultsSummary(w io.Writer, speeds int) error {
	var order []string
	parts, total := map[string][]cases.Default{}, map[cases.Basis]int{}
	list := cases.Defaults(speeds)
	for _, d := range list {
		name, _, _ := strings.Cut(d.Path, ".")
		if parts[name] == nil {
			order = append(order, name)
		}
		parts[name] = append(parts[name], d)
		total[d.Basis]++
	}
	t := show.Table{Head: [][]string{{"part", "standard", "practice", "assumed", "least known"}}, Left: map[int]bool{0: true, 4: true}, Flow: 5}
	for _, name := range order {
		of, by := parts[name], map[cases.Basis]int{}
		for _, d := range of {
			by[d.Basis]++
		}
		slices.SortStableFunc(of, func(a, b cases.Default) int {
			return cmp.Compare(b.Within/max(math.Abs(b.Value), 1e-9), a.Within/max(math.Abs(a.Value), 1e-9))
		})
		least := ""
		for _, d := range of {
			field := strings.NewReplacer("_", " ", ".", " ").Replace(strings.TrimPrefix(d.Path, name+"."))
			more := field + " " + valueOf(&d)
			if least != "" {
				more = least + ", " + more
			}
			if utf8.RuneCountInString(more) > leastWide {
				break
			}
			least = more
		}
		row := []string{name}
		for _, b := range []cases.Basis{cases.Standard, cases.Practice, cases.Assumption} {
			row = append(row, number(by[b]))
		}
		t.Rows = append(t.Rows, append(row, least))
	}
	head := fmt.Sprintf("%d values are used where a bike file is silent, for %s. %d rest on a standard, %d on common practice without a published source, and %d are assumptions.",
		len(list), show.Plural(float64(speeds), "speed"), total[cases.Standard], total[cases.Practice], total[cases.Assumption])
	if _, err := fmt.Fprintf(w, "%s\n\n", show.Wrap(head, show.Columns)); err != nil {
		return err
	}
	if err := t.Write(w); err != nil {
		return err
	}
	_, err := fmt.Fprintf(w, "\n%s\n", show.Wrap("±: how far off it may be; chainpath accuracy counts that.", show.Columns)+"\n"+say.Next(fmt.Sprintf("case defaults --speeds %d --all", speeds)))
	return err
}

// number is a count, a dash for none.
func number(n int) string {
	if n == 0 {
		return "-"
	}
	return strconv.Itoa(n)
}

// valueOf is a default with its doubt and unit.
func valueOf(d *cases.Default) string {
	if d.Text != "" {
		return strings.ReplaceAll(d.Text, "_", "-")
	}
	s := strconv.FormatFloat(d.Value, 'g', -1, 64)
	if d.Within > 0 {
		s += " ± " + strconv.FormatFloat(d.Within, 'g', -1, 64)
	}
	if d.Unit != "" {
		s += " " + d.Unit
	}
	return s
}

func printUnknowns(s streams, format string) error {
	type row struct {
		Name     string     `json:"name"`
		Unit     string     `json:"unit"`
		From     float64    `json:"from"`
		To       float64    `json:"to"`
		ByRatio  bool       `json:"by_ratio"`
		Standing float64    `json:"standing"`
		Left     [3]float64 `json:"left"`
		Basis    string     `json:"basis"`
		Note     string     `json:"note"`
	}
	left, err := cases.Posterior([3]float64{0.05, 0.5, 0.95})
	if err != nil {
		return err
	}
	var doc struct {
		Sets     int   `json:"sets"`
		Unknowns []row `json:"unknowns"`
	}
	doc.Sets = judge.Sets
	head := []string{"name", "from", "to", "standing", "5 %", "50 %", "95 %", "unit", "basis", "note"}
	var cells [][]string
	number := func(x float64) string { return strconv.FormatFloat(x, 'g', 3, 64) }
	alike := func(q [3]float64) [3]float64 { // on every machine
		for i := range q {
			q[i] = figures(q[i])
		}
		return q
	}
	for i, f := range cases.FreeNumbers() {
		doc.Unknowns = append(doc.Unknowns, row{f.Name, f.Unit, f.Low, f.Up, f.Log, f.Standing, alike(left[i]), string(f.Basis), f.Note})
		cells = append(cells, []string{f.Name, number(f.Low), number(f.Up), number(f.Standing),
			number(left[i][0]), number(left[i][1]), number(left[i][2]), f.Unit, string(f.Basis), f.Note})
	}
	sets := cases.ShiftSets()
	for i, f := range cases.ShiftNumbers() { // of which the panel tells too little to weigh them
		own := make([]float64, len(sets))
		for k, s := range sets {
			own[k] = [...]float64{s.Room, s.Kappa, s.StopSpread, s.CogSpread, s.GateSpread}[i]
		}
		slices.Sort(own)
		q := [3]float64{own[len(own)/20], own[len(own)/2], own[len(own)-1-len(own)/20]}
		doc.Unknowns = append(doc.Unknowns, row{f.Name, f.Unit, f.Low, f.Up, f.Log, f.Standing, alike(q), string(f.Basis), f.Note})
		cells = append(cells, []string{f.Name, number(f.Low), number(f.Up), number(f.Standing), number(q[0]), number(q[1]), number(q[2]), f.Unit, string(f.Basis), f.Note})
	}
	out := output{doc, head, func() [][]string { return cells }, func(w io.Writer) error {
		t := show.Table{Head: [][]string{{"number", "drawn from", "5 %", "50 %", "95 %", "unit"}}, Left: map[int]bool{0: true, 5: true}, Flow: 1}
		for _, c := range cells {
			t.Rows = append(t.Rows, []string{c[0], c[1] + " to " + c[2], c[4], c[5], c[6], strings.Replace(c[7], "of the default", "ratio", 1)})
		}
		if _, err := fmt.Fprintf(w, "%s\n\n", show.Wrap("The numbers that chances draw, with what the field panel leaves of each (5, 50 and 95 % points):", show.Columns)); err != nil {
			return err
		}
		return t.Write(w)
	}}
	return out.print(s, format, nil)
}
