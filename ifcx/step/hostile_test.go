package step

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"voidcheck/ifcx/source"
)

// hostile are pieces that make a file slow to read when repeated, if anything in the reader
// looks further ahead than it moves.
var hostile = map[string]string{
	"no semicolons":        "#1=A(",
	"no semicolons, lines": "#1=A(\n",
	"open strings":         "#1=A('x\n",
	"odd quotes":           "#1=A(''');\n",
	"quotes":               "'",
	"open comments":        "#1=A(/*\n",
	"comments":             "/**/",
	"slashes":              "#1=A(////////",
	"equals signs":         "#1=A(====\n",
	"deep lists":           "((((((((",
	"deep instance":        "#1=A((((((((((\n",
	"shift directives":     `#1=A('\S\'`,
	"solidus":              `\`,
	"numbers":              "#99999999999999999999",
	"doubles":              "#1=IFCDIRECTION(());\n",
	"names":                "A ",
	"complex":              "#1=(A(",
	"complex, closed":      "#1=(A()B()C()",
	"commas":               ",",
	"NUL bytes":            "\x00",
	"section words":        "DATA ",
	"high bytes":           "#1=A('\xff\xfe');\n",
	"complex, comment":     "#1=(A(/*\n",
	"comment behind junk":  "?;/*",
	"blanks":               "?;                 ",
	"wrong semicolons":     "#1=A();;;;#",
}

func hostileFile(name, start string, size int) *source.File {
	piece := hostile[name]
	return &source.File{Name: "m", Data: []byte(start + strings.Repeat(piece, size/len(piece)))}
}

// None of them may panic or hang; most are refused, the others are full of problems.
func TestHostileFiles(t *testing.T) {
	for name := range hostile {
		for _, start := range []string{"", head} {
			var log source.Log
			g, err := Read(hostileFile(name, start, 1<<16), &log)
			if err != nil {
				continue
			}
			g.Verify()
			if len(log.All()) == 0 {
				t.Errorf("%s: no problem is told", name)
			}
		}
	}
}

// BenchmarkHostile shows the time each takes; none should be far slower than the others.
func BenchmarkHostile(b *testing.B) {
	for _, name := range slices.Sorted(maps.Keys(hostile)) {
		b.Run(name, func(b *testing.B) {
			f := hostileFile(name, head, 1<<20)
			b.SetBytes(int64(len(f.Data)))
			for b.Loop() {
				var log source.Log
				if g, err := Read(f, &log); err == nil {
					g.Verify()
				}
			}
		})
	}
}
