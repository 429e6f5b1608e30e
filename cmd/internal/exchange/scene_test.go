package exchange

import (
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"chainpath/cases"
	"chainpath/sim"
)

// Teeth reach their tip circle, leave the rollers room and touch them in the bottom of the gap, where
// ISO 606 has its seating radius 0.505 d1 (from memory).
func TestTeethLeaveTheRollersRoom(t *testing.T) {
	for z := 9; z <= 60; z++ {
		s := sim.Sprocket{Teeth: z, TipHeight: 2.6}
		half := profile(s, sim.Pitch)
		r, step := s.PitchRadius(sim.Pitch), math.Pi/float64(z)
		roller := [2]float64{r * math.Cos(-step), r * math.Sin(-step)}
		for i, p := range half {
			gap := math.Hypot(p[0]-roller[0], p[1]-roller[1]) - Roller(sim.Pitch)/2
			assert.GreaterOrEqual(t, gap, 0.0, "%d teeth, %d", z, i)
			if i < 3 {
				assert.InDelta(t, 0.005*Roller(sim.Pitch), gap, 1e-9, "%d teeth, on the seat", z)
			}
			if i > 0 {
				assert.Greater(t, math.Atan2(p[1], p[0]), math.Atan2(half[i-1][1], half[i-1][0]), "%d teeth: the outline goes round", z)
			}
		}
		assert.InDelta(t, s.TipRadius(sim.Pitch), math.Hypot(half[4][0], half[4][1]), 1e-9)
		assert.Negative(t, half[4][1], "the flanks do not cross")
	}
}

// The pins of every gear of every shipped bike lie on the pitch circles where the chain is seated, a
// pitch apart, in the gaps of the wheels; wide teeth stand in outer links.
func TestPinsLieInTheGaps(t *testing.T) {
	for _, name := range cases.Shipped() {
		_, b, r := drawing(t, name)
		for i := range r.Gears {
			g := &r.Gears[i]
			sc, at := SceneOf(b, g, r.Links), fmt.Sprintf("%s %d/%d", name, g.RingTeeth, g.CogTeeth)
			require.Len(t, sc.Run.Points, r.Links*Steps)
			spare := float64(r.Links) - length(&g.Loop, g.Loop.Path())
			if g.Fit.Closes && b.Tensioner != nil {
				assert.InDelta(t, 0, spare, 1e-6, at)
			}
			seated := map[sim.Part]int{}
			for k := range r.Links {
				p, next := sc.Run.Points[k*Steps], sc.Run.Points[(k+1)*Steps%len(sc.Run.Points)]
				// Where a link bridges the end of a seat the arc's part is measured by the polygon.
				if g.Fit.Mounts() {
					assert.InDelta(t, b.Chain.Pitch, r3.Norm(r3.Sub(next, p)), 0.12, "%s: link %d", at, k)
				}
				for part, w := range g.Loop.Wheels {
					if w.Radius == 0 || !lies(&g.Loop, sim.Part(part), p) {
						continue
					}
					seated[sim.Part(part)]++
					teeth := math.Pi / math.Asin(b.Chain.Pitch/2/w.Radius)
					turned := (math.Atan2(p.Z-w.Centre.Y, p.X-w.Centre.X) - sc.Run.Turned[part]) * teeth / (2 * math.Pi)
					assert.InDelta(t, 0.5, turned-math.Floor(turned), 1e-6, "%s: pin %d in a gap of the %s", at, k, sim.Part(part))
					if math.Mod(math.Round(teeth), 2) == 0 { // the tooth that follows the pin in the way of travel stands in link k
						tooth := int(math.Round(turned + float64(w.Sense)/2))
						assert.Equal(t, k%2, (tooth%2+2)%2, "%s: link %d on the %s", at, k, sim.Part(part))
					}
				}
			}
			assert.Greater(t, seated[sim.AtRing], 3, at)
			for _, part := range g.Loop.Path() { // where a seat begins and ends, between the sixteenths about it
				for end, place := range [2]r2.Vec{g.Loop.Spans[g.Loop.Into(part)].To, g.Loop.Spans[outOf(&g.Loop, part)].From} {
					k := math.Mod(sc.Run.Seats[part][end]+2*float64(r.Links), float64(r.Links)) * Steps
					p, q := sc.Run.Points[int(k)%len(sc.Run.Points)], sc.Run.Points[(int(k)+1)%len(sc.Run.Points)]
					assert.InDelta(t, 0, math.Hypot(p.X-place.X, p.Z-place.Y)+math.Hypot(q.X-place.X, q.Z-place.Y)-r3.Norm(r3.Sub(q, p)), 0.1, "%s: %s", at, part)
				}
			}
			for _, w := range sc.Wheels {
				if w.Part == sim.AtRing && w.Drives {
					_, part := math.Modf(w.Turned * float64(w.Sprocket.Teeth) / (2 * math.Pi))
					assert.InDelta(t, 0, math.Min(math.Abs(part), 1-math.Abs(part)), 1e-6, "%s: the ring stands the same in every gear", at)
				}
			}
		}
	}
}

