package graph

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"

	"voidcheck/ifcx/express"
	"voidcheck/ifcx/source"
)

// list is a reader over ready values.
type list [][]Value

func (l list) Attrs(pos int) ([]Value, []Fault) {
	if l[pos] == nil {
		return nil, []Fault{{Off: -1, Code: "syntax", Text: "broken"}}
	}
	return fresh(l[pos]), nil
}

func fresh(vals []Value) []Value {
	vals = slices.Clone(vals)
	for i := range vals {
		vals[i].List = fresh(vals[i].List)
	}
	return vals
}

func (l list) Place(pos int) (string, int64) { return fmt.Sprintf("at%d", pos), int64(pos) }

func text(s string) Value      { return Value{Kind: String, Text: s} }
func ref(id ID) Value          { return Value{Kind: Ref, Ref: id} }
func many(vals ...Value) Value { return Value{Kind: List, List: vals} }
func real(f float64) Value     { return Value{Kind: Real, Num: f} }
func enum(s string) Value      { return Value{Kind: Enum, Text: s} }
func typed(t string, v Value) Value {
	return Value{Kind: Typed, Type: t, List: []Value{v}}
}

type instance struct {
	id     ID
	entity string
	vals   []Value
}

func build(log *source.Log, inst ...instance) *Graph {
	s := express.ForName("IFC4")
	var in Instances
	var l list
	for _, x := range inst {
		e := s.Entity(x.entity)
		if e == nil {
			e = &express.Entity{Name: x.entity}
		}
		k := slices.Index(in.Kinds, e)
		if k < 0 {
			k = len(in.Kinds)
			in.Kinds = append(in.Kinds, e)
		}
		in.IDs, in.Kind, l = append(in.IDs, x.id), append(in.Kind, uint16(k)), append(l, x.vals)
	}
	return New(&source.File{Name: "m", Data: []byte(strings.Repeat("\n", 50))}, s, Header{}, log, l, in)
}

var null = Value{}

func sample(log *source.Log) *Graph {
	wall := func(id ID, entity, name string) instance {
		return instance{id, entity, []Value{text("guid"), null, text(name), null, null, null, null, null, enum("SOLIDWALL")}}
	}
	return build(log,
		wall(30, "IfcWall", "c"), wall(10, "IfcWallStandardCase", "a"), wall(20, "IfcWall", "b"),
		instance{40, "IfcRelAggregates", []Value{text("g"), null, null, null, ref(30), many(ref(10), ref(20), ref(10))}},
		instance{41, "IfcRelAggregates", []Value{text("g"), null, null, null, ref(30), many(ref(99))}},
		instance{50, "IfcPropertySingleValue", []Value{text("Width"), null, typed("IfcLengthMeasure", real(2.5)), null}},
		instance{51, "IfcPropertySingleValue", []Value{text("Load"), null, typed("IfcBoolean", enum("T")), null}},
		instance{52, "IfcPropertySingleValue", []Value{text("Note"), null, typed("IfcLabel", text("n")), null}},
		instance{60, "IfcSweptDiskSolid", []Value{ref(999), real(1), null, null, null}},
		instance{61, "IfcWall", nil},
		instance{62, "FOO", []Value{text("x")}},
	)
}

func TestAttributes(t *testing.T) {
	var log source.Log
	g := sample(&log)
	if got := g.Str(10, "Name"); got != "a" {
		t.Errorf("Name: got %q", got)
	}
	if got := g.Enum(10, "PredefinedType"); got != "SOLIDWALL" {
		t.Errorf("PredefinedType: got %q", got)
	}
	if f, ok := g.Float(50, "NominalValue"); !ok || f != 2.5 {
		t.Errorf("NominalValue: got %g, %v", f, ok)
	}
	if b, ok := g.Bool(51, "NominalValue"); !ok || !b {
		t.Errorf("NominalValue: got %v, %v", b, ok)
	}
	if s := g.Str(52, "NominalValue"); s != "n" {
		t.Errorf("NominalValue: got %q", s)
	}
	if r := g.Ref(40, "RelatingObject"); r != 30 {
		t.Errorf("RelatingObject: got %d", r)
	}
	if r := g.Refs(40, "RelatedObjects"); !slices.Equal(r, []ID{10, 20, 10}) {
		t.Errorf("RelatedObjects: got %v", r)
	}
	for _, v := range []Value{g.Attr(10, "NoSuch"), g.Attr(12345, "Name"), g.Attr(61, "Name"), g.Attr(62, "Name"), g.Attr(0, "Name")} {
		if !v.IsNull() {
			t.Errorf("got %+v, want Null", v)
		}
	}
	if f, ok := g.Float(10, "Name"); ok || f != 0 {
		t.Errorf("a text is no number: got %g", f)
	}
}

