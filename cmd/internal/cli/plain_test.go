package cli

import (
	"context"
	"encoding/json"
	"fmt"
	"html"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/cmd/internal/engine"
	"chainpath/cmd/internal/reference"
	"chainpath/cmd/internal/say"
	"chainpath/cmd/internal/show"
	"chainpath/sim"
)

// Phrases that nobody says, or for which there is one word in the vocabulary of help words.
var banned = []string{"drawn set", "what no", "what none", "default set", "past the edge", "short of the edge", "trouble", "front line", "rear line",
	"cannot tell", "comes off", "hard wall", "middle plane", "cluster", "reluctant", "drawn along", "speaks for it", "tells little", "That is usual",
	"nothing is said", "bound by", "There is no such", "can throw the rider", "no published criterion"}

// plain returns a text without line ends.
func plain(text string) string { return strings.Join(strings.Fields(text), " ") }

func notBanned(t *testing.T, from, text string) {
	t.Helper()
	for _, w := range banned {
		assert.NotContains(t, strings.ToLower(plain(text)), strings.ToLower(w), from)
	}
}

// What people read, helps, topics and answers, has none of the banned phrases.
func TestPlainWords(t *testing.T) {
	ofText(t)
	root := newRoot(streams{in: strings.NewReader(""), out: new(strings.Builder), err: new(strings.Builder)})
	paths := []string{""}
	for _, c := range root.Commands() {
		if c.IsAdditionalHelpTopicCommand() {
			continue
		}
		paths = append(paths, c.Name())
		for _, sub := range c.Commands() {
			paths = append(paths, c.Name()+" "+sub.Name())
		}
	}
	for _, p := range paths {
		_, out, _ := seeing(p + " --help")
		notBanned(t, p+" --help", out)
	}
	for _, topic := range append([]string{"words", "safety"}, reference.Topics...) {
		if topic == "output" || topic == "library" || topic == "site" { // names of fields, which are a contract; code
			continue
		}
		_, out, _ := seeing("help " + topic)
		notBanned(t, "help "+topic, out)
	}
	for _, args := range []string{"diagnose trail", "learn trail", "accuracy trail --draws 100", "fix trail trail-parts", "compare trail trail-short"} {
		_, out, _ := seeing(args)
		notBanned(t, args, out)
	}
	names := cases.Shipped()
	if testing.Short() {
		names = names[:3]
	}
	for _, name := range names {
		for _, args := range []string{"gears " + name, "gears " + name + " --all", "chainline " + name, "shifts " + name, "next " + name} {
			_, out, errs := seeing(args)
			notBanned(t, args, out+errs)
			assert.NotContains(t, strings.ToLower(out), "quiet", "%s: of noise alone, and only where somebody said so", args)
		}
	}
}

