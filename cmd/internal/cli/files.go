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
	done  bool
}

type stagedFile struct {
	place
	f    *os.File
	temp string // "": written straight
	old  string // what was there, while the others take their places
	took bool
}

// create returns a file to write into.
func (s *staged) create(name string) (*os.File, error) {
	p, err := placeOf(name)
	if err != nil {
		return nil, err
	}
	x := &stagedFile{place: p}
	if p.direct {
		x.f, err = os.OpenFile(p.path, os.O_WRONLY, 0)
	} else {
		x.f, err = beside(p.path)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, plainCause(err))
	}
	if !p.direct {
		x.temp = x.f.Name()
		keepTemp(x.temp, true)
	}
	s.files = append(s.files, x)
	if p.there && !p.direct {
		if err := x.f.Chmod(p.mode.Perm()); err != nil {
			return nil, fmt.Errorf("%s: %w", name, plainCause(err))
		}
	}
	return x.f, nil
}

// beside opens a new file in a file's folder, with the mode that the process gives
// new files.
func beside(path string) (*os.File, error) {
	for range 100 {
		name := filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+"."+rand.Text()[:10])
		f, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o666)
		if !errors.Is(err, fs.ErrExist) {
			return f, err
		}
	}
	return nil, fs.ErrExist
}

// commit puts the files in their places: all, or after an error none.
func (s *staged) commit() (err error) {
	defer s.abandon()
	for _, x := range s.files {
		if x.temp != "" {
			if err := x.f.Sync(); err != nil {
				return fmt.Errorf("%s: %w", x.name, plainCause(err))
			}
		}
		if err := x.f.Close(); err != nil {
			return fmt.Errorf("%s: %w", x.name, plainCause(err))
		}
	}
	for _, x := range s.files {
		if x.temp == "" {
			continue
		}
		if err := x.take(); err != nil {
			return fmt.Errorf("%s: %w", x.name, plainCause(err))
		}
	}
	s.done = true
	return nil
}

// take puts a file in its place and keeps what was there.
func (x *stagedFile) take() error {
	if x.there {
		x.old = x.temp + ".old"
		// A second name; where there is none of those, the first is taken away.
		if os.Link(x.path, x.old) != nil {
			if err := os.Rename(x.path, x.old); err != nil {
				x.old = ""
				return err
			}
		}
	}
	if err := os.Rename(x.temp, x.path); err != nil {
		return err
	}
	x.took = true
	keepTemp(x.temp, false)
	return nil
}

// abandon takes away what was begun, unless all files took their places.
func (s *staged) abandon() {
	for i := len(s.files) - 1; i >= 0; i-- {
		x := s.files[i]
		x.f.Close()
		switch {
		case s.done:
		case x.old != "":
			_ = os.Rename(x.old, x.path)
		case x.took:
			_ = os.Remove(x.path)
		}
		if x.old != "" {
			_ = os.Remove(x.old)
		}
		if x.temp != "" && !x.took {
			_ = os.Remove(x.temp)
			keepTemp(x.temp, false)
		}
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
	if err := os.MkdirAll(dir, 0o777); err != nil {
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
