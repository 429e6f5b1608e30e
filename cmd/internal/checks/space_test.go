package checks

import (
	"bytes"
	"context"
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"image"
	"image/png"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/cmd/internal/exchange"
	"chainpath/sim"
)

const turned = `JSON.stringify(chainpathPage.space.turn)`

// space opens the instrument and waits for the chosen gear, and for what is drawn of it.
func (b *browser) space() {
	b.t.Helper()
	b.do(chromedp.Evaluate[chromedp.Void](`(() => { const d = document.getElementById('space-box'); d.open = true; d.scrollIntoView({ block: 'center' }); })()`))
	b.until(`(() => { const a = chainpathPage.space.answer; return Boolean(a) && String(a.cog) === document.getElementById('cog').value && document.getElementById('space-of').dataset.old !== 'yes' && Boolean(chainpathPage.space.turn); })()`)
	b.painted()
}

// painted waits for two pictures, so that what was asked for is drawn.
func (b *browser) painted() {
	b.t.Helper()
	value[bool](b, `new Promise((r) => requestAnimationFrame(() => requestAnimationFrame(() => r(true))))`)
}

// picture is what the instrument looks like.
func (b *browser) picture() image.Image {
	b.t.Helper()
	data, err := chromedp.Run(b.ctx, chromedp.Screenshot("#space"))
	require.NoError(b.t, err)
	img, err := png.Decode(bytes.NewReader(data))
	require.NoError(b.t, err)
	return img
}

// counted are the pixels that are not paper, and those of the accent's hue.
func counted(img image.Image) (drawn, accent int) {
	for y := img.Bounds().Min.Y; y < img.Bounds().Max.Y; y++ {
		for x := img.Bounds().Min.X; x < img.Bounds().Max.X; x++ {
			r, g, b, _ := img.At(x, y).RGBA()
			if r>>8 < 245 {
				drawn++
			}
			if int(r>>8)-int(g>>8) > 60 && int(r>>8)-int(b>>8) > 60 {
				accent++
			}
		}
	}
	return drawn, accent
}

// pressed sends a mouse event to a place of the instrument.
func (b *browser) pressed(kind input.DispatchMouseEventType, x, y float64) {
	b.t.Helper()
	at := value[[]float64](b, `(() => { const r = document.getElementById('space').getBoundingClientRect(); return [r.x, r.y]; })()`)
	b.mouse(kind, at[0]+x, at[1]+y)
}

// pixel is where a place of the bicycle is seen.
func (b *browser) pixel(place string) (x, y float64) {
	b.t.Helper()
	at := value[[]float64](b, fmt.Sprintf(`chainpathPage.space.pixel(%s)`, place))
	return at[0], at[1]
}

// The instrument draws through both doors, with the accent where there is trouble and nowhere else.
func TestSpaceIsDrawn(t *testing.T) {
	bothDoors(t, func(t *testing.T, door string) {
		b := open(t, door, 1440, 900)
		b.whole()
		b.space()
		drawn, accent := counted(b.picture())
		for try := 0; try < 40 && accent <= 300; try++ { // a busy machine shows a picture late
			time.Sleep(250 * time.Millisecond)
			drawn, accent = counted(b.picture())
		}
		assert.Greater(t, drawn, 60_000)
		assert.Greater(t, accent, 300, "32/51 drops")
		b.shot("space-" + door)
		b.set("cog", "18") // a gear with no fault expected
		b.space()
		drawn, accent = counted(b.picture())
		assert.Greater(t, drawn, 60_000)
		assert.Zero(t, accent)
		for _, g := range value[[]string](b, `chainpathPage.space.answer.wheels.filter((w) => w.drives).map((w) => w.part + ' ' + w.teeth)`) {
			assert.Contains(t, []string{"ring 32", "cog 18", "guide_pulley 12", "tension_pulley 14"}, g)
		}
		b.all() // what comes while idle draws once more
		b.painted()
		before := value[string](b, `document.getElementById('space').dataset.frames`)
		time.Sleep(300 * time.Millisecond)
		assert.Equal(t, before, value[string](b, `document.getElementById('space').dataset.frames`), "nothing moves, nothing is drawn")
	})
}