// A default answer fits a small terminal, 24 lines of 80 columns, or twelve lines around a table of more
// gears, whatever the command and the bike; its last line is the command to type then. Diagnose, learn
// and shifts may have nothing to answer of a bike, and say so.
func TestAnswersFitOneScreen(t *testing.T) {
	ofText(t)
	answered := map[string]int{}
	fits := func(rows int, args string) {
		code, out, errs := seeing(args)
		command, _, _ := strings.Cut(args, " ")
		if code == ExitBadInput {
			assert.Contains(t, []string{"diagnose", "learn", "shifts"}, command, errs)
			return
		}
		require.Equal(t, ExitDone, code, errs)
		answered[command]++
		assert.LessOrEqual(t, strings.Count(out, "\n"), max(24, rows+12), "%s\n%s", args, out)
		assert.Empty(t, tooWide(out), args)
		lines := strings.Split(strings.TrimSuffix(out, "\n"), "\n")
		assert.Contains(t, strings.Join(lines[max(0, len(lines)-2):], " "), "Next: chainpath ", "%s\n%s", args, out)
	}
	for _, args := range []string{"measure front --tube-width 48.6 --gap 29.9", "measure rear --dropouts 147.5 --stack 42.6 --gap 4.9", "measure twist --turn 28", "measure sag --links 12 --sag 15 --links 30 --sag 160 --mass 2.3",
		"measure hanger --rim 622 --bottom-top 6", "measure adjuster road --clicks 4 --first-inboard 28>25 --first-outboard 11>12", "case list", "case check trail road", "case defaults", "case defaults --speeds 1",
		"simulate trail --cog 51 --backwards --turns 0.5 --trials 3", "next trail trail-parts"} {
		fits(0, args)
	}
	names := cases.Shipped()
	if testing.Short() {
		names = []string{"fixed", "trail", "double-cage"}
	}
	for _, name := range names {
		c, err := cases.Load(name, nil)
		require.NoError(t, err)
		fits(len(c.Front.Rings)*len(c.Rear.Cogs), "gears "+name)
		fits(0, fmt.Sprintf("simulate %s --turns 0.2 --ring %d --cog %d", name, c.Front.Rings[0], c.Rear.Cogs[0]))
		fits(0, "accuracy "+name+" --draws 100")
		fits(0, "compare "+name+" trail-short")
		fits(0, "case check "+name)
		for _, command := range []string{"chainline", "next", "learn", "shifts", "diagnose", "fix"} {
			fits(0, command+" "+name)
		}
		if long || name == "trail" || name == "wide-tyre" && !testing.Short() { // the longest answer
			fits(0, "fix "+name+" trail-parts")
		}
	}
	for _, command := range []string{"gears", "simulate", "accuracy", "compare", "chainline", "next"} {
		assert.GreaterOrEqual(t, answered[command], len(names), command)
	}
	assert.Positive(t, answered["diagnose"]*answered["learn"]*answered["shifts"]*answered["fix"])
}

// On a terminal that shows fewer lines the answer stands below its table again.
func TestLongAnswersAreSaidAgain(t *testing.T) {
	c, b, r, err := evaluate(streams{}, "tourer", nil)
	require.NoError(t, err)
	doc, err := show.FromResult(c, b, r, nil)
	require.NoError(t, err)
	require.NoError(t, doc.AddChances(c, b, r))
	defer func() { show.Height = 0 }()
	for lines, times := range map[int]int{0: 1, 24: 2, 200: 1} {
		show.Height = lines
		var out strings.Builder
		require.NoError(t, show.GearTable(&out, &doc, b, r, show.GearView{Name: "tourer"}))
		assert.Equal(t, times, strings.Count(plain(out.String()), doc.Answer.Words), lines)
	}
}

// The same sentences answer on the command line, in JSON (which the page shows), in the report
// and, as its first, over the figure.
func TestOneAnswerEverywhere(t *testing.T) {
	ofText(t)
	names := cases.Shipped()
	if testing.Short() {
		names = names[:2]
	}
	for _, name := range names {
		c, b, r, err := evaluate(streams{}, name, nil)
		require.NoError(t, err)
		doc, err := show.FromResult(c, b, r, nil)
		require.NoError(t, err)
		require.NoError(t, doc.AddChances(c, b, r))
		_, table, _ := run("gears", name)
		assert.Contains(t, plain(table), doc.Answer.Words, name)
		_, text, _ := run("gears", name, "--format", "json")
		var again show.Gears
		require.NoError(t, json.Unmarshal([]byte(text), &again))
		assert.Equal(t, doc.Answer.Words, again.Answer.Words, name)
		figure, err := answerFigure(c, b, r, &doc)
		require.NoError(t, err)
		assert.Equal(t, doc.Answer.Headline(), figure.Title, name)
		assert.True(t, strings.HasPrefix(doc.Answer.Words, figure.Title), name)
		page := html.UnescapeString(reportText(t, name))
		assert.Contains(t, page, "<strong>"+doc.Answer.Words+"</strong>", name)
		if u := doc.Answer.Usual; u != nil {
			assert.Contains(t, plain(table), u.Words, name)
			assert.Contains(t, page, u.Words, name)
		}
		assert.Contains(t, page, say.Caveat, name)
	}
}

