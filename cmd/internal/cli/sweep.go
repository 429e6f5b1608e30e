package cli

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"os"
	"os/signal"
	"regexp"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"syscall"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
	"chainpath/sim/sweep"
)

type sweepOptions struct {
	plan, sample, shard, out, format string
	vary, where                      []string
	seed                             uint64
	resume                           bool
	loss, bare, shifts               bool
	quiet, oneChain, chainSaid       bool
	workers                          int
	load                             loadFlags
}

// goneFlags are options that sweep had, and why they are not needed any more.
var goneFlags = map[string]string{
	"chances": "every row has chances",
	"exact":   "rows have no limits that could be solved for",
	"window":  "rows have no limits; vary front.line and keep rows by their chances with --where",
}

func newSweep(s streams) *cobra.Command {
	var o sweepOptions
	c := &cobra.Command{
		Use:   "sweep CASE",
		Short: "Thousands of designs: compute, plot, combine",
		Long: `sweep computes a design for every combination of values of bike-file fields, or for samples of
them, and writes a row of each. Ctrl-C leaves a readable file, and --resume goes on with it to the
same bytes. --shard I/N computes a part. help rows says how rows are kept, help output what is in them.`,
		Example: `  chainpath sweep trail --vary front.line=46:56:0.25 -o rows.csv
  chainpath sweep trail --vary front.line=46:56 --vary chain.slack=0.5:1.5 --sample sobol:4096 -o rows.csv`,
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: completeCases,
		RunE: func(c *cobra.Command, args []string) error {
			o.chainSaid = c.Flags().Changed("one-chain")
			for _, name := range slices.Sorted(maps.Keys(goneFlags)) {
				if c.Flags().Changed(name) {
					fmt.Fprintf(s.err, "--%s does nothing any more: %s\n", name, goneFlags[name])
				}
			}
			return o.run(s, args[0])
		},
	}
	f := c.Flags()
	f.StringArrayVar(&o.vary, "vary", nil, "PATH=FROM:TO:STEP or PATH=VALUE,VALUE,...; FROM:TO alone with --sample")
	completeIn(c, "vary", fieldsIn)
	f.StringVar(&o.plan, "plan", "", "YAML file with what to vary, instead of --vary")
	f.StringVar(&o.sample, "sample", "", "random:COUNT or sobol:COUNT instead of a grid")
	f.Uint64Var(&o.seed, "seed", 0, "of the samples")
	f.StringArrayVar(&o.where, "where", nil, "keep designs with PATH or COLUMN >= or <= a number, such as 'drop_backwards_most<=0.1'")
	f.StringVarP(&o.out, "out", "o", "", "file for the rows; left out, standard output")
	f.StringVar(&o.format, "format", "csv", "csv, or jsonl: a JSON object a line")
	f.BoolVar(&o.resume, "resume", false, "go on with the file of --out")
	f.StringVar(&o.shard, "shard", "", "I/N: every N-th block from block I on; auto or auto/N: from the job array")
	f.BoolVar(&o.bare, "no-chances", false, "bends, lengths and gaps alone, without chances (some 40 times as fast)")
	f.BoolVar(&o.loss, "loss", false, "also the largest loss and wear index (much slower)")
	f.BoolVar(&o.shifts, "shifts", false, "also the room for the cable's setting and the worst shift")
	f.BoolVar(&o.oneChain, "one-chain", false, "every design with the bike file's own chain, as where frame.travel varies")
	f.IntVar(&o.workers, "workers", 0, "goroutines; 0: one for each core")
	f.BoolVarP(&o.quiet, "quiet", "q", false, "no progress on standard error")
	_ = c.RegisterFlagCompletionFunc("format", cobra.FixedCompletions([]string{"csv", "jsonl"}, cobra.ShellCompDirectiveNoFileComp))
	o.load.add(c)
	for name := range goneFlags {
		f.Bool(name, false, "")
		_ = f.MarkHidden(name)
	}
	c.AddCommand(newMerge(s), newChart(s), newRegion(s))
	return c
}

func (o *sweepOptions) run(s streams, name string) error {
	if o.format != "csv" && o.format != "jsonl" {
		return usagef("--format %q, want csv or jsonl", o.format)
	}
	if o.workers < 0 || o.workers > 4096 {
		return usagef("--workers %d is out of range, want 0 to 4096", o.workers)
	}
	if o.resume && o.out == "" {
		return usagef("--resume without --out")
	}
	shard, err := shardOf(o.shard, os.Getenv)
	if err != nil {
		return err
	}
	c, err := cases.Load(name, s.in)
	if err != nil {
		return err
	}
	if err := o.load.apply(c); err != nil {
		return err
	}
	w, err := o.ready(c)
	if err != nil {
		return err
	}
	format := show.NewSweepFormat(w.Columns, o.columns(), o.format == "jsonl")
	for i, b := range w.Bounds {
		if !format.Has(b.Of) {
			return usagef("--where: no field varied and no column %q; columns of numbers are %s", w.Bounds[i].Of, strings.Join(numbersOf(format), ", "))
		}
	}
	if !o.chainSaid && slices.Contains(w.Columns, "frame_travel_mm") {
		o.oneChain = true // a chain is not changed on the way down
		if !o.quiet {
			fmt.Fprintln(s.err, "frame.travel is varied: one chain for all, that of the bike file; --one-chain=false gives each its own")
		}
	}
	rows := &rower{w: w, format: format, o: o}
	if o.oneChain {
		b, err := c.Bike()
		if err != nil {
			return err
		}
		if rows.links, err = b.ChooseLinks(); err != nil {
			return c.Explain(err)
		}
	}
	job := sweep.Job{Designs: w.Plan.Designs(), Shard: shard, Workers: o.workers, Unit: o.unit()}
	return o.write(s, rows, job)
}

