package cli

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"chainpath/cmd/internal/say"
	"chainpath/cmd/internal/show"
)

// helpLines is how many lines a command's help has at most, those of a small terminal; --help --all
// prints the whole.
const helpLines = 24

// rareFlags are shown where there is room left, beside those of the load.
var rareFlags = strings.Fields("along class customer date effort events exact image level map most one-chain paper places plan ref rows seed shop side title top trial weight workers")

// shortHelp prints of every command's help, and of the list of commands, as much as one screen holds,
// and the whole with --all; topics are whole.
func shortHelp(root *cobra.Command) {
	whole := root.HelpFunc()
	root.SetHelpFunc(func(c *cobra.Command, args []string) {
		switch {
		case c.IsAdditionalHelpTopicCommand(), slices.Contains(args, "--all"):
			whole(c, args)
		case c.HasParent():
			fmt.Fprint(c.OutOrStdout(), helpScreen(c))
		default:
			fmt.Fprint(c.OutOrStdout(), rootScreen(c))
		}
	})
}

// rootScreen is every command by what it is for, the topics and the caution.
func rootScreen(root *cobra.Command) string {
	lines := []string{show.Prose(root.Short + ". More: chainpath help COMMAND or TOPIC")}
	for _, g := range groups {
		for _, name := range g.commands {
			if c, _, err := root.Find([]string{name}); err == nil && c.IsAvailableCommand() && c.Name() != "help" {
				lines = append(lines, entry(name, c.Short, c.NamePadding()))
			}
		}
	}
	topics := "Topics:"
	for _, c := range root.Commands() {
		if c.IsAdditionalHelpTopicCommand() {
			topics += " " + c.Name()
		}
	}
	return strings.Join(append(lines, show.Prose(topics), show.Prose(say.Safety("chainpath"))), "\n") + "\n"
}

// helpScreen is what a command is for, how it is typed, two examples, and what fits of sketches and
// options, the usual ones first; the rest by name.
func helpScreen(c *cobra.Command) string {
	long := c.Long
	if long == "" {
		long = c.Short
	}
	h := &helpText{c: c, paragraphs: strings.Split(show.Prose(long), "\n\n"), shown: map[string]bool{}}
	for i := range h.paragraphs {
		h.try(func() { h.prose = append(h.prose, i) }, func() { h.prose = h.prose[:len(h.prose)-1] })
	}
	for _, f := range byUse(c) {
		h.try(func() { h.shown[f.Name] = true }, func() { delete(h.shown, f.Name) })
		if !h.shown[f.Name] {
			break
		}
	}
	return h.String()
}

// byUse are a command's options, those of its examples first, then all but the rare ones, and these;
// the load's have a place in the whole help.
func byUse(c *cobra.Command) []*pflag.Flag {
	var ranks [3][]*pflag.Flag
	at := map[string]int{}
	c.LocalFlags().VisitAll(func(f *pflag.Flag) {
		_, load := f.Annotations[ofLoad]
		if !told(f) || load {
			return
		}
		at[f.Name] = strings.Index(c.Example+" ", " --"+f.Name+" ")
		if at[f.Name] < 0 && f.Shorthand != "" {
			at[f.Name] = strings.Index(c.Example, " -"+f.Shorthand+" ")
		}
		rank := 1
		switch {
		case at[f.Name] >= 0:
			rank = 0
		case slices.Contains(rareFlags, f.Name):
			rank = 2
		}
		ranks[rank] = append(ranks[rank], f)
	})
	slices.SortStableFunc(ranks[0], func(a, b *pflag.Flag) int { return at[a.Name] - at[b.Name] })
	return slices.Concat(ranks[:]...)
}

// told reports whether help tells of an option.
func told(f *pflag.Flag) bool { return !f.Hidden && f.Name != "help" }

// helpText is a help that is being put together.
type helpText struct {
	c          *cobra.Command
	paragraphs []string
	prose      []int           // which of them it has
	shown      map[string]bool // options
}

// try does what adds to the text, and undoes it where that is too long then; the first paragraph
// stays.
func (h *helpText) try(do, undo func()) {
	do()
	if strings.Count(h.String(), "\n") > helpLines && len(h.prose)+len(h.shown) > 1 {
		undo()
	}
}

// String is the text as it is then.
func (h *helpText) String() string {
	var blocks []string
	for _, i := range h.prose {
		blocks = append(blocks, h.paragraphs[i])
	}
	var usage []string
	if h.c.Runnable() {
		usage = append(usage, "Usage: "+h.c.UseLine())
	}
	if h.c.HasAvailableSubCommands() {
		usage = append(usage, []string{"Usage: ", "       "}[len(usage)]+h.c.CommandPath()+" [command]")
	}
	blocks = append(blocks, strings.Join(usage, "\n"))
	if h.c.HasExample() {
		blocks = append(blocks, "Examples:\n"+show.Command(h.c.Example))
	}
	if h.c.HasAvailableSubCommands() {
		list := "Commands:"
		for _, sub := range h.c.Commands() {
			if sub.IsAvailableCommand() {
				list += "\n" + entry(sub.Name(), sub.Short, sub.NamePadding())
			}
		}
		blocks = append(blocks, list)
	}
	return strings.Join(append(blocks, h.options()...), "\n\n") + "\n"
}

// options are the options that are shown, and the names of the others.
func (h *helpText) options() (blocks []string) {
	var lines, names []string
	h.c.LocalFlags().VisitAll(func(f *pflag.Flag) {
		switch {
		case !told(f):
		case h.shown[f.Name]:
			lines = append(lines, flagLine(f))
		default:
			names = append(names, "--"+f.Name)
		}
	})
	whole := h.c.CommandPath() + " --help --all"
	switch {
	case len(names) > 0:
		lines = append(lines, show.Wrap("More: "+strings.Join(names, ", ")+". All of it: "+whole, show.Columns))
	case len(h.prose) < len(h.paragraphs):
		lines = append(lines, "All of it: "+whole)
	case len(lines) == 0:
		return nil
	}
	if len(h.shown) > 0 {
		lines = append([]string{"Options:"}, lines...)
	}
	return []string{strings.Join(lines, "\n")}
}
