package cli

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"hash"
	"io"
	"strconv"

	"chainpath/sim/sweep"
)

// scanned is what a look through a file of rows found.
type scanned struct {
	head []byte
	rows int
	okay int    // rows whose design can be
	last []byte // last whole row
	at   int    // its design, -1 without a row
	some []sampled
	each int    // one of so many rows is in some
	end  int64  // end of the whole rows
	tail []byte // what stands behind it
	sum  hash.Hash

	proven mark      // the last of the marks that the file is long enough for
	good   int       // okay at that
	begun  hash.Hash // sum at that, nil: none
}

// prove looks at the marks that the file has come to: each must be met. What a file that
// was cut off has behind the last of them is to be computed anew.
func (s *scanned) prove(name string, id *rowsID, k *int) error {
	for ; *k < len(id.Proven) && id.Proven[*k].Bytes <= s.end; *k++ {
		m := id.Proven[*k]
		if m.Bytes != s.end || m.Rows != s.rows || m.Next <= s.at || m.SHA256 != s.hash() {
			return usagef("%s has changed: designs %d to %d are not as their sweep wrote them", name, s.proven.Next, m.Next-1)
		}
		s.proven, s.good = m, s.okay
		c, err := s.sum.(hash.Cloner).Clone()
		if err != nil {
			return err
		}
		s.begun = c
	}
	return nil
}

// kept returns what a file holds for certain: all of it at its end, or else what is proven.
func (s *scanned) kept(id *rowsID) mark {
	if id.Ended == nil {
		return s.proven
	}
	return mark{id.Designs, s.rows, s.end, s.hash()}
}

// sampled is a row that is looked at more closely.
type sampled struct {
	design int
	row    []byte
}

// mostSampled bounds them.
const mostSampled = 32

// sample keeps every so many-th row, at least half of mostSampled where there are as many.
func (s *scanned) sample(design int, row []byte) {
	if (s.rows-1)%s.each != 0 {
		return
	}
	if len(s.some) == mostSampled {
		s.each *= 2
		for i := range s.some[:mostSampled/2] {
			s.some[i] = s.some[2*i]
		}
		s.some = s.some[:mostSampled/2]
	}
	s.some = append(s.some, sampled{design, bytes.Clone(row)})
}

func (s *scanned) hash() string { return hex.EncodeToString(s.sum.Sum(nil)) }

// scanRows looks through rows from the beginning to the end: each must be a row, in
// order, of as many columns as the header has, and its design in the shard and, without
// bounds, the next one; and what is proven must be as it was. The
// first line that is not is a usage error, which names it.
func scanRows(r io.Reader, name string, id *rowsID) (*scanned, error) {
	s := &scanned{at: -1, each: 1, sum: sha256.New()}
	in := bufio.NewReader(r)
	columns, status := 0, 0
	shard, bounded, proved := id.shard(), id.bounded(), 0
	for line := 1; ; line++ {
		if err := s.prove(name, id, &proved); err != nil {
			return nil, err
		}
		text, err := readLine(in)
		if err != nil && !errors.Is(err, io.EOF) {
			return nil, usagef("%s: line %d: %w", name, line, plainCause(err))
		}
		if err != nil { // without an end of line
			s.tail = text
			return s, nil
		}
		if id.Columns == "csv" && line == 1 {
			s.head = bytes.Clone(text)
			columns = cells(text, -1)
			status = bytes.Count(text[:max(0, bytes.Index(text, []byte(",status,")))], []byte(",")) + 1
		} else {
			n, ok := designOf(text)
			switch {
			case !ok, id.Columns == "csv" && cells(text, -1) != columns, id.Columns == "jsonl" && !json.Valid(text):
				return nil, usagef("%s:%d: not a whole row", name, line)
			case n <= s.at:
				return nil, usagef("%s:%d: design %d after design %d", name, line, n, s.at)
			case n >= id.Designs || !shard.Owns(n):
				return nil, usagef("%s:%d: design %d is not of %s", name, line, n, id.shardName())
			case n < s.proven.Next:
				return nil, usagef("%s:%d: design %d behind the end of design %d", name, line, n, s.proven.Next-1)
			case !bounded && n != following(shard, s.at):
				return nil, usagef("%s:%d: design %d where %d belongs: rows are missing", name, line, n, following(shard, s.at))
			}
			s.at, s.last = n, append(s.last[:0], text...)
			s.rows++
			s.sample(n, text)
			if id.Columns == "csv" && bytes.HasPrefix(text[cells(text, status):], []byte("ok,")) || id.Columns == "jsonl" && bytes.Contains(text, []byte(`"status":"ok"`)) {
				s.okay++
			}
		}
		s.sum.Write(text)
		s.end += int64(len(text))
	}
}

// mostLine bounds a line that is kept while looking through rows, bytes.
const mostLine = 1 << 20

var errLongLine = errors.New("longer than any row")

// readLine reads up to an end of line; what it returns holds until the next call.
func readLine(in *bufio.Reader) ([]byte, error) {
	text, err := in.ReadSlice('\n')
	if !errors.Is(err, bufio.ErrBufferFull) {
		return text, err
	}
	long := bytes.Clone(text)
	for errors.Is(err, bufio.ErrBufferFull) {
		if len(long) > mostLine {
			return nil, errLongLine
		}
		text, err = in.ReadSlice('\n')
		long = append(long, text...)
	}
	return long, err
}

// cells counts the cells of a line of CSV; with n >= 0 it returns where cell n begins.
func cells(line []byte, n int) int {
	quoted, count := false, 1
	for i, c := range line {
		switch {
		case n == 0:
			return 0
		case c == '"':
			quoted = !quoted
		case c == ',' && !quoted:
			if count == n {
				return i + 1
			}
			count++
		}
	}
	if n >= 0 {
		return len(line)
	}
	return count
}

// designOf reads a row's design number, in either format.
func designOf(line []byte) (int, bool) {
	line = bytes.TrimPrefix(line, []byte(`{"design":`))
	k := bytes.IndexByte(line, ',')
	if k < 0 {
		return 0, false
	}
	n, err := strconv.Atoi(string(line[:k]))
	return n, err == nil && n >= 0
}

// checkEnd looks whether a file is as its sweep left it: broken off, or ended with
// these very bytes.
func checkEnd(name string, s *scanned, id *rowsID) error {
	e := id.Ended
	if e != nil && (len(s.tail) > 0 || e.Rows != s.rows || e.Bytes != s.end || e.SHA256 != s.hash()) {
		return usagef("%s has changed since its sweep ended with %d rows in %d bytes", name, e.Rows, e.Bytes)
	}
	return nil
}

// begins reports whether a text is how the row of some design of a job begins: what
// a write leaves that was broken off. A crash may leave zeros in its place.
func (r *rower) begins(text []byte, job sweep.Job) bool {
	text = bytes.TrimRight(text, "\x00")
	lead := []byte(`{"design":`)
	if !r.format.JSON {
		lead = nil
	}
	if len(text) <= len(lead) {
		return bytes.HasPrefix(lead, text)
	}
	n, ok := designOf(text)
	if !ok { // broken off in the number
		_, err := strconv.ParseUint(string(bytes.TrimPrefix(text, lead)), 10, 63)
		return bytes.HasPrefix(text, lead) && err == nil
	}
	return n >= job.From && n < job.Designs && job.Shard.Owns(n) && bytes.HasPrefix(r.row(n), text)
}
