package cli

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/decide"
)

// readers are the commands that read a case, which CASE stands for, of each place where one is named.
var readers = []string{"gears CASE", "window CASE", "budget CASE --draws 100", "parts CASE trail-parts", "compare CASE trail", "compare trail CASE",
	"diagnose CASE", "learn CASE --seen 32/51:fine", "learn --shop SHOP CASE trail", "learn --shop SHOP trail CASE", "next CASE", "shifts CASE",
	"march CASE", "sweep CASE --vary front.line=48:50:1 -q", "draw CASE --out OUT", "report CASE -o OUT.html", "report trail CASE -o OUT.html",
	"export CASE --as svg -o OUT.svg", "check CASE"}

// A case that is not there, one that is none and one that cannot be built are refused by every
// command alike: exit code 2, the file's name once, and nothing printed or written.
func TestEveryReaderRefuses(t *testing.T) {
	ofText(t)
	dir := t.TempDir()
	for name, text := range map[string]string{
		"absent.yaml": "",
		"no.yaml":     "- a list\n",
		"meets.yaml":  "chainpath: 1\nframe: {stay: 200}\nfront: {line: 50, rings: [120]}\nrear: {line: 47, cogs: [11, 50], lines: [55, 40]}\n",
	} {
		file := filepath.Join(dir, name)
		if text != "" {
			require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
		}
		for _, r := range readers {
			args := strings.NewReplacer("CASE", file, "SHOP", filepath.Join(dir, "shop"), "OUT", filepath.Join(dir, "out")).Replace(r)
			code, out, errs := run(fields(args)...)
			assert.Equal(t, ExitBadInput, code, "%s: %s: %s", name, r, errs)
			assert.Empty(t, out, "%s: %s", name, r)
			assert.Contains(t, errs, name, r)
			assert.NotContains(t, errs, "goroutine", r)
		}
	}
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, left, 2, "the two cases")
}

// A load that cannot be is refused by every command that takes one.
func TestLoadsAreRefusedAlike(t *testing.T) {
	takers := map[string]bool{}
	for _, c := range newRoot(streams{}).Commands() {
		if c.Flags().Lookup("power") != nil {
			takers[c.Name()] = true
		}
	}
	for _, args := range []string{"gears trail", "accuracy trail", "diagnose trail", "chainline trail", "simulate trail", "next trail", "next trail trail-parts", "fix trail", "fix trail trail-parts", "shifts trail", "draw trail", "sweep trail --vary front.line=48:50:1"} {
		code, text, errs := run(append(fields(args), "--power", "200")...)
		assert.Equal(t, ExitBadInput, code, args)
		assert.Empty(t, text, args)
		assert.Contains(t, errs, "--power without --cadence", args)
		delete(takers, fields(args)[0])
	}
	assert.Empty(t, takers, "commands that this does not ask")
}

// What trouble weighs is asked alike wherever it is.
func TestWeightsAreRefusedAlike(t *testing.T) {
	out := filepath.Join(t.TempDir(), "out.html")
	for _, args := range []string{"compare trail tourer", "next trail", "parts trail trail-parts", "report trail -o " + out, "window trail"} {
		for _, bad := range []string{"nonsense=1", "drop_riding=-1", "drop_riding=1000.1", "drop_riding=x", "drop_riding=NaN", "drop_riding=Inf"} {
			code, text, errs := run(append(fields(args), "--weight", bad)...)
			assert.Equal(t, ExitBadInput, code, "%s %s", args, bad)
			assert.Empty(t, text)
			assert.Contains(t, errs, "weight", "%s %s", args, bad)
		}
	}
	assert.NoFileExists(t, out)
	for text, want := range map[string]float64{"0": 0, "1000": 1000, "2.5": 2.5} { // and the others stay
		w, err := weightsOf(map[string]string{"drop_riding": text})
		require.NoError(t, err)
		usual := decide.Usual
		usual[sim.DropRiding] = want
		assert.Equal(t, &usual, w)
	}
	for k, name := range concernNames() { // from the first to the last
		w, err := weightsOf(map[string]string{name: "7"})
		require.NoError(t, err, name)
		assert.Equal(t, 7.0, w[k], name)
	}
}

// full takes so many bytes and no more.
type full struct{ room int }

func (f *full) Write(b []byte) (int, error) {
	if len(b) > f.room {
		n := f.room
		f.room = 0
		return n, errors.New("no space left")
	}
	f.room -= len(b)
	return len(b), nil
}

