package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"time"

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
	okay int      // rows found that can be, when going on
	p    *prover  // of the whole rows

	next int       // all designs before are written
	told time.Time // when the proof was last written down
	cost time.Duration
}

// errChanged says that something else than this run wrote into its file.
var errChanged = errors.New("changed by something else while it was written")

// open opens the output and writes the header, or with --resume finds where to go
// on and moves the job's start there.
func (o *sweepOptions) open(s streams, rows *rower, job *sweep.Job) (*rowsOut, error) {
	if o.out == "" {
		out := &rowsOut{name: "standard output", w: s.out, p: newProver(job.Designs)}
		return out, out.head(rows.format.Header())
	}
	p, err := placeOf(o.out)
	if err != nil {
		return nil, err
	}
	out := &rowsOut{name: o.out, path: p.path, p: newProver(job.Designs), told: time.Now()}
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
	if out.p.bytes == 0 {
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
	if err := r.write(h, 0); err != nil {
		return fmt.Errorf("%s: %w", r.name, err)
	}
	return nil
}

// write writes whole rows. Of rows that do not fit the file keeps none.
func (r *rowsOut) write(text []byte, rows int) error {
	if len(text) == 0 {
		return nil
	}
	if err := r.untouched(); err != nil {
		return err
	}
	_, err := r.w.Write(text)
	if err == nil {
		r.p.add(text, rows)
		return nil
	}
	if r.id != nil {
		_ = r.f.Truncate(r.p.bytes)
	}
	return plainCause(err)
}

// untouched looks whether a file is as long as this run made it: a write behind what was
// cut off would leave a hole.
func (r *rowsOut) untouched() error {
	if r.id == nil {
		return nil
	}
	st, err := r.f.Stat()
	if err != nil {
		return plainCause(err)
	}
	if st.Size() != r.p.bytes {
		return fmt.Errorf("%w: %d bytes where %d were written", errChanged, st.Size(), r.p.bytes)
	}
	return nil
}

// block writes the rows of a block, and now and then down how far they are proven.
func (r *rowsOut) block(text []byte, b sweep.Block) error {
	rows := 0
	if r.id != nil {
		rows = bytes.Count(text, []byte("\n"))
	}
	if err := r.write(text, rows); err != nil {
		return err
	}
	r.next = b.To
	if r.id == nil {
		return nil
	}
	r.p.reached(b.To)
	// A second's work may be lost, and a fiftieth of the time go into the proof.
	if time.Since(r.told) < max(time.Second, 50*r.cost) {
		return nil
	}
	return r.prove()
}

// prove makes what is written last, and writes down its proof.
func (r *rowsOut) prove() error {
	if r.id == nil {
		return nil
	}
	begun := time.Now()
	if err := r.settle(); err != nil {
		return err
	}
	r.id.Proven = slices.Clone(r.p.marks)
	if n := len(r.p.marks); r.next > 0 && (n == 0 || r.p.marks[n-1].Next < r.next) {
		r.id.Proven = append(r.id.Proven, r.p.here(r.next))
	}
	if err := r.id.write(r.path); err != nil {
		return err
	}
	r.told = time.Now()
	r.cost = r.told.Sub(begun)
	return nil
}

// settle makes what is written last, and looks whether the file of this name holds it.
func (r *rowsOut) settle() error {
	if err := r.sync(); err != nil {
		return err
	}
	if err := r.untouched(); err != nil {
		return err
	}
	have, err := r.f.Stat()
	if err != nil {
		return plainCause(err)
	}
	there, err := os.Stat(r.path)
	if err != nil || !os.SameFile(have, there) {
		return fmt.Errorf("%w: another file has its name", errChanged)
	}
	return nil
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
	if r.id == nil {
		return nil
	}
	if err := r.settle(); err != nil {
		return fmt.Errorf("%s: %w", r.name, err)
	}
	r.id.Ended = &rowsEnd{r.p.rows, r.p.bytes, r.p.hash()}
	r.id.Proven = append([]mark{}, r.p.marks...)
	return r.id.write(r.path)
}

// resume goes on with a file: it cuts off what stands behind the last mark that is met and
// moves the job's start there. All is looked at before anything
// is touched: the identity must be this sweep's, every row one of it, all marks met that the
// file is long enough for, the last row and
// up to mostSampled others, computed anew, the same, and what stands behind it the beginning
// of one that follows.
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
	case known.Ended == nil && s.at >= 0:
		if !bytes.Equal(rows.row(s.at), s.last) {
			return usagef("--resume: the last row of %s, of design %d, is not what this sweep computes", r.name, s.at)
		}
		for _, x := range s.some {
			if !bytes.Equal(rows.row(x.design), x.row) {
				return usagef("--resume: the row of design %d in %s is not what this sweep computes", x.design, r.name)
			}
		}
	}
	behind := *job
	behind.From = s.at + 1
	if len(s.tail) > 0 && (s.end > 0 || len(head) == 0) && !rows.begins(s.tail, behind) {
		return usagef("--resume: what stands behind the last row of %s is not of this sweep", r.name)
	}
	return r.goOn(s, job, known)
}

// goOn cuts a file off behind what it holds for certain, and takes up from there.
func (r *rowsOut) goOn(s *scanned, job *sweep.Job, known *rowsID) error {
	kept := s.kept(known)
	for _, m := range known.Proven {
		if m.Next <= kept.Next && r.p.due(m.Next) {
			r.p.marks = append(r.p.marks, m)
		}
	}
	r.p.rows, r.p.bytes, r.next, job.From = kept.Rows, kept.Bytes, kept.Next, kept.Next
	switch {
	case known.Ended != nil:
		r.p.sum, r.okay = s.sum, s.okay
	case s.begun != nil:
		r.p.sum, r.okay = s.begun, s.good
	}
	if s.end+int64(len(s.tail)) > kept.Bytes {
		if err := r.f.Truncate(kept.Bytes); err != nil {
			return plainCause(err)
		}
	}
	_, err := r.f.Seek(kept.Bytes, io.SeekStart)
	return err
}