// Keys, buttons and pointer turn, tip, zoom, stretch and cut; across the bicycle it is true to scale at
// ×1, and four times as large at ×4.
func TestSpaceTurns(t *testing.T) {
	b := open(t, "native", 1440, 900)
	b.space()
	changes := func(what string, do func()) {
		t.Helper()
		before := value[string](b, turned)
		do()
		b.painted()
		assert.NotEqual(t, before, value[string](b, turned), what)
	}
	b.do(chromedp.Focus("#space"))
	for _, k := range []string{kb.ArrowLeft, kb.ArrowRight, kb.ArrowUp, kb.ArrowDown, "+", "-", "x", "x", "c", kb.Home} {
		changes("key "+strconv.Quote(k), func() { b.do(chromedp.KeyEvent(k)) })
	}
	assert.NotEqual(t, "none", value[string](b, `getComputedStyle(document.getElementById('space')).outlineStyle`), "its focus is seen")
	for _, id := range []string{"space-side", "space-above", "space-behind", "space-whole", "space-1", "space-4", "space-in", "space-out", "space-cut-button", "space-cut-button"} {
		changes(id, func() { b.click(id) })
		assert.Empty(t, value[[]string](b, meeting), id)
	}
	changes("a drag over the ground", func() {
		b.pressed(input.DispatchMouseEventTypeMousePressed, 900, 30)
		b.pressed(input.DispatchMouseEventTypeMouseMoved, 930, 40)
		b.pressed(input.DispatchMouseEventTypeMouseReleased, 930, 40)
	})
	b.click("space-side")
	b.painted()
	k := func() float64 { return value[float64](b, `chainpathPage.space.turn[13]`) }
	x0, _ := b.pixel("[0, 0, 0]")
	x1, _ := b.pixel("[100, 0, 0]")
	assert.InDelta(t, 100*k(), x1-x0, 1e-6, "forward")
	for stretch, id := range map[float64]string{1: "space-1", 4: "space-4"} {
		b.click("space-behind")
		b.click(id)
		b.painted()
		x0, _ = b.pixel("[0, 0, 0]")
		x1, _ = b.pixel("[0, 10, 0]")
		assert.InDelta(t, stretch*10*k(), x1-x0, 1e-6, "across, ×%g", stretch)
		assert.Equal(t, "true", value[string](b, `document.getElementById('`+id+`').getAttribute('aria-pressed')`))
	}
	// The cut takes away what is behind it.
	b.click("space-whole")
	b.painted()
	whole, _ := counted(b.picture())
	b.click("space-cut-button")
	b.painted()
	cut, _ := counted(b.picture())
	assert.NotEqual(t, whole, cut)
	b.shot("space-cut")
}

// On a narrow screen and in the dark the words over the space keep apart too, and all of it is in sight.
func TestSpaceOnAPhone(t *testing.T) {
	b := open(t, "native", 390, 844)
	b.media("prefers-color-scheme", "dark")
	b.click("tab-views")
	for _, name := range []string{"tourer", "idler", "trail"} {
		b.set("shipped", name)
		b.space()
		for _, id := range []string{"space-side", "space-above", "space-behind", "space-whole", "space-1", "space-4"} {
			b.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`document.getElementById(%q).click()`, id)))
			b.painted()
			assert.Empty(t, value[[]string](b, meeting), "%s %s", name, id)
		}
		assert.LessOrEqual(t, value[int](b, `document.documentElement.scrollWidth`), 390)
	}
	b.shot("space-phone")
}

// A picture that the graphics card lost is drawn anew when it can be.
func TestSpaceComesBack(t *testing.T) {
	b := open(t, "native", 1280, 900)
	b.whole()
	b.space()
	b.do(chromedp.Evaluate[chromedp.Void](`(() => { window.lost = document.querySelector('#space canvas').getContext('webgl2').getExtension('WEBGL_lose_context'); lost.loseContext(); })()`))
	b.painted()
	gone, _ := counted(b.picture())
	b.set("cog", "28") // while it is gone
	b.do(chromedp.Evaluate[chromedp.Void](`lost.restoreContext()`))
	b.space()
	b.painted()
	back, _ := counted(b.picture())
	assert.Greater(t, back, gone+30_000)
}

