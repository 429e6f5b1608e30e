package checks

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
)

const frontLine = `chainpathPage.document.lines.front_mm`

// mouse sends a mouse event to a place of the window.
func (b *browser) mouse(kind input.DispatchMouseEventType, x, y float64) {
	b.t.Helper()
	_, err := chromedp.Call(b.ctx, input.DispatchMouseEvent, input.DispatchMouseEventParams{Type: kind, X: x, Y: y, Button: input.MouseButtonLeft, ClickCount: 1, Buttons: 1})
	require.NoError(b.t, err)
}

// middle returns where an element's middle is in the window.
func (b *browser) middle(selector string) (x, y float64) {
	b.t.Helper()
	at := value[[]float64](b, fmt.Sprintf(`(() => { const e = document.querySelector(%q); e.scrollIntoView({block: 'center'}); const r = e.getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; })()`, selector))
	return at[0], at[1]
}

// The ring is dragged on the figure: bends and chances follow at once, and one undo takes the
// whole stroke back.
func TestDragTheRing(t *testing.T) {
	bothDoors(t, func(t *testing.T, door string) {
		b := open(t, door, 1440, 900)
		b.whole()
		was := value[float64](b, frontLine)
		x, y := b.middle("#ring-handle path")
		b.mouse(input.DispatchMouseEventTypeMousePressed, x, y)
		before := b.html("chart")
		b.mouse(input.DispatchMouseEventTypeMouseMoved, x-20, y)
		b.until(fmt.Sprintf(`document.getElementById('chart').innerHTML.length && %s < %g`, frontLine, was-0.5))
		assert.NotEqual(t, before, b.html("chart"), "drawn while it is dragged")
		b.mouse(input.DispatchMouseEventTypeMouseMoved, x-40, y)
		b.mouse(input.DispatchMouseEventTypeMouseReleased, x-40, y)
		b.settled()
		b.until(fmt.Sprintf(`%s < %g`, frontLine, was-1.5))
		estimate := value[[]float64](b, `chainpathPage.figure.ways[0].marks.map((m) => m.bend_deg)`)
		b.whole()
		assert.InDeltaSlice(t, estimate, value[[]float64](b, `chainpathPage.figure.ways[0].marks.map((m) => m.bend_deg)`), 1e-6)
		b.click("undo")
		b.until(fmt.Sprintf(`%s === %g`, frontLine, was))
		b.do(chromedp.Focus("#ring-handle"), chromedp.KeyEvent(kb.ArrowRight))
		b.until(fmt.Sprintf(`Math.abs(%s - %g) < 1e-9`, frontLine, was+0.25))
		b.do(chromedp.KeyEvent(kb.ArrowRight))
		b.until(fmt.Sprintf(`Math.abs(%s - %g) < 1e-9`, frontLine, was+0.5))
	})
}

// A new bike is entered without YAML, from the least.
func TestNewBike(t *testing.T) {
	bothDoors(t, func(t *testing.T, door string) {
		b := open(t, door, 1440, 900)
		b.click("new")
		b.do(chromedp.SendKeys("#start-rings", "30"), chromedp.SendKeys("#start-cogs", "11-42 31-speed"), chromedp.KeyEvent(kb.Enter))
		b.until(`document.getElementById('message').textContent.includes('speed')`)
		assert.False(t, value[bool](b, `document.getElementById('start').hidden`))
		b.do(chromedp.Evaluate[chromedp.Void](`document.getElementById('start-cogs').value = ''`), chromedp.SendKeys("#start-cogs", "11-42"), chromedp.SendKeys("#start-rear", "axle 148"), chromedp.KeyEvent(kb.Enter))
		b.until(`document.getElementById('start').hidden`)
		b.whole()
		assert.Equal(t, []int{30}, value[[]int](b, `[...new Set(chainpathPage.document.gears.map((g) => g.ring_teeth))]`))
		assert.Equal(t, 11, value[int](b, `chainpathPage.document.gears.length`))
		assert.Contains(t, b.html("notes"), "the front chainline is")
		assert.NotEmpty(t, b.html("answer"))
		b.shot("new-" + door)
	})
}

