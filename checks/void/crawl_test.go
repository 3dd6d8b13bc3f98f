package void

import (
	"math"
	"testing"

	"voidcheck/ifcx/geom"
)

// The lowest floor without a ceiling: over a crawl space, with or without a room that the model
// names there, and over the height of a room that no room is modelled in. The bays of joists and
// of trusses are found alike.
func TestFloorOverCrawlSpace(t *testing.T) {
	const deep, thick = 0.235, 0.018
	for _, tt := range []struct {
		name  string
		clear float64
		room  bool
		kind  Kind
	}{
		{"crawl space", 1, false, KindCrawl}, {"crawl space with a room", 1, true, KindCrawl},
		{"basement", 2.3, false, KindFloor}, {"basement with a room", 2.3, true, KindFloor},
	} {
		for _, role := range []Role{RoleJoist, RoleChord} {
			in := &Input{Levels: []float64{0}, Units: 1, MaxGap: 0.0127}
			add := func(r Role, x0, y0, z0, x1, y1, z1 float64) {
				in.Parts = append(in.Parts, Part{Mesh: geom.BoxMesh(box(x0, x1, y0, y1, z0, z1)), Role: r, Element: len(in.Parts), Assembly: -1})
			}
			foot := -thick - deep
			add(RoleDeck, 0, 0, -thick, 6, 4, 0)
			add(RoleDeck, 0, 0, foot-tt.clear-0.1, 6, 4, foot-tt.clear)
			for _, x := range []float64{0, 6 - 0.038} {
				add(RoleRim, x, 0, foot, x+0.038, 4, -thick)
			}
			for y := 0.0; y < 4; y += 0.3962 {
				add(role, 0.038, y, foot, 6-0.038, y+0.038, -thick)
			}
			in.Rooms = []Room{{Mesh: geom.BoxMesh(box(0.1, 5.9, 0.1, 3.9, 0, 2.4)), Unit: 0, Element: 0}}
			if tt.room {
				in.Rooms = append(in.Rooms, Room{Mesh: geom.BoxMesh(box(0.1, 5.9, 0.1, 3.9, foot-tt.clear, foot)), Unit: 0, Element: 1})
			}
			r := mustSolve(t, disguise(in, 30, 2, 1, false))
			area := 0.0
			for _, v := range r.Voids {
				area += v.AreaM2
				if v.Kind != tt.kind || v.UsableBelow != (tt.kind == KindFloor) {
					t.Errorf("%s: a %s, usable below %v; want a %s", tt.name, v.Kind, v.UsableBelow, tt.kind)
				}
			}
			if area < 0.85*6*4 || math.IsNaN(area) {
				t.Errorf("%s: voids of %.1f m2 under a floor of 24", tt.name, area)
			}
		}
	}
}
