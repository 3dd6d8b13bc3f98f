package step

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/ifctest/bare"
	"voidcheck/ifcx/source"
)

// synthetic makes a STEP file of about n bytes with the mixture of records that exports
// have: points, faces, properties with text, elements, relations.
func synthetic(n int) []byte {
	var b bytes.Buffer
	b.WriteString(head)
	for id := 1; b.Len() < n; id += 10 {
		fmt.Fprintf(&b, "#%d=IFCCARTESIANPOINT((%d.25,-%d.5,2795.));\n", id, id%7919, id%104729)
		fmt.Fprintf(&b, "#%d=IFCCARTESIANPOINT((%d.1234567890123,0.,1.E-05));\n", id+1, id%31)
		fmt.Fprintf(&b, "#%d=IFCPOLYLOOP((#%d,#%d,#%d,#%d));\n", id+2, id, id+1, id, id+1)
		fmt.Fprintf(&b, "#%d=IFCFACEOUTERBOUND(#%d,.T.);\n", id+3, id+2)
		fmt.Fprintf(&b, "#%d=IFCFACE((#%d));\n", id+4, id+3)
		fmt.Fprintf(&b, "#%d=IFCPROPERTYSINGLEVALUE('Reference',$,IFCLABEL('Floor truss 16 in; span %d ft'),$);\n", id+5, id%40)
		fmt.Fprintf(&b, "#%d=IFCDIRECTION((0.,0.,1.));\n", id+6)
		fmt.Fprintf(&b, "#%d=IFCAXIS2PLACEMENT3D(#%d,$,#%d);\n", id+7, id, id+6)
		fmt.Fprintf(&b, "#%d=IFCLOCALPLACEMENT($,#%d);\n", id+8, id+7)
		fmt.Fprintf(&b, "#%d=IFCMEMBER('2O2Fr$t4X7Zf8NOew3%04d',$,'W\\X\\E4hle ''%d''',$,'Nagelbinder',#%d,$,'%d',.CHORD.);\n", id+9, id%10000, id, id+8, id)
	}
	b.WriteString(tail)
	return b.Bytes()
}

const benchSize = 20 << 20

func BenchmarkBareScan(b *testing.B) {
	d := synthetic(benchSize)
	b.SetBytes(int64(len(d)))
	for b.Loop() {
		bare.Scan(d)
	}
}

// The yardstick finds what the index has.
func TestBareScanFindsTheIndex(t *testing.T) {
	d := synthetic(1 << 20)
	g, err := Read(&source.File{Name: "m.ifc", Data: d}, &source.Log{})
	if err != nil {
		t.Fatal(err)
	}
	x := bare.Scan(d)
	if len(x.IDs) != g.Len() {
		t.Fatalf("%d instances, the index has %d", len(x.IDs), g.Len())
	}
	names := make([]string, len(x.Names))
	for n, k := range x.Names {
		names[k] = n
	}
	for i, id := range g.All() {
		if x.IDs[i] != uint32(id) || names[x.Kinds[i]] != strings.ToUpper(g.Type(id)) || d[x.Offs[i]] != '#' {
			t.Fatalf("instance %d is #%d %s, the index has #%d %s", i, x.IDs[i], names[x.Kinds[i]], id, g.Type(id))
		}
	}
}

func BenchmarkIndex(b *testing.B) {
	d := synthetic(benchSize)
	b.SetBytes(int64(len(d)))
	b.ReportAllocs()
	for b.Loop() {
		var log source.Log
		if _, err := Read(&source.File{Name: "m.ifc", Data: d}, &log); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkAttrs parses every attribute of every instance once.
func BenchmarkAttrs(b *testing.B) {
	d := synthetic(benchSize / 4)
	var log source.Log
	g, err := Read(&source.File{Name: "m.ifc", Data: d}, &log)
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(d)))
	b.ReportAllocs()
	for b.Loop() {
		g.Verify()
	}
	if l := log.All(); len(l) > 0 {
		b.Fatal(l[0])
	}
}

func BenchmarkInverse(b *testing.B) {
	var text bytes.Buffer
	text.WriteString(head)
	for i := 1; i <= 20000; i++ {
		fmt.Fprintf(&text, "#%d=IFCWALL('2O2Fr$t4X7Zf8NOew3FLOH',$,$,$,$,$,$,$,$);\n", 2*i)
		fmt.Fprintf(&text, "#%d=IFCRELAGGREGATES('2O2Fr$t4X7Zf8NOew3FLOH',$,$,$,#%d,(#%d));\n", 2*i+1, 2*i, 2*(i%20000)+2)
	}
	text.WriteString(tail)
	for b.Loop() {
		var log source.Log
		g, err := Read(&source.File{Name: "m.ifc", Data: text.Bytes()}, &log)
		if err != nil {
			b.Fatal(err)
		}
		if l := g.Inverse(graph.ID(4), "IfcRelAggregates", "RelatedObjects"); len(l) != 1 {
			b.Fatalf("got %v", l)
		}
	}
}
