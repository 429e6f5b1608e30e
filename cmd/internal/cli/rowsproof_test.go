package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim/sweep"
)

// aSweep are arguments of a sweep of 802 designs in four blocks.
var aSweep = []string{"sweep", "trail", "--no-chances", "--vary", "front.line=46:56:0.025", "--vary", "frame.stay=430,431", "-q"}

func argsOf(more ...string) []string { return append(slices.Clone(aSweep), more...) }

// Rows that are missing, changed, in another order or of another sweep are found in a file
// that was broken off, whether designs may be left out or not; nothing is touched.
func TestBrokenOffRowsAreProven(t *testing.T) {
	for _, where := range [][]string{nil, {"--where", "stay_mm>=-1000"}} {
		dir := t.TempDir()
		whole, rows, other := filepath.Join(dir, "whole"), filepath.Join(dir, "rows"), filepath.Join(dir, "other")
		rowsOf(t, whole, where...)
		rowsOf(t, other, append(slices.Clone(where), "--one-chain")...)
		text, err := os.ReadFile(whole)
		require.NoError(t, err)
		lines := bytes.SplitAfter(text, []byte("\n"))
		strange, err := os.ReadFile(other)
		require.NoError(t, err)
		for what, spoil := range map[string]func(l [][]byte) [][]byte{
			"200 rows missing": func(l [][]byte) [][]byte { return slices.Delete(l, 2, 202) },
			"one row missing":  func(l [][]byte) [][]byte { return slices.Delete(l, 300, 301) },
			"one row twice":    func(l [][]byte) [][]byte { return slices.Insert(l, 300, l[299]) },
			"two rows changed places": func(l [][]byte) [][]byte {
				l[300], l[301] = l[301], l[300]
				return l
			},
			"one number changed": func(l [][]byte) [][]byte {
				l[301] = bytes.Replace(l[301], []byte(",ok,1"), []byte(",ok,9"), 1)
				return l
			},
			"one row of another sweep": func(l [][]byte) [][]byte {
				for i, s := range bytes.SplitAfter(strange, []byte("\n")) {
					if i < 600 && i > 300 && !bytes.Equal(l[i], s) {
						l[i] = s
						return l
					}
				}
				return nil
			},
			"the first rows of another sweep": func(l [][]byte) [][]byte {
				return append(bytes.SplitAfter(strange, []byte("\n"))[:300:300], l[300:]...)
			},
		} {
			require.NoError(t, os.WriteFile(rows, bytes.Join(lines[:700], nil), 0o644))
			breakOff(t, whole, rows)
			stoppedIn(t, rows)
			spoilt := bytes.Join(spoil(slices.Clone(lines[:700])), nil)
			require.NoError(t, os.WriteFile(rows, spoilt, 0o644))
			for _, args := range [][]string{
				argsOf(append(slices.Clone(where), "-o", rows, "--resume")...),
				{"sweep", "merge", rows, "--partial", "-o", filepath.Join(dir, "out")},
				{"chart", rows, "--x", "front_line_mm", "--z", "links", "-o", filepath.Join(dir, "figures")},
			} {
				code, _, errs := run(args...)
				assert.Equal(t, ExitBadInput, code, "%s: %v", what, args)
				assert.Regexp(t, `designs? \d+`, errs, what)
				assert.Equal(t, 1, strings.Count(errs, "\n"), errs)
				now, err := os.ReadFile(rows)
				require.NoError(t, err)
				assert.True(t, bytes.Equal(spoilt, now), what)
				assert.NoFileExists(t, filepath.Join(dir, "out"))
				assert.NoDirExists(t, filepath.Join(dir, "figures"))
			}
		}
	}
}

