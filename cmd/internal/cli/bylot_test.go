package cli

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// lot draws the fields of a bicycle.
type lot struct {
	*rand.Rand
	text strings.Builder
}

func (l *lot) line(format string, a ...any) { fmt.Fprintf(&l.text, format+"\n", a...) }

// some is a line that about so many of ten bicycles have.
func (l *lot) some(ofTen int, format string, a ...any) {
	if l.IntN(10) < ofTen {
		l.line(format, a...)
	}
}

// of is a number between two, to a tenth.
func (l *lot) of(lo, hi float64) string { return fmt.Sprintf("%.1f", lo+(hi-lo)*l.Float64()) }

func (l *lot) pick(list ...string) string { return list[l.IntN(len(list))] }

// doubt is how well a length is known, written behind it.
func (l *lot) doubt() string {
	return l.pick("", "", " ± 0.3", " ± 1", " (caliper)", " (tape)", " (guess)", " ± 0.4 (drawing)")
}

// lots are kinds of bicycle, each with what only such a one has.
var lots = []struct {
	name, rings, cogs string
	rest              func(l *lot)
}{
	{"fixed", "[47]", "[17]", func(l *lot) {
		l.line("  drive: fixed")
		l.line("frame: {stay: %s%s, drop: %s, slot: {forward: 8, back: 15}}", l.of(395, 410), l.doubt(), l.of(55, 70))
		l.line("load: {torque: 60 ± 20, back_torque: 25, sag: %s}", l.of(6, 20))
	}},
	{"coaster", "[44]", "[19]", func(l *lot) {
		l.line("  drive: coaster")
		l.line("chain: {links: %s, slack: %s}", l.pick("97, half_link: true", "98"), l.of(0.5, 1.6))
		l.line("load: {power: 120 W, cadence: 60 rpm, slack_side: %s, bumps: 0.4}", l.of(1, 4))
	}},
	{"single", "[33]", "[18]", func(l *lot) {
		l.line("frame: {drop: %s}", l.of(20, 45))
		l.line("tensioner: {guide_teeth: 10, tension_teeth: 11, cage: 52, spring: %s, float: %s}", l.of(0.4, 1.2), l.of(0, 1.4))
		l.line("load: {freehub_drag: %s}", l.of(0.1, 0.6))
	}},
	{"idler", "[34]", "[11, 20, 36, 46]", func(l *lot) {
		l.line("frame:\n  travel: %s\n  axle_path: [{travel: 0, stay: 438, drop: 22}, {travel: 70, stay: 461, drop: 94}, {travel: 150, stay: 488, drop: 173}]", l.of(0, 120))
		l.line("idler: {teeth: 16, behind: %s, above: 158, line: %s, held: %s}", l.of(30, 55), l.of(47, 53), l.pick("true", "false"))
		l.line("tensioner: {gaps: [15, 7], width: %s}", l.of(13, 17))
		l.line("chain: {width: %s, stiffness: %s}", l.of(5.0, 5.4), l.of(60, 150))
	}},
	{"wide", "[28]", "[10, 18, 32, 51]", func(l *lot) {
		l.line("  form: wide_narrow")
		l.line("tensioner:\n  hanger: {lean: %s, toe: %s}\n  index_error: %s\n  float: %s", l.of(-3, 3), l.of(-2, 2), l.of(-0.6, 0.6), l.of(0, 1.6))
		l.line("tyre: {size: 71-584, width: 72, mud: %s, dish: %s}", l.of(2, 8), l.of(-3, 3))
		l.line("chainstay: {gap: %s%s, flex: 1, radius: 62, angle: 6, diameter: 20}", l.of(1.5, 6), l.doubt())
		l.line("spokes: {flange_radius: 29, flange_line: %s, rim_line: 2}", l.of(22, 28))
	}},
	{"uneven", "[38]", "[11, 14, 18, 23, 28]", func(l *lot) {
		l.line("  cog_pitch: 4.3\n  spacers: [0, %s, 0, 0]\n  gates: [0, 2, 2, 3, 3]", l.pick("0.3", "-0.3", "0.6"))
		l.line("tensioner:\n  set_at: %s\n  cable_per_shift: %s\n  ratio: %s\n  adjuster_pitch: 0.5\n  adjuster_clicks: 8", l.of(43, 46), l.of(2.3, 2.9), l.of(1.4, 1.8))
		l.line("  adjuster_range: {clicks: 3, first_inboard: 14>11, first_outboard: 18>23}")
		l.line("brake_rotor: {line: %s, radius: 80}", l.of(18, 24))
	}},
	{"double", "[34, 50]", "[12, 19, 28]", func(l *lot) {
		l.line("tensioner: {cage: %s, gaps: [9, 6], actuation: %s}", l.of(55, 80), l.pick("cable", "electric"))
		l.line("chain: {links: %d, margin: 2, rivet_proud: 0.15, link_mass: 2.4}", 104+2*l.IntN(5))
		l.line("load: {torque: %s ± 10}", l.of(25, 70))
		l.line("riding: {shares: [{ring: 34, cog: 28, share: 30}, {ring: 50, cog: 12, share: 10}, {ring: 50, cog: 19, share: 60}]}")
	}},
	{"triple", "[24, 36, 46]", "[13, 32]", func(l *lot) {
		l.line("tensioner: {cage: %s}", l.of(60, 95))
		l.line("limits: {quiet: 2.4, climb: 3.6}")
		l.line("friction: {pin: 0.12, flank: 0.1, bearing_drag: 0.002}")
		l.line("riding: {ratio: %s, spread: 1.6}", l.of(1.2, 2.4))
	}},
	{"odd", "[42]", "[12, 16, 24]", func(l *lot) { // with lines that cannot be, or a count that cannot
		l.line("  drive: freewheel")
		l.line("chain: {links: %s}", l.pick("70", "112", "140"))
		l.line("instruments: {caliper: 0.2, tape: 2, guess: 6}")
		l.line("tolerances: {link_width: 0.05, bevel: 0.02, slack: 0.2, run_out: 0.4}")
		l.line("frame: {stay: 16.5 in%s}", l.pick("", " ± 0.2 in"))
	}},
}

