package ifcx_test

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"voidcheck/ifcx"
	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/ifctest"
	"voidcheck/ifcx/ifcxml"
	"voidcheck/ifcx/model"
	"voidcheck/ifcx/source"
	"voidcheck/ifcx/step"
)

// serviced is a house with services, so with holes and seals.
func serviced(t testing.TB) *ifctest.Model {
	t.Helper()
	h := ifctest.Row(2)
	h.Services = []ifctest.Service{
		{Kind: "pipe", Through: "floor", Unit: 1, Level: 1, At: 22 * ifctest.Foot, Diameter: 2 * ifctest.Inch, Ring: 0.625 * ifctest.Inch},
		{Kind: "cable", Through: "separation", Separation: 0, Level: 0, At: 15 * ifctest.Foot, Diameter: 0.5 * ifctest.Inch, Ring: 0.25 * ifctest.Inch, Sealed: true},
	}
	m, err := h.Build()
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// ifcXML of either dialect holds the instances of the STEP file: every one, with equal values.
func TestSameGraphInXML(t *testing.T) {
	for _, d := range []ifctest.Disguise{{Schema: "IFC2X3"}, {Schema: "IFC4"}, {Schema: "IFC4X3", Unit: "ft", Geometry: "mesh", Naming: "de"}, {Schema: "IFC4", Seed: 5}} {
		m := serviced(t)
		var a, b bytes.Buffer
		if err := m.WriteSTEP(&a, d); err != nil {
			t.Fatal(err)
		}
		if err := m.WriteXML(&b, d); err != nil {
			t.Fatal(err)
		}
		log := &source.Log{}
		g1, err := step.Read(&source.File{Name: "a.ifc", Data: a.Bytes(), Kind: source.STEP}, log)
		if err != nil {
			t.Fatal(err)
		}
		g2, err := ifcxml.Read(&source.File{Name: "b.ifcxml", Data: b.Bytes(), Kind: source.IFCXML}, log)
		if err != nil {
			t.Fatal(err)
		}
		g1.Verify()
		for _, p := range log.All() {
			t.Errorf("%v: %s", d, p)
		}
		if d2 := cmp.Diff(printed(g1), printed(g2)); d2 != "" {
			t.Errorf("%+v: instances differ (-STEP +XML):\n%.4000s", d, d2)
		}
	}
}

// printed writes every instance with the numbers that the STEP file gives.
func printed(g *graph.Graph) []string {
	label := func(id graph.ID) string { return strings.TrimLeft(g.Label(id), "#i") }
	var show func(v graph.Value) string
	show = func(v graph.Value) string {
		switch v.Kind {
		case graph.Ref:
			return "#" + label(v.Ref)
		case graph.List, graph.Typed:
			parts := make([]string, len(v.List))
			for i, x := range v.List {
				parts[i] = show(x)
			}
			return v.Type + "(" + strings.Join(parts, ",") + ")"
		case graph.Real, graph.Integer:
			return fmt.Sprint(v.Num)
		}
		return fmt.Sprintf("%d%q", v.Kind, v.Text)
	}
	var out []string
	for _, c := range g.Counts() {
		for _, id := range g.ByType(c.Entity.Name, false) {
			out = append(out, fmt.Sprintf("%s=%s%s", label(id), c.Entity.Name, show(graph.Value{Kind: graph.List, List: g.Attrs(id)})))
		}
	}
	slices.Sort(out)
	return out
}

// IFC5 holds the building of the STEP file: elements, spaces and zones with their names,
// types, materials, properties, places and volumes.
func TestSameBuildingInIFC5(t *testing.T) {
	d := ifctest.Disguise{Schema: "IFC4X3", Unit: "m", RotateDeg: 30, Shift: [3]float64{20, 30, 2}}
	m := serviced(t)
	var a, b, low, up bytes.Buffer
	for _, err := range []error{m.WriteSTEP(&a, d), m.WriteIFC5(&b, d), m.WriteIFC5Layers(&low, &up, d)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	want := described(t, a.Bytes())
	if got := described(t, b.Bytes()); cmp.Diff(want, got) != "" {
		t.Errorf("one file differs from STEP (-STEP +IFC5):\n%.4000s", cmp.Diff(want, got))
	}
	if got := described(t, low.Bytes(), up.Bytes()); cmp.Diff(want, got) != "" {
		t.Errorf("two layers differ from STEP (-STEP +IFC5):\n%.4000s", cmp.Diff(want, got))
	}
}

func described(t testing.TB, data ...[]byte) []string {
	t.Helper()
	var files []*source.File
	for i, x := range data {
		f, err := source.FromBytes(fmt.Sprintf("model%d", i), x)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f...)
	}
	log := &source.Log{}
	b, err := ifcx.OpenFiles(context.Background(), files, ifcx.Options{Log: log})
	if err != nil {
		t.Fatal(err)
	}
	if err := b.Bodies(context.Background(), 0); err != nil {
		t.Fatal(err)
	}
	for _, p := range log.All() {
		t.Errorf("%s", p)
	}
	out := []string{"project " + b.Project}
	for _, s := range b.Storeys {
		out = append(out, fmt.Sprintf("storey %s %s %.4f", s.GlobalID, s.Name, s.ElevationM))
	}
	for _, e := range b.Elements {
		out = append(out, line(e))
	}
	for _, s := range b.Spaces {
		z := ""
		for _, x := range s.Zones {
			z += " in " + x.Name
		}
		out = append(out, "space "+line(s.Element)+z)
	}
	for _, z := range b.Zones {
		out = append(out, fmt.Sprintf("zone %s %s %s %d", z.GlobalID, z.Name, z.ObjectType, len(z.Spaces)))
	}
	for _, o := range b.Openings {
		out = append(out, fmt.Sprintf("opening %s %s %s in %s", o.GlobalID, o.Name, o.Predefined, o.Host.Name))
	}
	return out
}

func line(e *model.Element) string {
	s := fmt.Sprintf("%s %s %s %q %q %q %q %v", e.GlobalID, e.Entity, e.Predefined, e.Name, e.LongName, e.Tag, e.TypeName, e.Materials)
	if e.Storey != nil {
		s += " at " + e.Storey.Name
	}
	if e.Whole != nil {
		s += " of " + e.Whole.Name
	}
	for _, n := range []string{"LoadBearing", "FireRating", "IsExternal"} {
		if p, ok := e.Prop("Pset_WallCommon", n); ok {
			s += " " + n + "=" + p.Text
		}
	}
	if b := e.Body(); b != nil {
		v := 0.0
		for _, x := range b.Solids {
			v += x.Mesh.Volume()
			if x.Open {
				s += " open"
			}
		}
		s += fmt.Sprintf(" %.5f m3 %.3f", v, b.Box.Size())
	}
	return s
}
