package model_test

import (
	"strings"
	"testing"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/model"
)

// renamed gives every GlobalId of the template house another last-but-three digit, as if
// another tool had exported it.
func renamed(text string) string { return strings.ReplaceAll(text, "'0000000000", "'0000000009") }

func TestFederateTwoUnits(t *testing.T) {
	b := open(t, small(t, 1, site{}), renamed(small(t, 2, site{})))
	if len(b.Files) != 2 || len(b.Storeys) != 2 {
		t.Fatalf("%d files, %d storeys", len(b.Files), len(b.Storeys))
	}
	n := len(b.Elements) / 2
	for i, e := range b.Elements[:n] {
		o := b.Elements[n+i]
		if e.File == o.File || e.Name != o.Name || e.Placement().O.Sub(o.Placement().O).Len() > 1e-6 || e.Storey != o.Storey {
			t.Errorf("%s in millimetres and %s in feet are not in one place", e.Name, o.Name)
		}
		if o.Index != n+i {
			t.Errorf("%s has index %d, want %d", o.Name, o.Index, n+i)
		}
	}
	if len(problems(b, "units-differ")) != 1 {
		t.Errorf("want a note that units differ, got %v", b.Log.All())
	}
	if l := problems(b, "files-apart"); len(l) > 0 {
		t.Errorf("files of one place are said to lie apart: %v", l)
	}
}

func TestFederateApart(t *testing.T) {
	b := open(t, small(t, 0, site{}), renamed(small(t, 0, site{East: 250})))
	l := problems(b, "files-apart")
	if len(l) != 1 || l[0].File != "file2.ifc" {
		t.Errorf("want one warning that file2 lies apart, got %v", b.Log.All())
	}
}

func TestFederateStoreys(t *testing.T) {
	// 0.2 m higher: the same levels. 1 m higher: levels of their own, and a warning each for
	// the names that repeat.
	if b := open(t, small(t, 0, site{}), renamed(small(t, 0, site{Up: 0.2}))); len(b.Storeys) != 2 || len(problems(b, "storey-shifted")) != 2 {
		t.Errorf("0.2 m: %d storeys, %v", len(b.Storeys), b.Log.All())
	}
	b := open(t, small(t, 0, site{}), renamed(small(t, 0, site{Up: 1})))
	if len(b.Storeys) != 4 || len(problems(b, "storey-differs")) != 2 {
		t.Errorf("1 m: %d storeys, %v", len(b.Storeys), b.Log.All())
	}
	for i := 1; i < len(b.Storeys); i++ {
		if b.Storeys[i].ElevationM < b.Storeys[i-1].ElevationM || b.Storeys[i].Index != i {
			t.Errorf("storeys are not in order: %+v", b.Storeys[i])
		}
	}
}

func TestFederateSharedIds(t *testing.T) {
	b := open(t, small(t, 0, site{}), small(t, 0, site{}))
	if len(b.Spaces) != 3 {
		t.Errorf("%d spaces, want 3: a space with the same GlobalId is the same space", len(b.Spaces))
	}
	for _, s := range b.Spaces {
		for _, z := range s.Zones {
			found := false
			for _, x := range z.Spaces {
				found = found || x == s
			}
			if !found {
				t.Errorf("zone %s of %s does not hold it", z.Name, s.Name)
			}
		}
	}
	if l := problems(b, "duplicate-globalid-files"); len(l) != 1 {
		t.Errorf("want one report of shared GlobalIds, got %v", l)
	}
	if n := len(b.Elements); n%2 != 0 {
		t.Errorf("%d elements: both copies must be kept", n)
	}
}

func TestDuplicateGlobalIdInOneFile(t *testing.T) {
	text := strings.Replace(small(t, 0, site{}), "'0000000000000000000052'", "'0000000000000000000051'", 1)
	b := open(t, text)
	if l := problems(b, "duplicate-globalid"); len(l) != 1 || !strings.Contains(l[0].Text, "both are kept") {
		t.Errorf("got %v", l)
	}
	if n := len(element(t, b, "FT1").Parts); n != 3 {
		t.Errorf("%d parts, want 3", n)
	}
}