// What cannot be printed, or not to its end, is told, whatever it is.
func TestWhatCannotBePrintedIsTold(t *testing.T) {
	ofText(t)
	commands := []string{"gears single", "gears single --why", "gears single --format json", "gears single --format csv",
		"window single-tensioner", "window single-tensioner --format csv", "budget single --draws 100", "budget single --draws 100 --format csv",
		"compare single single-tensioner", "compare single single-tensioner --format json", "diagnose trail", "learn single --seen */17:quiet",
		"shifts " + small, "shifts " + small + " --format csv", "march single --turns 0.1", "march single --turns 0.1 --format csv",
		"line front --tube-width 48.6 --gap 29.9", "line rear --dropouts 147.5 --stack 41.7 --gap 4.9", "slack --links 30 --sag 160±3 --links 12 --sag 15±1 --mass 2.3±0.02",
		"bench widths --inner 2.2", "bench twist --links 20 --turn 28", "bench hanger --bottom-top 6±1 --front-back -2±1", "cases", "cases trail",
		"defaults", "defaults --unknowns", "check trail single", "schema", "version", "version --licences", "sweep single --vary front.line=40:42:1 -q"}
	for _, args := range commands {
		var whole bytes.Buffer
		require.Equal(t, ExitDone, Main(fields(args), strings.NewReader(""), &whole, io.Discard), args)
		for _, room := range []int{0, whole.Len() / 2, whole.Len() - 1} {
			var errs bytes.Buffer
			code := Main(fields(args), strings.NewReader(""), &full{room}, &errs)
			assert.Equal(t, ExitFailed, code, "%s, with room for %d of %d bytes", args, room, whole.Len())
			assert.Contains(t, errs.String(), "no space left", args)
		}
	}
}

// A mistake in arguments names the one that is missing or too many, with those that a command can do without,
// and what a misspelt command or option was to be.
func TestMistakesOfUsage(t *testing.T) {
	for args, want := range map[string]string{
		"gears":                    "chainpath gears: CASE is missing: a bike file, the name of a shipped bike (chainpath case list), or - for standard input",
		"gears a b":                `chainpath gears: "b" is an argument too many, want CASE`,
		"fix":                      "chainpath fix: CASE is missing: a bike file, the name of a shipped bike (chainpath case list), or - for standard input",
		"fix trail --top 2":        "--top goes with a change list",
		"fix a b --hour 3":         "--hour goes without a change list",
		"fix a b --worth -1":       "--worth -1 is out of range, want 0 to 1000000",
		"fix trail --hour -1":      "--hour -1 is out of range, want 0 to 1000000",
		"fix trail --worth NaN":    "--worth NaN is out of range, want 0 to 1000000",
		"next":                     "chainpath next: CASE is missing: a bike file, the name of a shipped bike (chainpath case list), or - for standard input",
		"next a b c d":             `chainpath next: "c" is an argument too many, want CASE [CATALOGUE]`,
		"case list a b":            `chainpath case list: "b" is an argument too many, want [NAME]`,
		"defaults a b":             `chainpath defaults: "a", want no argument`,
		"compare trail":            "chainpath compare: CASE is missing: a bike file, the name of a shipped bike (chainpath case list), or - for standard input",
		"report a b c d e f g h i": "chainpath report: accepts between 1 and 7 arg(s), received 9",
		"gaers":                    `chainpath: no command "gaers", did you mean "gears"?`,
		"region rows.csv":          `chainpath: no command "region", did you mean "sweep region"?`,
		"measure nosuch":           `chainpath measure: no command "nosuch", see chainpath measure --help`,
		"gears --formt x":          "chainpath gears: unknown flag: --formt, did you mean --format?",
		"gears --zzzzzz":           "chainpath gears: unknown flag: --zzzzzz, see chainpath gears --help",
		"gears --all=maybe":        `chainpath gears: invalid argument "maybe" for "--all" flag`,
	} {
		code, out, errs := run(fields(args)...)
		assert.Equal(t, ExitBadInput, code, args)
		assert.Empty(t, out, args)
		assert.True(t, strings.HasPrefix(errs, "chainpath: "+want), "%s: %s", args, errs)
		assert.Equal(t, 1, strings.Count(errs, "\n"), errs)
	}
}

// An observation that cannot be is refused by every command that takes one, and nothing is answered without it.
func TestObservationsThatCannotBeAreRefused(t *testing.T) {
	for _, command := range []string{"learn trail", "fix trail", "shifts trail", "learn --shop " + os.DevNull + " " + two} {
		for seen, want := range map[string]string{"32/99: noise": "99", "32/51: grinding": "grinding", "32/51 sideways: noise": "sideways", "32/51": "32/51"} {
			code, out, errs := run(append(strings.Fields(command), "--seen", seen)...)
			assert.Equal(t, ExitBadInput, code, "%s --seen %s", command, seen)
			assert.Empty(t, out, "%s --seen %s", command, seen)
			assert.Contains(t, errs, "--seen", command)
			if !strings.Contains(command, "--shop") {
				assert.Contains(t, errs, want, "%s --seen %s", command, seen)
			}
		}
	}
}

// Where a bicycle has several wheels the one that runs has to be named: one that is not named is missing, one that is
// not there is named.
func TestMarchNamesWhatIsMissing(t *testing.T) {
	for args, want := range map[string]string{
		"--cog 28":           "--ring is missing: one of [34 48]",
		"--ring 48":          "--cog is missing: one of [13 19 28]",
		"--ring 48 --cog 20": "--cog 20: no such",
		"--ring 46 --cog 28": "--ring 46: no such",
	} {
		code, out, errs := run(append(strings.Fields("march "+small+" --turns 0.1"), strings.Fields(args)...)...)
		assert.Equal(t, ExitBadInput, code, args)
		assert.Empty(t, out, args)
		assert.Contains(t, errs, want, args)
	}
}
