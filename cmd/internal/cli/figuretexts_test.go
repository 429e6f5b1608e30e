package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// golden compares a text with a file of what was looked at.
func golden(t *testing.T, name, text string) {
	t.Helper()
	path := filepath.Join("../../../testdata/golden", name)
	if *update {
		require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), text)
}

// What the figures of every command say and how much is drawn in them, by file.
func TestGoldenFigures(t *testing.T) {
	ofText(t)
	dir := t.TempDir()
	rows := filepath.Join(dir, "rows.csv")
	code, _, errs := run("sweep", "trail", "--no-chances", "--vary", "front.line=46:56:2", "--vary", "frame.stay=420:440:5", "-q", "-o", rows)
	require.Equal(t, ExitDone, code, errs)
	words, marks := regexp.MustCompile(`<text[^>]*>([^<]*)`), regexp.MustCompile(`<(path|line|circle|rect|polyline|polygon)\b`)
	var all strings.Builder
	for i, args := range []string{
		"draw road --side 34/11", "draw single", "window trail --figures", "compare trail single --figures", "shifts trail --figures",
		"march trail --cog 51 --backwards --turns 1 --trials 5 --figures",
		"chart ROWS --x front_line_mm --z top_bend_deg --level 3", "chart ROWS --x front_line_mm --y frame_stay_mm --z top_bend_deg,stay_mm --feasible stay_mm>=0",
		"chart ROWS --front top_bend_deg:less,stay_mm:more --title Trade", "chart ROWS --effects top_bend_deg --format json",
	} {
		out := filepath.Join(dir, fmt.Sprint("out", i))
		line := strings.ReplaceAll(args, "ROWS", rows)
		switch {
		case strings.HasSuffix(args, "--figures"):
			line += " " + out
		case !strings.Contains(args, "--effects"):
			line += " -o " + out
		}
		code, printed, errs := run(fields(line)...)
		require.Equal(t, ExitDone, code, errs)
		fmt.Fprintf(&all, "== %s\n", args)
		if strings.Contains(args, "--effects") {
			all.WriteString(printed)
			continue
		}
		files, err := os.ReadDir(out)
		require.NoError(t, err)
		for _, f := range files {
			text, err := os.ReadFile(filepath.Join(out, f.Name()))
			require.NoError(t, err)
			count := map[string]int{}
			for _, m := range marks.FindAllStringSubmatch(string(text), -1) {
				count[m[1]]++
			}
			fmt.Fprintf(&all, "-- %s %v\n", f.Name(), count)
			for _, m := range words.FindAllStringSubmatch(string(text), -1) {
				fmt.Fprintln(&all, strings.TrimSpace(m[1]))
			}
			assert.Contains(t, errs, f.Name())
		}
	}
	golden(t, "figures.txt", all.String())
}

// Every help, in short.
func TestGoldenHelp(t *testing.T) {
	var all strings.Builder
	var of func(c *cobra.Command, path string)
	of = func(c *cobra.Command, path string) {
		for _, s := range c.Commands() {
			if s.Name() != "help" {
				of(s, strings.TrimSpace(path+" "+s.Name()))
			}
		}
		if path != "" && !c.IsAdditionalHelpTopicCommand() {
			_, out, _ := seeing(path + " --help")
			fmt.Fprintf(&all, "== %s\n%s", path, out)
		}
	}
	of(newRoot(streams{in: strings.NewReader("")}), "")
	golden(t, "help-all.txt", all.String())
}
