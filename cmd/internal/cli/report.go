package cli

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
	"chainpath/plots"
	"chainpath/sim"
	"chainpath/sim/budget"
	"chainpath/sim/decide"
)

type reportOptions struct {
	to, parts, paper          string
	customer, shop, ref, date string
	class, all                bool
	weights                   map[string]string
}

func newReport(s streams) *cobra.Command {
	var o reportOptions
	c := &cobra.Command{
		Use:   "report CASE [CASE...]",
		Short: "One sheet for a customer or a class, HTML or PDF",
		Long: `report writes one HTML or PDF file that loads nothing from elsewhere: the answer, the figure,
what to do, what was measured and the caution on the first side; every gear on the second. The
same bike file and version give the same bytes.`,
		Example: `  chainpath report trail -o trail.html --parts trail-parts
  chainpath report before.yaml after.yaml -o change.pdf`,
		Args:              cobra.RangeArgs(1, plots.MaxSetUps),
		ValidArgsFunction: completeCases,
		RunE:              func(_ *cobra.Command, args []string) error { return o.run(s, args) },
	}
	c.Flags().StringVarP(&o.to, "out", "o", "report.html", "file to write, .html or .pdf")
	c.Flags().StringVar(&o.paper, "paper", "A4", "of a PDF: A4 or Letter")
	c.Flags().StringVar(&o.parts, "parts", "", "change list for the first bike")
	_ = c.RegisterFlagCompletionFunc("parts", func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return cases.ShippedCatalogues(), cobra.ShellCompDirectiveDefault
	})
	c.Flags().StringVar(&o.customer, "customer", "", "who it is for, in the head")
	c.Flags().StringVar(&o.shop, "shop", "", "the shop's name, in the head")
	c.Flags().StringVar(&o.ref, "ref", "", "the shop's own number, in the head")
	c.Flags().StringVar(&o.date, "date", "", "date in the head; left out, there is none, so that it can be made again")
	c.Flags().BoolVar(&o.class, "class", false, "for the class: questions on the first side, answers on the second")
	c.Flags().BoolVar(&o.all, "all", false, "also how it shifts, the map of places and the view from above")
	weightFlag(c, &o.weights)
	return c
}

func (o *reportOptions) run(s streams, names []string) error {
	if err := o.make(s, names); err != nil {
		return err
	}
	fmt.Fprintln(s.err, cases.Printable(o.to))
	return nil
}

func (o *reportOptions) make(s streams, names []string) error {
	ext := strings.ToLower(filepath.Ext(o.to))
	if ext != ".html" && ext != ".htm" && ext != ".pdf" {
		return usagef("--out %q, want a file that ends in .html or .pdf", o.to)
	}
	if !slices.Contains(show.Papers, o.paper) {
		return usagef("--paper %q, want %s", o.paper, strings.Join(show.Papers, " or "))
	}
	if _, err := placeOf(o.to); err != nil {
		return err
	}
	for _, f := range [][2]string{{"customer", o.customer}, {"shop", o.shop}, {"ref", o.ref}, {"date", o.date}} {
		if wrong := cases.CheckLine(f[1]); wrong != "" && f[1] != "" {
			return usagef("--%s: %s", f[0], wrong)
		}
	}
	weights, err := weightsOf(o.weights)
	if err != nil {
		return err
	}
	defer progress(s, "report", 0, nil)()
	r := show.Report{Version: Version, Customer: o.customer, Shop: o.shop, Ref: o.ref, Date: o.date, Class: o.class, Weights: show.WeightWords(weights)}
	var sets []show.SetUp
	var titles []string
	for _, name := range names {
		c, b, res, err := evaluate(s, name, nil)
		if err != nil {
			return err
		}
		if o.parts != "" && len(sets) == 0 { // first: a catalogue that cannot be read is told of at once
			if r.Best, r.Of, err = reportParts(s, c, o.parts, weights); err != nil {
				return err
			}
		}
		bike, err := o.bike(c, b, res, ext == ".pdf", weights)
		if err != nil {
			return err
		}
		r.Bikes = append(r.Bikes, bike)
		titles = append(titles, c.Title)
		sets = append(sets, show.SetUp{Name: c.Title, Bike: b, Result: res, Friction: c.Friction()})
	}
	r.Title = strings.Join(titles, " and ")
	if len(sets) > 1 {
		f, err := reportFigure(plots.Compare("Side by side", drawn(sets)), "chain angles of the set-ups against the ratio", ext == ".pdf")
		if err != nil {
			return err
		}
		r.Compare = &f
	}
	var page bytes.Buffer
	write := func() error { return r.Write(&page) }
	if ext == ".pdf" {
		write = func() error { return r.PDF(&page, o.paper) }
	}
	if err := write(); err != nil {
		return err
	}
	return writeFile(o.to, page.Bytes())
}

