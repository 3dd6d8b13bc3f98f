package step

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"voidcheck/ifcx/graph"
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

// bareIndex is what bareScan finds.
type bareIndex struct {
	ids, offs []uint32
	kinds     []uint16
	names     map[string]uint16
}

// bareScan is the least that an index needs, written plainly: a loop over every byte that
// knows strings and comments and records number, type and offset of every instance. It is the
// yardstick for indexing; it sees no damage and checks nothing.
func bareScan(d []byte) bareIndex {
	x := bareIndex{ids: make([]uint32, 0, len(d)/64), offs: make([]uint32, 0, len(d)/64), kinds: make([]uint16, 0, len(d)/64), names: map[string]uint16{}}
	state, start := byte(0), true
	for i := 0; i < len(d); i++ {
		c := d[i]
		switch state {
		case 0:
			switch c {
			case '\'':
				state = 1
			case ';':
				start = true
			case '*':
				if d[i-1] == '/' {
					state = 2
				}
			case '#':
				if start {
					i = x.add(d, i)
					start = false
				}
			}
		case 1:
			if c == '\'' {
				state = 0
			}
		case 2:
			if c == '/' && d[i-1] == '*' {
				state = 0
			}
		}
	}
	return x
}

// add records the instance whose number sign is at i and returns the offset of its opening parenthesis.
func (x *bareIndex) add(d []byte, i int) int {
	at, id := i, uint32(0)
	for i++; i < len(d) && d[i]-'0' <= 9; i++ {
		id = id*10 + uint32(d[i]-'0')
	}
	for i < len(d) && (d[i] == ' ' || d[i] == '=') {
		i++
	}
	from := i
	for i < len(d) && d[i] != '(' {
		i++
	}
	k, ok := x.names[string(d[from:i])]
	if !ok {
		k = uint16(len(x.names))
		x.names[string(d[from:i])] = k
	}
	x.ids, x.offs, x.kinds = append(x.ids, id), append(x.offs, uint32(at)), append(x.kinds, k)
	return i
}

func BenchmarkBareScan(b *testing.B) {
	d := synthetic(benchSize)
	b.SetBytes(int64(len(d)))
	for b.Loop() {
		bareScan(d)
	}
}

// The yardstick finds what the index has.
func TestBareScanFindsTheIndex(t *testing.T) {
	d := synthetic(1 << 20)
	g, err := Read(&source.File{Name: "m.ifc", Data: d}, &source.Log{})
	if err != nil {
		t.Fatal(err)
	}
	x := bareScan(d)
	if len(x.ids) != g.Len() {
		t.Fatalf("%d instances, the index has %d", len(x.ids), g.Len())
	}
	names := make([]string, len(x.names))
	for n, k := range x.names {
		names[k] = n
	}
	for i, id := range g.All() {
		if x.ids[i] != uint32(id) || names[x.kinds[i]] != strings.ToUpper(g.Type(id)) || d[x.offs[i]] != '#' {
			t.Fatalf("instance %d is #%d %s, the index has #%d %s", i, x.ids[i], names[x.kinds[i]], id, g.Type(id))
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
