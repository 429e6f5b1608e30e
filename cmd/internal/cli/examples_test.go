package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
)

// shorter makes what an example shows quick enough for a test.
var shorter = strings.NewReplacer("--draws 20000", "--draws 200", "--trials 200", "--trials 2", "sobol:4096", "sobol:16", "46:56:0.25", "46:56:5", "420:450:1", "420:450:15", "0:140:5", "0:140:70", "chainline road", "chainline single")

// smaller are lighter bicycles for examples that take seconds; CI runs those as they stand.
var smaller = strings.NewReplacer("draw road --out figures --image png,pdf --side 34/11,50/28", "draw after.yaml --out figures --image png,pdf --side 34/13,48/28",
	"draw trail", "draw single", "gears bike.yaml --all --figures", "gears after.yaml --all --figures", "accuracy trail", "accuracy single", "report trail -o trail.html --parts", "report after.yaml -o trail.html --parts", "fix bike.yaml", "fix after.yaml", "fix trail", "fix after.yaml", "next trail trail-parts", "next after.yaml trail-parts")

// elsewhere are examples that cannot run in a test, and why.
var elsewhere = map[string]string{
	"chainpath page":                          "serves until it is stopped",
	"chainpath page --export site":            "compiles the engine: a script does that",
	"chainpath mybike":                        "asks: a script answers",
	"chainpath man /usr/local/share/man/man1": "a folder of the system",
}

// weighty begin examples that take a second or more and whose commands golden files and scripts
// run too: CI runs them.
var weighty = []string{"chainpath report ", "chainpath draw road ", "chainpath diagnose ", "chainpath fix ", "chainpath chainline trail", "chainpath next ", "chainpath learn --shop ", "chainpath learn bike.yaml --from shop.yaml"}

var word = regexp.MustCompile(`'[^']*'|"[^"]*"|[^\s'"]+`)

// words splits a command line as a shell does: quotes, and file names by pattern.
func words(t *testing.T, line string) (out []string) {
	for _, w := range word.FindAllString(line, -1) {
		if q := strings.Trim(w, `'"`); q != w {
			out = append(out, q)
			continue
		}
		if strings.Contains(w, "*") {
			if list, err := filepath.Glob(w); err == nil && len(list) > 0 {
				out = append(out, list...)
				continue
			}
		}
		out = append(out, w)
	}
	return out
}

// Every example of every help runs as it stands, in a folder with the files it names.
func TestEveryExampleRuns(t *testing.T) {
	if testing.Short() {
		t.Skip("some fifty commands")
	}
	testdata, err := filepath.Abs("../../../testdata")
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	text := func(name string) []byte {
		b, err := cases.ShippedText(name)
		require.NoError(t, err)
		return b
	}
	require.NoError(t, os.Mkdir("bikes", 0o755))
	of := func(path string) []byte {
		b, err := os.ReadFile(filepath.Join(testdata, path))
		require.NoError(t, err)
		return b
	}
	for file, data := range map[string][]byte{
		"bike.yaml": text("trail"), "before.yaml": text("single"), "after.yaml": of("small.yaml"), "changes.yaml": text("trail-parts"),
		"bikes/lane.yaml": of("shop/lane.yaml"), "bikes/mill.yaml": of("shop/mill.yaml"),
		"plan.yaml": []byte("chainpath_sweep: 1\nvary:\n  - {path: front.line, from: 46, to: 50, step: 0.5}\n"),
	} {
		require.NoError(t, os.WriteFile(file, data, 0o644))
	}
	root := newRoot(streams{in: strings.NewReader(""), out: new(bytes.Buffer), err: new(bytes.Buffer)})
	ran := 0
	var all func(c *cobra.Command)
	all = func(c *cobra.Command) {
		for _, line := range strings.Split(strings.TrimSpace(c.Example), "\n") {
			line = strings.TrimSpace(line)
			if line == "" || elsewhere[line] != "" {
				continue
			}
			ran++
			if !long && slices.ContainsFunc(weighty, func(begin string) bool { return strings.HasPrefix(line, begin) }) {
				continue
			}
			line = shorter.Replace(line)
			if !long {
				line = smaller.Replace(line)
			}
			runExample(t, line)
		}
		if c.Runnable() && !c.HasSubCommands() && c.Name() != "help" && c.Parent() != nil && c.Parent().Name() != "completion" {
			assert.NotEmpty(t, c.Example, "%s has an example", c.CommandPath())
		}
		for _, s := range c.Commands() {
			if s.Name() == "chart" { // from the rows of its own example's columns
				runExample(t, "chainpath sweep after.yaml --vary front.line=46:50:4 --vary frame.stay=420:440:20 --vary chain.slack=0.6,1.2 -o rows.csv --window")
			}
			if !s.IsAdditionalHelpTopicCommand() {
				all(s)
			}
		}
	}
	for _, c := range root.Commands() { // what others read is made first
		if c.Name() == "sweep" {
			for i := range 8 {
				runExample(t, strings.ReplaceAll("chainpath sweep trail --plan plan.yaml --shard N/8 -o part-N.csv", "N", string(rune('0'+i))))
			}
			runExample(t, "chainpath sweep full-suspension --vary frame.travel=0:140:70 -o travel.csv")
		}
	}
	all(root)
	assert.Greater(t, ran, 40)
}

// onlyPrints are commands that write no file where none is named: what other tests have seen of
// them is not computed again.
var onlyPrints = map[string]bool{"gears": true, "window": true, "diagnose": true, "compare": true, "parts": true, "next": true, "shifts": true, "defaults": true, "check": true}

// runExample runs a line; parts behind | get what the part before printed, > writes a file.
func runExample(t *testing.T, line string) {
	t.Helper()
	in := ""
	for _, part := range strings.Split(line, " | ") {
		part, file, redirected := strings.Cut(part, " > ")
		args := words(t, part)
		require.Equal(t, "chainpath", args[0], line)
		for i, a := range args { // rows are made anew
			if a == "-o" && strings.HasSuffix(args[i+1], ".csv") {
				_ = os.Remove(args[i+1])
				_ = os.Remove(args[i+1] + ".id")
			}
		}
		code, out, errs := 0, "", ""
		if in == "" && len(args) > 1 && onlyPrints[args[1]] && !strings.ContainsAny(strings.Join(args, ""), " ./{") && !strings.Contains(part, "--figures") {
			code, out, errs = seeing(strings.Join(args[1:], " "))
		} else {
			var o, e bytes.Buffer
			code = Main(args[1:], strings.NewReader(in), &o, &e)
			out, errs = o.String(), e.String()
		}
		assert.Contains(t, []int{ExitDone, ExitVerdict}, code, "%s: %s", line, errs)
		in = out
		if redirected {
			require.NoError(t, os.WriteFile(strings.TrimSpace(file), []byte(out), 0o644))
		}
	}
}
