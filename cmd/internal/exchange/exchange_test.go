package exchange

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"

	"chainpath/cases"
	"chainpath/sim"
)

func drawing(t *testing.T, name string) (Drawing, *sim.Bike, *sim.Result) {
	c, err := cases.Load(name, nil)
	require.NoError(t, err)
	b, err := c.Bike()
	require.NoError(t, err)
	r, err := b.Evaluate()
	require.NoError(t, err)
	var all []int
	for i := range r.Gears {
		all = append(all, i)
	}
	return Draw(c.Title, b, r, all), b, r
}

// outside runs an independent reader; without it the test is skipped, but in CI it
// fails.
func outside(t *testing.T, name string, args ...string) string {
	if _, err := exec.LookPath(name); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("no %s", name)
		}
		t.Skipf("no %s on this machine", name)
	}
	out, err := exec.Command(name, args...).CombinedOutput()
	if err != nil && os.Getenv("CI") == "" && strings.Contains(string(out), "ModuleNotFoundError") {
		t.Skip("the reader's library is not on this machine")
	}
	require.NoError(t, err, string(out))
	return string(out)
}

// Radii by the formula of ISO 606, written here again; the path's length is the
// chain's.
func check(t *testing.T, b *sim.Bike, r *sim.Result, radii map[string][]float64, lengths map[string]float64) {
	var want []float64
	for _, w := range append(append([]sim.Wheel{}, b.Rings...), b.Cogs...) {
		want = append(want, 12.7/(2*math.Sin(math.Pi/float64(w.Teeth))))
	}
	require.Len(t, radii["PITCH_CIRCLES"], len(want))
	for i := range want {
		assert.InDelta(t, want[i], radii["PITCH_CIRCLES"][i], 1e-5)
	}
	n := 0
	for name, l := range lengths {
		if strings.HasPrefix(name, "CHAIN_") && !strings.Contains(name, "ENVELOPE") {
			n++
			// The pitch polygon is longer than the arcs by little.
			assert.InDelta(t, float64(r.Links)*12.7, l, 0.015*float64(r.Links)*12.7, name)
		}
	}
	assert.Equal(t, len(r.Gears), n)
}

// DXF is read again by ezdxf: no audit errors, layers, dimensions.
func TestDXFByAnotherReader(t *testing.T) {
	for _, name := range []string{"trail", "road", "single"} {
		d, b, r := drawing(t, name)
		data, err := d.Write("dxf")
		require.NoError(t, err)
		file := filepath.Join(t.TempDir(), "a.dxf")
		require.NoError(t, os.WriteFile(file, data, 0o644))
		python := "/usr/bin/python3" // Debian's, which has its packages
		out := outside(t, python, "-c", `
import ezdxf, json, sys
d = ezdxf.readfile(sys.argv[1])
m = d.modelspace()
radii, lengths, lines = {}, {}, {}
for c in m.query('CIRCLE'):
    at = c.ocs().to_wcs(c.dxf.center)
    radii.setdefault(c.dxf.layer, []).append(c.dxf.radius)
    lines.setdefault(c.dxf.layer, []).append([at.x, at.y, at.z])
for p in m.query('POLYLINE'):
    v = [x.dxf.location for x in p.vertices]
    assert p.is_3d_polyline and p.is_closed
    lengths[p.dxf.layer] = sum((v[i] - v[i-1]).magnitude for i in range(len(v)))
for l in m.query('LINE'):
    lines[l.dxf.layer] = [list(l.dxf.start), list(l.dxf.end)]
print(json.dumps({'errors': len(d.audit().errors), 'layers': [l.dxf.name for l in d.layers], 'radii': radii, 'lengths': lengths, 'lines': lines}))
`, file)
		var got struct {
			Errors  int
			Layers  []string
			Radii   map[string][]float64
			Lengths map[string]float64
			Lines   map[string][][]float64
		}
		require.NoError(t, json.Unmarshal([]byte(out), &got), out)
		assert.Zero(t, got.Errors)
		check(t, b, r, got.Radii, got.Lengths)
		assert.Subset(t, got.Layers, d.names())
		assert.InDelta(t, r.Front, got.Lines["FRONT_LINE"][0][1], 1e-6)
		assert.InDelta(t, r.Rear, got.Lines["REAR_LINE"][1][1], 1e-6)
		// Circles stand where their wheels do: an axle in a slot where the chain holds it.
		held := r.Gears[0].Loop.Wheels[sim.AtCog].Centre
		x, z := held.X, held.Y
		if name != "single" {
			fx, fz := b.Frame.Axle()
			assert.InDelta(t, fx, x, 1e-9)
			assert.InDelta(t, fz, z, 1e-9)
		}
		last := got.Lines["PITCH_CIRCLES"][len(b.Rings)+len(b.Cogs)-1]
		assert.InDeltaSlice(t, []float64{x, b.Cogs[len(b.Cogs)-1].Line, z}, last, 1e-5)
	}
}

// glTF is read again by assimp, which validates it; the box around everything is the
// tyre's and the rings'.
func TestGLTFByAnotherReader(t *testing.T) {
	d, b, _ := drawing(t, "trail")
	data, err := d.Write("gltf")
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "a.gltf")
	require.NoError(t, os.WriteFile(file, data, 0o644))
	out := outside(t, "assimp", "info", file)
	lo, hi := r3.Vec{}, r3.Vec{}
	found := 0
	for _, l := range strings.Split(out, "\n") {
		v := strings.Fields(strings.NewReplacer("(", " ", ")", " ").Replace(l))
		if len(v) == 5 && v[1] == "point" {
			var p [3]float64
			for i := range p {
				p[i], err = strconv.ParseFloat(v[2+i], 64)
				require.NoError(t, err, l)
			}
			// Back from metres, y up, z forward.
			at := r3.Vec{X: 1000 * p[2], Y: -1000 * p[0], Z: 1000 * p[1]}
			if v[0] == "Minimum" {
				lo, found = at, found+1
			} else if v[0] == "Maximum" {
				hi, found = at, found+1
			}
		}
	}
	require.Equal(t, 2, found, out)
	x, z := b.Frame.Axle()
	outer := b.Tyre.OutsideDiameter() / 2
	assert.InDelta(t, x-outer, lo.X, 0.1)
	assert.InDelta(t, z+outer, hi.Z, 0.1)
	assert.Contains(t, out, "tyre")
	assert.Contains(t, out, "chain_envelope_32_51")
	assert.Contains(t, out, "derailleur_cage_32_51")
}

