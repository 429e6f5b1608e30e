package show

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// columns sets the width for a test.
func columns(t *testing.T, n int) {
	was := Columns
	Columns = n
	t.Cleanup(func() { Columns = was })
}

// Lines are as full as they can be: none is too long unless it is one word, the next line's first word
// would not have fitted, and the words are those of the text.
func TestLinesAreFull(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOfN(rapid.StringMatching(`[aäß°]{1,9}`), 1, 20).Draw(t, "words")
		width := rapid.IntRange(3, 24).Draw(t, "width")
		lines := strings.Split(Wrap(strings.Join(words, "  "), width), "\n")
		for i, line := range lines {
			long := utf8.RuneCountInString(line)
			assert.True(t, long <= width || !strings.Contains(line, " "), "%q", lines)
			if i+1 < len(lines) {
				next, _, _ := strings.Cut(lines[i+1], " ")
				assert.Greater(t, long+1+utf8.RuneCountInString(next), width, "%q", lines)
			}
		}
		assert.Equal(t, strings.Join(words, " "), strings.Join(lines, " "))
	})
	assert.Equal(t, "ab cd\nef", Wrap("ab cd ef", 5))
	assert.Equal(t, "a\n89 %\nof\nbikes", Wrap("a 89 % of bikes", 5), "a percent sign stays with its number")
	assert.Equal(t, "% a", Wrap("% a", 3))
	assert.Equal(t, "ab cd\n  ef gh", Indent("ab cd ef gh", "  ", 7))
}

// A text beside a head has what is left of the line, and twenty characters at least.
func TestSideBySideByHand(t *testing.T) {
	columns(t, 30)
	assert.Equal(t, "° of it: one two three four\n         five", SideBySide("° of it: ", "one two three four five"))
	assert.Equal(t, "a long head it is: one two three four\n                   five", SideBySide("a long head it is: ", "one two three four five"))
}

// Only paragraphs with a line too long are wrapped, and none that is set in.
func TestProseByHand(t *testing.T) {
	columns(t, 12)
	short, long, in := "twelve signs\nand so on", "thirteen sign\nand so", "  it is set in\nand too long a line"
	assert.Equal(t, short, Prose(short))
	assert.Equal(t, "thirteen\nsign and so", Prose(long))
	assert.Equal(t, in, Prose(in))
	assert.Equal(t, "thirteen\nsign and so\n\n"+in+"\n\n"+short, Prose(long+"\n\n"+in+"\n\n"+short+"\n"))
}

// A command line breaks before a flag, where the backslash would not fit behind it either.
func TestCommandByHand(t *testing.T) {
	columns(t, 20)
	assert.Equal(t, "gears x --all --ab", Command("gears x --all --ab"), "18 characters, and 2 for a blank and a backslash")
	assert.Equal(t, "gears x --all \\\n      --abc", Command("gears x --all --abc"))
	assert.Equal(t, "gears x \\\n      --all-of-it \\\n      --b --c", Command("gears x --all-of-it --b --c"))
	assert.Equal(t, "a\nb --c", Command("a\nb --c"))
}

// A screen prints notes as long as they fit: 24 lines, or twelve around the table. A blank line
// sets off what is below the table where there is room for it; where the whole is higher than the
// terminal the answer is said again.
func TestNotesThatFitTheScreen(t *testing.T) {
	columns(t, 20)
	was := Height
	t.Cleanup(func() { Height = was })
	print := func(s screen) []string {
		var out strings.Builder
		require.NoError(t, s.write(&out))
		return strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n")
	}
	table := func(rows int) *Table {
		x := &Table{Head: [][]string{{"gear"}}}
		for range rows {
			x.Rows = append(x.Rows, []string{"1"})
		}
		return x
	}
	notes := func(n int) (list []string) {
		for range n {
			list = append(list, "note")
		}
		return list
	}
	// title, answer, blank, head, 10 rows: 14 of 24 lines, one below: nine notes fill it.
	full := screen{above: []string{"title", "answer"}, table: table(10), below: []string{"below"}}
	for n, lines := range map[int]int{0: 16, 1: 17, 8: 24, 9: 24, 10: 24, 20: 24} {
		full.notes = notes(n)
		got := print(full)
		assert.Len(t, got, lines, "%d notes", n)
		assert.Equal(t, n < 9, got[14] == "", "%d notes", n)
	}
	full.notes = append([]string{strings.Repeat("long ", 45)}, notes(20)...)
	assert.NotContains(t, strings.Join(print(full), "\n"), "long", "a note that does not fit is left out, the next ones not")
	full.table, full.notes = table(13), notes(40)
	assert.Len(t, print(full), 25, "twelve around thirteen rows")
	full.table = table(12)
	assert.Len(t, print(full), 24)
	bare := screen{above: []string{"title", "answer"}, notes: notes(2)}
	assert.Equal(t, []string{"title", "answer", "note", "note"}, print(bare), "no table, no blank line")
	for height, again := range map[int]bool{0: false, 3: true, 4: true, 5: false} {
		Height = height
		assert.Equal(t, again, len(print(bare)) == 6, "a terminal of %d lines", height)
	}
	Height = 1
	assert.Equal(t, []string{"title"}, print(screen{above: []string{"title"}}))
}

// A column that flows is narrowed by what the table is too wide, and to nine at least.
func TestTableIsFitted(t *testing.T) {
	for width, want := range map[int]int{30: 18, 28: 18, 27: 17, 20: 10, 19: 9, 10: 9} {
		columns(t, width)
		table := Table{Flow: 2}
		at := []int{3, 18, 3}
		table.fit(at)
		assert.Equal(t, []int{3, want, 3}, at, "%d columns", width)
		table.Flow = 0
		at = []int{3, 18, 3}
		table.fit(at)
		assert.Equal(t, 18, at[1])
		table.Flow = 1
		table.fit(at)
		assert.Equal(t, 3, at[0], "one that is narrow already stays")
	}
}