// A press on a cog chooses it, there and in the figure; Page Up and Page Down choose the next.
func TestSpacePicksCogs(t *testing.T) {
	b := open(t, "native", 1440, 900)
	b.whole()
	b.space()
	b.click("space-side")
	b.painted()
	for _, teeth := range []int{28, 10} {
		at := value[[]float64](b, fmt.Sprintf(`(() => { const w = chainpathPage.space.answer.wheels.find((w) => w.part === 'cog' && w.teeth === %d); return [w.at[0] + w.tip * 0.9, w.at[1], w.at[2]]; })()`, teeth))
		x, y := b.pixel(fmt.Sprintf("[%g, %g, %g]", at[0], at[1], at[2]))
		b.pressed(input.DispatchMouseEventTypeMousePressed, x, y)
		b.pressed(input.DispatchMouseEventTypeMouseReleased, x, y)
		b.until(fmt.Sprintf(`document.getElementById('cog').value === '%d' && chainpathPage.space.answer.cog === %d`, teeth, teeth))
		assert.Equal(t, []string{strconv.Itoa(teeth)}, value[[]string](b, `[...document.querySelectorAll('#chart .pick text')].filter((t) => t.getAttribute('font-weight') === '700').map((t) => t.textContent)`))
		assert.Contains(t, b.html("space-words"), fmt.Sprintf("32/%d", teeth))
	}
	b.do(chromedp.Focus("#space"), chromedp.KeyEvent(kb.PageUp))
	b.until(`document.getElementById('cog').value === '12' && chainpathPage.space.answer.cog === 12`)
	b.do(chromedp.KeyEvent(kb.PageDown))
	b.until(`document.getElementById('cog').value === '10' && chainpathPage.space.answer.cog === 10`)
	// On the figure too, and the instrument follows.
	x, y := b.middle(`#chart .pick[data-cog="44"] text`)
	b.mouse(input.DispatchMouseEventTypeMousePressed, x, y)
	b.mouse(input.DispatchMouseEventTypeMouseReleased, x, y)
	b.until(`chainpathPage.space.answer.cog === 44`)
}

// The lit chainring is dragged across the bicycle: the front chainline is what the slider makes it, and
// one undo takes the stroke back; the lit cog moves the rear chainline, and Shift with an arrow the ring.
func TestSpaceDragsWheels(t *testing.T) {
	bothDoors(t, func(t *testing.T, door string) {
		b := open(t, door, 1440, 900)
		b.whole()
		b.space()
		b.click("space-behind")
		b.painted()
		drag := func(part string) {
			t.Helper()
			at := value[[]float64](b, fmt.Sprintf(`(() => { const w = chainpathPage.space.answer.wheels.find((w) => w.part === %q && w.drives); return [w.at[0], w.at[1], w.at[2] - w.tip * 0.95]; })()`, part))
			x, y := b.pixel(fmt.Sprintf("[%g, %g, %g]", at[0], at[1], at[2]))
			perMM := value[float64](b, `chainpathPage.space.turn[13] * 4`)
			b.pressed(input.DispatchMouseEventTypeMousePressed, x, y)
			for i := 1.0; i <= 4; i++ {
				b.pressed(input.DispatchMouseEventTypeMouseMoved, x-i*perMM*0.75, y)
			}
			b.pressed(input.DispatchMouseEventTypeMouseReleased, x-3*perMM, y)
			b.settled()
		}
		was := value[float64](b, frontLine)
		drag("ring")
		b.until(fmt.Sprintf(`Math.abs(%s - %g) < 1e-9`, frontLine, was-3))
		b.space()
		assert.InDelta(t, was-3, value[float64](b, `chainpathPage.space.answer.wheels[0].at[1]`), 1e-3, "the instrument has the ring there")
		dragged := value[string](b, `JSON.stringify(chainpathPage.document.gears.map((g) => [g.top, g.clearances]))`)
		b.click("undo")
		b.until(fmt.Sprintf(`%s === %g`, frontLine, was))
		b.set("front-line-number", fmt.Sprintf("%.2f", was-3))
		b.until(fmt.Sprintf(`Math.abs(%s - %g) < 1e-9`, frontLine, was-3))
		assert.Equal(t, value[string](b, `JSON.stringify(chainpathPage.document.gears.map((g) => [g.top, g.clearances]))`), dragged, "as the slider does")
		b.do(chromedp.Focus("#space"))
		_, err := chromedp.Call(b.ctx, input.DispatchKeyEvent, input.DispatchKeyEventParams{Type: input.DispatchKeyEventTypeKeyDown, Key: "ArrowRight", Code: "ArrowRight", Modifiers: 8})
		require.NoError(t, err)
		b.until(fmt.Sprintf(`Math.abs(%s - %g) < 1e-9`, frontLine, was-2.75))
		b.space()
		b.painted()
		rear := value[float64](b, `chainpathPage.document.lines.rear_mm`)
		drag("cog")
		b.until(fmt.Sprintf(`Math.abs(chainpathPage.document.lines.rear_mm - %g) < 1e-9`, rear-3))
	})
}

