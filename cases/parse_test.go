package cases

import (
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the golden files anew")

// Each bad case of testdata/bad has its exact message beside it.
func TestBadCasesGiveTheirExactMessages(t *testing.T) {
	files, err := filepath.Glob("../testdata/bad/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, f := range files {
		t.Run(strings.TrimSuffix(filepath.Base(f), ".yaml"), func(t *testing.T) {
			text, err := os.ReadFile(f)
			require.NoError(t, err)
			_, err = Parse(filepath.Base(f), text)
			var e *Error
			require.ErrorAs(t, err, &e)
			golden := strings.TrimSuffix(f, ".yaml") + ".want"
			if *update {
				require.NoError(t, os.WriteFile(golden, []byte(err.Error()+"\n"), 0o644))
			}
			want, err2 := os.ReadFile(golden)
			require.NoError(t, err2)
			assert.Equal(t, string(want), err.Error()+"\n")
			if several := strings.Count(err.Error(), "\n"); several > 0 {
				require.ErrorAs(t, err, new(Errors))
				assert.LessOrEqual(t, several, mostErrors, "and how many more")
			}
		})
	}
}

// A file with twelve good parts and one mistake in each of the others: all are told at
// once, sorted by line, and nothing that only follows from another.
func TestAllMistakesAtOnce(t *testing.T) {
	_, err := Parse("x.yaml", []byte("chainpath: 1\nfront: {line: wide, rings: [32, x]}\nrear: {lime: 48, cogs: [10, 12, 170]}\nload: {power: 200}\nchain: {bevel: 0.1 ± 0.15}\ntyre: {size: huge}\ncolour: red\n"))
	var all Errors
	require.ErrorAs(t, err, &all)
	var got []string
	for i, e := range all {
		got = append(got, fmt.Sprintf("%d %s", e.Line, e.Path))
		assert.True(t, i == 0 || e.Line >= all[i-1].Line)
	}
	assert.Equal(t, []string{"2 front.line", "2 front.rings[1]", "3 rear", "3 rear.cogs[2]", "4 load", "5 chain.bevel", "6 tyre.size", "7 "}, got)
	_, err = Parse("x.yaml", []byte("chainpath: 1\nfront: {line: 54,5, rings: [32]}\nrear: {line: 48, cogs: [10]}\n"))
	require.EqualError(t, err, `x.yaml:2:18: front: unknown field "5": write a decimal point, not a comma`)
	err = all
	var first *Error
	require.ErrorAs(t, err, &first)
	assert.Equal(t, "front.line", first.Path)
}

func TestAtMostTwentyMistakesAreTold(t *testing.T) {
	text := "chainpath: 1\nfront: {line: 54, rings: [32]}\nrear: {line: 48, cogs: [10]}\n"
	for i := range 33 {
		text += fmt.Sprintf("nothing%d: 1\n", i)
	}
	_, err := Parse("x.yaml", []byte(text))
	require.Error(t, err)
	lines := strings.Split(err.Error(), "\n")
	assert.Len(t, lines, 21)
	assert.Equal(t, "x.yaml: and 13 more mistakes", lines[20])
}

// A file of another kind is named as what it is.
func TestOtherKindsOfFilesAreNamed(t *testing.T) {
	_, err := Load("trail-parts", nil)
	require.EqualError(t, err, "trail-parts.yaml:2:1: chainpath_parts: this is a change list, as chainpath fix CASE CATALOGUE takes, want a case")
	_, err = LoadCatalogue("trail")
	require.EqualError(t, err, "trail.yaml:2:1: chainpath: this is a case, want a change list")
	_, err = ParseSweep("plan.yaml", []byte("chainpath: 1\n"))
	require.EqualError(t, err, "plan.yaml:1:1: chainpath: this is a case, want a plan of a sweep")
}

func TestHugeFileIsRefused(t *testing.T) {
	_, err := Parse("huge.yaml", make([]byte, MaxSize+1))
	require.EqualError(t, err, "huge.yaml: too many bytes, want at most 1048576")
}

func TestShippedCasesRoundTrip(t *testing.T) {
	require.Len(t, Shipped(), 13)
	for _, name := range Shipped() {
		c, err := Load(name, nil)
		require.NoError(t, err, name)
		text, err := Format(c)
		require.NoError(t, err)
		again, err := Parse("again.yaml", text)
		require.NoError(t, err, "%s\n%s", name, text)
		a, b := *c, *again
		a.file, b.file, a.at, b.at = "", "", nil, nil
		assert.Equal(t, a, b, name)
		x, err := c.Bike()
		require.NoError(t, err)
		y, err := again.Bike()
		require.NoError(t, err)
		assert.Equal(t, x, y)
	}
}

// 48.6/2 + 29.9, and 147.5/2 - 4.9 - (42.6 - 0.9)/2.
func TestShippedTrailHasTheLinesOfItsReadings(t *testing.T) {
	c, err := Load("trail", nil)
	require.NoError(t, err)
	front, err := c.FrontLine()
	require.NoError(t, err)
	rear, err := c.RearLine()
	require.NoError(t, err)
	assert.InDelta(t, 54.2, front, 1e-12)
	assert.InDelta(t, 48, rear, 1e-12)
	assert.Equal(t, 0.3, c.Front.Measured.Tube.Spread)
	assert.Equal(t, "caliper", c.Front.Measured.Tube.Instrument)
}

// The road case's readings are on outer faces of 1.8 mm teeth: 34/2 + 27.4 - 0.9.
func TestReadingsOfADouble(t *testing.T) {
	c, err := Load("road", nil)
	require.NoError(t, err)
	front, err := c.FrontLine()
	require.NoError(t, err)
	assert.InDelta(t, 43.5, front, 1e-9)
}

// Every default belongs to a field of the case file and lies in its range, for
// every number of speeds; every quantity that is not needed, and only those
// whose absence means something else, lacks one.
func TestDefaultsFitTheirFields(t *testing.T) {
	for speeds := 1; speeds <= 13; speeds++ {
		seen := map[string]bool{}
		for _, d := range Defaults(speeds) {
			assert.False(t, seen[d.Path], d.Path)
			seen[d.Path] = true
			assert.NotEmpty(t, d.Note)
			if d.Path == "chain.pitch" {
				continue
			}
			if d.Text != "" {
				_, tag, ok := field(&Case{}, d.Path)
				require.True(t, ok, d.Path)
				assert.Contains(t, strings.Split(tag.Get("oneof"), "|"), d.Text)
				continue
			}
			typ, tag := reflect.TypeFor[Case](), reflect.StructTag("")
			for _, name := range strings.Split(strings.SplitN(d.Path, "[", 2)[0], ".") {
				if typ.Kind() == reflect.Pointer {
					typ = typ.Elem()
				}
				f, ok := fieldNamed(typ, name)
				require.True(t, ok, d.Path)
				typ, tag = f.Type, f.Tag
			}
			lo, hi, ok := rangeOf(tag)
			require.True(t, ok, d.Path)
			assert.True(t, d.Value >= lo && d.Value <= hi, "%s %g", d.Path, d.Value)
			if dim := tag.Get("dim"); dim != "" {
				assert.Equal(t, dimensions[dim].base, d.Unit, d.Path)
			}
		}
	}
}

func TestLoadNamesAndFiles(t *testing.T) {
	_, err := Load("trial", nil)
	require.EqualError(t, err, `trial: neither a file nor a shipped case, did you mean "trail"?`)
	_, err = Load("no/such.yaml", nil)
	require.EqualError(t, err, "no/such.yaml: no such file or directory")
	_, err = Load("./shipped", nil)
	require.EqualError(t, err, "./shipped: a folder, want a file")
	text, err := ShippedText("road")
	require.NoError(t, err)
	c, err := Load("-", strings.NewReader(string(text)))
	require.NoError(t, err)
	assert.Equal(t, "Road bike, 2x11", c.Title)
	_, err = ShippedText("raod")
	require.EqualError(t, err, `raod: no such shipped case, did you mean "road"?`)
}

func FuzzParse(f *testing.F) {
	for _, name := range Shipped() {
		text, _ := ShippedText(name)
		f.Add(text)
	}
	bad, _ := filepath.Glob("../testdata/bad/*.yaml")
	for _, name := range bad {
		text, _ := os.ReadFile(name)
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		c, err := Parse("fuzz.yaml", text)
		if err != nil {
			var e *Error
			require.ErrorAs(t, err, &e)
			return
		}
		out, err := Format(c)
		require.NoError(t, err)
		_, err = Parse("again.yaml", out)
		require.NoError(t, err, string(out))
		// What is accepted is computed, or refused with a reason; never a panic, a
		// NaN or an infinity.
		b, err := c.Bike()
		require.NoError(t, err)
		r, err := b.Evaluate()
		if err != nil {
			require.ErrorAs(t, c.Explain(err), new(*Error))
			return
		}
		for _, g := range r.Gears {
			for _, as := range g.Arrivals {
				for _, a := range as {
					for _, x := range []float64{a.Bend, a.Offset, a.Limits.Quiet, a.Limits.Climb, a.Pull} {
						require.False(t, math.IsNaN(x) || math.IsInf(x, 0))
					}
				}
			}
		}
	})
}

