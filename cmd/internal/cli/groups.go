package cli

import "github.com/spf13/cobra"

// groups are the commands by what they are for, in the order of the help.
var groups = []struct {
	id, title string
	commands  []string
}{
	{"measure", "Measure: readings into numbers of a case", []string{"mybike", "line", "slack", "bench", "defaults"}},
	{"understand", "Understand: what the chain does, and why", []string{"gears", "shifts", "diagnose", "learn", "march", "budget"}},
	{"decide", "Decide: what to change, or to try first", []string{"window", "parts", "compare", "next"}},
	{"design", "Design: many bicycles at once, and CAD", []string{"sweep", "chart", "export"}},
	{"teach", "Teach and hand over", []string{"page", "report", "draw"}},
	{"files", "Files and the tool itself", []string{"cases", "check", "schema", "version", "man", "completion", "help"}},
}

// grouped puts every command into its group; one that none names is a mistake of ours.
func grouped(root *cobra.Command) {
	of := map[string]string{}
	for _, g := range groups {
		root.AddGroup(&cobra.Group{ID: g.id, Title: g.title})
		for _, name := range g.commands {
			of[name] = g.id
		}
	}
	for _, c := range root.Commands() {
		if !c.IsAdditionalHelpTopicCommand() {
			c.GroupID = of[c.Name()]
		}
	}
	root.SetHelpCommandGroupID("files")
	root.SetCompletionCommandGroupID("files")
}
