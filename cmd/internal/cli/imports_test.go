package cli

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Imports point one way only: cmd → plots, cases → sim → sim/engage → sim/pins, geom. And
// each outside library is known in one place.
func TestImportsPointOneWay(t *testing.T) {
	const gonum, testify = "gonum.org/v1/gonum/", "github.com/stretchr/testify/"
	allowed := map[string][]string{
		"geom":                {gonum},
		"sim/pins":            {}, // nothing at all
		"sim/elementary":      {}, // nothing either
		"sim/engage":          {gonum, "chainpath/geom", "chainpath/sim/pins", "chainpath/sim/elementary"},
		"sim":                 {gonum, "chainpath/geom", "chainpath/sim/"},
		"cases":               {gonum, "chainpath/sim", "go.yaml.in/yaml/v3"},
		"plots":               {gonum, "chainpath/geom", "chainpath/sim", "gonum.org/v1/plot", "codeberg.org/go-pdf/fpdf", "codeberg.org/go-fonts/liberation", "golang.org/x/image/"},
		"cmd":                 {"chainpath/", gonum, "github.com/spf13/", "github.com/cpuguy83/go-md2man", "golang.org/x/term", testify, "github.com/rogpeppe/go-internal/", "codeberg.org/go-pdf/fpdf", "codeberg.org/go-fonts/liberation"},
		"cmd/internal/checks": {"chainpath/", "github.com/chromedp/", "github.com/santhosh-tekuri/jsonschema/v6", "go.yaml.in/yaml/v3"},
	}
	seen := map[string]bool{}
	err := filepath.WalkDir("../../..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") {
			return err
		}
		rel, _ := filepath.Rel("../../..", path)
		dir := filepath.ToSlash(filepath.Dir(rel))
		rule, where := []string(nil), ""
		for k, v := range allowed {
			if (dir == k || strings.HasPrefix(dir, k+"/")) && len(k) > len(where) {
				rule, where = v, k
			}
		}
		if !assert.NotEmpty(t, where, "%s lies outside the tree", rel) {
			return nil
		}
		seen[where] = true
		if strings.HasSuffix(path, "_test.go") {
			rule = append([]string{testify, "pgregory.net/rapid", "chainpath/" + dir, gonum}, rule...)
		}
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
		require.NoError(t, err)
		for _, i := range f.Imports {
			name := strings.Trim(i.Path.Value, `"`)
			if !strings.Contains(strings.SplitN(name, "/", 2)[0], ".") && !strings.HasPrefix(name, "chainpath") {
				continue // standard library
			}
			ok := false
			for _, a := range rule {
				ok = ok || strings.HasPrefix(name+"/", strings.TrimSuffix(a, "/")+"/")
			}
			assert.True(t, ok, "%s imports %s", rel, name)
		}
		if where == "geom" || strings.HasPrefix(where, "sim") {
			for _, i := range f.Imports {
				if !strings.HasSuffix(path, "_test.go") {
					assert.NotContains(t, []string{`"os"`, `"io"`, `"time"`, `"math/rand"`, `"log"`}, i.Path.Value, "%s does no input or output and reads no clock", rel)
				}
			}
		}
		return nil
	})
	require.NoError(t, err)
	assert.Len(t, seen, len(allowed))
}
