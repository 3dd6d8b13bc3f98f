package chimneyfireblock

import (
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// stack is a chimney of 0.4 x 0.4 m from z = 0 to 6 through a deck at 3 m; ring is the
// clear width round it in the deck, none for no modelled hole.
func stack(ring float64) *checktest.Hand {
	h := checktest.NewHand(1)
	h.Part(void.RoleChimney, h.Element(recognise.Chimney, "IfcChimney", "CH 1"), 4, 4, 0, 4.4, 4.4, 6)
	d := h.Element(recognise.Deck, "IfcSlab", "SF 1")
	if ring == 0 {
		h.Part(void.RoleDeck, d, 0, 0, 2.98, 9.8, 11, 3)
		return h
	}
	m := &geom.Mesh{} // one deck with a hole: four boards round it
	for _, b := range [][4]float64{{0, 0, 4 - ring, 11}, {4.4 + ring, 0, 9.8, 11}, {4 - ring, 0, 4.4 + ring, 4 - ring}, {4 - ring, 4.4 + ring, 4.4 + ring, 11}} {
		m.Append(geom.BoxMesh(geom.Box{Min: geom.Vec3{X: b[0], Y: b[1], Z: 2.98}, Max: geom.Vec3{X: b[2], Y: b[3], Z: 3}}))
	}
	h.B.Input.Parts = append(h.B.Input.Parts, void.Part{Mesh: m, Role: void.RoleDeck, Element: d, Assembly: -1})
	return h
}

// fill closes the space round the chimney with a collar of a material, deep metres high.
func fill(h *checktest.Hand, material string, deep float64) {
	e := h.Element(recognise.Fireblock, "IfcMember", "B")
	h.B.Things[e].Element.Materials = []string{material}
	h.Part(void.RoleBlock, e, 3.95, 3.95, 2.98-deep, 4.45, 4.45, 2.98)
}

func TestOpen(t *testing.T) {
	checktest.Want(t, stack(0.05).Run(t, Check), "deficient modelled | CH 1 through the floor | 0.05 m")
	checktest.Want(t, stack(0).Run(t, Check), "not-shown modelled | CH 1 through the floor")
	checktest.Want(t, stack(0.006).Run(t, Check), "not-shown modelled | CH 1 through the floor")
	checktest.Want(t, checktest.NewHand(1).Run(t, Check), "note modelled | chimneys")
}

// About 1 in deep and noncombustible (Lake Forest chimney ordinance; R1003.19 from memory);
// not satisfied by wood.
func TestFilled(t *testing.T) {
	for _, tt := range []struct {
		material string
		deep     float64
		want     string
	}{
		{"Mineral wool", 0.0254, "meets declared | CH 1 through the floor"},
		{"Mineral wool", 0.0127, "deficient declared | CH 1 through the floor | 0.0127 m"},
		{"SPF lumber", 0.0381, "deficient declared | CH 1 through the floor"},
		{"Sheet steel", 0.001, "not-shown declared | CH 1 through the floor"},
		{"Insulation", 0.1, "not-shown declared | CH 1 through the floor"},
	} {
		h := stack(0.05)
		fill(h, tt.material, tt.deep)
		checktest.Want(t, h.Run(t, Check), tt.want)
	}
}

// One ceiling closed and the floor not: the others in the submittal are closed.
func TestAbsence(t *testing.T) {
	h := stack(0)
	h.Part(void.RoleCeiling, h.Element(recognise.Ceiling, "IfcCovering", "GC"), 0, 0, 2.4, 9.8, 11, 2.4127)
	checktest.Want(t, h.Run(t, Check), "not-shown modelled | chimneys through floors and ceilings")
	e := h.Element(recognise.Seal, "IfcMember", "B")
	h.B.Things[e].Element.Materials = []string{"Mineral wool"}
	h.Part(void.RoleSeal, e, 3.95, 3.95, 2.35, 4.45, 4.45, 2.39)
	checktest.Want(t, h.Run(t, Check), "meets declared | CH 1 through the ceiling", "deficient modelled | CH 1 through the floor")
}

func TestConcreteFloor(t *testing.T) {
	h := stack(0.05)
	h.B.Things[1].Element.Materials = []string{"Concrete"}
	checktest.Want(t, h.Run(t, Check), "note modelled | chimneys")
}
