package cli

import (
	"fmt"
	"regexp"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"chainpath/cases"
)

// argumentMeanings says what each argument of a command's usage line is.
var argumentMeanings = map[string]string{
	"CASE":      "a bike file, the name of a shipped bike (chainpath case list), or - for standard input",
	"CATALOGUE": "a change list, or the name of a shipped one such as trail-parts",
	"ROWS":      "a file of rows that chainpath sweep wrote",
	"FILE":      "a file of a sweep's shard",
	"DIR":       "a folder",
}

// wrapArgs marks argument mistakes of a command and those below as usage errors, names
// a missing argument, and guesses what a misspelt command was to be.
func wrapArgs(c *cobra.Command) {
	if check := c.Args; check != nil {
		c.Args = func(c *cobra.Command, args []string) error {
			if err := check(c, args); err != nil {
				return usageError{argsError(c, args, err)}
			}
			return nil
		}
	}
	for _, sub := range c.Commands() {
		wrapArgs(sub)
	}
}

// argsError says what is wrong with a command's arguments.
func argsError(c *cobra.Command, args []string, err error) error {
	if c.HasSubCommands() && len(args) > 0 {
		return fmt.Errorf("%s: no command %q%s", c.CommandPath(), args[0], likeCommand(c, args[0]))
	}
	need := required(c)
	if len(args) < len(need) {
		name := need[len(args)]
		return fmt.Errorf("%s: %s is missing: %s", c.CommandPath(), name, argumentMeanings[name])
	}
	switch most := strings.Fields(c.Use)[1:]; {
	case len(args) <= len(most) || strings.Contains(c.Use, "..."):
	case len(most) == 0:
		return fmt.Errorf("%s: %q, want no argument", c.CommandPath(), args[0])
	default:
		return fmt.Errorf("%s: %q is an argument too many, want %s", c.CommandPath(), args[len(most)], strings.Join(most, " "))
	}
	return fmt.Errorf("%s: %w", c.CommandPath(), err)
}

// required lists the arguments that a command's usage line has outside brackets.
func required(c *cobra.Command) (out []string) {
	for _, word := range strings.Fields(c.Use)[1:] {
		if !strings.HasPrefix(word, "[") {
			out = append(out, strings.TrimSuffix(word, "..."))
		}
	}
	return out
}

// likeCommand suggests the command that a misspelt one was to be, or one of that name a level down.
func likeCommand(c *cobra.Command, name string) string {
	var names []string
	for _, sub := range c.Commands() {
		if !sub.IsAvailableCommand() {
			continue
		}
		names = append(names, sub.Name())
		for _, below := range sub.Commands() {
			if below.Name() == name && below.IsAvailableCommand() {
				return fmt.Sprintf(", did you mean \"%s %s\"?", sub.Name(), name)
			}
		}
	}
	if near := cases.Nearest(name, names); near != "" {
		return fmt.Sprintf(", did you mean %q?", near)
	}
	return fmt.Sprintf(", see %s --help", c.CommandPath())
}

var (
	unknownFlag = regexp.MustCompile(`^unknown flag: --(.+)$`)
	flagName    = regexp.MustCompile(`(?m)^\s+(?:-\w, )?--([a-z-]+)`)
)

// flagError marks a mistake in flags, and guesses what a misspelt flag was to be.
func flagError(c *cobra.Command, err error) error {
	if help, _ := c.Flags().GetBool("help"); help && err.Error() == "unknown flag: --all" { // the whole of a help
		return pflag.ErrHelp
	}
	m := unknownFlag.FindStringSubmatch(err.Error())
	if m == nil {
		return usagef("%s: %w", c.CommandPath(), err)
	}
	var names []string
	for _, f := range flagName.FindAllStringSubmatch(c.Flags().FlagUsages(), -1) {
		names = append(names, f[1])
	}
	if near := cases.Nearest(m[1], names); near != "" {
		return usagef("%s: %w, did you mean --%s?", c.CommandPath(), err, near)
	}
	return usagef("%s: %w, see %s --help", c.CommandPath(), err, c.CommandPath())
}
