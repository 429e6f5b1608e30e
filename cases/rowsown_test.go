package cases

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
)

// A row of a sweep is what its own case would be told, whatever is varied: the bikes drawn about
// the sweep's middle stand for those drawn about the design.
func TestRowsAreWhatTheirOwnCaseIsTold(t *testing.T) {
	ofNumbers(t)
	names, each := []string{"trail", "road", "single"}, 3
	switch {
	case long:
		names, each = Shipped(), 1
	case testing.Short():
		each = 15
	}
	worst := map[string]float64{}
	for _, name := range names {
		c, err := Load(name, nil)
		require.NoError(t, err)
		for i, path := range c.Numbers() {
			if i%each > 0 || strings.HasPrefix(path, "riding") || strings.HasPrefix(path, "instruments") || strings.HasPrefix(path, "tolerances") || strings.HasPrefix(path, "limits") || strings.HasPrefix(path, "friction") {
				continue
			}
			now, err := c.Number(path)
			if err != nil || now == 0 {
				continue
			}
			var p SweepPlan
			near := 0.02 * now
			v, err := VaryFlag(fmt.Sprintf("%s=%g,%g", path, now-near, now+near))
			require.NoError(t, err)
			p.Vary = []Vary{v}
			s, err := p.For(c)
			if err != nil {
				continue // whole numbers, and what lies past its range
			}
			d, x := s.Designer(), make([]float64, 1)
			for n := range 2 {
				s.Plan.Design(x, n)
				if _, err := d.Bike(x); err != nil {
					continue
				}
				got, err := d.Chances(0)
				if err != nil {
					continue
				}
				want, err := d.Case().Chances()
				require.NoError(t, err)
				off, at := 0.0, ""
				for g := range want {
					for k := range want[g] {
						if e := math.Abs(got[g][k] - want[g][k]); e > off {
							off, at = e, fmt.Sprintf("gear %d %s: %.4f, own %.4f", g, sim.Concern(k), got[g][k], want[g][k])
						}
					}
				}
				worst[name] = math.Max(worst[name], off)
				assert.LessOrEqual(t, off, 0.005, "%s: %s = %g: %s", name, path, x[0], at)
			}
		}
	}
	t.Log(worst)
}
