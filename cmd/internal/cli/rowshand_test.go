package cli

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim/sweep"
)

// Lines are whole however long: shorter and longer than what is read at a time, at its very
// end, and without an end; one of more than a mebibyte is given up.
func TestReadLineByHand(t *testing.T) {
	for _, n := range []int{0, 1, 14, 15, 16, 17, 31, 32, 100, 5000} {
		line := strings.Repeat("x", n) + "\n"
		in := bufio.NewReaderSize(strings.NewReader(line+"next\nlast"), 16)
		for _, want := range []string{line, "next\n"} {
			got, err := readLine(in)
			require.NoError(t, err, n)
			assert.Equal(t, want, string(got), n)
		}
		got, err := readLine(in)
		assert.Equal(t, io.EOF, err)
		assert.Equal(t, "last", string(got))
	}
	_, err := readLine(bufio.NewReaderSize(strings.NewReader(strings.Repeat("x", mostLine+100)), 16))
	assert.ErrorIs(t, err, errLongLine)
	got, err := readLine(bufio.NewReaderSize(strings.NewReader(strings.Repeat("x", mostLine-1)+"\n"), 16))
	require.NoError(t, err)
	assert.Len(t, got, mostLine)
}

// What a write may leave of a row, in both forms: its beginning, or zeros in its place.
func TestBeginsByHand(t *testing.T) {
	for _, format := range []string{"csv", "jsonl"} {
		r := rowerFor(t, "trail", &sweepOptions{bare: true, vary: []string{"front.line=46:56:0.01"}, workers: 1, format: format})
		job := sweep.Job{Designs: r.w.Plan.Designs(), Workers: 1}
		require.Equal(t, 1001, job.Designs)
		row := r.row(12)
		for n := range len(row) + 1 {
			assert.True(t, r.begins(row[:n], job), "%s: %q", format, row[:n])
			assert.True(t, r.begins(append(bytes.Clone(row[:n]), 0, 0, 0), job), "%s: %q and zeros", format, row[:n])
		}
		wrong := bytes.Clone(row)
		wrong[len(wrong)-3] ^= 1
		assert.False(t, r.begins(wrong, job), format)
		assert.False(t, r.begins([]byte("x"), job), format)
		assert.False(t, r.begins(bytes.Replace(row, []byte("12"), []byte("1212"), 1), job), "%s: no such design", format)
		late, first := job, r.row(0)
		late.From = 12
		assert.True(t, r.begins(row, late), format)
		late.From = 13
		assert.False(t, r.begins(row, late), "%s: before the job's first", format)
		assert.True(t, r.begins(first, job), format)
	}
}

func TestHolesAreTold(t *testing.T) {
	for want, h := range map[string]hole{
		"all designs of the whole sweep":          {},
		"designs from 7 on of the whole sweep":    {From: 7},
		"all designs of shard 1 of 3":             {Index: 1, Count: 3},
		"designs from 1 on of shard 1 of 1":       {Index: 1, Count: 1, From: 1},
		"designs from 5000 on of shard 12 of 100": {Index: 12, Count: 100, From: 5000},
	} {
		assert.Equal(t, want, h.String())
	}
}

// Marks stay at ends of blocks of 256 designs behind each multiple of what a mark is of, and
// count rows and bytes.
func TestMarksByHand(t *testing.T) {
	p := newProver(1000) // few: a mark each block
	require.Equal(t, 256, markEvery(1000))
	p.add([]byte("head\n"), 0)
	for next := 1; next <= 1000; next++ {
		p.add([]byte("x\n"), 1)
		p.reached(next)
	}
	var at []int
	for _, m := range p.marks {
		at = append(at, m.Next)
		assert.Equal(t, m.Next, m.Rows)
		assert.Equal(t, int64(5+2*m.Next), m.Bytes)
	}
	assert.Equal(t, []int{256, 512, 768}, at)

	many := 256 * 10 * mostMarks // a mark every ten blocks
	p = newProver(many)
	require.Equal(t, 2560, markEvery(many))
	at = nil
	for next := 256; next <= 3*2560+256; next += 256 {
		if next == 2560 { // a block that did not come to its end here
			continue
		}
		p.reached(next)
		p.reached(next + 1)
	}
	for _, m := range p.marks {
		at = append(at, m.Next)
	}
	assert.Equal(t, []int{2816, 5120, 7680}, at)
}