// What stands beside rows says of itself that it was changed.
func TestChangedIdentity(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "rows")
	rowsOf(t, file)
	was, err := os.ReadFile(idName(file))
	require.NoError(t, err)
	for from, to := range map[string]string{
		`"rows": 802`:       `"rows": 801`,
		`"shard": null`:     `"shard": {"index": 0, "count": 1}`,
		`"next_design": 25`: `"next_design": 35`,
		`"missing": []`:     `"missing": [{"shard": 0, "of": 2, "from_design": 9}]`,
		"\n}\n":             "\n}\n{}\n",
	} {
		require.Contains(t, string(was), from)
		require.NoError(t, os.WriteFile(idName(file), bytes.Replace(was, []byte(from), []byte(to), 1), 0o644))
		code, _, errs := run(argsOf("-o", file, "--resume")...)
		assert.Equal(t, ExitBadInput, code, to)
		assert.Contains(t, errs, "not written by this tool, or changed", to)
	}
	require.NoError(t, os.WriteFile(idName(file), bytes.Replace(was, []byte(`"chainpath_rows": 2`), []byte(`"chainpath_rows": 1`), 1), 0o644))
	code, _, errs := run("sweep", "merge", file)
	assert.Equal(t, ExitBadInput, code)
	assert.Contains(t, errs, "is of form 1, want 2: written by another version of this tool")
}

// A file that something else cuts off, lengthens or replaces while its rows are written
// does not get an end, and the cut one can be gone on with.
func TestChangedWhileItIsWritten(t *testing.T) {
	dir := t.TempDir()
	whole := filepath.Join(dir, "whole")
	rowsOf(t, whole)
	want, err := os.ReadFile(whole)
	require.NoError(t, err)
	for what, spoil := range map[string]func(name string) error{
		"cut off":  func(name string) error { return os.Truncate(name, 1000) },
		"longer":   func(name string) error { return os.WriteFile(name, append(want, "12"...), 0o644) },
		"replaced": func(name string) error { return os.Rename(idName(whole), name) },
		"gone":     os.Remove,
	} {
		for _, early := range []bool{true, false} {
			rowsOf(t, filepath.Join(t.TempDir(), "rows"))
			name := filepath.Join(t.TempDir(), "rows")
			o := &sweepOptions{bare: true, vary: []string{"front.line=46:56:0.025", "frame.stay=430,431"}, out: name, format: "csv"}
			r := rowerFor(t, "trail", o)
			job := sweep.Job{Designs: 802}
			out, err := o.open(streams{}, r, &job)
			require.NoError(t, err)
			var failed error
			for k := 0; k < 802 && failed == nil; k += sweep.BlockSize {
				b := sweep.Block{From: k, To: min(k+sweep.BlockSize, 802)}
				text, _ := r.worker()(t.Context(), nil, b)
				failed = out.block(text, b)
				if k == 0 == early && k <= sweep.BlockSize {
					if what == "replaced" {
						require.NoError(t, os.WriteFile(idName(whole), want, 0o644))
					}
					require.NoError(t, spoil(name))
				}
			}
			if failed == nil {
				failed = out.finish()
			}
			require.ErrorIs(t, failed, errChanged, what)
			out.close()
			id, err := readID(name)
			require.NoError(t, err)
			assert.Nil(t, id.Ended, what)
			if what != "cut off" {
				continue
			}
			code, _, errs := run(argsOf("-o", name, "--resume")...)
			require.Equal(t, ExitDone, code, errs)
			got, err := os.ReadFile(name)
			require.NoError(t, err)
			assert.True(t, bytes.Equal(want, got))
		}
	}
}

