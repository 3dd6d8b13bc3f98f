package catalogue

import (
	"strings"
	"testing"

	"voidcheck/checks/checktest"
	"voidcheck/checks/finding"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/ifctest"
)

// added are houses to which a model adds what the house description does not know. Each
// must give the items wanted of one check, and nothing deficient of any other but those named.
var added = []struct {
	name  string
	check string
	house func() ifctest.House
	add   func(m *ifctest.Model, at *ifctest.Places)
	want  []string // beginnings of items, in any order
	also  string   // other checks that may be deficient: a board left out leaves gaps at walls, an open cornice may be part of the attic
}{
	{"boxes 16 in apart", "separation-boxes", pair, boxes(3, 3+16*ifctest.Inch), []string{"deficient modelled separation-boxes | Level 1 | unit line U1/U2, Outlet box"}, ""},
	{"boxes back to back", "separation-boxes", pair, boxes(3, 3), []string{"deficient modelled separation-boxes | Level 1 | unit line U1/U2, Outlet box"}, ""},
	{"boxes 48 in apart", "separation-boxes", pair, boxes(3, 3+48*ifctest.Inch), []string{"meets modelled separation-boxes | Level 1 | unit line U1/U2, boxes"}, ""},
	{"boxes in layered walls", "separation-boxes", layeredPair, boxes(3, 3), []string{"deficient modelled separation-boxes | Level 1 | unit line U1/U2, Outlet box"}, ""},
	{"ceiling of a room left out", "floor-membrane", pair, dropCeiling, []string{"deficient ", "meets declared floor-membrane | Level 2 | floor void of U2"}, "void-junction wall-fireblock-level"},
	{"thin ceilings", "floor-membrane", pair, thinCeilings, []string{"deficient declared floor-membrane | Level 2 | floor void of U1", "deficient declared floor-membrane | Level 2 | floor void of U2"}, ""},
	{"2x10 joists without ceilings", "floor-membrane", joists, dropCeiling, []string{"exempt modelled floor-membrane", "meets declared floor-membrane | Level 2 | floor void of U2"}, "void-junction wall-fireblock-level"},
	{"stair with blocks", "stair-fireblock", pair, stair(true, true), []string{"meets modelled stair-fireblock", "meets modelled stair-fireblock"}, ""},
	{"stair without a block at the top", "stair-fireblock", pair, stair(false, true), []string{"deficient modelled stair-fireblock", "meets modelled stair-fireblock"}, ""},
	{"chimney in open holes", "chimney-fireblock", pair, chimney(false), []string{"deficient modelled chimney-fireblock", "deficient modelled chimney-fireblock", "deficient modelled chimney-fireblock"}, ""},
	{"chimney in filled holes", "chimney-fireblock", pair, chimney(true), []string{"meets declared chimney-fireblock", "meets declared chimney-fireblock", "meets declared chimney-fireblock"}, ""},
	{"cornices over the unit line", "cornice-fireblock", pair, cornices(false), []string{"deficient modelled cornice-fireblock | Level 2 | unit line U1/U2, cornice", "deficient modelled cornice-fireblock | Level 2 | unit line U1/U2, cornice"}, "attic-draftstop-line"},
	{"cornices closed", "cornice-fireblock", pair, cornices(true), []string{"meets modelled cornice-fireblock | Level 2 | unit line U1/U2, cornice", "meets modelled cornice-fireblock | Level 2 | unit line U1/U2, cornice"}, ""},
}

func pair() ifctest.House {
	h := ifctest.Row(2)
	h.Name, h.Depth = "Added", 24*ifctest.Foot
	return h
}

func layeredPair() ifctest.House {
	h := pair()
	h.Layered = true
	return h
}

// joists has floors of 2x10 joists, which block each other's bays.
func joists() ifctest.House {
	h := pair()
	h.Floor.Framing, h.Floor.Depth, h.Floor.Width, h.Floor.Spacing = "joist", 9.25*ifctest.Inch, ifctest.TwoBy, 16*ifctest.Inch
	return h
}

