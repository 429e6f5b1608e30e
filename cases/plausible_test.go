package cases

import (
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
)

// good is a case without a warning; each of the following has one slip in it. Invented.
const good = `chainpath: 1
speeds: 11
frame: {stay: %STAY}
front: {measured: {tube_width: 44, gap: %FRONTGAP}, rings: [30]}
rear: {measured: {dropouts: %DROP, stack: %STACK, gap: %GAP}, cogs: %COGS}
tyre: {size: %TYRE}
chainstay: {gap: %RINGGAP}
chain: {links: %LINKS}
`

func filled(with map[string]string) string {
	text := good
	for key, usual := range map[string]string{
		"%STAY": "430", "%FRONTGAP": "29", "%DROP": "141.5", "%STACK": "39.5", "%GAP": "3.2", "%COGS": "[11, 13, 15, 17, 19, 22, 25, 28, 32, 37, 42]",
		"%TYRE": "57-622", "%RINGGAP": "6", "%LINKS": "108",
	} {
		if w, ok := with[key]; ok {
			usual = w
		}
		text = replaceOnce(text, key, usual)
	}
	return text
}

func TestSlipsAreNamedAndNotRefused(t *testing.T) {
	for name, x := range map[string]struct {
		with map[string]string
		path string
		line int
		want string
	}{
		"decimal point":   {map[string]string{"%GAP": "32", "%DROP": "199"}, "rear.measured.gap", 5, "32 mm is unusual, most are 1 to 12 mm; 3.2 mm, a decimal point left out?"},
		"stack":           {map[string]string{"%STACK": "44"}, "rear.measured.stack", 5, "44.0 mm, and 11 cogs take up about 39.4 mm: rivets or carrier measured along? then give protrusion"},
		"too thin":        {map[string]string{"%STACK": "35"}, "rear.measured.stack", 5, "35.0 mm, and 11 cogs take up about 39.4 mm: another number of speeds, or read from another face?"},
		"cog left out":    {map[string]string{"%COGS": "[11, 13, 15, 17, 19, 22, 25, 28, 32, 37]", "%STACK": "35.6"}, "rear.cogs", 5, "10 cogs and 11 speeds: a cog left out?"},
		"a cog too many":  {map[string]string{"%COGS": "[10, 11, 13, 15, 17, 19, 22, 25, 28, 32, 37, 42]", "%STACK": "43.2"}, "rear.cogs", 5, "12 cogs and 11 speeds: the chain is then taken as wider than this cassette's"},
		"no hub":          {map[string]string{"%DROP": "176"}, "rear.measured", 5, "rear chainline 65.0 mm: no usual hub with this cassette has it, they give 27 to 59 mm"},
		"name or reading": {map[string]string{"%DROP": "148"}, "rear.measured.dropouts", 5, "148 mm is also the name of an axle spacing, whose dropouts may be 141 to 148 mm apart: if it was not measured, write 148 (axle spacing)"},
		"ring in stay":    {map[string]string{"%RINGGAP": "-2"}, "chainstay.gap", 7, "-2 mm: the largest chainring would touch the chainstay; from the chainring's inner face outwards to the stay is positive"},
		"wheel":           {map[string]string{"%STAY": "385", "%LINKS": "104"}, "tyre.size", 6, "a wheel of 736 mm leaves 12 mm before it on a stay of 385 mm: it would touch the frame"},
		"links":           {map[string]string{"%LINKS": "98"}, "chain.links", 8, "98 links: 10 shorter than the 108 that largest chainring and cog ask for on this stay"},
		"inches of ±":     {map[string]string{"%STAY": "17 in ± 0.1 (tape)"}, "frame.stay", 3, "± is in inches, as the value is: ± 2.54 mm"},
	} {
		c, err := Parse("x.yaml", []byte(filled(x.with)))
		require.NoError(t, err, name)
		got, err := c.Warnings()
		require.NoError(t, err)
		assert.Contains(t, got, Warning{x.path, x.line, x.want}, name)
	}
	c, err := Parse("x.yaml", []byte(filled(nil)))
	require.NoError(t, err)
	got, err := c.Warnings()
	require.NoError(t, err)
	assert.Empty(t, got)
}

