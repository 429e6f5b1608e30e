package cases

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"chainpath/sim"
)

// Draft is a case in the making, from answers in the words of the workshop. An answer
// that is not known leaves what is usual.
type Draft struct {
	Title string
	Tyre  string // as of tyre.size

	rings, cogs []int
	ends        bool // cogs were told by the ends alone
	usual       bool // and are those of a usual cassette
	speeds      int
	front, rear string // YAML below front: and rear:
	stay, form  string
}

// Unknown reports whether an answer says that it is not known.
func Unknown(answer string) bool {
	switch strings.ToLower(strings.TrimSpace(answer)) {
	case "", "?", "-", "no idea", "unknown", "don't know", "dont know":
		return true
	}
	return false
}

var (
	teethForm   = regexp.MustCompile(`^[0-9]{1,3}[tT]?(?:[\s,;/x–-]+[0-9]{1,3}[tT]?)*$`)
	clusterForm = regexp.MustCompile(`^([0-9]{1,3})[tT]?\s*[-–]\s*([0-9]{1,3})[tT]?(?:[\s,x]+([0-9]{1,2})(?:[\s-]*(?:speeds?|sp|s))?)?$`)
	betweenAny  = regexp.MustCompile(`[\s,;/x–-]+`)
)

// Lists of teeth as they may be written, for messages.
const (
	ringsSuch = "34 50, 34,50 or 32T"
	cogsSuch  = "11-42 or 11 13 15"
)

// teeth reads a list of whole numbers, smallest first whatever order they are in; such is an example.
func teeth(answer, such string) ([]int, error) {
	answer = strings.TrimSpace(answer)
	if !teethForm.MatchString(answer) {
		return nil, fmt.Errorf("%q, want numbers of teeth such as %s", shorten(answer), such)
	}
	var out []int
	for _, text := range betweenAny.Split(answer, -1) {
		n, _ := strconv.Atoi(strings.TrimRight(text, "tT")) // matched as digits
		out = append(out, n)
	}
	slices.Sort(out)
	return out, nil
}

func inRange(what string, teeth []int, lo, hi int) error {
	for _, n := range teeth {
		if n < lo || n > hi {
			return fmt.Errorf("%s of %d teeth is out of range, want %d to %d", what, n, lo, hi)
		}
	}
	return nil
}

// SetRings takes one to three rings, such as 32 or 34 50.
func (d *Draft) SetRings(answer string) (err error) {
	if d.rings, err = teeth(answer, ringsSuch); err != nil {
		return err
	}
	if len(d.rings) > 3 {
		return fmt.Errorf("%d chainrings, want 1 to 3", len(d.rings))
	}
	return inRange("a chainring", d.rings, 9, 120)
}

// Rings returns how many chainrings there are.
func (d *Draft) Rings() int { return len(d.rings) }

// SetCogs takes every cog, 11 13 15, or the ends, 11-42, and their number where that is not
// usual, 11-42 11-speed.
func (d *Draft) SetCogs(answer string) (err error) {
	answer = strings.TrimSpace(answer)
	if m := clusterForm.FindStringSubmatch(answer); m != nil {
		lo, _ := strconv.Atoi(m[1])
		hi, _ := strconv.Atoi(m[2])
		speeds := d.speeds
		if m[3] != "" {
			speeds, _ = strconv.Atoi(m[3])
		}
		if speeds > mostSpeeds {
			return fmt.Errorf("%d speeds, want 1 to %d", speeds, mostSpeeds)
		}
		if err := inRange("a cog", []int{lo, hi}, 9, 120); err != nil {
			return err
		}
		cogs, usual, err := UsualCogs(lo, hi, speeds)
		if err != nil {
			return err
		}
		d.cogs, d.usual, d.ends, d.speeds = cogs, usual, true, speeds
		return nil
	}
	d.ends = false
	if d.cogs, err = teeth(answer, cogsSuch); err != nil {
		return err
	}
	if d.speeds != 0 && d.speeds < len(d.cogs) {
		return fmt.Errorf("%d cogs and %d speeds, want no more cogs than speeds", len(d.cogs), d.speeds)
	}
	return inRange("a cog", d.cogs, 9, 120)
}

