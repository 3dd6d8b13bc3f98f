package step

import (
	"strings"
	"testing"
	"time"

	"voidcheck/ifcx/source"
)

// Files made to be slow: each must be read in time that grows with its length. The limit
// is wide, a hundred times what the index of a real file of this size takes.
func TestHostileFiles(t *testing.T) {
	const size = 1 << 20
	for name, piece := range map[string]string{
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
	} {
		for _, start := range []string{"", head} {
			d := []byte(start + strings.Repeat(piece, size/len(piece)))
			begin := time.Now()
			var log source.Log
			g, err := Read(&source.File{Name: "m", Data: d}, &log)
			if err == nil {
				g.Verify()
			}
			log.All()
			if took := time.Since(begin); took > 3*time.Second {
				t.Errorf("%s: %v for %d bytes", name, took, len(d))
			} else if took > 300*time.Millisecond {
				t.Logf("%s: %v", name, took)
			}
		}
	}
}
