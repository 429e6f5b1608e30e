package cases

import (
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What does not show is written out, everything else stays.
func TestPrintableByHand(t *testing.T) {
	for in, want := range map[string]string{
		"plain ± µ 自行车":         "plain ± µ 自行车",
		"a\x1b[31mb":            `a\u001b[31mb`,
		"a\u202eb":              `a\u202eb`,
		"a\U000e0001b":          `a\U000e0001b`,
		"a\uffffb\ufffe":        `a\uffffb\ufffe`, // which XML forbids
		"\U0001fffe\ufdd0":      `\U0001fffe\ufdd0`,
		"\u3164\uffa0\u115f":    `\u3164\uffa0\u115f`, // fillers, letters that draw nothing
		"\u2800":                `\u2800`,
		"heart ❤\ufe0f":         "heart ❤\ufe0f",
		"join\u200d\u200cs":     "join\u200d\u200cs",
		"bad\xffbyte\u2028":     `bad\xffbyte\u2028`,
		"\ue000":                `\ue000`,
		"true sign \ufffd \x00": "true sign \ufffd \\u0000",
	} {
		assert.Equal(t, want, Printable(in))
	}
}

// Lengths at their bound and one beyond, counted in characters, and what is no text.
func TestLinesOfText(t *testing.T) {
	assert.Empty(t, CheckLine(strings.Repeat("µ", 200)))
	assert.Equal(t, "201 characters, want one line of at most 200 printable characters", CheckLine(strings.Repeat("µ", 201)))
	assert.Empty(t, checkText(strings.Repeat("a\n", 5000), true))
	assert.Contains(t, checkText(strings.Repeat("a", 10001), true), "10001 characters, want at most 10000")
	assert.Empty(t, checkText("a\tb\nc", true))
	assert.Equal(t, "character U+000A, want one line of at most 200 printable characters", CheckLine("a\nb"))
	assert.Equal(t, "character U+0009, want one line of at most 200 printable characters", CheckLine("a\tb"))
	assert.Contains(t, CheckLine("a\xe9"), "byte 0xe9 is not UTF-8")
	assert.Empty(t, CheckLine("a sign \ufffd that is one"))
	assert.Contains(t, checkText("a\rb", true), "character U+000D")
	assert.Contains(t, CheckLine("a\uffff"), "character U+FFFF, want one line")
	assert.Contains(t, CheckLine("\u3164"), "character U+3164, want one line")

	long := strings.Repeat("x", 60)
	assert.Equal(t, long, shorten(long))
	assert.Equal(t, strings.Repeat("ä", 30)+"…", shorten(strings.Repeat("ä", 61)))
}

// Bytes that are no text are found with their place.
func TestBytesThatAreNoText(t *testing.T) {
	for in, want := range map[string]string{
		"ab\ncd\xff":      "f:2:3: byte 0xff is not UTF-8: save the file as UTF-8",
		"\x00":            "f:1:1: control character U+0000, want text",
		"a\n\n\tb\x1b":    "f:3:3: control character U+001B, want text",
		"ä\x7f":           "f:1:2: control character U+007F, want text",
		"tab\tand\r\nend": "",
		"next\u0085line":  "",
		"\xff\xfea\x00":   "",
		"\xfe\xff\x00a":   "",
	} {
		err := checkBytes("f", []byte(in))
		if want == "" {
			assert.NoError(t, err, "%q", in)
			continue
		}
		require.Error(t, err, "%q", in)
		assert.Equal(t, want, err.Error())
	}
	assert.True(t, utf8.ValidString("ä"))
}

// Brackets as deep as allowed and one deeper; those in quotes and comments do not count, and
// an apostrophe in a word opens none.
func TestBracketsThatNest(t *testing.T) {
	deep := func(n int) string { return strings.Repeat("[", n) }
	for in, want := range map[string]string{
		deep(100): "",
		deep(101): "f:1:101: brackets more than 100 deep",
		deep(60) + "\n" + strings.Repeat("{", 41): "f:2:41: brackets more than 100 deep",
		strings.Repeat("[]", 200):                 "",
		deep(60) + "]" + deep(41):                 "",
		deep(60) + "]" + deep(42):                 "f:1:103: brackets more than 100 deep",
		"]]]]" + deep(101):                        "f:1:105: brackets more than 100 deep",
		"a: '" + deep(200) + "'":                  "",
		`a: "\"` + deep(200) + `"`:                "",
		`a: "x" ` + deep(101):                     "f:1:108: brackets more than 100 deep",
		"# " + deep(200):                          "",
		"a #" + deep(200) + "\n" + deep(101):      "f:2:101: brackets more than 100 deep",
		"a#" + deep(101):                          "f:1:103: brackets more than 100 deep",
		"rider's " + deep(101):                    "f:1:109: brackets more than 100 deep",
	} {
		err := tooDeep("f", []byte(in))
		if want == "" {
			assert.NoError(t, err, "%.20q", in)
			continue
		}
		if assert.Error(t, err, "%.20q", in) {
			assert.Equal(t, want, err.Error())
		}
	}
}

// Letters, digits and the bytes of letters beyond ASCII make words; signs, blanks and the neighbours
// of their ranges do not.
func TestBytesOfWords(t *testing.T) {
	for c := range 256 {
		word := c >= 0x80 || unicode.IsLetter(rune(c)) || unicode.IsDigit(rune(c))
		assert.Equal(t, word, isWord(byte(c)), "%q", rune(c))
		if c := byte(c); c != '\'' && c != '"' && c != '\\' && c != '\n' && c != '#' {
			err := tooDeep("f", []byte("a: "+string([]byte{c})+"'"+strings.Repeat("[", 150)+"'"))
			assert.Equal(t, word, err != nil, "an apostrophe behind %q", rune(c))
		}
	}
}
