package adoption

import (
	"errors"
	"strings"
	"testing"
)

const amended = `{"format": "voidcheck-adoption-1", "name": "X", "checks": {"attic-draftstop-area": {"max-area": "3000 ft2", "instead": [
  {"when": {"sprinklers": ["NFPA 13"]}, "max-area": "9000 ft2", "max-units": "off", "because": "C-9.1", "section": "C-9"},
  {"when": {"framing": ["i-joist"]}, "max-area": "500 ft2", "because": "C-9.2"}]}}}`

// A limit tripled with sprinklers and one by framing, as some jurisdictions have them (older
// text of a digest; New York City BC 718.3.2).
func TestAmendments(t *testing.T) {
	a, err := Read("x.json", []byte(amended), declared)
	if err != nil {
		t.Fatal(err)
	}
	r := a.Rule("attic-draftstop-area")
	for _, tt := range []struct {
		name string
		s    Subject
		area float64 // ft2
		open bool
	}{
		{"nothing known", Subject{}, 3000, true},
		{"no sprinklers, trusses", Subject{Facts: Facts{Sprinklers: "none"}, Framing: []string{"open-web-truss"}}, 3000, false},
		{"no sprinklers, I-joists", Subject{Facts: Facts{Sprinklers: "none"}, Framing: []string{"i-joist"}}, 500, false},
		{"sprinklers and I-joists: the first counts", Subject{Facts: Facts{Sprinklers: "NFPA 13"}, Framing: []string{"i-joist"}}, 9000, false},
		{"I-joists, sprinklers unknown", Subject{Framing: []string{"i-joist"}}, 500, true},
		{"mixed framing", Subject{Facts: Facts{Sprinklers: "none"}, Framing: []string{"i-joist", "solid-joist"}}, 3000, false},
	} {
		holds, open, unknown := r.Amended(tt.s)
		l := r.Limits
		if holds != nil {
			l = holds.Limits
		}
		if v, _ := l.Get("max-area"); v/0.09290304 < tt.area-1e-6 || v/0.09290304 > tt.area+1e-6 {
			t.Errorf("%s: %v m2, want %v ft2", tt.name, v, tt.area)
		}
		if (open != nil) != tt.open || tt.open && len(unknown) == 0 {
			t.Errorf("%s: open %v by %v", tt.name, open != nil, unknown)
		}
	}
	if _, on := r.Instead[0].Limits.Get("max-units"); on {
		t.Error("max-units is not off where it is amended so")
	}
	if n, _ := r.Instead[1].Limits.Get("max-units"); n != 2 {
		t.Errorf("max-units %v where the amendment leaves it alone, want the default", n)
	}
	if len(r.Every()) != 3 {
		t.Errorf("%d sets of limits, want three", len(r.Every()))
	}
}

func TestAmendmentErrors(t *testing.T) {
	for from, to := range map[string][2]string{
		`"500 ft2"`:                        {`"500"`, `checks.attic-draftstop-area.instead[1].max-area: "500" has no unit; write "500 ft2"`},
		`"max-area": "500 ft2", "because"`: {`"because"`, `gives no limit of this check`},
		`"because": "C-9.2"`:               {`"max-units": 4`, `"because" is missing`},
		`"framing": ["i-joist"]`:           {`"framing": ["steel"]`, `instead[1].when.framing`},
	} {
		_, err := Read("x.json", []byte(strings.Replace(amended, from, to[0], 1)), declared)
		var bad *FileError
		if !errors.As(err, &bad) || !strings.Contains(err.Error(), to[1]) {
			t.Errorf("%s: %v, want %q", to[0], err, to[1])
		}
	}
}

