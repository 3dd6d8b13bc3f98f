package void

import (
	"math"
	"testing"

	"voidcheck/ifcx/geom"
)

// twoSheets is a gable attic over a double wall across it, each stud row with a sheet of its
// own up to the roof, flush with the gap; short is how far each sheet ends below the sheathing.
func twoSheets(short [2]float64, closure bool) *Input {
	const y, span = 40 * ft, 36 * ft
	g := &gable{heel: 0.3048}
	in := g.build()
	rise := span / 2 * 8 / 12
	for k, at := range []float64{y - gapW/2 - board, y + gapW/2} {
		h := g.heel - short[k]
		g.add(prism([]geom.Vec2{{X: -span / 2, Y: 0}, {X: span / 2, Y: 0}, {X: span / 2, Y: h}, {X: 0, Y: h + rise}, {X: -span / 2, Y: h}}, at, at+board), RoleDraftstop)
	}
	var ceiling *Part
	for i := range in.Parts {
		if in.Parts[i].Role == RoleCeiling {
			ceiling = &in.Parts[i]
		}
	}
	half := gapW/2 + row
	ceiling.Mesh = geom.BoxMesh(box(-span/2, span/2, 0, y-half, -0.0127, 0)) // up to the stud rows
	g.add(geom.BoxMesh(box(-span/2, span/2, y+half, 80*ft, -0.0127, 0)), RoleCeiling)
	for _, t := range []Span{{y - half, y - gapW/2}, {y + gapW/2, y + half}} {
		g.add(geom.BoxMesh(box(-span/2, span/2, t.Lo, t.Hi, -2*plate, 0)), RolePlate)
		g.add(geom.BoxMesh(box(-span/2, span/2, t.Lo, t.Hi, -2.7, -2.7+plate)), RolePlate)
	}
	if closure {
		g.add(geom.BoxMesh(box(-span/2, span/2, y-gapW/2, y+gapW/2, -2*plate, 0)), RoleBlock)
	}
	in.Walls = []Wall{{Origin: geom.Vec2{X: -span / 2, Y: y}, Dir: geom.Vec2{X: 1}, Length: span, Across: Span{-half, half}, Z0: -2.7, Z1: 0,
		Kind: WallDouble, Cavities: []Span{{-half, half}}, Rows: []Span{{-half, -gapW / 2}, {gapW / 2, half}}, Gaps: []Span{{-gapW / 2, gapW / 2}},
		Framed: true, Combustible: true}}
	in.Separations = []Separation{{Units: [2]int{0, 1}, Walls: []int{0}, Kind: WallDouble}}
	in.Units = 2
	return in
}

// A gap in both sheets over a double wall joins the attics through the slot between them; a
// gap in one is an opening all the same; and the cavity below may be open to the slot.
func TestTwoSheetsOverDoubleWall(t *testing.T) {
	for _, c := range []struct {
		name    string
		short   [2]float64
		closure bool
		top     int // gaps at the sheathing
		level   int
		joined  bool
	}{
		{"both reach the roof", [2]float64{0, 0}, true, 0, 0, false},
		{"both within tolerance", [2]float64{0.003, 0.003}, true, 0, 0, false},
		{"one short", [2]float64{0.05, 0}, true, 1, 0, false},
		{"both short", [2]float64{0.05, 0.02}, true, 2, 0, true},
		{"cavity open at the ceiling", [2]float64{0, 0}, false, 0, 1, false},
	} {
		for _, deg := range []float64{0, 90, 213} {
			r := mustSolve(t, disguise(twoSheets(c.short, c.closure), deg, 3, -8, deg == 90))
			var attics []*Compartment
			for _, x := range r.Compartments {
				if x.Void.Kind == KindAttic {
					attics = append(attics, x)
				}
			}
			if len(attics) != 2 {
				t.Fatalf("%s: %d attics want 2\n%s", c.name, len(attics), describe(r))
			}
			top, level := 0, 0
			for _, o := range r.Openings {
				switch o.Kind {
				case OpenTop:
					top++
					if d := math.Abs(o.HeightM - c.short[0]); d > 0.002 && math.Abs(o.HeightM-c.short[1]) > 0.002 {
						t.Errorf("%s: clear height %.4f want one of %v", c.name, o.HeightM, c.short)
					}
				case OpenLevel:
					level++
				default:
					t.Errorf("%s: opening %s", c.name, o.Kind)
				}
			}
			if top != c.top || level != c.level || (attics[0].Joined == attics[1].Joined) != c.joined {
				t.Errorf("%s at %g: %d gaps want %d, %d open levels want %d, joined %v want %v\n%s", c.name, deg, top, c.top, level, c.level, attics[0].Joined == attics[1].Joined, c.joined, describe(r))
			}
		}
	}
}

// The eaves of a unit that ends short of its neighbour lie beyond the end of their common wall: where they
// lead into the slot over it they are no gap of the line, as they are none towards each other. What
// reaches over the wall is one.
func TestEavesBesideSlot(t *testing.T) {
	h := &horizontal{level: &level{kind: KindAttic}}
	b := &bandLine{Line: Line{Kind: LineSeparation, A: geom.Vec2{Y: 0.6}, B: geom.Vec2{Y: 9.6}}, dir: geom.Vec2{Y: 1}}
	comp := func(k Kind, x0, y0, x1, y1 float64) *Compartment {
		return &Compartment{Void: &Void{Kind: k}, Outline: [][]geom.Vec2{{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}}}
	}
	eaves, attic := comp(KindAttic, -6, 0.2, 0, 0.6), comp(KindAttic, -6, 0.6, 0, 9.6)
	other, slot := comp(KindAttic, 0, 0.2, 6, 0.6), comp(KindWall, 0, 0.3, 0.05, 9.6)
	for _, tt := range []struct {
		name string
		x, y *Compartment
		want bool
	}{
		{"eaves and slot", eaves, slot, true}, {"slot and eaves", slot, eaves, true}, {"eaves on both sides", eaves, other, true},
		{"attic and slot", attic, slot, false}, {"attic and eaves", attic, eaves, false}, {"two slots", slot, comp(KindWall, 0, 0, 1, 0.5), false},
	} {
		if got := h.isCornice(b, tt.x, tt.y); got != tt.want {
			t.Errorf("%s: %v want %v", tt.name, got, tt.want)
		}
	}
}
