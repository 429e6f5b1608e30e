package cases

import (
	_ "embed"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
)

// ErrSets reports a file of sets that this version cannot use.
var ErrSets = errors.New("cases: sets of free numbers")

// setsVersion changes with the free numbers and what they mean.
const setsVersion = 2

// setsMagic opens a file of sets.
const setsMagic = "chainpath sets\n"

//go:embed sets.bin
var setsData []byte

// EncodeSets returns sets, row by row as shares of the ranges of FreeNumbers, as they are
// shipped: magic, version, numbers in a set and sets as 16-bit numbers, the shares as
// 16-bit numbers of 0 to 65535, all least byte first, and the CRC-32 (IEEE) of it all.
func EncodeSets(shares []float64) []byte {
	b := []byte(setsMagic)
	for _, n := range []int{setsVersion, len(freeNumbers), len(shares) / len(freeNumbers)} {
		b = binary.LittleEndian.AppendUint16(b, uint16(n))
	}
	for _, s := range shares {
		b = binary.LittleEndian.AppendUint16(b, uint16(s*65535+0.5))
	}
	return binary.LittleEndian.AppendUint32(b, crc32.ChecksumIEEE(b))
}

// DecodeSets reads what EncodeSets wrote. The error wraps ErrSets and says what is
// wrong.
func DecodeSets(b []byte) ([][]float64, error) {
	head := len(setsMagic) + 6
	if len(b) < head+4 || string(b[:len(setsMagic)]) != setsMagic {
		return nil, fmt.Errorf("%w: not such a file", ErrSets)
	}
	var n [3]int
	for i := range n {
		n[i] = int(binary.LittleEndian.Uint16(b[len(setsMagic)+2*i:]))
	}
	switch {
	case n[0] != setsVersion || n[1] != len(freeNumbers):
		return nil, fmt.Errorf("%w: version %d with %d numbers a set, want version %d with %d", ErrSets, n[0], n[1], setsVersion, len(freeNumbers))
	case len(b) != head+2*n[1]*n[2]+4:
		return nil, fmt.Errorf("%w: %d bytes, want %d for %d sets", ErrSets, len(b), head+2*n[1]*n[2]+4, n[2])
	case crc32.ChecksumIEEE(b[:len(b)-4]) != binary.LittleEndian.Uint32(b[len(b)-4:]):
		return nil, fmt.Errorf("%w: damaged", ErrSets)
	}
	sets := make([][]float64, n[2])
	b = b[head:]
	for i := range sets {
		sets[i] = make([]float64, n[1])
		for j := range sets[i] {
			sets[i][j] = float64(binary.LittleEndian.Uint16(b)) / 65535
			b = b[2:]
		}
	}
	return sets, nil
}