// outOf is the span that leaves a wheel when riding.
func outOf(l *sim.Loop, part sim.Part) int {
	path := l.Path()
	return l.Into(path[(slices.Index(path, part)+1)%len(path)])
}

// lies reports whether a pin lies within a wheel's seat.
func lies(l *sim.Loop, part sim.Part, p r3.Vec) bool {
	w, in := l.Wheels[part], l.Spans[l.Into(part)].To
	if math.Abs(math.Hypot(p.X-w.Centre.X, p.Z-w.Centre.Y)-w.Radius) > 1e-6 || math.Abs(p.Y-l.Line[part]) > 1e-9 {
		return false
	}
	a := float64(w.Sense) * (math.Atan2(p.Z-w.Centre.Y, p.X-w.Centre.X) - math.Atan2(in.Y-w.Centre.Y, in.X-w.Centre.X))
	a = math.Mod(a+4*math.Pi, 2*math.Pi)
	return a > 1e-6 && a < l.Wraps[part]-1e-6
}

// A chain that is longer than its path hangs in the run that leaves the ring, by the parabola of its
// length, with its links a pitch apart.
func TestSpareChainHangs(t *testing.T) {
	_, b, r := drawing(t, "single")
	g := r.Gears[0]
	teeth := func(p sim.Part) int { return map[sim.Part]int{sim.AtRing: g.RingTeeth, sim.AtCog: g.CogTeeth}[p] }
	links := int(math.Ceil(length(&g.Loop, g.Loop.Path()))) + 1
	run, spare, sum := RunOf(&g, teeth, links), float64(links)-length(&g.Loop, g.Loop.Path()), 0.0
	for i, p := range run.Points {
		sum += r3.Norm(r3.Sub(run.Points[(i+1)%len(run.Points)], p))
	}
	// The wheels' arcs are longer than the polygons by which a chain is counted.
	arcs := 0.0
	for _, p := range g.Loop.Path() {
		arcs += g.Loop.Wraps[p]*g.Loop.Wheels[p].Radius - g.Loop.Seat(p)*b.Chain.Pitch
	}
	assert.Positive(t, spare)
	assert.InDelta(t, float64(links)*b.Chain.Pitch+arcs, sum, 0.1)
	short := 0
	for k := range links {
		if math.Abs(b.Chain.Pitch-r3.Norm(r3.Sub(run.Points[(k+1)*Steps%len(run.Points)], run.Points[k*Steps]))) > 0.12 {
			short++
		}
	}
	assert.LessOrEqual(t, short, 2, "but for the kinks where it leaves the wheels")
	p := hanging(r3.Vec{}, r3.Vec{X: 400}, 404)
	k := 4 * p.sag / 400 // the parabola's length in closed form
	assert.InDelta(t, 404, 200*(math.Sqrt(1+k*k)+math.Asinh(k)/k), 0.01)
	assert.InDelta(t, -p.sag, p.along(0.5).Z, 1e-6)
}