// Marks are few however many designs there are, and lie at the same ends of blocks
// however often a sweep was broken off.
func TestMarksAreFew(t *testing.T) {
	for _, designs := range []int{1, 255, 256, 257, 802, 100_000, 16_384 * 256, 900_000_000} {
		for _, shard := range []sweep.Shard{{}, {I: 2, N: 3}, {I: 99, N: 100}} {
			every := markEvery(designs)
			assert.Zero(t, every%sweep.BlockSize)
			p, rng := newProver(designs), rand.New(rand.NewPCG(uint64(designs), 1))
			blocks := (designs + sweep.BlockSize - 1) / sweep.BlockSize
			skip := max(blocks/5000, 1)
			for k := 0; k < blocks; k += skip {
				if !shard.Owns(k * sweep.BlockSize) {
					continue
				}
				if rng.IntN(3) == 0 {
					p.reached(k*sweep.BlockSize + 1 + rng.IntN(sweep.BlockSize-1)) // stopped in the middle
				}
				p.reached(min((k+1)*sweep.BlockSize, designs))
			}
			assert.LessOrEqual(t, len(p.marks), mostMarks)
			for _, m := range p.marks {
				assert.Zero(t, m.Next%sweep.BlockSize)
				assert.Less(t, m.Next, designs)
			}
			if designs == 100_000 && shard.N == 0 {
				assert.Greater(t, len(p.marks), 50)
			}
		}
	}
	for _, s := range []sweep.Shard{{}, {I: 2, N: 3}, {I: 0, N: 2}} {
		at := -1
		for n := range 5000 {
			if s.Owns(n) {
				assert.Equal(t, n, following(s, at))
				at = n
			}
		}
	}
}

// state is a file of rows in some state, and what it is to be in the end.
type state struct {
	args     []string // of its sweep
	rows, id []byte
	end, ids []byte // rows and identity at the end
	shard    int    // of three, -1: the whole
	group    int    // of states whose shards belong together
}

// states makes files of rows: CSV and JSON Lines, with designs left out or not, shards or
// the whole, at their end or broken off in three places.
func states(t *testing.T) (all []state, shards [][3]string) {
	dir := t.TempDir()
	group := 0
	for _, more := range [][]string{nil, {"--format", "jsonl"}, {"--where", "top_bend_deg<=3.2"}, {"--where", "front.line>=51", "--loss"}} {
		var names [3]string
		for shard := -1; shard < 3; shard++ {
			args := argsOf(more...)
			name := filepath.Join(dir, fmt.Sprint(group, "-", shard))
			if shard >= 0 {
				args = append(args, "--shard", fmt.Sprintf("%d/3", shard))
				names[shard] = name
			}
			code, _, errs := run(append(slices.Clone(args), "-o", name)...)
			require.Equal(t, ExitDone, code, errs)
			text, err := os.ReadFile(name)
			require.NoError(t, err)
			id, err := os.ReadFile(idName(name))
			require.NoError(t, err)
			one := state{args, text, id, text, id, shard, group}
			all = append(all, one)
			lines := bytes.SplitAfter(text, []byte("\n"))
			for _, part := range []int{3, 5, 8} {
				cut := filepath.Join(dir, "cut")
				one.rows = bytes.Join(lines[:1+part*(len(lines)-2)/10], nil)
				require.NoError(t, os.WriteFile(cut, one.rows, 0o644))
				breakOff(t, name, cut)
				if part != 5 {
					stoppedIn(t, cut)
				}
				one.id, err = os.ReadFile(idName(cut))
				require.NoError(t, err)
				all = append(all, one)
			}
		}
		shards = append(shards, names)
		group++
	}
	return all, shards
}