// The page's small sentences and its advice are the engine's, in the words of the command: what
// a change costs and does, where the chainring should sit, what to check, what is behind symptoms.
func TestOneAdviceEverywhere(t *testing.T) {
	ofText(t)
	ask := func(request map[string]any) (a struct {
		Advice    string
		Cards     []struct{ Option string }
		Window    struct{ Answer string }
		Next      struct{ Answer string }
		Diagnosis show.Diagnosis
	}) {
		text, err := cases.ShippedText("trail")
		require.NoError(t, err)
		request["yaml"] = string(text)
		q, err := json.Marshal(request)
		require.NoError(t, err)
		require.NoError(t, json.Unmarshal(engine.Answer(context.Background(), q), &a))
		return a
	}
	catalogue, err := cases.ShippedText("trail-parts")
	require.NoError(t, err)
	said := func(args ...string) string { _, out, _ := run(args...); return plain(out) }
	document := func(to any, args ...string) {
		_, text, errs := run(append(args, "--format", "json")...)
		require.NoError(t, json.Unmarshal([]byte(text), to), errs)
	}

	var window show.Window
	document(&window, "chainline", "trail")
	assert.NotEmpty(t, window.Answer)
	assert.Contains(t, said("chainline", "trail"), window.Answer)
	assert.Equal(t, window.Answer, ask(map[string]any{"op": "compute", "window": true}).Window.Answer)

	var parts show.Parts
	document(&parts, "fix", "trail", "trail-parts")
	help := ask(map[string]any{"op": "parts", "catalogue": string(catalogue)})
	assert.Contains(t, said("fix", "trail", "trail-parts"), parts.Answer)
	assert.Equal(t, parts.Answer, help.Advice)
	card := slices.IndexFunc(help.Cards, func(c struct{ Option string }) bool { return strings.HasPrefix(parts.Answer, "Best: "+c.Option) })
	require.GreaterOrEqual(t, card, 1, "what is worth its price is no card, or is the one with the fewest faults\n%s", parts.Answer)
	assert.Contains(t, parts.Answer, "Fewest faults: ")

	page := html.UnescapeString(reportText(t, "trail", "--parts", "trail-parts"))
	assert.Contains(t, page, window.Answer)
	assert.Contains(t, page, "<p>"+parts.Answer+"</p>")
	assert.Contains(t, page, say.Safety("This sheet"))

	var next show.Next
	document(&next, "next", "trail")
	assert.Contains(t, said("next", "trail"), next.Answer)
	assert.Equal(t, next.Answer, ask(map[string]any{"op": "next"}).Next.Answer)

	var diagnosis show.Diagnosis
	document(&diagnosis, "diagnose", "trail")
	told, paged := said("diagnose", "trail"), ask(map[string]any{"op": "diagnose"}).Diagnosis
	assert.Contains(t, told, diagnosis.Together.Words)
	assert.Equal(t, diagnosis.Together.Words, paged.Together.Words)
	for i, f := range diagnosis.Findings {
		assert.NotEmpty(t, f.Lines)
		for k, line := range f.Lines {
			assert.Contains(t, told, line)
			assert.Equal(t, line, paged.Findings[i].Lines[k])
		}
	}
}

// Commands that were there under another name still answer, and are not shown.
func TestEarlierNamesWork(t *testing.T) {
	_, help, _ := seeing("--help")
	for was, is := range map[string]string{"window single": "chainline single", "budget single --draws 100": "accuracy single --draws 100", "cases": "case list", "check single": "case check single",
		"defaults": "case defaults", "schema": "case schema", "line front --tube-width 48.6 --gap 29.9": "measure front --tube-width 48.6 --gap 29.9",
		"slack --links 12 --sag 15 --links 30 --sag 160 --mass 2.3": "measure sag --links 12 --sag 15 --links 30 --sag 160 --mass 2.3",
		"march single --turns 0.1":                                  "simulate single --turns 0.1", "bench twist --turn 28": "measure twist --turn 28"} {
		a, outA, errsA := seeing(was)
		b, outB, _ := seeing(is)
		assert.Equal(t, ExitDone, a, was+errsA)
		assert.Equal(t, b, a, was)
		assert.Equal(t, outB, outA, was)
		name, _, _ := strings.Cut(was, " ")
		assert.NotContains(t, help, fmt.Sprintf("\n  %s ", name), "shown")
	}
	assert.Equal(t, 19, strings.Count(help, "\n  "), "every command, limit the newest: how far one number may go\n%s", help)
	assert.LessOrEqual(t, strings.Count(help, "\n"), 24, help)
}

