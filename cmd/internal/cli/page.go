package cli

import (
	"fmt"
	"os/exec"
	"runtime"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/page"
)

func newPage(s streams) *cobra.Command {
	var export string
	var port int
	var quiet bool
	c := &cobra.Command{
		Use:   "page",
		Short: "The interactive page, in the browser",
		Long: `page serves the interactive page on this machine alone (127.0.0.1) and opens it in
the browser. All computing happens there: nothing that is typed leaves the machine.
Ctrl-C ends it. --export writes the page as a static site, which any web server can
offer.`,
		Example: "  chainpath page\n  chainpath page --export site",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if export != "" {
				files, order, err := page.Files()
				if err != nil {
					return err
				}
				if err := writeFiles(export, files, order); err != nil {
					return err
				}
				_, err = fmt.Fprintf(s.out, "%d files in %s; a browser loads %.2f MB, compressed\n", len(order), cases.Printable(export), float64(page.Size())/1e6)
				return err
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
	c.Flags().IntVar(&port, "port", 8421, "port on loopback; 0: any that is free")
	c.Flags().BoolVar(&quiet, "no-browser", false, "do not open the browser")
	return c
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