// Files of every kind are read by one loader, with one limit, and refused in one way.
func TestOneLoaderForEveryFile(t *testing.T) {
	dir := t.TempDir()
	big := filepath.Join(dir, "big.yaml")
	require.NoError(t, os.WriteFile(big, make([]byte, MaxSize+5000), 0o644))
	for kind, load := range map[string]func(name string) error{
		"case":      func(n string) error { _, err := Load(n, nil); return err },
		"catalogue": func(n string) error { _, err := LoadCatalogue(n); return err },
		"sweep":     func(n string) error { _, err := LoadSweep(n); return err },
		"memory":    func(n string) error { _, err := LoadMemory(n); return err },
	} {
		assert.EqualError(t, load(dir), dir+": a folder, want a file", kind)
		assert.EqualError(t, load(filepath.Join(dir, "none.yaml")), filepath.Join(dir, "none.yaml")+": no such file or directory", kind)
		assert.ErrorContains(t, load(big), "bytes, want at most 1048576", kind)
	}
}

// What cannot be read as YAML is told with its place also where the reader gives none.
func TestEveryUnreadableFileHasAPlace(t *testing.T) {
	for text, want := range map[string]string{
		"title: \"a\ufffe\"\n":           "bike.yaml:1:10: character U+FFFE, want text",
		"title: a\nmore: \uffff\n":       "bike.yaml:2:7: character U+FFFF, want text",
		"a: - - - -\n":                   "bike.yaml:1:1: not valid YAML: block sequence entries are not allowed in this context",
		"title: x\nfront: {line: *no}\n": "bike.yaml: not valid YAML: unknown anchor 'no' referenced",
	} {
		_, err := Parse("bike.yaml", []byte(text))
		assert.EqualError(t, err, want)
	}
	_, err := Parse("bike.yaml", []byte("\xff\xfea\x00:\x00\x00\xd8x\x00")) // UTF-16, half a character
	assert.EqualError(t, err, "bike.yaml: not valid YAML: expected low surrogate area")
}
