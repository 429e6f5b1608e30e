package cli

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"sync/atomic"

	"github.com/spf13/cobra"

	"chainpath/cmd/internal/ask"
	"chainpath/cmd/internal/show"
	"chainpath/plots"
	"chainpath/sim"
	"chainpath/sim/fall"
	"chainpath/sim/march"
)

type marchOptions struct {
	ring, cog    int
	backwards    bool
	turns        float64
	trials       int
	trial, seed  uint64
	events       int
	places       []float64
	format, rows string
	all          bool
	load         loadFlags
	fig          figureOptions
}

func newMarch(s streams) *cobra.Command {
	var o marchOptions
	c := &cobra.Command{
		Use:     "simulate CASE",
		Aliases: []string{"march"},
		Short:   "Run the chain link by link through one gear",
		Long: `simulate runs the chain through one gear, every link with its own tolerances, and shows which
links ride up on a tooth and where the chain drops. --trials counts how many of many such chains
drop. This shows how a chain drops, not how often; gears gives the chance. The same seed gives the
same result on any number of cores.`,
		Example: `  chainpath simulate trail --cog 51 --backwards
  chainpath simulate trail --cog 51 --backwards --turns 2 --trials 200 --figures figures`,
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: completeCases,
		RunE:              func(_ *cobra.Command, args []string) error { return o.run(s, args[0]) },
	}
	f := c.Flags()
	f.IntVar(&o.ring, "ring", 0, "chainring teeth; left out with one chainring")
	f.IntVar(&o.cog, "cog", 0, "cog teeth; left out with one cog")
	completeIn(c, "ring", ringsIn)
	completeIn(c, "cog", cogsIn)
	f.BoolVar(&o.backwards, "backwards", false, "pedal backwards")
	f.Float64Var(&o.turns, "turns", 10, "turns of the cranks, 0.01 to 100000")
	f.IntVar(&o.trials, "trials", 0, "how many chains to run besides, to count those that drop")
	f.Uint64Var(&o.seed, "seed", 1, "of the readings and tolerances drawn")
	f.Uint64Var(&o.trial, "trial", 0, "which of the seed's chains the log is of")
	f.IntVar(&o.events, "events", 200, "how many events to keep of the log")
	f.Float64SliceVar(&o.places, "places", nil, "crank angles in degrees at which every link's place is told")
	f.StringVar(&o.rows, "rows", "events", "what the rows of CSV are: events, places or trials")
	formatFlag(c, &o.format)
	allFlag(c, &o.all)
	f.StringVar(&o.fig.dir, "figures", "", "also draw the figures into this folder")
	o.fig.addImage(c)
	o.load.add(c)
	return c
}

func (o *marchOptions) check() error {
	if err := checkFormat(o.format); err != nil {
		return err
	}
	if !(o.turns >= 0.01 && o.turns <= 100000) {
		return usagef("--turns %g is out of range, want 0.01 to 100000", o.turns)
	}
	if o.trials < 0 || o.trials > 100000 { // each one's end is kept
		return usagef("--trials %d is out of range, want 0 to 100000", o.trials)
	}
	if o.events < 0 || o.events > 10000000 {
		return usagef("--events %d is out of range, want 0 to 10000000", o.events)
	}
	if !slices.Contains([]string{"events", "places", "trials"}, o.rows) {
		return usagef("--rows %q, want events, places or trials", o.rows)
	}
	for _, a := range o.places {
		if !(a >= 0 && a <= 360*o.turns) {
			return usagef("--places %g is out of range, want 0 to %g, the turns marched", a, 360*o.turns)
		}
	}
	if o.rows == "places" && len(o.places) == 0 {
		return usagef("--rows places without --places")
	}
	if o.rows == "trials" && o.trials == 0 {
		return usagef("--rows trials without --trials")
	}
	return o.fig.check()
}

// gear finds the gear that was asked for.
func (o *marchOptions) gear(b *sim.Bike, r *sim.Result) (*sim.Gear, error) {
	find := func(name string, teeth int, wheels []sim.Wheel) (int, error) {
		var have []int
		for _, w := range wheels {
			have = append(have, w.Teeth)
		}
		if teeth == 0 && len(wheels) == 1 {
			return 0, nil
		}
		if teeth == 0 {
			return 0, usagef("--%s is missing: one of %v", name, have)
		}
		if i := slices.Index(have, teeth); i >= 0 {
			return i, nil
		}
		return 0, usagef("--%s %d: no such %s, want one of %v", name, teeth, name, have)
	}
	ring, err := find("ring", o.ring, b.Rings)
	if err != nil {
		return nil, err
	}
	cog, err := find("cog", o.cog, b.Cogs)
	if err != nil {
		return nil, err
	}
	return &r.Gears[ring*len(b.Cogs)+cog], nil
}