// What is drawn are the corners of export's glTF, within 0.01 mm, for bikes of several kinds.
func TestSpaceIsWhatExportWrites(t *testing.T) {
	b := open(t, "native", 1440, 900)
	for _, name := range []string{"trail", "tourer", "single", "idler", "double-cage", "timing-chain"} {
		b.set("shipped", name)
		b.whole()
		b.space()
		gear := value[[]int](b, `[chainpathPage.space.answer.ring, chainpathPage.space.answer.cog]`)
		want := exported(t, name, gear[0], gear[1])
		var got map[string][]float64
		require.NoError(t, json.Unmarshal([]byte(value[string](b, `JSON.stringify(chainpathPage.space.vertices())`)), &got))
		require.Greater(t, len(got["outer"])+len(got["inner"]), 3*1000, name)
		for what, p := range got {
			for i := 0; i < len(p); i += 3 {
				if !want.has(p[i], p[i+1], p[i+2]) {
					t.Fatalf("%s: a corner of %s at %.3f is none of export's", name, what, p[i:i+3])
				}
			}
		}
		for _, k := range []string{"outer", "inner", "lit"} {
			assert.NotEmpty(t, got[k], "%s: %s", name, k)
		}
		assert.Equal(t, name == "timing-chain" || name == "single", got["cage"] == nil, name)
	}
}

// corners are points in boxes of 0.02 mm.
type corners map[[3]int][][3]float64

func (c corners) box(x, y, z float64) [3]int {
	return [3]int{int(math.Floor(x / 0.02)), int(math.Floor(y / 0.02)), int(math.Floor(z / 0.02))}
}

// has reports whether a point is within 0.01 mm of one of them.
func (c corners) has(x, y, z float64) bool {
	k := c.box(x, y, z)
	for i := range 27 {
		for _, p := range c[[3]int{k[0] + i%3 - 1, k[1] + i/3%3 - 1, k[2] + i/9 - 1}] {
			if math.Hypot(math.Hypot(p[0]-x, p[1]-y), p[2]-z) < 0.01 {
				return true
			}
		}
	}
	return false
}

