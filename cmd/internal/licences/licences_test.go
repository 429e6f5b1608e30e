package licences

import (
	"flag"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the notices anew")

// legal are the names of files that a module's licence stands in. Of the
// two that freetype gives to choose from, the FreeType License is taken.
var legal = regexp.MustCompile(`(?i)^(licen[cs]e[^/]*|copying[^/]*|notice[^/]*|patents|third_party_licenses/.*|licenses/ftl\.txt)$`)

// The notices are those of the modules that are linked, version by version.
func TestNoticesAreNotStale(t *testing.T) {
	for file, c := range map[string]struct {
		of, program string
		systems     []string
	}{
		"tool.txt": {"the command chainpath", "./cmd/chainpath", []string{"linux/amd64", "linux/arm64", "windows/amd64", "darwin/arm64", "freebsd/amd64"}},
		"site.txt": {"chainpath's page as a static site", "./cmd/engine", []string{"js/wasm"}},
	} {
		want := notices(t, c.of, modules(t, c.program, c.systems))
		if *update {
			require.NoError(t, os.WriteFile(file, []byte(want), 0o644))
		}
		got, err := os.ReadFile(file)
		require.NoError(t, err)
		if string(got) != want { // the texts are too long for a difference to help
			t.Errorf("%s is stale: go test ./cmd/internal/licences -update", file)
		}
		assert.Contains(t, want, "chainpath\n")
		assert.Contains(t, want, "gonum.org/v1/gonum v")
		assert.Equal(t, file == "tool.txt", strings.Contains(want, "github.com/spf13/cobra v"))
	}
}

// modules returns the folders of the modules linked into a program on some systems, by
// "path version".
func modules(t *testing.T, program string, systems []string) map[string]string {
	out := map[string]string{}
	for _, s := range systems {
		system, arch, _ := strings.Cut(s, "/")
		c := exec.Command("go", "list", "-deps", "-f", `{{if not .Standard}}{{with .Module}}{{.Path}} {{.Version}}|{{.Dir}}{{end}}{{end}}`, program)
		c.Dir = "../../.."
		c.Env = append(os.Environ(), "GOOS="+system, "GOARCH="+arch, "CGO_ENABLED=0")
		text, err := c.Output()
		require.NoError(t, err, s)
		for _, line := range strings.Fields(strings.ReplaceAll(string(text), " ", "\x00")) {
			name, dir, _ := strings.Cut(strings.ReplaceAll(line, "\x00", " "), "|")
			out[strings.TrimSpace(name)] = dir
		}
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	require.NoError(t, err)
	out["Go's standard library"] = strings.TrimSpace(string(root))
	return out
}

// notices puts the texts together, each once, below the names of those that have it.
func notices(t *testing.T, of string, modules map[string]string) string {
	owners, order := map[string][]string{}, []string(nil)
	names := slices.Sorted(maps.Keys(modules))
	for _, name := range names {
		texts := texts(t, modules[name])
		require.NotEmpty(t, texts, "%s has no licence", name)
		for _, text := range texts {
			if owners[text] == nil {
				order = append(order, text)
			}
			owners[text] = append(owners[text], name)
		}
	}
	var b strings.Builder
	fmt.Fprintf(&b, "Licences of all that is linked into %s:\n\n  %s\n", of, strings.Join(names, "\n  "))
	if slices.ContainsFunc(names, func(n string) bool { return strings.HasPrefix(n, "github.com/golang/freetype ") }) {
		b.WriteString("\nOf the licences that freetype gives to choose from, the FreeType License is taken.\n")
	}
	for _, text := range order {
		fmt.Fprintf(&b, "\n%s\n%s\n\n%s\n", strings.Repeat("=", 80), strings.Join(owners[text], "\n"), text)
	}
	return b.String()
}

// utf8Of returns a text in UTF-8: one that is not is in Latin-1.
func utf8Of(text []byte) string {
	if utf8.Valid(text) {
		return string(text)
	}
	var b strings.Builder
	for _, c := range text {
		b.WriteRune(rune(c))
	}
	return b.String()
}

func TestNoticesAreUTF8(t *testing.T) {
	assert.True(t, utf8.ValidString(Tool))
	assert.True(t, utf8.ValidString(Site))
}

// texts returns the legal texts of a module's folder, lines ended alike.
func texts(t *testing.T, dir string) (out []string) {
	for _, pattern := range []string{"*", "*/*"} {
		paths, err := filepath.Glob(filepath.Join(dir, pattern))
		require.NoError(t, err)
		for _, p := range paths {
			rel, _ := filepath.Rel(dir, p)
			if i, err := os.Stat(p); err != nil || i.IsDir() || !legal.MatchString(filepath.ToSlash(rel)) {
				continue
			}
			text, err := os.ReadFile(p)
			require.NoError(t, err)
			lines := strings.Split(strings.ReplaceAll(utf8Of(text), "\r", ""), "\n")
			for i := range lines {
				lines[i] = strings.TrimRight(lines[i], " \t\f")
			}
			out = append(out, strings.TrimSpace(strings.Join(lines, "\n")))
		}
	}
	return out
}