// How far a sweep is is told every ten seconds where it goes to no terminal, behind what makes sure that it
// is so, and never with -q.
func TestTallyTellsInTime(t *testing.T) {
	for _, c := range []struct {
		quiet, line bool
		ago         time.Duration
		told        bool
	}{{false, false, 11 * time.Second, true}, {false, false, time.Second, false}, {true, false, time.Hour, false}, {false, true, 2 * time.Second, true}, {true, true, time.Hour, false}} {
		var b bytes.Buffer
		p := newTally(streams{err: &b}, c.quiet, sweep.Job{Designs: 100})
		require.False(t, p.line)
		p.line, p.told, p.begun = c.line, p.told.Add(-c.ago), p.begun.Add(-10*time.Second)
		synced := 0
		require.NoError(t, p.done(30, func() error { synced++; return nil }))
		assert.Equal(t, c.told, synced == 1, "%+v", c)
		assert.Equal(t, c.told, strings.Contains(b.String(), "30 of 100 designs (30 %), 3 a second, 0:00:2"), "%+v: %s", c, b.String())
		if c.told { // on a terminal one line is written over, elsewhere there is one after the other
			assert.Equal(t, c.line, strings.HasPrefix(b.String(), "\r") && strings.HasSuffix(b.String(), "left\x1b[K"), "%q", b.String())
			assert.Equal(t, !c.line, strings.HasSuffix(b.String(), "left\n"), "%q", b.String())
		}
		p.told = p.told.Add(-time.Hour)
		err := p.done(1, func() error { return errors.New("no room") })
		assert.Equal(t, c.quiet, err == nil, "%+v", c)
	}
}

func TestGivenNames(t *testing.T) {
	for path, want := range map[string]string{
		"front.line":              "line",
		"front.measured.gap":      "line",
		"front.cage.reach":        "front cage: line",
		"front.cage.positions[1]": "front cage: line (2)",
		"rear.lines[0]":           "line (1)",
		"a.ring_pitch.of[x]":      "a ring pitch: line",
	} {
		assert.Equal(t, want, givenName(path, "line"), path)
	}
}

// Standard error that is a file is no terminal: one line after the other.
func TestTallyIntoAFile(t *testing.T) {
	f, err := os.Create(filepath.Join(t.TempDir(), "errors"))
	require.NoError(t, err)
	defer f.Close()
	assert.False(t, newTally(streams{err: f}, false, sweep.Job{Designs: 100}).line)
}

// Rows of a sweep that was broken off are drawn as far as they are proven, which is said; where none are,
// nothing is.
func TestChartOfABrokenOffSweep(t *testing.T) {
	dir := t.TempDir()
	whole, rows := filepath.Join(dir, "whole"), filepath.Join(dir, "rows")
	rowsOf(t, whole)
	text, err := os.ReadFile(whole)
	require.NoError(t, err)
	lines := bytes.SplitAfter(text, []byte("\n"))
	for n, want := range map[int]int{700: 512, 200: 0} { // marks stand behind blocks of 256 designs
		require.NoError(t, os.WriteFile(rows, bytes.Join(lines[:1+n], nil), 0o644))
		breakOff(t, whole, rows)
		at, err := readRows(rows)
		if want == 0 {
			assert.ErrorContains(t, err, "no rows are proven yet: sweep --resume goes on with it")
			continue
		}
		require.NoError(t, err)
		assert.True(t, at.partial)
		assert.Len(t, at.x[0], want)
	}
	at, err := readRows(whole)
	require.NoError(t, err)
	assert.False(t, at.partial)
	assert.Len(t, at.x[0], 802)
}

