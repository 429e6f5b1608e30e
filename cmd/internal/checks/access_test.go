package checks

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// installed returns the folder of npm's modules that NPM names, with one of them; without it
// the test is skipped, but in CI it fails.
func installed(t *testing.T, module string) string {
	dir := filepath.Join(os.Getenv("NPM"), "node_modules", module)
	if _, err := os.Stat(dir); os.Getenv("NPM") != "" && err == nil {
		return dir
	}
	if os.Getenv("CI") != "" {
		t.Fatalf("no %s: NPM names no folder with it", module)
	}
	t.Skipf("no %s on this machine", module)
	return ""
}

// states are what the page may show, one after the other, each from the one before.
var states = []struct {
	name string
	to   func(b *browser)
}{
	{"as it comes", func(*browser) {}},
	{"unfolded", func(b *browser) {
		b.do(chromedp.Evaluate[chromedp.Void](`document.querySelectorAll('details').forEach((d) => { d.open = true; })`))
	}},
	{"a film run", func(b *browser) {
		b.click("film-run")
		b.until(`!document.getElementById('film-run').disabled`)
	}},
	{"a change beside what was before", func(b *browser) {
		b.click("hold")
		b.set("front-line-number", "51")
		b.settled()
	}},
	{"answers of the bike before", func(b *browser) {
		b.do(chromedp.Evaluate[chromedp.Void](`const r = document.getElementById('front-line-range'); r.value = 52; r.dispatchEvent(new Event('input', { bubbles: true }));`))
		b.until(`document.getElementById('help-of').dataset.old === 'yes'`)
	}},
	{"a mistake", func(b *browser) {
		b.set("front-line-number", "500")
		b.until(`!document.getElementById('message').hidden`)
	}},
	{"a lesson", func(b *browser) { b.set("lesson", "lines"); b.settled() }},
	{"a lesson that is drawn", func(b *browser) {
		b.click("lesson-next")
		b.until(`document.querySelectorAll('#chart .guess').length > 0`)
	}},
	{"its answer", func(b *browser) {
		b.click("lesson-show")
		b.until(`!document.getElementById('lesson-answer').hidden`)
		b.click("lesson-end")
	}},
	{"a class", func(b *browser) {
		b.click("class")
		b.do(chromedp.KeyEvent(kb.PageDown))
		b.until(`document.querySelectorAll('#chart .mark').length > 0`)
	}},
	{"a new bike", func(b *browser) { b.do(chromedp.KeyEvent(kb.Escape)); b.click("new") }},
}

// axe-core finds nothing against WCAG 2.2 A and AA or its best practice, at five widths, in what the page may show, in
// light and dark.
func TestAxe(t *testing.T) {
	axe, err := os.ReadFile(filepath.Join(installed(t, "axe-core"), "axe.min.js"))
	require.NoError(t, err)
	for _, width := range []int64{1440, 1024, 768, 390, 320} {
		for _, scheme := range []string{"light", "dark"} {
			if scheme == "dark" && width != 390 {
				continue // the inks are the same at every width
			}
			b := open(t, "native", width, 900)
			b.media("prefers-color-scheme", scheme)
			b.all()
			b.do(chromedp.Evaluate[chromedp.Void](string(axe)))
			for i, s := range states {
				t.Log(width, scheme, s.name)
				s.to(b)
				tabs := []string{"does"}
				if i == 1 { // unfolded, all of them
					tabs = []string{"bike", "would", "views", "does"}
				}
				if value[bool](b, `getComputedStyle(document.getElementById('tabs')).display === 'none'`) {
					tabs = []string{""} // all at once
				}
				for _, tab := range tabs {
					if tab != "" {
						b.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`document.getElementById('tab-%s').click()`, tab)))
					}
					found := value[[]string](b, `axe.run(document, { resultTypes: ['violations'] }).then((r) => r.violations.map((v) => v.id + ': ' + v.nodes.slice(0, 4).map((n) => n.target.join(' ')).join(', ')))`)
					assert.Empty(t, found, "%d px, %s, %s, %s", width, scheme, s.name, tab)
				}
			}
		}
	}
}

// Lighthouse gives the page, served and exported, 100 for accessibility, best practices and what search engines ask for,
// and more than 90 for performance, on a simulated slow phone.
func TestLighthouse(t *testing.T) {
	module := installed(t, "lighthouse")
	program := chromium(t)
	bothDoors(t, func(t *testing.T, door string) {
		address, stop := doors[door](t)
		defer stop()
		best := map[string]float64{}
		for try := 0; try < 3 && best["performance"] <= 0.9; try++ { // others on the machine slow it down
			s := measured(t, module, program, address)
			t.Log(s)
			for k, v := range s {
				best[k] = max(best[k], v)
			}
		}
		assert.Equal(t, 1.0, best["accessibility"])
		assert.Equal(t, 1.0, best["best-practices"])
		assert.Equal(t, 1.0, best["seo"])
		assert.Greater(t, best["performance"], 0.9)
	})
}

// measured runs Lighthouse once and logs what falls short.
func measured(t *testing.T, module, program, address string) map[string]float64 {
	out := filepath.Join(t.TempDir(), "report.json")
	c := exec.CommandContext(t.Context(), "node", filepath.Join(module, "cli", "index.js"), address, "--quiet", "--output=json", "--output-path="+out,
		"--only-categories=performance,accessibility,best-practices,seo", "--chrome-flags=--headless=new --no-sandbox --disable-gpu --disable-dev-shm-usage")
	c.Env = append(os.Environ(), "CHROME_PATH="+program)
	words, err := c.CombinedOutput()
	require.NoError(t, err, string(words))
	text, err := os.ReadFile(out)
	require.NoError(t, err)
	var report struct {
		Categories map[string]struct {
			Score     float64 `json:"score"`
			AuditRefs []struct {
				ID     string  `json:"id"`
				Weight float64 `json:"weight"`
			} `json:"auditRefs"`
		} `json:"categories"`
		Audits map[string]struct {
			Score   *float64 `json:"score"`
			Display string   `json:"displayValue"`
		} `json:"audits"`
	}
	require.NoError(t, json.Unmarshal(text, &report))
	scores := map[string]float64{}
	for name, k := range report.Categories {
		scores[name] = k.Score
		for _, a := range k.AuditRefs {
			if s := report.Audits[a.ID]; a.Weight > 0 && s.Score != nil && *s.Score < 0.9 {
				t.Logf("%s: %s %.2f %s", name, a.ID, *s.Score, s.Display)
			}
		}
	}
	return scores
}
