package cli

import (
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"chainpath/cmd/internal/show"
)

// helpTemplate is cobra's, with texts and flags wrapped to the columns there are.
const helpTemplate = `{{prose (or .Long .Short)}}

{{if or .Runnable .HasSubCommands}}{{.UsageString}}{{end}}`

const usageTemplate = `Usage:{{if .Runnable}}
  {{.UseLine}}{{end}}{{if .HasAvailableSubCommands}}
  {{.CommandPath}} [command]{{end}}{{if .HasExample}}

Examples:
{{example .Example}}{{end}}{{if .HasAvailableSubCommands}}{{$list := .Commands}}{{range $g := .Groups}}

{{$g.Title}}{{range $list}}{{if and (eq .GroupID $g.ID) .IsAvailableCommand}}
{{entry .Name .Short .NamePadding}}{{end}}{{end}}{{end}}{{if not .AllChildCommandsHaveGroup}}

{{if .Groups}}More{{else}}Available Commands:{{end}}{{range $list}}{{if and (eq .GroupID "") .IsAvailableCommand}}
{{entry .Name .Short .NamePadding}}{{end}}{{end}}{{end}}{{end}}{{if .HasAvailableLocalFlags}}

Flags:
{{flags .LocalFlags}}{{end}}{{if .HasHelpSubCommands}}

Topics:{{range .Commands}}{{if .IsAdditionalHelpTopicCommand}}
{{entry .CommandPath .Short .CommandPathPadding}}{{end}}{{end}}{{end}}{{if .HasAvailableSubCommands}}

{{prose (printf "%s [command] --help says more of one." .CommandPath)}}{{end}}
`

func init() {
	cobra.AddTemplateFunc("prose", prose)
	cobra.AddTemplateFunc("entry", entry)
	cobra.AddTemplateFunc("example", example)
	cobra.AddTemplateFunc("flags", flagLines)
}

// prose wraps the paragraphs of a text that have a line too long. Lines that are set in are
// sketches and lists, and stay.
func prose(s string) string {
	paragraphs := strings.Split(strings.TrimRight(s, "\n"), "\n\n")
	for i, p := range paragraphs {
		long, in := false, false
		for _, line := range strings.Split(p, "\n") {
			long = long || utf8.RuneCountInString(line) > show.Columns
			in = in || strings.HasPrefix(line, " ")
		}
		if long && !in {
			paragraphs[i] = show.Wrap(p, show.Columns)
		}
	}
	return strings.Join(paragraphs, "\n\n")
}

// example breaks command lines that are too long before a flag, as a shell takes them.
func example(s string) string {
	lines := strings.Split(s, "\n")
	for i, line := range lines {
		parts := strings.Split(line, " --")
		out, n := parts[0], utf8.RuneCountInString(parts[0])
		for _, p := range parts[1:] {
			long := utf8.RuneCountInString(p) + 3
			if n+long+2 > show.Columns {
				out, n = out+" \\\n     ", 5
			}
			out, n = out+" --"+p, n+long
		}
		lines[i] = out
	}
	return strings.Join(lines, "\n")
}

// entry is a name with what it is, wrapped beside it.
func entry(name, short string, padding int) string {
	return sideBySide("  "+name+strings.Repeat(" ", max(0, padding-len(name)))+" ", short)
}

// flagLines lists flags: the name, then what it is, wrapped beside or below it.
func flagLines(f *pflag.FlagSet) string {
	const at = 24
	var out []string
	f.VisitAll(func(f *pflag.Flag) {
		if f.Hidden {
			return
		}
		kind, usage := pflag.UnquoteUsage(f)
		name := "      --" + f.Name
		if f.Shorthand != "" {
			name = "  -" + f.Shorthand + ", --" + f.Name
		}
		if kind != "" {
			name += " " + kind
		}
		if d := f.DefValue; d != "" && d != "false" && d != "[]" && d != "0" {
			usage += " (default " + strings.Trim(d, "[]") + ")"
		}
		if len(name)+2 > at {
			out = append(out, name)
			name = ""
		}
		out = append(out, sideBySide(name+strings.Repeat(" ", at-len(name)), usage))
	})
	return strings.Join(out, "\n")
}

// sideBySide sets a text to the right of a head, its further lines under its first.
func sideBySide(head, text string) string {
	n := utf8.RuneCountInString(head)
	return head + strings.ReplaceAll(show.Wrap(text, max(20, show.Columns-n)), "\n", "\n"+strings.Repeat(" ", n))
}

// widest and narrowest are how wide a terminal's lines are used, characters.
const (
	widest    = 200
	narrowest = 60
)
