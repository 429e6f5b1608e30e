package cli

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"runtime/debug"
	"slices"
	"strconv"

	"chainpath/sim/sweep"
)

// rowsID says whose rows a file holds. It stands beside the file, as NAME.run.json,
// so that the rows stay plain CSV or JSON Lines.
type rowsID struct {
	Format  int               `json:"chainpath_rows"` // version of this form
	Version string            `json:"version"`        // of the tool
	Columns string            `json:"columns"`        // csv or jsonl
	Case    map[string]string `json:"case"`
	Plan    map[string]string `json:"plan"`
	Options map[string]bool   `json:"options"`
	Designs int               `json:"designs"`
	SHA256  string            `json:"sha256"` // of all above
	Shard   *shardID          `json:"shard"`  // null: the whole sweep
	Ended   *rowsEnd          `json:"ended"`  // null: rows are still to come
	Missing []hole            `json:"missing"`
	Proven  []mark            `json:"proven"` // beginnings of the file
	Seal    string            `json:"seal"`   // hash of all above
}

type shardID struct {
	Index int `json:"index"`
	Count int `json:"count"`
}

// rowsEnd is what a file holds whose sweep came to its end.
type rowsEnd struct {
	Rows   int    `json:"rows"`
	Bytes  int64  `json:"bytes"`
	SHA256 string `json:"sha256"`
}

// hole is designs that merged rows lack: those of a shard from one on.
type hole struct {
	Index int `json:"shard"`
	Count int `json:"of"`
	From  int `json:"from_design"`
}

func (h hole) String() string {
	what := "of the whole sweep"
	if h.Count > 0 {
		what = fmt.Sprintf("of shard %d of %d", h.Index, h.Count)
	}
	if h.From == 0 {
		return "all designs " + what
	}
	return fmt.Sprintf("designs from %d on %s", h.From, what)
}

// rowsForm is the version of the form.
const rowsForm = 2

// mostIDSize bounds a file beside rows, bytes.
const mostIDSize = 16 << 20

func idName(rows string) string { return rows + ".run.json" }

// toolVersion names the tool as exactly as the build tells.
func toolVersion() string {
	v := Version
	if info, ok := debug.ReadBuildInfo(); ok {
		set := map[string]string{}
		for _, s := range info.Settings {
			set[s.Key] = s.Value
		}
		if r := set["vcs.revision"]; r != "" {
			v += " " + r
			if set["vcs.modified"] == "true" {
				v += " modified"
			}
		}
	}
	return v
}

// id returns the identity of a sweep's rows.
func (r *rower) id(job sweep.Job) *rowsID {
	id := &rowsID{Format: rowsForm, Version: toolVersion(), Columns: "csv", Designs: job.Designs, Missing: []hole{}, Proven: []mark{}}
	if r.format.JSON {
		id.Columns = "jsonl"
	}
	id.Case, id.Plan = r.w.Facts()
	id.Options = map[string]bool{"loss": r.o.loss, "chances": !r.o.bare, "shifts": r.o.shifts, "one_chain": r.o.oneChain}
	id.SHA256 = id.hash()
	if job.Shard.N > 1 {
		id.Shard = &shardID{job.Shard.I, job.Shard.N}
	}
	return id
}

// hash returns the hash of what is the same for all shards.
func (id *rowsID) hash() string {
	x := *id
	x.SHA256, x.Shard, x.Ended, x.Missing, x.Proven = "", nil, nil, nil, nil
	return x.seal()
}

// seal returns the hash of everything but itself.
func (id *rowsID) seal() string {
	x := *id
	x.Seal = ""
	text, _ := json.Marshal(x) // strings and numbers always have a form
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}

// readID reads the identity beside a file of rows; nil where there is none.
func readID(rows string) (*rowsID, error) {
	name := idName(rows)
	f, err := os.Open(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, usageError{err}
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, mostIDSize))
	if err != nil {
		return nil, usagef("%s: %w", name, plainCause(err))
	}
	id := &rowsID{}
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	err = d.Decode(id)
	switch _, more := d.Token(); {
	case err == nil && id.Format != rowsForm:
		return nil, usagef("%s is of form %d, want %d: written by another version of this tool", name, id.Format, rowsForm)
	case err != nil, !errors.Is(more, io.EOF), id.SHA256 != id.hash(), id.Seal != id.seal():
		return nil, usagef("%s does not say whose rows %s holds: not written by this tool, or changed", name, rows)
	}
	return id, nil
}

func (id *rowsID) text() ([]byte, error) {
	id.Seal = id.seal()
	text, err := json.MarshalIndent(id, "", "  ")
	return append(text, '\n'), err
}

// write puts the identity beside a file of rows.
func (id *rowsID) write(rows string) error {
	text, err := id.text()
	if err != nil {
		return err
	}
	return writeFile(idName(rows), text)
}

// differs says in what another file's rows are of another sweep, "" when in nothing.
// Shards may differ.
func (id *rowsID) differs(o *rowsID) string {
	diff := func(what, a, b string) string {
		if a == "" {
			a = "not given"
		}
		if b == "" {
			b = "not given"
		}
		return fmt.Sprintf("%s: %s against %s", what, a, b)
	}
	switch {
	case id.Version != o.Version:
		return diff("version of the tool", id.Version, o.Version)
	case id.Columns != o.Columns:
		return diff("--format", id.Columns, o.Columns)
	}
	for _, m := range []struct {
		what string
		a, b map[string]string
	}{{"plan", id.Plan, o.Plan}, {"case", id.Case, o.Case}} {
		for _, k := range sortedKeys(m.a, m.b) {
			if m.a[k] != m.b[k] {
				return diff(m.what+", "+k, m.a[k], m.b[k])
			}
		}
	}
	for _, k := range sortedKeys(id.Options, o.Options) {
		if id.Options[k] != o.Options[k] {
			return diff(k, strconv.FormatBool(id.Options[k]), strconv.FormatBool(o.Options[k]))
		}
	}
	if id.Designs != o.Designs {
		return diff("designs", strconv.Itoa(id.Designs), strconv.Itoa(o.Designs))
	}
	return ""
}

func sortedKeys[V any](a, b map[string]V) []string {
	all := maps.Clone(a)
	if all == nil {
		all = map[string]V{}
	}
	maps.Copy(all, b)
	return slices.Sorted(maps.Keys(all))
}

// shardName names the part of a sweep.
func (id *rowsID) shardName() string {
	if id.Shard == nil {
		return "the whole sweep"
	}
	return fmt.Sprintf("shard %d of %d", id.Shard.Index, id.Shard.Count)
}

func (id *rowsID) shard() sweep.Shard {
	if id.Shard == nil {
		return sweep.Shard{}
	}
	return sweep.Shard{I: id.Shard.Index, N: id.Shard.Count}
}