// SetSpeeds takes the number of speeds that chain and cluster are made for.
func (d *Draft) SetSpeeds(n int) error {
	if n < 1 || n > mostSpeeds {
		return fmt.Errorf("%d speeds, want 1 to %d", n, mostSpeeds)
	}
	d.speeds = n
	return nil
}

// Speeds returns the number of speeds as far as it is known.
func (d *Draft) Speeds() int {
	if d.speeds == 0 {
		return len(d.cogs)
	}
	return d.speeds
}

// AsksForm reports whether the form of the ring's teeth is worth asking for.
func (d *Draft) AsksForm() bool { return len(d.rings) == 1 && d.gears() > 1 && d.rings[0]%2 == 0 }

func (d *Draft) gears() int { return len(d.rings) * len(d.cogs) }

// usual is what a line usually is and how far off that may be, mm: common practice, no
// published source, from memory.
type usual struct{ value, within float64 }

func (u usual) String() string { return fmt.Sprintf("%g ± %g (guess)", u.value, u.within) }

// plain is the same in words.
func (u usual) plain() string { return fmt.Sprintf("%g ± %g mm", u.value, u.within) }

// quantity is the same as a guess.
func (u usual) quantity() Quantity {
	return Quantity{Value: u.value, Spread: u.within, Instrument: guessed, Given: true}
}

func (d *Draft) usualFront() usual { return usualFrontOf(len(d.rings), d.gears()) }
func (d *Draft) usualRear() usual  { return usualRearOf(d.gears()) }

func usualFrontOf(rings, gears int) usual {
	switch {
	case gears == 1:
		return usual{43, 3}
	case rings == 1:
		return usual{50, 4}
	case rings == 2:
		return usual{45.5, 3}
	}
	return usual{48, 3}
}

func usualRearOf(gears int) usual {
	if gears == 1 {
		return usual{42, 3}
	}
	return usual{45.5, 3.5}
}

// Cost says what it costs not to know a line: how far every bend may then be off.
func (u usual) cost() string {
	return fmt.Sprintf("taken as %g ± %g mm, which is usual: every chain angle may be off by %.1f°", u.value, u.within, sim.Degrees(u.within/usualStay))
}

// parts reads an answer such as tube 48.6, gap 29.9 into named texts.
func parts(answer string, names ...string) (map[string]string, error) {
	out := map[string]string{}
	for _, part := range strings.FieldsFunc(pointed(answer), func(r rune) bool { return r == ',' || r == ';' }) {
		name, value, _ := strings.Cut(strings.TrimSpace(part), " ")
		name = strings.ToLower(strings.TrimSuffix(name, ":"))
		switch {
		case !slices.Contains(names, name):
			hint := ""
			if _, err := strconv.ParseFloat(name, 64); err == nil {
				hint = "; numbers have a decimal point, not a comma"
			}
			return nil, fmt.Errorf("%q, want one length, or %s each with its reading%s", shorten(strings.TrimSpace(part)), strings.Join(names, ", "), hint)
		case out[name] != "":
			return nil, fmt.Errorf("%s is given twice", name)
		case strings.TrimSpace(value) == "":
			return nil, fmt.Errorf("%s: no reading", name)
		}
		out[name] = strings.TrimSpace(value)
	}
	return out, nil
}

var startsAsLength = regexp.MustCompile(`^\s*[~+\-.0-9]`)

// quoted checks a length against a field's range and returns it as YAML.
func quoted(path, text string) (string, error) {
	_, tag, _ := field(&Case{}, path)
	if name := spacingOf(text); name != "" && tag.Get("axle") != "" {
		text = name + " (axle spacing)"
	}
	q, err := ParseQuantity(text, "length")
	if err != nil {
		return "", fmt.Errorf("%w%s", err, rangeHint(tag))
	}
	if lo, hi, ok := rangeOf(tag); ok && !(q.Value >= lo && q.Value <= hi) {
		return "", fmt.Errorf("%s: %s is out of range%s", path, text, rangeHint(tag))
	}
	return plainOrQuoted(text), nil
}

// plainOrQuoted returns a text as a YAML scalar.
func plainOrQuoted(text string) string {
	if strings.ContainsAny(text, `":#{}[],&*'`) {
		return "'" + strings.ReplaceAll(text, "'", "''") + "'"
	}
	return text
}

