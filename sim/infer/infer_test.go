package infer

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

var spreads = []Spread{
	{Common: 0.80, Near: 0.05, Own: 0.05, Try: 0.10, Rate: 0.5},
	{Common: 0.65, Near: 0.05, Own: 0.10, Try: 0.20, Rate: 0.1},
	{Common: 0.1, Near: 0.2, Own: 0.5, Try: 0.2, Rate: 0.3},
}

// Φ and its inverse against a general library.
func TestNormal(t *testing.T) {
	for _, x := range []float64{-6, -2.5, -1, -0.1, 0, 0.3, 1.7, 5} {
		assert.InEpsilon(t, distuv.UnitNormal.CDF(x), Normal(x), 1e-12)
		assert.InDelta(t, x, Probit(Normal(x)), 1e-8)
	}
	for _, p := range []float64{0, 1, -1, 2} {
		assert.False(t, math.IsInf(Probit(p), 0))
	}
}

// The mean of Fault over offsets is the chance itself, by Gauss-Hermite quadrature of a general
// library; OffsetOf is its inverse.
func TestNothingSeenChangesNothing(t *testing.T) {
	for _, s := range spreads {
		for _, p := range []float64{0.005, 0.1, 0.5, 0.93} {
			root := math.Sqrt(s.Common + s.Near)
			mean := quad.Fixed(func(z float64) float64 { return s.Fault(p, root*z) * distuv.UnitNormal.Prob(z) }, -9, 9, 400, nil, 0)
			assert.InDelta(t, p, mean, 1e-9)
			r := s.Counter(false)
			r.Add(0, s.Level(p))
			assert.InDelta(t, p, r.Rates().Fault(), 2e-3)
			if fault := s.Fault(p, 0.4); fault > 1e-9 && fault < 1-1e-9 {
				assert.InDelta(t, 0.4, s.OffsetOf(p, fault), 1e-6)
			}
		}
	}
}

// Tables against numerical integration over the place's own offset by a general library, of words,
// counts and both.
func TestTablesAreIntegrals(t *testing.T) {
	told := [][]Report{
		{{Happened: true}},
		{{}, {}, {Happened: true, Mistake: 0.2}},
		{{Count: 3, Of: 10}},
		{{Of: 80}, {Count: 1, Of: 5}, {Happened: true}},
	}
	for _, s := range spreads {
		for _, reports := range told {
			table := NewTable(s, reports)
			for e := range Mistakes {
				for _, level := range []float64{-3, -1.2, -0.4, 0.31, 1.1, 2.9} {
					like := func(o float64) float64 {
						r := Normal((level - math.Sqrt(s.Own)*o) / math.Sqrt(s.Try))
						return math.Exp(logLike(reports, Mistakes[e], r, r > s.Rate)) * distuv.UnitNormal.Prob(o)
					}
					at := (level - math.Sqrt(s.Try)*Probit(s.Rate)) / math.Sqrt(s.Own) // r is r0
					at = min(max(at, -9), 9)
					fault := quad.Fixed(like, -9, at, 300, nil, 0)
					whole := fault + quad.Fixed(like, at, 9, 300, nil, 0)
					assert.InDelta(t, math.Log(whole), table.Log(e, level), 0.01, "%+v %+v %g", s, reports, level)
					assert.InDelta(t, fault/whole, table.Fault(e, level), 0.01, "%+v %+v %g", s, reports, level)
				}
			}
		}
	}
}

// Counts add up to one, and tables take any order of reports for the same.
func TestReports(t *testing.T) {
	sum := 0.0
	for k := range 8 {
		sum += math.Exp(logLike([]Report{{Count: k, Of: 7}}, 0.1, 0.3, true))
	}
	assert.InDelta(t, 1, sum, 1e-12)
	assert.Equal(t, 1.0, Binomial(0, 5, 0))
	assert.Equal(t, 0.0, Binomial(1, 5, 0))
	assert.Equal(t, 1.0, Binomial(5, 5, 1))
	assert.InDelta(t, distuv.Binomial{N: 12, P: 0.4}.Prob(5), Binomial(5, 12, 0.4), 1e-12)
	assert.Zero(t, Report{Of: 3}.Compare(Report{Of: 3}))
	assert.Negative(t, Report{Of: 3}.Compare(Report{Of: 3, Happened: true}))
}

// A rate known to be about one number foretells the next tries as a binomial does.
func TestRatesByHand(t *testing.T) {
	s := Spread{Common: 0.5, Near: 0.2, Own: 1e-4, Try: 0.2999, Rate: 0.1}
	c := s.Counter(true)
	c.Add(0, math.Sqrt(s.Try)*Probit(0.35))
	r := c.Rates()
	assert.InDelta(t, 0.35, r.Mean(), 0.01)
	assert.InDelta(t, distuv.Binomial{N: 10, P: 0.35}.Prob(3), r.Count(3, 10), 0.01)
	least, most := r.Next(10, 0.8)
	assert.Equal(t, [2]int{2, 5}, [2]int{least, most})
	assert.InDelta(t, 1, r.Fault(), 1e-6)
	assert.InDelta(t, 1, r.Above(0.2), 1e-6)
	assert.InDelta(t, 0, r.Above(0.5), 1e-6)
	assert.Zero(t, s.Counter(true).Rates().Mean())
}

