package recognise_test

import (
	"testing"

	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/ifctest"
)

// A fireblock of fibre, or a low strip, that stands across a void with framing on both its
// sides is a fireblock as it is called; a board as high as the void is a draftstop whatever
// it is called.
func TestFireblockAcrossVoid(t *testing.T) {
	for _, tt := range []struct {
		name string
		mat  ifctest.Material
		high float64 // of the void's height
		want recognise.Concept
	}{
		{"fibre", ifctest.MineralWool, 1, recognise.Fireblock},
		{"low strip", ifctest.OSB, 0.3, recognise.Fireblock},
		{"board", ifctest.OSB, 1, recognise.Draftstop},
	} {
		m, err := small().Build()
		if err != nil {
			t.Fatal(err)
		}
		stops := m.Find(ifctest.Draftstop)
		if len(stops) == 0 {
			t.Fatal("no draftstop to stand beside")
		}
		b := stops[0].Bounds()
		x, y, z := ifctest.Span{Lo: b.Min.X, Hi: b.Max.X}, ifctest.Span{Lo: b.Min.Y, Hi: b.Max.Y}, ifctest.Span{Lo: b.Min.Z, Hi: b.Min.Z + tt.high*(b.Max.Z-b.Min.Z)}
		if d := 0.2; x.Hi-x.Lo < y.Hi-y.Lo {
			x = ifctest.Span{Lo: x.Lo + d, Hi: x.Hi + d}
		} else {
			y = ifctest.Span{Lo: y.Lo + d, Hi: y.Hi + d}
		}
		p := m.Add(ifctest.LevelBlock, stops[0].Storey, tt.mat, ifctest.Box(x, y, z, ifctest.Z))
		id := m.GlobalID(p, ifctest.Disguise{})
		r := recogniseModel(t, openModel(t, m, ifctest.Disguise{}))
		for i, th := range r.Things {
			if e := r.Model.Elements[i]; e.GlobalID == id && th.Concept != tt.want {
				t.Errorf("%s: %s is a %s (%s %s), want %s", tt.name, e.Name, th.Concept, th.Reason.Signal, th.Reason.Value, tt.want)
			}
		}
	}
}

// A sliver of sheathing in the gap of a double wall, cut off along the roof next door, is no fireblock there.
func TestSliverInGap(t *testing.T) {
	m, err := small().Build()
	if err != nil {
		t.Fatal(err)
	}
	b := m.Find(ifctest.LevelBlock)[0].Bounds()
	x, y := ifctest.Span{Lo: b.Min.X, Hi: b.Min.X + 0.0111}, ifctest.Span{Lo: b.Min.Y + 0.1, Hi: b.Max.Y - 0.1}
	if b.Max.Y-b.Min.Y < 1.3 || b.Max.X-b.Min.X > 0.1 {
		t.Fatalf("the block %v does not lie along a gap", b)
	}
	d := ifctest.Disguise{Naming: "fr", Overlap: 0.01}
	p := m.Add(ifctest.Sheathing, 0, ifctest.OSB, ifctest.Box(x, y, ifctest.Span{Lo: b.Min.Z - 0.3, Hi: b.Min.Z - 0.293}, ifctest.Z))
	id := m.GlobalID(p, d)
	r := recogniseModel(t, openModel(t, m, d))
	for i, th := range r.Things {
		if e := r.Model.Elements[i]; e.GlobalID == id && th.Concept != recognise.Finish {
			t.Errorf("%s is a %s (%s %s)", e.Name, th.Concept, th.Reason.Signal, th.Reason.Value)
		}
	}
}

// A thick sheet of foam or fibre across a void, that nothing calls anything, is a draftstop:
// it divides the void, so that its material is judged.
func TestUnnamedBattAcrossVoid(t *testing.T) {
	m, err := small().Build()
	if err != nil {
		t.Fatal(err)
	}
	stops := m.Find(ifctest.Draftstop)
	if len(stops) == 0 {
		t.Fatal("no draftstop to thicken")
	}
	b := stops[0].Bounds()
	x, y, z := ifctest.Span{Lo: b.Min.X, Hi: b.Max.X}, ifctest.Span{Lo: b.Min.Y, Hi: b.Max.Y}, ifctest.Span{Lo: b.Min.Z, Hi: b.Max.Z}
	if x.Hi-x.Lo < y.Hi-y.Lo {
		x.Hi = x.Lo + 0.07
	} else {
		y.Hi = y.Lo + 0.07
	}
	p := m.Add(ifctest.LevelBlock, stops[0].Storey, ifctest.MineralWool, ifctest.Box(x, y, z, ifctest.Z))
	m.Remove(func(q *ifctest.Part) bool { return q.Role == ifctest.Draftstop })
	for _, d := range []ifctest.Disguise{{}, {RotateDeg: 33, Unit: "ft", Schema: "IFC2X3"}} {
		r, id := recogniseTersely(t, m, p, d)
		for i, th := range r.Things {
			if r.Model.Elements[i].GlobalID == id && th.Concept != recognise.Draftstop {
				t.Errorf("it is a %s (%s %s)", th.Concept, th.Reason.Signal, th.Reason.Value)
			}
		}
	}
}