// What the model has to show is asked of whoever looks at the model.
func TestShown(t *testing.T) {
	attic := When{Spaces: []string{"attic"}}
	for _, tt := range []struct {
		kinds []string
		want  Answer
	}{{[]string{"attic"}, Yes}, {[]string{"attic", "wall"}, No}, {nil, Unknown}} {
		if a, facts := attic.Decide(Subject{Spaces: tt.kinds}); a != tt.want || a == Unknown && strings.Join(facts, "; ") != "kind of the concealed space" {
			t.Errorf("spaces %v: %v %v, want %v", tt.kinds, a, facts, tt.want)
		}
	}
	if got, want := attic.String(), "concealed space: attic"; got != want {
		t.Errorf("spaces in words %q, want %q", got, want)
	}
	w := When{Occupancy: []string{"two-family"}, Shown: []string{"attic-draftstop-in-line", "ceiling-type-x"}}
	s := Subject{Facts: Facts{Occupancy: "two-family"}}
	if a, facts := w.Decide(s); a != Unknown || strings.Join(facts, "; ") != "an attic draftstop in line with the wall shown in the model; ceilings of Type X board below the attic shown in the model" {
		t.Errorf("%v %v", a, facts)
	}
	for _, tt := range []struct {
		second, want Answer
	}{{Yes, Yes}, {No, No}, {Unknown, Unknown}} {
		s.Shows = func(thing string) Answer {
			if thing == "ceiling-type-x" {
				return tt.second
			}
			return Yes
		}
		if a, _ := w.Decide(s); a != tt.want {
			t.Errorf("%v: %v, want %v", tt.second, a, tt.want)
		}
	}
	s.Facts.Occupancy = "townhouse"
	if a, _ := w.Decide(s); a != No {
		t.Errorf("townhouse: %v", a)
	}
}

// An entry that the file only remembers changes nothing and is named as what may apply; one
// on the edition asks for the year, which the file gives.
func TestConfirmed(t *testing.T) {
	read := func(head, mark string) *Rule {
		a, err := Read("x", []byte(`{"format": "voidcheck-adoption-1", "name": "X", `+head+`"checks": {"floor-draftstop-area": {
			"instead": [{"when": {"framing": ["i-joist"]}, "max-area": "500 ft2", "because": "a"`+mark+`}],
			"exempt": [{"when": {"occupancy": ["R-2"], "edition": {"min": 2018}}, "because": "b"`+mark+`}]}}}`), declared)
		if err != nil {
			t.Fatal(err)
		}
		if head != "" && a.EditionYear != 2021 {
			t.Errorf("edition year %d", a.EditionYear)
		}
		return a.Rule("floor-draftstop-area")
	}
	s := Subject{Facts: Facts{Occupancy: "R-2"}, Framing: []string{"i-joist"}}
	for _, tt := range []struct {
		head, mark string
		edition    int
		exempt     Answer
		facts      string
		amended    bool
	}{
		{"", "", 0, Unknown, "edition_year of the adoption file", true},
		{`"edition_year": 2021, `, "", 2021, Yes, "", true},
		{`"edition_year": 2021, `, `, "confirmed": true`, 2021, Yes, "", true},
		{"", "", 2015, No, "", true},
		{`"edition_year": 2021, `, `, "confirmed": false`, 2021, Unknown, AdoptedText, false},
		{"", `, "confirmed": false`, 0, Unknown, "edition_year of the adoption file, " + AdoptedText, false},
		{"", `, "confirmed": false`, 2015, No, "", false},
	} {
		r := read(tt.head, tt.mark)
		s.Edition = tt.edition
		got, facts := r.Exempt[0].Decide(s)
		if got != tt.exempt || strings.Join(facts, ", ") != tt.facts {
			t.Errorf("%+v: %v %v", tt, got, facts)
		}
		holds, open, unknown := r.Amended(s)
		if (holds != nil) != tt.amended || (open != nil) == tt.amended || !tt.amended && unknown[0] != AdoptedText {
			t.Errorf("%+v: amended %v, open %v by %v", tt, holds, open, unknown)
		}
	}
	if s := (When{Edition: &Bounds{Min: new(2018)}}).String(); s != "edition 2018 and later" {
		t.Error(s)
	}
}
