package ifctest

import (
	"bufio"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"voidcheck/ifcx/geom"
)

// ifc5Node is one entry of the data of an IFC5 file.
type ifc5Node struct {
	path               string
	children, inherits []ifc5Link
	attrs              ifc5Object
}

// ifc5Link names a child or what is inherited; to "" prints as null.
type ifc5Link struct{ name, to string }

// ifc5Object prints as a JSON object in its order.
type ifc5Object []ifc5Member

type ifc5Member struct {
	name string
	val  any
}

func (n *ifc5Node) set(name string, v any) { n.attrs = append(n.attrs, ifc5Member{name, v}) }

// layerHead is the header of a layer.
type layerHead struct {
	ID, Author string
	Imports    []string
}

// writeLayer writes one IFC5 file.
func writeLayer(out io.Writer, h layerHead, nodes []ifc5Node) error {
	w := bufio.NewWriterSize(out, 1<<16)
	put := func(t string) { w.WriteString(t) } // the writer keeps its error for Flush
	put(`{"header":` + jsonText(ifc5Object{{"id", h.ID}, {"ifcxVersion", "ifcx_alpha"}, {"dataVersion", "1.0.0"}, {"author", h.Author}, {"timestamp", timeStamp}}))
	put(`,` + "\n" + `"imports":[`)
	for i, uri := range h.Imports {
		if i > 0 {
			put(",")
		}
		put(jsonText(ifc5Object{{"uri", uri}}))
	}
	put("],\n\"schemas\":{},\n\"data\":[")
	for i, n := range nodes {
		if i > 0 {
			put(",")
		}
		put("\n")
		o := ifc5Object{{"path", n.path}}
		if len(n.children) > 0 {
			o = append(o, ifc5Member{"children", n.children})
		}
		if len(n.inherits) > 0 {
			o = append(o, ifc5Member{"inherits", n.inherits})
		}
		if len(n.attrs) > 0 {
			o = append(o, ifc5Member{"attributes", n.attrs})
		}
		put(jsonText(o))
	}
	put("\n]}\n")
	return w.Flush()
}

// jsonText prints what nodes are made of.
func jsonText(v any) string {
	switch v := v.(type) {
	case ifc5Object:
		parts := make([]string, len(v))
		for i, m := range v {
			parts[i] = jsonText(m.name) + ":" + jsonText(m.val)
		}
		return "{" + strings.Join(parts, ",") + "}"
	case []ifc5Link:
		parts := make([]string, len(v))
		for i, l := range v {
			to := "null"
			if l.to != "" {
				to = jsonText(l.to)
			}
			parts[i] = jsonText(l.name) + ":" + to
		}
		return "{" + strings.Join(parts, ",") + "}"
	case float64:
		return xmlText(v)
	case []float64:
		return "[" + strings.ReplaceAll(xmlText(v), " ", ",") + "]"
	case [][]float64:
		parts := make([]string, len(v))
		for i, r := range v {
			parts[i] = jsonText(r)
		}
		return "[" + strings.Join(parts, ",") + "]"
	}
	b, err := json.Marshal(v) // texts, booleans and whole numbers
	if err != nil {
		panic(fmt.Sprintf("ifctest: cannot write a %T as JSON", v))
	}
	return string(b)
}

// rows is a rigid transform as a matrix for row vectors.
func rows(m geom.Mat) [][]float64 {
	row := func(v geom.Vec3, w float64) []float64 {
		return []float64{round(v.X, 1e-13), round(v.Y, 1e-13), round(v.Z, 1e-13), w}
	}
	return [][]float64{row(m.X, 0), row(m.Y, 0), row(m.Z, 0), {length(m.O.X), length(m.O.Y), length(m.O.Z), 1}}
}

// length rounds metres to the step that STEP files have.
func length(m float64) float64 { return round(m, 1e-10) }

// body writes solids, less what is cut out of them, as one mesh each below a node.
func (x *ifc5Writer) body(path string, solids []Prism, cuts ...Prism) {
	for i, s := range solids {
		m := s.mesh()
		for _, c := range cuts {
			if less, err := geom.CombineSolids(m, c.mesh(), geom.Difference); err == nil {
				m = less
			}
		}
		key, name := path+"/body", "Body"
		if i > 0 {
			key, name = fmt.Sprint(key, i), fmt.Sprint(name, " ", i+1)
		}
		n := ifc5Node{path: uuidOf(GUID(key))}
		pts := make([][]float64, len(m.Verts))
		for i, v := range m.Verts {
			pts[i] = []float64{length(v.X), length(v.Y), length(v.Z)}
		}
		indices := make([]int32, 0, 3*len(m.Tris))
		for _, t := range m.Tris {
			indices = append(indices, t[:]...)
		}
		n.set("usd::usdgeom::mesh", ifc5Object{{"faceVertexIndices", indices}, {"points", pts}})
		x.base = append(x.base, n)
		x.under(path, n.path, name)
	}
}

// mesh returns the prism as closed triangles, outward-facing. Round sections have as many
// corners as the readers give them.
func (p Prism) mesh() *geom.Mesh {
	corners := 24
	if p.Profile.Kind == Circle || p.Profile.Kind == Tube {
		corners = geom.CircleSegments(p.Profile.R)
	}
	outer, holes := p.Profile.rings(corners)
	region := geom.Region{turned(outer, true)}
	for _, h := range holes {
		region = append(region, turned(h, false))
	}
	m := &geom.Mesh{}
	var base []int32
	for _, r := range region {
		base = append(base, int32(len(m.Verts)))
		for _, z := range []float64{0, p.Depth} {
			for _, c := range r {
				m.Verts = append(m.Verts, p.Frame.Point(geom.Vec3{X: c.X, Y: c.Y, Z: z}))
			}
		}
	}
	var at []int32 // of each corner of the region, the vertex at the bottom
	var up []int32 // and at the top
	for k, r := range region {
		n := int32(len(r))
		for i := range n {
			j := (i + 1) % n
			a, b, c, d := base[k]+i, base[k]+j, base[k]+n+j, base[k]+n+i
			m.Tris = append(m.Tris, [3]int32{a, b, c}, [3]int32{a, c, d})
			at, up = append(at, a), append(up, d)
		}
	}
	for _, t := range geom.Triangulate(region) {
		m.Tris = append(m.Tris, [3]int32{up[t[0]], up[t[1]], up[t[2]]}, [3]int32{at[t[0]], at[t[2]], at[t[1]]})
	}
	return m
}

func turned(r []geom.Vec2, ccw bool) geom.Ring {
	if (ringArea(r) > 0) == ccw {
		return r
	}
	return reversed(r)
}

// uuidOf writes the 128 bits of a GlobalId as a UUID.
func uuidOf(guid string) string {
	var bits [128]byte
	n := 0
	for i, c := range guid {
		v := strings.IndexRune(guidAlphabet, c)
		w := 6
		if i == 0 {
			w = 2
		}
		for k := w - 1; k >= 0; k-- {
			bits[n] = byte(v >> k & 1)
			n++
		}
	}
	var b [16]byte
	for i, x := range bits {
		b[i/8] |= x << (7 - i%8)
	}
	h := hex.EncodeToString(b[:])
	return h[:8] + "-" + h[8:12] + "-" + h[12:16] + "-" + h[16:20] + "-" + h[20:]
}
