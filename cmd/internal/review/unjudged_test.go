package review

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"voidcheck/checks/finding"
	"voidcheck/ifcx/ifctest"
)

// A model that lost most of itself says so before anything else, in the field of findings and as
// the first caution, which every output carries; one that lost a little does not.
func TestUnjudged(t *testing.T) {
	sound, err := os.ReadFile(written(t, ifctest.Row(2), ifctest.Disguise{}))
	if err != nil {
		t.Fatal(err)
	}
	shape := regexp.MustCompile(`= ?IFCEXTRUDEDAREASOLID\(`)
	lose := func(one, of int) string { // the solids of one element in of
		n := 0
		return string(shape.ReplaceAllFunc(sound, func(b []byte) []byte {
			if n++; n%of < one {
				return []byte("=IFCNOSUCHSOLID(")
			}
			return b
		}))
	}
	for _, tt := range []struct {
		name, text, want string
	}{
		{"sound", string(sound), ""},
		{"one element in ten lost", lose(1, 10), ""},
		{"two elements in three lost", lose(2, 3), "Most of the model could not be judged: the geometry of "},
		{"all elements lost", lose(1, 1), "The model could not be judged: the geometry of none of its "},
	} {
		name := filepath.Join(t.TempDir(), "m.ifc")
		if err := os.WriteFile(name, []byte(tt.text), 0o644); err != nil {
			t.Fatal(err)
		}
		r := reviewed(t, Options{Models: []string{name}})
		if (r.Unjudged == "") != (tt.want == "") || !strings.HasPrefix(r.Unjudged, tt.want) {
			t.Errorf("%s: %q, want %q", tt.name, r.Unjudged, tt.want)
		}
		if n := len(r.Cautions) - len(finding.Cautions); tt.want == "" && n != 0 || tt.want != "" && (n != 1 || r.Cautions[0] != r.Unjudged) {
			t.Errorf("%s: cautions %q", tt.name, r.Cautions)
		}
	}
	bare := filepath.Join(t.TempDir(), "bare.ifc")
	m, err := ifctest.Row(1).Build()
	if err != nil {
		t.Fatal(err)
	}
	m.Remove(func(p *ifctest.Part) bool { return p.Role != ifctest.Slab })
	f, err := os.Create(bare)
	if err != nil {
		t.Fatal(err)
	}
	if err := m.WriteSTEP(f, ifctest.Disguise{}); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	if r := reviewed(t, Options{Models: []string{bare}}); !strings.HasPrefix(r.Unjudged, "The model could not be judged: no concealed space could be worked out from it.") {
		t.Errorf("a slab alone: %q", r.Unjudged)
	}
}
