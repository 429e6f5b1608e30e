package cases

import (
	"encoding/binary"
	"hash/crc32"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/budget"
	"chainpath/sim/judge"
)

// Sets are read as they were written, to a 65535th; what is not such a file, is of another version
// or is damaged is refused, each with its own words.
func TestSetsAreReadAsWritten(t *testing.T) {
	n := len(freeNumbers)
	shares := make([]float64, 3*n)
	for i := range shares {
		shares[i] = float64(i) / float64(len(shares)-1)
	}
	b := EncodeSets(shares)
	assert.Len(t, b, len("chainpath sets\n")+6+2*3*n+4)
	got, err := DecodeSets(b)
	require.NoError(t, err)
	require.Len(t, got, 3)
	for i, x := range shares {
		assert.InDelta(t, x, got[i/n][i%n], 0.5/65535+1e-12)
	}
	assert.Equal(t, 0.0, got[0][0])
	assert.Equal(t, 1.0, got[2][n-1])
	assert.Equal(t, b, EncodeSets(append(append(append([]float64{}, got[0]...), got[1]...), got[2]...)), "written anew they are the same")
	none, err := DecodeSets(EncodeSets(nil))
	require.NoError(t, err)
	assert.Empty(t, none)

	for _, c := range []struct {
		says   string
		change func(b []byte) []byte
	}{
		{"not such a file", func(b []byte) []byte { return nil }},
		{"not such a file", func(b []byte) []byte { return b[:len(setsMagic)+6+3] }},
		{"not such a file", func(b []byte) []byte { b[3] = 'X'; return b }},
		{"version 3 with", func(b []byte) []byte { b[len(setsMagic)] = 3; return b }},
		{"version 2 with 9 numbers a set, want version 2 with", func(b []byte) []byte { b[len(setsMagic)+2] = 9; return b }},
		{"for 4 sets", func(b []byte) []byte { b[len(setsMagic)+4] = 4; return b }},
		{"for 259 sets", func(b []byte) []byte { b[len(setsMagic)+5] = 1; return b }},
		{"bytes, want", func(b []byte) []byte { return append(b, 0) }},
		{"damaged", func(b []byte) []byte { b[len(setsMagic)+6] ^= 1; return b }},
		{"damaged", func(b []byte) []byte { b[len(b)-1] ^= 1; return b }},
	} {
		_, err := DecodeSets(c.change(EncodeSets(shares)))
		require.ErrorIs(t, err, ErrSets)
		assert.ErrorContains(t, err, c.says)
	}
	// A number in the middle is least byte first.
	assert.Equal(t, uint16(math.Round(65535*shares[5])), binary.LittleEndian.Uint16(b[len(setsMagic)+6+10:]))
	assert.Equal(t, crc32.ChecksumIEEE(b[:len(b)-4]), binary.LittleEndian.Uint32(b[len(b)-4:]))
}

// The shipped sets are as many as are told of, each share within its range.
func TestShippedSets(t *testing.T) {
	sets, err := shippedSets()
	require.NoError(t, err)
	assert.Len(t, sets, judge.Sets)
	q, err := Posterior([3]float64{0, 0.5, 1})
	require.NoError(t, err)
	require.Len(t, q, len(freeNumbers))
	for i := range q {
		f := &freeNumbers[i]
		assert.True(t, f.Low <= q[i][0]+1e-12 && q[i][0] <= q[i][1] && q[i][1] <= q[i][2] && q[i][2] <= f.Up+1e-12, f.Name)
		least, most := math.Inf(1), math.Inf(-1)
		for _, s := range sets {
			least, most = math.Min(least, f.At(s[i])), math.Max(most, f.At(s[i]))
		}
		assert.Equal(t, [2]float64{least, most}, [2]float64{q[i][0], q[i][2]}, f.Name)
	}
}

// Learned sets are packed to a 255th with their seeds, in lines of one width, and refused where
// anything is missing or changed.
func TestLearnedSetsArePacked(t *testing.T) {
	sets := make([]start, judge.Sets)
	for k := range sets {
		sets[k] = start{set: make([]float64, len(freeNumbers)), seed: uint64(k * 300 % 65536)}
		for i := range sets[k].set {
			sets[k].set[i] = float64((k*7+i*13)%256) / 255
		}
	}
	lines := inLines(packed(sets))
	for i, l := range lines {
		if i+1 < len(lines) {
			assert.Len(t, l, 96)
		}
	}
	got, err := unpacked(lines)
	require.NoError(t, err)
	assert.Equal(t, sets, got)
	_, err = unpacked(lines[1:])
	require.ErrorContains(t, err, "not 200 sets of")
	_, err = unpacked([]string{"*"})
	require.ErrorContains(t, err, "not 200 sets of")
	for _, at := range []int{0, 1, 2, 40, 95} {
		bad := append([]string{}, lines...)
		was := bad[3][at]
		to := byte('A')
		if was == to {
			to = 'B'
		}
		bad[3] = bad[3][:at] + string(to) + bad[3][at+1:]
		_, err = unpacked(bad)
		require.ErrorContains(t, err, "its check sum does not agree")
	}
	assert.Empty(t, inLines(nil))
	assert.Len(t, fingerprint([]byte("x")), 16)
	// Half of a 255th is rounded up.
	assert.Equal(t, byte(128), packed([]start{{set: []float64{0.5}}})[2])
	assert.Equal(t, []byte{0x34, 0x12}, packed([]start{{seed: 0x1234}})[:2])
}