// Rings and cogs change by tapping; a single speed is entered; what is wrong is said and
// nothing is lost.
func TestTappingTeeth(t *testing.T) {
	b := open(t, "native", 1440, 900)
	b.whole()
	cogs := `[...new Set(chainpathPage.document.gears.map((g) => g.cog_teeth))].sort((a, b) => a - b)`
	b.click("cogs-11")
	b.click("teeth-less")
	b.until(cogs + `.at(-1) === 50`)
	b.click("teeth-out")
	b.until(cogs + `.length === 11`)
	b.click("cog-add")
	b.until(cogs + `.length === 12`)
	b.click("ring-add")
	b.until(`new Set(chainpathPage.document.gears.map((g) => g.ring_teeth)).size === 2`)
	b.set("teeth", "200")
	assert.Contains(t, b.html("message"), "200")
	b.click("undo")
	b.until(`new Set(chainpathPage.document.gears.map((g) => g.ring_teeth)).size === 1`)
	assert.Contains(t, value[string](b, `chainpathPage.yaml`), "# Invented")
	b.set("shipped", "single")
	b.until(`chainpathPage.document.gears.length === 1`)
	b.whole()
	hidden := `document.getElementById('tensioner-cage-field').parentElement.hidden`
	assert.True(t, value[bool](b, hidden))
	b.set("rear-drive-field", "coaster")
	b.until(`chainpathPage.yaml.includes('drive: coaster')`)
	b.click("tensioner")
	b.until(`!document.getElementById('message').hidden`)
	assert.Contains(t, b.html("message"), "tensioner")
	assert.True(t, value[bool](b, hidden), "what cannot be is not taken")
	b.set("rear-drive-field", "")
	b.click("tensioner")
	b.until(`!` + hidden)
	b.click("tensioner")
	b.until(hidden)
	b.shot("single")
}

// Lines are typed where they are measured, in mm or inch with ±; fields take what a case file
// takes, and empty ones go.
func TestTypedReadings(t *testing.T) {
	b := open(t, "native", 1440, 900)
	b.set("draw-front-gap", "1 in ± 0.02")
	b.until(fmt.Sprintf(`Math.abs(%s - (48.6 / 2 + 25.4)) < 0.01`, frontLine))
	yaml := value[string](b, `chainpathPage.yaml`)
	assert.Contains(t, yaml, "1 in ± 0.02")
	b.set("draw-front-gap", "x")
	b.until(`!document.getElementById('message').hidden`)
	assert.Equal(t, yaml, value[string](b, `chainpathPage.yaml`))
	assert.NotEqual(t, "x", value[string](b, `document.getElementById('draw-front-gap').value`))
	b.set("draw-rear-line", "47 ± 0.5")
	b.until(`chainpathPage.document.lines.rear_mm === 47`)
	b.set("tyre-size-field", "54-584")
	b.until(`chainpathPage.yaml.includes('54-584')`)
	b.set("tyre-size-field", "")
	b.until(`!/^tyre:/m.test(chainpathPage.yaml)`)
	assert.Contains(t, value[string](b, `chainpathPage.yaml`), "# Invented")
}

