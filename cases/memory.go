package cases

import (
	"bytes"
	"fmt"
	"strings"

	"go.yaml.in/yaml/v3"

	"chainpath/sim/learn"
)

// Memory is what a shop's bikes taught, as a file: sets of unknown numbers for every kind
// of chain, from which a new bike starts. It holds no bike.
type Memory struct {
	Format int            `yaml:"chainpath_shop" need:"y" range:"1..2" doc:"version of a shop's memory, 2; 1 is of an older way to learn"`
	Tool   string         `yaml:"tool" need:"y" doc:"version of chainpath that wrote it"`
	From   string         `yaml:"from" need:"y" doc:"fingerprint of the shipped sets it was made from"`
	Kinds  []MemoryOfKind `yaml:"kinds" need:"y" doc:"a pool for every kind"`

	file string
	at   map[string]pos
}

// memoryVersion is that of a shop's memory.
const memoryVersion = 2

// MemoryOfKind is what the bikes of one kind taught.
type MemoryOfKind struct {
	Speeds int      `yaml:"speeds" range:"0..14" doc:"speeds of the chain; left out: the whole shop"`
	Bikes  int      `yaml:"bikes" need:"y" range:"1..100000" doc:"how many bikes taught it"`
	Seen   int      `yaml:"observations" need:"y" range:"1..10000000" doc:"how much was seen of them"`
	Sets   []string `yaml:"sets" need:"y" doc:"the sets, each with a seed, in base64"`

	starts []start
}

// remember makes the memory of what bikes have in common.
func remember(kinds []learn.Kind, version string) *Memory {
	m := &Memory{Format: memoryVersion, Tool: version, From: fingerprint(setsData)}
	for _, x := range kinds {
		k := MemoryOfKind{Speeds: x.Speeds, Bikes: x.Bikes, Seen: x.Seen}
		for seed, set := range x.Sets {
			k.starts = append(k.starts, start{set: set, seed: uint64(seed)})
		}
		k.Sets = inLines(packed(k.starts))
		m.Kinds = append(m.Kinds, k)
	}
	return m
}

func ofSpeeds(speeds int) string {
	if speeds == 0 {
		return "the whole shop"
	}
	return fmt.Sprintf("%d speeds", speeds)
}

// For returns what a bike starts from: its kind, where enough bikes of it taught, or else
// the whole shop. Errors are *Error: a memory without the whole shop.
func (m *Memory) For(c *Case) (*MemoryOfKind, error) {
	var whole *MemoryOfKind
	for i := range m.Kinds {
		k := &m.Kinds[i]
		if k.Speeds == c.Speeds && k.Bikes >= learn.LeastOfAKind {
			return k, nil
		}
		if k.Speeds == 0 {
			whole = k
		}
	}
	if whole == nil {
		return nil, (&Case{file: m.file, at: m.at}).fail("kinds", "neither %s nor the whole shop: run chainpath learn --shop again", ofSpeeds(c.Speeds))
	}
	return whole, nil
}

// Name says what taught, such as "7 bikes of 12 speeds, 41 observations".
func (k *MemoryOfKind) Name() string {
	s := fmt.Sprintf("%d bikes of %s, %d observations", k.Bikes, ofSpeeds(k.Speeds), k.Seen)
	if k.Bikes == 1 {
		s = strings.Replace(s, "bikes", "bike", 1)
	}
	return s
}

// Text returns the memory as YAML that ParseMemory reads back.
func (m *Memory) Text() ([]byte, error) {
	b := bytes.NewBufferString("# Made by chainpath learn --shop: what the shop's bikes taught. New bikes start from it\n# with chainpath learn CASE --from this file. Made anew from the cases, not edited.\n")
	e := yaml.NewEncoder(b)
	e.SetIndent(2)
	if err := e.Encode(m); err != nil {
		return nil, err
	}
	return b.Bytes(), e.Close()
}

// ParseMemory reads a shop's memory. Every error is an *Error, or Errors.
func ParseMemory(file string, data []byte) (*Memory, error) {
	m := &Memory{file: file}
	d, err := decode(file, data, m)
	if err != nil {
		return nil, err
	}
	m.at = d.at
	c := &Case{file: file, at: m.at}
	if m.Format != memoryVersion {
		return nil, c.fail("chainpath_shop", "version %d, learned in another way than version %d: run chainpath learn --shop again", m.Format, memoryVersion)
	}
	if want := fingerprint(setsData); m.From != want {
		return nil, c.fail("from", "made from other shipped sets (%s, these are %s): run chainpath learn --shop again", shorten(m.From), want)
	}
	for i := range m.Kinds {
		k := &m.Kinds[i]
		if k.starts, err = unpacked(k.Sets); err != nil {
			return nil, c.fail(fmt.Sprintf("kinds[%d].sets", i), "%s: run chainpath learn --shop again", err)
		}
	}
	return m, nil
}

// LoadMemory reads a shop's memory from a file. Errors are *Error, or Errors.
func LoadMemory(name string) (*Memory, error) {
	text, err := readFile(name)
	if err != nil {
		return nil, err
	}
	return ParseMemory(name, text)
}
