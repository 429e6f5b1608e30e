package exchange

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

type object = map[string]any

// gltf is a file in the making.
type gltf struct {
	data                          bytes.Buffer
	views, accessors, mesh, nodes []object
}

// gltf writes the solids, a node a layer, as glTF 2.0 with its data inside; what stands in many places
// is one mesh with a node for each, below its layer's.
func (d Drawing) gltf() ([]byte, error) {
	var f gltf
	var roots []int
	for _, l := range d.Layers {
		node := object{"name": l.Name}
		var below []int
		for _, p := range l.Placed {
			mesh := f.meshOf(p.Name, []Solid{p.Solid})
			for _, at := range p.At {
				below = append(below, f.node(object{"name": p.Name, "mesh": mesh, "matrix": at.matrix()}))
			}
		}
		switch {
		case len(l.Solids) > 0:
			node["mesh"] = f.meshOf(l.Name, l.Solids)
		case below == nil:
			continue
		}
		if below != nil {
			node["children"] = below
		}
		roots = append(roots, f.node(node))
	}
	return json.MarshalIndent(object{
		"asset":       object{"version": "2.0", "generator": "chainpath"},
		"scene":       0,
		"scenes":      []object{{"name": d.Title, "nodes": roots}},
		"nodes":       f.nodes,
		"meshes":      f.mesh,
		"accessors":   f.accessors,
		"bufferViews": f.views,
		"buffers":     []object{{"byteLength": f.data.Len(), "uri": "data:application/octet-stream;base64," + base64.StdEncoding.EncodeToString(f.data.Bytes())}},
	}, "", " ")
}

func (f *gltf) node(n object) int {
	f.nodes = append(f.nodes, n)
	return len(f.nodes) - 1
}

// turned is a direction as the standard wants it: y up, z forward; x is then to the left, away from
// the drive side. Ours is left-handed, so that what is seen anticlockwise changes over.
func turned(v r3.Vec) [3]float64 { return [3]float64{-v.Y, v.Z, v.X} }

// matrix is a frame, column by column, in metres.
func (f Frame) matrix() []float64 {
	var m []float64
	for _, axis := range [3]r3.Vec{r3.Scale(-1, f.Y), f.Z, f.X} { // whose turned ones are x, y and z
		v := turned(axis)
		m = append(m, v[0], v[1], v[2], 0)
	}
	at := turned(f.At)
	m = append(m, at[0]/1000, at[1]/1000, at[2]/1000, 1)
	for i, x := range m {
		m[i] = math.Round(x*1e9)/1e9 + 0 // no negative zero
	}
	return m
}

// meshOf puts solids down as a mesh, in metres.
func (f *gltf) meshOf(name string, solids []Solid) int {
	var parts []object
	for _, s := range solids {
		lo, hi := []float64{math.Inf(1), math.Inf(1), math.Inf(1)}, []float64{math.Inf(-1), math.Inf(-1), math.Inf(-1)}
		at := f.data.Len()
		for _, p := range s.Points {
			for i, v := range turned(p) {
				x := float32(v / 1000)
				_ = binary.Write(&f.data, binary.LittleEndian, x)
				lo[i], hi[i] = math.Min(lo[i], float64(x)), math.Max(hi[i], float64(x))
			}
		}
		points := f.access(at, 34962, object{"componentType": 5126, "count": len(s.Points), "type": "VEC3", "min": lo, "max": hi})
		at = f.data.Len()
		for _, t := range s.Triangles {
			for _, k := range [3]int{t[0], t[2], t[1]} {
				_ = binary.Write(&f.data, binary.LittleEndian, uint32(k))
			}
		}
		triangles := f.access(at, 34963, object{"componentType": 5125, "count": 3 * len(s.Triangles), "type": "SCALAR"})
		parts = append(parts, object{"attributes": object{"POSITION": points}, "indices": triangles, "mode": 4})
	}
	f.mesh = append(f.mesh, object{"name": name, "primitives": parts})
	return len(f.mesh) - 1
}

// access lets what was written since at be read.
func (f *gltf) access(at, target int, a object) int {
	f.views = append(f.views, object{"buffer": 0, "byteOffset": at, "byteLength": f.data.Len() - at, "target": target})
	a["bufferView"] = len(f.views) - 1
	f.accessors = append(f.accessors, a)
	return len(f.accessors) - 1
}
