package voidservices

import (
	"strings"
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
)

func TestServices(t *testing.T) {
	h := checktest.NewHand(2)
	floor := h.Void(void.KindFloor, 1, []int{0}, 60)
	attic := h.Void(void.KindAttic, 1, []int{0, 1}, 120)
	wall := h.Void(void.KindWall, 0, []int{1}, 1)
	wall.Combustible = false
	for _, s := range []struct {
		v      *void.Void
		entity string
	}{{floor, "IfcPipeSegment"}, {floor, "IfcCableSegment"}, {floor, "IfcCableSegment"}, {floor, "IfcJunctionBox"}, {attic, "IfcDuctSegment"}, {wall, "IfcCableSegment"}} {
		s.v.Services = append(s.v.Services, h.Element(recognise.Service, s.entity, "S"))
	}
	r := h.Run(t, Check)
	checktest.Want(t, r, "note modelled | floor void of U1, services", "note modelled | attic over U1 and U2, services")
	for i, want := range []string{"1 outlet or box, 2 cables and 1 pipe. 3 of them may start a fire unseen.", "1 duct. None of them carries current."} {
		if !strings.HasSuffix(r[i].Message, want) {
			t.Errorf("%q does not end in %q", r[i].Message, want)
		}
	}
}

func TestNoServices(t *testing.T) {
	h := checktest.NewHand(1)
	checktest.Want(t, h.Run(t, Check))
	h.Void(void.KindFloor, 1, []int{0}, 60)
	r := h.Run(t, Check)
	checktest.Want(t, r, "note modelled | combustible concealed spaces")
	if !strings.Contains(r[0].Message, "cannot be told") {
		t.Error(r[0].Message)
	}
	h.Part(void.RoleService, -1, 0, 0, 0, 1, 1, 1)
	if r := h.Run(t, Check); !strings.Contains(r[0].Message, "No service is modelled inside") {
		t.Error(r[0].Message)
	}
}