// What would help comes as cards; one is tried on the figure, where what was before stays as a
// ghost, and what changed is said.
func TestCards(t *testing.T) {
	bothDoors(t, func(t *testing.T, door string) {
		b := open(t, door, 1440, 900)
		b.until(`document.querySelectorAll('.card').length > 1`)
		assert.NotContains(t, b.html("would"), "Price 0")
		assert.Zero(t, value[int](b, `document.querySelectorAll('#chart .ghost').length`))
		b.click("try-0")
		b.until(`document.querySelectorAll('#chart .ghost').length > 0`)
		b.until(`document.getElementById('compared').textContent !== ''`)
		assert.Regexp(t, `The fault score falls from 0\.\d\d to 0\.\d\d\.`, b.html("compared"))
		b.shot("tried-" + door)
		b.click("hold-drop")
		b.until(`document.querySelectorAll('#chart .ghost').length === 0`)
		assert.Empty(t, b.html("compared"))
		b.until(`document.getElementById('next-answer').textContent !== ''`)
		nothing := strings.HasPrefix(b.html("next-answer"), "No test is likely")
		assert.Equal(t, nothing, value[int](b, `document.querySelectorAll('#next-list li').length`) == 0, b.html("next-answer"))
	})
}

// What was answered of the bike before is marked as such at once, with nothing of it to be taken, until the
// answer for the bike at hand is there: of every panel.
func TestOldAnswersAreMarked(t *testing.T) {
	bothDoors(t, func(t *testing.T, door string) {
		b := open(t, door, 1440, 900)
		b.until(`document.documentElement.dataset.all === 'yes' && document.querySelectorAll('.card button').length > 0`)
		b.space()
		const state = `JSON.stringify([...document.querySelectorAll('.panel')].map((p) => [p.id, p.dataset.old === 'yes', p.getAttribute('aria-busy') === 'true', !p.querySelector('.old').hidden, [...p.querySelectorAll('button[id^=try-]')].every((x) => x.disabled)]))`
		read := func(js string) (list [][]any) {
			require.NoError(t, json.Unmarshal([]byte(value[string](b, js)), &list))
			return list
		}
		panels := read(state)
		require.GreaterOrEqual(t, len(panels), 9)
		for _, p := range panels {
			assert.Equal(t, []any{false, false, false}, p[1:4], "%v", p[0])
		}
		// Right when another bike is at hand, before anything else of it is answered.
		old := read(`new Promise((done) => {
			const was = chainpathPage.yaml, select = document.getElementById('shipped');
			select.value = 'tourer';
			select.dispatchEvent(new Event('change'));
			const look = () => (chainpathPage.yaml === was ? setTimeout(look, 1) : done(` + state + `));
			look();
		})`)
		for _, p := range old {
			if p[0] == "compared-of" || p[0] == "film-of" { // nothing was compared, and no chain run
				continue
			}
			assert.Equal(t, []any{true, true, true, true}, p[1:], "%v", p[0])
		}
		b.until(`document.documentElement.dataset.all === 'yes'`)
		for _, p := range read(state) {
			assert.Equal(t, []any{false, false, false}, p[1:4], "%v", p[0])
		}
		assert.Contains(t, b.html("title"), "Tourer")
	})
}

// Behind every chart stands a table with its numbers.
func TestTablesBehindCharts(t *testing.T) {
	b := open(t, "native", 1440, 900)
	b.all()
	b.unfold()
	assert.Equal(t, 12, value[int](b, `document.querySelectorAll('#chart-table tbody tr').length`))
	assert.Equal(t, 12, value[int](b, `document.querySelectorAll('#map-table tbody tr').length`))
	assert.Equal(t, value[int](b, `document.querySelectorAll('#map-table tbody td').length`), value[int](b, `chainpathPage.document.gears.length * (document.querySelectorAll('#map-table thead th').length - 1)`))
	assert.Greater(t, value[int](b, `document.querySelectorAll('#window-table tbody tr').length`), 5)
	for _, id := range []string{"chart-table", "map-table", "window-table", "shifts", "gears"} {
		assert.Zero(t, value[int](b, fmt.Sprintf(`document.querySelectorAll('#%s tbody tr:not(:has(> th[scope=row]))').length`, id)), id)
	}
}

