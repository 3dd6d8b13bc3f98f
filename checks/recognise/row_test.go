package recognise_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/ifctest"
)

// tally counts the elements of the concepts that the builder counts too.
func tally(b *recognise.Building) map[string]int {
	n := map[string]int{}
	for _, t := range b.Trusses {
		n[string(t.Concept)]++
	}
	for _, c := range []recognise.Concept{recognise.Stud, recognise.Plate, recognise.Fireblock, recognise.Draftstop, recognise.Ceiling, recognise.Seal, recognise.Service} {
		n[string(c)] = len(b.Of(c))
	}
	n["deck"] = len(b.Of(recognise.Deck))
	return n
}

// built counts the same in the builder's model.
func built(m *ifctest.Model) map[string]int {
	f := func(rs ...ifctest.Role) int {
		n := 0
		for _, r := range rs {
			n += len(m.Find(r))
		}
		return n
	}
	n := map[string]int{
		"floor-truss": f(ifctest.FloorTruss), "roof-truss": f(ifctest.RoofTruss),
		"stud": f(ifctest.Stud, ifctest.GableStud), "plate": f(ifctest.BottomPlate, ifctest.TopPlate),
		"fireblock": f(ifctest.Block, ifctest.LevelBlock, ifctest.RunBlock),
		"draftstop": f(ifctest.Draftstop, ifctest.AtticStop), "ceiling": f(ifctest.Ceiling), "deck": f(ifctest.Deck, ifctest.Slab),
		"seal": f(ifctest.Seal),
	}
	if m.Services != nil {
		n["service"] = len(m.Services.Find(ifctest.PipeSeg)) + len(m.Services.Find(ifctest.DuctSeg)) + len(m.Services.Find(ifctest.CableSeg))
		n["seal"] += len(m.Services.Find(ifctest.Seal))
	}
	for k, v := range n {
		if v == 0 {
			delete(n, k)
		}
	}
	return n
}

func checkTally(t *testing.T, m *ifctest.Model, b *recognise.Building, count map[string]int) {
	t.Helper()
	got := tally(b)
	for k, want := range count {
		if got[k] != want {
			t.Errorf("%d elements are recognised as %s, the builder made %d", got[k], k, want)
		}
	}
	if len(b.Input.Separations) != len(m.House.Units)-1 {
		t.Errorf("%d separations, want %d", len(b.Input.Separations), len(m.House.Units)-1)
	}
	for _, s := range b.Input.Separations {
		length := make([]float64, m.House.Storeys)
		for _, k := range s.Walls {
			w := b.Input.Walls[k]
			if w.Z1-w.Z0 > 1.8 && w.Z0 < b.Input.Levels[w.Storey]+0.5 {
				length[w.Storey] += w.Length
			}
		}
		for k, l := range length {
			if math.Abs(l-length[0]) > 0.05 || l < m.House.Depth {
				t.Errorf("separation %v is %.3f m long on storey %d, %.3f m on the lowest", s.Units, l, k, length[0])
			}
		}
	}
}

// small is a row of three with a draftstop, an attic sheet and services.
func small() ifctest.House {
	h := ifctest.Row(3)
	h.Depth = 20 * ifctest.Foot
	for i := range h.Units {
		h.Units[i].Width = 16 * ifctest.Foot
	}
	h.Units[1].Draftstops = []float64{8 * ifctest.Foot}
	h.Services = []ifctest.Service{
		{Kind: "pipe", Through: "floor", Unit: 0, Level: 1, At: 4 * ifctest.Foot, Diameter: 2 * ifctest.Inch, Ring: 0.25 * ifctest.Inch, Sealed: true},
		{Kind: "duct", Through: "void", Unit: 0, Level: 1, At: 10 * ifctest.Foot, Diameter: 6 * ifctest.Inch},
	}
	return h
}

func TestRowCountsUnderDisguise(t *testing.T) {
	disguises := []ifctest.Disguise{
		{},
		{Naming: ifctest.NamesTerse, Unit: "ft", RotateDeg: 37, Schema: "IFC2X3"},
		{Naming: ifctest.NamesGerman, Unit: "m", Mirror: true, Shift: [3]float64{1e6, -2e6, 300}, Seed: 7},
		{Naming: ifctest.NamesFrench, Unit: "in", RotateDeg: 90, Geometry: "brep", Schema: "IFC4X3"},
		{Naming: ifctest.NamesNone, RotateDeg: -15, Overlap: 0.02, Geometry: "mesh"},
		{Naming: ifctest.NamesNone, Clearance: 0.002, Seed: 3, Geometry: "mapped"},
	}
	if testing.Short() {
		disguises = disguises[:2]
	}
	for i, d := range disguises {
		t.Run(fmt.Sprint(i, d.Naming), func(t *testing.T) {
			h := small()
			if i%2 == 1 {
				h.LooseParts = true
				h.BlocksAs, h.BoardsAs, h.StopsAs, h.WallsAs = "proxy", "plate", "covering", "assembly"
			}
			m, mb := openFixture(t, h, d)
			b := recogniseModel(t, mb)
			want := built(m)
			if d.Naming == "" { // "Eave blocking board"
				want["fireblock"] += len(m.Find(ifctest.EaveBoard))
			}
			checkTally(t, m, b, want)
			checkUnits(t, m, b)
			if math.Abs(math.Mod(math.Atan2(b.Turn.Y, b.Turn.X)*180/math.Pi-d.RotateDeg+720+45, 90)-45) > 1e-4 {
				t.Errorf("turn %v for a building turned by %g degrees", b.Turn, d.RotateDeg)
			}
		})
	}
}

