package cli

import (
	"io"
	"math"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
	"chainpath/sim/decide"
)

// Flags of fix that go with a change list, and those that go without one.
var (
	withList    = []string{"complaint", "top", "most", "figures", "image"}
	withoutList = []string{"hour", "prices", "seen"}
)

// advice adds the flags of an advice.
func (o *partsOptions) advice(c *cobra.Command) {
	usual := decide.UsualRule()
	c.Flags().Float64Var(&o.worth, "worth", usual.Worth, "what it is worth to lower the fault score by 1, in money; twice that for what you told of")
	c.Flags().Float64Var(&o.hour, "hour", usual.Hour, "what an hour of work costs, in money")
	c.Flags().StringVar(&o.prices, "prices", "", "change list whose changes replace the usual ones of the same name")
	o.seen.flag(c, "32/51 backwards: drop", seenIn)
}

// fits refuses flags that do nothing.
func (o *partsOptions) fits(c *cobra.Command, list bool) error {
	names, want := withList, "with a change list"
	if list {
		names, want = withoutList, "without a change list"
	}
	for _, n := range names {
		if f := c.Flags().Lookup(n); f != nil && f.Changed {
			if n == "complaint" {
				want += "; without one say what was seen, such as --seen '32/51 backwards: drop'"
			}
			return usagef("--%s goes %s", n, want)
		}
	}
	return nil
}

func (o *partsOptions) checkMoney() error {
	for _, x := range []struct {
		flag string
		v    float64
	}{{"worth", o.worth}, {"hour", o.hour}} {
		if !(x.v >= 0 && x.v <= 1e6) || math.IsNaN(x.v) {
			return usagef("--%s %g is out of range, want 0 to 1000000", x.flag, x.v)
		}
	}
	return nil
}

// rule is the usual rule with what the flags say.
func (o *partsOptions) rule(weights *decide.Weights) decide.Rule {
	rule := decide.UsualRule()
	rule.Weights, rule.Hour = *weights, o.hour
	rule.Told *= o.worth / rule.Worth
	rule.Worth = o.worth
	return rule
}

// advise answers by the rule.
func (o *partsOptions) advise(s streams, name string) error {
	if err := checkFormat(o.format); err != nil {
		return err
	}
	if err := o.checkMoney(); err != nil {
		return err
	}
	weights, err := weightsOf(o.weights)
	if err != nil {
		return err
	}
	c, b, _, err := evaluate(s, name, &o.load)
	if err != nil {
		return err
	}
	if err := o.seen.add(c); err != nil {
		return err
	}
	var prices *cases.Catalogue
	if o.prices != "" {
		if prices, err = cases.LoadCatalogue(o.prices); err != nil {
			return err
		}
	}
	rule := o.rule(weights)
	end := progress(s, "fix", 0, nil)
	a, err := c.Advise(rule, prices, nil)
	end()
	if err != nil {
		return err
	}
	doc, err := show.FromAdvice(a, c, b)
	if err != nil {
		return err
	}
	out := output{doc, show.AdviceHeader, doc.Rows, func(w io.Writer) error { return show.AdviceText(w, doc, o.all, o.after(a, name)) }}
	return out.print(s, o.format, nil)
}

// after is what to type then.
func (o *partsOptions) after(a *cases.Advice, name string) string {
	switch a.Verdict {
	case cases.NotExplained:
		return then("diagnose", name)
	case cases.MeasureLine:
		if a.Measure == "rear.line" {
			return "measure rear --help"
		}
		return "measure front --help"
	case cases.MakeChange:
		return then("chainline", name)
	}
	return then("gears", name)
}
