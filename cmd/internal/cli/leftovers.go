package cli

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"sync"
)

// A commit of several files is decided when its journal is on the disk: a run that comes
// after one that was killed ends it, forward, or back where it was going back. Files
// under temporary names and journals are owned by who has them open; what nobody owns is
// swept by the next run that writes into the folder.

// journalLine is the journal of a commit: its files in the order in which they take their
// places, all in one folder. Going back is said by a second line, "back".
type journalLine struct {
	Form   int            `json:"chainpath_commit"`
	Places []journalPlace `json:"places"`
}

type journalPlace struct {
	Number int    `json:"number"` // of the temporary file
	Name   string `json:"name"`
	There  bool   `json:"there"` // whether there was a file before
}

var (
	tempForm    = regexp.MustCompile(`^\.chainpath-([A-Z2-7]{10})\.[0-9]{1,6}$`)
	journalForm = regexp.MustCompile(`^\.chainpath-([A-Z2-7]{10})\.journal$`)
)

const backLine = "back\n"

func tempName(dir, id string, number int) string {
	return filepath.Join(dir, fmt.Sprintf(".chainpath-%s.%d", id, number))
}

func journalName(dir, id string) string {
	return filepath.Join(dir, ".chainpath-"+id+".journal")
}

// journal writes down what is about to take its place.
func (s *staged) journal(files []*stagedFile) (err error) {
	line := journalLine{Form: 1}
	dir := filepath.Dir(files[0].path)
	for _, x := range files {
		if filepath.Dir(x.path) == dir { // a link may lead to another folder, which has no part in it
			line.Places = append(line.Places, journalPlace{x.number, filepath.Base(x.path), x.there})
		}
	}
	text, err := json.Marshal(line)
	if err != nil {
		return err
	}
	name := journalName(dir, s.id)
	if s.log, err = os.OpenFile(name, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o600); err != nil {
		return err
	}
	claim(s.log)
	if _, err = s.log.Write(append(text, '\n')); err == nil {
		err = s.log.Sync()
	}
	return err
}

// forget takes the journal away: the commit is over.
func (s *staged) forget() {
	if s.log == nil {
		return
	}
	_ = os.Remove(s.log.Name())
	s.log.Close()
	s.log = nil
}

// swept are folders that were looked through for leftovers.
var swept struct {
	sync.Mutex
	dirs map[string]bool
}

func sweepAgain() {
	swept.Lock()
	defer swept.Unlock()
	swept.dirs = nil
}

// sweepLeftovers ends the commits that killed runs left in a folder and removes their
// temporary files, the first time that the folder is written into.
func sweepLeftovers(dir string) {
	swept.Lock()
	defer swept.Unlock()
	if swept.dirs[dir] {
		return
	}
	if swept.dirs == nil {
		swept.dirs = map[string]bool{}
	}
	swept.dirs[dir] = true
	list, err := os.ReadDir(dir)
	if err != nil {
		return // that it cannot be written into is found when it is
	}
	each := func(form *regexp.Regexp, do func(f *os.File, id string)) {
		for _, e := range list {
			m := form.FindStringSubmatch(e.Name())
			if m == nil || !e.Type().IsRegular() {
				continue
			}
			f, err := os.OpenFile(filepath.Join(dir, e.Name()), os.O_RDWR, 0)
			if err != nil {
				continue
			}
			if orphaned(f) && sameFile(f) {
				do(f, m[1])
			}
			f.Close()
		}
	}
	each(journalForm, func(f *os.File, id string) { endCommit(f, dir, id) })
	each(tempForm, func(f *os.File, id string) {
		if !exists(journalName(dir, id)) { // or else they are whose that is
			_ = os.Remove(f.Name())
		}
	})
}

// sameFile reports whether a file still has its name.
func sameFile(f *os.File) bool {
	have, err := f.Stat()
	if err != nil {
		return false
	}
	there, err := os.Lstat(f.Name())
	return err == nil && os.SameFile(have, there)
}

func exists(name string) bool {
	_, err := os.Lstat(name)
	return !errors.Is(err, fs.ErrNotExist)
}

// mostJournal bounds a journal, bytes.
const mostJournal = 1 << 20

// endCommit ends the commit of a journal that nobody owns.
func endCommit(f *os.File, dir, id string) {
	text, err := io.ReadAll(io.LimitReader(f, mostJournal))
	if err != nil {
		return
	}
	first, rest, whole := bytes.Cut(text, []byte("\n"))
	var line journalLine
	if !whole || json.Unmarshal(first, &line) != nil || line.Form != 1 {
		_ = os.Remove(f.Name()) // killed before anything was decided
		return
	}
	s := &staged{id: id, log: f}
	for _, p := range line.Places {
		if p.Name == "" || p.Name != filepath.Base(p.Name) || p.Number < 0 {
			return // none of this tool's
		}
		temp := tempName(dir, id, p.Number)
		s.files = append(s.files, &stagedFile{place: place{name: p.Name, path: filepath.Join(dir, p.Name), there: p.There}, temp: temp, old: temp + ".old", number: p.Number})
	}
	if !bytes.HasPrefix(rest, []byte(backLine)) && s.forward() == nil {
		s.forget()
		return
	}
	s.back()
	s.forget()
}