// A row that is read again while shards are merged is one with its end of line and a design, or the file
// was changed; at the end all of it is what was looked through.
func TestNextRowByHand(t *testing.T) {
	for text, want := range map[string]string{"12,ok\n": "", "12,ok": "changed", "x,ok\n": "changed", "12\n": "changed", "": "changed"} {
		p := &part{name: "rows", sum: sha256.New(), r: bufio.NewReader(strings.NewReader(text)), id: &rowsID{}, seen: &scanned{proven: mark{Bytes: 6, SHA256: "of another"}}}
		err := p.next()
		if want != "" {
			assert.EqualError(t, err, "rows changed while it was read", "%q", text)
			continue
		}
		require.NoError(t, err)
		assert.Equal(t, 12, p.design)
		assert.Equal(t, text, string(p.line))
	}
}

// In what rows are of another sweep, each field by hand, the first that differs; what is not given says so. Shards,
// ends and marks may differ.
func TestDifferencesByHand(t *testing.T) {
	of := func(change func(id *rowsID)) *rowsID {
		id := &rowsID{Version: "1", Columns: "csv", Designs: 9, Plan: map[string]string{"a": "1", "b": "2"}, Case: map[string]string{"x": "3"}, Options: map[string]bool{"loss": true}}
		change(id)
		return id
	}
	was := of(func(*rowsID) {})
	for want, change := range map[string]func(id *rowsID){
		"":                                 func(id *rowsID) { id.Shard, id.Ended, id.Proven = &shardID{1, 2}, &rowsEnd{}, []mark{{}} },
		"version of the tool: 1 against 2": func(id *rowsID) { id.Version, id.Columns = "2", "jsonl" },
		"--format: csv against jsonl":      func(id *rowsID) { id.Columns, id.Designs = "jsonl", 8 },
		"plan, b: 2 against 4":             func(id *rowsID) { id.Plan, id.Case = map[string]string{"a": "1", "b": "4", "c": "5"}, nil },
		"plan, b: 2 against not given":     func(id *rowsID) { id.Plan = map[string]string{"a": "1"} },
		"plan, 0: not given against 7":     func(id *rowsID) { id.Plan = map[string]string{"0": "7", "a": "2"} },
		"case, x: 3 against not given":     func(id *rowsID) { id.Case = nil },
		"loss: true against false":         func(id *rowsID) { id.Options = nil },
		"shifts: false against true":       func(id *rowsID) { id.Options = map[string]bool{"loss": true, "shifts": true} },
		"designs: 9 against 8":             func(id *rowsID) { id.Designs = 8 },
	} {
		assert.Equal(t, want, was.differs(of(change)))
	}
}

// A word without end is cut in messages, others are not, however many there are.
func TestMessagesByHand(t *testing.T) {
	word := strings.Repeat("ä", 399)
	assert.Equal(t, word+" and "+word, message(errors.New(word+" and "+word)))
	assert.Equal(t, "no "+strings.Repeat("ä", 60)+"… here", message(errors.New("no "+word+"ä here")))
}

// Rows found are counted, and of them those whose design can be, by their status alone.
func TestRowsThatCanBeAreCounted(t *testing.T) {
	for columns, text := range map[string]string{
		"csv":   "design,front_line_mm,status,links\n0,50,ok,118\n1,51,no such gear,\n2,52,ok,118\n3,53,okay,118\n",
		"jsonl": `{"design":0,"status":"ok"}` + "\n" + `{"design":1,"status":"no such gear","why":"ok,"}` + "\n" + `{"design":2,"status":"ok"}` + "\n" + `{"design":3,"status":"okay"}` + "\n",
	} {
		s, err := scanRows(strings.NewReader(text), "rows", &rowsID{Columns: columns, Designs: 4})
		require.NoError(t, err, columns)
		assert.Equal(t, [2]int{4, 2}, [2]int{s.rows, s.okay}, columns)
	}
}