// README and contributor's guide stay short, and the README has the caution.
func TestGuidesAreShort(t *testing.T) {
	for file, most := range map[string]int{"README.md": 110, "DEVELOPERS.md": 200} {
		text, err := os.ReadFile(filepath.Join("..", "..", "..", file))
		require.NoError(t, err)
		assert.LessOrEqual(t, strings.Count(string(text), "\n"), most, file)
	}
	text, err := os.ReadFile(filepath.Join("..", "..", "..", "README.md"))
	require.NoError(t, err)
	assert.Contains(t, plain(string(text)), say.Safety("chainpath"))
}

// The page's own texts have none of the banned phrases but those that are names in its code.
func TestPlainPage(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("..", "page", "site", "*"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	names := regexp.MustCompile(`(?m)^\s*//.*$|trouble|cluster`)
	for _, file := range files {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		notBanned(t, file, names.ReplaceAllString(string(text), ""))
	}
}

// English is written once: the page's code has no words of chances, scores and lessons of its own, and
// the keys and the caution of its frame are say's.
func TestThePageHasItsWordsFromSay(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("..", "page", "site", "*.js"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	comments := regexp.MustCompile(`(?m)^\s*//.*$|\s// .*$|--c-\w+`)
	for _, file := range files {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		for _, phrase := range []string{say.NoFault, say.Unlikely.Word(), say.Either.Word(), say.Probable.Word(), "back-pedalling", "fault score", "ikelier", "chance of", "does not fit", "of 100 bikes like", "trouble falls", "0.35", "0.65"} {
			assert.NotContains(t, strings.ToLower(comments.ReplaceAllString(string(text), "")), phrase, file)
		}
	}
	frame, err := os.ReadFile(filepath.Join("..", "page", "site", "index.html"))
	require.NoError(t, err)
	fills, err := os.ReadFile(filepath.Join("..", "page", "site", "lesson.js"))
	require.NoError(t, err)
	trail, err := cases.Load("trail", nil)
	require.NoError(t, err)
	asked := regexp.MustCompile(`{(\w+)`)
	for _, course := range say.Courses() {
		for _, s := range course.Steps {
			assert.Contains(t, string(frame), `id="`+s.At+`"`, s.Title)
			for _, number := range asked.FindAllStringSubmatch(s.Answer, -1) {
				assert.Contains(t, string(fills), "\n  "+number[1]+": (d", s.Title)
			}
			notBanned(t, s.Title, s.Text+s.Question+s.Answer)
			for _, e := range s.Edits {
				_, err := trail.Set(e[0], e[1])
				assert.NoError(t, err, s.Title)
			}
		}
	}
	assert.Contains(t, string(frame), say.Safety("This page"))
	for _, words := range []string{say.NoFault, say.Unlikely.Word(), say.Either.Word(), say.Probable.Word(), ">" + say.Way(sim.Backwards) + "<"} {
		assert.Contains(t, string(frame), words)
	}
}

// So are the keys of the figures, which a package below draws.
func TestFiguresHaveTheWordsOfSay(t *testing.T) {
	ofText(t)
	dir := t.TempDir()
	code, _, errs := run("gears", "trail", "--figures", dir)
	require.Equal(t, ExitDone, code, errs)
	code, _, errs = run("chainline", "trail", "--figures", dir)
	require.Equal(t, ExitDone, code, errs)
	for _, name := range []string{"answer.svg", "map.svg"} {
		text, err := os.ReadFile(filepath.Join(dir, name))
		require.NoError(t, err)
		for _, words := range []string{say.Unlikely.Word(), say.Either.Word(), say.Probable.Word()} {
			assert.Contains(t, string(text), words, name)
		}
		notBanned(t, name, string(text))
	}
	text, err := os.ReadFile(filepath.Join(dir, "answer.svg"))
	require.NoError(t, err)
	assert.Contains(t, string(text), say.NoFault)
	assert.Contains(t, string(text), say.Percent(0.7))
}
