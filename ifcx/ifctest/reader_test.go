package ifctest_test

import (
	"fmt"
	"math"
	"testing"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/ifctest"
	"voidcheck/ifcx/shape"
	"voidcheck/ifcx/source"
	"voidcheck/ifcx/step"
)

// bodies reads a file with the product's own reader: GlobalId -> body in the file's frame.
func bodies(t *testing.T, data []byte) (map[string]*shape.Body, *source.Log) {
	t.Helper()
	log := &source.Log{}
	files, err := source.FromBytes("fixture.ifc", data)
	if err != nil {
		t.Fatal(err)
	}
	g, err := step.Read(files[0], log)
	if err != nil {
		t.Fatal(err)
	}
	b := shape.New(g, log)
	out := map[string]*shape.Body{}
	for _, id := range g.ByType("IfcProduct", true) {
		at, ok := shape.Placement(g, g.Ref(id, "ObjectPlacement"), b.Unit())
		if !ok {
			t.Errorf("%s has no readable placement", g.Label(id))
		}
		if body := b.Body(graph.ID(id), at); body != nil {
			out[g.Str(id, "GlobalId")] = body
		}
	}
	return out, log
}

// centroid returns volume and centre of mass of a closed mesh, from tetrahedra.
func centroid(m *geom.Mesh) (v float64, c geom.Vec3) {
	o := m.Verts[0]
	for _, t := range m.Tris {
		p, q, r := m.Verts[t[0]].Sub(o), m.Verts[t[1]].Sub(o), m.Verts[t[2]].Sub(o)
		w := p.Dot(q.Cross(r)) / 6
		v += w
		c = c.Add(p.Add(q).Add(r).Mul(w / 4))
	}
	return v, c.Mul(1 / v).Add(o)
}

// middle returns the centre of mass of a prism in the frame of the house.
func middle(p ifctest.Prism) geom.Vec3 {
	c := geom.Vec2{}
	if p.Profile.Kind == ifctest.Poly {
		area := 0.0
		add := func(r []geom.Vec2, sign float64) {
			a, m := 0.0, geom.Vec2{}
			for i, u := range r {
				w := r[(i+1)%len(r)]
				k := u.Cross(w)
				a += k / 2
				m = m.Add(u.Add(w).Mul(k / 6))
			}
			s := sign * math.Copysign(1, a)
			area += s * a
			c = c.Add(m.Mul(s))
		}
		add(p.Profile.Outline, 1)
		for _, h := range p.Profile.Holes {
			add(h, -1)
		}
		c = c.Mul(1 / area)
	}
	return p.Frame.Point(geom.Vec3{X: c.X, Y: c.Y, Z: p.Depth / 2})
}

// compare checks volume and place of every part in the file against the model.
func compare(t *testing.T, m *ifctest.Model, d ifctest.Disguise) {
	t.Helper()
	got, log := bodies(t, m.STEP(d))
	for i, p := range log.All() {
		if i < 5 {
			t.Errorf("problem: %v", p)
		}
	}
	bad, seen := 0, 0
	for _, p := range m.Parts {
		if len(p.Solids) == 0 {
			continue
		}
		seen++
		b := got[m.GlobalID(p, d)]
		if b == nil || len(b.Solids) != len(p.Solids) {
			t.Errorf("%s %d: no body or another number of solids", p.Role, p.N)
			continue
		}
		for i, s := range b.Solids {
			v, c := centroid(s.Mesh)
			want, at := p.Solids[i].Volume(), d.Point(middle(p.Solids[i]))
			round := p.Solids[i].Profile.Kind == ifctest.Circle || p.Solids[i].Profile.Kind == ifctest.Tube
			tol := 1e-6*want + 1e-9
			if round { // chords instead of arcs
				tol = 0.05 * want
			}
			cut := len(p.Openings) > 0
			if cut && v > want+1e-9 || !cut && math.Abs(v-want) > tol || s.Boxed || s.Open {
				if bad++; bad < 8 {
					t.Errorf("%s %d: volume %v, want %v (boxed %v, open %v)", p.Role, p.N, v, want, s.Boxed, s.Open)
				}
			}
			far := 1e-6 + 1e-12*math.Hypot(d.Shift[0], d.Shift[1])*1e3
			if !cut && c.Sub(at).Len() > far {
				if bad++; bad < 8 {
					t.Errorf("%s %d: centre %v, want %v", p.Role, p.N, c, at)
				}
			}
		}
	}
	if seen == 0 {
		t.Error("the model has no solids")
	}
}

// Written files read back to the volumes and places they were made from, whatever the
// disguise.
func TestFilesReadBack(t *testing.T) {
	h := ifctest.Row(2)
	h.Depth = 5
	h.Units[0].Stair = &ifctest.StairHole{X: 4.5, Y: 1, LX: 1, LY: 2}
	h.Soffits = []ifctest.Soffit{{Unit: 1, Level: 0, Width: 0.4, Height: 0.3, Start: 1, Length: 2}}
	h.Services = []ifctest.Service{
		{Kind: "pipe", Through: "floor", Unit: 1, Level: 1, At: 2, Diameter: 0.05, Ring: 0.01},
		{Kind: "pipe", Through: "separation", Level: 0, At: 2, Diameter: 0.05, Ring: 0.01, Sealed: true}}
	framed := h.MustBuild()
	h.Layered, h.Soffits = true, nil
	layered := h.MustBuild()
	far := [3]float64{412345.678, 998765.432, 120}
	for i, d := range []ifctest.Disguise{
		{},
		{Unit: "m", Geometry: "brep", RotateDeg: 33},
		{Unit: "ft", Geometry: "mesh", Mirror: true, Schema: "IFC4X3"},
		{Unit: "in", Geometry: "mapped", Mirror: true, RotateDeg: -71, Shift: [3]float64{10, -20, 3}, Schema: "IFC2X3"},
		{Geometry: "clipping", Mirror: true, RotateDeg: 5},
		{Baked: true, RotateDeg: 12.5, Shift: far, Seed: 7},
		{Unit: "ft", RotateDeg: 2.4, Shift: far, Mirror: true, Baked: true, Schema: "IFC2X3", Seed: 3},
	} {
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			compare(t, framed, d)
			compare(t, framed.Services, d)
			compare(t, layered, d)
		})
	}
}
