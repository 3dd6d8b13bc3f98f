package catalogue

import (
	"strings"
	"testing"

	"voidcheck/checks/adoption"
	"voidcheck/checks/checktest"
	"voidcheck/checks/finding"
	"voidcheck/ifcx/ifctest"
)

// corridorHouse is a row of two flats with a corridor between them: the middle of three units
// is in no zone and its rooms are called so.
func corridorHouse(t *testing.T, defects ...ifctest.Seed) *ifctest.Model {
	t.Helper()
	h := ifctest.Row(3)
	h.Name, h.Depth = "Corridor", 24*ifctest.Foot
	h.Units[1].Width = 7 * ifctest.Foot
	h.Zones, h.RoomNames = true, "plain"
	h.Defects = defects
	m, err := h.Build()
	if err != nil {
		t.Fatal(err)
	}
	var zones []ifctest.Zone
	for _, z := range m.Zones {
		if z.Unit != 1 {
			zones = append(zones, z)
		}
	}
	m.Zones = zones
	for _, r := range m.Rooms {
		if r.Unit == 1 {
			r.Use = "Corridor"
		}
	}
	return m
}

// In Group R the walls between flats and a corridor are unit lines: in R-1, and in R-2 above four storeys, the
// attic is stopped in line with them, and of the two walls of a corridor one is enough (IBC
// 718.4.2 exception 1: seen in 780 CMR 717.4.2; for floors in 708.4.2 since 2018).
func TestCorridor(t *testing.T) {
	attic := func(sep int) ifctest.Seed { return ifctest.Seed{Kind: "attic-open", Separation: sep} }
	floor := func(sep int) ifctest.Seed { return ifctest.Seed{Kind: "line-open", Separation: sep, Level: 1} }
	ibc, irc := starter(t, "ibc-based"), starter(t, "irc-based")
	at := func(year int) *adoption.Adoption { a := *ibc; a.EditionYear = year; return &a }
	for _, tt := range []struct {
		name    string
		a       *adoption.Adoption
		defects []ifctest.Seed
		check   string
		want    []string // outcomes of what is not met, by place
		open    bool     // a fact is asked for
	}{
		{"closed", ibc, nil, "attic-draftstop-line", nil, false},
		{"one side open", ibc, []ifctest.Seed{attic(1)}, "attic-draftstop-line", []string{"exempt unit line Unit 3/common space"}, false},
		{"both sides open", ibc, []ifctest.Seed{attic(0), attic(1)}, "attic-draftstop-line", []string{"deficient unit line Unit 1/common space", "deficient unit line Unit 3/common space"}, false},
		{"one side open, IRC", irc, []ifctest.Seed{attic(1)}, "attic-draftstop-line", []string{"deficient unit line Unit 3/common space"}, false},
		{"floor open at one side, 2021", at(2021), []ifctest.Seed{floor(0)}, "floor-draftstop-line", []string{"exempt unit line Unit 1/common space"}, false},
		{"floor open at one side, 2015", at(2015), []ifctest.Seed{floor(0)}, "floor-draftstop-line", []string{"deficient unit line Unit 1/common space"}, false},
		{"floor open at one side, edition unknown", ibc, []ifctest.Seed{floor(0)}, "floor-draftstop-line", []string{"deficient unit line Unit 1/common space"}, true},
	} {
		t.Run(tt.name, func(t *testing.T) {
			f := adoption.Facts{Occupancy: "R-1", Storeys: 5, Sprinklers: "none"}
			r := checktest.ReviewModel(t, corridorHouse(t, tt.defects...), ifctest.Disguise{RotateDeg: 33, Unit: "ft"}, checktest.With{Facts: f, Adoption: tt.a}, Checks()...)
			if n := len(r.Building.Units); n != 2 || len(r.Building.Separations) != 2 {
				t.Fatalf("%d units, separations %v", n, r.Building.Separations)
			}
			got := map[string]bool{}
			for i := range r.Items {
				it := &r.Items[i]
				if it.Check != tt.check || it.Outcome == finding.Note || it.Outcome == finding.Meets {
					continue
				}
				place, _, _ := strings.Cut(it.Place, ",")
				if it.Outcome == finding.Exempt && !strings.Contains(it.Exemption, "one side of the corridor") {
					t.Errorf("exempt: %s", it.Exemption)
				}
				got[string(it.Outcome)+" "+place] = true
				if strings.Contains(it.Undecided, "edition_year") != tt.open {
					t.Errorf("undecided %q", it.Undecided)
				}
			}
			for _, w := range tt.want {
				if !got[w] {
					t.Errorf("no %s", w)
				}
				delete(got, w)
			}
			for g := range got {
				t.Errorf("not wanted: %s", g)
			}
			if spread := r.Of("separation-spread"); tt.name == "both sides open" {
				if len(spread) == 0 || spread[0].Outcome != finding.Deficient {
					t.Errorf("the way from flat to flat over the corridor: %s", checktest.Lines(spread))
				}
			}
		})
	}
}

// A hallway inside a flat that its zone leaves out is no corridor: one unit alone is beside it.
func TestHallwayIsNoCorridor(t *testing.T) {
	h := ifctest.Row(2)
	h.Depth, h.Zones, h.RoomNames = 24*ifctest.Foot, true, "plain"
	m := h.MustBuild()
	left := m.Zones[0].Rooms[0]
	m.Zones[0].Rooms = m.Zones[0].Rooms[1:]
	left.Use = "Hallway"
	r := checktest.ReviewModel(t, m, ifctest.Disguise{}, checktest.With{Facts: checktest.Facts}, Checks()...)
	if n := len(r.Building.Separations); n != 1 || r.Building.Separations[0].Units != [2]int{0, 1} {
		t.Errorf("separations %+v", r.Building.Separations)
	}
}