// exported are the corners of the glTF that export writes of a gear, where they stand, mm.
func exported(t *testing.T, name string, ring, cog int) corners {
	c, err := cases.Load(name, nil)
	require.NoError(t, err)
	bike, err := c.Bike()
	require.NoError(t, err)
	r, err := bike.Evaluate()
	require.NoError(t, err)
	i := slices.IndexFunc(r.Gears, func(g sim.Gear) bool { return g.RingTeeth == ring && g.CogTeeth == cog })
	text, err := exchange.Draw(c.Title, bike, r, []int{i}).Write("gltf")
	require.NoError(t, err)
	var f struct {
		Nodes []struct {
			Mesh   *int
			Matrix []float64
		}
		Meshes []struct {
			Primitives []struct{ Attributes map[string]int }
		}
		Accessors   []struct{ BufferView, Count int }
		BufferViews []struct{ ByteOffset int }
		Buffers     []struct{ URI string }
	}
	require.NoError(t, json.Unmarshal(text, &f))
	_, coded, _ := strings.Cut(f.Buffers[0].URI, ",")
	data, err := base64.StdEncoding.DecodeString(coded)
	require.NoError(t, err)
	out := corners{}
	for _, n := range f.Nodes {
		if n.Mesh == nil {
			continue
		}
		m := n.Matrix
		if m == nil {
			m = []float64{1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1}
		}
		for _, p := range f.Meshes[*n.Mesh].Primitives {
			a := f.Accessors[p.Attributes["POSITION"]]
			v := make([]float32, 3*a.Count)
			_, err := binary.Decode(data[f.BufferViews[a.BufferView].ByteOffset:], binary.LittleEndian, v)
			require.NoError(t, err)
			for k := 0; k < len(v); k += 3 {
				var w [3]float64
				for j := range w {
					w[j] = 1000 * (m[j]*float64(v[k]) + m[4+j]*float64(v[k+1]) + m[8+j]*float64(v[k+2]) + m[12+j])
				}
				x, y, z := w[2], -w[0], w[1] // back from y up, z forward
				at := out.box(x, y, z)
				out[at] = append(out[at], [3]float64{x, y, z})
			}
		}
	}
	return out
}

// Every number that is written over the space is the document's to its last printed digit, in all gears
// of several bikes, and words do not meet.
func TestSpaceReadsAsGears(t *testing.T) {
	b := open(t, "native", 1440, 900)
	for _, name := range []string{"trail", "tourer", "single", "idler", "wide-tyre"} {
		b.set("shipped", name)
		b.whole()
		cogs := value[[]string](b, `[...document.getElementById('cog').options].map((o) => o.value)`)
		for _, cog := range []string{cogs[0], cogs[len(cogs)/2], cogs[len(cogs)-1]} {
			b.set("cog", cog)
			b.space()
			for _, way := range []string{"riding", "backwards"} {
				b.set("direction", way)
				b.painted()
				at := map[string]string{"riding": "ring", "backwards": "cog"}[way]
				want := value[[]string](b, fmt.Sprintf(`(() => {
					const a = chainpathPage.space.answer, g = chainpathPage.document.gears.find((g) => g.ring_teeth === a.ring && g.cog_teeth === a.cog), c = g.clearances;
					return [g.%s.find((x) => x.at === %q).bend_deg.toFixed(2) + '°', String(a.ring), String(a.cog), ...(c.tyre_mm === null || !a.tyre ? [] : [c.tyre_mm.toFixed(2).replace('-', '−') + ' mm']), ...(c.ring_stay_mm === null || !a.stay ? [] : [c.ring_stay_mm.toFixed(2) + ' mm'])].sort();
				})()`, way, at))
				got := value[[]string](b, `[...document.querySelectorAll('#space .note text:first-child')].map((t) => t.textContent).sort()`)
				assert.Equal(t, want, got, "%s %s %s", name, cog, way)
				assert.Contains(t, b.html("space-words"), value[string](b, `chainpathPage.space.answer.words`))
				assert.Empty(t, value[[]string](b, meeting), "%s %s %s", name, cog, way)
			}
		}
		b.set("direction", "both")
	}
}

// meeting lists words over the space that meet, or reach out of it.
const meeting = `(() => {
	const frame = document.getElementById('space').getBoundingClientRect(), out = [];
	const boxes = [...document.querySelectorAll('#space svg text')].map((t) => [t.textContent, t.getBoundingClientRect(), t.closest('.note') || t]);
	boxes.forEach(([words, a, mine], i) => {
		if (a.left < frame.left - 1 || a.right > frame.right + 1 || a.top < frame.top - 1 || a.bottom > frame.bottom + 1) out.push(words + ' reaches out');
		for (const [other, b, theirs] of boxes.slice(i + 1)) if (mine !== theirs && a.left < b.right && b.left < a.right && a.top + 2 < b.bottom && b.top + 2 < a.bottom) out.push(words + ' meets ' + other);
	});
	return out;
})()`

