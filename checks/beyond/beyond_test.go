package beyond

import (
	"regexp"
	"testing"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/measure"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
)

func TestTable(t *testing.T) {
	key := regexp.MustCompile(`^[A-Z]+-x?[0-9]+[a-z]?(\.v)?(( to |, )[A-Z]+-x?[0-9]+[a-z]?)*$`)
	seen := map[string]bool{}
	for _, r := range Rows() {
		if r.Topic == "" || r.Show == "" || !key.MatchString(r.Keys) || conditions[r.When] == nil || seen[r.Topic] {
			t.Errorf("row %+v", r)
		}
		seen[r.Topic] = true
		if si := r.text(measure.SI); regexp.MustCompile(`(^|\s)[0-9/]+ (in|ft|ft2)\b|[{}]`).MatchString(si) {
			t.Errorf("in SI: %s", si)
		}
	}
}

func TestConditions(t *testing.T) {
	topics := func(p *checks.Pass) map[string]bool {
		m := map[string]bool{}
		for _, r := range Notes(p) {
			m[r.Place] = true
		}
		return m
	}
	bare := &checks.Pass{Building: &recognise.Building{}, Voids: &void.Result{}}
	if got := topics(bare); len(got) != 2 || !got["exterior wall coverings"] || !got["sleepers under floors"] {
		t.Errorf("bare building: %v", got)
	}
	b := &recognise.Building{}
	b.Input.Separations = []void.Separation{{}}
	b.Input.Parts = []void.Part{{Role: void.RoleStair}}
	p := &checks.Pass{Building: b, Facts: adoption.Facts{Occupancy: "R-2", Sprinklers: "NFPA 13R", Construction: "IIA"},
		Voids: &void.Result{Voids: []*void.Void{{Kind: void.KindAttic, HeightMaxM: 0.75, AreaM2: 100}, {Kind: void.KindFloor, Framing: void.FramingTruss}}}}
	got := topics(p)
	for topic, want := range map[string]bool{
		"ratings of unit separations": true, "parapets and roofs at townhouse walls": false, "usable space under stairs": true, "attic access": false,
		"truss drawings": true, "sprinklers in high attics": true, "combustibles in noncombustible construction": true, "listed penetration systems": false,
	} {
		if got[topic] != want {
			t.Errorf("%s: %v, want %v", topic, got[topic], want)
		}
	}
	if got["blocks up tall walls"] || got["sprinkler heads in rated walls"] {
		t.Errorf("no cavity and no sprinkler is modelled: %v", got)
	}
	p.Voids.Cavities = []*void.WallCavity{{RiseMaxM: 3.05}}
	if !topics(p)["blocks up tall walls"] {
		t.Error("a cavity of more than 10 ft")
	}
	p.Voids.Voids[0].HeightMaxM = 0.762 // 30 in
	p.Facts.Occupancy = ""
	if got := topics(p); !got["attic access"] || !got["parapets and roofs at townhouse walls"] {
		t.Errorf("30 in high attic, occupancy unknown: %v", got)
	}
}