// anyOf writes a bike file of a kind, with what any bicycle may have.
func anyOf(seed uint64) string {
	l := &lot{Rand: rand.New(rand.NewPCG(seed, 55))}
	k := lots[int(seed)%len(lots)]
	l.line("chainpath: 1\ntitle: %s %d", k.name, seed)
	many, geared := strings.Count(k.rings, ",")+1, strings.Contains(k.cogs, ",")
	var front strings.Builder
	switch l.IntN(4) {
	case 0:
		if many == 1 {
			fmt.Fprintf(&front, "  measured: {tube_width: %s, gap: %s%s}\n", l.of(34, 46), l.of(24, 30), l.doubt())
			break
		}
		fmt.Fprintf(&front, "  measured: {tube_width: 34, readings: [%s], face: %s}\n",
			strings.Join([]string{"21", "29.5", "38"}[:many], ", "), l.pick("centre", "outer", "inner"))
	default:
		fmt.Fprintf(&front, "  line: %s%s\n", l.of(40, 56), l.doubt())
	}
	l.line("front:\n%s  rings: %s", front.String(), k.rings)
	if many > 1 {
		l.some(4, "  cage: {inner_width: %s, positions: [%s]}", l.of(9, 12), strings.Join([]string{"40", "47", "54"}[:many], ", "))
		l.some(4, "  bolts: {radius: 38, depth: %s}", l.of(3, 7))
		l.some(4, "  pins: {proud: 0.6, side: %s}", l.pick("inner", "outer"))
		l.some(4, "  ring_pitch: %s", l.of(7.5, 9))
	} else if geared {
		l.some(3, "  guide: {width: %s}", l.of(7, 10))
	}
	rest := &lot{Rand: l.Rand}
	k.rest(rest)
	own := rest.text.String()
	if strings.HasPrefix(own, "  form") { // of the front, which comes first
		line, tail, _ := strings.Cut(own, "\n")
		l.line("%s", line)
		own = tail
	}
	l.line("rear:")
	switch n := l.IntN(4); {
	case n == 0:
		l.line("  measured: {dropouts: %s, gap: %s}", l.pick("12x148", "135", "130", "141.8"), l.of(2.5, 6))
	case n == 1 && k.name == "odd":
		l.line("  line: 12")
	default:
		l.line("  line: %s%s", l.of(42, 50), l.doubt())
		l.some(4, "  dropout_gap: %s", l.of(1, 6))
	}
	l.line("  cogs: %s", k.cogs)
	l.text.WriteString(own)
	has := func(key string) bool { return strings.Contains(l.text.String(), "\n"+key) }
	if !has("tyre") {
		l.some(4, "tyre: {size: %s}", l.pick("40-622", "57-622", "28-622", "29x2.25", "700x35C"))
	}
	if !has("chainstay") {
		l.some(5, "chainstay: {gap: %s%s}", l.of(1.5, 7), l.doubt())
	}
	if !has("speeds") && geared {
		l.some(5, "speeds: %d", 8+l.IntN(5))
	}
	if !has("riding") {
		l.some(3, "riding: {ratio: %s, spread: 1.4}", l.of(1.1, 2.6))
	}
	cogs := strings.Split(strings.Trim(k.cogs, "[]"), ", ")
	last := cogs[len(cogs)-1]
	sorts := []string{"noise", "drop", "rubs_next_cog", "loose_top", "skips", "tyre_mark", "stay_mark", "slow_to_larger", "skips_in_some"}
	if !geared {
		sorts = []string{"noise", "drop", "loose_top", "skips", "stay_mark"}
	}
	l.line("symptoms:\n  - {what: %s, cogs: [%s]}", l.pick(sorts...), last)
	l.some(4, "  - {what: %s, direction: backwards}", l.pick("noise", "drop"))
	l.line("observations:\n  - {gears: '*/%s', what: %s}", cogs[0], l.pick("quiet", "fine", "noise"))
	ring := strings.Trim(k.rings[strings.LastIndexAny(k.rings, " [")+1:], "]")
	l.some(5, "  - {gears: '%s/%s', what: off, direction: backwards, off: %d, of: 10}", ring, last, l.IntN(10))
	l.some(3, "  - {gears: '*/%s', what: noise, moved: -2, sure: 0.8}", last)
	if geared {
		l.some(5, "  - {gears: '*/%s>%s', what: late, off: 2, of: 6}", cogs[1], cogs[0])
	}
	return l.text.String()
}

