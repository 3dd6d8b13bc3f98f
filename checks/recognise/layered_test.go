package recognise_test

import (
	"fmt"
	"math"
	"testing"

	"voidcheck/checks/void"
	"voidcheck/ifcx/ifctest"
)

func TestLayeredRow(t *testing.T) {
	for i, plan := range []ifctest.LayerPlan{{}, {FullHeight: true}, {FloorsOver: true}, {NegSense: true}} {
		for j, d := range []ifctest.Disguise{{}, {Naming: ifctest.NamesTerse, RotateDeg: 77, Unit: "ft"}, {Naming: ifctest.NamesGerman, Mirror: true, Schema: "IFC2X3"}, {Naming: ifctest.NamesFrench, Unit: "m"}, {Naming: ifctest.NamesNone, Geometry: "brep"}} {
			if testing.Short() && i != j {
				continue
			}
			t.Run(fmt.Sprint(i, d.Naming), func(t *testing.T) {
				h := small()
				h.Layered, h.LayerPlan, h.Services = true, plan, nil
				m, mb := openFixture(t, h, d)
				b := recogniseModel(t, mb)
				checkUnits(t, m, b)
				if len(b.Separations) != 2 {
					t.Fatalf("%d separations, want 2", len(b.Separations))
				}
				for _, s := range b.Input.Separations {
					height := 0.0
					for _, k := range s.Walls {
						w := b.Input.Walls[k]
						height += w.Z1 - w.Z0
						if w.Kind != void.WallDouble || w.Framed || len(w.Cavities) != 1 || len(w.Gaps) != 1 {
							t.Errorf("wall %d: %+v", k, w)
							continue
						}
						if g := w.Gaps[0].Hi - w.Gaps[0].Lo; math.Abs(g-ifctest.Inch) > 1e-4 {
							t.Errorf("wall %d has a gap of %.5f m", k, g)
						}
						if c := w.Cavities[0].Hi - w.Cavities[0].Lo; math.Abs(c-8*ifctest.Inch) > 1e-4 {
							t.Errorf("wall %d has a cavity of %.5f m, want 8 in", k, c)
						}
					}
					if height < 2*h.WallHeight-0.1 {
						t.Errorf("separation is %.3f m high over two storeys", height)
					}
				}
				if n := countParts(b, void.RoleFraming, void.FramingTruss); n == 0 {
					t.Error("no floor layer of trusses")
				}
				if n := len(m.Find(ifctest.Draftstop)); n != b.Content.Draftstops {
					t.Errorf("%d draftstops, want %d", b.Content.Draftstops, n)
				}
			})
		}
	}
}