// How it shifts stands in the folded views; a bike without a derailleur has none.
func TestShiftsStandThere(t *testing.T) {
	b := open(t, "native", 1440, 900)
	b.all()
	assert.Equal(t, 22, value[int](b, `document.querySelectorAll('#shifts tbody tr').length`), "each shift once, whatever the rings")
	assert.NotEmpty(t, b.html("shifts-answer"))
	chances := value[[]string](b, `[...document.querySelectorAll('#shifts tbody tr')].map((r) => r.cells[1].textContent)`)
	require.Len(t, chances, 22)
	for _, c := range chances {
		assert.NotContains(t, []string{"0.00", "1.00"}, c, "never as 0 or 1")
	}
	b.unfold()
	testShiftFigure(t, b, "set at its best", 12, 0)
	b.shot("shifts-1440")
	b.do(chromedp.EmulateViewport(390, 844))
	for name, put := range map[string]string{"out": "index_error: 0.9", "apart": "float: 2\n  index_error: -0.9"} {
		b.set("yaml", strings.Replace(shippedText(t, "trail"), "gaps: [14, 6]", "gaps: [14, 6]\n  "+put, 1))
		b.do(chromedp.Evaluate[chromedp.Void](`document.getElementById('apply').click()`))
		b.do(chromedp.Click("#tab-views"))
		b.until(fmt.Sprintf(`document.getElementById('shifts-headline').textContent.includes('adjuster %s ')`, map[string]string{"out": "out", "apart": "in"}[name]))
		testShiftFigure(t, b, "as set", 12, map[string]int{"apart": 1}[name])
		b.shot("shifts-390-" + name)
	}
	b.set("yaml", strings.Replace(shippedText(t, "road"), "\ntensioner:\n", "\nsymptoms:\n  - {what: slow_to_larger}\ntensioner:\n", 1))
	b.do(chromedp.Evaluate[chromedp.Void](`document.getElementById('apply').click()`))
	b.until(`/Shifting, all of it together: Most likely \(\d+ %\)/.test(document.getElementById('diagnosis').textContent)`)
	b.set("shipped", "single")
	b.all()
	assert.True(t, value[bool](b, `document.getElementById('shifts-box').hidden`))
}

// testShiftFigure holds the figure of shifts against the engine's answer: a row for each cog, the line
// of the setting where it is, and no label over another or outside.
func testShiftFigure(t *testing.T, b *browser, set string, cogs, apart int) {
	const svg = `document.querySelector('#shifts-figure svg')`
	assert.Equal(t, cogs, value[int](b, svg+`.querySelectorAll('.made, .apart').length`))
	assert.Equal(t, apart > 0, value[bool](b, svg+`.querySelectorAll('.apart').length > 0`))
	assert.Equal(t, 2*cogs-2, value[int](b, svg+`.querySelectorAll('.doubt').length`))
	words := value[[]string](b, `[...`+svg+`.querySelectorAll('text')].map((t) => t.textContent)`)
	assert.Contains(t, words, set)
	assert.Contains(t, words, "← turn the adjuster out")
	over := value[[]string](b, `(() => { const e = [...`+svg+`.querySelectorAll('text')].map((t) => [t.textContent, t.getBoundingClientRect()]), f = `+svg+`.getBoundingClientRect();
		const out = e.filter(([, a]) => a.left < f.left - 1 || a.right > f.right + 1 || a.height === 0).map(([w]) => w + ' is outside');
		e.forEach(([v, a], i) => e.slice(i + 1).forEach(([w, c]) => { if (a.left < c.right && c.left < a.right && a.top < c.bottom - 2 && c.top < a.bottom - 2) out.push(v + ' over ' + w); }));
		return out; })()`)
	assert.Empty(t, over)
}

// shippedText is a shipped bike's file.
func shippedText(t *testing.T, name string) string {
	text, err := cases.ShippedText(name)
	require.NoError(t, err)
	return string(text)
}