// The chain rolls forwards and back, and stops; the cranks can be turned by hand. With less motion asked
// for it goes on by a pitch a second.
func TestSpaceRolls(t *testing.T) {
	b := open(t, "native", 1280, 900)
	b.space()
	const phase = `chainpathPage.space.phase`
	b.click("space-ahead")
	b.until(phase + ` > 0.5`)
	b.click("space-back")
	b.until(phase + ` < -0.5`)
	b.click("space-back")
	at := value[float64](b, phase)
	time.Sleep(200 * time.Millisecond)
	assert.Equal(t, at, value[float64](b, phase), "it stops")
	b.set("space-crank", "90")
	assert.InDelta(t, 8, math.Mod(value[float64](b, phase)+3200, 32), 1e-9, "a quarter turn of a 32-tooth chainring")
	before := value[string](b, `JSON.stringify(chainpathPage.space.vertices().outer.slice(0, 300))`)
	b.set("space-crank", "93")
	assert.NotEqual(t, before, value[string](b, `JSON.stringify(chainpathPage.space.vertices().outer.slice(0, 300))`))
	b.media("prefers-reduced-motion", "reduce")
	b.set("space-crank", "0")
	from, begun := value[float64](b, phase), time.Now()
	b.do(chromedp.Focus("#space"), chromedp.KeyEvent(" "))
	b.until(phase + fmt.Sprintf(` !== %g`, from))
	b.until(phase + fmt.Sprintf(` <= %g - 2 || `, from) + phase + fmt.Sprintf(` >= %g + 2`, from))
	gone := math.Abs(value[float64](b, phase) - from)
	assert.Equal(t, math.Trunc(gone), gone, "by whole pitches")
	assert.LessOrEqual(t, gone, time.Since(begun).Seconds()+1)
	b.do(chromedp.KeyEvent(" "))
}

// Where a film of the gear is there, its links come onto the wheel in the space as they do in the film: at the film's
// places across the bicycle, inner ones where inner ones are, until the chain is rolled on.
func TestSpaceShowsTheFilm(t *testing.T) {
	b := open(t, "native", 1440, 900)
	b.whole()
	b.space()
	b.click("film-run")
	b.until(`chainpathPage.space.come !== null`)
	var film map[string]any
	require.NoError(t, json.Unmarshal([]byte(value[string](b, `chainpathPage.ask({ op: 'march', yaml: chainpathPage.yaml, ring: 32, cog: 51, backwards: true }).then((a) => JSON.stringify(a.film))`)), &film))
	require.Equal(t, "cog", film["part"])
	seen, lifted := 0, 0
	// As the page shows them: up to the first touch, then the fall, of which every sixth frame will do.
	fall := film["fall"].(map[string]any)
	var frames []any
	for _, f := range film["frames"].([]any) {
		if f.(map[string]any)["angle_deg"].(float64) < fall["from_deg"].(float64)-1e-6 {
			frames = append(frames, f)
		}
	}
	before := len(frames)
	for i, f := range append(frames, fall["frames"].([]any)...) {
		if i > before && (i-before)%6 != 0 {
			continue
		}
		b.set("film-at", strconv.Itoa(i))
		links := f.(map[string]any)["links"].([]any)
		end := math.Inf(-1)
		for _, x := range links {
			end = max(end, x.(map[string]any)["x"].(float64))
		}
		for _, x := range f.(map[string]any)["links"].([]any) {
			l := x.(map[string]any)
			if along := l["x"].(float64); along < -70 || along > end-2*12.7+1 { // there the film's edge passes into the straight path
				continue
			}
			if lift, ok := l["lift"].(float64); ok && lift > 3 {
				at := fmt.Sprintf(`chainpathPage.space.answer.cut.ways.find((w) => w.direction === 'backwards').from - %g / 12.7`, l["x"])
				assert.InDelta(t, lift, value[float64](b, `chainpathPage.space.come.lift(`+at+`)`), 2e-3, "%d: lifted as in the film", i)
				assert.InDelta(t, sim.Radians(l["lean"].(float64)), value[float64](b, `chainpathPage.space.come.lean(`+at+`)`), 1e-3, "%d", i)
				lifted++
			}
			got := value[[]float64](b, fmt.Sprintf(`(() => {
				const s = chainpathPage.space, a = s.answer, e = a.cut.ways.find((w) => w.direction === 'backwards'), at = e.from - %g / 12.7;
				return [s.come.off(at, 0) - a.wheels.find((w) => w.part === 'cog' && w.drives).at[1], at - 0.5 - s.phase, s.come.tips.some((t) => Math.abs(t - at) < 1e-9) ? 1 : 0];
			})()`, l["x"]))
			assert.InDelta(t, l["y"].(float64), got[0], 2e-3, "%d", i)
			round := math.Mod(math.Round(got[1])+1000, 2) // 0: where an outer link is
			assert.InDelta(t, math.Round(got[1]), got[1], 2e-3, "%d: links are where the film's are", i)
			assert.Equal(t, l["inner"].(bool), round == 1, "%d", i)
			assert.Equal(t, l["tip"].(bool), got[2] == 1)
			seen++
		}
	}
	assert.Greater(t, seen, 50)
	assert.Greater(t, lifted, 20)
	b.shot("space-fall")
	b.click("space-ahead")
	b.until(`chainpathPage.space.come === null`)
	b.click("space-ahead")
}

