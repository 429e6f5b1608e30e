package cases

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"hash/crc32"
	"slices"
	"strings"

	"chainpath/sim/decide"
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
}

// starts returns what chances are means over: the learned sets, or else the shipped ones
// with their numbers as seeds. Errors are *Error or wrap ErrSets.
func (c *Case) starts() ([]start, error) {
	if c.Learned != nil {
		return c.learnedSets()
	}
	sets, err := shippedSets()
	if err != nil {
		return nil, err
	}
	out := make([]start, len(sets))
	for k, s := range sets {
		out[k] = start{s, uint64(k)}
	}
	return out, nil
}

// packed returns sets as bytes: two of the seed, low first, one for each share in 255ths,
// and last the CRC-32 (IEEE) of it all.
func packed(sets []start) (b []byte) {
	for _, s := range sets {
		b = append(b, byte(s.seed), byte(s.seed>>8))
		for _, x := range s.set {
			b = append(b, byte(x*255+0.5))
		}
	}
	sum := crc32.ChecksumIEEE(b)
	return append(b, byte(sum), byte(sum>>8), byte(sum>>16), byte(sum>>24))
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
func unpacked(lines []string) ([]start, error) {
	n := len(freeNumbers) + 2
	b, err := base64.StdEncoding.DecodeString(strings.Join(lines, ""))
	if err != nil || len(b) != Sets*n+4 {
		return nil, fmt.Errorf("damaged: not %d sets of %d numbers", Sets, len(freeNumbers))
	}
	sum := crc32.ChecksumIEEE(b[:Sets*n])
	if t := b[Sets*n:]; sum != uint32(t[0])|uint32(t[1])<<8|uint32(t[2])<<16|uint32(t[3])<<24 {
		return nil, errors.New("damaged: its check sum does not agree")
	}
	out := make([]start, Sets)
	for k := range out {
		row := b[k*n : (k+1)*n]
		out[k] = start{make([]float64, len(freeNumbers)), uint64(row[0]) | uint64(row[1])<<8}
		for i := range out[k].set {
			out[k].set[i] = float64(row[2+i]) / 255
		}
	}
	return out, nil
}

// learnedBlock makes the block of a case.
func (c *Case) learnedBlock(sets []start, version string) *Learned {
	return &Learned{Tool: version, From: fingerprint(setsData), Seen: c.seenPrint(), Sets: inLines(packed(sets))}
}

// learnedSets reads the block. Errors are *Error.
func (c *Case) learnedSets() ([]start, error) {
	l := c.Learned
	if want := fingerprint(setsData); l.From != want {
		return nil, c.fail("learned.from", "made from other shipped sets (%s, these are %s): %s", shorten(l.From), want, c.learnAnew())
	}
	out, err := unpacked(l.Sets)
	if err != nil {
		return nil, c.fail("learned.sets", "%s: %s", err, c.learnAnew())
	}
	return out, nil
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
