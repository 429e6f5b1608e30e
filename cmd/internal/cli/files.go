package cli

import (
	"bytes"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
)

// place is where an output goes.
type place struct {
	name   string      // as the user named it
	path   string      // where symbolic links lead
	there  bool        // whether there is a file already
	mode   fs.FileMode // of the file that is there
	direct bool        // a pipe or character device, which is written into as it is
}

// mostLinks bounds how many symbolic links are followed one to the next.
const mostLinks = 40

// placeOf follows symbolic links and looks whether a file can be written there.
// Errors are usage errors and say which file or folder.
func placeOf(name string) (place, error) {
	p := place{name: name, path: name}
	for i := 0; ; i++ {
		sweepLeftovers(filepath.Dir(p.path))
		st, err := os.Lstat(p.path)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return p, p.folder()
		case err != nil:
			return p, usagef("%s: %w", name, plainCause(err))
		case st.Mode()&fs.ModeSymlink == 0:
			p.there, p.mode = true, st.Mode()
			return p, p.writable()
		case i == mostLinks:
			return p, usagef("%s: more than %d symbolic links, one to the next", name, mostLinks)
		}
		to, err := os.Readlink(p.path)
		if err != nil {
			return p, usagef("%s: %w", name, plainCause(err))
		}
		if !filepath.IsAbs(to) {
			to = filepath.Join(filepath.Dir(p.path), to)
		}
		p.path = to
	}
}

// folder looks whether there is a folder for a new file.
func (p *place) folder() error {
	dir := filepath.Dir(p.path)
	st, err := os.Stat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return usagef("%s: there is no folder %s", p.name, dir)
	case err != nil:
		return usagef("%s: %w", p.name, plainCause(err))
	case !st.IsDir():
		return usagef("%s: %s is no folder", p.name, dir)
	}
	return nil
}

// writable looks whether what is there may be written.
func (p *place) writable() error {
	switch m := p.mode; {
	case m.IsDir():
		return usagef("%s is a folder, want a file", p.name)
	case m&fs.ModeNamedPipe != 0, m&fs.ModeCharDevice != 0:
		p.direct = true // opening a pipe waits for its reader: not before it is written
		return nil
	case !m.IsRegular():
		return usagef("%s is neither file, pipe nor character device, and is not replaced", p.name)
	case m.Perm()&0o222 == 0: // who may all asks the mode, too
		return usagef("%s is write-protected", p.name)
	}
	f, err := os.OpenFile(p.path, os.O_WRONLY, 0)
	if err != nil {
		return usagef("%s: %w", p.name, plainCause(err))
	}
	return f.Close()
}

// staged are files that are written beside their places, and take them all or none.
type staged struct {
	files []*stagedFile
	id    string   // of their temporary names
	log   *os.File // the journal, while they take their places
}

type stagedFile struct {
	place
	f      *os.File
	temp   string // "": written straight
	old    string // for what was there, while the others take their places
	number int
}

// create returns a file to write into.
func (s *staged) create(name string) (*os.File, error) {
	p, err := placeOf(name)
	if err != nil {
		return nil, err
	}
	if s.id == "" {
		s.id = rand.Text()[:10]
	}
	x := &stagedFile{place: p, number: len(s.files)}
	if p.direct {
		x.f, err = os.OpenFile(p.path, os.O_WRONLY, 0)
	} else {
		err = x.beside(s.id)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, plainCause(err))
	}
	s.files = append(s.files, x)
	if p.there && !p.direct {
		if err := x.f.Chmod(p.mode.Perm()); err != nil {
			return nil, fmt.Errorf("%s: %w", name, plainCause(err))
		}
	}
	return x.f, nil
}

// beside opens a new file in the place's folder, with the mode that the process gives
// new files. Another run may take one for a leftover before it is claimed.
func (x *stagedFile) beside(id string) error {
	x.temp = tempName(filepath.Dir(x.path), id, x.number)
	x.old = x.temp + ".old"
	for range 100 {
		err := makeTemp(func() (err error) {
			x.f, err = os.OpenFile(x.temp, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o666)
			return err
		}, x.temp)
		if err != nil {
			return err
		}
		claim(x.f)
		if sameFile(x.f) {
			return nil
		}
		x.f.Close()
	}
	keepTemp(x.temp)
	return fs.ErrExist
}

// taking is held while files take their places: a signal waits for its end.
var taking sync.Mutex

