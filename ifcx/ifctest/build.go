package ifctest

import (
	"fmt"
)

// Build makes the model of the house and its truth. Errors name the house and what does not
// fit it, for example a defect at a bay that it does not have.
func (h House) Build() (*Model, error) {
	if err := h.Check(); err != nil {
		return nil, err
	}
	b := &builder{layout: newLayout(&h), m: &Model{Name: h.Name, House: &h}, n: map[Role]int{}, cells: newCells(), walls: map[string]*Part{}}
	for i := range h.Defects {
		b.seeds = append(b.seeds, &seedState{Seed: h.Defects[i]})
	}
	for k := range h.Storeys {
		b.m.Storeys = append(b.m.Storeys, Storey{Name: fmt.Sprintf("Level %d", k+1), Elevation: b.floorZ(k)})
	}
	switch {
	case h.Layered && h.LayerPlan.Framed != "":
		b.mixed()
	case h.Layered:
		b.layered()
	default:
		b.framed()
		b.floorTruth()
		b.vaultStop()
	}
	b.rooms()
	b.services()
	if b.err != nil {
		return nil, b.err
	}
	if err := b.unused(); err != nil {
		return nil, err
	}
	b.m.Truth.Units = len(h.Units)
	b.m.Truth.Joined = b.joined()
	b.m.cells = b.cells
	b.keys()
	return b.m, nil
}

// MustBuild is Build for tests that know the house is right.
func (h House) MustBuild() *Model {
	m, err := h.Build()
	if err != nil {
		panic(err)
	}
	return m
}

// framed builds every member one by one.
func (b *builder) framed() {
	y := b.outerY().grow(SidePanel)
	x := Span{b.endRows[0].Lo - SidePanel, b.endRows[1].Hi + SidePanel}
	b.add(Slab, 0, nil, Concrete, SheetZ(Span{-0.1, 0}, rectRing(x, y))).Thick = 0.1
	for k := range b.h.Storeys {
		b.storeyWalls(k)
		if k > 0 {
			for u := range b.h.Units {
				b.floorFraming(u, k)
				b.draftstops(u, k)
			}
			b.blocking(k)
		}
		for u := range b.h.Units {
			b.ceilings(u, k)
		}
	}
	b.cavityStops()
	b.foyerStretch()
	b.furredEnd()
	b.soffits()
	b.attic()
}

// rooms makes the spaces and zones.
func (b *builder) rooms() {
	uses := [][]string{{"Living", "Kitchen"}, {"Bedroom", "Bath"}, {"Study", "Bedroom"}, {"Loft", "Store"}}
	areas := make([]float64, len(b.h.Units))
	for u := range b.h.Units {
		z := Zone{Unit: u}
		for k := range b.h.Storeys {
			for n, f := range b.roomFrames(u) {
				x, y := b.clearRoom(u, f)
				zz := Span{b.floorZ(k), b.plateZ(k) - b.h.Floor.Ceiling}
				r := &Room{Unit: u, Storey: k, N: n + 1, Use: uses[k%len(uses)][n%2], Solids: b.roomSolids(u, k, n, x, y, zz)}
				areas[u] += x.Len() * y.Len()
				b.m.Rooms = append(b.m.Rooms, r)
				z.Rooms = append(z.Rooms, r)
			}
		}
		b.m.Zones = append(b.m.Zones, z)
	}
	b.m.Truth.UnitAreasM2 = areas
}

// roomSolids returns the solid of a room, without the soffits in it.
func (b *builder) roomSolids(u, k, n int, x, y, z Span) []Prism {
	for i, s := range b.h.Soffits {
		if s.Unit != u || s.Level != k || n != 0 {
			continue
		}
		sy, sz := b.soffitSpans(i)
		sy, sz = sy.grow(HalfGypsum), sz.grow(HalfGypsum)
		ring := rectRing(x, y)
		in := x.Lo + s.Width
		ring = append(ring, pt(x.Lo, sy.Hi, 0).Plan(), pt(in, sy.Hi, 0).Plan(), pt(in, sy.Lo, 0).Plan(), pt(x.Lo, sy.Lo, 0).Plan())
		return []Prism{Box(x, y, Span{z.Lo, sz.Lo}, Z), SheetZ(Span{sz.Lo, z.Hi}, ring)}
	}
	if v := b.h.Vault; v != nil && v.Unit == u && k == b.h.Storeys-1 {
		return b.vaultRoom(x, y, z)
	}
	return []Prism{Box(x, y, z, Z)}
}

// floorTruth records floor voids, attics and separation cavities.
func (b *builder) floorTruth() {
	for k := 1; k < b.h.Storeys && !b.h.layersFloors(); k++ {
		for u := range b.h.Units {
			b.floorVoid(u, k)
		}
	}
	top := b.h.Storeys - 1
	for u := 0; u < len(b.h.Units); u++ {
		x := b.atticX(u)
		units := []int{u}
		for u < len(b.seps) && b.atticClosed(u) == "none" {
			u++
			x.Hi = b.atticX(u).Hi
			units = append(units, u)
		}
		a := x.Len() * b.h.Depth
		b.m.Truth.Voids = append(b.m.Truth.Voids, Void{Kind: "attic", Level: top, Units: units, AreaM2: a, HeightM: b.ridgeHeight(),
			VolumeM3: x.Len() * b.atticSection(), Framing: "open-web-truss", Compartments: []float64{a},
			Point: pt(x.Lo+0.3, b.h.Depth/2, b.plateZ(top)+0.2)})
		for _, v := range units[1:] {
			b.cells.join(atticCell(units[0]), atticCell(v))
		}
	}
	for i, s := range b.seps {
		lo, hi := s.rows[0].Lo, s.rows[len(s.rows)-1].Hi
		for k := 0; k <= top; k++ {
			a := (hi - lo) * b.outerY().Len()
			b.m.Truth.Voids = append(b.m.Truth.Voids, Void{Kind: "wall", Level: k, Units: []int{i, i + 1}, AreaM2: a, HeightM: b.h.WallHeight,
				VolumeM3: a * b.h.WallHeight, Framing: "stud", Point: pt(s.mid(), b.h.Depth/2, b.floorZ(k)+1)})
		}
	}
}

// keys gives every part an identity that follows from what and where it is, for GlobalIds.
func (b *builder) keys() {
	seen := map[string]int{}
	for _, p := range b.m.Parts {
		k := fmt.Sprintf("%s/%s/%d/%d", b.m.Name, p.Role, p.Storey, p.N)
		seen[k]++
		p.key = fmt.Sprintf("%s/%d", k, seen[k])
	}
}
