package drawing

import (
	"context"
	"encoding/json"
	"math"
	"os"
	"testing"

	"voidcheck/checks/adoption"
	"voidcheck/checks/finding"
	"voidcheck/checks/lexicon"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx"
	"voidcheck/ifcx/geom"
)

func demo(t *testing.T, files ...string) (*finding.Drawing, *void.Result) {
	t.Helper()
	var paths []string
	for _, f := range files {
		paths = append(paths, "../../testdata/demo/"+f)
	}
	m, err := ifcx.Open(context.Background(), paths, ifcx.Options{})
	if err != nil {
		t.Fatal(err)
	}
	b, err := recognise.Recognise(context.Background(), m, lexicon.Default(), adoption.Facts{})
	if err != nil {
		t.Fatal(err)
	}
	r, err := void.Solve(context.Background(), &b.Input)
	if err != nil {
		t.Fatal(err)
	}
	return Make(b, r, nil), r
}

// The framed row against what is true of it by arithmetic (testdata/demo/row-truth.json):
// the volume under the ribs of an attic, and how short of the roof the unit wall 2/3 ends.
func TestFramedRow(t *testing.T) {
	d, r := demo(t, "row-architecture.ifc", "row-services.ifc")
	var truth struct {
		Voids []struct {
			Kind     string  `json:"kind"`
			AreaM2   float64 `json:"area_m2"`
			HeightM  float64 `json:"height_m"`
			VolumeM3 float64 `json:"volume_m3"`
		} `json:"voids"`
	}
	data, err := os.ReadFile("../../testdata/demo/row-truth.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, &truth); err != nil {
		t.Fatal(err)
	}
	var heights []float64
	for _, v := range truth.Voids {
		if v.Kind == "attic" {
			heights = append(heights, v.HeightM)
		}
	}
	n := 0
	for i, v := range r.Voids {
		if v.Kind != void.KindAttic {
			continue
		}
		if len(d.Voids[i].Ribs) != ribCount {
			t.Fatalf("%s has %d ribs, want %d", d.Voids[i].ID, len(d.Voids[i].Ribs), ribCount)
		}
		top := math.Inf(-1)
		for _, p := range d.Voids[i].Ribs[2] {
			top = max(top, p[2])
		}
		if got := top - d.Voids[i].Z[0]; math.Abs(got-heights[n]) > 0.002 {
			t.Errorf("%s stands %.4f m high under its rib, want %.4f", d.Voids[i].ID, got, heights[n])
		}
		n++
	}
	if n != len(heights) {
		t.Errorf("%d attics, want %d", n, len(heights))
	}
	// The seeded mistake: the unit wall 2/3 ends 5 in (0.127 m) below the sheathing.
	short := map[string]float64{}
	for _, s := range d.Sections {
		if s.Kind == "along" {
			g := gapBelowRoof(s)
			if old, seen := short[s.Separation]; !seen || g < old {
				short[s.Separation] = g
			}
		}
	}
	for id, want := range map[string]float64{"S1": 0, "S2": 0.127, "S3": 0, "S4": 0} {
		if got, seen := short[id]; !seen || math.Abs(got-want) > 0.004 {
			t.Errorf("section along %s: its wall ends %.4f m below the roof, want %.3f", id, got, want)
		}
	}
}

// gapBelowRoof is the clear height below the roof where a section cuts it highest.
func gapBelowRoof(s finding.Section) float64 {
	top, roof := math.Inf(-1), math.Inf(1)
	for _, c := range s.Cuts {
		for _, ring := range c.Rings {
			for _, p := range ring {
				if c.Role != "roof" {
					top = max(top, p[1])
				}
			}
		}
		for _, b := range c.Boxes {
			if c.Role != "roof" {
				top = max(top, b[3])
			}
		}
	}
	for _, c := range s.Cuts {
		if c.Role == "roof" {
			for _, ring := range c.Rings {
				lo, hi := math.Inf(1), math.Inf(-1)
				for _, p := range ring {
					lo, hi = min(lo, p[1]), max(hi, p[1])
				}
				// The underside meets the ridge a sheathing's height below its top.
				for _, p := range ring {
					if p[1] < hi-0.001 && p[1] > lo+0.5 {
						roof = min(roof, p[1])
					}
				}
			}
		}
	}
	return roof - top
}

func TestEveryStoreyHasWallsAndRooms(t *testing.T) {
	for _, f := range []string{"row-architecture.ifc", "row-layered.ifc"} {
		d, _ := demo(t, f)
		walls, rooms := map[string]int{}, map[string]int{}
		lines := 0
		for _, w := range d.Walls {
			walls[w.Storey]++
			if w.Separation != "" {
				lines++
			}
		}
		for _, r := range d.Rooms {
			rooms[r.Storey]++
			if len(r.Outline) == 0 || r.Unit == "" {
				t.Errorf("%s: room %+v has no outline or no unit", f, r)
			}
		}
		for _, s := range []string{"Level 1", "Level 2"} {
			if walls[s] == 0 || rooms[s] == 0 {
				t.Errorf("%s: %s has %d walls and %d rooms", f, s, walls[s], rooms[s])
			}
		}
		if lines < 8 {
			t.Errorf("%s: %d walls of unit lines, want 4 on each of 2 storeys", f, lines)
		}
	}
}

// Plane cuts against closed formulas: a box, a prism with 64 sides, a plate with a notch.
func TestSlice(t *testing.T) {
	box := geom.BoxMesh(geom.Box{Min: geom.Vec3{X: 1, Y: 2, Z: 3}, Max: geom.Vec3{X: 2, Y: 4, Z: 6}})
	rings := upright(box, plane{origin: geom.Vec2{X: 0, Y: 3}, dir: geom.Vec2{X: 1}, length: 5})
	if len(rings) != 1 || math.Abs(rings[0].Area()-3) > 1e-9 {
		t.Errorf("a box cut square: %v, want 1 x 3", rings)
	}
	if b, ok := asBox(rings[0]); !ok || b != [4]float64{1, 3, 2, 6} {
		t.Errorf("as box: %v %v", b, ok)
	}
	d := geom.Vec2{X: 1, Y: 1}.Unit()
	rings = upright(box, plane{origin: geom.Vec2{X: 0, Y: 1.5}, dir: d, length: 9})
	if want := 3 * math.Sqrt2; len(rings) != 1 || math.Abs(rings[0].Area()-want) > 1e-9 {
		t.Errorf("a box cut at 45 degrees: %v, want an area of %v", rings, want)
	}
	if rings := upright(box, plane{origin: geom.Vec2{X: 0, Y: 9}, dir: geom.Vec2{X: 1}}); rings != nil {
		t.Errorf("a plane beside the box cuts %v", rings)
	}
	if rings := flat(box, 4.5); len(rings) != 1 || math.Abs(rings[0].Area()-2) > 1e-9 {
		t.Errorf("a box cut level: %v, want 1 x 2", rings)
	}
	// A plane in a face: the part on one side counts, once.
	one := len(upright(box, plane{origin: geom.Vec2{X: 0, Y: 2}, dir: geom.Vec2{X: 1}}))
	two := len(upright(box, plane{origin: geom.Vec2{X: 0, Y: 4}, dir: geom.Vec2{X: 1}}))
	if one+two != 1 {
		t.Errorf("planes in two opposite faces cut %d and %d rings, want one in all", one, two)
	}
}
