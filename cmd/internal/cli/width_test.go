package cli

import (
	"bytes"
	"cmp"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/cmd/internal/reference"
)

// tooWide returns the lines of a text that do not fit 80 columns.
func tooWide(text string) (lines []string) {
	for _, line := range strings.Split(text, "\n") {
		if utf8.RuneCountInString(line) > 80 {
			lines = append(lines, line)
		}
	}
	return lines
}

// nowCalled are commands by the names that they had.
var nowCalled = map[string]string{"window": "chainline", "budget": "accuracy", "parts": "fix", "march": "simulate", "line": "measure", "slack": "measure", "bench": "measure", "cases": "case"}

// What is printed for people fits 80 columns, where no terminal says otherwise.
func TestEverythingFitsEightyColumns(t *testing.T) {
	ofText(t)
	var list []string
	for _, name := range cases.Shipped() {
		list = append(list, "gears "+name, "gears "+name+" --why", "check "+name)
		if long {
			list = append(list, "window "+name, "window "+name+" --map")
		}
		if name != "single" && name != "single-tensioner" && name != "fixed" && name != "timing-chain" {
			list = append(list, "shifts "+name)
		}
	}
	names := []string{"trail", small, "single"}
	if long {
		names = append(names, "tourer", "double-cage")
		list = append(list, "parts trail trail-parts --complaint backwards")
		list = append(list, "learn --shop /dev/null "+shop)
	}
	for _, name := range names {
		list = append(list, "next "+name, "budget "+name+" --draws 100", "learn "+name+" --seen */*:quiet")
	}
	list = append(list,
		"window single", "window "+small+" --map", "cases trail", "parts "+small+" trail-parts --complaint backwards --top 5", "compare trail trail-short", "compare trail road tourer",
		"march trail --cog 51 --backwards --turns 0.4 --trials 3", "march road --ring 50 --cog 28 --turns 0.3", "march tourer --ring 48 --cog 32 --backwards --turns 0.3",
		"cases", "diagnose trail", "defaults", "defaults --speeds 1", "defaults --unknowns", "learn --shop /dev/null "+two,
		"line front --tube-width 48.6 --gap 29.9±0.7", "line front --tube-width 34 --reading 23.65±0.3 --reading 31.15±0.3 --face outer --thickness 1.8", "line rear --dropouts 147.5 --stack 42.6 --protrusion 0.9 --gap 4.9±0.2",
		"slack --links 12 --sag 15 --links 30 --sag 160 --mass 2.3", "bench stiffness --tilt 15 --mass 10 --aside 16 --slack 0.7",
		"bench twist --turn 28", "bench widths --inner 2.19 --plate 0.81 --over-plates 5.5 --over-rivets 5.62 --cog-tip 0.9", "bench hanger --bottom-top 6 --front-back -2",
		"limit trail front.line", "limit "+small+" frame.stay", "version", "help words")
	for _, topic := range reference.Topics {
		list = append(list, "help "+topic)
	}
	dir := t.TempDir()
	rows := filepath.Join(dir, "rows.csv")
	list = append(list, // what writes files says what it wrote
		"sweep trail --vary front.line=48:54:2 --vary chain.slack=0.6,1.5 -o "+rows, "chart "+rows+" --effects top_bend_deg",
		"mybike --rings 30 --cogs 11-42 --speeds 11 --front ~51 --rear {axle_148} -o "+filepath.Join(dir, "mine.yaml"),
		"mybike --rings 42 --cogs 18 -o "+filepath.Join(dir, "single.yaml"))
	for _, args := range list {
		show := seeing
		if strings.Contains(args, dir) {
			show = func(args string) (int, string, string) { return run(fields(args)...) }
		}
		code, out, errs := show(args)
		require.Equal(t, ExitDone, code, "%s: %s", args, errs)
		if strings.HasPrefix(args, "cases ") { // a file, as it stands
			continue
		}
		assert.Empty(t, tooWide(strings.ReplaceAll(out, dir, ".")), args)
		assert.Empty(t, tooWide(strings.ReplaceAll(errs, dir, ".")), args)
	}
	ran := map[string]bool{}
	for _, args := range list {
		name := strings.Fields(args)[0]
		ran[cmp.Or(nowCalled[name], name)] = true
	}
	for _, c := range newRoot(streams{in: strings.NewReader(""), out: new(bytes.Buffer), err: new(bytes.Buffer)}).Commands() {
		if why := unmeasured[c.Name()]; why == "" && c.IsAvailableCommand() && !c.IsAdditionalHelpTopicCommand() {
			assert.True(t, ran[c.Name()], "%s is looked at", c.Name())
		}
	}
}

// unmeasured are commands whose output is no text for people, and what it is.
var unmeasured = map[string]string{
	"draw": "names of files", "export": "files", "report": "a file", "page": "an address", "man": "names of files",
	"schema": "JSON", "completion": "a script for a shell",
}

// fields splits a command line at blanks; {} hold a word together, with _ for a blank.
func fields(args string) (list []string) {
	for _, w := range strings.Fields(args) {
		if in, ok := strings.CutPrefix(w, "{"); ok {
			w = strings.ReplaceAll(strings.TrimSuffix(in, "}"), "_", " ")
		}
		list = append(list, w)
	}
	return list
}