// How many standard uncertainties a distribution lies off at a share of its draws, by its inverse
// distribution function; a normal one is cut at three.
func TestDeviatesByHand(t *testing.T) {
	for _, c := range []struct {
		dist    budget.Dist
		u, want float64
	}{
		{budget.Rectangular, 0, -math.Sqrt(3)}, {budget.Rectangular, 0.5, 0}, {budget.Rectangular, 0.75, math.Sqrt(3) / 2}, {budget.Rectangular, 1, math.Sqrt(3)},
		{budget.Triangular, 0, -math.Sqrt(6)}, {budget.Triangular, 0.125, -math.Sqrt(6) / 2}, {budget.Triangular, 0.5, 0}, {budget.Triangular, 0.52, math.Sqrt(6) * (1 - math.Sqrt(0.96))},
		{budget.Triangular, 0.875, math.Sqrt(6) / 2}, {budget.Triangular, 1, math.Sqrt(6)},
		{budget.Normal, 0.5, 0}, {budget.Normal, 0.8413447460685429, 1}, {budget.Normal, 0.15865525393145707, -1}, {budget.Normal, 0, -3}, {budget.Normal, 1, 3}, {budget.Normal, 0.9999, 3},
	} {
		assert.InDelta(t, c.want, deviate(c.dist, c.u), 1e-9, "%s at %g", c.dist, c.u)
	}
	// Mean nothing and one standard uncertainty, over even shares.
	for _, d := range []budget.Dist{budget.Rectangular, budget.Triangular, budget.Normal} {
		sum, squares, n := 0.0, 0.0, 20000
		for i := range n {
			x := deviate(d, (float64(i)+0.5)/float64(n))
			sum, squares = sum+x, squares+x*x
		}
		assert.InDelta(t, 0, sum/float64(n), 1e-9, "%s", d)
		assert.InDelta(t, 1, squares/float64(n), 0.006, "%s", d)
	}
}

// A mean over the shipped sets is kept a fifth of a set off the ends, and settles so, but for what
// there is not, and geometry that is beyond doubt.
func TestMeansOffTheEnds(t *testing.T) {
	assert.InDelta(t, 0.2/200.4, judge.OffTheEnds(0), 1e-15)
	assert.InDelta(t, 200.2/200.4, judge.OffTheEnds(1), 1e-15)
	assert.InDelta(t, 0.5, judge.OffTheEnds(0.5), 1e-15)
	for _, c := range []struct {
		k       sim.Concern
		p, want float64
	}{
		{sim.NoiseRiding, -1, -1}, {sim.NoiseRiding, -0.01, -1}, {sim.NoiseRiding, 0, judge.OffTheEnds(0)}, {sim.NoiseRiding, 1, judge.OffTheEnds(1)},
		{sim.DoesNotClose, 0, 0}, {sim.DoesNotClose, 1, 1}, {sim.DoesNotClose, 0.5, 0.5}, {sim.DoesNotClose, 0.25, judge.OffTheEnds(0.25)},
	} {
		assert.InDelta(t, c.want, judge.Settled(c.k, c.p), 1e-15, "%s %g", c.k, c.p)
	}
	assert.Equal(t, []Block{NoiseNumbers, DropNumbers, DropNumbers, CogNumbers, RingNumbers, DropNumbers},
		[]Block{BlockOf(sim.NoiseRiding), BlockOf(sim.DropRiding), BlockOf(sim.DropBackwards), BlockOf(sim.RubsNextCog), BlockOf(sim.RubsNextRing), BlockOf(sim.RubsTyreAt)})
}

// A rank among the known bicycles counts those of the kind: every one is below or not, and more
// trouble never ranks better.
func TestRankAmongTheKnown(t *testing.T) {
	for _, tensioned := range []bool{true, false} {
		of := 0
		least, most := math.Inf(1), 0.0
		for _, k := range known() {
			if k.Tensioned == tensioned {
				of++
				least, most = math.Min(least, k.Trouble), math.Max(most, k.Trouble)
			}
		}
		require.Positive(t, of)
		for trouble, want := range map[float64]int{-1: 0, least: 0, math.Nextafter(most, 9e9): of, most + 1: of} {
			less, more := Rank(trouble, tensioned)
			assert.Equal(t, [2]int{want, of - want}, [2]int{less, more}, "%g", trouble)
		}
	}
}
