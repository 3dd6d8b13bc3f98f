package kept

import (
	"encoding/binary"
	"errors"
	"math"

	"github.com/go-json-experiment/json"

	"voidcheck/checks/adoption"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/cmd/internal/review"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/model"
	"voidcheck/ifcx/source"
)

// building is a recognised building without pointers between its things.
type building struct {
	Facts    adoption.Facts
	Problems []source.Problem
	Origin   geom.Vec3
	Project  string
	Storeys  []storey
	Spaces   []element
	Elements []element
	Props    []string // property sets as JSON, equal ones once
	Openings []opening
	Concepts []recognise.Concept // by element
	Reasons  []recognise.Reason
	Units    []unit
	Seps     []recognise.UnitSeparation
	Trusses  []truss
	Input    void.Input // its parts without meshes
	Meshes   meshes     // of the parts
	Turn     geom.Vec2
	Content  recognise.Content
	Notes    []string
	Solved   []solved
}

type storey struct {
	GlobalID, Name string
	ElevationM     float64
}

// element is a model element; what it points to goes by index, -1 for nothing.
type element struct {
	GlobalID, Entity, Predefined, Name, LongName, Description, ObjectType, Tag, TypeEntity, TypeName string
	Parents, Materials, Groups                                                                       []string
	Layers                                                                                           *model.LayerSet
	Classes                                                                                          []model.Classification
	Placement                                                                                        geom.Mat
	HasShape                                                                                         bool
	Storey, Whole                                                                                    int
	Parts, Openings, Coverings                                                                       []int
	Props                                                                                            int
	Body                                                                                             *body
}

// body is what checks ask of an element's geometry once its parts are recognised.
type body struct {
	Box   geom.Box
	Solid []byte // one for each solid: bit 0 boxed, bit 1 open
}

type opening struct {
	GlobalID, Name, Predefined string
	Host                       int
	Fillings                   []int
	Placement                  geom.Mat
	Body                       *body
}

type unit struct {
	ID, Name       string
	AreaM2, PlanM2 float64
	Spaces         []int
	Reason         recognise.Reason
	Assumed        bool
}

type truss struct {
	Concept recognise.Concept
	Mark    string
	Element int
	Members []int
	Line    [2]geom.Vec2
	DepthM  float64
	Reason  recognise.Reason
}

// meshes are many meshes in two runs of bytes.
type meshes struct {
	Counts      []int32 // vertices and triangles of each mesh, -1 for none
	Verts, Tris []byte
}

func (m *meshes) add(x *geom.Mesh) {
	if x == nil {
		m.Counts = append(m.Counts, -1, -1)
		return
	}
	m.Counts = append(m.Counts, int32(len(x.Verts)), int32(len(x.Tris)))
	for _, v := range x.Verts {
		for _, c := range []float64{v.X, v.Y, v.Z} {
			m.Verts = binary.LittleEndian.AppendUint64(m.Verts, math.Float64bits(c))
		}
	}
	for _, t := range x.Tris {
		for _, i := range t {
			m.Tris = binary.LittleEndian.AppendUint32(m.Tris, uint32(i))
		}
	}
}

var errShort = errors.New("a kept building is cut short")

// all makes the meshes again, all in two pieces of memory.
func (m *meshes) all() ([]*geom.Mesh, error) {
	nv, nt := 0, 0
	for i := 0; i+1 < len(m.Counts); i += 2 {
		nv, nt = nv+max(0, int(m.Counts[i])), nt+max(0, int(m.Counts[i+1]))
	}
	if len(m.Verts) != 24*nv || len(m.Tris) != 12*nt || len(m.Counts)%2 != 0 {
		return nil, errShort
	}
	verts, tris := make([]geom.Vec3, nv), make([][3]int32, nt)
	f := func(at int) float64 { return math.Float64frombits(binary.LittleEndian.Uint64(m.Verts[at:])) }
	for i := range verts {
		verts[i] = geom.Vec3{X: f(24 * i), Y: f(24*i + 8), Z: f(24*i + 16)}
	}
	for i := range tris {
		for k := range 3 {
			tris[i][k] = int32(binary.LittleEndian.Uint32(m.Tris[12*i+4*k:]))
		}
	}
	list := make([]geom.Mesh, len(m.Counts)/2)
	out := make([]*geom.Mesh, len(list))
	for i := range list {
		v, t := int(m.Counts[2*i]), int(m.Counts[2*i+1])
		if v < 0 {
			continue
		}
		list[i] = geom.Mesh{Verts: verts[:v:v], Tris: tris[:t:t]}
		verts, tris, out[i] = verts[v:], tris[t:], &list[i]
	}
	return out, nil
}

