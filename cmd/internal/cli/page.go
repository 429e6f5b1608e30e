package cli

import (
	"context"
	"errors"
	"fmt"
	"os/exec"
	"runtime"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/page"
)

func newPage(s streams) *cobra.Command {
	var export, source string
	var port int
	var quiet bool
	c := &cobra.Command{
		Use:   "page",
		Short: "The interactive page, in your browser",
		Long: `page serves the interactive page on this machine alone (127.0.0.1) and opens it in the browser.
Nothing that you type leaves the machine. Ctrl-C ends it. --export writes the page as a static
site, which computes in the browser; unless released, this needs Go and the source: help site.`,
		Example: `  chainpath page
  chainpath page --export site`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if export != "" {
				return exportPage(s, export, source)
			}
			if c.Flags().Changed("source") {
				return usagef("--source is for --export")
			}
			if port < 0 || port > 65535 {
				return usagef("--port %d is out of range, want 0 to 65535", port)
			}
			return page.Serve(s.stoppable(), port, func(address string) {
				fmt.Fprintln(s.out, address)
				if !quiet {
					openBrowser(address)
				}
			})
		},
	}
	c.Flags().StringVar(&export, "export", "", "folder to write the static site into, instead of serving it")
	c.Flags().StringVar(&source, "source", "", "folder of chainpath's source, to compile the site's engine of")
	c.Flags().IntVar(&port, "port", 8421, "port on loopback; 0: any that is free")
	c.Flags().BoolVar(&quiet, "no-browser", false, "do not open the browser")
	return c
}

// exportPage writes the static site.
func exportPage(s streams, dir, source string) error {
	e, err := page.Compile(s.stoppable(), source, func(words string) { fmt.Fprintln(s.err, words) })
	switch {
	case errors.Is(err, page.ErrNoSource):
		return usagef("%v", err)
	case errors.Is(err, context.Canceled):
		return errStopped
	case err != nil:
		return err
	}
	files, order := page.Site(e)
	if err := writeFiles(dir, files, order); err != nil {
		return err
	}
	_, err = fmt.Fprintf(s.out, "%d files in %s; a browser loads %.2f MB, compressed\n", len(order), cases.Printable(dir), float64(page.Size(files))/1e6)
	return err
}

// openBrowser asks the system to open an address; where it cannot, the printed
// address has to do.
func openBrowser(address string) {
	name, args := "xdg-open", []string{address}
	switch runtime.GOOS {
	case "darwin":
		name = "open"
	case "windows":
		name, args = "rundll32", []string{"url.dll,FileProtocolHandler", address}
	}
	if c := exec.Command(name, args...); c.Start() == nil {
		go func() { _ = c.Wait() }()
	}
}