// SetFront takes the front line, 51.5 ± 0.5, or how it was measured: tube 48.6, gap 29.9,
// for several rings tube 34, rings 23.5 31, face outer. Not known leaves the usual one;
// then note says what that costs.
func (d *Draft) SetFront(answer string) (note string, err error) {
	if Unknown(answer) {
		u := d.usualFront()
		d.front = fmt.Sprintf("  line: %s  # not measured\n", u)
		return "the front chainline is " + u.cost(), nil
	}
	if startsAsLength.MatchString(answer) {
		text, err := quoted("front.line", strings.TrimSpace(answer))
		d.front = "  line: " + text + "\n"
		return "", err
	}
	in, err := parts(answer, "tube", "gap", "rings", "face")
	if err != nil {
		return "", err
	}
	tube, gap, rings := in["tube"], in["gap"], in["rings"]
	if tube == "" || (gap == "") == (rings == "") {
		return "", fmt.Errorf("%q, want tube with gap, or tube with a reading for each of the chainrings", shorten(answer))
	}
	var b strings.Builder
	b.WriteString("  measured:\n")
	text, err := quoted("front.measured.tube_width", tube)
	if err != nil {
		return "", err
	}
	fmt.Fprintf(&b, "    tube_width: %s\n", text)
	if gap != "" {
		if text, err = quoted("front.measured.gap", gap); err != nil {
			return "", err
		}
		fmt.Fprintf(&b, "    gap: %s\n", text)
	} else {
		each := strings.Fields(rings)
		if len(each) != len(d.rings) {
			return "", fmt.Errorf("rings: %d readings, want one for each of the rings (%d)", len(each), len(d.rings))
		}
		for _, r := range each {
			if _, err := quoted("front.measured.gap", r); err != nil {
				return "", err
			}
		}
		fmt.Fprintf(&b, "    readings: [%s]\n", strings.Join(each, ", "))
	}
	if f := in["face"]; f != "" {
		if _, ok := faces[f]; !ok {
			return "", fmt.Errorf("face %q, want centre, outer or inner", f)
		}
		fmt.Fprintf(&b, "    face: %s\n", f)
	}
	d.front = b.String()
	return "", nil
}

// SetRear takes the rear line, 46 ± 0.5, or how it was measured: dropouts 141.2, stack 40.3,
// gap 4.1, proud 0.8; axle 148 may stand for dropouts, and stack and gap may be left
// out. Not known leaves the usual line; then note says what that costs.
func (d *Draft) SetRear(answer string) (note string, err error) {
	if Unknown(answer) {
		u := d.usualRear()
		d.rear = fmt.Sprintf("  line: %s  # not measured\n", u)
		return "the rear chainline is " + u.cost(), nil
	}
	if name := bareAxle(answer); name != "" {
		answer = "axle " + name
	}
	if startsAsLength.MatchString(answer) {
		text, err := quoted("rear.line", strings.TrimSpace(answer))
		d.rear = "  line: " + text + "\n"
		return "", err
	}
	in, err := parts(answer, "dropouts", "axle", "stack", "gap", "proud")
	if err != nil {
		return "", err
	}
	if (in["dropouts"] == "") == (in["axle"] == "") {
		return "", fmt.Errorf("%q, want one of dropouts and axle, with stack and gap", shorten(answer))
	}
	if in["axle"] != "" {
		if name := spacingOf(in["axle"]); name != "" {
			in["axle"] = name
		}
		in["dropouts"] = strings.TrimSuffix(in["axle"], "mm") + " (axle spacing)"
		note = "by its name the axle spacing is a range: measure between the dropouts as clamped, the cassette's stack and its gap to the dropout"
	}
	var b strings.Builder
	b.WriteString("  measured:\n")
	for _, f := range []struct{ name, field string }{{"dropouts", "dropouts"}, {"stack", "stack"}, {"proud", "protrusion"}, {"gap", "gap"}} {
		if in[f.name] == "" {
			continue
		}
		text, err := quoted("rear.measured."+f.field, in[f.name])
		if err != nil {
			return "", fmt.Errorf("%s: %w", f.name, err)
		}
		fmt.Fprintf(&b, "    %s: %s\n", f.field, text)
	}
	d.rear = b.String()
	return note, nil
}