// Bicycles that are known give few warnings: those shipped none, those of the panel only
// what is unusual of them indeed.
func TestKnownBicyclesAreSeldomWarnedOf(t *testing.T) {
	for _, name := range Shipped() {
		c, err := Load(name, nil)
		require.NoError(t, err)
		got, err := c.Warnings()
		require.NoError(t, err)
		assert.Empty(t, got, name)
	}
	files, err := filepath.Glob("../testdata/field/*.yaml")
	require.NoError(t, err)
	warned := 0
	for _, f := range files {
		c, err := Load(f, nil)
		require.NoError(t, err)
		got, err := c.Warnings()
		require.NoError(t, err)
		if len(got) > 0 {
			warned++
			t.Log(filepath.Base(f), got)
		}
	}
	assert.LessOrEqual(t, warned, len(files)/10)
}

func replaceOnce(text, old, with string) string { return strings.Replace(text, old, with, 1) }

// A length at either end of what is usual is not told of, one a little beyond is, whatever
// field; and one that a slip of the pen would bring in says which.
func TestUsualRangesAtTheirEnds(t *testing.T) {
	for _, u := range usualRanges {
		told := func(value float64) string {
			c := mustParse(t, learner)
			v, _, ok := field(c, u.path)
			if !ok { // a list
				c.Tensioner.Gaps = []Quantity{Q(10), Q(6)}
				v, _, ok = field(c, u.path)
			}
			require.True(t, ok, u.path)
			v.Set(reflect.ValueOf(Q(value)))
			w := &warner{c: c}
			w.ranges()
			for _, x := range w.out {
				if x.Path == u.path {
					return x.Words
				}
			}
			return ""
		}
		assert.Empty(t, told(u.lo), u.path)
		assert.Empty(t, told(u.hi), u.path)
		assert.Contains(t, told(u.lo-0.01), "is unusual", u.path)
		assert.Contains(t, told(u.hi+0.01), "is unusual", u.path)
		assert.Contains(t, told(10*u.hi), "a decimal point left out?", u.path)
		if u.lo > 0 && u.hi/u.lo < 10 {
			assert.Contains(t, told(u.hi/10), "a decimal point too early, or cm?", u.path)
		}
	}
	c := mustParse(t, learner)
	c.Frame.Stay = Q(17) // inches: 431.8 mm; ten times would be 170
	w := &warner{c: c}
	w.ranges()
	assert.Equal(t, "17 mm is unusual, most are 300 to 720 mm; 431.8 mm, inches: write the unit?", w.out[0].Words)
	c.Frame.Stay = Q(430 * inch)
	w.out = nil
	w.ranges()
	assert.Equal(t, "10922 mm is unusual, most are 300 to 720 mm; 430 mm, turned into mm twice?", w.out[0].Words)
}

// A chain's length is told of from five links on, either way, and a hub from where its line ends.
func TestLinksAndHubsAtTheirEnds(t *testing.T) {
	c := mustParse(t, learner)
	b, err := c.Bike()
	require.NoError(t, err)
	chosen, err := b.ChooseLinks()
	require.NoError(t, err)
	for off, told := range map[int]bool{-6: true, -4: false, 0: false, 4: false, 6: true} {
		bike := *b
		bike.Chain.Links = chosen + off
		w := &warner{c: c, b: &bike}
		require.NoError(t, w.links())
		assert.Equal(t, told, len(w.out) == 1, "%d off", off)
	}
	n := len(b.Cogs)
	half := (b.Cogs[0].Line - b.Cogs[n-1].Line + b.Cogs[n-1].Thickness()) / 2
	least, most := 109.0/2-mostGap-half, 161.0/2-leastGap-half
	for line, told := range map[float64]bool{least - 0.01: true, least + 0.01: false, most - 0.01: false, most + 0.01: true} {
		bike := *b
		bike.Cogs = append([]sim.Wheel(nil), b.Cogs...)
		for i := range bike.Cogs {
			bike.Cogs[i].Line += line - b.RearLine()
		}
		w := &warner{c: c, b: &bike}
		w.hub()
		assert.Equal(t, told, len(w.out) == 1, "%g mm", line)
	}
}

// A slack chain is warned of, whatever its line; one with common slack, or beside a tensioner, is not.
func TestSlackChainsAreWarnedOf(t *testing.T) {
	c, err := Load("fixed", nil)
	require.NoError(t, err)
	for sag, want := range map[float64]string{
		20: "", 45: "the chain hangs down 45 mm, more than the usual 20 mm: it can drop whatever the chainlines are, and then the cog brakes nothing; tighten it first",
	} {
		c.Load.Sag = Q(sag)
		w := &warner{c: c}
		w.sag()
		if want == "" {
			assert.Empty(t, w.out)
			continue
		}
		require.Len(t, w.out, 1)
		assert.Equal(t, "load.sag", w.out[0].Path)
		assert.Equal(t, want, w.out[0].Words)
	}
}