// The answer stands first, then its table, then what it rests on.
func TestAnswersStandFirst(t *testing.T) {
	ofText(t)
	for args, order := range map[string][]string{
		"gears trail":               {"You told us", "Why:", "gear", "32/51", "Next: chainpath chainline trail"},
		"gears road --all":          {"will probably", "gear", "onto: when riding", "ratio", "Why", "No standard says"},
		"chainline trail":           {"With the chainring", "chainline", "best", "today", "Under each fault"},
		"compare trail trail-short": {"No other set-up helps", "set-up", "2 against 1", "Under each fault"},
		"fix trail":                 {"You told us", "Make this change", "change", "worth beyond", "Check with the makers", "Next: chainpath chainline trail"},
		"fix trail trail-parts --complaint backwards": {"Best:", "changes", "as it is", "Check with the makers"},
		"accuracy trail --draws 100":                  {"Every chain angle is known", "reading", "front.measured.gap", "draws"},
		"learn --shop /dev/null " + two:               {"Log loss: less is better", "yes/all"},
	} {
		code, out, errs := seeing(args)
		require.Equal(t, ExitDone, code, errs)
		at := 0
		for _, what := range order {
			i := strings.Index(out[at:], what)
			require.GreaterOrEqual(t, i, 0, "%s: %q after what comes before it\n%s", args, what, out)
			at += i
		}
	}
}

// Beside every gear stands what goes wrong there with its chance, or a dash.
func TestFaultsStandBesideTheirGear(t *testing.T) {
	code, out, _ := run("gears", "trail")
	require.Equal(t, ExitDone, code)
	for _, want := range []string{`32/51 .* noise 56 % +drop 70 %`, `32/44 .* noise 20 % +drop 35 %`, `32/24 .* - +-`} {
		assert.Regexp(t, want, out)
	}
}

// Mistakes are wrapped on a terminal, and stay a line each in a pipe.
func TestComplaints(t *testing.T) {
	long := "bike.yaml:3:4: " + strings.Repeat("word ", 30) + "end"
	var b bytes.Buffer
	complain(&b, long, 0)
	assert.Equal(t, "chainpath: "+long+"\n", b.String())
	b.Reset()
	complain(&b, long, 80)
	assert.Empty(t, tooWide(b.String()))
	assert.Equal(t, strings.Fields("chainpath: "+long), strings.Fields(b.String()))
	assert.Zero(t, widthOf(&b))
}

// A command's help fits one screen of a small terminal, says the cautions and names every option;
// with --all it is whole. The list of commands is the root's.
func TestEveryHelpFitsOneScreen(t *testing.T) {
	var all func(c *cobra.Command, path string)
	commands := 0
	all = func(c *cobra.Command, path string) {
		for _, s := range c.Commands() {
			if !s.IsAdditionalHelpTopicCommand() && s.Name() != "help" {
				all(s, strings.TrimSpace(path+" "+s.Name()))
			}
		}
		if path == "" {
			return
		}
		commands++
		code, short, errs := seeing(path + " --help")
		require.Equal(t, ExitDone, code, errs)
		assert.LessOrEqual(t, strings.Count(short, "\n"), 24, path+"\n"+short)
		code, asTopic, errs := seeing("help " + path)
		require.Equal(t, ExitDone, code, errs)
		assert.Equal(t, short, asTopic)
		code, whole, errs := seeing(path + " --help --all")
		require.Equal(t, ExitDone, code, errs)
		assert.Empty(t, tooWide(whole), path)
		assert.Contains(t, plain(whole), plain(c.Long), path)
		c.LocalFlags().VisitAll(func(f *pflag.Flag) {
			if !f.Hidden && f.Name != "help" {
				assert.Regexp(t, `--`+f.Name+`\b`, short, path)
				assert.Contains(t, plain(whole), plain(f.Usage), path)
			}
		})
		for _, example := range strings.Split(strings.TrimSpace(c.Example), "\n") {
			assert.Contains(t, strings.ReplaceAll(plain(short), `\ `, ""), plain(example), path)
		}
		for _, paragraph := range strings.Split(c.Long, "\n\n") {
			if strings.Contains(paragraph, "hurts") || strings.Contains(paragraph, "may break") || strings.Contains(paragraph, "fingers") {
				assert.Contains(t, plain(short), plain(paragraph), "cautions of %s stay", path)
			}
		}
	}
	all(newRoot(streams{in: strings.NewReader(""), out: new(bytes.Buffer), err: new(bytes.Buffer)}), "")
	assert.Greater(t, commands, 30)
	code, _, errs := seeing("sweep trail --all")
	assert.Equal(t, ExitBadInput, code)
	assert.Contains(t, errs, "unknown flag: --all")
}

// Every help text fits eighty columns.
func TestEveryHelpFitsEightyColumns(t *testing.T) {
	var all func(c *cobra.Command, path string)
	all = func(c *cobra.Command, path string) {
		code, out, errs := run(append(strings.Fields(path), "--help")...)
		require.Equal(t, ExitDone, code, errs)
		assert.Empty(t, tooWide(out), path)
		for _, s := range c.Commands() {
			if !s.IsAdditionalHelpTopicCommand() && s.Name() != "help" {
				all(s, path+" "+s.Name())
			}
		}
	}
	root := newRoot(streams{in: strings.NewReader(""), out: new(bytes.Buffer), err: new(bytes.Buffer)})
	all(root, "")
	for _, c := range root.Commands() {
		if c.IsAvailableCommand() && !c.IsAdditionalHelpTopicCommand() {
			assert.NotEmpty(t, c.GroupID, "%s stands in a group", c.Name())
		}
	}
}
