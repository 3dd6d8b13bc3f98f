package review

import (
	"fmt"
	"testing"

	"voidcheck/checks/catalogue"
	"voidcheck/checks/checktest"
	"voidcheck/checks/finding"
	"voidcheck/ifcx/ifctest"
)

// Floors drawn as layered solids end at their edges: whether a rim or blocks stand there the layers do
// not say. Two of them that meet over a double wall, or end on either side of its gap, are `not-shown` at the unit line, never
// `meets`; where the model shows what closes the ends at another line, `deficient`.
func TestEndsOfLayeredFloors(t *testing.T) {
	for _, walls := range []string{"", "walls"} { // of layers, or framed one by one
		for _, kind := range []string{"double", "two-walls"} {
			for _, apart := range []bool{false, true} {
				for _, shown := range []bool{false, true} {
					if walls == "" && shown {
						continue // a layered wall that runs through is another kind of closing: see the scenarios
					}
					h := ifctest.Row(3)
					h.Depth, h.Layered = 7, true
					h.Separation.Kind = kind
					h.LayerPlan = ifctest.LayerPlan{Framed: walls, FloorsOver: true, FloorsEnd: true, CeilingApart: apart, NoEnds: walls != "" && !shown}
					want, where := finding.NotShown, 2
					if shown {
						h.Defects = []ifctest.Seed{{Kind: "line-open", Separation: 1, Level: 1}}
						want, where = finding.Deficient, 1
					}
					name := fmt.Sprintf("walls %q, %s, ceilings apart %t, ends shown elsewhere %t", walls, kind, apart, shown)
					r := checktest.Review(t, h, ifctest.Disguise{}, catalogue.Checks()...)
					lines := map[string]finding.Outcome{}
					for _, it := range r.Of("floor-draftstop-line") {
						if it.Outcome != finding.Meets {
							lines[fmt.Sprint(it.Units)] = it.Outcome
						}
						if it.Outcome != want && (it.Outcome != finding.Meets || !shown) {
							t.Errorf("%s: %s: %s", name, checktest.Line(&it), it.Message)
						}
					}
					if len(lines) != where {
						t.Errorf("%s: told of %v, want %d unit lines", name, lines, where)
					}
					for _, it := range r.Of("separation-spread") {
						if len(it.Units) == 2 && it.Outcome != want && !(shown && it.Outcome == finding.Meets) {
							t.Errorf("%s: %s: %s", name, checktest.Line(&it), it.Message)
						}
					}
				}
			}
		}
	}
}

// The gap between the rows of a layered double wall is not closed by plates: without blocks the model does not show what
// closes it at any ceiling level, the top one under an attic included. Blocks that are modelled in it close it along and up, since
// studs and plates of its rows stand beside them.
func TestGapsOfLayeredWalls(t *testing.T) {
	for _, attic := range []string{"wall", "sheet"} {
		for _, stops := range []bool{false, true} {
			h := ifctest.Row(2)
			h.Depth, h.Layered, h.Separation.Attic = 8, true, attic
			h.LayerPlan = ifctest.LayerPlan{Framed: "floors", NoCavityStops: !stops}
			r := checktest.Review(t, h, ifctest.Disguise{}, catalogue.Checks()...)
			want := finding.NotShown
			if stops {
				want = finding.Meets
			}
			levels := 0
			for _, it := range append(r.Of("wall-fireblock-level"), r.Of("wall-fireblock-run")...) {
				top := h.Layout().Plate(1)
				if z := r.House(&it).Z; len(it.Units) != 2 || it.Measured == nil && (z > top+0.1 || attic == "sheet" && z > top-0.1) {
					continue // the roof closes what stands in the attic, the chords beside a sheet what it leaves of the gap
				}
				levels++
				if it.Outcome != want {
					t.Errorf("attic %s, stops %t: %s: %s", attic, stops, checktest.Line(&it), it.Message)
				}
			}
			if levels < 3 {
				t.Errorf("attic %s, stops %t: %d levels and runs told", attic, stops, levels)
			}
		}
	}
}