func checkUnits(t *testing.T, m *ifctest.Model, b *recognise.Building) {
	t.Helper()
	if len(b.Units) != m.Truth.Units {
		t.Fatalf("%d units, want %d", len(b.Units), m.Truth.Units)
	}
	for i, u := range b.Units {
		if want := m.Truth.UnitAreasM2[i]; math.Abs(u.PlanM2-want) > 0.01 {
			t.Errorf("unit %s has %.4f m2, want %.4f", u.Name, u.PlanM2, want)
		}
	}
}

// Geometry alone, without any word, type or material, must tell the same.
func TestRowCountsWithoutWordsOrTypes(t *testing.T) {
	for _, c := range []struct {
		name string
		edit func(*ifctest.House)
	}{
		{"double", func(*ifctest.House) {}},
		{"loose", func(h *ifctest.House) { h.LooseParts = true }},
		{"along", func(h *ifctest.House) { h.Floor.Along = "y"; h.Units[1].Draftstops = nil }},
		{"single", func(h *ifctest.House) { h.Separation.Kind = "single" }},
		{"two walls", func(h *ifctest.House) { h.Separation.Kind = "two-walls" }},
		{"attic sheet", func(h *ifctest.House) { h.Separation.Attic = "sheet" }},
		{"mono-pitched roof", func(h *ifctest.House) { h.Roof.Kind, h.Roof.Pitch = "mono", 0.1 }},
		{"metric", func(h *ifctest.House) {
			h.Floor.Depth, h.Floor.Spacing, h.Floor.Width, h.Floor.Chord, h.Floor.Deck, h.Floor.Ceiling = 0.40, 0.61, 0.045, 0.045, 0.022, 0.0125
			h.Separation.Stud, h.Separation.Gap, h.Separation.Gypsum, h.StudGap = 0.095, 0.04, 0.0125, 0.6
		}},
		{"one storey", func(h *ifctest.House) { h.Storeys, h.Services, h.Units[1].Draftstops = 1, nil, nil }},
		{"three storeys", func(h *ifctest.House) { h.Storeys = 3 }},
		{"10 mm gap", func(h *ifctest.House) { h.Separation.Gap = 0.01 }},
		{"140 mm gap", func(h *ifctest.House) { h.Separation.Gap = 0.14 }},
		{"no ceilings", func(h *ifctest.House) { h.NoCeilings = true }},
		{"no stops", func(h *ifctest.House) { h.NoStops = true }},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := small()
			c.edit(&h)
			m, mb := openFixture(t, h, ifctest.Disguise{RotateDeg: 12})
			names := strip(mb, true)
			b := recogniseModel(t, mb)
			checkTally(t, m, b, built(m))
			checkUnits(t, m, b)
			if t.Failed() {
				for i, th := range b.Things {
					want := kindOfName(names[i])
					if strings.HasSuffix(want, "raftstop") != (th.Concept == recognise.Draftstop) {
						t.Logf("%s -> %s (%s)", names[i], th.Concept, th.Reason.Value)
					}
				}
			}
		})
	}
}

func TestDoubleSeparationStrip(t *testing.T) {
	h := small()
	_, mb := openFixture(t, h, ifctest.Disguise{Naming: ifctest.NamesNone})
	b := recogniseModel(t, mb)
	const stud, gap, gyp = ifctest.FourWide, ifctest.Inch, ifctest.FiveEighth
	for _, s := range b.Input.Separations {
		for _, k := range s.Walls {
			w := b.Input.Walls[k]
			if w.Kind != void.WallDouble || !w.Framed || !w.Combustible {
				t.Errorf("wall %d is %s, framed %v, combustible %v", k, w.Kind, w.Framed, w.Combustible)
			}
			// Double 2x4 with 1 in gap and one 5/8 in board a side is 9.25 in (code-facts 2.5).
			if d := w.Across.Hi - w.Across.Lo; math.Abs(d-9.25*ifctest.Inch) > 1e-4 {
				t.Errorf("wall %d is %.5f m thick, want %.5f", k, d, 9.25*ifctest.Inch)
			}
			if len(w.Cavities) != 1 || math.Abs(w.Cavities[0].Hi-w.Cavities[0].Lo-2*stud-gap) > 1e-4 {
				t.Errorf("wall %d has cavities %v", k, w.Cavities)
			}
			if len(w.Rows) != 2 || len(w.Gaps) != 1 || math.Abs(w.Gaps[0].Hi-w.Gaps[0].Lo-gap) > 1e-4 {
				t.Errorf("wall %d has rows %v, gaps %v", k, w.Rows, w.Gaps)
			}
			if math.Abs(w.Cavities[0].Lo-w.Across.Lo-gyp) > 1e-4 {
				t.Errorf("wall %d: board of %.5f m", k, w.Cavities[0].Lo-w.Across.Lo)
			}
		}
	}
}
