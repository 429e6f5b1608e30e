package cli

import (
	"bytes"
	"context"
	"crypto/sha256"
	"fmt"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
	"chainpath/plots"
	"chainpath/sim"
	"chainpath/sim/decide"
)

type reportOptions struct{ to, parts, paper string }

func newReport(s streams) *cobra.Command {
	var o reportOptions
	c := &cobra.Command{
		Use:   "report CASE [CASE...]",
		Short: "One self-contained page for the customer or the class",
		Long: `report writes one HTML or PDF file that loads nothing from elsewhere: what was measured
and how, every gear, the figures, the line window, with --parts what changes do, with
two cases or more the set-ups side by side, and how far to trust it. It prints on
A4 and Letter from any browser; PDF is set on the --paper. The footer names version and case, so that the page
can be made again.`,
		Example:           "  chainpath report trail -o trail.html --parts trail-parts\n  chainpath report before.yaml after.yaml -o change.html",
		Args:              cobra.RangeArgs(1, plots.MaxSetUps),
		ValidArgsFunction: completeCases,
		RunE:              func(_ *cobra.Command, args []string) error { return o.run(s, args) },
	}
	c.Flags().StringVarP(&o.to, "out", "o", "report.html", "file to write, .html or .pdf")
	c.Flags().StringVar(&o.paper, "paper", "A4", "of a PDF: A4 or Letter")
	c.Flags().StringVar(&o.parts, "parts", "", "catalogue of changes for the first case")
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
	defer progress(s, "report", 0, nil)()
	r := show.Report{Version: Version}
	var sets []show.SetUp
	var titles []string
	for _, name := range names {
		c, b, res, err := evaluate(s, name, nil)
		if err != nil {
			return err
		}
		bike, err := reportBike(c, b, res, ext == ".pdf")
		if err != nil {
			return err
		}
		r.Bikes = append(r.Bikes, bike)
		titles = append(titles, c.Title)
		sets = append(sets, show.SetUp{Name: c.Title, Bike: b, Result: res, Friction: c.Friction()})
		if o.parts != "" && len(sets) == 1 {
			if r.Best, err = reportParts(c, o.parts); err != nil {
				return err
			}
		}
	}
	r.Title = strings.Join(titles, " and ")
	if len(sets) > 1 {
		f, err := reportFigure(plots.Compare("Side by side", drawn(sets)), "bends of the set-ups against the ratio", ext == ".pdf")
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

// reportBike gathers one bike's part of the page.
func reportBike(c *cases.Case, b *sim.Bike, res *sim.Result, paper bool) (show.ReportBike, error) {
	bike := show.ReportBike{Name: c.Title, About: c.About, Speeds: c.Speeds}
	text, err := cases.Format(c)
	if err != nil {
		return bike, err
	}
	bike.Hash = fmt.Sprintf("%x", sha256.Sum256(text))
	number := func(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }
	for _, g := range c.Given() {
		in := show.ReportInput{Path: g.Path, Value: number(g.Value), Unit: g.Unit, From: g.From}
		if g.U > 0 {
			in.U = strconv.FormatFloat(g.U, 'g', 2, 64)
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
	w, doubt, err := windowOf(c, b, res.Links)
	if err != nil {
		return bike, err
	}
	along, _, err := alongLine(c, b, w, &decide.Usual)
	if err != nil {
		return bike, err
	}
	bike.Window = show.WindowWords(b, w, doubt, along)
	answer, err := answerFigure(c, b, res, &bike.Gears)
	if err != nil {
		return bike, err
	}
	in := plots.Input{Title: c.Title, Bike: b, Result: res, Answer: answer}
	for _, f := range append(plots.Figures(in, len(res.Gears)-1), plots.Window(c.Title, b, w, doubt)) {
		alt := map[string]string{"answer": "cogs, ring and the bend of the top run on one axis, with how likely trouble is", "top": "every gear's chain from above", "window": "front lines that each constraint allows"}[f.Name]
		if alt == "" {
			alt = "chain path of a gear from the drive side"
		}
		fig, err := reportFigure(f, alt, paper)
		if err != nil {
			return bike, err
		}
		bike.Figures = append(bike.Figures, fig)
	}
	return bike, nil
}

// reportFigure renders a figure for the screen, or for paper.
func reportFigure(f plots.Figure, alt string, paper bool) (show.ReportFigure, error) {
	if !paper {
		svg, err := f.Render("svg")
		return show.NewReportFigure(svg, alt), err
	}
	png, err := f.Render("png")
	return show.ReportFigure{Alt: alt, PNG: png}, err
}

// reportParts ranks a catalogue's changes.
func reportParts(c *cases.Case, catalogue string) ([]show.PartsBest, error) {
	cat, err := cases.LoadCatalogue(catalogue)
	if err != nil {
		return nil, err
	}
	cand, err := cat.For(c)
	if err != nil {
		return nil, err
	}
	if _, err := cand.Plan.Size(200000); err != nil {
		return nil, usagef("%s: %w", catalogue, err)
	}
	j, err := cand.Judging(func(sim.Concern) bool { return true }, &decide.Usual)
	if err != nil {
		return nil, c.Explain(err)
	}
	found, _, err := decide.Search(context.Background(), cand.Plan, j.Screen, runtime.NumCPU(), nil)
	if err != nil {
		return nil, c.Explain(err)
	}
	best := look(j, decide.Shortlist(found, closely))
	var out []show.PartsBest
	for i := range best.best[:min(len(best.best), 12)] {
		x := &best.best[i]
		out = append(out, show.BestOf(cand.Plan, x, best.expected[x.Index], j.Before()))
	}
	return out, nil
}
