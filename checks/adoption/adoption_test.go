package adoption

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"voidcheck/schema"
)

var declared = []Declared{
	{"floor-draftstop-area", []Param{{Name: "max-area", Kind: Area, Default: "1000 ft2"}}},
	{"attic-draftstop-area", []Param{{Name: "max-area", Kind: Area, Default: "3000 ft2"}, {Name: "max-units", Kind: Count, Default: "2"}}},
	{"wall-fireblock-run", []Param{{Name: "max-run", Kind: Length, Default: "10 ft"}, {Name: "max-rise", Kind: Length}}},
	{"floor-draftstop-balance", []Param{{Name: "max-ratio", Kind: Ratio, Default: "1.25"}}},
}

func TestDefaults(t *testing.T) {
	a := Defaults(declared)
	r := a.Rule("wall-fireblock-run")
	if v, ok := r.Limits.Get("max-run"); !ok || v != 3.048 {
		t.Errorf("max-run = %v, %v; want 3.048 m (10 ft)", v, ok)
	}
	if _, ok := r.Limits.Get("max-rise"); ok || !r.On {
		t.Error("max-rise must be off and the check on")
	}
	if v, _ := a.Rule("attic-draftstop-area").Limits.Get("max-area"); v != 278.70912 {
		t.Errorf("max-area = %v; want 278.70912 m2 (3,000 ft2)", v)
	}
}

func TestRead(t *testing.T) {
	a, err := Read("county.json", []byte(`{
  "format": "voidcheck-adoption-1", "name": "Example County",
  "checks": {
    "floor-draftstop-area": {"max-area": "500 ft2", "section": "C-7.3", "exempt": [
      {"when": {"sprinklers": ["NFPA 13"], "storeys": {"max": 4}}, "because": "C-7.3 exception"}]},
    "wall-fireblock-run": {"max-rise": "8 ft", "max-run": "off"},
    "attic-draftstop-area": {"on": false, "max-units": 4}
  }}`), declared)
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]any{}
	for _, d := range declared {
		r := a.Rule(d.Name)
		got[d.Name] = []any{r.On, r.Section, r.Limits.Num, strings.Join(r.Given, " "), len(r.Exempt)}
	}
	want := map[string]any{
		"floor-draftstop-area":    []any{true, "C-7.3", map[string]float64{"max-area": 46.45152}, "max-area", 1},
		"attic-draftstop-area":    []any{false, "", map[string]float64{"max-area": 278.70912, "max-units": 4}, "max-units", 0},
		"wall-fireblock-run":      []any{true, "", map[string]float64{"max-rise": 2.4384}, "max-run max-rise", 0},
		"floor-draftstop-balance": []any{true, "", map[string]float64{"max-ratio": 1.25}, "", 0},
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	if a.Name != "Example County" || len(a.SHA256) != 64 {
		t.Errorf("name %q, sha256 %q", a.Name, a.SHA256)
	}
}

