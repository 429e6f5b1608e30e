package cli

import (
	"encoding/json"
	"encoding/xml"
	"fmt"
	"html"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
)

// reports are the pages made already.
var reports = map[string]string{}

// reportText returns a page; one that a test has read before is not made again.
func reportText(t *testing.T, args ...string) string {
	ofText(t)
	key := strings.Join(args, "\x00")
	if reports[key] == "" {
		reports[key] = makeReport(t, args...)
	}
	return reports[key]
}

func makeReport(t *testing.T, args ...string) string {
	out := filepath.Join(t.TempDir(), "page.html")
	code, _, errs := run(append(append([]string{"report"}, args...), "-o", out)...)
	require.Equal(t, ExitDone, code, errs)
	text, err := os.ReadFile(out)
	require.NoError(t, err)
	return string(text)
}

// handedOver is a report with everything on it.
var handedOver = []string{"trail", "--parts", "trail-parts", "--customer", "A. Rider", "--shop", "The workshop", "--ref", "27", "--date", "today"}

func TestReportLoadsNothingFromElsewhere(t *testing.T) {
	ofText(t)
	text := reportText(t, small, "single", "--parts", "trail-parts")
	for _, m := range regexp.MustCompile(`(?:src|href|url)\s*[=(]\s*["']?([^"')\s]{0,12})`).FindAllStringSubmatch(text, -1) {
		assert.True(t, strings.HasPrefix(m[1], "data:image"), m[0])
	}
	assert.NotContains(t, text, "<script")
	assert.Contains(t, text, "default-src 'none'")
	assert.NotContains(t, text, "ZgotmplZ", "the template engine refused something")
	assert.Contains(t, text, "Side by side")
	assert.Contains(t, text, "What a change does")
	assert.Contains(t, text, "Caution")
	assert.Equal(t, reportText(t, "single"), makeReport(t, "single"), "the same page every time")
}

// The page shows the numbers of gears, with a derailleur, with two rings and without.
func TestReportSaysWhatGearsSays(t *testing.T) {
	ofText(t)
	for _, args := range [][]string{handedOver, {small}, {"single"}} {
		name, text := args[0], reportText(t, args...)
		_, out, _ := seeing("gears " + name + " --format json")
		var doc show.Gears
		require.NoError(t, json.Unmarshal([]byte(out), &doc))
		for _, g := range doc.Gears {
			row := fmt.Sprintf("<td>%d</td><td>%d</td><td>%.2f</td><td>%.2f</td><td>%.2f</td>", g.RingTeeth, g.CogTeeth, g.Ratio, *g.Top.Bend, *g.Bottom.Bend)
			assert.Contains(t, text, row, name)
		}
		assert.Regexp(t, `sha256 [0-9a-f]{64}`, text)
	}
}

func TestReportRefuses(t *testing.T) {
	for _, args := range []string{"report trail -o page.doc", "report", "report nosuch -o page.html", "report single --parts none -o page.html"} {
		code, _, _ := run(strings.Fields(args)...)
		assert.Equal(t, ExitBadInput, code, args)
	}
	assert.NoFileExists(t, "page.html")
}

// What a case says is text, not markup.
func TestReportEscapes(t *testing.T) {
	text, err := cases.ShippedText("single")
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "evil.yaml")
	evil := strings.Replace(string(text), "title: Single speed without tensioner", `title: '<img src="x" onerror="alert(1)">'`, 1)
	require.NoError(t, os.WriteFile(file, []byte(evil), 0o600))
	assert.NotContains(t, reportText(t, file), "<img src=\"x\"")
}

// The head says what it was given; the first side has the answer, the options and what was
// measured in words, no field paths; for the class it asks, and answers on the second side.
func TestReportSides(t *testing.T) {
	text := reportText(t, handedOver...)
	first, second, ok := strings.Cut(text, `<div class="side">`)
	require.True(t, ok)
	assert.Contains(t, first, "The workshop · for A. Rider · no. 27 · today")
	for _, want := range []string{"You told us: noise on the 44 and 51", "the chain drops off the 51 when you back-pedal", "What would help, of the list", "of 100 bikes like this", "the down tube", "Caution"} {
		assert.Contains(t, first, want)
	}
	assert.NotRegexp(t, `(front|rear|chainstay|frame)\.[a-z_]+`, first, "no field paths")
	assert.Contains(t, second, "Every gear")
	assert.Contains(t, second, "noise_riding 1")

	class := reportText(t, "trail", "--class")
	first, second, _ = strings.Cut(class, `<div class="side">`)
	assert.Contains(t, first, show.Questions[0])
	assert.NotContains(t, first, "The chainline explains")
	assert.Contains(t, second, "The chainline explains both")

	for _, bad := range [][]string{{"--customer", "a\nb"}, {"--shop", strings.Repeat("x", 300)}, {"--weight", "nonsense=1"}} {
		code, _, _ := run(append([]string{"report", "trail", "-o", filepath.Join(t.TempDir(), "x.html")}, bad...)...)
		assert.Equal(t, ExitBadInput, code, bad)
	}
}