// columns returns the groups of columns that were asked for.
func (o *sweepOptions) columns() show.SweepColumns {
	return show.SweepColumns{Loss: o.loss, Chances: !o.bare, Shifts: o.shifts}
}

// unit returns how many designs are worked on at a time, so that what a stop gives up
// is a second or so of work.
func (o *sweepOptions) unit() int {
	switch {
	case !o.bare:
		return 4
	case o.loss || o.shifts:
		return 16
	}
	return sweep.BlockSize
}

// ready reads the plan and makes it ready for the case.
func (o *sweepOptions) ready(c *cases.Case) (*cases.Sweep, error) {
	p := &cases.SweepPlan{}
	if o.plan != "" {
		if len(o.vary) > 0 {
			return nil, usagef("--plan with --vary, want one of the two")
		}
		var err error
		if p, err = cases.LoadSweep(o.plan); err != nil {
			return nil, err
		}
	}
	for _, text := range o.vary {
		v, err := cases.VaryFlag(text)
		if err != nil {
			return nil, usagef("--vary %w", err)
		}
		p.Vary = append(p.Vary, v)
	}
	if len(p.Vary) == 0 {
		return nil, usagef("nothing is varied: --vary or --plan")
	}
	if o.sample != "" {
		method, count, ok := strings.Cut(o.sample, ":")
		n, err := strconv.Atoi(count)
		if !ok || err != nil || n < 1 || n > 900000000 || method != "random" && method != "sobol" {
			return nil, usagef("--sample %q, want random:COUNT or sobol:COUNT with 1 to 900000000", o.sample)
		}
		p.Sample = &cases.Sample{Method: method, Count: n}
	}
	if o.seed != 0 && p.Sample == nil {
		return nil, usagef("--seed without --sample")
	}
	if o.seed != 0 {
		p.Sample.Seed = int(o.seed)
	}
	for _, text := range o.where {
		b, err := boundFlag(text)
		if err != nil {
			return nil, err
		}
		p.Where = append(p.Where, b)
	}
	w, err := p.For(c)
	if err == nil {
		err = w.Reach(p, cases.Reached{Losses: o.loss, Chances: !o.bare, Shifts: o.shifts})
	}
	var bad *cases.Error
	if errors.As(err, &bad) && o.plan == "" {
		return nil, usagef("--vary: %s", bad.Problem)
	}
	return w, err
}

var boundForm = regexp.MustCompile(`^\s*([a-z0-9_.\[\]]+)\s*(<=|>=)\s*([-+0-9.eE]+)\s*$`)

func boundFlag(text string) (b cases.Bound, err error) {
	m := boundForm.FindStringSubmatch(text)
	if m == nil {
		return b, usagef("--where %q, want NAME>=NUMBER or NAME<=NUMBER", text)
	}
	x, err := strconv.ParseFloat(m[3], 64)
	if err != nil {
		return b, usagef("--where %q: %s is not a finite number", text, m[3])
	}
	b.Of = m[1]
	if m[2] == ">=" {
		b.Least = cases.Q(x)
	} else {
		b.Most = cases.Q(x)
	}
	return b, nil
}

func numbersOf(f *show.SweepFormat) (out []string) {
	for _, n := range f.Names() {
		if f.Has(n) {
			out = append(out, n)
		}
	}
	return out
}

// write runs the sweep into the output.
func (o *sweepOptions) write(s streams, rows *rower, job sweep.Job) error {
	if err := o.tooQuiet(rows, job); err != nil {
		return err
	}
	out, err := o.open(s, rows, &job)
	if err != nil {
		return err
	}
	defer out.close()
	// A closed pipe is an error of a write, not the end of the process.
	pipe := make(chan os.Signal, 1)
	signal.Notify(pipe, syscall.SIGPIPE)
	defer signal.Stop(pipe)
	// Each design leaves a little garbage, and next to nothing else is kept.
	if os.Getenv("GOGC") == "" {
		defer debug.SetGCPercent(debug.SetGCPercent(400))
	}
	o.announce(s, rows, out, job)
	p := newTally(s, o.quiet, job)
	err = sweep.Run(s.stoppable(), job, rows.worker, func(r []byte, b sweep.Block) error {
		if err := out.block(r, b); err != nil {
			return err
		}
		return p.done(b.To-b.From, out.sync)
	})
	switch {
	case errors.Is(err, context.Canceled):
		if err := out.prove(); err != nil {
			return fmt.Errorf("%s: %w", out.name, err)
		}
		p.last()
		if out.id == nil {
			return partialResult{"stopped before the end: the rows are partial"}
		}
		return partialResult{fmt.Sprintf("stopped before the end: the rows are partial; --resume goes on with %s", o.out)}
	case errors.Is(err, errChanged):
		return fmt.Errorf("%s: %w", out.name, err)
	case err != nil:
		_ = out.prove() // whose error is the same
		return fmt.Errorf("%s: %w; whole rows up to here are kept", out.name, err)
	}
	p.last()
	if err := out.finish(); err != nil {
		return err
	}
	if why, all := rows.allFailed(); all && out.okay == 0 && job.Shard.N <= 1 && job.From < job.Designs {
		return fmt.Errorf("none of %d designs can be: the first, %s", job.Count(), why)
	}
	return nil
}
