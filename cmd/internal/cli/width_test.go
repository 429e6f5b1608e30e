package cli

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/spf13/cobra"
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

// What is printed for people fits 80 columns, where no terminal says otherwise.
func TestEverythingFitsEightyColumns(t *testing.T) {
	var list []string
	for _, name := range cases.Shipped() {
		list = append(list, "gears "+name, "gears "+name+" --why", "window "+name, "window "+name+" --map", "check "+name)
		if name != "single" && name != "single-tensioner" {
			list = append(list, "shifts "+name)
		}
	}
	for _, name := range []string{"trail", "tourer", "single", "double-cage"} {
		list = append(list, "next "+name, "budget "+name+" --draws 100", "learn "+name+" --seen */*:quiet", "cases "+name)
	}
	list = append(list,
		"parts trail trail-parts", "parts trail trail-parts --complaint backwards --top 5", "compare trail trail-short", "compare trail road tourer",
		"march trail --cog 51 --backwards --turns 0.4 --trials 3", "march road --ring 50 --cog 28 --turns 0.3", "march tourer --ring 48 --cog 32 --backwards --turns 0.3",
		"cases", "diagnose trail", "defaults", "defaults --speeds 1", "defaults --unknowns", "learn --shop /dev/null "+shop,
		"line front --tube-width 48.6 --gap 29.9±0.7", "line front --tube-width 34 --reading 23.65±0.3 --reading 31.15±0.3 --face outer --thickness 1.8", "line rear --dropouts 147.5 --stack 42.6 --protrusion 0.9 --gap 4.9±0.2",
		"slack --links 12 --sag 15 --links 30 --sag 160 --mass 2.3", "bench stiffness --tilt 15 --mass 10 --aside 16 --slack 0.7",
		"bench twist --turn 28", "bench widths --inner 2.19 --plate 0.81 --over-plates 5.5 --over-rivets 5.62 --cog-tip 0.9", "bench hanger --bottom-top 6 --front-back -2",
		"version", "help words")
	for _, topic := range reference.Topics {
		list = append(list, "help "+topic)
	}
	for _, args := range list {
		code, out, errs := run(strings.Fields(args)...)
		require.Equal(t, ExitDone, code, "%s: %s", args, errs)
		if strings.HasPrefix(args, "cases ") { // a file, as it stands
			continue
		}
		assert.Empty(t, tooWide(out), args)
		assert.Empty(t, tooWide(errs), args)
	}
}

// So does every help text.
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