// boxes puts an outlet box of 4 x 4 in into each face of the separation of storey 1.
func boxes(a, b float64) func(*ifctest.Model, *ifctest.Places) {
	return func(m *ifctest.Model, at *ifctest.Places) {
		w := at.Separation(0)
		z := ifctest.Span{Lo: at.Floor(0) + 0.4, Hi: at.Floor(0) + 0.4 + 4*ifctest.Inch}
		m.Add(ifctest.OutletBox, 0, ifctest.Steel, ifctest.Box(ifctest.Span{Lo: w.Lo - 0.003, Hi: w.Lo + 0.05}, ifctest.Span{Lo: a, Hi: a + 4*ifctest.Inch}, z, ifctest.Z))
		m.Add(ifctest.OutletBox, 0, ifctest.Steel, ifctest.Box(ifctest.Span{Lo: w.Hi - 0.05, Hi: w.Hi + 0.003}, ifctest.Span{Lo: b, Hi: b + 4*ifctest.Inch}, z, ifctest.Z))
	}
}

// dropCeiling takes the first ceiling of storey 1 out.
func dropCeiling(m *ifctest.Model, at *ifctest.Places) {
	m.Remove(func(p *ifctest.Part) bool { return p.Role == ifctest.Ceiling && p.Storey == 0 && p.N == 1 })
}

// thinCeilings makes the ceilings of storey 1 of 3/8 in board.
func thinCeilings(m *ifctest.Model, at *ifctest.Places) {
	for _, p := range m.Find(ifctest.Ceiling) {
		if p.Storey == 0 {
			for i := range p.Solids {
				p.Solids[i].Frame.O.Z += 0.125 * ifctest.Inch
				p.Solids[i].Depth -= 0.125 * ifctest.Inch
			}
			p.Thick = 0.375 * ifctest.Inch
		}
	}
}

// stair adds a run in the front room of unit 1: two stringers, a board below them, blocks at
// its ends.
func stair(top, bottom bool) func(*ifctest.Model, *ifctest.Places) {
	return func(m *ifctest.Model, at *ifctest.Places) {
		v, _ := at.Void(0)
		x, y, z := v.Lo+1, 1.0, at.Floor(0)+0.16
		long, rise := 2.4, 1.8
		for _, dy := range []float64{0, 0.9} {
			a, b := geom.Vec3{X: x, Y: y + dy, Z: z}, geom.Vec3{X: x + long, Y: y + dy, Z: z + rise}
			m.Add(ifctest.Stringer, 0, ifctest.Lumber, ifctest.Stick(a, b, geom.Vec3{Y: 1}, ifctest.TwoBy, 9.25*ifctest.Inch))
		}
		a, b := geom.Vec3{X: x, Y: y + 0.45, Z: z - 0.155}, geom.Vec3{X: x + long, Y: y + 0.45, Z: z + rise - 0.155}
		m.Add(ifctest.StairBoard, 0, ifctest.GypsumBd, ifctest.Stick(a, b, geom.Vec3{Y: 1}, 0.9, ifctest.HalfGypsum))
		across := ifctest.Span{Lo: y + 0.02, Hi: y + 0.88}
		if bottom {
			m.Add(ifctest.Block, 0, ifctest.Lumber, ifctest.Box(ifctest.Span{Lo: x + 0.1, Hi: x + 0.1 + ifctest.TwoBy}, across, ifctest.Span{Lo: z - 0.1, Hi: z + 0.15}, ifctest.Y))
		}
		if top {
			m.Add(ifctest.Block, 0, ifctest.Lumber, ifctest.Box(ifctest.Span{Lo: x + long - 0.14, Hi: x + long - 0.1}, across, ifctest.Span{Lo: z + rise - 0.2, Hi: z + rise}, ifctest.Y))
		}
	}
}