func TestTypesInFileOrder(t *testing.T) {
	var log source.Log
	g := sample(&log)
	for _, c := range []struct {
		entity string
		subs   bool
		want   []ID
	}{
		{"IfcWall", false, []ID{30, 20, 61}}, {"IfcWall", true, []ID{30, 10, 20, 61}}, {"IfcElement", true, []ID{30, 10, 20, 61}},
		{"IfcElement", false, nil}, {"IfcSlab", true, nil}, {"FOO", true, []ID{62}},
	} {
		for range 2 {
			if got := g.ByType(c.entity, c.subs); !slices.Equal(got, c.want) {
				t.Errorf("%s %v: got %v, want %v", c.entity, c.subs, got, c.want)
			}
		}
	}
	if !g.Is(10, "IfcWall") || g.Is(10, "IfcSlab") || g.Is(999, "IfcWall") || g.Type(62) != "FOO" || g.Type(999) != "" {
		t.Errorf("Is or Type is wrong")
	}
	var counts []string
	for _, c := range g.Counts() {
		counts = append(counts, fmt.Sprint(c.Entity.Name, " ", c.N))
	}
	if got, want := strings.Join(counts, ", "), "FOO 1, IfcPropertySingleValue 3, IfcRelAggregates 2, IfcSweptDiskSolid 1, IfcWall 3, IfcWallStandardCase 1"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

func TestInverse(t *testing.T) {
	var log source.Log
	g := sample(&log)
	for _, c := range []struct {
		id       ID
		rel, att string
		want     []ID
	}{
		{30, "IfcRelAggregates", "RelatingObject", []ID{40, 41}},
		{10, "IfcRelAggregates", "RelatedObjects", []ID{40}}, // named twice
		{10, "IfcRelDecomposes", "RelatedObjects", nil},      // an attribute of the subtype, read there
		{99, "IfcRelAggregates", "RelatedObjects", nil},
		{10, "IfcRelAggregates", "NoSuch", nil},
		{10, "IfcRelVoidsElement", "RelatingBuildingElement", nil},
	} {
		got := g.Inverse(c.id, c.rel, c.att)
		if c.rel == "IfcRelDecomposes" {
			c.want = []ID{40} // subtypes of the relation count
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%d %s.%s: got %v, want %v", c.id, c.rel, c.att, got, c.want)
		}
	}
}

func TestProblems(t *testing.T) {
	var log source.Log
	g := build(&log,
		instance{1, "IfcWall", []Value{text("guid"), ref(7), text("W-1")}},
		instance{2, "IfcDirection", []Value{many(real(0)), null}},
		instance{3, "IfcWall", nil},
		instance{3, "IfcWall", []Value{}},
		instance{4, "IfcCartesianPointList3D", []Value{many()}}, // short in IFC4 ADD2 TC1
		instance{0, "IfcWall", []Value{}},
	)
	for range 3 {
		g.Verify()
	}
	g.Report(source.Warning, 1, "test", "is odd", "look")
	g.Report(source.Warning, 77, "test", "is odd", "")
	var got []string
	for _, p := range log.All() {
		got = append(got, p.String())
	}
	want := `m: #77: is odd
m:1:1: at0 IfcWall "W-1" (guid): #7 is not in the file; the reference is left out
m:1:1: at0 IfcWall "W-1" (guid): is odd; look
m:1:1: at0 IfcWall "W-1" (guid): 3 attributes where IFC4 has 9; Description and what follows read as not given; check that the schema named in the file's header is the one it was written in
m:2:1: at1 IfcDirection: 2 attributes where IFC4 has 1; those after DirectionRatios are left out; check that the schema named in the file's header is the one it was written in
m:3:1: at2 IfcWall: broken
m:4:1: at3 IfcWall: this number is already used on line 3; the first instance is kept and this one is left out; export the file again, or give one of them another number
m:6:1: at5 IfcWall: an instance cannot have the number 0; it is left out`
	if s := strings.Join(got, "\n"); s != want {
		t.Errorf("got\n%s\nwant\n%s", s, want)
	}
	if g.Len() != 4 || !slices.Equal(g.All(), []ID{1, 2, 3, 4}) || !slices.Equal(g.ByType("IfcWall", true), []ID{1, 3}) {
		t.Errorf("doubles are not left out: %v", g.All())
	}
}

func TestSparseNumbers(t *testing.T) {
	var ids []ID
	for i := range 1000 {
		ids = append(ids, ID(uint32(i)*4000037+7))
	}
	ids = append(ids, ids[5])
	p, doubles := newPositions(ids)
	if p.dense != nil || !slices.Equal(doubles, []int{1000}) {
		t.Fatalf("want a hash and one double, got %v", doubles)
	}
	for i, id := range ids[:1000] {
		if got, ok := p.find(id); !ok || got != i {
			t.Errorf("%d: got %d, %v, want %d", id, got, ok, i)
		}
		if _, ok := p.find(id + 1); ok {
			t.Errorf("%d must not be found", id+1)
		}
	}
}

func TestManyGoroutines(t *testing.T) {
	var log source.Log
	g := sample(&log)
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			for range 200 {
				g.Verify()
				if len(g.Inverse(30, "IfcRelAggregates", "RelatingObject")) != 2 || len(g.ByType("IfcWall", true)) != 4 || g.Str(10, "Name") != "a" {
					t.Error("wrong answer")
					return
				}
			}
		})
	}
	wg.Wait()
	if n := len(log.All()); n != 3 { // two dangling references, one broken wall
		t.Errorf("got %d problems, want 3: %v", n, log.All())
	}
}
