package recognise_test

import (
	"fmt"
	"math"
	"testing"

	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/model"
	"voidcheck/ifcx/shape"
	"voidcheck/ifcx/source"
)

// yard is a model of plain boxes, for walls that the row builder does not make.
type yard struct{ m *model.Building }

func newYard(levels ...float64) *yard {
	y := &yard{&model.Building{Log: &source.Log{}}}
	for i, z := range levels {
		y.m.Storeys = append(y.m.Storeys, &model.Storey{Index: i, Name: fmt.Sprint("L", i), ElevationM: z})
	}
	return y
}

// box adds an element of one box, x by y by z.
func (y *yard) box(entity string, material string, x0, x1, y0, y1, z0, z1 float64) *model.Element {
	mesh := geom.BoxMesh(geom.Box{Min: geom.Vec3{X: x0, Y: y0, Z: z0}, Max: geom.Vec3{X: x1, Y: y1, Z: z1}})
	e := &model.Element{Kind: &model.Kind{Entity: entity, Parents: []string{"IfcBuildingElement"}}, Index: len(y.m.Elements), GlobalID: fmt.Sprint(len(y.m.Elements))}
	if material != "" {
		e.Materials = []string{material}
	}
	body := &shape.Body{Solids: []shape.Solid{{Mesh: mesh}}, Box: mesh.Box()}
	e.SetBody(func() *shape.Body { return body })
	y.m.Elements = append(y.m.Elements, e)
	return e
}

// row adds plates and studs along y: the plate lies between x0 and x1, the studs between the
// xs of their turn.
func (y *yard) row(plate [2]float64, studs [][2]float64, length, spacing, z0, z1 float64) {
	const t = 0.038
	y.box("IfcMember", "", plate[0], plate[1], 0, length, z0, z0+t)
	y.box("IfcMember", "", plate[0], plate[1], 0, length, z1-t, z1)
	for i, s := 0, 0.0; s < length-t/2; i, s = i+1, s+spacing {
		x := studs[i%len(studs)]
		y.box("IfcMember", "", x[0], x[1], s, s+t, z0+t, z1-t)
	}
}

func oneWall(t *testing.T, b *recognise.Building) void.Wall {
	t.Helper()
	if len(b.Input.Walls) != 1 {
		t.Fatalf("%d walls, want 1: %+v", len(b.Input.Walls), b.Input.Walls)
	}
	return b.Input.Walls[0]
}

func widths(ss []void.Span) (w []float64) {
	for _, s := range ss {
		w = append(w, math.Round((s.Hi-s.Lo)*1e4)/1e4)
	}
	return w
}

func TestStaggeredStuds(t *testing.T) {
	y := newYard(0)
	y.row([2]float64{0, 0.14}, [][2]float64{{0, 0.089}, {0.051, 0.14}}, 6, 0.3, 0, 2.5)
	y.box("IfcCovering", "", -0.0125, 0, 0, 6, 0, 2.5)
	y.box("IfcCovering", "", 0.14, 0.1525, 0, 6, 0, 2.5)
	w := oneWall(t, recogniseModel(t, y.m))
	if w.Kind != void.WallStaggered || len(w.Cavities) != 1 || widths(w.Cavities)[0] != 0.14 || len(w.Rows) != 2 || !w.Framed {
		t.Errorf("%+v", w)
	}
}

// The make-up of an area separation wall: code-facts TH-14.
func TestLinerWall(t *testing.T) {
	y := newYard(0)
	y.row([2]float64{0, 0.0889}, [][2]float64{{0, 0.0889}}, 6, 0.4, 0, 2.5)
	y.row([2]float64{0.1778, 0.2667}, [][2]float64{{0.1778, 0.2667}}, 6, 0.4, 0, 2.5)
	y.box("IfcPlate", "", 0.0889+0.01905, 0.0889+0.01905+0.0254, 0, 6, 0, 2.5)
	y.box("IfcPlate", "", 0.1778-0.01905-0.0254, 0.1778-0.01905, 0, 6, 0, 2.5)
	y.box("IfcCovering", "", -0.0159, 0, 0, 6, 0, 2.5)
	y.box("IfcCovering", "", 0.2667, 0.2826, 0, 6, 0, 2.5)
	w := oneWall(t, recogniseModel(t, y.m))
	if w.Kind != void.WallLiner || len(w.Cavities) != 2 || len(w.Rows) != 2 {
		t.Fatalf("%+v", w)
	}
	// 3-1/2 in of studs and 3/4 in of air on either side of the liners.
	for _, c := range widths(w.Cavities) {
		if math.Abs(c-0.0889-0.01905) > 2e-4 {
			t.Errorf("cavities %v", widths(w.Cavities))
		}
	}
}

func TestFurredMasonry(t *testing.T) {
	y := newYard(0)
	y.box("IfcWall", "Concrete masonry units", 0, 0.19, 0, 6, 0, 2.5)
	y.row([2]float64{0.19, 0.228}, [][2]float64{{0.19, 0.228}}, 6, 0.4, 0, 2.5)
	y.box("IfcCovering", "Gypsum board", 0.228, 0.2405, 0, 6, 0, 2.5)
	b := recogniseModel(t, y.m)
	furred := 0
	for _, w := range b.Input.Walls {
		if w.Kind == void.WallFurred {
			furred++
			if got := widths(w.Cavities); len(got) != 1 || got[0] != 0.038 {
				t.Errorf("cavities %v, want the 38 mm of the furring", got)
			}
		}
	}
	if furred != 1 {
		t.Errorf("%d furred walls, want 1: %+v", furred, b.Input.Walls)
	}
}

