package lexicon

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// words of names, among them some that patterns look for in part only.
var words = []string{"Stud", "stud 17", "17", "U3/U4", "2x4", "Fireblock", "fire", "block", "draftstop", "Draft Stop", "truss", "FT-14", "top",
	"plate", "Deckenbalken", "gypse", "Unit", "separation", "wall", "panneau", "joist", "I-joist", "", " ", "0", "eave", "soffit", "rim", "ledger", "x"}

// What is kept for alike names is what reading each of them gives, and the texts that patterns
// ask for lose nothing.
func TestSharedIsWhatReadingGives(t *testing.T) {
	fresh, err := Parse("default", defaultJSON)
	if err != nil {
		t.Fatal(err)
	}
	kept := Default()
	rapid.Check(t, func(t *rapid.T) {
		name := func(label string) string {
			return strings.Join(rapid.SliceOfN(rapid.SampledFrom(words), 0, 4).Draw(t, label), rapid.SampledFrom([]string{" ", "-", "", "_"}).Draw(t, label+" joint"))
		}
		s := Subject{Entity: rapid.SampledFrom([]string{"IfcMember", "IfcWall", "IfcBuildingElementProxy", "IfcCovering"}).Draw(t, "entity"),
			Predefined: rapid.SampledFrom([]string{"", "PLATE", "STUD", "CEILING"}).Draw(t, "predefined"),
			Names:      []string{name("name"), name("type"), name("type name")}, Materials: []string{name("material")},
			Property: func(set, name string) (string, bool) { return "true", name == "Compartmentation" }}
		if s.Entity != "IfcBuildingElementProxy" {
			s.Parents = []string{"IfcBuildingElement", "IfcProduct"}
		}
		want := fresh.read(&s, fresh.matchersOf(&s).of)
		for i, e := range want {
			want[i] = e.Of(s.Names)
		}
		if got := kept.Concepts(s); !slices.Equal(got, want) {
			t.Fatalf("%q: %v, want %v", s.Names, got, want)
		}
		for _, n := range s.Names {
			key := oneNumber(Fold(n))
			var want []hit
			for i := range fresh.concepts {
				for j := range fresh.concepts[i].Match {
					if m := &fresh.concepts[i].Match[j]; key != "" && m.onlyName() && m.name.MatchString(key) {
						want = append(want, hit{i, j})
					}
				}
			}
			if got := fresh.hits(Fold(n)); !slices.Equal(got, want) {
				t.Fatalf("%q satisfies %v, want %v", n, got, want)
			}
		}
	})
}

// Two lists of texts that run into each other are told apart.
func TestKindsAreToldApart(t *testing.T) {
	seen := map[string]string{}
	for _, s := range []Subject{
		{Names: []string{"a", "b", "c"}}, {Names: []string{"a\x00b\x00c"}}, {Names: []string{"ab", "", "c"}}, {Names: []string{"a", "b", "c"}, Materials: []string{""}},
		{Names: []string{"a", "b"}, Materials: []string{"c"}}, {Predefined: "a", Names: []string{"b", "c"}}, {Predefined: "ab", Names: []string{"c"}},
	} {
		key := string(kindOf(nil, &s))
		if was, ok := seen[key]; ok {
			t.Errorf("%+v has the key of %s", s, was)
		}
		seen[key] = fmt.Sprintf("%+v", s)
	}
	if a, b := kindOf(nil, &Subject{Names: []string{"Stud 17 b"}}), kindOf(nil, &Subject{Names: []string{"Stud 18 b"}}); string(a) != string(b) {
		t.Error("running numbers tell names apart")
	}
}

func TestTextsOf(t *testing.T) {
	for pattern, want := range map[string][]string{
		`\bstuds?\b`:         {"stud", "studs"},
		`stud|stair`:         {"stair", "stud"},
		`fire ?(block|stop)`: {"fire block", "fire stop", "fireblock", "firestop"},
		`(top|sole) ?plates`: {"sole plates", "soleplates", "top plates", "topplates"},
		`^[a-z]+$`:           nil,
		`rim.*board`:         {"board"},
		`(?i)Stud`:           nil,
		``:                   nil,
	} {
		got := textsOf(pattern)
		slices.Sort(got)
		if !slices.Equal(got, want) {
			t.Errorf("%q holds one of %q, want %q", pattern, got, want)
		}
	}
}
