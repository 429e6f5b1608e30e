package cases

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"hash/crc32"
	"slices"
	"strings"

	"chainpath/sim/decide"
	"chainpath/sim/judge"
)

// learnedWide is how many characters of learned sets stand in one text.
const learnedWide = 96

// fingerprint returns the first 16 hexadecimal digits of a SHA-256.
func fingerprint(b []byte) string {
	s := sha256.Sum256(b)
	return hex.EncodeToString(s[:8])
}

// seenPrint is the fingerprint of what a case says was seen.
func (c *Case) seenPrint() string {
	var b strings.Builder
	for i := range c.Observations {
		if !c.Observations[i].ofShifts() { // of those nothing is learned
			fmt.Fprintln(&b, c.Observations[i].String())
		}
	}
	for _, s := range c.Symptoms {
		if !slices.Contains(decide.OfShifts, decide.Complaint(s.What)) {
			fmt.Fprintf(&b, "%+v\n", s)
		}
	}
	return fingerprint([]byte(b.String()))
}

// start is a set of free numbers and the seed of the readings drawn with it.
type start struct {
	set  []float64
	seed uint64
	own  *learnedOf // what was learned with it; nil: nothing
}

// starts returns what chances are means over: the learned sets, or else the shipped ones
// with their numbers as seeds. Errors are *Error or wrap ErrSets.
func (c *Case) starts() ([]start, error) {
	sets, err := shippedSets()
	if err != nil {
		return nil, err
	}
	if c.Learned != nil {
		learned, err := c.learnedSets()
		if err == nil && c.newChain {
			for k := range learned {
				learned[k].renewChain(sets[k%len(sets)])
			}
		}
		return learned, err
	}
	out := make([]start, len(sets))
	for k, s := range sets {
		out[k] = start{set: s, seed: uint64(k)}
	}
	return out, nil
}

// packed returns sets as bytes: two of the seed, low first, one for each share in 255ths,
// and last the check sum.
func packed(sets []start) (b []byte) {
	for _, s := range sets {
		b = append(b, byte(s.seed), byte(s.seed>>8))
		b = packShares(b, s.set)
	}
	return summed(b)
}

func packShares(b []byte, shares []float64) []byte {
	for _, x := range shares {
		b = append(b, byte(x*255+0.5))
	}
	return b
}

func unpackShares(row []byte) []float64 {
	out := make([]float64, len(row))
	for i, x := range row {
		out[i] = float64(x) / 255
	}
	return out
}

// summed puts the CRC-32 (IEEE) of bytes behind them, low first.
func summed(b []byte) []byte {
	sum := crc32.ChecksumIEEE(b)
	return append(b, byte(sum), byte(sum>>8), byte(sum>>16), byte(sum>>24))
}

// rows reads lines of Sets rows of so many bytes each, with a check sum behind.
func rows(lines []string, wide int) (out [][]byte, err error) {
	b, err := base64.StdEncoding.DecodeString(strings.Join(lines, ""))
	if err != nil || len(b) != judge.Sets*wide+4 {
		return nil, fmt.Errorf("damaged: not %d sets of %d bytes", judge.Sets, wide)
	}
	if !bytes.Equal(b, summed(b[:judge.Sets*wide:judge.Sets*wide])) {
		return nil, errors.New("damaged: its check sum does not agree")
	}
	for k := range judge.Sets {
		out = append(out, b[k*wide:(k+1)*wide])
	}
	return out, nil
}

// inLines returns bytes in base64, in texts of one width.
func inLines(b []byte) (lines []string) {
	text := base64.StdEncoding.EncodeToString(b)
	for len(text) > 0 {
		n := min(learnedWide, len(text))
		lines, text = append(lines, text[:n]), text[n:]
	}
	return lines
}

// unpacked reads what packed and inLines wrote.
func unpacked(lines []string) (out []start, err error) {
	list, err := rows(lines, len(freeNumbers)+2)
	for _, row := range list {
		out = append(out, start{set: unpackShares(row[2:]), seed: uint64(row[0]) | uint64(row[1])<<8})
	}
	return out, err
}

// learnAnew names the command that renews the block.
func (c *Case) learnAnew() string {
	return fmt.Sprintf("run chainpath learn %[1]s --write %[1]s", c.file)
}

// checkLearned refuses a block that cannot be used, or that is older than what was seen.
func (c *Case) checkLearned() error {
	if c.Learned == nil {
		return nil
	}
	if _, err := c.learnedSets(); err != nil {
		return err
	}
	if c.Learned.Seen != c.seenPrint() {
		return c.fail("learned.seen", "learned from other observations and symptoms than the bike file has now: %s", c.learnAnew())
	}
	return nil
}