// spoil changes rows and identity at random.
func spoil(rng *rand.Rand, s *state, all []state) {
	pick := func(n int) int { return rng.IntN(max(n, 1)) }
	lines := bytes.SplitAfter(bytes.Clone(s.rows), []byte("\n"))
	a, b := pick(len(lines)), pick(len(lines))
	o := &all[pick(len(all))]
	theirs := bytes.SplitAfter(o.rows, []byte("\n"))
	join := func(l ...[][]byte) { s.rows = bytes.Join(slices.Concat(l...), nil) }
	k := pick(len(s.rows))
	switch rng.IntN(21) { // 20: nothing
	case 0: // a byte
		if len(s.rows) > 0 {
			s.rows = bytes.Clone(s.rows)
			s.rows[k] = byte(rng.IntN(256))
		}
	case 1: // a digit of a number
		s.rows = bytes.Clone(s.rows)
		for i := k; i < len(s.rows); i++ {
			if c := s.rows[i]; c >= '0' && c <= '9' {
				s.rows[i] = '0' + (c-'0'+byte(1+rng.IntN(9)))%10
				break
			}
		}
	case 2: // bytes taken out
		s.rows = slices.Concat(s.rows[:k], s.rows[min(k+pick(400), len(s.rows)):])
	case 3: // bytes put in
		s.rows = slices.Concat(s.rows[:k], []byte(strings.Repeat("7", 1+pick(3))), s.rows[k:])
	case 4: // one row taken out
		join(lines[:a], lines[min(a+1, len(lines)):])
	case 5: // some rows
		join(lines[:min(a, b)], lines[max(a, b):])
	case 6: // a row twice
		join(lines[:a], lines[a:min(a+1, len(lines))], lines[a:])
	case 7: // two rows change places
		lines[a], lines[b] = lines[b], lines[a]
		join(lines)
	case 8: // cut off
		s.rows = s.rows[:k]
	case 9: // cut off at the end of a row
		join(lines[:a])
	case 10: // cut off in the beginning
		join(lines[:min(1, a)], lines[a:])
	case 11: // a row of another file
		lines[a] = theirs[min(a, len(theirs)-1)]
		join(lines)
	case 12: // the rest of another file
		join(lines[:a], theirs[min(a, len(theirs)):])
	case 13: // rows of one, identity of the other
		s.rows = o.rows
	case 14:
		s.id = o.id
	case 15: // both
		s.rows, s.id = o.rows, o.id
	case 16: // a byte of the identity
		s.id = bytes.Clone(s.id)
		if len(s.id) > 0 {
			s.id[pick(len(s.id))] = byte(32 + rng.IntN(95))
		}
	case 17: // identity cut off, or gone
		s.id = s.id[:pick(len(s.id))]
		if rng.IntN(2) == 0 {
			s.id = nil
		}
	case 18: // behind the end
		s.rows = slices.Concat(s.rows, [][]byte{{0, 0, 0}, []byte("notes\n"), []byte("12"), theirs[pick(len(theirs))], lines[a]}[rng.IntN(5)])
	case 19:
		s.rows = nil
	}
}

// compact returns JSON without what stands between its words; nil: it is none.
func compact(text []byte) []byte {
	var to bytes.Buffer
	if json.Compact(&to, text) != nil {
		return nil
	}
	return to.Bytes()
}