func TestOddInputs(t *testing.T) {
	base := small(t, 1, site{})
	for name, tc := range map[string]struct{ old, new, code string }{
		"layer of nothing":  {"IFCMATERIALLAYER(#73,12.5,", "IFCMATERIALLAYER(#73,0.,", "layer-thickness"},
		"layer of 10 km":    {"IFCMATERIALLAYER(#73,12.5,", "IFCMATERIALLAYER(#73,10000000.,", "layer-thickness"},
		"no units":          {"#4,#6,#9", "#6", "no-length-unit"},
		"part of itself":    {"(#131,#132,#133));", "(#131,#132,#133,#130));", "part-of-itself"},
		"lonely opening":    {"#121=IFCRELVOIDSELEMENT('1000000000000000000015',$,$,$,#60,#120);", "", "opening-without-host"},
		"two containers":    {"(#60,#150,#160", "(#60,#99,#150,#160", "two-partners"},
		"no storey":         {",#160,#165,#170),#28);", ",#160,#165,#170),#26);", "no-storey"},
		"no GlobalId":       {"IFCDOOR('0000000000000000000041'", "IFCDOOR($", "no-globalid"},
		"missing direction": {".AXIS2.", "$", "layer-direction"},
	} {
		t.Run(name, func(t *testing.T) {
			text := strings.Replace(base, tc.old, tc.new, 1)
			if text == base {
				t.Fatal("the replacement does not apply")
			}
			b := open(t, text)
			if len(problems(b, tc.code)) == 0 {
				t.Errorf("want a problem %s, got %v", tc.code, b.Log.All())
			}
		})
	}
}

func TestCyclesEnd(t *testing.T) {
	// The truss is part of its own web, and the storey is part of the floor.
	text := strings.Replace(small(t, 0, site{}), "ENDSEC;\nEND", "#900=IFCRELAGGREGATES('2000000000000000000001',$,$,$,#133,(#130));\n#901=IFCRELAGGREGATES('0900000000000000000001',$,$,$,#99,(#32));\nENDSEC;\nEND", 1)
	b := open(t, text)
	if len(problems(b, "part-of-itself")) == 0 {
		t.Errorf("want a report of the ring, got %v", b.Log.All())
	}
	for _, e := range b.Elements {
		for w, n := e.Whole, 0; w != nil; w, n = w.Whole, n+1 {
			if n > 100 {
				t.Fatalf("wholes of %s run in a ring", e.Name)
			}
		}
	}
}

func TestNearOriginIsNotMoved(t *testing.T) {
	b := open(t, small(t, 0, site{East: -900, North: 990}))
	if b.Origin != (geom.Vec3{}) {
		t.Errorf("a house within %d m is not moved, got %v", model.FarAway, b.Origin)
	}
}

// Files with local origins of their own: the map conversions say why they lie apart.
func TestFederateMapConversions(t *testing.T) {
	georeferenced := func(text string, east string) string {
		return strings.Replace(text, "ENDSEC;\nEND", "#950=IFCPROJECTEDCRS('EPSG:0',$,$,$,$,$,$);\n#951=IFCMAPCONVERSION(#2,#950,"+east+",2000.,0.,1.,0.,1.);\nENDSEC;\nEND", 1)
	}
	b := open(t, georeferenced(small(t, 0, site{East: 300}), "1000."), georeferenced(renamed(small(t, 0, site{})), "1300."))
	l := problems(b, "files-apart")
	if len(l) != 1 || !strings.Contains(l[0].Text, "300.000 east and 0.000 north") {
		t.Errorf("want the distance of the map origins, got %v", b.Log.All())
	}
	if m := b.Files[0].Map; m == nil || m.CRS != "EPSG:0" || m.Eastings != 1000 || m.Scale != 1 {
		t.Errorf("map conversion %+v", m)
	}
	if len(problems(b, "map-differs")) != 1 {
		t.Errorf("want a note that the map conversions differ, got %v", b.Log.All())
	}
}
