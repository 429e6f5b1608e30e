// Package cli is the command line: one file a command, each an options struct, a
// builder and a run function. It only wires the other packages together.
package cli

import (
	"errors"
	"fmt"
	"io"
	"os"
	"regexp"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/cmd/internal/show"
)

// Exit codes.
const (
	ExitDone     = 0
	ExitFailed   = 1 // the tool failed
	ExitBadInput = 2 // the case, the flags or the arguments are wrong
	ExitVerdict  = 3 // --fail-on found what it looks for
	ExitPartial  = 4 // what was written or printed is a part of what was asked for
)

// streams are what a command reads and writes.
type streams struct {
	in       io.Reader
	out, err io.Writer
	stop     *stopper // nil: nothing listens for signals
}

// colour reports whether output may be emphasised: to a terminal only, and not
// with NO_COLOR set.
func (s streams) colour() bool {
	f, ok := s.out.(*os.File)
	return ok && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb" && term.IsTerminal(int(f.Fd()))
}

// columns returns how wide lines for people may be: a terminal's width, or else 80.
func (s streams) columns() int {
	if w := widthOf(s.out); w > 0 {
		return w
	}
	return 80
}

// widthOf returns how wide lines to a terminal may be; 0 for what is none.
func widthOf(w io.Writer) int {
	f, ok := w.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return 0
	}
	n, _, err := term.GetSize(int(f.Fd()))
	if err != nil || n <= 0 {
		n = 80
	}
	return min(max(n, narrowest), widest)
}

// linesOf returns how many lines a terminal shows; 0 for what is none.
func linesOf(w io.Writer) int {
	f, ok := w.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return 0
	}
	_, n, err := term.GetSize(int(f.Fd()))
	if err != nil {
		return 0
	}
	return n
}

// complain prints a mistake: wrapped on a terminal, a line of its own into a pipe, where
// other programs look for file and line.
func complain(w io.Writer, text string, width int) {
	text = "chainpath: " + text
	if width > 0 {
		text = show.Indent(text, "  ", width)
	}
	fmt.Fprintln(w, text)
}

// usageError is a mistake in flags or arguments.
type usageError struct{ error }

func (e usageError) Unwrap() error { return e.error }

func usagef(format string, a ...any) error { return usageError{fmt.Errorf(format, a...)} }

// verdictFound ends a command with ExitVerdict.
type verdictFound struct{ what string }

func (v verdictFound) Error() string { return v.what }

// partialResult ends a command with ExitPartial.
type partialResult struct{ what string }

func (p partialResult) Error() string { return p.what }

// Main runs the tool and returns its exit code.
func Main(args []string, in io.Reader, out, err io.Writer) int {
	stop, over := newStopper(err)
	defer over()
	root := newRoot(streams{in, out, err, stop})
	root.SetArgs(args)
	return exitCode(err, root.Execute())
}

// endless is a word that no name of a file or field is.
var endless = regexp.MustCompile(`\S{400,}`)

// message returns an error for people: nothing that a terminal would act on, and words
// without end cut.
func message(err error) string {
	return endless.ReplaceAllStringFunc(cases.Printable(err.Error()), func(w string) string {
		return string([]rune(w)[:60]) + "…"
	})
}

// mistakes returns an error's lines for people: one for each mistake of a file.
func mistakes(err error) (lines []string) {
	var many cases.Errors
	if !errors.As(err, &many) {
		return []string{message(err)}
	}
	for _, line := range strings.Split(many.Error(), "\n") {
		lines = append(lines, message(errors.New(line)))
	}
	return lines
}

func exitCode(w io.Writer, err error) int {
	if err == nil {
		return ExitDone
	}
	if errors.Is(err, errStopped) {
		fmt.Fprintln(w, "chainpath: stopped: nothing is kept")
		return ExitStopped
	}
	for _, line := range mistakes(err) {
		complain(w, line, widthOf(w))
	}
	var bad *cases.Error
	var usage usageError
	var verdict verdictFound
	var partial partialResult
	switch {
	case errors.As(err, &partial):
		return ExitPartial
	case errors.As(err, &verdict):
		return ExitVerdict
	case errors.As(err, &bad), errors.As(err, &usage):
		return ExitBadInput
	}
	return ExitFailed
}

func newRoot(s streams) *cobra.Command {
	root := &cobra.Command{
		Use:   "chainpath",
		Short: "What a bicycle's chain does, and why",
		Long: `chainpath works out a bicycle's chain path in three dimensions and tells you, for every gear,
how far the chain is bent sideways and how likely it is to be noisy, drop, rub or go slack, riding
and back-pedalling.

` + say.Safety("chainpath"),
		SilenceUsage:  true,
		SilenceErrors: true,
		Args:          cobra.NoArgs,
		RunE:          func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	root.SetIn(s.in)
	root.SetOut(s.out)
	root.SetErr(s.err)
	root.SetFlagErrorFunc(flagError)
	root.SetHelpTemplate(helpTemplate)
	root.SetUsageTemplate(usageTemplate)
	shortHelp(root)
	show.Columns, show.Height = s.columns(), linesOf(s.out)
	root.Version = versionText()
	root.SetVersionTemplate("{{.Version}}\n")
	root.AddCommand(newMybike(s), newMeasure(s), newGears(s), newDiagnose(s), newLearn(s), newNext(s), newLimit(s), newParts(s), newWindow(s), newCompare(s), newShifts(s), newMarch(s), newBudget(s), newReport(s), newPage(s), newSweep(s), newExport(s), newCase(s), newVersion(s), newWords(), newSafety())
	root.AddCommand(earlierCommands(s)...)
	root.AddCommand(newTopics()...)
	grouped(root)
	root.CompletionOptions.HiddenDefaultCmd = true
	wrapArgs(root)
	return root
}