// glTF's solids show their outsides in its right-handed axes: every one has a volume above 0; and
// what stands in many places stands where its frames say.
func TestGLTFIsNotInsideOut(t *testing.T) {
	for _, name := range []string{"trail", "idler", "single"} {
		d, b, r := drawing(t, name)
		data, err := d.Write("gltf")
		require.NoError(t, err)
		f := readGLTF(t, data)
		for _, m := range f.Meshes {
			if m.Name == "chainstay_outer_face" {
				continue // an open tube
			}
			for i := range m.Primitives {
				p, tri := f.points(t, m.Primitives[i].Attributes["POSITION"]), f.indices(t, m.Primitives[i].Indices)
				v := 0.0
				for k := 0; k < len(tri); k += 3 {
					v += r3.Dot(p[tri[k]], r3.Cross(p[tri[k+1]], p[tri[k+2]])) / 6
				}
				assert.Positive(t, v, "%s: %s", name, m.Name)
			}
		}
		g := &r.Gears[len(r.Gears)-1]
		sc := SceneOf(b, g, r.Links)
		want := sc.links()
		for _, n := range f.Nodes {
			if n.Name != fmt.Sprintf("chain_%d_%d", g.RingTeeth, g.CogTeeth) {
				continue
			}
			require.Len(t, n.Children, r.Links)
			for i, c := range n.Children {
				at, kind := i, 0
				if first := len(want[0].At); i >= first {
					at, kind = i-first, 1
				}
				node := f.Nodes[c]
				points := f.points(t, f.Meshes[*node.Mesh].Primitives[0].Attributes["POSITION"])
				for k, p := range points {
					w := want[kind].At[at].Of(want[kind].Solid.Points[k])
					m := node.Matrix
					got := r3.Vec{X: m[0]*p.X + m[4]*p.Y + m[8]*p.Z + m[12], Y: m[1]*p.X + m[5]*p.Y + m[9]*p.Z + m[13], Z: m[2]*p.X + m[6]*p.Y + m[10]*p.Z + m[14]}
					require.InDelta(t, 0, r3.Norm(r3.Sub(r3.Vec{X: 1000 * got.Z, Y: -1000 * got.X, Z: 1000 * got.Y}, w)), 1e-3, "%s link %d", name, i)
				}
			}
		}
	}
}

// file is what the tests read of a glTF file.
type file struct {
	Nodes []struct {
		Name     string
		Mesh     *int
		Children []int
		Matrix   []float64
	}
	Meshes []struct {
		Name       string
		Primitives []struct {
			Attributes map[string]int
			Indices    int
		}
	}
	Accessors   []struct{ BufferView, Count int }
	BufferViews []struct{ ByteOffset int }
	Buffers     []struct{ URI string }
	data        []byte
}

func readGLTF(t *testing.T, text []byte) *file {
	var f file
	require.NoError(t, json.Unmarshal(text, &f))
	_, coded, _ := strings.Cut(f.Buffers[0].URI, ",")
	var err error
	f.data, err = base64.StdEncoding.DecodeString(coded)
	require.NoError(t, err)
	return &f
}

func (f *file) points(t *testing.T, accessor int) (out []r3.Vec) {
	a := f.Accessors[accessor]
	v := make([]float32, 3*a.Count)
	_, err := binary.Decode(f.data[f.BufferViews[a.BufferView].ByteOffset:], binary.LittleEndian, v)
	require.NoError(t, err)
	for i := 0; i < len(v); i += 3 {
		out = append(out, r3.Vec{X: float64(v[i]), Y: float64(v[i+1]), Z: float64(v[i+2])})
	}
	return out
}

func (f *file) indices(t *testing.T, accessor int) []uint32 {
	a := f.Accessors[accessor]
	v := make([]uint32, a.Count)
	_, err := binary.Decode(f.data[f.BufferViews[a.BufferView].ByteOffset:], binary.LittleEndian, v)
	require.NoError(t, err)
	return v
}
