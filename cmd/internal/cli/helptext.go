package cli

import (
	"strings"

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

Options:
{{flags .LocalFlags}}{{with loads .LocalFlags}}

Load, instead of the bike file's:
{{.}}{{end}}{{end}}{{if .HasHelpSubCommands}}

Topics:{{range .Commands}}{{if .IsAdditionalHelpTopicCommand}}
{{entry .CommandPath .Short .CommandPathPadding}}{{end}}{{end}}{{end}}{{if .HasAvailableSubCommands}}

{{prose (printf "%s [command] --help says more of one." .CommandPath)}}{{end}}
`

func init() {
	cobra.AddTemplateFunc("prose", show.Prose)
	cobra.AddTemplateFunc("entry", entry)
	cobra.AddTemplateFunc("example", show.Command)
	cobra.AddTemplateFunc("flags", func(f *pflag.FlagSet) string { return flagLines(f, false) })
	cobra.AddTemplateFunc("loads", func(f *pflag.FlagSet) string { return flagLines(f, true) })
}

// entry is a name with what it is, wrapped beside it.
func entry(name, short string, padding int) string {
	return show.SideBySide("  "+name+strings.Repeat(" ", max(0, padding-len(name)))+" ", short)
}

// ofLoad marks the options of the load, which help lists together.
const ofLoad = "load"

// flagLines lists options, those of the load or the others: the name, then what it is, wrapped
// beside or below it.
func flagLines(f *pflag.FlagSet, load bool) string {
	var out []string
	f.VisitAll(func(f *pflag.Flag) {
		if _, is := f.Annotations[ofLoad]; !f.Hidden && is == load {
			out = append(out, flagLine(f))
		}
	})
	return strings.Join(out, "\n")
}

// flagLine is one option.
func flagLine(f *pflag.Flag) string {
	const at = 24
	kind, usage := pflag.UnquoteUsage(f)
	name := "      --" + f.Name
	if f.Shorthand != "" {
		name = "  -" + f.Shorthand + ", --" + f.Name
	}
	if kind = kinds[kind]; kind != "" {
		name += " " + kind
	}
	if d := f.DefValue; d != "" && d != "false" && d != "[]" && d != "0" {
		usage += " (default " + strings.Trim(d, "[]") + ")"
	}
	if len(name)+2 > at {
		return name + "\n" + show.SideBySide(strings.Repeat(" ", at), usage)
	}
	return show.SideBySide(name+strings.Repeat(" ", at-len(name)), usage)
}

// kinds are what stands behind an option's name, by its type.
var kinds = map[string]string{
	"string": "TEXT", "strings": "LIST", "stringArray": "TEXT", "stringToString": "LIST", "float64Slice": "LIST", "int": "N", "uint": "N", "float": "N",
}

// widest and narrowest are how wide a terminal's lines are used, characters.
const (
	widest    = 200
	narrowest = 60
)
