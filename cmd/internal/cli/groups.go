package cli

import "github.com/spf13/cobra"

// groups are the commands by what they are for, in the order of the help.
var groups = []struct {
	id, title string
	commands  []string
}{
	{"measure", "Your bike", []string{"mybike", "measure", "case"}},
	{"understand", "What the chain does, and why", []string{"gears", "diagnose", "shifts", "simulate", "learn", "accuracy"}},
	{"decide", "What to change", []string{"next", "chainline", "fix", "compare", "limit"}},
	{"teach", "Teach, hand over, design", []string{"page", "report", "sweep", "export"}},
	{"files", "The tool itself", []string{"version", "completion", "help"}},
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