// A cog that brakes has its caution, others have none.
func TestBrakesAreCautioned(t *testing.T) {
	b := open(t, "native", 1440, 900)
	assert.Empty(t, b.html("brakes"))
	b.set("shipped", "fixed")
	b.settled()
	assert.Contains(t, b.html("brakes"), "Without its chain a fixed cog brakes nothing")
	b.set("shipped", "single")
	b.settled()
	assert.Empty(t, b.html("brakes"))
}

// A case with symptoms is told what can be behind them.
func TestDiagnosisStandsThere(t *testing.T) {
	b := open(t, "native", 1440, 900)
	b.set("shipped", "trail")
	b.until(`document.getElementById('diagnosis').textContent.includes('Noise on the 44')`)
	assert.Contains(t, b.html("diagnosis"), "Likely causes")
}

// The chain is run link by link, and the crank turned by hand.
func TestFilm(t *testing.T) {
	bothDoors(t, func(t *testing.T, door string) {
		b := open(t, door, 1440, 900)
		b.set("direction", "backwards")
		b.click("film-run")
		b.until(`document.querySelectorAll('#film path').length > 10`)
		assert.Contains(t, b.html("film-words"), "32/51, back-pedalling, one chain of many: ")
		before := b.html("film")
		b.set("film-at", "0")
		assert.NotEqual(t, before, b.html("film"))
		assert.Contains(t, b.html("film"), "crank ")
		b.click("film-play")
		b.until(`document.getElementById('film-at').value !== '0'`)
		b.click("film-play")
		b.shot("film-" + door)
		// The film goes on to the end of the fall, with two links named throughout and their numbers.
		b.do(chromedp.Evaluate[chromedp.Void](`document.getElementById('film-at').scrollIntoView()`))
		last := value[int](b, `Number(document.getElementById('film-at').max)`)
		assert.Greater(t, last, 60)
		for _, share := range []int{40, 60, 100} {
			b.set("film-at", strconv.Itoa(last*share/100))
			told := value[[]string](b, `[...document.querySelectorAll('#film .told')].map((e) => e.textContent)`)
			require.Len(t, told, 2)
			for i, link := range []string{"link 36: ", "link 34: "} {
				assert.Contains(t, told[i], link)
				assert.Regexp(t, `-?\d+\.\d mm high, -?\d+\.\d mm outboard, lean -?\d+°, \d+\.\d N, `, told[i])
			}
			assert.Contains(t, b.html("film"), ">44<", "the neighbours are drawn")
			b.shot(fmt.Sprintf("fall-%d-%s", share, door))
		}
		assert.Contains(t, b.html("film-words"), "Link 36 stands on its tip and rides round with the tooth")
		for _, words := range []string{"Computed", "One chain of many", "Not computed"} {
			assert.Contains(t, b.html("film-limits"), words)
		}
		b.click("film-back")
		assert.Equal(t, strconv.Itoa(last-1), value[string](b, `document.getElementById('film-at').value`))
		b.click("film-step")
		assert.Equal(t, strconv.Itoa(last), value[string](b, `document.getElementById('film-at').value`))
	})
}

// The three lessons run through by the keyboard, each step beside what it speaks of, and every
// answer is worked out.
func TestLessons(t *testing.T) {
	b := open(t, "native", 1440, 900)
	for lesson, steps := range map[string]int{"lines": 6, "backwards": 5, "change": 5} {
		b.set("lesson", lesson)
		seen := map[string]bool{}
		for i := range steps {
			b.until(fmt.Sprintf(`document.getElementById('lesson-at').textContent === '%d of %d'`, i+1, steps))
			b.settled()
			words := b.html("lesson-text")
			assert.False(t, seen[words])
			seen[words] = true
			assert.True(t, value[bool](b, `document.querySelector('.spoken') === document.getElementById('lesson-box').nextElementSibling`), "beside what it speaks of")
			b.do(chromedp.Focus("#lesson-show"), chromedp.KeyEvent(kb.Enter))
			b.until(`!document.getElementById('lesson-answer').hidden`)
			assert.NotRegexp(t, "undefined|NaN|null", b.html("lesson-answer"))
			assert.True(t, value[bool](b, `document.getElementById('message').hidden`), b.html("message"))
			if i == 3 {
				b.shot("lesson-" + lesson)
			}
			b.do(chromedp.Focus("#lesson-next"), chromedp.KeyEvent(kb.Enter))
		}
		b.until(`document.getElementById('lesson-box').hidden`)
	}
}

