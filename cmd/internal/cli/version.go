package cli

import (
	"fmt"
	"os"
	"runtime"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"
)

// Version of the tool.
const Version = "0.1.0"

func newVersion(s streams) *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Version of the tool",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			_, err := fmt.Fprintf(s.out, "chainpath %s (%s %s/%s)\n", Version, runtime.Version(), runtime.GOOS, runtime.GOARCH)
			return err
		},
	}
}

func newManual(s streams) *cobra.Command {
	return &cobra.Command{
		Use:     "man DIR",
		Short:   "Write manual pages into a folder",
		Example: "  chainpath man /usr/local/share/man/man1",
		Args:    cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			if err := os.MkdirAll(args[0], 0o755); err != nil {
				return err
			}
			root := c.Root()
			root.DisableAutoGenTag = true
			return doc.GenManTree(root, &doc.GenManHeader{Title: "CHAINPATH", Section: "1", Source: "chainpath " + Version}, args[0])
		},
	}
}
