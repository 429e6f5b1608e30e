package sweep

import "math/rand/v2"

// mostSobol is the number of dimensions there are direction numbers for.
const mostSobol = 16

// joeKuo are primitive polynomials and first direction numbers of dimensions 2 to
// 16 (S. Joe, F. Y. Kuo, SIAM J. Sci. Comput. 30, 2008), from memory; tests show that
// the first points are SciPy's, digit by digit, and that every dimension is evenly spread.
var joeKuo = []struct {
	degree, a int
	m         []uint64
}{
	{1, 0, []uint64{1}},
	{2, 1, []uint64{1, 3}},
	{3, 1, []uint64{1, 3, 1}},
	{3, 2, []uint64{1, 1, 1}},
	{4, 1, []uint64{1, 1, 3, 3}},
	{4, 4, []uint64{1, 3, 5, 13}},
	{5, 2, []uint64{1, 1, 5, 5, 17}},
	{5, 4, []uint64{1, 1, 5, 5, 5}},
	{5, 7, []uint64{1, 1, 7, 11, 19}},
	{5, 11, []uint64{1, 1, 5, 1, 1}},
	{5, 13, []uint64{1, 1, 1, 3, 11}},
	{5, 14, []uint64{1, 3, 5, 5, 31}},
	{6, 1, []uint64{1, 3, 3, 9, 7, 49}},
	{6, 13, []uint64{1, 1, 1, 15, 21, 21}},
	{6, 16, []uint64{1, 3, 1, 13, 27, 49}},
}

const sobolBits = 52

// sobol is a Sobol sequence with a digital shift.
type sobol struct {
	v     [][sobolBits]uint64
	shift []uint64
}

// newSobol prepares the direction numbers; the seed gives the shift, 0 none.
func newSobol(dims int, seed uint64) *sobol {
	s := &sobol{v: make([][sobolBits]uint64, dims), shift: make([]uint64, dims)}
	r := rand.New(rand.NewPCG(seed, 0))
	for d := range dims {
		v := &s.v[d]
		if d == 0 {
			for i := range v {
				v[i] = 1 << (sobolBits - 1 - i)
			}
		} else {
			k := joeKuo[d-1]
			for i := range v {
				if i < k.degree {
					v[i] = k.m[i] << (sobolBits - 1 - i)
					continue
				}
				v[i] = v[i-k.degree] ^ v[i-k.degree]>>k.degree
				for j := 1; j < k.degree; j++ {
					if k.a>>(k.degree-1-j)&1 == 1 {
						v[i] ^= v[i-j]
					}
				}
			}
		}
		if seed != 0 {
			s.shift[d] = r.Uint64() >> (64 - sobolBits)
		}
	}
	return s
}

// at returns coordinate d of point n, in [0, 1): in Gray-code order, which any
// point can be taken from.
func (s *sobol) at(d int, n uint64) float64 {
	x := s.shift[d]
	for i, g := 0, n^n>>1; g != 0 && i < sobolBits; i, g = i+1, g>>1 {
		if g&1 == 1 {
			x ^= s.v[d][i]
		}
	}
	return float64(x) / (1 << sobolBits)
}
