package checks

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/cmd/internal/page"
	"chainpath/cmd/internal/show"
)

// browser is a page in a real browser.
type browser struct {
	t       *testing.T
	ctx     context.Context
	address string
	stop    func() // of the server
	mu      sync.Mutex
	console []string
}

// chromium returns the browser's program; without one the test is skipped, but in CI it
// fails.
func chromium(t *testing.T) string {
	for _, n := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if p, err := exec.LookPath(n); err == nil {
			return p
		}
	}
	if os.Getenv("CI") != "" {
		t.Fatal("no Chromium")
	}
	t.Skip("no Chromium on this machine")
	return ""
}

// doors are the two ways to the engine: how the page is served for each.
var doors = map[string]func(t *testing.T) (address string, stop func()){
	"native": func(t *testing.T) (string, func()) {
		serving, stop := context.WithCancel(context.Background())
		ready, served := make(chan string, 1), make(chan error, 1)
		go func() { served <- page.Serve(serving, 0, func(a string) { ready <- a }) }()
		return <-ready, func() { stop(); assert.NoError(t, <-served) }
	},
	"worker": func(t *testing.T) (string, func()) {
		e, err := page.Compile(t.Context(), "", func(words string) { t.Log(words) })
		require.NoError(t, err)
		dir := t.TempDir()
		site, order := page.Site(e)
		for _, n := range order {
			require.NoError(t, os.WriteFile(filepath.Join(dir, n), site[n], 0o644))
		}
		s := httptest.NewServer(http.FileServer(http.Dir(dir)))
		return s.URL + "/", s.Close
	},
}

// bothDoors runs a test with each door.
func bothDoors(t *testing.T, test func(t *testing.T, door string)) {
	for door := range doors {
		t.Run(door, func(t *testing.T) { test(t, door) })
	}
}

// shared is the one browser that all tests have tabs of.
var shared struct {
	ctx  context.Context
	stop func()
}

func TestMain(m *testing.M) {
	code := m.Run()
	if shared.stop != nil {
		shared.stop()
	}
	os.Exit(code)
}

// running returns the shared browser, started by the first test that asks.
func running(t *testing.T, program string) context.Context {
	if shared.ctx != nil {
		return shared.ctx
	}
	dir, err := os.MkdirTemp("", "browser")
	require.NoError(t, err)
	alloc, end := chromedp.NewExecAllocator(context.Background(),
		chromedp.ExecPath(program), chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun, chromedp.NoDefaultBrowserCheck,
		chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
		chromedp.Flag("disable-dev-shm-usage", true), chromedp.Flag("enable-unsafe-swiftshader", true), chromedp.WSURLReadTimeout(60*time.Second), chromedp.UserDataDir(dir))
	ctx, cancel := chromedp.NewContext(alloc)
	shared.ctx = ctx
	shared.stop = func() {
		_ = chromedp.Cancel(ctx)
		cancel()
		end()
		_ = os.RemoveAll(dir)
	}
	require.NoError(t, chromedp.Do(ctx, chromedp.Navigate("about:blank")))
	return ctx
}

// open serves the page with a door and opens it at a size.
func open(t *testing.T, door string, width, height int64) *browser {
	program := chromium(t)
	address, stop := doors[door](t)
	b := &browser{t: t, address: address, stop: sync.OnceFunc(stop)}
	t.Cleanup(b.stop)
	ctx, cancel := chromedp.NewContext(running(t, program)) // a tab of its own
	t.Cleanup(func() { _ = chromedp.Cancel(ctx); cancel() })
	b.ctx = ctx
	require.NoError(t, chromedp.Do(ctx, chromedp.EmulateViewport(width, height)))
	messages := chromedp.Console(ctx)
	go func() {
		for m, err := range messages {
			if err != nil {
				return
			}
			if strings.Contains(m.String(), "GPU stall due to ReadPixels") {
				continue // of WebGL without a graphics card, when a picture is taken
			}
			if m.IsException() || m.Type == "error" || m.Type == "warning" {
				b.mu.Lock()
				b.console = append(b.console, m.String())
				b.mu.Unlock()
			}
		}
	}()
	b.load("")
	t.Cleanup(func() {
		b.mu.Lock()
		defer b.mu.Unlock()
		assert.Empty(t, b.console, "the console has no errors")
	})
	return b
}

