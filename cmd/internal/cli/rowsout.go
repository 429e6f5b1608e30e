package cli

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"os"

	"chainpath/sim/sweep"
)

// rowsOut is where a sweep's rows go: a file that only ever holds whole rows with
// its identity beside it, a pipe or device, or standard output.
type rowsOut struct {
	name string
	path string // of the file
	w    io.Writer
	f    *os.File // nil: standard output
	id   *rowsID  // nil: not a file that can be gone on with
	at   int64    // end of the whole rows
	rows int      // with the header
	okay int      // rows found that can be, when going on
	sum  hash.Hash
}

// open opens the output and writes the header, or with --resume finds where to go
// on and moves the job's start there.
func (o *sweepOptions) open(s streams, rows *rower, job *sweep.Job) (*rowsOut, error) {
	if o.out == "" {
		out := &rowsOut{name: "standard output", w: s.out, sum: sha256.New()}
		return out, out.head(rows.format.Header())
	}
	p, err := placeOf(o.out)
	if err != nil {
		return nil, err
	}
	out := &rowsOut{name: o.out, path: p.path, sum: sha256.New()}
	switch {
	case p.direct && o.resume:
		return nil, usagef("--resume: %s is a pipe or device, and keeps no rows", o.out)
	case p.direct:
		if out.f, err = os.OpenFile(p.path, os.O_WRONLY, 0); err != nil {
			return nil, usagef("%s: %w", o.out, plainCause(err))
		}
	case p.there && !o.resume:
		return nil, usagef("--out %s is there already; --resume goes on with it", o.out)
	default:
		out.id = rows.id(*job)
		if err := out.file(rows, job, p.there); err != nil {
			out.close()
			return nil, err
		}
	}
	out.w = out.f
	if out.at == 0 {
		err = out.head(rows.format.Header())
	}
	if err != nil {
		out.close()
		return nil, err
	}
	return out, nil
}

// file opens a file of rows, a new one or one to go on with. Whose rows it will hold
// is written down before the first of them.
func (r *rowsOut) file(rows *rower, job *sweep.Job, there bool) (err error) {
	known, err := readID(r.path)
	if err != nil {
		return err
	}
	if there {
		if err := r.resume(rows, job, known); err != nil {
			return err
		}
	}
	if known == nil || !there {
		if err := r.id.write(r.path); err != nil {
			return err
		}
	}
	if !there {
		r.f, err = os.OpenFile(r.path, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o666)
		if errors.Is(err, fs.ErrExist) {
			return usagef("--out %s is there already; --resume goes on with it", r.name)
		}
	}
	return err
}

func (r *rowsOut) head(h []byte) error {
	if err := r.write(h); err != nil {
		return fmt.Errorf("%s: %w", r.name, err)
	}
	return nil
}

// write writes whole rows. Of rows that do not fit the file keeps none.
func (r *rowsOut) write(rows []byte) error {
	if len(rows) == 0 {
		return nil
	}
	_, err := r.w.Write(rows)
	if err == nil {
		r.at += int64(len(rows))
		if r.id != nil {
			r.rows += bytes.Count(rows, []byte("\n"))
			r.sum.Write(rows)
		}
		return nil
	}
	if r.id != nil {
		_ = r.f.Truncate(r.at)
	}
	return plainCause(err)
}

// plainCause leaves the path off an error, which stands before it anyway.
func plainCause(err error) error {
	var p *os.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

func (r *rowsOut) sync() error {
	if r.id == nil {
		return nil
	}
	return plainCause(r.f.Sync())
}

func (r *rowsOut) close() {
	if r.f != nil {
		r.f.Close()
	}
}

// finish marks the rows as whole.
func (r *rowsOut) finish() error {
	if err := r.sync(); err != nil {
		return fmt.Errorf("%s: %w", r.name, err)
	}
	if r.id == nil {
		return nil
	}
	rows := r.rows
	if r.id.Columns == "csv" {
		rows--
	}
	r.id.Ended = &rowsEnd{rows, r.at, hex.EncodeToString(r.sum.Sum(nil))}
	return r.id.write(r.path)
}

// resume goes on with a file: it cuts off what stands behind the last whole row and
// moves the job's start behind that row's design. All is looked at before anything
// is touched: the identity must be this sweep's, every row one of it, the last one and
// up to mostSampled others, computed anew, the same, and what is cut off the beginning of
// one that follows.
func (r *rowsOut) resume(rows *rower, job *sweep.Job, known *rowsID) (err error) {
	if r.f, err = os.OpenFile(r.path, os.O_RDWR, 0); err != nil {
		return usagef("%s: %w", r.name, plainCause(err))
	}
	st, err := r.f.Stat()
	if err != nil {
		return err
	}
	switch {
	case known == nil && st.Size() == 0:
		return nil
	case known == nil:
		return usagef("--resume: %s is left as it is: no %s beside it says whose rows it holds", r.name, idName(r.path))
	case len(known.Missing) > 0:
		return usagef("--resume: %s was merged and lacks %s: go on with the shards", r.name, known.Missing[0])
	}
	if d := known.differs(r.id); d != "" {
		return usagef("--resume: %s holds rows of another sweep: %s", r.name, d)
	}
	if known.shardName() != r.id.shardName() {
		return usagef("--resume: %s holds %s, not %s", r.name, known.shardName(), r.id.shardName())
	}
	s, err := scanRows(r.f, r.name, known)
	if err != nil {
		return err
	}
	if err := checkEnd(r.name, s, known); err != nil {
		return err
	}
	head := rows.format.Header()
	first := s.head
	if s.end == 0 {
		first = s.tail
	}
	if s.end == 0 && len(first) > len(head) && len(head) > 0 || !bytes.HasPrefix(head, first[:min(len(first), len(head))]) || s.end > 0 && !bytes.Equal(s.head, head) {
		return usagef("--resume: %s has other columns than this sweep", r.name)
	}
	switch {
	case known.Ended != nil:
		job.From = job.Designs
	case s.at >= 0:
		if !bytes.Equal(rows.row(s.at), s.last) {
			return usagef("--resume: the last row of %s, of design %d, is not what this sweep computes", r.name, s.at)
		}
		for _, x := range s.some {
			if !bytes.Equal(rows.row(x.design), x.row) {
				return usagef("--resume: the row of design %d in %s is not what this sweep computes", x.design, r.name)
			}
		}
		job.From = s.at + 1
	}
	if len(s.tail) > 0 {
		if (s.end > 0 || len(head) == 0) && !rows.begins(s.tail, *job) {
			return usagef("--resume: what stands behind the last row of %s is not of this sweep", r.name)
		}
		if err := r.f.Truncate(s.end); err != nil {
			return err
		}
	}
	r.at, r.sum, r.okay, r.rows = s.end, s.sum, s.okay, s.rows
	if s.head != nil {
		r.rows++
	}
	_, err = r.f.Seek(s.end, io.SeekStart)
	return err
}
