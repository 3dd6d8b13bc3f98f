package step

import (
	"bytes"
	"fmt"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"voidcheck/ifcx/source"
)

// pieces of files: plain records, odd ones, damage, and texts that look like borders.
var pieces = []string{
	"#%d=IFCWALL('0',$,'a',(#1,#2),1.5);\n", "#%d=IFCWALL('0',$);\n", "#%d= IFCSLAB(#3,.T.);\r\n", "#%d=IFCBEAM('it''s');\n",
	"#%d=IFCTEXT('one;\n#99=IFCNOTHING();\n');\n", "/* a comment;\n#98=IFCNOTHING();\n */\n", "#%d=IFCWALL('never closed;\n", "#%d=(A(1)B(2));\n",
	"junk;\n", "ENDSEC;\n", "DATA;\n", "#%d=IFCWALL(\n'0',\n#70000\n)\n;\n", "#%d=IFCX(1)\n", "\n\n", "END-ISO-10303-21;\n",
}

// A file that is passed over in parts gives what one pass gives, or is not parted.
func TestPartsAreTheWhole(t *testing.T) {
	parted := 0
	rapid.Check(t, func(t *rapid.T) {
		var text bytes.Buffer
		text.WriteString("ISO-10303-21;\nHEADER;\nFILE_SCHEMA(('IFC4'));\nENDSEC;\nDATA;\n")
		odd := rapid.Bool().Draw(t, "odd")
		for i := range rapid.IntRange(1, 60).Draw(t, "records") {
			k := rapid.IntRange(0, 2).Draw(t, "piece")
			if odd {
				k = rapid.IntRange(0, len(pieces)-1).Draw(t, "odd piece")
			}
			if bytes.Contains([]byte(pieces[k]), []byte("%d")) {
				fmt.Fprintf(&text, pieces[k], i+1)
			} else {
				text.WriteString(pieces[k])
			}
		}
		f := &source.File{Name: "f.ifc", Data: text.Bytes(), Kind: source.STEP}
		one := newScanner(f.Data)
		if err := one.run(); err != nil {
			t.Fatal(err)
		}
		var at []int
		for i, c := range f.Data {
			if c == '#' && rapid.IntRange(0, 9).Draw(t, "cut") == 0 {
				at = append(at, i)
			}
		}
		for _, at := range [][]int{at, borders(f.Data, 3)} {
			if s := scanParts(f, at); s != nil {
				parted++
				if d := cmp.Diff(told(one), told(s)); d != "" {
					t.Fatalf("parted at %v (-one pass +parts):\n%s\n%s", at, d, f.Data)
				}
			} else if len(at) > 0 && !odd && slices.Equal(at, borders(f.Data, 3)) {
				t.Fatalf("a plain file is not parted at %v:\n%s", at, f.Data)
			}
		}
	})
	if parted < 50 {
		t.Errorf("only %d were parted", parted)
	}
}

// told is what a pass leaves to those who read it.
func told(s *scanner) map[string]any {
	return map[string]any{"ids": s.ids, "off": s.off, "kind": s.kind, "names": s.names, "arities": fmt.Sprint(s.arities), "defined": s.defined, "refd": s.refd[:min(s.top+1, uint64(len(s.refd)))],
		"wild": s.wild, "odd": fmt.Sprint(s.odd), "headers": fmt.Sprint(s.headers), "sections": fmt.Sprint(s.sections), "ended": s.ended, "faults": fmt.Sprint(s.faults)}
}
