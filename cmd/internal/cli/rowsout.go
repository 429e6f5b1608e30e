package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"strconv"
	"syscall"

	"chainpath/cmd/internal/show"
	"chainpath/sim"
	"chainpath/sim/sweep"
)

// rowsOut is where a sweep's rows go: a file that only ever holds whole rows, or
// standard output.
type rowsOut struct {
	name string
	w    io.Writer
	f    *os.File // nil: standard output
	at   int64    // end of the whole rows
}

// open opens the output and writes the header, or with --resume finds where to go
// on and moves the job's start there.
func (o *sweepOptions) open(s streams, rows *rower, job *sweep.Job) (*rowsOut, error) {
	if o.out == "" {
		out := &rowsOut{name: "standard output", w: s.out}
		return out, out.head(rows.format.Header())
	}
	flags := os.O_RDWR | os.O_CREATE | os.O_EXCL
	if o.resume {
		flags = os.O_RDWR | os.O_CREATE
	}
	f, err := os.OpenFile(o.out, flags, 0o644)
	if errors.Is(err, os.ErrExist) {
		return nil, usagef("--out %s is there already; --resume goes on with it", o.out)
	}
	if err != nil {
		return nil, err
	}
	out := &rowsOut{name: o.out, w: f, f: f}
	if o.resume {
		err = out.resume(rows, job)
	}
	if err == nil && out.at == 0 {
		err = out.head(rows.format.Header())
	}
	if err != nil {
		f.Close()
		return nil, err
	}
	return out, nil
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
		return nil
	}
	if r.f != nil {
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
	if r.f == nil {
		return nil
	}
	if err := r.f.Sync(); err != nil && !errors.Is(err, syscall.EINVAL) {
		return plainCause(err)
	}
	return nil
}

func (r *rowsOut) close() {
	if r.f != nil {
		r.f.Close()
	}
}

func (r *rowsOut) finish() error {
	if err := r.sync(); err != nil {
		return fmt.Errorf("%s: %w", r.name, err)
	}
	return nil
}

// resume finds the last whole row of a file that was begun, cuts off what stands
// behind it, and moves the job's start behind its design. The row is computed anew
// and must be the same: else the file is of another sweep.
func (r *rowsOut) resume(rows *rower, job *sweep.Job) error {
	last, end, cut, err := lastLine(r.f)
	if err != nil {
		return err
	}
	head := rows.format.Header()
	if cut {
		if err := r.f.Truncate(end); err != nil {
			return err
		}
	}
	if _, err := r.f.Seek(end, io.SeekStart); err != nil {
		return err
	}
	r.at = end
	if end == 0 {
		return nil
	}
	first := make([]byte, len(head))
	if _, err := r.f.ReadAt(first, 0); err != nil || !bytes.Equal(first, head) {
		return usagef("--resume: %s has other columns than this sweep", r.name)
	}
	if end == int64(len(head)) && len(head) > 0 {
		return nil
	}
	n, ok := designOf(last)
	other := usagef("--resume: the last row of %s is not one of this sweep", r.name)
	if !ok || n >= job.Designs || !job.Shard.Owns(n) {
		return other
	}
	row := &show.SweepRow{Values: make([]float64, len(rows.w.Plan.Variables))}
	rows.compute(row, rows.w.Designer(), &sim.Evaluator{Exact: rows.o.exact}, n)
	if !bytes.Equal(rows.format.Append(nil, row), last) {
		return other
	}
	job.From = n + 1
	return nil
}

// lastLine returns the last line that has its end, with it, where that is, and
// whether something stands behind it.
func lastLine(f *os.File) (line []byte, end int64, cut bool, err error) {
	st, err := f.Stat()
	if err != nil {
		return nil, 0, false, err
	}
	const most = 1 << 20
	from := max(0, st.Size()-most)
	tail := make([]byte, st.Size()-from)
	if _, err := f.ReadAt(tail, from); err != nil && err != io.EOF {
		return nil, 0, false, err
	}
	k := bytes.LastIndexByte(tail, '\n')
	if k < 0 {
		return nil, 0, st.Size() > 0, nil
	}
	tail = tail[:k+1]
	return tail[bytes.LastIndexByte(tail[:k], '\n')+1:], from + int64(k) + 1, from+int64(k)+1 < st.Size(), nil
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