// Chain angles are drawn before they are shown, by mouse or by keys; how near that came is said in numbers.
func TestLessonIsDrawnFirst(t *testing.T) {
	b := open(t, "native", 1440, 900)
	marks, guesses := `document.querySelectorAll('#chart .mark').length`, `[...document.querySelectorAll('#chart .guess')].filter((g) => g.getAttribute('aria-valuetext') !== 'not drawn yet').length`
	b.set("lesson", "lines")
	b.until(`document.getElementById('lesson-at').textContent === '1 of 6'`)
	b.settled()
	assert.Positive(t, value[int](b, marks))
	b.click("lesson-next")
	b.until(marks + ` === 0`)
	b.whole()
	assert.Zero(t, value[int](b, guesses))
	b.do(chromedp.Focus("#guess-51"), chromedp.KeyEvent(kb.PageUp), chromedp.KeyEvent(kb.PageUp), chromedp.KeyEvent(kb.ArrowDown))
	assert.Equal(t, "1.9 degrees", value[string](b, `document.activeElement.getAttribute('aria-valuetext')`), "the point keeps the focus")
	b.click("lesson-show")
	b.until(`!document.getElementById('lesson-answer').hidden`)
	off := math.Abs(1.9 - value[float64](b, `chainpathPage.document.gears.find((g) => g.cog_teeth === 51).top.bend_deg`))
	assert.Contains(t, b.html("lesson-answer"), fmt.Sprintf("Your line is %.1f° off on average, and %.1f° on the 51", off, off))
	assert.Positive(t, value[int](b, marks))

	b.click("lesson-back")
	b.until(`document.getElementById('lesson-at').textContent === '1 of 6'`)
	b.settled()
	b.click("lesson-next")
	b.until(marks + ` === 0`)
	b.whole()
	x, y := b.middle("#guess-51")
	b.mouse(input.DispatchMouseEventTypeMousePressed, x, y-90)
	to, _ := b.middle("#guess-10")
	b.mouse(input.DispatchMouseEventTypeMouseMoved, (x+to)/2, y-20)
	b.mouse(input.DispatchMouseEventTypeMouseMoved, to, y-90)
	b.mouse(input.DispatchMouseEventTypeMouseReleased, to, y-90)
	assert.Equal(t, 12, value[int](b, guesses))
	shape := value[[]float64](b, `[51, 24, 10].map((c) => Number(document.getElementById('guess-' + c).getAttribute('aria-valuenow')))`)
	assert.Greater(t, shape[0], 1.0)
	assert.InDelta(t, shape[0], shape[2], 0.2)
	assert.Less(t, shape[1], shape[0]-0.8)
	b.shot("lesson-drawn")
	b.click("lesson-show")
	b.until(`!document.getElementById('lesson-answer').hidden`)
	b.shot("lesson-shown")
	b.click("lesson-end")
	assert.Zero(t, value[int](b, `document.querySelectorAll('#chart .guess').length`))
}

// A handout has blanks, its answer sheet the answers.
func TestHandout(t *testing.T) {
	b := open(t, "native", 1440, 900)
	b.do(chromedp.Evaluate[chromedp.Void](`window.printed = []; window.print = () => { printed.push(document.getElementById('handout').innerText); dispatchEvent(new Event('afterprint')); }`))
	b.set("lesson", "lines")
	b.click("lesson-handout")
	b.until(`printed.length === 1`)
	b.click("lesson-sheet")
	b.until(`printed.length === 2`)
	sheets := value[[]string](b, `printed`)
	assert.NotContains(t, sheets[0], "By 6.2 mm")
	assert.Contains(t, sheets[0], "How far outboard of the middle of the cassette is this chainring?")
	assert.Contains(t, sheets[1], "By 6.2 mm")
	assert.True(t, value[bool](b, `document.getElementById('handout').hidden`))
}