// bike gathers one bike's part of the page.
func (o *reportOptions) bike(c *cases.Case, b *sim.Bike, res *sim.Result, paper bool, weights *decide.Weights) (show.ReportBike, error) {
	bike := show.ReportBike{Name: c.Title, About: c.About, Speeds: c.Speeds, Complaint: complaintWords(c)}
	bike.Mud, bike.Flex = show.WantedRooms(b)
	text, err := cases.Format(c)
	if err != nil {
		return bike, err
	}
	bike.Hash = fmt.Sprintf("%x", sha256.Sum256(text))
	number := func(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }
	for _, g := range c.Given() {
		in := show.ReportInput{What: givenName(g.Path, g.Words), Value: strings.TrimSpace(number(g.Value) + " " + g.Unit)}
		if g.U == 0 && !strings.HasPrefix(g.Path, "front.") && !strings.HasPrefix(g.Path, "rear.") && !strings.HasPrefix(g.Path, "frame.") && !strings.HasPrefix(g.Path, "chainstay.") {
			continue // what rider, riding and fittings are is no measure of the chain line
		}
		if g.U > 0 {
			in.Value = strings.TrimSpace(number(g.Value) + " ± " + strconv.FormatFloat(g.Within, 'g', 2, 64) + " " + g.Unit)
			in.From, _, _ = strings.Cut(strings.ReplaceAll(g.From, "_", " "), ",") // how it is distributed is for accuracy
			in.From = strings.TrimPrefix(in.From, budget.Rectangular.String())
		}
		bike.Given = append(bike.Given, in)
	}
	shares, err := c.Shares(b)
	if err != nil {
		return bike, err
	}
	if bike.Gears, err = show.FromResult(c, b, res, shares); err != nil {
		return bike, err
	}
	if err := bike.Gears.AddChances(c, b, res); err != nil {
		return bike, err
	}
	w, err := c.Walls()
	if err != nil {
		return bike, err
	}
	within, err := c.FrontLineWithin()
	if err != nil {
		return bike, err
	}
	along, chances, err := c.Along(w, weights)
	if err != nil {
		return bike, err
	}
	bike.Window = show.WindowWords(within, along)
	var figures []described
	if b.Tensioner != nil && len(b.Cogs) > 1 {
		shifting, err := c.Shifting()
		if err != nil {
			return bike, c.Explain(err)
		}
		doc := show.FromShifting(shifting, nil, c, b, res)
		bike.Shifts = show.ShiftWords(doc, o.all)
		figures = append(figures, described{shiftsFigure(doc), "where the guide pulley can sit for each cog"})
	}
	answer, err := answerFigure(c, b, res, &bike.Gears)
	if err != nil {
		return bike, err
	}
	if o.class {
		answer = asked(answer)
	} else {
		rule := decide.UsualRule()
		rule.Weights = *weights
		a, err := c.Advise(rule, nil, nil)
		if err != nil {
			return bike, err
		}
		if bike.Advice, err = show.FromAdvice(a, c, b); err != nil {
			return bike, err
		}
	}
	if !o.class { // the answer stands above it in words
		answer.Title, answer.Second = "Chain angle in every gear", ""
	}
	answer.Low = paper
	first := answer.Draw()
	if paper {
		first = first.Sized(180, firstHigh)
	}
	if bike.First, err = reportFigure(first, "cogs, chainring and the chain angle of the top run on one axis, with the chance of a fault", paper); err != nil {
		return bike, err
	}
	if !o.all {
		return bike, nil
	}
	figures = append(figures,
		described{plots.LineMap(c.Title, b, along.Map(chances)), "worst fault in each gear as the chainring moves"},
		described{plots.TopView(plots.Input{Title: c.Title, Bike: b, Result: res}), "every gear's chain from above"})
	for _, f := range figures {
		fig, err := reportFigure(f.figure, f.alt, paper)
		if err != nil {
			return bike, err
		}
		bike.Figures = append(bike.Figures, fig)
	}
	return bike, nil
}

