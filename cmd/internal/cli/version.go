package cli

import (
	"bytes"
	"fmt"
	"runtime"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"

	"chainpath/cmd/internal/licences"
	"chainpath/cmd/internal/show"
)

// Version of the tool.
const Version = show.Version

func versionText() string {
	return fmt.Sprintf("chainpath %s (%s %s/%s)", Version, runtime.Version(), runtime.GOOS, runtime.GOARCH)
}

func newVersion(s streams) *cobra.Command {
	var all bool
	c := &cobra.Command{
		Use:   "version",
		Short: "Version and licences",
		Long:  `version prints the version, and with --licences the licences of all that is linked in.`,
		Example: `  chainpath version
  chainpath version --licences`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if all {
				_, err := fmt.Fprint(s.out, licences.Tool)
				return err
			}
			_, err := fmt.Fprintln(s.out, versionText())
			return err
		},
	}
	c.Flags().BoolVar(&all, "licences", false, "print the licences of all that is linked into the tool")
	return c
}

func newManual(s streams) *cobra.Command {
	return &cobra.Command{
		Use:     "man DIR",
		Short:   "Write manual pages into a folder",
		Long:    `man writes manual pages into a folder: commands (1) and reference (7).`,
		Example: `  chainpath man /usr/local/share/man/man1`,
		Args:    cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			c.Root().DisableAutoGenTag = true
			files, order := map[string][]byte{}, []string(nil)
			if err := manuals(c.Root(), files, &order); err != nil {
				return err
			}
			topicManuals(files, &order)
			return writeFiles(args[0], files, order)
		},
	}
}

// manuals adds the manual pages of a command and those below it.
func manuals(c *cobra.Command, files map[string][]byte, order *[]string) error {
	for _, sub := range c.Commands() {
		if sub.IsAvailableCommand() && !sub.IsAdditionalHelpTopicCommand() {
			if err := manuals(sub, files, order); err != nil {
				return err
			}
		}
	}
	var b bytes.Buffer
	if err := doc.GenMan(c, &doc.GenManHeader{Title: "CHAINPATH", Section: "1", Source: "chainpath " + Version}, &b); err != nil {
		return err
	}
	name := strings.ReplaceAll(c.CommandPath(), " ", "-") + ".1"
	files[name] = b.Bytes()
	*order = append(*order, name)
	return nil
}