// chimney adds a stack through both ceilings and the floor of unit 1 with 2 in of space round
// it in each; filled, mineral wool closes the spaces.
func chimney(filled bool) func(*ifctest.Model, *ifctest.Places) {
	return func(m *ifctest.Model, at *ifctest.Places) {
		v, _ := at.Void(0)
		size := 0.30
		x, y := ifctest.Span{Lo: v.Lo + 2.0, Hi: v.Lo + 2.0 + size}, ifctest.Span{Lo: 1.0, Hi: 1.0 + size}
		m.Add(ifctest.ChimneyStack, 0, "Brick masonry", ifctest.Box(x, y, ifctest.Span{Lo: at.Floor(0), Hi: at.Roof(1.0) + 1}, ifctest.Z))
		wide := func(s ifctest.Span) ifctest.Span {
			return ifctest.Span{Lo: s.Lo - 2*ifctest.Inch, Hi: s.Hi + 2*ifctest.Inch}
		}
		for _, p := range m.Parts {
			switch p.Role {
			case ifctest.Ceiling, ifctest.Deck, ifctest.RoofPanel:
			default:
				continue
			}
			b := p.Bounds()
			if b.Min.X > x.Lo || b.Max.X < x.Hi || b.Min.Y > y.Lo || b.Max.Y < y.Hi {
				continue
			}
			p.Openings = append(p.Openings, ifctest.Opening{Solid: ifctest.Box(wide(x), wide(y), ifctest.Span{Lo: b.Min.Z - 0.05, Hi: b.Max.Z + 0.05}, ifctest.Z), Name: "Chimney"})
			if filled && p.Role != ifctest.RoofPanel {
				z := ifctest.Span{Lo: b.Min.Z, Hi: b.Min.Z + 1.5*ifctest.Inch}
				m.Add(ifctest.LevelBlock, p.Storey, ifctest.MineralWool,
					ifctest.Box(wide(x), ifctest.Span{Lo: wide(y).Lo, Hi: y.Lo}, z, ifctest.X), ifctest.Box(wide(x), ifctest.Span{Lo: y.Hi, Hi: wide(y).Hi}, z, ifctest.X),
					ifctest.Box(ifctest.Span{Lo: wide(x).Lo, Hi: x.Lo}, y, z, ifctest.X), ifctest.Box(ifctest.Span{Lo: x.Hi, Hi: wide(x).Hi}, y, z, ifctest.X))
			}
		}
	}
}

// cornices let the roof stand out 16 in with a board below; closed, a block fills them at the
// unit line.
func cornices(closed bool) func(*ifctest.Model, *ifctest.Places) {
	return func(m *ifctest.Model, at *ifctest.Places) {
		out := 16 * ifctest.Inch
		outer := at.Outer()
		face := ifctest.Span{Lo: outer.Lo - ifctest.SidePanel, Hi: outer.Hi + ifctest.SidePanel}
		sep := at.Separation(0)
		for _, p := range m.Find(ifctest.RoofPanel) {
			b := p.Bounds()
			x := ifctest.Span{Lo: b.Min.X, Hi: b.Max.X}
			mid := (outer.Lo + outer.Hi) / 2
			y := ifctest.Span{Lo: face.Lo - out, Hi: mid}
			if b.Max.Y > mid+0.1 {
				y = ifctest.Span{Lo: mid, Hi: face.Hi + out}
			}
			z := func(y float64) float64 { return roofLine(at, outer, y) }
			t := 0.0125
			p.Solids = []ifctest.Prism{ifctest.SheetX(x, []geom.Vec2{{X: y.Lo, Y: z(y.Lo)}, {X: y.Hi, Y: z(y.Hi)}, {X: y.Hi, Y: z(y.Hi) + t}, {X: y.Lo, Y: z(y.Lo) + t}})}
			eave := ifctest.Span{Lo: face.Lo - out, Hi: face.Lo}
			low := z(face.Lo - out)
			if b.Max.Y > mid+0.1 {
				eave = ifctest.Span{Lo: face.Hi, Hi: face.Hi + out}
			}
			board := ifctest.Span{Lo: low - 0.05, Hi: low - 0.05 + ifctest.HalfGypsum}
			m.Add(ifctest.SoffitBoard, 1, ifctest.GypsumBd, ifctest.Box(x, eave, board, ifctest.X))
			if closed {
				line := (sep.Lo + sep.Hi) / 2
				ring := []geom.Vec2{{X: eave.Lo, Y: board.Hi}, {X: eave.Hi, Y: board.Hi}, {X: eave.Hi, Y: z(eave.Hi)}, {X: eave.Lo, Y: z(eave.Lo)}}
				m.Add(ifctest.Block, 1, ifctest.Lumber, ifctest.SheetX(ifctest.Span{Lo: line, Hi: line + ifctest.TwoBy}, ring))
			}
		}
	}
}