// The field has the stated variance at every place, and less in common the farther apart.
func TestField(t *testing.T) {
	s := spreads[2]
	f := NewField(Places{Rows: 2, Each: 6})
	require.Equal(t, 13, f.Len())
	cov := func(i, j int) float64 { // by the basis of standard normals
		sum := 0.0
		for k := range f.Len() {
			z, to := make([]float64, f.Len()), make([]float64, f.Len()-1)
			z[k] = 1
			f.Offsets(to, &s, z)
			sum += to[i] * to[j]
		}
		return sum
	}
	for i := range 12 {
		assert.InDelta(t, s.Common+s.Near, cov(i, i), 1e-5)
	}
	assert.InDelta(t, s.Common+s.Near*math.Exp(-4/4.5), cov(1, 3), 1e-9)
	assert.InDelta(t, s.Common+s.Near/2, cov(2, 8), 1e-9)
}

// line is a model whose level is its first number.
func line(m *Model) Evaluate {
	return func(x, levels []float64) bool {
		for i := range levels {
			levels[i] = x[0]
		}
		return true
	}
}

func never() error { return nil }

// Conjugate: with words nearly certain about a level N(0, 1) less offsets, the posterior is that of
// a normal cut at a point, whose mean is by hand: that of the level less all offsets, given that it
// is above c, is φ(c)/Φ(-c) over its deviation, and the level's share is its part of the variance.
func TestLearnAgainstACutNormal(t *testing.T) {
	s := Spread{Common: 0.5, Near: 0.1, Own: 0.2, Try: 0.2, Rate: 0.5}
	m := &Model{Numbers: 1, Places: Places{1, 1}, Extra: 1}
	m.Faults = []Fault{{Spread: s, Told: []Told{{0, 0, NewTable(s, []Report{{Happened: true, Mistake: 1e-9}})}}}}
	c, err := Learn(m, few(4000), 1, []Evaluate{line(m), line(m)}, never)
	require.NoError(t, err)
	all := math.Sqrt(1 + s.Common + s.Near + s.Own)
	mills := distuv.UnitNormal.Prob(0) / 0.5
	var x, b []float64
	for _, p := range c.Particles {
		x, b = append(x, p.Numbers[0]), append(b, p.Field[0][0])
		assert.InDelta(t, 1, m.FaultAt(p, 0, 0, 0), 1e-6)
	}
	assert.InDelta(t, mills/all, stat.Mean(x, nil), 0.06)
	assert.InDelta(t, -math.Sqrt(s.Common)*mills/all, stat.Mean(b, nil), 0.06)
	assert.InDelta(t, 1-mills*mills/all/all, stat.Variance(x, nil), 0.08)
	assert.Greater(t, c.Ancestors, len(c.Particles)/10)
}

func few(n int) int {
	if testing.Short() {
		return n / 2
	}
	return n
}

// Told nothing, particles stay standard normals, however often they are moved.
func TestToldNothing(t *testing.T) {
	m := &Model{Numbers: 2, Places: Places{1, 3}}
	c, err := Learn(m, 2000, 5, []Evaluate{func(x, l []float64) bool { return true }}, never)
	require.NoError(t, err)
	assert.Equal(t, 1, c.Stages)
	for i := range 2 {
		var x []float64
		for _, p := range c.Particles {
			x = append(x, p.Numbers[i])
		}
		assert.InDelta(t, 0, stat.Mean(x, nil), 0.08)
		assert.InDelta(t, 1, stat.Variance(x, nil), 0.12)
	}
}

// Much that is told is used up to the power 1, on any number of goroutines alike.
func TestLearnIsTheSameOnAnyNumberOfCores(t *testing.T) {
	s := spreads[1]
	m := &Model{Numbers: 3, Places: Places{1, 4}, Extra: 1}
	rng := rand.New(rand.NewPCG(1, 2))
	f := Fault{Spread: s, Any: []Any{{Places: []int{0, 2}}}}
	for g := range 4 {
		f.Told = append(f.Told, Told{g, 0, NewTable(s, []Report{{Count: rng.IntN(40), Of: 40}, {Happened: true}})})
	}
	m.Faults = []Fault{f}
	one, err := Learn(m, 200, 3, []Evaluate{line(m)}, never)
	require.NoError(t, err)
	many, err := Learn(m, 200, 3, []Evaluate{line(m), line(m), line(m)}, never)
	require.NoError(t, err)
	assert.Equal(t, one.Particles, many.Particles)
	assert.Greater(t, one.Stages, 1)
	other, err := Learn(m, 200, 4, []Evaluate{line(m)}, never)
	require.NoError(t, err)
	assert.NotEqual(t, one.Particles[0].Numbers, other.Particles[0].Numbers)
}