// On paper, and without WebGL, the space is drawn in lines, turned as it was.
func TestSpaceInPrint(t *testing.T) {
	b := open(t, "native", 1280, 900)
	b.space()
	b.do(chromedp.Evaluate[chromedp.Void](`dispatchEvent(new Event('beforeprint'))`))
	assert.Greater(t, value[int](b, `document.querySelectorAll('#space-still svg path').length`), 10)
	_, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
	require.NoError(t, err)
	assert.Equal(t, []string{"none", "block"}, value[[]string](b, `['space', 'space-still'].map((id) => getComputedStyle(document.getElementById(id)).display)`))
}

func TestSpaceWithoutWebGL(t *testing.T) {
	program := chromium(t)
	for door := range doors {
		t.Run(door, func(t *testing.T) {
			address, stop := doors[door](t)
			defer stop()
			alloc, end := chromedp.NewExecAllocator(context.Background(), chromedp.ExecPath(program), chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun,
				chromedp.Flag("disable-3d-apis", true), chromedp.Flag("disable-dev-shm-usage", true), chromedp.WSURLReadTimeout(60*time.Second), chromedp.UserDataDir(t.TempDir()))
			defer end()
			ctx, cancel := chromedp.NewContext(alloc)
			defer cancel()
			b := &browser{t: t, ctx: ctx, address: address}
			defer func() { _ = chromedp.Cancel(ctx) }()
			b.do(chromedp.EmulateViewport(1280, 900))
			b.load("")
			b.do(chromedp.Evaluate[chromedp.Void](`document.getElementById('space-box').open = true`))
			b.until(`document.querySelectorAll('#space svg path').length > 10`)
			assert.Zero(t, value[int](b, `document.querySelectorAll('#space canvas').length`))
			assert.True(t, value[bool](b, `document.getElementById('space-tools').hidden && document.getElementById('space-roll').hidden && document.getElementById('message').hidden`))
			before := b.html("space")
			b.do(chromedp.Focus("#space"), chromedp.KeyEvent(kb.ArrowRight))
			assert.NotEqual(t, before, b.html("space"))
			before = b.html("space")
			b.set("cog", "10")
			assert.NotEqual(t, before, b.html("space"))
		})
	}
}

// How long the page takes to a picture of the rolling chain, with a processor four times as slow too; told,
// not judged. What a graphics card then draws is not in it: here there is none.
func TestSpaceFrames(t *testing.T) {
	b := open(t, "native", 390, 844)
	b.click("tab-views")
	for _, name := range []string{"trail", "tourer"} {
		b.set("shipped", name)
		b.space()
		for _, slow := range []float64{1, 4} {
			_, err := chromedp.Call(b.ctx, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: slow})
			require.NoError(t, err)
			took := value[[]float64](b, `chainpathPage.space.frames(30)`)
			slices.Sort(took)
			t.Logf("%s, processor slowed %g times: %.1f ms a picture at the median, %.1f ms at 95 %%", name, slow, took[15], took[28])
		}
		_, err := chromedp.Call(b.ctx, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: 1})
		require.NoError(t, err)
	}
}