// roofLine is the underside of the roof, carried on beyond the walls.
func roofLine(at *ifctest.Places, outer ifctest.Span, y float64) float64 {
	const d = 0.5
	switch {
	case y < outer.Lo:
		return at.Roof(outer.Lo) - (at.Roof(outer.Lo+d)-at.Roof(outer.Lo))/d*(outer.Lo-y)
	case y > outer.Hi:
		return at.Roof(outer.Hi) - (at.Roof(outer.Hi-d)-at.Roof(outer.Hi))/d*(y-outer.Hi)
	}
	return at.Roof(y)
}

func TestAdded(t *testing.T) {
	turned := []ifctest.Disguise{{}, {Unit: "ft", RotateDeg: 33, Schema: "IFC2X3"}, {Mirror: true, Shift: [3]float64{1e6, -1e6, 20}, Naming: ifctest.NamesGerman}}
	if testing.Short() {
		turned = turned[:1]
	}
	for _, tt := range added {
		t.Run(tt.name, func(t *testing.T) {
			h := tt.house()
			for n, d := range turned {
				m, err := h.Build()
				if err != nil {
					t.Fatal(err)
				}
				tt.add(m, h.Layout())
				r := checktest.ReviewModel(t, m, d, checktest.With{Facts: checktest.Facts}, Checks()...)
				items := r.Of(tt.check)
				missing := append([]string(nil), tt.want...)
				for i := range items {
					for k, w := range missing {
						if d.Naming != "" { // storeys and elements have other names
							w, _, _ = strings.Cut(w, " |")
						}
						if strings.HasPrefix(checktest.Line(&items[i]), w) {
							missing = append(missing[:k], missing[k+1:]...)
							break
						}
					}
				}
				if len(missing) > 0 || len(items) != len(tt.want) {
					t.Errorf("disguise %d: items\n%swant\n%s", n, checktest.Lines(items), strings.Join(tt.want, "\n"))
				}
				primary, _ := r.Deficient()
				told := map[string]bool{tt.check: true}
				for _, it := range primary {
					if !told[it.Check] && !strings.Contains(tt.also, it.Check) && it.Outcome == finding.Deficient {
						told[it.Check] = true
						t.Errorf("disguise %d: deficient: %s", n, checktest.Line(it))
					}
				}
			}
		})
	}
}

// The space between the stringers of an enclosed stair is a void of its own, in plan between
// the stringers over the length of the board.
func TestStairVoid(t *testing.T) {
	m := pair().MustBuild()
	stair(true, true)(m, pair().Layout())
	for _, d := range []ifctest.Disguise{{}, {Unit: "ft", RotateDeg: 33, Schema: "IFC2X3", Naming: ifctest.NamesGerman}} {
		r := checktest.ReviewModel(t, m, d, checktest.With{Facts: checktest.Facts}, Checks()...)
		n := 0
		for _, v := range r.Voids.Voids {
			if v.Kind != void.KindStair {
				continue
			}
			n++
			wide := 0.9 - ifctest.TwoBy
			if v.AreaM2 < 2.2*wide || v.AreaM2 > 2.45*wide || v.HeightMaxM < 0.25 || v.HeightMaxM > 0.40 || len(v.Units) != 1 || v.Units[0] != 0 {
				t.Errorf("stair void of %.3f m2, %.3f m high, units %v", v.AreaM2, v.HeightMaxM, v.Units)
			}
		}
		if n != 1 {
			t.Errorf("%d stair voids", n)
		}
	}
}