// In class the figure is alone, in large letters; a remote's keys show first cogs and ring, then
// the bends, then what is likely.
func TestClassMode(t *testing.T) {
	b := open(t, "native", 1280, 720)
	b.whole()
	answer := b.html("answer")
	b.click("class")
	b.until(`document.body.classList.contains('class')`)
	marks := `document.querySelectorAll('#chart .mark').length`
	assert.Zero(t, value[int](b, marks))
	assert.NotEqual(t, answer, b.html("answer"))
	assert.Equal(t, "heading", value[string](b, `document.getElementById('answer').getAttribute('role')`), "a class reads a heading")
	assert.Equal(t, "28", value[string](b, `document.querySelector('#chart .pick text').getAttribute('font-size')`))
	b.do(chromedp.KeyEvent(kb.PageDown))
	b.until(marks + ` > 0`)
	assert.Zero(t, value[int](b, `document.querySelectorAll('#chart .step-3').length`))
	b.shot("class-1")
	b.do(chromedp.KeyEvent(kb.PageDown))
	b.until(`document.querySelectorAll('#chart .step-3').length > 0`)
	assert.Equal(t, answer, b.html("answer"))
	b.shot("class-2")
	b.do(chromedp.KeyEvent(kb.PageUp), chromedp.KeyEvent(kb.PageUp))
	b.until(marks + ` === 0`)
	b.do(chromedp.KeyEvent(kb.Escape))
	b.until(`!document.body.classList.contains('class')`)
	assert.Equal(t, answer, b.html("answer"))
}

// A reload loses nothing: the case and what was before; forgetting forgets.
func TestReloadKeeps(t *testing.T) {
	b := open(t, "native", 1440, 900)
	b.whole()
	b.click("hold")
	b.set("frame-stay-number", "447")
	b.whole()
	yaml := value[string](b, `chainpathPage.yaml`)
	b.load("")
	assert.Equal(t, yaml, value[string](b, `chainpathPage.yaml`))
	assert.True(t, value[bool](b, `chainpathPage.before !== null`))
	b.click("forget")
	b.load("")
	assert.NotEqual(t, yaml, value[string](b, `chainpathPage.yaml`))
}

// The report is one file that loads nothing, with the answer, the figure and the caution.
func TestReportFile(t *testing.T) {
	b := open(t, "native", 1440, 900)
	b.until(`document.querySelectorAll('.card').length > 1`)
	b.do(chromedp.Evaluate[chromedp.Void](`window.files = []; URL.createObjectURL = (blob) => { blob.text().then((t) => files.push(t)); return 'data:,'; }`))
	b.click("report")
	b.until(`files.length === 1`)
	text := value[string](b, `files[0]`)
	for _, want := range []string{"<!DOCTYPE html>", "<svg", "Caution", "What would help", "Measured", value[string](b, `document.getElementById('answer').textContent`)} {
		assert.Contains(t, text, want)
	}
	assert.NotRegexp(t, `(src|href)=`, text)
	for _, never := range []string{"front.line", "undefined", "null"} {
		assert.NotContains(t, text, never)
	}
}

