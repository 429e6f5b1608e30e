package main

import (
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const sample = `package sample

import "errors"

var ErrLow = errors.New("low: " + "x")

func Scale(x float64) (float64, error) {
	if x < 0.5 {
		return -1, ErrLow
	}
	return 2 * x, nil
}

func unused() int { return 7 }

func Elsewhere() int { return 11 }

const spare = 13
`

func TestMutantsByHand(t *testing.T) {
	fset := token.NewFileSet()
	f, err := parser.ParseFile(fset, "sample.go", sample, parser.SkipObjectResolution)
	require.NoError(t, err)
	all := mutantsIn(fset, f, "sample.go", []byte(sample))
	var got []string
	for _, m := range all {
		got = append(got, string(m.source[m.from:m.to])+" -> "+m.with)
		assert.NotEqual(t, sample, string(m.text()))
	}
	assert.ElementsMatch(t, []string{
		"x < 0.5 -> true || (x < 0.5)", "x < 0.5 -> false && (x < 0.5)", "< -> <=", "0.5 -> 0.55", "- -> ", "1 -> 2", "* -> /", "2 -> 3", "7 -> 8", "11 -> 12", "13 -> 14",
	}, got)
}

// A mutant that a test notices is killed, in a dependent's tests too; one that none looks at
// survives, one whose code no test links is unreached, and one without any is the same.
func TestFates(t *testing.T) {
	if os.Getenv("CHAINPATH_LONG") == "" {
		t.Skip("compiles and runs tests of its own: CI does")
	}
	dir := t.TempDir()
	t.Chdir(dir)
	for name, text := range map[string]string{
		"go.mod":            "module sample\n\ngo 1.25\n",
		"sample.go":         sample,
		"sample_test.go":    "package sample\n\nimport \"testing\"\n\nfunc TestScale(t *testing.T) {\n\tif y, err := Scale(3); y != 6 || err != nil {\n\t\tt.Fatal(y, err)\n\t}\n}\n",
		"user/user.go":      "package user\n\nimport \"sample\"\n\nfunc Twice() int { return 2 * sample.Elsewhere() }\n",
		"user/user_test.go": "package user\n\nimport \"testing\"\n\nfunc TestTwice(t *testing.T) {\n\tif Twice() != 22 {\n\t\tt.Fatal(Twice())\n\t}\n}\n",
	} {
		require.NoError(t, os.MkdirAll(filepath.Dir(name), 0o755))
		require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
	}
	near, err := dependents(".")
	require.NoError(t, err)
	assert.Equal(t, []string{"user"}, near)
	s, err := read(".")
	require.NoError(t, err)
	all := s.mutants()
	slices.Reverse(all) // in whatever order they come
	trials, err := prepare(map[string]*source{".": s}, all, t.TempDir(), which{only: regexp.MustCompile("")})
	require.NoError(t, err)
	want, found := map[string]string{
		"* -> /": "killed", "x < 0.5 -> true || (x < 0.5)": "killed", "0.5 -> 0.55": "survives", "7 -> 8": "unreached",
		"11 -> 12": "killed", "x < 0.5 -> false && (x < 0.5)": "survives", "< -> <=": "survives", "2 -> 3": "killed", "13 -> 14": "same", "- -> ": "unreached",
	}, 0
	for i, m := range all {
		change := string(m.source[m.from:m.to]) + " -> " + m.with
		if fate, ok := want[change]; ok {
			found++
			got, err := trials.fate(i)
			require.NoError(t, err)
			assert.Equal(t, fate, got, change)
		}
	}
	assert.Equal(t, len(want), found)
}