// commit puts the files in their places: all, or after an error none; a run that is killed
// on the way leaves a journal, by which the next one ends it.
func (s *staged) commit() (err error) {
	defer s.abandon()
	var move []*stagedFile
	for _, x := range s.files {
		if x.temp != "" {
			move = append(move, x)
			if err := x.f.Sync(); err != nil {
				return fmt.Errorf("%s: %w", x.name, plainCause(err))
			}
			if heldOpen {
				continue
			}
		}
		if err := x.f.Close(); err != nil {
			return fmt.Errorf("%s: %w", x.name, plainCause(err))
		}
	}
	taking.Lock()
	defer taking.Unlock()
	if len(move) > 1 {
		if err := s.journal(move); err != nil {
			s.forget()
			return fmt.Errorf("%s: %w", move[0].name, plainCause(err))
		}
	}
	if err := s.forward(); err != nil {
		s.back()
		s.forget()
		return err
	}
	s.forget()
	return nil
}

// forward lets files take their places that have not yet, and then lets go of what was
// there.
func (s *staged) forward() error {
	for _, x := range s.files {
		if x.temp == "" || !exists(x.temp) {
			continue
		}
		// A second name for what was there; where there is none of those, the first is
		// taken away. One file alone takes its place in one step.
		if x.there && s.log != nil && !exists(x.old) && os.Link(x.path, x.old) != nil {
			if err := os.Rename(x.path, x.old); err != nil {
				return fmt.Errorf("%s: %w", x.name, plainCause(err))
			}
		}
		if err := os.Rename(x.temp, x.path); err != nil {
			return fmt.Errorf("%s: %w", x.name, plainCause(err))
		}
		keepTemp(x.temp)
	}
	for _, x := range s.files {
		if x.temp != "" && s.log != nil {
			_ = os.Remove(x.old)
		}
	}
	return nil
}

// back gives places back: what was there has its name again, what is new its temporary
// one, under which it is removed.
func (s *staged) back() {
	if s.log != nil {
		_, _ = s.log.WriteString(backLine)
		_ = s.log.Sync()
	}
	for i := len(s.files) - 1; i >= 0; i-- {
		x := s.files[i]
		switch {
		case x.temp == "" || s.log == nil:
		case x.there && exists(x.old):
			_ = os.Rename(x.old, x.path)
		case !x.there && !exists(x.temp):
			_ = os.Rename(x.path, x.temp)
		}
	}
	for _, x := range s.files {
		if x.temp != "" {
			_ = os.Remove(x.temp)
		}
	}
}

// abandon takes away what was begun and took no place.
func (s *staged) abandon() {
	for _, x := range s.files {
		if x.temp != "" {
			if exists(x.temp) {
				_ = os.Remove(x.temp)
			}
			keepTemp(x.temp)
		}
		x.f.Close()
	}
	s.files = nil
}

// writeFiles writes files into a folder, which it makes when it is not there: all of
// them, or after an error none.
func writeFiles(dir string, files map[string][]byte, order []string) error {
	made, err := makeFolder(dir)
	if err != nil {
		return err
	}
	defer func() {
		for _, d := range made {
			keepTemp(d)
		}
	}()
	var s staged
	defer s.abandon()
	for _, name := range order {
		var f *os.File
		if f, err = s.create(filepath.Join(dir, name)); err != nil {
			break
		}
		if _, err = io.Copy(f, bytes.NewReader(files[name])); err != nil {
			err = fmt.Errorf("%s: %w", filepath.Join(dir, name), plainCause(err))
			break
		}
	}
	if err == nil {
		err = s.commit()
	}
	if err != nil {
		s.abandon()
		for _, d := range made {
			_ = os.Remove(d)
		}
	}
	return err
}

// makeFolder makes a folder with those above it, and returns those that were not
// there, the innermost first.
func makeFolder(dir string) (made []string, err error) {
	for d := filepath.Clean(dir); ; d = filepath.Dir(d) {
		if _, err := os.Stat(d); !errors.Is(err, fs.ErrNotExist) || d == filepath.Dir(d) {
			break
		}
		made = append(made, d)
	}
	// They are temporary until files stand in them.
	if err := makeTemp(func() error { return os.MkdirAll(dir, 0o777) }, made...); err != nil {
		return nil, fmt.Errorf("%s: %w", dir, plainCause(err))
	}
	return made, nil
}

// writeFile writes one file, whose folder must be there.
func writeFile(name string, data []byte) error {
	return writeWhole(name, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
}

// writeWhole writes a file under a temporary name, which becomes its own when all of
// it is written; into a pipe or device it writes straight.
func writeWhole(name string, write func(w io.Writer) error) error {
	var s staged
	defer s.abandon()
	f, err := s.create(name)
	if err != nil {
		return err
	}
	if err := write(f); err != nil {
		var u usageError
		if errors.As(err, &u) {
			return err
		}
		return fmt.Errorf("%s: %w", name, plainCause(err))
	}
	return s.commit()
}