func TestBalloonWallIsCutAtTheStorey(t *testing.T) {
	y := newYard(0, 2.8)
	y.row([2]float64{0, 0.089}, [][2]float64{{0, 0.089}}, 6, 0.4, 0, 5.4)
	b := recogniseModel(t, y.m)
	if len(b.Input.Walls) != 2 || b.Input.Walls[0].Z1 != 2.8 || b.Input.Walls[1].Z0 != 2.8 || b.Input.Walls[1].Storey != 1 {
		t.Errorf("%+v", b.Input.Walls)
	}
}

func TestParallelWallsMakeOneUpTo150mm(t *testing.T) {
	for gap, want := range map[float64]int{0.02: 1, 0.145: 1, 0.16: 2, 0.6: 2} {
		y := newYard(0)
		y.row([2]float64{0, 0.089}, [][2]float64{{0, 0.089}}, 6, 0.4, 0, 2.5)
		y.row([2]float64{0.089 + gap, 0.178 + gap}, [][2]float64{{0.089 + gap, 0.178 + gap}}, 6, 0.4, 0, 2.5)
		if b := recogniseModel(t, y.m); len(b.Input.Walls) != want {
			t.Errorf("gap %.3f m: %d walls, want %d", gap, len(b.Input.Walls), want)
		}
	}
}

// layered gives an element layers stacked along +x from its low face.
func layered(e *model.Element, axis geom.Vec3, base geom.Vec3, layers ...model.Layer) {
	e.Layers = &model.LayerSet{Layers: layers, Placed: true, Axis: axis, Base: base}
}

func TestLayeredDoubleWallWithoutKnownMaterials(t *testing.T) {
	y := newYard(0)
	e := y.box("IfcWall", "", 0, 0.228, 0, 6, 0, 2.5)
	layered(e, geom.Vec3{X: 1}, geom.Vec3{},
		model.Layer{Material: "M1", ThicknessM: 0.0125}, model.Layer{Material: "M2", ThicknessM: 0.089},
		model.Layer{Material: "M3", ThicknessM: 0.025}, model.Layer{Material: "M2", ThicknessM: 0.089}, model.Layer{Material: "M1", ThicknessM: 0.0125})
	w := oneWall(t, recogniseModel(t, y.m))
	if w.Kind != void.WallDouble || len(w.Cavities) != 1 || widths(w.Cavities)[0] != 0.203 || len(w.Gaps) != 1 || widths(w.Gaps)[0] != 0.025 {
		t.Errorf("%+v", w)
	}
	// The first layer is on the low x side: t counts to the left of +y, towards -x.
	if math.Abs(w.Across.Lo+0.228) > 1e-9 || math.Abs(w.Across.Hi) > 1e-9 {
		t.Errorf("across %v", w.Across)
	}
}

func TestLayersOfNonsenseThickness(t *testing.T) {
	y := newYard(0)
	e := y.box("IfcWall", "", 0, 0.2, 0, 6, 0, 2.5)
	layered(e, geom.Vec3{X: 1}, geom.Vec3{}, model.Layer{Material: "Gypsum", ThicknessM: 0.0125}, model.Layer{Material: "Stud", ThicknessM: 39.52})
	b := recogniseModel(t, y.m)
	if len(b.Notes) == 0 {
		t.Error("a layer of 39.52 m is not noted")
	}
	if w := oneWall(t, b); w.Kind != void.WallUnknown {
		t.Errorf("%+v", w)
	}
}

// A slab with gypsum below and a deck above its joists, listed from the top down: the
// underside is the ceiling.
func TestLayeredFloor(t *testing.T) {
	y := newYard(0, 3)
	e := y.box("IfcSlab", "", 0, 6, 0, 8, 2.7, 3)
	layered(e, geom.Vec3{Z: -1}, geom.Vec3{Z: 3},
		model.Layer{Material: "OSB", ThicknessM: 0.018}, model.Layer{Material: "Kantholz Deckenbalken", ThicknessM: 0.2695}, model.Layer{Material: "Gipskartonplatte", ThicknessM: 0.0125})
	b := recogniseModel(t, y.m)
	got := map[void.Role][2]float64{}
	for _, p := range b.Input.Parts {
		box := p.Mesh.Box()
		got[p.Role] = [2]float64{math.Round(box.Min.Z*1e4) / 1e4, math.Round(box.Max.Z*1e4) / 1e4}
	}
	if got[void.RoleDeck] != [2]float64{2.982, 3} || got[void.RoleCeiling] != [2]float64{2.7, 2.7125} || got[void.RoleFraming] != [2]float64{2.7125, 2.982} {
		t.Errorf("%v", got)
	}
	if n := countParts(b, void.RoleFraming, void.FramingSolid); n != 1 {
		t.Errorf("%d layers of solid joists", n)
	}
}