// What cannot be is left out while half can, and work ends when it is asked to.
func TestLostAndStopped(t *testing.T) {
	m := &Model{Numbers: 1, Places: Places{1, 1}}
	above := func(c float64) []Evaluate {
		return []Evaluate{func(x, _ []float64) bool { return x[0] > c }}
	}
	c, err := Learn(m, 200, 1, above(-0.4), never)
	require.NoError(t, err)
	for _, p := range c.Particles {
		assert.Greater(t, p.Numbers[0], -0.4)
	}
	_, err = Learn(m, 200, 1, above(0.4), never)
	require.ErrorIs(t, err, ErrLost)
	_, err = Learn(m, 200, 1, above(-9), func() error { return assert.AnError })
	require.ErrorIs(t, err, assert.AnError)
}

// Conjugate: three members of one number each, told nearly nothing or a nearly exact level, have a
// common number that is normal with mean and variance by hand.
func TestLearnKindAgainstANormal(t *testing.T) {
	narrow := func(at float64) *Model { // a likelihood that is normal about at, by many words either side
		s := Spread{Common: 1e-9, Near: 1e-9, Own: 0.5, Try: 0.5 - 2e-9, Rate: 0.5}
		return &Model{Numbers: 1, Places: Places{1, 1}, Extra: 1, Faults: []Fault{{Spread: s, Told: []Told{{0, 0, normalTable(s, at, 0.3)}}}}}
	}
	at := []float64{0.5, 1.5, 1.0}
	var members []Member
	for _, x := range at {
		m := narrow(x)
		eval := []Evaluate{line(m), line(m)}
		c, err := Learn(m, 200, 2, eval, never)
		require.NoError(t, err)
		members = append(members, Member{m, c.Particles, eval})
	}
	draws, err := LearnKind(members, 1, 100, 60, 1, never)
	require.NoError(t, err)
	require.Len(t, draws, 3000)
	var x []float64
	for _, d := range draws {
		x = append(x, d[0])
	}
	// By hand: at_i = √a·x + N(0, 1-a+0.09), x ~ N(0, 1).
	v := 1 - alike + 0.09
	precision := 1 + 3*alike/v
	assert.InDelta(t, math.Sqrt(alike)/v*3/precision, stat.Mean(x, nil), 0.05)
	assert.InDelta(t, 1/precision, stat.Variance(x, nil), 0.04)
	again, err := LearnKind([]Member{{members[0].Model, members[0].Start, members[0].Eval[:1]}}, 1, 4, 4, 1, never)
	require.NoError(t, err)
	both, err := LearnKind(members[:1], 1, 4, 4, 1, never)
	require.NoError(t, err)
	assert.Equal(t, again, both)
	_, err = LearnKind(nil, 1, 4, 4, 1, never)
	assert.ErrorIs(t, err, ErrNoMembers)
	_, err = LearnKind(members, 1, 4, 4, 1, func() error { return assert.AnError })
	require.ErrorIs(t, err, assert.AnError)
	own := []float64{1, 2}
	Join([]float64{3}, own)
	assert.Equal(t, []float64{float64(math.Sqrt(0.5)*3) + math.Sqrt(0.5), 2}, own)
}

// normalTable is a table whose logarithm is that of a normal, whatever the teller's mistakes.
func normalTable(s Spread, at, wide float64) *Table {
	t := NewTable(s, []Report{{Of: 1}})
	for e := range t.logs {
		for row := range t.logs[e] {
			level := (t.g.q0 + float64((row-t.g.rows)*t.g.stride)*step) * math.Sqrt(s.Try)
			t.logs[e][row] = -(level - at) * (level - at) / (2 * wide * wide)
		}
	}
	return t
}

// Of one level and its chance the offset is that of OffsetOf; of two it is the place of least cost on a fine
// grid of offsets, by logarithms worked anew.
func TestOffsetBetween(t *testing.T) {
	s := Spread{Common: 0.65, Near: 0.05, Own: 0.10, Try: 0.20, Rate: 0.1}
	for _, p := range []float64{0.03, 0.5, 0.97} {
		for _, f := range []float64{0.001, 0.4, 0.99} {
			assert.InDelta(t, s.OffsetOf(p, f), s.OffsetBetween([]float64{s.Level(p)}, []float64{f}), 1e-9)
			assert.InDelta(t, f, s.At(s.Level(p), s.OffsetOf(p, f)), 1e-9)
		}
	}
	levels, faults := []float64{s.Level(0.9), s.Level(0.6)}, []float64{0.98, 0.05}
	best, at := math.Inf(1), 0.0
	for o := -3.0; o < 3; o += 1e-4 {
		cost := 0.0
		for i, f := range faults {
			p := s.At(levels[i], o)
			cost -= f*math.Log(p) + (1-f)*math.Log(1-p)
		}
		if cost < best {
			best, at = cost, o
		}
	}
	assert.InDelta(t, at, s.OffsetBetween(levels, faults), 2e-4)
}