// bareAxle returns the name of an axle spacing that stands alone as an answer, where no rear
// line can be meant: 148, 12x148, 142 mm; else "".
func bareAxle(answer string) string {
	if name := spacingOf(answer); name != "" {
		return name
	}
	name := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(answer), "mm"))
	if v, err := strconv.ParseFloat(name, 64); err == nil && axleNamed(v).Given {
		return name
	}
	return ""
}

// SetStay takes the chainstay's length. Not known leaves a usual one; then note says what
// that costs.
func (d *Draft) SetStay(answer string) (note string, err error) {
	if Unknown(answer) {
		d.stay = ""
		return fmt.Sprintf("the chainstay is taken as %g ± %g mm, which is usual: chain angles may be off by %.0f %%", usualStay, stayWithin, 100*stayWithin/usualStay), nil
	}
	d.stay, err = quoted("frame.stay", strings.TrimSpace(answer))
	return "", err
}

// formOfTeeth reads how the teeth of a ring are told, as the trade says it; "" for what it
// does not say.
func formOfTeeth(text string) string {
	switch strings.NewReplacer("-", " ", "_", " ", "/", " ").Replace(strings.ToLower(strings.TrimSpace(text))) {
	case "alternating", "wide and narrow", "wide narrow", "narrow wide", "narrow and wide", "wide", "a":
		return "wide_narrow"
	case "plain", "alike", "normal", "p":
		return "plain"
	}
	return ""
}

// SetForm takes the form of a single ring's teeth: alternating or plain.
func (d *Draft) SetForm(answer string) (note string, err error) {
	if Unknown(answer) {
		d.form = ""
		return "chances of noise and of coming off then count both forms of the chainring's teeth", nil
	}
	if d.form = formOfTeeth(answer); d.form == "" {
		return "", fmt.Errorf("%q, want narrow-wide (one wide, one narrow in turn) or plain (all alike)", shorten(answer))
	}
	return "", nil
}

// Write returns the case as commented YAML that Parse reads: only what was said, and what
// was taken as usual in its place marked so. Errors are *Error.
func (d *Draft) Write() ([]byte, error) {
	list := func(n []int) string { return strings.ReplaceAll(fmt.Sprint(n), " ", ", ") }
	var b strings.Builder
	p := func(format string, a ...any) { fmt.Fprintf(&b, format, a...) }
	p("# Measure what is marked, take each reading three times: [48.5, 48.6, 48.5].\n")
	p("# A tolerance may follow a reading: 48.6 ± 0.3 (caliper), (depth gauge), (tape).\n")
	p("# What is left out is usual: chainpath case defaults.\n")
	p("chainpath: 1\n")
	if d.Title != "" {
		p("title: %s\n", strconv.Quote(d.Title))
	}
	if d.speeds != 0 || d.ends {
		p("speeds: %d\n", d.Speeds())
	}
	if d.stay == "" {
		p("# frame: {stay: 430}  # axle to crank centre, not measured: taken as %g ± %g\n", usualStay, stayWithin)
	} else {
		p("frame:\n  stay: %s  # axle to crank centre\n", d.stay)
	}
	p("front:\n%s  rings: %s\n", d.front, list(d.rings))
	if d.form != "" {
		p("  form: %s\n", d.form)
	}
	p("rear:\n%s", d.rear)
	if d.ends {
		p("  cogs: %d-%d  # %s: %s\n", d.cogs[0], d.cogs[len(d.cogs)-1], strings.Trim(fmt.Sprint(d.cogs), "[]"), cassetteNote(d.cogs, d.usual))
	} else {
		p("  cogs: %s\n", list(d.cogs))
	}
	if d.Tyre != "" {
		p("tyre:\n  size: %s\n", plainOrQuoted(d.Tyre))
	} else {
		p("# tyre: {size: 57-622}  # as printed on it, to look at its room\n")
	}
	p("# chainstay: {gap: 5}  # largest chainring's inner face to the stay, to look at its room\n")
	text := []byte(b.String())
	_, err := Parse("the answers", text)
	return text, err
}
