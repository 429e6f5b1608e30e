package cases

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// cassettes are the clusters that the trade sells by their smallest and largest cog, of
// every range the most usual number of cogs first: common practice, no published source,
// from memory. Makers differ by a tooth in the middle: count them.
var cassettes = parseCassettes(`
11 12 13 14 15 17 19 21 23 25
11 12 13 14 15 16 17 19 21 23 25
11 12 13 15 17 19 21 23 25
11 12 13 14 16 18 21 23
12 13 14 15 16 17 19 21 23 25
12 13 14 15 17 19 21 23 25
11 12 13 14 15 16 17 18 19 21 23
12 13 14 15 16 17 18 19 21 23
12 13 14 15 16 17 19 21 24 27
12 13 14 15 17 19 21 24 27
12 13 14 15 16 17 19 21 23 25 28
12 13 14 15 17 19 21 23 25 28
11 12 13 14 15 17 19 21 23 25 28
11 12 13 14 15 17 19 21 24 28
11 12 13 14 16 18 21 24 28
11 13 15 17 19 21 24 28
11 13 15 18 21 24 28
14 16 18 20 22 24 28
13 15 17 19 21 24 28
11 12 13 14 15 16 17 19 21 24 27 30
11 12 13 14 15 17 19 21 24 27 30
11 13 14 15 17 20 23 26 30
11 13 15 17 20 23 26 30
11 12 13 14 16 18 20 22 25 28 32
11 12 14 16 18 20 22 25 28 32
11 12 14 16 18 21 24 28 32
11 13 15 18 21 24 28 32
12 14 16 18 21 24 28 32
11 13 15 17 19 21 23 25 27 30 34
11 12 13 14 15 17 19 21 24 27 30 34
11 13 15 17 19 21 23 26 30 34
11 13 15 17 20 23 26 30 34
11 13 15 18 21 24 28 34
14 16 18 20 22 24 34
13 15 17 19 21 24 34
14 16 18 20 22 24 28 34
10 11 12 13 14 15 17 19 21 24 28 33
10 11 12 13 15 17 19 21 24 28 32 36
11 13 15 17 19 21 24 28 32 36
11 12 13 14 15 17 19 21 24 28 32 36
12 14 16 18 21 24 28 32 36
11 13 15 17 20 23 26 30 36
11 13 15 17 19 21 24 27 31 35 40
10 12 14 16 18 21 24 28 32 36 40
11 13 15 17 19 21 24 28 32 37 42
11 13 15 18 21 24 28 32 37 42
10 12 14 16 18 21 24 28 32 36 42
10 11 13 15 17 19 21 24 28 32 38 44
10 12 14 16 18 21 24 28 32 36 40 45
11 13 15 17 19 21 24 28 32 36 40 45
11 13 15 17 19 21 24 28 32 37 46
11 13 15 17 20 23 26 30 36 46
11 13 15 18 22 27 32 38 46
11 13 15 17 20 23 26 30 36 42 48
10 12 14 16 18 21 24 28 32 36 42 50
11 13 15 17 19 22 25 28 32 36 42 50
11 13 15 18 21 24 28 33 39 45 51
11 13 15 17 19 22 25 28 33 39 45 51
10 12 14 16 18 21 24 28 33 39 45 51
11 13 15 18 21 24 28 33 41 51
10 12 14 16 18 21 24 28 32 36 42 52
`)

// Cassettes returns the usual ones, each with its cogs from small to large, by range and
// number of cogs.
func Cassettes() [][]int {
	out := slices.Clone(cassettes)
	slices.SortStableFunc(out, func(a, b []int) int {
		return cmp.Or(cmp.Compare(len(b), len(a)), cmp.Compare(a[0], b[0]), cmp.Compare(a[len(a)-1], b[len(b)-1]))
	})
	return out
}

func parseCassettes(text string) (out [][]int) {
	for _, line := range strings.Split(strings.TrimSpace(text), "\n") {
		var cogs []int
		for _, word := range strings.Fields(line) {
			n, err := strconv.Atoi(word)
			if err != nil {
				panic("cases: cassettes: " + line)
			}
			cogs = append(cogs, n)
		}
		out = append(out, cogs)
	}
	return out
}

// UsualCogs returns the teeth of a cluster of which only the smallest and the largest cog
// are known, and how many there are, or 0 where that is not known: those of a usual
// cassette of the range, or, where none of it is known, steps as even in ratio as whole
// teeth allow. usual reports which. An error says what cannot be.
func UsualCogs(smallest, largest, speeds int) (cogs []int, usual bool, err error) {
	for _, c := range cassettes {
		if c[0] == smallest && c[len(c)-1] == largest && (speeds == 0 || speeds == len(c)) {
			return slices.Clone(c), true, nil
		}
	}
	if speeds == 0 {
		speeds = likelySpeeds(smallest, largest)
	}
	cogs, err = evenCogs(smallest, largest, speeds)
	return cogs, false, err
}

// likelySpeeds returns how many cogs a cluster of a range that is no usual one is likely to
// have: as many as that of the usual one whose span is nearest, and no more than teeth allow.
func likelySpeeds(smallest, largest int) int {
	if smallest == largest {
		return 1
	}
	best := cassettes[0]
	off := func(c []int) float64 {
		d := float64(c[len(c)-1])/float64(c[0]) - float64(largest)/float64(smallest)
		return max(d, -d)
	}
	for _, c := range cassettes[1:] {
		if off(c) < off(best) {
			best = c
		}
	}
	return max(2, min(len(best), largest-smallest+1))
}

// cassetteNote says what the cogs between smallest and largest rest on.
func cassetteNote(cogs []int, usual bool) string {
	if usual {
		return fmt.Sprintf("the usual %d-speed cassette of that range; count them", len(cogs))
	}
	return fmt.Sprintf("%d cogs in even steps between smallest and largest; count them", len(cogs))
}
