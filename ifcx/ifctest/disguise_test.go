package ifctest

import (
	"math"
	"slices"
	"testing"
)

// Overlaps and clearances change how members meet and nothing that is measured: a block grows
// along the bay only, a member that ends free does not grow, clearances stay under 3 mm.
func TestOverlapAndClearance(t *testing.T) {
	m := small().MustBuild()
	block := m.Find(Block)[0]
	chord := m.Find(BottomChord)[0]
	sheet := m.Find(Deck)[0]
	size := func(p *Part, d Disguise) [3]float64 {
		b := d.dress(p)[0].Bounds()
		s := b.Size()
		return [3]float64{s.X, s.Y, s.Z}
	}
	plain := size(block, Disguise{})
	grown := size(block, Disguise{Overlap: 0.02})
	near(t, "block along the bay", grown[1]-plain[1], 0.04, 1e-9)
	near(t, "block across", grown[0], plain[0], 1e-9)
	near(t, "block height", grown[2], plain[2], 1e-9)
	if size(chord, Disguise{Overlap: 0.02}) != size(chord, Disguise{}) {
		t.Error("a chord that ends free has grown")
	}
	thin := size(block, Disguise{Clearance: 0.002})
	for i := range thin {
		near(t, "clearance", plain[i]-thin[i], 0.002, 1e-9)
	}
	if size(sheet, Disguise{Overlap: 0.02, Clearance: 0.002}) != size(sheet, Disguise{}) {
		t.Error("a deck has changed size")
	}
}

func TestDuplicatesAreWrittenTwice(t *testing.T) {
	m := small().MustBuild()
	count := func(d Disguise) int {
		s, err := m.Step(d)
		if err != nil {
			t.Fatal(err)
		}
		n := 0
		for _, l := range s.Lines() {
			if instance.FindStringSubmatch(l)[2] == "IFCMEMBER" {
				n++
			}
		}
		return n
	}
	plain, doubled := count(Disguise{}), count(Disguise{Duplicate: 1})
	linear := 0
	for _, p := range m.Parts {
		if p.Linear && roleEntity[p.Role].entity == "IfcMember" {
			linear++
		}
	}
	if doubled-plain != linear || linear == 0 {
		t.Errorf("got %d members, %d with duplicates, want %d more", plain, doubled, linear)
	}
}

// Shuffling keeps the set of instances apart from numbers and GlobalIds.
func TestShuffledFilesHoldTheSame(t *testing.T) {
	m := small().MustBuild()
	types := func(d Disguise) []string {
		s, err := m.Step(d)
		if err != nil {
			t.Fatal(err)
		}
		var out []string
		for _, l := range s.Lines() {
			out = append(out, instance.FindStringSubmatch(l)[2])
		}
		slices.Sort(out)
		return out
	}
	if !slices.Equal(types(Disguise{}), types(Disguise{Seed: 5})) {
		t.Error("shuffling lost or made instances")
	}
}

func TestBadDisguises(t *testing.T) {
	m := small().MustBuild()
	for _, d := range []Disguise{{Unit: "yd"}, {Schema: "IFC5"}, {Naming: "xx"}, {Geometry: "dots"}} {
		if _, err := m.Step(d); err == nil {
			t.Errorf("%+v was accepted", d)
		}
	}
}

// Points move as the model does: mirror, then turn, then shift.
func TestPointFollowsTheModel(t *testing.T) {
	d := Disguise{Mirror: true, RotateDeg: 90, Shift: [3]float64{10, 20, 3}}
	p := d.Point(pt(1, 2, 3))
	near(t, "x", p.X, 10-2, 1e-12)
	near(t, "y", p.Y, 20-1, 1e-12)
	near(t, "z", p.Z, 6, 1e-12)
	if math.IsNaN(p.X) {
		t.Error("not a number")
	}
}

func TestQuote(t *testing.T) {
	for in, want := range map[string]string{
		"a'b":     "'a''b'",
		`a\b`:     `'a\\b'`,
		"Rähm":    `'R\X2\00E4\X0\hm'`,
		"Étage 1": `'\X2\00C9\X0\tage 1'`,
		"😀":       `'\X4\0001F600\X0\'`,
	} {
		if got := Quote(in); got != want {
			t.Errorf("Quote(%q) = %s, want %s", in, got, want)
		}
	}
}

func TestReadHouse(t *testing.T) {
	h, err := ReadHouse([]byte(`{"name": "Two", "units": [{"width": 6}, {"width": 6}], "depth": 11, "defects": [{"kind": "line-open", "level": 1}]}`))
	if err != nil || len(h.Units) != 2 || h.Floor.Spacing != 24*Inch || len(h.MustBuild().Truth.Joined) != 1 {
		t.Errorf("got %+v, %v", h, err)
	}
	for _, bad := range []string{`{"widht": 3}`, `{"units": []}`, `{"units": [{"width": 6}], "floor": {"framing": "steel"}}`} {
		if _, err := ReadHouse([]byte(bad)); err == nil {
			t.Errorf("%s was accepted", bad)
		}
	}
}

func TestFragment(t *testing.T) {
	for _, schema := range []string{"IFC2X3", "IFC4", "IFC4X3"} {
		f := NewFragment(Disguise{Schema: schema, Unit: "ft"})
		var own []any
		if schema != "IFC2X3" {
			own = append(own, Enum("STUD"))
		}
		stud := f.Product("IfcMember", "Stud", []Prism{Box(Span{0, TwoBy}, Span{0, FourWide}, Span{0, 2}, Z)}, own...)
		f.Product("IfcSpace", "A101", []Prism{Box(Span{0, 3}, Span{0, 4}, Span{0, 2.4}, Z)}, nil, Enum("ELEMENT"), Enum("INTERNAL"), nil)
		mat := []any{"Wood"}
		if schema != "IFC2X3" {
			mat = append(mat, nil, nil)
		}
		f.Relate("IfcRelAssociatesMaterial", []Ref{stud}, f.Once("IfcMaterial", mat...))
		wellFormed(t, f.Bytes())
	}
}