// On a phone nothing scrolls sideways, the figure with its handle stays, and the sheets change
// below it.
func TestPhone(t *testing.T) {
	for _, width := range []int64{390, 320} {
		b := open(t, "native", width, 800)
		_, err := chromedp.Call(b.ctx, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: true})
		require.NoError(t, err)
		for _, name := range []string{"tourer", "single", "trail"} {
			b.set("shipped", name)
			b.whole()
			for _, tab := range []string{"bike", "would", "views", "does"} {
				b.click("tab-" + tab)
				assert.LessOrEqual(t, value[int](b, `document.documentElement.scrollWidth`), int(width), "%s %s", name, tab)
				b.do(chromedp.Evaluate[chromedp.Void](`scrollTo(0, 900)`))
				assert.True(t, value[bool](b, `(() => { const r = document.getElementById('ring-handle').getBoundingClientRect(); return r.top >= 0 && r.bottom <= innerHeight; })()`), "the handle is in sight on %s, %s", name, tab)
				if name == "trail" {
					b.shot(fmt.Sprintf("phone-%d-%s", width, tab))
				}
				b.do(chromedp.Evaluate[chromedp.Void](`scrollTo(0, 0)`))
			}
		}
	}
}

// Pictures of the page at four widths, for looking at, where SCREENSHOTS names a folder; and
// nothing jumps while it loads.
func TestNothingJumps(t *testing.T) {
	for _, width := range []int64{1920, 1440, 1024, 390} {
		b := open(t, "native", width, 900)
		b.do(chromedp.Evaluate[chromedp.Void](`window.shifted = 0; window.sources = []; new PerformanceObserver((l) => { for (const e of l.getEntries()) if (!e.hadRecentInput) { shifted += e.value; sources.push(e.value.toFixed(3) + ' ' + e.sources.map((x) => x.node?.id || x.node?.parentElement?.id || x.node?.nodeName).join()); } }).observe({ type: 'layout-shift', buffered: true })`))
		b.all()
		assert.Less(t, value[float64](b, `shifted`), 0.05, "%d px: %v", width, value[[]string](b, `sources`))
		b.shot(fmt.Sprintf("page-%d", width))
	}
}

// How long a slider takes to a new chart, and tasks on the main thread; told, not judged.
func TestHowFast(t *testing.T) {
	bothDoors(t, func(t *testing.T, door string) {
		b := open(t, door, 1440, 900)
		for _, name := range []string{"trail", "tourer"} {
			if door == "worker" && name == "tourer" && os.Getenv("SLOW") == "" {
				continue // half a minute of waiting for what comes while idle
			}
			b.set("shipped", name)
			b.all()
			took := value[[]float64](b, `(async () => {
				window.tasks = [];
				new PerformanceObserver((l) => { for (const e of l.getEntries()) tasks.push(e.duration); }).observe({ type: 'longtask' });
				const out = [], range = document.getElementById('front-line-range'), from = Number(range.value);
				for (let i = 1; i <= 40; i++) {
					range.value = from - 2 + (i % 16) / 4;
					const begun = performance.now(), chart = document.querySelector('#chart svg');
					range.dispatchEvent(new Event('input', { bubbles: true }));
					while (document.querySelector('#chart svg') === chart) await new Promise((r) => setTimeout(r, 1));
					out.push(performance.now() - begun);
					while (document.documentElement.dataset.busy === 'yes' || document.documentElement.dataset.drawn !== 'yes') await new Promise((r) => setTimeout(r, 1));
				}
				const up = (a, b) => a - b;
				return out.sort(up);
			})()`)
			long := value[[]float64](b, `tasks`)
			t.Logf("%s, %s: slider to the engine's answer on the chart %.0f ms at the median, %.0f ms at 95 %%; %d tasks above 50 ms on the main thread %v", door, name, took[20], took[38], len(long), long)
		}
	})
}

// The exported page shows its first picture before the engine is there.
func TestFirstPictureBeforeTheEngine(t *testing.T) {
	b := open(t, "worker", 1440, 900)
	assert.Equal(t, "yes", value[string](b, `document.documentElement.dataset.first`))
	names := value[[]string](b, `performance.getEntriesByType('resource').map((e) => e.name.split('/').at(-1))`)
	assert.Contains(t, names, "engine.wasm.gz")
	assert.NotContains(t, strings.Join(names, " "), "engine.wasm ")
}