// firstHigh is how high the figure of the first side is on paper, mm, so that the rest stands beside it.
const firstHigh = 122.0

// described is a figure with what it shows in words.
type described struct {
	figure plots.Figure
	alt    string
}

// asked is the figure without its answers, for the class.
func asked(a *plots.Answer) *plots.Answer {
	q := *a
	q.Title, q.Ways = "Which gears will be noisy, and which will lose the chain?", nil
	for _, w := range a.Ways {
		w.Note = ""
		var marks []plots.AnswerMark
		for _, m := range w.Mark {
			m.Chance, m.Curve = 0, nil
			marks = append(marks, m)
		}
		w.Mark = marks
		q.Ways = append(q.Ways, w)
	}
	return &q
}

// reportFigure renders a figure for the screen, or for paper.
func reportFigure(f plots.Figure, alt string, paper bool) (show.ReportFigure, error) {
	if !paper {
		svg, err := f.Render("svg")
		return show.NewReportFigure(svg, alt), err
	}
	return show.ReportFigure{Alt: alt, Paper: &f}, nil
}

// reportParts ranks a catalogue's changes, and says which is worth it.
func reportParts(s streams, c *cases.Case, catalogue string, weights *decide.Weights) ([]show.PartsBest, string, error) {
	o := partsOptions{complaint: []string{"all"}, most: mostCombinations}
	_, p, err := o.judge(s, c, catalogue, weights)
	if err != nil {
		return nil, "", err
	}
	if p.Partial {
		return nil, "", errStopped
	}
	best := p.Look()
	var doc show.Parts
	for i := range best.Best[:min(len(best.Best), 12)] {
		doc.Best = append(doc.Best, best.Doc(p, i))
	}
	rule := decide.UsualRule()
	return doc.Best, show.PartsWords(&doc, p.Judging.Before(), weights, true, rule.Pays(len(c.Symptoms) > 0)), nil
}

// complaintWords says what a case complains of, or what was seen of it.
func complaintWords(c *cases.Case) string {
	var list []string
	for _, s := range c.Symptoms {
		w := strings.ReplaceAll(s.What, "_", " ")
		if s.Direction == "backwards" {
			w += " pedalling backwards"
		}
		if len(s.Cogs) > 0 {
			w += " on the cogs of " + joined(s.Cogs)
		}
		if len(s.Rings) > 0 {
			w += " on the chainrings of " + joined(s.Rings)
		}
		list = append(list, w)
	}
	for i := range c.Observations {
		list = append(list, strings.ReplaceAll(c.Observations[i].String(), "_", " "))
	}
	return strings.Join(list, "; ")
}

func joined(n []int) string {
	return strings.ReplaceAll(strings.Trim(fmt.Sprint(n), "[]"), " ", ", ")
}

// givenName is the words of a field with what they are of, where they do not say it
// themselves, and which of a list it is: front.cage.positions[1] is a front cage's second.
func givenName(path, words string) string {
	parts := strings.Split(path, ".")
	if len(parts) > 2 && parts[1] != "measured" {
		words = strings.ReplaceAll(strings.Join(parts[:len(parts)-1], " "), "_", " ") + ": " + words
	}
	if _, at, ok := strings.Cut(parts[len(parts)-1], "["); ok {
		if n, err := strconv.Atoi(strings.TrimSuffix(at, "]")); err == nil {
			words += fmt.Sprintf(" (%d)", n+1)
		}
	}
	return words
}