// load opens the address with a fragment and waits until the engine has answered.
func (b *browser) load(fragment string) {
	b.do(chromedp.Navigate("about:blank"), chromedp.Navigate(b.address+fragment))
	b.until(`document.documentElement.dataset.ready === 'yes'`)
}

func (b *browser) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	require.NoError(b.t, chromedp.Do(b.ctx, steps...))
}

func value[T any](b *browser, js string) T {
	b.t.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](js, chromedp.EvalAwaitPromise))
	require.NoError(b.t, err, js)
	return v
}

func (b *browser) until(js string) {
	b.t.Helper()
	for range 1200 {
		if value[bool](b, js) {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	b.t.Fatalf("never came true: %s", js)
}

// settled waits until the engine has answered what a control asked.
func (b *browser) settled() {
	b.t.Helper()
	b.until(`document.documentElement.dataset.busy !== 'yes' && document.documentElement.dataset.drawn === 'yes'`)
}

// whole waits until the chances and the window stand on the page too.
func (b *browser) whole() {
	b.t.Helper()
	b.until(`document.documentElement.dataset.whole === 'yes'`)
}

// all waits until everything that comes while idle stands there.
func (b *browser) all() {
	b.t.Helper()
	b.until(`document.documentElement.dataset.all === 'yes'`)
}

// set gives a control a value as a hand would, with its events.
func (b *browser) set(id, v string) {
	b.t.Helper()
	ok := value[bool](b, fmt.Sprintf(`(() => { const e = document.getElementById(%q); if (!e) return false; e.value = %q; e.dispatchEvent(new Event('input', {bubbles: true})); e.dispatchEvent(new Event('change', {bubbles: true})); return true; })()`, id, v))
	require.True(b.t, ok, "no control %s", id)
	b.settled()
}

// unfold opens everything that is folded.
func (b *browser) unfold() {
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelectorAll('details').forEach((d) => { d.open = true; })`))
	b.until(`document.getElementById('space').innerHTML !== '' && document.getElementById('side').innerHTML !== ''`)
}

func (b *browser) click(id string) {
	b.do(chromedp.Click("#" + id))
	b.settled()
}

func (b *browser) html(id string) string {
	return value[string](b, fmt.Sprintf(`document.getElementById(%q).innerHTML`, id))
}

// shot keeps a screenshot where SCREENSHOTS names a folder, to be looked at.
func (b *browser) shot(name string) {
	dir := os.Getenv("SCREENSHOTS")
	if dir == "" {
		return
	}
	img, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
	require.NoError(b.t, err)
	require.NoError(b.t, os.WriteFile(filepath.Join(dir, name+".png"), img, 0o644))
}

// The numbers on the page are those of gears --format json, for every shipped case:
// the document to its printed digits, the table's cells to theirs.
func TestNumbersAreThoseOfGears(t *testing.T) { bothDoors(t, testNumbersAreThoseOfGears) }

func testNumbersAreThoseOfGears(t *testing.T, door string) {
	b := open(t, door, 1280, 900)
	for _, name := range cases.Shipped() {
		b.set("shipped", name)
		c, err := cases.Load(name, nil)
		require.NoError(t, err)
		bike, err := c.Bike()
		require.NoError(t, err)
		r, err := bike.Evaluate()
		require.NoError(t, err)
		shares, err := c.Shares(bike)
		require.NoError(t, err)
		doc, err := show.FromResult(c, bike, r, shares)
		require.NoError(t, err)
		require.NoError(t, doc.AddChances(c, bike, r))
		b.whole()
		text, err := json.Marshal(doc)
		require.NoError(t, err)
		var want, got any
		require.NoError(t, json.Unmarshal(text, &want))
		require.NoError(t, json.Unmarshal([]byte(value[string](b, `JSON.stringify(window.chainpathPage.document)`)), &got))
		same(t, name, want, got)
		rows := value[[][]string](b, `[...document.querySelectorAll('#gears tbody tr')].map(r => [...r.cells].map(c => c.textContent))`)
		require.Len(t, rows, len(doc.Gears))
		for i, g := range doc.Gears {
			assert.Equal(t, fmt.Sprintf("%d/%d", g.RingTeeth, g.CogTeeth), rows[i][0])
			assert.Equal(t, fmt.Sprintf("%.2f", *g.Top.Bend), rows[i][4], "%s %d/%d", name, g.RingTeeth, g.CogTeeth)
			assert.Equal(t, fmt.Sprintf("%.2f", *g.Bottom.Bend), rows[i][5])
			for _, v := range g.Verdicts {
				k := 1
				if v.Direction == "backwards" {
					k = 2
				}
				assert.Contains(t, rows[i][k], v.Words)
			}
		}
	}
	b.shot("desktop")
}

// same compares two documents, number by number to the last printed digit.
func same(t *testing.T, path string, want, got any) {
	switch w := want.(type) {
	case map[string]any:
		g, ok := got.(map[string]any)
		require.True(t, ok, path)
		require.Len(t, g, len(w), path)
		for k := range w {
			same(t, path+"."+k, w[k], g[k])
		}
	case []any:
		g, ok := got.([]any)
		require.True(t, ok, path)
		require.Len(t, g, len(w), path)
		for i := range w {
			same(t, fmt.Sprintf("%s[%d]", path, i), w[i], g[i])
		}
	default:
		assert.Equal(t, want, got, path)
	}
}

// Every control moves the chart or a view; undo takes it back.
func TestEveryControlMoves(t *testing.T) { bothDoors(t, testEveryControlMoves) }

// state is what the page shows of the bike and of what it does; the map is left out, which is
// first drawn from a part of the sets.
func (b *browser) state() string {
	return b.html("chart") + b.html("verdict") + b.html("bike") + b.html("answer") + b.html("gears")
}

func testEveryControlMoves(t *testing.T, door string) {
	b := open(t, door, 1280, 900)
	took := []float64{}
	controls := map[string]string{
		"front-line-range": "48", "frame-stay-range": "450", "rear-line-range": "44", "front-rings-0--range": "36", "chain-slack-range": "1.5",
		"load-torque-range": "5", "tyre-width-range": "70", "front-line-number": "49.5", "frame-stay-number": "441", "rear-line-number": "45", "front-rings-0--number": "34",
		"chain-slack-number": "1.2", "load-torque-number": "90", "tyre-width-number": "50", "cluster": "12-speed, 11-50",
	}
	if door == "worker" { // the same requests, more slowly
		controls = map[string]string{"front-line-range": "48", "load-torque-number": "90", "cluster": "12-speed, 11-50"}
	}
	for id, v := range controls {
		b.whole()
		before := b.state()
		b.set(id, v)
		assert.NotEqual(t, before, b.state(), id)
		assert.True(t, value[bool](b, `document.getElementById('message').hidden`), "%s: %s", id, b.html("message"))
		took = append(took, value[float64](b, `window.chainpathLast`))
		b.click("undo")
		b.whole()
		assert.Equal(t, before, b.state(), "undo of %s", id)
	}
	b.click("redo")
	b.click("undo")
	b.unfold()
	for id, v := range map[string]string{"direction": "backwards", "cog": "10"} {
		before := b.html("chart") + b.html("side")
		b.set(id, v)
		assert.NotEqual(t, before, b.html("chart")+b.html("side"), id)
	}
	// The chain moves, forwards and backwards, and stops.
	b.click("play")
	b.until(`document.getElementById('moving').getAttribute('stroke-dashoffset') > 0`)
	b.set("direction", "riding")
	b.until(`document.getElementById('moving').getAttribute('stroke-dashoffset') < 0`)
	assert.Regexp(t, "^rotate", value[string](b, `document.querySelector('.turns').getAttribute('transform')`), "cranks and wheels turn too")
	b.click("play")
	// In space: by keys.
	b.space()
	before := b.html("space")
	b.do(chromedp.Focus("#space"), chromedp.KeyEvent(kb.ArrowRight))
	b.painted()
	assert.NotEqual(t, before, b.html("space"))
	// The window follows the front line.
	b.until(`document.querySelectorAll('#window line').length > 5`)
	window := b.html("window")
	b.set("front-line-range", "45")
	b.until(`document.getElementById('window').innerHTML !== ` + fmt.Sprintf("%q", window))
	slices.Sort(took)
	t.Logf("a slider's step to new chart and views: median %.1f ms, longest %.1f ms", took[len(took)/2], took[len(took)-1])
}

// Two rings have a choice of the ring.
func TestTwoRings(t *testing.T) {
	b := open(t, "native", 1280, 900)
	b.set("shipped", "road")
	assert.False(t, value[bool](b, `document.getElementById('ring-label').hidden`))
	before := b.html("chart")
	b.set("ring", "34")
	assert.NotEqual(t, before, b.html("chart"))
}

// By Tab every control is reached, in the order of the page, and each has a name.
func TestKeyboardReachesEverything(t *testing.T) {
	b := open(t, "native", 1280, 900)
	b.all()
	want := value[[]string](b, `[...document.querySelectorAll('a,button,select,input,textarea,summary,[tabindex="0"]')].filter(e => !e.disabled && e.getClientRects().length && (e.tagName === 'SUMMARY' || !e.closest('details:not([open])'))).map(e => e.id || e.tagName)`)
	got := []string{}
	for range len(want) + 2 {
		b.do(chromedp.KeyEvent(kb.Tab))
		got = append(got, value[string](b, `document.activeElement.id || document.activeElement.tagName`))
	}
	for _, id := range want {
		assert.Contains(t, got, id)
	}
	nameless := value[[]string](b, `[...document.querySelectorAll('button,select,input,textarea')].filter(e => !(e.textContent.trim() && e.tagName === 'BUTTON') && !e.labels?.length && !e.getAttribute('aria-label')).map(e => e.id)`)
	assert.Empty(t, nameless)
	// A slider moves by its keys.
	before := b.html("chart")
	b.do(chromedp.Focus("#front-line-range"), chromedp.KeyEvent(kb.ArrowRight))
	b.settled()
	assert.NotEqual(t, before, b.html("chart"))
}

// At 360 px nothing is wider than the screen.
func TestNarrowScreen(t *testing.T) {
	b := open(t, "native", 360, 740)
	for _, name := range []string{"trail", "tourer", "single"} {
		b.set("shipped", name)
		time.Sleep(400 * time.Millisecond) // the window is drawn a little later
		assert.LessOrEqual(t, value[int](b, `document.documentElement.scrollWidth`), 360, name)
	}
	b.set("shipped", "trail")
	b.shot("narrow")
}

// A link carries the case; a malformed one is said, with the first case in its place;
// a mistake in the text is told in the command line's words and nothing is lost.
func TestLinksAndMistakes(t *testing.T) { bothDoors(t, testLinksAndMistakes) }

func testLinksAndMistakes(t *testing.T, door string) {
	b := open(t, door, 1280, 900)
	b.set("front-line-range", "47.5")
	b.click("share")
	b.until(`location.hash.startsWith('#case=')`)
	hash, yaml := value[string](b, `location.hash`), value[string](b, `window.chainpathPage.yaml`)
	b.load(hash)
	assert.Equal(t, yaml, value[string](b, `window.chainpathPage.yaml`))
	broken := []byte(hash)
	broken[len(broken)/2] ^= 1
	for _, bad := range []string{string(broken), hash[:len(hash)-20], "#case=%%%", "#case=!!", "#nonsense", "#case=" + strings.Repeat("A", 999), "#case="} {
		b.load(bad)
		assert.NotEmpty(t, b.html("message"), bad)
		assert.Contains(t, b.html("title"), "front chainline", "%s: the page is not blank", bad)
	}
	title := b.html("title")
	for text, want := range map[string]string{
		"chainpath: 7":             "case:1:12: chainpath: 7 is out of range, want 1",
		": [":                      "not valid YAML",
		"":                         "empty file",
		"chainpath: 1\ntitel: x\n": "did you mean \"title\"?",
	} {
		value[bool](b, fmt.Sprintf(`(document.getElementById('yaml').value = %q, document.getElementById('apply').click(), true)`, text))
		b.settled()
		assert.Contains(t, value[string](b, `document.getElementById('message').textContent`), want)
		assert.Equal(t, title, b.html("title"))
	}
	b.set("front-line-number", "400")
	assert.Contains(t, value[string](b, `document.getElementById('message').textContent`), "front.line: 400 mm is out of range, want 0 mm to 300 mm")
}

// After loading, the server of the static site may go: everything still works.
func TestOfflineAfterLoad(t *testing.T) {
	b := open(t, "worker", 1280, 900)
	b.until(`document.documentElement.dataset.later === 'yes'`)
	b.stop()
	before := b.html("chart")
	b.set("front-line-range", "46")
	assert.NotEqual(t, before, b.html("chart"))
	b.set("lesson", "lines")
	assert.Contains(t, b.html("lesson-at"), "1 of 6")
}

// Text stands out from its ground by 4.5 to 1 (WCAG 2.1, 1.4.3) in light and dark.
func TestContrast(t *testing.T) {
	b := open(t, "native", 1280, 900)
	for _, scheme := range []string{"light", "dark"} {
		b.media("prefers-color-scheme", scheme)
		b.set("direction", "backwards")
		low := value[[]string](b, `(() => {
			const parse = (c) => c.match(/[\d.]+/g).map(Number);
			const lum = ([r, g, b]) => [r, g, b].map((v) => { v /= 255; return v <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; }).reduce((s, v, i) => s + v * [0.2126, 0.7152, 0.0722][i], 0);
			const ground = (e) => { for (; e; e = e.parentElement) { const c = parse(getComputedStyle(e).backgroundColor); if (c.length < 4 || c[3] > 0) return c; } return [255, 255, 255]; };
			const out = [];
			for (const e of document.querySelectorAll('h1,h2,p,label,button:not(:disabled),select,input:not([type=range]),small,td,th,strong,footer,summary,svg text:not(.over)')) {
				if (!e.getClientRects().length) continue;
				const s = getComputedStyle(e), a = lum(parse(e.namespaceURI.endsWith('svg') ? s.fill : s.color)), g = lum(ground(e));
				const ratio = (Math.max(a, g) + 0.05) / (Math.min(a, g) + 0.05);
				if (ratio < 4.5) out.push(e.tagName + ' ' + (e.id || e.textContent.slice(0, 20)) + ' ' + ratio.toFixed(2));
			}
			return out;
		})()`)
		assert.Empty(t, low, scheme)
		b.shot(scheme)
	}
}

// media emulates a media feature.
func (b *browser) media(name, value string) {
	_, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: name, Value: value}}})
	require.NoError(b.t, err)
}

// With reduced motion asked for, the chain goes on by a link a second instead of
// gliding.
func TestReducedMotion(t *testing.T) {
	b := open(t, "native", 1280, 900)
	b.media("prefers-reduced-motion", "reduce")
	b.unfold()
	b.click("play")
	seen := map[string]bool{}
	begun := time.Now()
	for range 30 {
		seen[value[string](b, `document.getElementById('moving').getAttribute('stroke-dashoffset') || ''`)] = true
		time.Sleep(50 * time.Millisecond)
	}
	assert.LessOrEqual(t, float64(len(seen)), time.Since(begun).Seconds()+2, "a step a second, however long it took to look")
	assert.Greater(t, len(seen), 1)
}

// How long until the page answers, told, not judged.
func TestLoadTime(t *testing.T) {
	bothDoors(t, func(t *testing.T, door string) {
		b := open(t, door, 1280, 900)
		begun := time.Now()
		b.load("")
		t.Logf("first chart after %.0f ms, all controls after %v", value[float64](b, `chainpathFirst`), time.Since(begun).Round(time.Millisecond))
	})
}

// ask sends a request straight through a page's door.
func (b *browser) ask(request map[string]any) (answer any) {
	b.t.Helper()
	q, err := json.Marshal(request)
	require.NoError(b.t, err)
	value[bool](b, fmt.Sprintf(`(window.answered = undefined, window.chainpathPage.ask(%s).then(a => { window.answered = JSON.stringify(a); }), true)`, q))
	b.until(`window.answered !== undefined`)
	require.NoError(b.t, json.Unmarshal([]byte(value[string](b, `window.answered`)), &answer))
	return answer
}

// Both doors answer alike: every shipped case, with chances and window, edits, and
// every kind of mistake.
func TestDoorsAnswerAlike(t *testing.T) {
	native, worker := open(t, "native", 1280, 900), open(t, "worker", 1280, 900)
	native.all()
	worker.all()
	requests := []map[string]any{
		{"op": "shipped"}, {"op": "text", "name": "trail"}, {"op": "text", "name": "x"}, {"op": "nonsense"}, {"op": 7},
		{"op": "compute", "yaml": ""}, {"op": "compute", "yaml": ": ["}, {"op": "compute", "yaml": "chainpath: 7"},
	}
	for _, name := range cases.Shipped() {
		text, err := cases.ShippedText(name)
		require.NoError(t, err)
		requests = append(requests,
			map[string]any{"op": "compute", "yaml": string(text), "window": name == "single" || name == "gravel"},
			map[string]any{"op": "compute", "yaml": string(text), "edits": []edit{{"frame.stay", "435"}, {"chain.slack", "1.2"}}},
			map[string]any{"op": "compute", "yaml": string(text), "edits": []edit{{"frame.stay", "9000"}}},
			map[string]any{"op": "learn", "yaml": string(text), "drop": 9})
	}
	trail, err := cases.ShippedText("trail")
	require.NoError(t, err)
	catalogue, err := cases.ShippedText("trail-parts")
	require.NoError(t, err)
	requests = append(requests,
		map[string]any{"op": "compute", "yaml": string(trail), "chances": true},
		map[string]any{"op": "compute", "yaml": string(trail), "edits": []edit{{"tyre", ""}}},
		map[string]any{"op": "parts", "yaml": string(trail)},
		map[string]any{"op": "parts", "yaml": string(trail), "catalogue": string(catalogue)},
		map[string]any{"op": "parts", "yaml": string(trail), "catalogue": "nonsense"},
		map[string]any{"op": "next", "yaml": string(trail)},
		map[string]any{"op": "diagnose", "yaml": string(trail)},
		map[string]any{"op": "compare", "yaml": string(trail), "before": string(trail)},
		map[string]any{"op": "march", "yaml": string(trail), "ring": 32, "cog": 51, "backwards": true},
		map[string]any{"op": "march", "yaml": string(trail), "ring": 1},
		map[string]any{"op": "space", "yaml": string(trail), "ring": 32, "cog": 51},
		map[string]any{"op": "space", "yaml": string(trail), "ring": 1},
		map[string]any{"op": "compute", "yaml": string(trail), "space": true, "ring": 32, "cog": 10},
		map[string]any{"op": "start", "draft": map[string]string{"rings": "32", "cogs": "11-42 11-speed"}},
		map[string]any{"op": "start"},
		map[string]any{"op": "measure", "yaml": string(trail), "draft": map[string]string{"front": "tube 48.6 ± 0.1, gap 28"}})
	for i, q := range requests {
		same(t, fmt.Sprint(i), native.ask(q), worker.ask(q))
	}
}

// What the bicycle does is told by tapping a cog and a sign; the chances become its own, the
// case keeps what was seen, and undo and removing take it back.
func TestLearningByTapping(t *testing.T) {
	bothDoors(t, func(t *testing.T, door string) {
		b := open(t, door, 1280, 900)
		b.set("shipped", "gravel")
		b.whole()
		words := func() string { return value[string](b, `document.getElementById('seen-said').textContent`) }
		chance := func() float64 {
			b.whole()
			return value[float64](b, `chainpathPage.document.gears.at(-1).chance.drop_backwards`)
		}
		seen := func(n int) {
			b.until(fmt.Sprintf(`document.querySelectorAll('#seen-list li').length === %d`, n))
		}
		before := chance()
		b.set("seen-way", "backwards")
		assert.True(t, value[bool](b, `document.getElementById('seen-sign-noise').disabled`), "nothing is known of noise backwards")
		assert.True(t, value[bool](b, `document.getElementById('seen-sign-rubs_next_ring').disabled`), "there is one ring")
		assert.False(t, value[bool](b, `document.getElementById('seen-sign-rubs_tyre').disabled`))
		assert.False(t, value[bool](b, `document.getElementById('seen-sign-meets_stay').disabled`))
		assert.True(t, value[bool](b, `document.getElementById('seen-sign-meets_wheel').disabled`), "nobody measured the spokes")
		b.click("seen-cog-42")
		b.set("seen-off", "9")
		b.click("seen-sign-off")
		seen(1)
		b.until(`document.getElementById('seen-said').textContent !== ''`)
		assert.Contains(t, words(), "Chain drop when back-pedalling in 40/42")
		after := chance()
		assert.Greater(t, after, before)
		yaml := value[string](b, `chainpathPage.yaml`)
		assert.Contains(t, yaml, "# Invented")
		assert.Contains(t, yaml, `what: "off", "off": 9, of: 10`)
		assert.Contains(t, yaml, "learned:")
		b.shot("learn-" + door)

		// Two taps in haste are both there.
		b.set("seen-way", "riding")
		b.do(chromedp.Evaluate[chromedp.Void](`document.getElementById('seen-cog-11').click(); document.getElementById('seen-sign-quiet').click(); document.getElementById('seen-cog-24').click(); document.getElementById('seen-sign-fine').click()`))
		seen(3)
		b.click("seen-drop-1")
		seen(2)
		assert.Less(t, chance(), after)
		b.click("undo")
		seen(3)
		assert.InDelta(t, after, chance(), 0.2)
		for range 3 {
			n := value[int](b, `document.querySelectorAll('#seen-list li').length`)
			b.click("seen-drop-1")
			seen(n - 1)
		}
		assert.NotContains(t, value[string](b, `chainpathPage.yaml`), "learned:")
		assert.InDelta(t, before, chance(), 1e-9)
		assert.Empty(t, words())
	})
}

type edit struct {
	Path  string `json:"path"`
	Value string `json:"value"`
}

// A newer request takes the place of one that takes longer, and what several quick
// changes asked is all there in the end.
func TestNewerRequestSupersedes(t *testing.T) {
	bothDoors(t, func(t *testing.T, door string) {
		b := open(t, door, 1280, 900)
		b.set("shipped", "tourer")
		b.whole()
		value[bool](b, `(() => {
			const p = window.chainpathPage, slow = { op: 'compute', yaml: p.yaml, window: true };
			window.got = [];
			p.engine(slow).then((a) => window.got.push(a.superseded ? 'given up' : 'whole'));
			p.engine({ op: 'shipped' }).then((a) => window.got.push(a.cases ? 'quick' : 'lost'));
			return true;
		})()`)
		b.until(`window.got.length === 2`)
		assert.Equal(t, []string{"given up", "quick"}, value[[]string](b, `window.got`))
		value[bool](b, `(() => {
			for (const [id, v] of [['frame-stay-number', '431'], ['chain-slack-number', '0.9'], ['frame-stay-number', '433'], ['load-torque-number', '33']]) {
				const e = document.getElementById(id);
				e.value = v;
				e.dispatchEvent(new Event('change', { bubbles: true }));
			}
			return true;
		})()`)
		b.settled()
		for _, want := range []string{"stay: 433", "slack: 0.9", "torque: 33"} {
			assert.Contains(t, value[string](b, `window.chainpathPage.yaml`), want)
		}
		b.whole()
	})
}

// When the command that served the page is gone, the page says so.
func TestServerGone(t *testing.T) {
	b := open(t, "native", 1280, 900)
	b.whole()
	b.stop()
	b.set("front-line-range", "46")
	assert.Contains(t, b.html("message"), "Does chainpath page still run?")
	b.mu.Lock()
	b.console = nil // the browser's own word on the refused connection
	b.mu.Unlock()
}
