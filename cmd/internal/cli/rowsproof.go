package cli

import (
	"crypto/sha256"
	"encoding/hex"
	"hash"
	"strings"

	"chainpath/sim/sweep"
)

// mark proves the beginning of a file of rows: what stands before one of its bytes has
// this hash, and holds what there is of all designs of its shard before one.
type mark struct {
	Next   int    `json:"next_design"`
	Rows   int    `json:"rows"`
	Bytes  int64  `json:"bytes"`
	SHA256 string `json:"sha256"`
}

// mostMarks bounds how many stay beside rows that are at their end.
const mostMarks = 64

// markEvery returns how many designs lie between marks: whole blocks, so that shards have
// theirs at ends of blocks, and all alike however often a sweep was broken off.
func markEvery(designs int) int {
	blocks := (designs + sweep.BlockSize - 1) / sweep.BlockSize
	return sweep.BlockSize * max((blocks+mostMarks-1)/mostMarks, 1)
}

// prover counts and hashes rows as they are written, and marks where it came to.
type prover struct {
	designs int
	sum     hash.Hash
	rows    int // without the header
	bytes   int64
	marks   []mark
}

func newProver(designs int) *prover { return &prover{designs: designs, sum: sha256.New()} }

// add takes in what was written.
func (p *prover) add(text []byte, rows int) {
	p.sum.Write(text)
	p.bytes += int64(len(text))
	p.rows += rows
}

func (p *prover) hash() string { return hex.EncodeToString(p.sum.Sum(nil)) }

// here marks what there is, of all designs before next.
func (p *prover) here(next int) mark { return mark{next, p.rows, p.bytes, p.hash()} }

// due reports whether a mark that stays belongs before a design: at the first end of a
// block behind each multiple of markEvery.
func (p *prover) due(next int) bool {
	before := 0
	if n := len(p.marks); n > 0 {
		before = p.marks[n-1].Next
	}
	every := markEvery(p.designs)
	return next%sweep.BlockSize == 0 && next < p.designs && next/every > before/every
}

// reached notes that all designs before next are written.
func (p *prover) reached(next int) {
	if p.due(next) {
		p.marks = append(p.marks, p.here(next))
	}
}

// bounded reports whether rows may leave designs out.
func (id *rowsID) bounded() bool {
	for k := range id.Plan {
		if strings.HasPrefix(k, "where[") {
			return true
		}
	}
	return len(id.Missing) > 0
}

// following returns the first design of a shard behind one, -1 being before all.
func following(s sweep.Shard, design int) int {
	n := design + 1
	if s.N <= 1 || s.Owns(n) {
		return n
	}
	k := n / sweep.BlockSize
	return (k + ((s.I-k)%s.N+s.N)%s.N) * sweep.BlockSize
}
