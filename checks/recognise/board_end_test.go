package recognise_test

import (
	"testing"

	"voidcheck/checks/recognise"
	"voidcheck/ifcx/ifctest"
)

// A strip of board at the end of a wall is upright and as narrow as a stud, and a steel post
// stands among wood studs: neither is a stud that would make the wall one of metal.
func TestBoardAtWallEndIsNoStud(t *testing.T) {
	h := small()
	m, err := h.Build()
	if err != nil {
		t.Fatal(err)
	}
	plates := m.Find(ifctest.BottomPlate)
	if len(plates) == 0 {
		t.Fatal("no plates")
	}
	b := plates[0].Bounds()
	top := b.Min.Z + 2.4
	x, y := ifctest.Span{Lo: b.Min.X, Hi: b.Max.X}, ifctest.Span{Lo: b.Min.Y, Hi: b.Max.Y}
	post := ifctest.Box(x, ifctest.Span{Lo: y.Lo + 0.5, Hi: y.Lo + 0.56}, ifctest.Span{Lo: b.Max.Z, Hi: top}, ifctest.Z)
	end := ifctest.Box(x, ifctest.Span{Lo: y.Hi, Hi: y.Hi + 0.016}, ifctest.Span{Lo: b.Min.Z, Hi: top}, ifctest.Z)
	if b.Max.X-b.Min.X > b.Max.Y-b.Min.Y {
		post = ifctest.Box(ifctest.Span{Lo: x.Lo + 0.5, Hi: x.Lo + 0.56}, y, ifctest.Span{Lo: b.Max.Z, Hi: top}, ifctest.Z)
		end = ifctest.Box(ifctest.Span{Lo: x.Hi, Hi: x.Hi + 0.016}, y, ifctest.Span{Lo: b.Min.Z, Hi: top}, ifctest.Z)
	}
	m.Add(ifctest.Gypsum, 0, ifctest.GypsumBd, end)
	m.Add(ifctest.Stud, 0, ifctest.Steel, post)
	for _, d := range []ifctest.Disguise{{}, {RotateDeg: 33, Unit: "ft", Schema: "IFC2X3"}} {
		r := recogniseModel(t, openModel(t, m, d))
		for i := range r.Input.Walls {
			if w := &r.Input.Walls[i]; w.Framed && !w.Combustible {
				t.Errorf("wall %d of storey %d, %.2f m long, is not combustible", i, w.Storey, w.Length)
			}
		}
		for i, th := range r.Things {
			if n := r.Model.Elements[i]; len(n.Materials) > 0 && n.Materials[0] == "Gypsum board" && th.Concept == recognise.Stud {
				t.Errorf("%s is a stud (%s %s)", n.Name, th.Reason.Signal, th.Reason.Value)
			}
		}
	}
}