// Whatever becomes of a file of rows, going on with it gives what one run gives or is
// refused with one message and nothing touched; merged and drawn are rows that are the
// sweep's own, or none.
func TestRowsThatWereTamperedWith(t *testing.T) {
	n := 200
	if whole {
		n = 10_000
	} else if long {
		n = 1000
	} else if testing.Short() {
		n = 30
	}
	all, shards := states(t)
	whole := map[int][]byte{}
	for _, s := range all {
		if s.shard < 0 {
			whole[s.group] = s.end
		}
	}
	dir := t.TempDir()
	file, out := filepath.Join(dir, "rows"), filepath.Join(dir, "out")
	counts := map[string]int{}
	for i := range n {
		rng := rand.New(rand.NewPCG(11, uint64(i)))
		s := all[rng.IntN(len(all))]
		for range 1 + rng.IntN(3)*rng.IntN(2) {
			spoil(rng, &s, all)
		}
		put := func(name string, text []byte) {
			if err := os.Remove(name); err != nil && !os.IsNotExist(err) {
				require.NoError(t, err)
			}
			if text != nil {
				require.NoError(t, os.WriteFile(name, text, 0o644))
			}
		}
		if s.rows == nil {
			s.rows = []byte{}
		}
		put(file, s.rows)
		put(idName(file), s.id)

		if table, err := readRows(file); err == nil && s.id != nil {
			put(out, s.end)
			put(idName(out), nil)
			want, err := readRows(out)
			require.NoError(t, err)
			own := false // both files may have been made another's
			for _, x := range all {
				if bytes.EqualFold(compact(x.id), compact(s.id)) { // a space for a line's end says the same, and a key in capitals
					put(out, x.end)
					want, err = readRows(out)
					require.NoError(t, err)
					own = true
				}
			}
			require.True(t, own, "trial %d", i)
			assert.Equal(t, want.names, table.names, "trial %d", i)
			for c := range table.x {
				require.LessOrEqual(t, len(table.x[c]), len(want.x[c]), "trial %d", i)
				assert.True(t, slices.EqualFunc(table.x[c], want.x[c][:len(table.x[c])], func(a, b float64) bool { return a == b || a != a && b != b }), "trial %d", i)
			}
			counts["drawn"]++
		} else if err != nil {
			assert.ErrorAs(t, err, new(usageError))
			counts["not drawn"]++
		}

		put(out, nil)
		put(idName(out), nil)
		if s.shard >= 0 {
			args := []string{"sweep", "merge", "-o", out}
			if i%2 == 0 {
				args = append(args, "--partial")
			}
			for k, name := range shards[s.group] {
				if k == s.shard {
					name = file
				}
				args = append(args, name)
			}
			code, _, errs := run(args...)
			switch code {
			case ExitBadInput:
				assert.NoFileExists(t, out, "trial %d", i)
				counts["not merged"]++
			case ExitDone:
				got, err := os.ReadFile(out)
				require.NoError(t, err)
				assert.True(t, bytes.Equal(whole[s.group], got), "trial %d", i)
				counts["merged"]++
			case ExitPartial:
				inOrder(t, i, out, whole[s.group])
				counts["merged with holes"]++
			default:
				assert.Fail(t, "exit code", "trial %d: %d %s", i, code, errs)
			}
		}

		code, _, errs := run(append(slices.Clone(s.args), "-o", file, "--resume")...)
		rows, err := os.ReadFile(file)
		require.NoError(t, err)
		id, err := os.ReadFile(idName(file))
		require.True(t, err == nil || os.IsNotExist(err))
		switch code {
		case ExitBadInput:
			assert.True(t, bytes.Equal(s.rows, rows), "trial %d", i)
			assert.True(t, bytes.Equal(s.id, id), "trial %d", i)
			assert.Equal(t, 1, strings.Count(errs, "\n"), "trial %d: %s", i, errs)
			assert.Contains(t, errs, file, "trial %d", i)
			counts["refused"]++
		case ExitDone:
			assert.True(t, bytes.Equal(s.end, rows), "trial %d", i)
			assert.True(t, bytes.Equal(s.ids, id), "trial %d", i)
			counts["gone on with"]++
		default:
			assert.Fail(t, "exit code", "trial %d: %d %s", i, code, errs)
		}
	}
	t.Log(n, counts)
	for _, k := range slices.Sorted(maps.Keys(counts)) {
		assert.Positive(t, counts[k], k)
	}
	if n >= 200 {
		assert.Len(t, counts, 7)
	}
}

// inOrder checks that merged rows are the whole sweep's in their order, and that none is
// missing outside of the holes.
func inOrder(t *testing.T, trial int, merged string, whole []byte) {
	text, err := os.ReadFile(merged)
	require.NoError(t, err)
	id, err := readID(merged)
	require.NoError(t, err)
	got := bytes.SplitAfter(text, []byte("\n"))
	for _, l := range bytes.SplitAfter(whole, []byte("\n")) {
		if len(got) > 0 && bytes.Equal(got[0], l) {
			got = got[1:]
			continue
		}
		n, ok := designOf(l)
		lies := !ok
		for _, h := range id.Missing {
			lies = lies || n >= h.From && (sweep.Shard{I: h.Index, N: h.Count}).Owns(n)
		}
		assert.True(t, lies, "trial %d: %s", trial, l)
	}
	assert.Empty(t, got, "trial %d", trial)
}
