package cases

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// byLot returns the bike files of unusual bicycles, of which the commands' output is kept, by their names.
func byLot(t *testing.T) (names []string, all []*Case) {
	files, err := filepath.Glob("../testdata/golden/bylot/*.txt")
	require.NoError(t, err)
	require.Greater(t, len(files), 8)
	for _, f := range files {
		text, err := os.ReadFile(f)
		require.NoError(t, err)
		bike, _, cut := strings.Cut(string(text), "\n$ ")
		require.True(t, cut, f)
		c, err := Parse(filepath.Base(f), []byte(bike))
		require.NoError(t, err, f)
		names, all = append(names, strings.TrimSuffix(filepath.Base(f), ".txt")), append(all, c)
	}
	return names, all
}

// Bicycles by lot: what follows from what their files say, what was taken where they say nothing, how far off each
// number may be, what they tell of themselves, what may be changed of them, and what is written of them.
func TestBicyclesByLotAreAsWritten(t *testing.T) {
	var b bytes.Buffer
	names, all := byLot(t)
	for i, c := range all {
		bike, err := c.Bike()
		require.NoError(t, err)
		fmt.Fprintf(&b, "%s\nconflicts %q\nderived %.6g room %.6g slot %v\nchain %+v\nframe %+v\nload %+v\n", names[i], c.Conflicts(), c.derived, c.axleRoom(), c.room, bike.Chain, bike.Frame, bike.Load)
		for _, x := range c.Assumptions() {
			fmt.Fprintf(&b, "assumed %+v\n", x)
		}
		warned, err := c.Warnings()
		require.NoError(t, err)
		fmt.Fprintf(&b, "warnings %+v\n", warned)
		u, err := c.Uncertain()
		require.NoError(t, err)
		for k, in := range u.Inputs {
			fmt.Fprintf(&b, "doubt %d %+v\n", k, in)
		}
		seen, err := c.Seen()
		require.NoError(t, err)
		for _, s := range seen {
			fmt.Fprintf(&b, "seen %+v\n", s)
		}
		contrary, err := c.Contrary()
		require.NoError(t, err)
		fmt.Fprintf(&b, "contrary %+v\nshifts %q\n", contrary, c.SeenOfShifts())
		shares, err := c.Shares(bike)
		require.NoError(t, err)
		fmt.Fprintf(&b, "shares %.6g\n", shares)
		cat, err := c.UsualChanges(nil)
		require.NoError(t, err)
		for _, x := range c.usual() {
			b.WriteString(x.text())
		}
		fmt.Fprintf(&b, "%d changes that can be\n", len(cat.Changes))
		written, err := Format(c)
		require.NoError(t, err)
		b.Write(written)
	}
	characteristic(t, "bylot.txt", b.Bytes())
}
