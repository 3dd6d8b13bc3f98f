package model_test

import (
	"bytes"
	"testing"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/ifctest"
	"voidcheck/ifcx/model"
)

// Elements that are alike share what they have in common, and one that is given properties of
// its own leaves the others alone.
func TestKindsAreShared(t *testing.T) {
	var text bytes.Buffer
	if err := ifctest.Row(2).MustBuild().WriteSTEP(&text, ifctest.Disguise{Schema: "IFC4"}); err != nil {
		t.Fatal(err)
	}
	kinds, members := map[*model.Kind][]*model.Element{}, 0
	var last *model.Element
	for _, e := range open(t, text.String()).Elements {
		if e.Is("IfcMember") {
			kinds[e.Kind] = append(kinds[e.Kind], e)
			members++
			last = e
		}
	}
	if len(kinds) > 30 || members < 500 || len(kinds[last.Kind]) < 2 {
		t.Fatalf("%d members are of %d kinds", members, len(kinds))
	}
	peer, entity := kinds[last.Kind][0], last.Entity
	last.SetProps(func() model.PropSets {
		return model.PropSets{"Pset": {"Own": {Text: "yes"}}}
	})
	if p, ok := last.Prop("Pset", "Own"); !ok || p.Text != "yes" || last.Entity != entity {
		t.Errorf("%s has %v", last.Entity, last.Props())
	}
	if _, ok := peer.Prop("Pset", "Own"); ok || peer.Kind == last.Kind {
		t.Errorf("%q has the property of %q", peer.Name, last.Name)
	}
}

// A placement comes back as it was given, to the sign of noughts.
func TestPlacementIsKept(t *testing.T) {
	minus := -1.0
	turned := geom.Mat{X: geom.Vec3{Y: 1}, Y: geom.Vec3{X: -1}, Z: geom.Vec3{Z: 1}, O: geom.Vec3{X: 1, Y: 2, Z: 3}}
	signed := geom.Identity()
	signed.X.Y = 0 * minus
	for _, m := range []geom.Mat{geom.Identity(), turned, signed, {}} {
		e := &model.Element{}
		e.SetPlacement(m)
		if got := e.Placement(); got != m || 1/got.X.Y != 1/m.X.Y {
			t.Errorf("%v came back as %v", m, got)
		}
	}
}
