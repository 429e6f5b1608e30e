package main

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"chainpath/cases"
)

// parseFieldBike reads a bicycle of the panel: a case file in which comment lines that begin with #!
// say what is known. The name is for messages, and for Group where the file has
// none. Every error is an *cases.Error.
//
//	#! grade good|marginal|bad
//	#! weight strong|weak
//	#! group NAME
//	#! cure KIND,... SOURCE
//	#! CLAIM GEARS yes|no|maybe SOURCE
//
// GEARS is * or a list such as 34/11,*/12,50/* of ring and cog teeth. A line is
// marked as assumed by a comment at its end; see assumedMark.
func parseFieldBike(name string, data []byte) (*fieldBike, error) {
	c, err := cases.Parse(name, data)
	if err != nil {
		return nil, err
	}
	p := &fieldBike{Case: c, Name: strings.TrimSuffix(name, ".yaml")}
	lines := strings.Split(strings.TrimPrefix(string(data), "\ufeff"), "\n")
	some := false
	for i, line := range lines {
		if !strings.HasPrefix(strings.TrimSpace(line), "#!") {
			continue
		}
		some = true
		l := panelLine{file: name, number: i + 1, words: wordsOf(line)}
		if err := p.read(l); err != nil {
			return nil, err
		}
	}
	if !some {
		return nil, &cases.Error{File: name, Problem: "no line that begins with #!, want at least one that says what is known"}
	}
	if p.Group == "" {
		p.Group = name
	}
	p.FrontAssumed = assumed(c, lines, "front.line", "front.ring_lines", "front.ring_pitch")
	p.RearAssumed = assumed(c, lines, "rear.line", "rear.cog_lines")
	return p, nil
}

// word is a word of a line and its column, 1-based, in characters.
type word struct {
	text string
	col  int
}

var notBlank = regexp.MustCompile(`\S+`)

// wordsOf returns the words after a line's #!, and last an empty one where the
// line ends.
func wordsOf(line string) (words []word) {
	line = strings.TrimRight(line, " \t\r")
	from := strings.Index(line, "#!") + 2
	for _, at := range notBlank.FindAllStringIndex(line[from:], -1) {
		words = append(words, word{line[from+at[0] : from+at[1]], 1 + utf8.RuneCountInString(line[:from+at[0]])})
	}
	return append(words, word{"", 1 + utf8.RuneCountInString(line)})
}

// panelLine is a line that begins with #!.
type panelLine struct {
	file   string
	number int
	words  []word // the last is empty
}

// fail returns an error at word i about what the line's first word names.
func (l panelLine) fail(i int, format string, a ...any) error {
	e := &cases.Error{File: l.file, Line: l.number, Col: l.words[min(i, len(l.words)-1)].col, Problem: fmt.Sprintf(format, a...)}
	if i > 0 {
		e.Path = l.words[0].text
	}
	return e
}

// word returns word i, or an error that says what is missing.
func (l panelLine) word(i int, want string) (string, error) {
	if i >= len(l.words)-1 {
		return "", l.fail(i, "nothing, want %s", want)
	}
	return l.words[i].text, nil
}

// end refuses more than n words.
func (l panelLine) end(n int) error {
	if i := n; i < len(l.words)-1 {
		return l.fail(i, "%q after %q, want nothing more", l.words[i].text, l.words[i-1].text)
	}
	return nil
}

// read takes one line in.
func (p *fieldBike) read(l panelLine) error {
	words := []string{"grade", "weight", "group", "cure"}
	for _, c := range claims() {
		words = append(words, string(c))
	}
	first, err := l.word(0, "one of "+strings.Join(words, ", "))
	if err != nil {
		return err
	}
	switch {
	case first == "grade":
		return l.once(&p.Grade, "good", "marginal", "bad")
	case first == "weight":
		return l.once(&p.Weight, "strong", "weak")
	case first == "group":
		return l.once(&p.Group)
	case first == "cure":
		return p.cure(l)
	case first == "shift_slow":
		p.shifts = p.shifts || len(l.words) > 3 && l.words[2].text == "yes"
		return nil
	case slices.Contains(words, first):
		return p.claim(l)
	case slices.Contains(asides, first):
		return nil
	}
	if near := cases.Nearest(first, words); near != "" {
		return l.fail(0, "unknown word %q, did you mean %q?", first, near)
	}
	return l.fail(0, "unknown word %q, want one of %s", first, strings.Join(words, ", "))
}

// once reads a line of one word, of these or any, that may be given once.
func (l panelLine) once(into *string, choices ...string) error {
	want := "a name"
	if len(choices) > 0 {
		want = "one of " + strings.Join(choices, ", ")
	}
	w, err := l.word(1, want)
	switch {
	case err != nil:
		return err
	case *into != "":
		return l.fail(1, "given twice")
	case len(choices) > 0 && !slices.Contains(choices, w):
		return l.fail(1, "%q, want %s", w, want)
	}
	*into = w
	return l.end(2)
}

// claim reads a line that answers a claim.
func (p *fieldBike) claim(l panelLine) error {
	list, err := l.word(1, "gears: * or a list such as 34/11,*/12")
	if err != nil {
		return err
	}
	s := said{claim: claim(l.words[0].text)}
	for _, text := range strings.Split(list, ",") {
		g, err := p.Case.ParseGear(text)
		if err != nil {
			return l.fail(1, "%s", err)
		}
		s.gears = append(s.gears, g)
	}
	if s.answer, err = l.word(2, "yes, no or maybe"); err != nil {
		return err
	}
	if !slices.Contains([]string{"yes", "no", "maybe"}, s.answer) {
		return l.fail(2, "unknown answer %q, want yes, no or maybe", s.answer)
	}
	if s.source, err = l.word(3, "a source"); err != nil {
		return err
	}
	p.said = append(p.said, s)
	return l.end(4)
}

// cures are the kinds of change that a source may name.
var cures = []string{"hanger", "cable", "freehub", "cassette", "tension", "front_derailleur", "chain", "tyre", "inboard", "outboard", "hub_inboard", "hub_outboard", "avoid"}

// cure reads a line that says what cured it.
func (p *fieldBike) cure(l panelLine) error {
	list, err := l.word(1, "kinds of change: "+strings.Join(cures, ", "))
	if err != nil {
		return err
	}
	for _, k := range strings.Split(list, ",") {
		if !slices.Contains(cures, k) {
			return l.fail(1, "unknown kind %q, want one of %s", k, strings.Join(cures, ", "))
		}
		p.Cure = append(p.Cure, k)
	}
	if _, err := l.word(2, "a source"); err != nil {
		return err
	}
	return l.end(3)
}
