package draftstopdoor

import (
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/model"
	"voidcheck/ifcx/shape"
)

func solid(x0, y0, z0, x1, y1, z1 float64) func() *shape.Body {
	b := geom.Box{Min: geom.Vec3{X: x0, Y: y0, Z: z0}, Max: geom.Vec3{X: x1, Y: y1, Z: z1}}
	body := &shape.Body{Solids: []shape.Solid{{Mesh: geom.BoxMesh(b)}}, Box: b}
	return func() *shape.Body { return body }
}

// attic is a sheet across an attic at x = 5 with an opening of a size in metres.
func attic(size float64) (*checktest.Hand, *model.Opening) {
	h := checktest.NewHand(1)
	v := h.Void(void.KindAttic, 1, []int{0}, 60, 60)
	l := h.Line(void.LineDraftstop, v, -1, -1, 0, 0)
	s := h.Element(recognise.Draftstop, "IfcPlate", "AD-1")
	l.Elements = []int{s}
	h.Part(void.RoleDraftstop, s, 5, 0, 5.5, 5.0127, 11, 8)
	o := &model.Opening{Body: solid(4.9, 5, 6, 5.1, 5+size, 6+size)}
	h.B.Things[s].Element.Openings = []*model.Opening{o}
	return h, o
}

func door(h *checktest.Hand, o *model.Opening, name string, props map[string]model.PropValue) {
	d := h.Element(recognise.Other, "IfcDoor", name)
	e := h.B.Model.Elements[d]
	e.SetBody(solid(4.99, 5, 6, 5.03, 5.6, 6.6))
	e.SetProps(func() model.PropSets { return model.PropSets{"Pset_DoorCommon": props} })
	if o != nil {
		o.Fillings = []*model.Element{e}
	}
}

func TestNoDoor(t *testing.T) {
	h, _ := attic(0.6)
	checktest.Want(t, h.Run(t, Check), "deficient modelled | attic over U1, draftstop AD-1, opening")
	small, _ := attic(0.3) // for a duct
	checktest.Want(t, small.Run(t, Check), "note modelled | openings through draftstops")
	duct, _ := attic(0.6)
	duct.Part(void.RoleService, duct.Element(recognise.Service, "IfcDuctSegment", "D"), 4, 5, 6, 6, 5.5, 6.5)
	checktest.Want(t, duct.Run(t, Check), "note modelled | openings through draftstops")
	checktest.Want(t, checktest.NewHand(1).Run(t, Check))
}

// The hole of an open access is told by draftstop-complete; this follows from it.
func TestNoDoorFollowsFromHole(t *testing.T) {
	h, _ := attic(0.6)
	v := h.R.Voids[0]
	o := h.Open(void.OpenHole, v.Compartments[0], v.Compartments[1], h.R.Lines[0], 0.6, 0.6)
	o.Point = geom.Vec3{X: 5, Y: 5.3, Z: 6.3}
	checktest.Want(t, h.Run(t, Check), "deficient modelled | attic over U1, draftstop AD-1, opening | consequence of 1")
}

func TestDoor(t *testing.T) {
	yes, no := true, false
	is := func(b *bool) model.PropValue { return model.PropValue{Bool: b} }
	for _, tt := range []struct {
		name  string
		door  string
		props map[string]model.PropValue
		want  string
	}{
		{"said by properties", "D-1", map[string]model.PropValue{"SelfClosing": is(&yes), "Latch": is(&yes)}, "meets declared | attic over U1, draftstop AD-1, D-1"},
		{"said by words", "Self-closing access door, self-latching", nil, "meets declared | attic over U1, draftstop AD-1, Self-closing access door, self-latching"},
		{"German", "Revisionstür selbstschließend, Falle", nil, "meets declared | attic over U1, draftstop AD-1, Revisionstür selbstschließend, Falle"},
		{"latch not said", "D-1", map[string]model.PropValue{"SelfClosing": is(&yes)}, "not-shown declared | attic over U1, draftstop AD-1, D-1"},
		{"nothing said", "D-1", nil, "not-shown declared | attic over U1, draftstop AD-1, D-1"},
		{"does not close", "D-1", map[string]model.PropValue{"SelfClosing": is(&no), "Latch": is(&yes)}, "deficient declared | attic over U1, draftstop AD-1, D-1"},
		{"no latch", "D-1", map[string]model.PropValue{"SelfClosing": is(&yes), "Latch": {Text: "none"}}, "deficient declared | attic over U1, draftstop AD-1, D-1"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			h, o := attic(0.6)
			door(h, o, tt.door, tt.props)
			checktest.Want(t, h.Run(t, Check), tt.want)
		})
	}
}

// A door that stands in the sheet without filling an opening element counts as well.
func TestDoorWithoutOpening(t *testing.T) {
	h, _ := attic(0.6)
	h.B.Things[0].Element.Openings = nil
	door(h, nil, "Attic hatch", nil)
	h.B.Things[1].Element.Entity = "IfcPlate"
	checktest.Want(t, h.Run(t, Check), "not-shown declared | attic over U1, draftstop AD-1, Attic hatch")
}