func (o *marchOptions) run(s streams, name string) error {
	if err := o.check(); err != nil {
		return err
	}
	c, b, r, err := evaluate(s, name, &o.load)
	if err != nil {
		return err
	}
	g, err := o.gear(b, r)
	if err != nil {
		return err
	}
	d := sim.Riding
	if o.backwards {
		d = sim.Backwards
	}
	a := ask.Attempt{Case: c, Ring: g.Ring, Cog: g.Cog, Way: d, Seed: o.seed}
	a.Set = march.Set{Tolerance: c.Tolerances(), Turns: o.turns}
	for _, x := range o.places {
		a.Set.Watch = append(a.Set.Watch, sim.Radians(x))
	}
	slices.Sort(a.Set.Watch)
	if _, err := march.New(b, g, r.Links, d, a.Set); err != nil { // as the case stands
		return usageError{err}
	}
	chances, err := c.Chances()
	if err != nil {
		return err
	}
	one, err := a.Drawn(o.trial)
	if err != nil {
		return usageError{err}
	}
	doc := show.March{Case: c.Title, RingTeeth: g.RingTeeth, CogTeeth: g.CogTeeth, Direction: d.String(), Turns: o.turns, Seed: o.seed, Places: []show.MarchPlaces{}}
	doc.FromChances(&chances[g.Ring*len(b.Cogs)+g.Cog], d)
	doc.Run.Events = []show.MarchEvent{}
	var seen ask.Moment
	ctx := s.stoppable()
	end := progress(s, "march", 0, nil)
	report := march.Observer{
		Event: func(e march.Event) {
			seen.See(e)
			if len(doc.Run.Events) < o.events || e.Kind == march.Drops {
				doc.Run.Events = append(doc.Run.Events, show.Event(e))
			} else {
				doc.Run.LeftOut++
			}
		},
		Places: func(angle float64, p []march.Landing) { doc.Places = append(doc.Places, show.Places(angle, p)) },
	}
	out, err := stoppedRun(ctx, func() (march.Fate, error) { return one.March.Run(o.seed, o.trial, report) })
	end()
	if err != nil {
		return err
	}
	doc.FromRun(o.trial, one.Gear, out)
	fell, err := one.Fall(o.seed, o.trial, &out)
	if err != nil {
		return err
	}
	doc.Run.Fall = show.FromFall(fell)
	var trials *march.Trials
	var partial error
	if o.trials > 0 {
		var done atomic.Int64
		end := progress(s, "chains", o.trials, &done)
		t, err := march.Try(ctx, o.seed, o.trials, o.turns, a.Maker, &done)
		end()
		switch {
		case errors.Is(err, march.ErrStopped) && t.Runs == 0 && o.rows == "trials":
			return errStopped
		case errors.Is(err, march.ErrStopped):
			partial = partialResult{fmt.Sprintf("stopped after %d of %d trials: the result is partial", t.Runs, o.trials)}
		case err != nil:
			return err
		}
		if t.Runs > 0 {
			trials = &t
			falls, err := o.falls(s, &a, &t)
			switch {
			case errors.Is(err, march.ErrStopped) && partial != nil: // before
			case errors.Is(err, march.ErrStopped):
				partial = partialResult{"stopped while drops were followed on: the result is partial"}
			case err != nil:
				return err
			}
			doc.FromTrials(t, falls)
		}
	}
	header, rows := show.MarchEventHeader, doc.EventRows
	switch o.rows {
	case "places":
		header, rows = show.MarchPlaceHeader, doc.PlaceRows
	case "trials":
		header, rows = show.MarchTrialHeader, doc.TrialRows
	}
	p := output{marchDoc{doc, partial != nil}, header, rows, func(w io.Writer) error {
		if partial != nil {
			fmt.Fprintf(w, "partial: %v\n\n", partial)
		}
		return show.MarchTable(w, &doc, o.all, o.next(name))
	}}
	err = p.print(s, o.format, func() error {
		if o.fig.dir == "" {
			return nil
		}
		in := plots.March{Title: c.Title, Gear: one.Gear, Direction: d, Chain: one.Bike.Chain.Chain, Moment: seen.Of(d, out), Asked: o.trials}
		return o.draw(s, in, one.March, out, trials)
	})
	if err != nil {
		return err
	}
	return partial
}

// falls follows the drops of trials on.
func (o *marchOptions) falls(s streams, a *ask.Attempt, t *march.Trials) ([]*fall.Followed, error) {
	var done atomic.Int64
	end := progress(s, "drops", len(t.Results), &done)
	defer end()
	return a.Falls(s.stoppable(), t, &done)
}

// next is what to type then: the same with many chains or, with those, where the chainring should be.
func (o *marchOptions) next(name string) string {
	if o.trials > 0 {
		return then("chainline", name)
	}
	args := []string{name}
	for _, f := range []struct {
		name  string
		teeth int
	}{{"--ring", o.ring}, {"--cog", o.cog}} {
		if f.teeth > 0 {
			args = append(args, f.name, fmt.Sprint(f.teeth))
		}
	}
	if o.backwards {
		args = append(args, "--backwards")
	}
	return then("simulate", append(args, "--trials", "100")...)
}

// marchDoc is the JSON document of the march command.
type marchDoc struct {
	show.March
	Partial bool `json:"partial"` // stopped before all trials that were asked for
}

// draw writes the march's figures: the map, the chain from above at the first
// strike or the drop, how many came off, and the moving picture.
func (o *marchOptions) draw(s streams, in plots.March, m *march.Drive, out march.Fate, trials *march.Trials) error {
	var err error
	in.Wheels, in.Length = m.Wheels()
	// The map: a turn up to the end of the run, the moving picture: a few pitches
	// up to the moment.
	pitch := m.StepAngle()
	if in.Map, err = m.Film(o.seed, o.trial, math.Max(0, out.Turned-2*math.Pi), out.Turned); err != nil {
		return err
	}
	end := math.Min(out.Turned, in.Moment.Angle+1.5*pitch)
	if in.Film, err = m.Film(o.seed, o.trial, math.Max(0, in.Moment.Angle-5*pitch), end); err != nil {
		return err
	}
	figs := []plots.Figure{in.MapFigure(), in.AboveFigure()}
	if trials != nil {
		figs = append(figs, in.DropsFigure(trials))
	}
	if err := o.fig.render(s, figs); err != nil {
		return err
	}
	name := in.Name("links") + ".svg"
	return o.fig.keep(s, map[string][]byte{name: in.Moving()}, []string{name})
}
