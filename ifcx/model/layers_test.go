package model_test

import (
	"context"
	"strings"
	"testing"

	"voidcheck/ifcx/geom"
)

// The template's wall is 0.228 m thick, from 4.886 to 5.114 along x; its layers start at
// 4.886. Each case declares something else; the solid stays.
func TestLayersAgainstSolid(t *testing.T) {
	for name, tc := range map[string]struct {
		old, new string
		axis     geom.Vec3
		base     float64 // along x
		placed   bool
		code     string
	}{
		"as declared":     {"", "", geom.Vec3{X: 1}, 4.886, true, ""},
		"from other face": {".NEGATIVE.,0.114,", ".POSITIVE.,-0.114,", geom.Vec3{X: -1}, 5.114, true, ""},
		"wrong sense":     {".NEGATIVE.,0.114,", ".POSITIVE.,0.114,", geom.Vec3{X: 1}, 4.886, true, "layers-reversed"},
		"wrong offset":    {".NEGATIVE.,0.114,", ".NEGATIVE.,0.05,", geom.Vec3{X: 1}, 4.886, true, "layers-shifted"},
		"wrong axis":      {".AXIS2.,.NEGATIVE.", ".AXIS1.,.NEGATIVE.", geom.Vec3{X: -1}, 5.114, false, "layers-turned"},
		"4 mm is nothing": {".NEGATIVE.,0.114,", ".NEGATIVE.,0.118,", geom.Vec3{X: 1}, 4.882, true, ""},
		"thinner solid":   {"4.,0.228);", "4.,0.220);", geom.Vec3{X: 1}, 4.886, true, ""},
		"thick solid":     {"4.,0.228);", "4.,0.5);", geom.Vec3{X: 1}, 4.886, true, "layers-thickness"},
		"solid elsewhere": {"#58=IFCAXIS2PLACEMENT2D(#57,$);", "#58=IFCAXIS2PLACEMENT2D(#999,$);\n#999=IFCCARTESIANPOINT((2.,3.));", geom.Vec3{}, 0, true, "layers-shifted"},
		"neither":         {"4.,0.228);", "4.,0.1);\n#998=IFCCARTESIANPOINT((2.,2.));", geom.Vec3{X: 1}, 4.886, true, "layers-thickness"},
	} {
		t.Run(name, func(t *testing.T) {
			text := small(t, 0, site{})
			if tc.old != "" {
				if !strings.Contains(text, tc.old) {
					t.Fatalf("the replacement does not apply")
				}
				text = strings.Replace(text, tc.old, tc.new, 1)
			}
			// The opening has the wall's own solid; without it the wall keeps its body.
			text = strings.Replace(text, "#120=IFCOPENINGELEMENT('0000000000000000000040',$,'Hole',$,$,#52,#63,", "#120=IFCOPENINGELEMENT('0000000000000000000040',$,'Hole',$,$,#52,$,", 1)
			b := open(t, text)
			if err := b.Bodies(context.Background(), 2); err != nil {
				t.Fatal(err)
			}
			e := element(t, b, "Party wall")
			l := e.Layers
			if l.Placed != tc.placed {
				t.Fatalf("placed %v, body %v, problems %v", l.Placed, e.Body().Box, b.Log.All())
			}
			if tc.axis != (geom.Vec3{}) {
				sameVec(t, "axis", l.Axis, tc.axis)
				if l.Base.X-tc.base > 1e-6 || tc.base-l.Base.X > 1e-6 {
					t.Errorf("base at %g, want %g", l.Base.X, tc.base)
				}
			}
			for _, code := range []string{"layers-reversed", "layers-shifted", "layers-turned", "layers-thickness"} {
				found := false
				for _, p := range problems(b, code) {
					found = found || p.Name == "Party wall"
				}
				if found != (code == tc.code) {
					t.Errorf("problem %s: %v, want %q: %v", code, found, tc.code, b.Log.All())
				}
			}
		})
	}
}

// A set without usage has no order to trust, but the direction can be seen in the solid.
func TestLayersWithoutUsage(t *testing.T) {
	b := open(t, small(t, 3, site{}))
	if err := b.Bodies(context.Background(), 2); err != nil {
		t.Fatal(err)
	}
	l := element(t, b, "Roof deck").Layers
	if l.Placed {
		t.Error("must not be placed")
	}
	sameVec(t, "axis", l.Axis, geom.Vec3{Z: 1})
	if !near(l.Base.Z, 2.7) {
		t.Errorf("base at %g, want 2.7", l.Base.Z)
	}
}

func TestCurvedWallIsNotPlaced(t *testing.T) {
	text := strings.Replace(small(t, 0, site{}), "#55=IFCPOLYLINE((#53,#54));", "#55=IFCPOLYLINE((#53,#997,#54));\n#997=IFCCARTESIANPOINT((2.,0.3));", 1)
	text = strings.Replace(text, "#120=IFCOPENINGELEMENT('0000000000000000000040',$,'Hole',$,$,#52,#63,", "#120=IFCOPENINGELEMENT('0000000000000000000040',$,'Hole',$,$,#52,$,", 1)
	b := open(t, text)
	if err := b.Bodies(context.Background(), 1); err != nil {
		t.Fatal(err)
	}
	if element(t, b, "Party wall").Layers.Placed || len(problems(b, "layers-curved")) != 1 {
		t.Errorf("want a report of the curved axis: %v", b.Log.All())
	}
}