// Solids are closed: every edge is shared by two triangles that run along it in
// opposite ways. The disc's and the torus's volumes are those of the formulas.
func TestSolidsAreClosed(t *testing.T) {
	d, _, _ := drawing(t, "trail")
	for _, l := range d.Layers {
		solids := l.Solids
		for _, p := range l.Placed {
			solids = append(solids, p.Solid)
		}
		for _, s := range solids {
			if l.Name == "chainstay_outer_face" {
				continue // an open tube
			}
			edges := map[[2]int]int{}
			for _, f := range s.Triangles {
				for i := range 3 {
					edges[[2]int{f[i], f[(i+1)%3]}]++
				}
			}
			for e, n := range edges {
				require.Equal(t, 1, n, l.Name)
				require.Equal(t, 1, edges[[2]int{e[1], e[0]}], l.Name)
			}
			assert.Positive(t, volume(s), l.Name)
		}
	}
	assert.InEpsilon(t, math.Pi*50*50*2, volume(cylinder(r3.Vec{X: 3, Y: 40}, 50, 2, 96)), 0.002)
	assert.InEpsilon(t, 2*math.Pi*math.Pi*300*25*25, volume(torus(r3.Vec{}, 300, 25)), 0.01)
}

func volume(s Solid) (v float64) {
	for _, f := range s.Triangles {
		v += r3.Dot(s.Points[f[0]], r3.Cross(s.Points[f[1]], s.Points[f[2]])) / 6
	}
	return v
}

func TestSVGInTrueScale(t *testing.T) {
	d, b, r := drawing(t, "trail")
	data, err := d.Write("svg")
	require.NoError(t, err)
	var svg struct {
		Width   string `xml:"width,attr"`
		ViewBox string `xml:"viewBox,attr"`
		Views   []struct {
			ID     string `xml:"id,attr"`
			Layers []struct {
				ID      string `xml:"id,attr"`
				Circles []struct {
					R float64 `xml:"r,attr"`
				} `xml:"circle"`
				Loops []struct {
					Points string `xml:"points,attr"`
				} `xml:"polygon"`
			} `xml:"g"`
		} `xml:"g"`
	}
	require.NoError(t, xml.NewDecoder(bytes.NewReader(data)).Decode(&svg))
	assert.Equal(t, strings.TrimSuffix(svg.Width, "mm"), strings.Fields(svg.ViewBox)[2], "a unit is a mm")
	require.Len(t, svg.Views, 2)
	radii, lengths := map[string][]float64{}, map[string]float64{}
	for _, l := range svg.Views[0].Layers {
		name := strings.ToUpper(strings.TrimPrefix(l.ID, "side-"))
		for _, c := range l.Circles {
			radii[name] = append(radii[name], c.R)
		}
		for _, p := range l.Loops {
			var pts [][2]float64
			for _, f := range strings.Fields(p.Points) {
				x, y, _ := strings.Cut(f, ",")
				a, _ := strconv.ParseFloat(x, 64)
				c, _ := strconv.ParseFloat(y, 64)
				pts = append(pts, [2]float64{a, c})
			}
			sum := 0.0
			for i := range pts {
				q := pts[(i+1)%len(pts)]
				sum += math.Hypot(pts[i][0]-q[0], pts[i][1]-q[1])
			}
			lengths[name] = sum
		}
	}
	check(t, b, r, radii, lengths)
}

func TestCSVAndFormats(t *testing.T) {
	d, b, r := drawing(t, "single")
	data, err := d.Write("csv")
	require.NoError(t, err)
	rows := csv.NewReader(bytes.NewReader(data))
	head, err := rows.Read()
	require.NoError(t, err)
	assert.Equal(t, []string{"layer", "kind", "part", "point", "x_mm", "y_mm", "z_mm", "radius_mm"}, head)
	radii, lengths := map[string][]float64{}, map[string]float64{}
	loops := map[string][]r3.Vec{}
	f := func(s string) float64 { v, _ := strconv.ParseFloat(s, 64); return v }
	for {
		row, err := rows.Read()
		if err == io.EOF {
			break
		}
		require.NoError(t, err)
		name := strings.ToUpper(row[0])
		if row[1] == "circle" {
			radii[name] = append(radii[name], f(row[7]))
		}
		if row[1] == "loop" && row[2] == "0" {
			loops[name] = append(loops[name], r3.Vec{X: f(row[4]), Y: f(row[5]), Z: f(row[6])})
		}
	}
	for name, p := range loops {
		for i := range p {
			lengths[name] += r3.Norm(r3.Sub(p[i], p[(i+1)%len(p)]))
		}
	}
	check(t, b, r, radii, lengths)
	_, err = d.Write("step")
	assert.Error(t, err)
	for _, format := range Formats {
		a, _ := d.Write(format)
		again, _, _ := drawing(t, "single")
		z, _ := again.Write(format)
		assert.True(t, bytes.Equal(a, z), "%s differs on repeat", format)
	}
}