// ofLot are commands of which what they print of a bicycle (BIKE), beside the next one (OTHER), is kept; asDigest
// those of which a digest is.
var (
	ofLot = []string{
		"check BIKE", "gears BIKE --format csv", "fix BIKE", "fix BIKE --format json", "chainline BIKE --format csv",
		"next BIKE --format csv", "diagnose BIKE --format json", "limit BIKE front.line --format json", "limit BIKE chainstay.gap --chance 0.1",
		"shifts BIKE", "shifts BIKE --format csv", "accuracy BIKE --draws 100 --format csv", "compare BIKE OTHER",
	}
	asDigest = []string{
		"gears BIKE --format json", "gears BIKE --all", "chainline BIKE --format json", "chainline BIKE --all",
		"chainline BIKE --format csv --along", "fix BIKE --all", "fix BIKE --worth 4000 --format json",
		"next BIKE --format json", "next BIKE", "diagnose BIKE --all", "limit BIKE rear.line",
		"shifts BIKE --format json", "shifts BIKE --all", "shifts BIKE --format csv --rows windows", "accuracy BIKE --draws 100 --format json",
		"accuracy BIKE --draws 100 --all", "compare BIKE OTHER --format csv", "compare BIKE OTHER --all",
		"sweep BIKE --vary front.line=44:52:4 --vary frame.stay=420,440 --loss --shifts -q", "learn BIKE --format json",
	}
)

// bicyclesByLot writes bike files of every kind into a folder, where the test goes on, since lines are wrapped
// by the length of paths; and returns what answers a command of one of them.
func bicyclesByLot(t *testing.T) func(seed uint64, command string) string {
	t.Chdir(t.TempDir())
	file := func(seed uint64) string { return fmt.Sprintf("bike%d.yaml", seed) }
	for seed := range 2*uint64(len(lots)) + 1 {
		require.NoError(t, os.WriteFile(file(seed), []byte(anyOf(seed)), 0o644))
	}
	return func(seed uint64, command string) string {
		code, out, errs := run(strings.Fields(strings.NewReplacer("BIKE", file(seed), "OTHER", file(seed+1)).Replace(command))...)
		assert.NotContains(t, out, "NaN")
		assert.NotContains(t, out, "Inf")
		if strings.HasSuffix(command, "json") && code == ExitDone {
			var short bytes.Buffer
			require.NoError(t, json.Compact(&short, []byte(out)))
			out = strings.ReplaceAll(short.String(), "},{", "},\n{") + "\n"
		}
		if strings.HasPrefix(command, "gears") && strings.HasSuffix(command, "csv") {
			_, out, _ = strings.Cut(out, "\n") // the columns' names are those of other golden output
		}
		if code != ExitDone {
			out += fmt.Sprintf("exit %d\n", code)
		}
		return out + errs
	}
}

// keptByLot is where their golden output is.
var keptByLot = sync.OnceValue(func() string {
	folder, err := filepath.Abs("../../../testdata/golden/bylot")
	if err != nil {
		panic(err)
	}
	return folder
})

// keptAs compares a text with what is kept of bicycles by lot, or keeps it.
func keptAs(t *testing.T, name, got string) {
	path := filepath.Join(keptByLot(), name)
	if *update {
		require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, string(want), got, name)
}

// Unusual bicycles are answered as they were, digit by digit.
func TestPrintedOfBicyclesByLot(t *testing.T) {
	if raced {
		t.Skip("others run the same code")
	}
	keptByLot()
	answer := bicyclesByLot(t)
	for i, k := range lots {
		text := anyOf(uint64(i))
		for _, command := range ofLot {
			text += "\n$ " + command + "\n" + answer(uint64(i), command)
		}
		keptAs(t, k.name+".txt", text)
	}
}

// So are others, by what is longer: which answer is another, this tells, and the command on either side of a
// change how. With the large samples of the first bicycle of every kind too, else of the second.
func TestDigestsOfBicyclesByLot(t *testing.T) {
	if raced {
		t.Skip("others run the same code")
	}
	keptByLot()
	answer := bicyclesByLot(t)
	n := len(lots)
	for i := range 2 * n {
		if i < n && !long {
			continue
		}
		var text strings.Builder
		for _, command := range asDigest {
			fmt.Fprintf(&text, "%.6x %s\n", sha256.Sum256([]byte(answer(uint64(i), command))), command)
		}
		keptAs(t, fmt.Sprintf("%s-%d.sum", lots[i%n].name, 1+i/n), text.String())
	}
}