// The web of an I-joist that is drawn as three solids is part of the joist and no wall board.
func TestIJoistOfThreeSolids(t *testing.T) {
	m, err := small().Build()
	if err != nil {
		t.Fatal(err)
	}
	b := m.Find(ifctest.Draftstop)[0].Bounds()
	x, y := ifctest.Span{Lo: b.Min.X, Hi: b.Max.X}, ifctest.Span{Lo: b.Min.Y, Hi: b.Max.Y}
	wide, thin := &y, 0.0095
	if x.Hi-x.Lo < y.Hi-y.Lo {
		wide = &x
	}
	box := func(t, lo, hi float64) ifctest.Prism {
		*wide = ifctest.Span{Lo: (b.Min.X+b.Max.X)/2 + 0.2 - t/2, Hi: (b.Min.X+b.Max.X)/2 + 0.2 + t/2}
		if wide == &y {
			*wide = ifctest.Span{Lo: (b.Min.Y+b.Max.Y)/2 + 0.2 - t/2, Hi: (b.Min.Y+b.Max.Y)/2 + 0.2 + t/2}
		}
		return ifctest.Box(x, y, ifctest.Span{Lo: lo, Hi: hi}, ifctest.Z)
	}
	lo, hi := b.Min.Z, b.Max.Z
	p := m.Add(ifctest.IJoist, 0, ifctest.OSB, box(0.06, lo, lo+0.038), box(thin, lo+0.038, hi-0.038), box(0.06, hi-0.038, hi))
	id := m.GlobalID(p, ifctest.Disguise{})
	r := recogniseModel(t, openModel(t, m, ifctest.Disguise{}))
	n := 0
	for i := range r.Input.Parts {
		q := &r.Input.Parts[i]
		if q.Element < 0 || r.Model.Elements[q.Element].GlobalID != id {
			continue
		}
		n++
		if q.Role != void.RoleJoist || q.Framing != void.FramingI {
			t.Errorf("a solid of it has role %v and framing %q, want an I-joist", q.Role, q.Framing)
		}
	}
	if n != 3 {
		t.Errorf("%d solids, want 3", n)
	}
}

// A level plate of 1 mm steel under floor framing, that nothing but its place tells, is no
// ceiling, nor is a pad of plywood by itself; a gypsum board there is one, and a small piece
// beside it goes on with it.
func TestThinPlateIsNoCeiling(t *testing.T) {
	for _, tt := range []struct {
		name          string
		mat           ifctest.Material
		thick, length float64
		want          bool
	}{
		{"steel plate of 1 mm", ifctest.Steel, 0.001, 2.4, false},
		{"plate of 1 mm, material not told", "", 0.001, 2.4, false},
		{"pad of plywood", ifctest.Plywood, 0.012, 0.3, false},
		{"hardboard", "Hardboard", 0.0032, 2.4, true},
		{"gypsum board", ifctest.GypsumBd, 0.0127, 2.4, true},
	} {
		h := small()
		m, err := h.Build()
		if err != nil {
			t.Fatal(err)
		}
		low := m.Find(ifctest.Ceiling)[0].Bounds().Max.Z // underside of the first floor's framing
		for _, c := range m.Find(ifctest.Ceiling) {
			low = min(low, c.Bounds().Max.Z)
		}
		m.Remove(func(p *ifctest.Part) bool { return p.Role == ifctest.Ceiling && p.Bounds().Max.Z < low+0.1 })
		x, y := ifctest.Span{Lo: 1, Hi: 1 + tt.length}, ifctest.Span{Lo: 1, Hi: 1.25}
		p := m.Add(ifctest.LevelBlock, 0, tt.mat, ifctest.Box(x, y, ifctest.Span{Lo: low - tt.thick, Hi: low}, ifctest.Z))
		for _, d := range []ifctest.Disguise{{}, {RotateDeg: 33, Unit: "ft"}} {
			r, id := recogniseTersely(t, m, p, d)
			for i, th := range r.Things {
				if e := r.Model.Elements[i]; e.GlobalID == id && (th.Concept == recognise.Ceiling) != tt.want {
					t.Errorf("%s: it is a %s (%s %s), want a ceiling: %v", tt.name, th.Concept, th.Reason.Signal, th.Reason.Value, tt.want)
				}
			}
		}
	}
}

// recogniseTersely recognises a model in which one part has a name that says nothing; id is that of its element.
func recogniseTersely(t *testing.T, m *ifctest.Model, p *ifctest.Part, d ifctest.Disguise) (r *recognise.Building, id string) {
	t.Helper()
	mb := openModel(t, m, d)
	id = m.GlobalID(p, d)
	for _, e := range mb.Elements {
		if e.GlobalID == id {
			e.Name, e.ObjectType, e.TypeName, e.Description = "P7", "", "", ""
		}
	}
	return recogniseModel(t, mb), id
}