// freeze takes a model apart.
func freeze(m *review.Model) (*building, error) {
	b := m.Building
	f := &building{
		Facts: m.Facts, Origin: b.Model.Origin, Project: b.Model.Project, Input: b.Input, Turn: b.Turn, Content: b.Content, Notes: b.Notes,
	}
	if m.Log != nil {
		f.Problems = m.Log.All()
	}
	for _, s := range b.Model.Storeys {
		f.Storeys = append(f.Storeys, storey{s.GlobalID, s.Name, s.ElevationM})
	}
	w := freezer{f: f, props: map[string]int{}, openings: map[*model.Opening]int{}, elements: map[*model.Element]int{}}
	for i, e := range b.Model.Elements {
		w.elements[e] = i
	}
	for _, e := range b.Model.Elements {
		x, err := w.element(e)
		if err != nil {
			return nil, err
		}
		f.Elements = append(f.Elements, x)
	}
	spaces := map[*model.Space]int{}
	for i, s := range b.Model.Spaces {
		spaces[s] = i
		x, err := w.element(s.Element)
		if err != nil {
			return nil, err
		}
		f.Spaces = append(f.Spaces, x)
	}
	for i := range b.Things {
		f.Concepts, f.Reasons = append(f.Concepts, b.Things[i].Concept), append(f.Reasons, b.Things[i].Reason)
	}
	for _, u := range b.Units {
		x := unit{ID: u.ID, Name: u.Name, AreaM2: u.AreaM2, PlanM2: u.PlanM2, Reason: u.Reason, Assumed: u.Assumed}
		for _, s := range u.Spaces {
			x.Spaces = append(x.Spaces, spaces[s])
		}
		f.Units = append(f.Units, x)
	}
	for _, s := range b.Separations {
		f.Seps = append(f.Seps, *s)
	}
	for _, t := range b.Trusses {
		f.Trusses = append(f.Trusses, truss{t.Concept, t.Mark, w.index(t.Element), t.Members, t.Line, t.DepthM, t.Reason})
	}
	f.Input.Parts = make([]void.Part, len(b.Input.Parts))
	for i, p := range b.Input.Parts {
		f.Meshes.add(p.Mesh)
		p.Mesh = nil
		f.Input.Parts[i] = p
	}
	for gap, r := range m.Solved() {
		f.Solved = append(f.Solved, freezeResult(gap, r))
	}
	return f, nil
}

// freezer gives things their indices.
type freezer struct {
	f        *building
	props    map[string]int
	openings map[*model.Opening]int
	elements map[*model.Element]int
}

func (w *freezer) index(e *model.Element) int {
	if i, ok := w.elements[e]; ok && e != nil {
		return i
	}
	return -1
}

func (w *freezer) indices(list []*model.Element) []int {
	var out []int
	for _, e := range list {
		if i := w.index(e); i >= 0 {
			out = append(out, i)
		}
	}
	return out
}

func (w *freezer) element(e *model.Element) (element, error) {
	x := element{
		GlobalID: e.GlobalID, Entity: e.Entity, Predefined: e.Predefined, Name: e.Name, LongName: e.LongName, Description: e.Description, ObjectType: e.ObjectType, Tag: e.Tag,
		TypeEntity: e.TypeEntity, TypeName: e.TypeName, Parents: e.Parents, Materials: e.Materials, Groups: e.Groups, Layers: e.Layers, Classes: e.Classes, Placement: e.Placement(),
		HasShape: e.HasShape, Storey: -1, Whole: w.index(e.Whole), Parts: w.indices(e.Parts), Coverings: w.indices(e.Coverings), Props: -1,
	}
	if e.Storey != nil {
		x.Storey = e.Storey.Index
	}
	if sets := e.Props(); len(sets) > 0 {
		text, err := json.Marshal(sets, json.Deterministic(true))
		if err != nil {
			return x, err
		}
		n, ok := w.props[string(text)]
		if !ok {
			n = len(w.f.Props)
			w.props[string(text)] = n
			w.f.Props = append(w.f.Props, string(text))
		}
		x.Props = n
	}
	x.Body = freezeBody(e.Body())
	for _, o := range e.Openings {
		n, ok := w.openings[o]
		if !ok {
			n = len(w.f.Openings)
			w.openings[o] = n
			y := opening{GlobalID: o.GlobalID, Name: o.Name, Predefined: o.Predefined, Host: w.index(o.Host), Fillings: w.indices(o.Fillings), Placement: o.Placement}
			if o.Body != nil {
				y.Body = freezeBody(o.Body())
			}
			w.f.Openings = append(w.f.Openings, y)
		}
		x.Openings = append(x.Openings, n)
	}
	return x, nil
}
