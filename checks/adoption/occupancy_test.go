package adoption

import (
	"strings"
	"testing"
)

// People write occupancies in more than one way; a word that nobody knows decides nothing.
func TestOccupancies(t *testing.T) {
	a, err := Read("x.json", []byte(`{"format": "voidcheck-adoption-1", "name": "x", "checks": {"floor-draftstop-area": {"exempt": [
		{"when": {"occupancy": ["R-2", "row of cottages"]}, "because": "local"}]}}}`), declared)
	if err != nil {
		t.Fatal(err)
	}
	e := &a.Rule("floor-draftstop-area").Exempt[0]
	for _, tt := range []struct {
		occupancy string
		want      Answer
		fact      string
	}{
		{"R-2", Yes, ""}, {"r2", Yes, ""}, {"Group R-2", Yes, ""}, {"Row of Cottages", Yes, ""}, {"townhouse", No, ""}, {"Townhouses", No, ""}, {"R-3", No, ""},
		{"", Unknown, "occupancy"}, {"apartments", Unknown, `occupancy ("apartments" is no word of the adoption file)`},
	} {
		got, facts := e.Decide(a.Subject(Facts{Occupancy: tt.occupancy}, 0))
		if got != tt.want || strings.Join(facts, "; ") != tt.fact {
			t.Errorf("%q: %v, %q, want %v, %q", tt.occupancy, got, facts, tt.want, tt.fact)
		}
	}
	if Kind("Townhouses") != "townhouse" || Kind("R-4") != "r4" || !a.Knows("one family") || a.Knows("apartments") || a.Knows("") {
		t.Error("kinds")
	}
}

// A range that holds no number, and sprinklers in voids of a building without any.
func TestContradictions(t *testing.T) {
	_, err := Read("x.json", []byte("{\"format\": \"voidcheck-adoption-1\", \"name\": \"x\", \"checks\": {\"floor-draftstop-area\": {\"exempt\": [\n{\"when\": {\"storeys\": {\"min\": 5, \"max\": 3}}, \"because\": \"y\"}]}}}"), declared)
	if want := "x.json:2:22: checks.floor-draftstop-area.exempt[0].when.storeys: no number is at least 5 and at most 3; turn them round, or write two entries"; err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
	_, err = ReadSubmittal("s.json", []byte(`{"format": "voidcheck-submittal-1", "sprinklers": "none", "sprinklers_in_voids": true}`))
	if want := `s.json:1:82: sprinklers_in_voids: sprinklers in concealed spaces, where "sprinklers" says that there are none; put one of the two right`; err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
	if _, err := ReadSubmittal("s.json", []byte(`{"format": "voidcheck-submittal-1", "sprinklers": "none", "sprinklers_in_voids": false}`)); err != nil {
		t.Error(err)
	}
}