// On paper a bike takes two sides: what a shop hands over, and every gear; what is to be done stands on
// the first, before the figure, and no change that costs more stands before one that costs less.
func TestReportTakesTwoSides(t *testing.T) {
	ofText(t)
	names := []string{"trail", "tourer", "double-cage"}
	if os.Getenv("CHAINPATH_LONG") != "" {
		names = cases.Shipped()
	}
	for _, name := range names {
		out := filepath.Join(t.TempDir(), "sheet.pdf")
		code, _, errs := run("report", name, "-o", out)
		require.Equal(t, ExitDone, code, errs)
		data, err := os.ReadFile(out)
		require.NoError(t, err)
		assert.Equal(t, "/Count 2", string(regexp.MustCompile(`/Count \d+`).Find(data)), name)
		wordsStandApart(t, name, out)
		first, _, _ := strings.Cut(reportText(t, name), `<div class="side">`)
		what, figure := strings.Index(first, "<h2>What to do</h2>"), strings.Index(first, "<figure>")
		assert.Greater(t, what, 0, name)
		assert.Less(t, what, figure, name)
		last := 0.0
		for _, m := range regexp.MustCompile(`<tr><td class="t">[^<]*</td><td>([0-9.]+)</td>`).FindAllStringSubmatch(first, -1) {
			price, err := strconv.ParseFloat(m[1], 64)
			require.NoError(t, err)
			assert.GreaterOrEqual(t, price, last, name)
			last = price
		}
	}
}

// wordsStandApart holds, by another program (poppler's pdftotext), that no word of a document lies over
// another or beyond its page, and that each page ends with its number.
func wordsStandApart(t *testing.T, name, file string) {
	program, err := exec.LookPath("pdftotext")
	if err != nil {
		require.Empty(t, os.Getenv("CI"), "no pdftotext")
		return
	}
	out, err := exec.Command(program, "-bbox", file, "-").Output()
	require.NoError(t, err)
	var doc struct {
		Pages []struct {
			Width  float64 `xml:"width,attr"`
			Height float64 `xml:"height,attr"`
			Words  []struct {
				Left   float64 `xml:"xMin,attr"`
				Right  float64 `xml:"xMax,attr"`
				Top    float64 `xml:"yMin,attr"`
				Bottom float64 `xml:"yMax,attr"`
				Text   string  `xml:",chardata"`
			} `xml:"word"`
		} `xml:"body>doc>page"`
	}
	require.NoError(t, xml.Unmarshal(out, &doc))
	require.Len(t, doc.Pages, 2, name)
	for n, p := range doc.Pages {
		require.Greater(t, len(p.Words), 100, name)
		for i, a := range p.Words {
			assert.True(t, a.Left > 0 && a.Right < p.Width && a.Top > 0 && a.Bottom < p.Height, "%s: %q beyond page %d", name, a.Text, n+1)
			for _, b := range p.Words[i+1:] { // boxes have the line's height, letters some two thirds of it
				if min(a.Right, b.Right) > max(a.Left, b.Left)+0.5 && min(a.Bottom, b.Bottom)-max(a.Top, b.Top) > 0.4*min(a.Bottom-a.Top, b.Bottom-b.Top) {
					assert.Fail(t, "overlap", "%s, page %d: %q and %q", name, n+1, a.Text, b.Text)
				}
			}
		}
		last := p.Words[len(p.Words)-3:]
		assert.Equal(t, []string{strconv.Itoa(n + 1), "of", "2"}, []string{last[0].Text, last[1].Text, last[2].Text}, name)
		for _, w := range p.Words {
			assert.LessOrEqual(t, w.Bottom, last[0].Bottom+0.01, "%s: %q below the number of page %d", name, w.Text, n+1)
		}
	}
}

// What a report says, figures by what they show: a page handed over, one for the class and one of two bikes.
func TestReportTexts(t *testing.T) {
	for name, args := range map[string][]string{"report.txt": handedOver, "report-class.txt": {"trail", "--class"}, "report-two.txt": {small, "single", "--parts", "trail-parts"}} {
		text := reportText(t, args...)
		for _, x := range [][2]string{{`(?s)<style>.*?</style>`, ""}, {`<img[^>]*alt="([^"]*)"[^>]*>`, "[figure: $1]"}, {`</t[dh]>\s*`, "  "}, {`<[^>]*>`, ""}, {`(?m)[ \t]+$`, ""}, {`\n{3,}`, "\n\n"}} {
			text = regexp.MustCompile(x[0]).ReplaceAllString(text, x[1])
		}
		golden(t, name, html.UnescapeString(text))
	}
}