func TestReadErrors(t *testing.T) {
	const head = `{"format": "voidcheck-adoption-1", "name": "X", "checks": {`
	tests := []struct{ name, in, want string }{
		{"no unit", head + "\n\"floor-draftstop-area\": {\"max-area\": \"1000\"}}}",
			`county.json:2:38: checks.floor-draftstop-area.max-area: "1000" has no unit; write "1000 ft2"`},
		{"number without unit", head + `"floor-draftstop-area": {"max-area": 1000}}}`,
			`county.json:1:97: checks.floor-draftstop-area.max-area: 1000 has no unit; write it in quotes with its unit, for example "1000 ft2"`},
		{"wrong dimension", head + `"floor-draftstop-area": {"max-area": "10 ft"}}}`,
			`county.json:1:97: checks.floor-draftstop-area.max-area: "10 ft" is a length, but an area is wanted; write for example "1000 ft2"`},
		{"unknown unit", head + `"wall-fireblock-run": {"max-run": "10 cubits"}}}`,
			`county.json:1:94: checks.wall-fireblock-run.max-run: "10 cubits": "cubits" is not a unit of length; use ft, in, m, cm or mm`},
		{"zero", head + `"wall-fireblock-run": {"max-run": "0 ft"}}}`,
			`county.json:1:94: checks.wall-fireblock-run.max-run: "0 ft" is a limit that nothing meets; write "off" for no limit`},
		{"unknown check", head + `"floor-draftstop-aera": {}}}`,
			`county.json:1:60: checks.floor-draftstop-aera: "floor-draftstop-aera" is not known here; did you mean "floor-draftstop-area"?; known: ` +
				strings.Join(checkNames(t), ", ")},
		{"unknown parameter", head + `"floor-draftstop-area": {"max-aera": "10 ft2"}}}`,
			`county.json:1:85: checks.floor-draftstop-area.max-aera: "max-aera" is not known here; did you mean "max-area"?; known: evidence, exempt, instead, max-area, on, section`},
		{"unknown fact", head + `"floor-draftstop-area": {"exempt": [{"when": {"sprinkler": ["none"]}, "because": "b"}]}}}`,
			`county.json:1:106: checks.floor-draftstop-area.exempt[0].when.sprinkler: "sprinkler" is not known here; did you mean "sprinklers"?; known: construction, edition, framing, occupancy, shown, spaces, sprinklers, sprinklers_in_voids, storeys, units`},
		{"empty condition", head + `"floor-draftstop-area": {"exempt": [{"when": {}, "because": "b"}]}}}`,
			`county.json:1:105: checks.floor-draftstop-area.exempt[0].when: the object has fewer than 1 entries`},
		{"two wrong", head + `"floor-draftstop-area": {"max-area": "1000", "on": "yes"}}}`,
			`county.json:1:97: checks.floor-draftstop-area.max-area: "1000" has no unit; write "1000 ft2"` + "\n" +
				`county.json:1:111: checks.floor-draftstop-area.on: a boolean is wanted, a string found`},
		{"negative ratio", head + `"floor-draftstop-balance": {"max-ratio": -1}}}`,
			`county.json:1:101: checks.floor-draftstop-balance.max-ratio: "-1" is negative; a ratio of 0 or more is wanted`},
		{"half a unit", head + `"attic-draftstop-area": {"max-units": 1.5}}}`,
			`county.json:1:98: checks.attic-draftstop-area.max-units: "1.5" is not a whole number; write for example "2"`},
		{"no name", `{"format": "voidcheck-adoption-1"}`, `county.json:1:1: "name" is missing; add it`},
		{"not JSON", `name: X`, `county.json:1:2: not JSON: invalid character 'a' in literal null (expecting 'u')`},
	}
	for _, tt := range tests {
		_, err := Read("county.json", []byte(tt.in), declared)
		if err == nil || err.Error() != tt.want {
			t.Errorf("%s:\n got %v\nwant %s", tt.name, err, tt.want)
		}
	}
}

// checkNames lists what the schema knows, since it is made from the whole catalogue.
func checkNames(t *testing.T) []string {
	t.Helper()
	p := schema.Validate("adoption", []byte(`{"format": "voidcheck-adoption-1", "name": "X", "checks": {"?": {}}}`))
	_, names, ok := strings.Cut(p[0].Text, "known: ")
	if len(p) != 1 || !ok {
		t.Fatalf("problems %v", p)
	}
	return strings.Split(names, ", ")
}

