package recognise_test

import (
	"context"
	"math"
	"testing"

	"voidcheck/checks/adoption"
	"voidcheck/checks/lexicon"
	"voidcheck/checks/recognise"
	"voidcheck/ifcx/ifctest"
	"voidcheck/ifcx/model"
)

func TestUnitsBySignal(t *testing.T) {
	for _, c := range []struct {
		name, rooms, signal string
		zones, assumed      bool
		facts               func(*model.Building) adoption.Facts
	}{
		{name: "zones", rooms: "plain", zones: true, signal: "zone"},
		{name: "letter prefix", rooms: "letter", signal: "space name"},
		{name: "regions", rooms: "plain", signal: "geometry", assumed: true},
		{name: "regions, numbers tell storeys only", rooms: "number", signal: "geometry", assumed: true},
		{name: "submittal", rooms: "plain", signal: "submittal", facts: func(m *model.Building) adoption.Facts {
			var f adoption.Facts
			for i, n := range []string{"North", "Middle", "South"} {
				u := adoption.UnitFact{Name: n}
				for _, s := range m.Spaces {
					if x := s.Body().Box.Center().X; int(x/(16*ifctest.Foot+0.2)) == i {
						u.Spaces = append(u.Spaces, s.GlobalID)
					}
				}
				f.Units = append(f.Units, u)
			}
			return f
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := small()
			h.RoomNames, h.Zones = c.rooms, c.zones
			m, mb := openFixture(t, h, ifctest.Disguise{NoZones: !c.zones})
			var facts adoption.Facts
			if c.facts != nil {
				facts = c.facts(mb)
			}
			b, err := recognise.Recognise(context.Background(), mb, lexicon.Default(), facts)
			if err != nil {
				t.Fatal(err)
			}
			if b.Units[0].Reason.Signal != c.signal || b.Units[0].Assumed != c.assumed {
				t.Fatalf("units by %+v, assumed %v, want %s", b.Units[0].Reason, b.Units[0].Assumed, c.signal)
			}
			sum := 0.0
			for _, u := range b.Units {
				sum += u.PlanM2
			}
			want := 0.0
			for _, a := range m.Truth.UnitAreasM2 {
				want += a
			}
			if len(b.Units) != 3 || len(b.Separations) != 2 || math.Abs(sum-want) > 0.05 {
				t.Errorf("%d units of %.3f m2 in all, %d separations; want 3 of %.3f m2 and 2", len(b.Units), sum, len(b.Separations), want)
			}
		})
	}
}

// Without spaces rooms are inferred between deck, ceiling and walls.
func TestRoomsInferred(t *testing.T) {
	for _, layered := range []bool{false, true} {
		h := small()
		if layered {
			h.Layered, h.Services = true, nil
			h.Units[1].Draftstops = nil
		}
		m, mb := openFixture(t, h, ifctest.Disguise{NoZones: true, RotateDeg: 20})
		mb.Spaces, mb.Zones = nil, nil
		b := recogniseModel(t, mb)
		if len(b.Units) != 3 || len(b.Separations) != 2 || !b.Content.RoomsInferred || !b.Content.UnitsAssumed {
			t.Errorf("layered %v: %d units, %d separations, content %+v", layered, len(b.Units), len(b.Separations), b.Content)
			continue
		}
		for i, u := range b.Units {
			if want := m.Truth.UnitAreasM2[i]; math.Abs(u.PlanM2-want) > 0.01*want {
				t.Errorf("layered %v: unit %d has %.3f m2, its rooms %.3f", layered, i, u.PlanM2, want)
			}
		}
		for _, r := range b.Input.Rooms {
			if r.Element != -1 {
				t.Errorf("layered %v: an inferred room names element %d", layered, r.Element)
			}
		}
	}
}
