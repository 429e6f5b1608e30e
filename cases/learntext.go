package cases

import (
	"bytes"
	"regexp"
)

// WithoutLearned returns a case's text without its learned block, so that it can be
// learned anew from what is seen now.
func WithoutLearned(text []byte) []byte { return without(text, "learned") }

// WithoutSeen returns a case's text without observations and what was learned from them.
func WithoutSeen(text []byte) []byte { return without(WithoutLearned(text), "observations") }

// Text returns a case's text with what was seen and learned, the rest as it stands:
// comments, units and readings are kept. The error is Format's.
func (l *Lesson) Text(text []byte) ([]byte, error) {
	whole, err := Format(l.Case)
	if err != nil {
		return nil, err
	}
	out := text
	for _, key := range []string{"observations", "learned"} {
		out = without(out, key)
		if b := block(whole, key); len(b) > 0 {
			if n := len(out); n > 0 && out[n-1] != '\n' {
				out = append(out, '\n')
			}
			out = append(out, b...)
		}
	}
	return out, nil
}

var topKey = regexp.MustCompile(`^[a-z_]+:`)

// blockAt returns where a block of the first level begins and ends; from < 0: there is none.
// A block ends where the next key, or a comment at the margin, begins.
func blockAt(text []byte, key string) (from, to int) {
	from, at := -1, 0
	for at < len(text) {
		end := at + bytes.IndexByte(text[at:], '\n') + 1
		if end == at {
			end = len(text)
		}
		line := text[at:end]
		switch {
		case from < 0 && bytes.HasPrefix(line, []byte(key+":")):
			from = at
		case from >= 0 && (topKey.Match(line) || line[0] == '#'):
			return from, at
		}
		at = end
	}
	return from, at
}

func without(text []byte, key string) []byte {
	from, to := blockAt(text, key)
	if from < 0 {
		return bytes.Clone(text)
	}
	return append(bytes.Clone(text[:from]), text[to:]...)
}

func block(text []byte, key string) []byte {
	from, to := blockAt(text, key)
	if from < 0 {
		return nil
	}
	return text[from:to]
}