func TestDecide(t *testing.T) {
	yes, four := true, 4
	w := When{Sprinklers: []string{"NFPA 13R"}, SprinklersInVoids: &yes, Storeys: &Bounds{Max: &four}}
	fr := When{Framing: []string{"open-web-truss"}}
	no := false
	tests := []struct {
		name    string
		w       When
		s       Subject
		want    Answer
		unknown string
	}{
		{"all hold", w, Subject{Facts: Facts{Sprinklers: "nfpa13r", SprinklersInVoids: &yes, Storeys: 4}}, Yes, ""},
		{"one fails", w, Subject{Facts: Facts{Sprinklers: "NFPA 13R", SprinklersInVoids: &yes, Storeys: 5}}, No, ""},
		{"one fails, one unknown", w, Subject{Facts: Facts{Sprinklers: "none"}}, No, ""},
		{"one unknown", w, Subject{Facts: Facts{Sprinklers: "NFPA 13R", Storeys: 3}}, Unknown, "sprinklers_in_voids"},
		{"nothing known", w, Subject{}, Unknown, "sprinklers, sprinklers_in_voids, storeys"},
		{"voids dry", w, Subject{Facts: Facts{Sprinklers: "NFPA 13R", SprinklersInVoids: &no, Storeys: 3}}, No, ""},
		{"framing", fr, Subject{Framing: []string{"open-web-truss"}}, Yes, ""},
		{"mixed framing", fr, Subject{Framing: []string{"open-web-truss", "stud"}}, No, ""},
		{"unknown framing", fr, Subject{Framing: []string{"unknown"}}, Unknown, "framing of the void"},
	}
	for _, tt := range tests {
		got, unknown := tt.w.Decide(tt.s)
		if got != tt.want || strings.Join(unknown, ", ") != tt.unknown {
			t.Errorf("%s: %v %v; want %v %s", tt.name, got, unknown, tt.want, tt.unknown)
		}
	}
}

func TestSubmittal(t *testing.T) {
	f, err := ReadSubmittal("s.json", []byte(`{"format": "voidcheck-submittal-1", "permit": "P-1", "sprinklers": "NFPA 13D",
		"sprinklers_in_voids": false, "storeys": 2, "units": [{"name": "Unit 1", "spaces": ["101"]}]}`))
	if err != nil {
		t.Fatal(err)
	}
	if f.Permit != "P-1" || f.Sprinklers != "NFPA 13D" || f.SprinklersInVoids == nil || *f.SprinklersInVoids || f.Storeys != 2 || f.Units[0].Spaces[0] != "101" {
		t.Errorf("%+v", f)
	}
	_, err = ReadSubmittal("s.json", []byte(`{"format": "voidcheck-submittal-1", "units": [{"name": "A", "spaces": ["1"]}, {"name": "B", "spaces": ["2", "1"]}]}`))
	if want := `s.json:1:109: units[1].spaces[1]: space "1" is in unit "A" too; a space belongs to one unit`; err == nil || err.Error() != want {
		t.Errorf("got %v\nwant %s", err, want)
	}
	_, err = ReadSubmittal("s.json", []byte(`{"format": "voidcheck-submittal-1", "units": [{"name": "A", "spaces": ["1"]}, {"name": "A", "spaces": ["2"]}]}`))
	if want := `s.json:1:88: units[1].name: "A" names unit 1 too; give each unit its own name`; err == nil || err.Error() != want {
		t.Errorf("got %v\nwant %s", err, want)
	}
}

func FuzzRead(f *testing.F) {
	for _, n := range schema.Starters() {
		data, _ := schema.Starter(n)
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		if a, err := Read("x", data, declared); (a == nil) == (err == nil) {
			t.Error("want an adoption or an error")
		}
	})
}

func FuzzSubmittal(f *testing.F) {
	f.Add([]byte(`{"format": "voidcheck-submittal-1", "project": "P", "permit": "P-1", "occupancy": "townhouse", "construction": "VB", "sprinklers": "NFPA 13D", "storeys": 2, "round": 1, "units": [{"name": "A", "spaces": ["101"]}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		if _, err := ReadSubmittal("s.json", data); err != nil && !strings.HasPrefix(err.Error(), "s.json") {
			t.Errorf("error without the file's name: %v", err)
		}
	})
}
