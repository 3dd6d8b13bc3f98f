package ifctest

import (
	"slices"

	"voidcheck/ifcx/geom"
)

// This file builds the layered form of a house: walls, floors and roofs as solids with
// material layers, the voids inside them. Walls run from level to level and floors stop at
// their faces, unless the plan or a seed lets a floor run over a separation.

// wallLayers returns the layers of a wall from its low side to its high side.
func (b *builder) wallLayers(role Role) []Layer {
	s := b.h.Separation
	switch role {
	case WallSep:
		board := Layer{Material: GypsumX, Thickness: s.Gypsum}
		stud := Layer{Material: StudLayer, Thickness: s.Stud}
		if s.Kind == "single" {
			return []Layer{board, stud, board}
		}
		return []Layer{board, stud, {Material: AirGap, Thickness: s.Gap, Air: true}, stud, board}
	case WallPart:
		board := Layer{Material: GypsumBd, Thickness: HalfGypsum}
		return []Layer{board, {Material: StudLayer, Thickness: FourWide}, board}
	}
	return []Layer{{Material: OSB, Thickness: SidePanel}, {Material: StudLayer, Thickness: FourWide}, {Material: GypsumBd, Thickness: HalfGypsum}}
}

func thickness(layers []Layer) float64 {
	t := 0.0
	for _, l := range layers {
		t += l.Thickness
	}
	return t
}

// layeredWall builds a wall standing in a strip of plan. The layers go from low to high x (or
// y); outline, when given, is its elevation in (y, z) or its section in (y, z).
func (b *builder) layeredWall(role Role, k int, name string, x, y Span, along Axis, layers []Layer, solid Prism) *Part {
	p := b.add(role, k, nil, layers[0].Material, solid)
	p.Mark = name
	z := b.floorZ(k)
	half := thickness(layers) / 2
	var f geom.Mat
	length := x.Len()
	if along == Y {
		// local y points to low x, so the list turns round
		f = geom.Mat{X: pt(0, 1, 0), Y: pt(-1, 0, 0), Z: pt(0, 0, 1), O: pt(x.Mid(), y.Lo, z)}
		length = y.Len()
		layers = reversedLayers(layers)
	} else {
		f = geom.Mat{X: pt(1, 0, 0), Y: pt(0, 1, 0), Z: pt(0, 0, 1), O: pt(x.Lo, y.Mid(), z)}
	}
	p.Frame = &f
	p.LayerSet = LayerUse{Axis: 2, Offset: -half, Line: []geom.Vec2{{}, {X: length}}}
	if b.h.LayerPlan.NegSense {
		layers = reversedLayers(layers)
		p.LayerSet.Neg, p.LayerSet.Offset = true, half
	}
	p.Layers = layers
	p.Props = append(p.Props, Prop{Set: "Pset_WallCommon", Name: "IsExternal", Value: role == WallExt, Type: "IfcBoolean"})
	if role == WallSep {
		p.Props = append(p.Props, Prop{Set: "Pset_WallCommon", Name: "FireRating", Value: "1 HR", Type: "IfcLabel"})
	}
	return p
}

func reversedLayers(l []Layer) []Layer {
	l = slices.Clone(l)
	slices.Reverse(l)
	return l
}

// layeredWalls builds the walls of storey k.
func (b *builder) layeredWalls(k int) {
	top := k == b.h.Storeys-1
	z := Span{b.floorZ(k), b.floorZ(k + 1)}
	yo := b.outerY().grow(SidePanel)
	end := func(name string, x Span, layers []Layer) {
		solid := Box(x, yo, z, Z)
		if top {
			solid = SheetX(x, b.roofOutline(yo, z.Lo, 0))
		}
		b.layeredWall(WallExt, k, name, x, yo, Y, layers, solid)
	}
	ext := b.wallLayers(WallExt)
	end("left", Span{b.endRows[0].Lo - SidePanel, b.endRows[0].Hi + HalfGypsum}, ext)
	end("right", Span{b.endRows[1].Lo - HalfGypsum, b.endRows[1].Hi + SidePanel}, reversedLayers(ext))
	for i := range b.seps {
		b.layeredSeparation(i, k, yo)
	}
	for u := range b.h.Units {
		x := b.unitClear(u)
		_, y := b.clearRoom(u, frame{x: b.frameX(u), y: b.frameY()})
		for j, s := range []Span{{yo.Lo, y.Lo}, {y.Hi, yo.Hi}} {
			layers := ext
			if j == 1 {
				layers = reversedLayers(ext)
			}
			solid := Box(x, s, z, Z)
			if top {
				solid = SheetX(x, b.roofOutline(s, z.Lo, 0))
			}
			b.layeredWall(WallExt, k, [2]string{"front ", "back "}[j]+unitMark(u), x, s, X, layers, solid)
		}
		if px, py, ok := b.partition(u); ok {
			zz := Span{z.Lo, b.plateZ(k) - b.h.Floor.Ceiling}
			if b.h.Floor.Along == "x" {
				px, py = px.grow(HalfGypsum), y
				b.layeredWall(WallPart, k, "bearing "+unitMark(u), px, py, Y, b.wallLayers(WallPart), Box(px, py, zz, Z))
			} else {
				px, py = x, py.grow(HalfGypsum)
				b.layeredWall(WallPart, k, "bearing "+unitMark(u), px, py, X, b.wallLayers(WallPart), Box(px, py, zz, Z))
			}
		}
	}
}

// sepStrip returns the x of a separation, boards included.
func (b *builder) sepStrip(i int) Span {
	r := b.seps[i].rows
	return Span{r[0].Lo, r[len(r)-1].Hi}.grow(b.h.Separation.Gypsum)
}

// floorOver tells whether the floor of level k runs over separation i.
func (b *builder) floorOver(i, k int) bool {
	if k < 1 || k >= b.h.Storeys {
		return false
	}
	for _, s := range b.seeds {
		if s.Kind == "line-open" && s.Separation == i && s.Level == k {
			return true
		}
	}
	return b.h.LayerPlan.FloorsOver
}

// layeredSeparation builds separation i at storey k, or all of it at once.
func (b *builder) layeredSeparation(i, k int, yo Span) {
	x := b.sepStrip(i)
	top := b.h.Storeys - 1
	z := Span{b.floorZ(k), b.floorZ(k + 1)}
	if b.h.LayerPlan.FullHeight {
		if k > 0 {
			return
		}
		k, z.Hi = 0, b.floorZ(top+1)
	}
	last := k == top || b.h.LayerPlan.FullHeight
	if !last && b.floorOver(i, k+1) {
		z.Hi = b.plateZ(k) - b.h.Floor.Ceiling
		var q Seed
		if s := b.take("line-open", func(q Seed) bool { return q.Separation == i && q.Level == k+1 }); s != nil {
			q = *s
		}
		b.lineOpen(q, i, k+1)
	}
	solid := Box(x, yo, z, Z)
	if last {
		solid = b.layeredTop(i, x, yo, z.Lo)
	}
	b.layeredWall(WallSep, k, unitLine(i), x, yo, Y, b.wallLayers(WallSep), solid)
}

// layeredTop is the part of a separation under the roof, with the seeds that concern it.
func (b *builder) layeredTop(i int, x, yo Span, base float64) Prism {
	top := b.h.Storeys - 1
	if b.atticClosed(i) != "wall" {
		if s := b.take("attic-open", func(q Seed) bool { return q.Separation == i }); s != nil {
			b.atticOpen(*s, i)
		}
		return Box(x, yo, Span{base, b.plateZ(top)}, Z)
	}
	drop := 0.0
	if s := b.take("attic-short", func(q Seed) bool { return q.Separation == i }); s != nil {
		drop = s.Size
		b.atticShort(*s, i)
	}
	return SheetX(x, b.roofOutline(yo, base, drop))
}

// unitClear returns the x between the faces of a unit's side walls.
func (b *builder) unitClear(u int) Span {
	f := b.frameX(u)
	return Span{f.Lo + b.boardThickness(u, 0), f.Hi - b.boardThickness(u, 1)}
}

// floorPlate returns the outline of the layered floor of level k in unit u.
func (b *builder) floorPlate(u, k int) (x, y Span) {
	x = b.unitClear(u)
	_, y = b.clearRoom(u, frame{x: b.frameX(u), y: b.frameY()})
	ends := b.platform(u)
	if u > 0 && b.floorOver(u-1, k) {
		if x.Lo = b.seps[u-1].mid(); b.h.LayerPlan.FloorsEnd {
			x.Lo = ends.Lo
		}
	}
	if u < len(b.seps) && b.floorOver(u, k) {
		if x.Hi = b.seps[u].mid(); b.h.LayerPlan.FloorsEnd {
			x.Hi = ends.Hi
		}
	}
	return x, y
}

// layeredFloor builds the floor of level k in unit u with its draftstops and records its void.
func (b *builder) layeredFloor(u, k int) {
	f := b.h.Floor
	x, y := b.floorPlate(u, k)
	layers := []Layer{{Material: GypsumBd, Thickness: f.Ceiling}, {Material: WoodTruss, Thickness: f.Depth}, {Material: OSB, Thickness: f.Deck}}
	bottom := b.plateZ(k-1) - f.Ceiling
	if b.h.LayerPlan.CeilingApart {
		layers = layers[1:]
		bottom += f.Ceiling
		b.add(Ceiling, k-1, nil, GypsumBd, SheetZ(Span{bottom - f.Ceiling, bottom}, rectRing(x, y))).Thick = f.Ceiling
	}
	b.layeredSlab(k, x, y, bottom, layers).Mark = unitMark(u)
	b.layeredStops(u, k, b.unitClear(u), y)
}

// layeredStops stands draftstop sheets in the framing layer, front to back at the wanted
// distances from the front, and records the void.
func (b *builder) layeredStops(u, k int, x, y Span) {
	z := b.depthSpan(k)
	rest := y
	v := Void{Kind: "floor", Level: k, Units: []int{u}, HeightM: z.Len(), Framing: "open-web-truss"}
	part := func(s Span) { v.Compartments = append(v.Compartments, x.Len()*s.Len()); v.AreaM2 += x.Len() * s.Len() }
	for n, d := range b.h.Units[u].Draftstops {
		line := stopLine{sheet: Span{d, d + HalfGypsum}}
		here := func(q Seed) bool { return q.Unit == u && q.Level == k && q.Index == n }
		if miss := b.take("draftstop-missing", here); miss != nil {
			b.defect(Defect{Seed: *miss, Level: k, Units: []int{u}, Point: pt(x.Mid(), d, z.Mid()), Checks: []string{"floor-draftstop-area"}, AreaM2: x.Len() * y.Len()})
			continue
		}
		zz := z
		if short := b.take("draftstop-short", here); short != nil {
			zz.Hi -= short.Size
			b.defect(Defect{Seed: *short, Level: k, Units: []int{u}, Point: pt(x.Mid(), line.sheet.Mid(), z.Hi-short.Size/2),
				Checks: []string{"draftstop-complete"}, WidthM: x.Len(), HeightM: short.Size})
		}
		runs := []Span{x}
		if gap := b.take("draftstop-gap", here); gap != nil {
			g := Span{x.Lo + gap.At, x.Lo + gap.At + gap.Size}
			runs = without(x, []Span{g})
			b.defect(Defect{Seed: *gap, Level: k, Units: []int{u}, Point: pt(g.Mid(), line.sheet.Mid(), z.Mid()),
				Checks: []string{"draftstop-complete"}, WidthM: g.Len(), HeightM: z.Len()})
		}
		for _, r := range runs {
			p := b.add(Draftstop, k, nil, GypsumBd, Box(r, line.sheet, zz, Z))
			p.Thick, p.Mark = HalfGypsum, unitMark(u)
		}
		part(Span{rest.Lo, line.sheet.Lo})
		rest.Lo = line.sheet.Hi
	}
	part(rest)
	v.VolumeM3, v.Point = v.AreaM2*v.HeightM, pt(x.Lo+0.3, y.Lo+0.3, z.Mid())
	b.m.Truth.Voids = append(b.m.Truth.Voids, v)
}

// layeredRoof builds the ceilings of the top storey and the roof, and records the attics.
func (b *builder) layeredRoof() {
	top := b.h.Storeys - 1
	pz := b.plateZ(top)
	for u := range b.h.Units {
		_, y := b.clearRoom(u, frame{x: b.frameX(u), y: b.frameY()})
		b.add(Ceiling, top, nil, GypsumBd, SheetZ(Span{pz - b.h.Floor.Ceiling, pz}, rectRing(b.unitClear(u), y))).Thick = b.h.Floor.Ceiling
	}
	b.roofPanels()
	layers := []Layer{{Material: OSB, Thickness: b.h.Roof.Sheathing}, {Material: Shingles, Thickness: 0.006}}
	for _, p := range b.m.Find(RoofPanel) {
		out := p.Solids[0].Profile.Outline // in (y, z): lower edge, upper edge, and back above
		rise := geom.Vec3{Y: out[1].X - out[0].X, Z: out[1].Y - out[0].Y}.Unit()
		x := Span{p.Bounds().Min.X, p.Bounds().Max.X}
		at := geom.Mat{X: pt(1, 0, 0), Y: rise, Z: pt(1, 0, 0).Cross(rise), O: pt(x.Lo, out[0].X, out[0].Y)}
		// a slab is extruded square to its plane: the two meet along their lower edges
		slope := out[1].Sub(out[0]).Len()
		f := at
		f.O = at.Point(pt(x.Len()/2, slope/2, 0))
		p.Solids = []Prism{{f, Profile{Kind: Rect, W: x.Len(), H: slope}, thickness(layers)}}
		p.Frame, p.Layers, p.LayerSet = &at, layers, LayerUse{Axis: 3}
	}
	b.layeredAttics()
}

// layeredAttics records the attics between the faces of the walls that reach the roof.
func (b *builder) layeredAttics() {
	top := b.h.Storeys - 1
	for u := 0; u < len(b.h.Units); u++ {
		x := b.unitClear(u)
		_, y := b.clearRoom(u, frame{x: b.frameX(u), y: b.frameY()})
		units := []int{u}
		for u < len(b.seps) && b.atticClosed(u) != "wall" {
			b.cells.join(atticCell(u), atticCell(u+1))
			u++
			x.Hi = b.unitClear(u).Hi
			units = append(units, u)
		}
		a := x.Len() * y.Len()
		section := 0.0
		out := b.roofOutline(y, b.plateZ(top), 0)
		section = ringArea(out)
		h := b.roofZ(y.Hi)
		if b.h.Roof.Kind == "gable" {
			h = b.roofZ(b.h.Depth / 2)
		}
		b.m.Truth.Voids = append(b.m.Truth.Voids, Void{Kind: "attic", Level: top, Units: units, AreaM2: a, HeightM: h - b.plateZ(top),
			VolumeM3: x.Len() * section, Framing: "unknown", Compartments: []float64{a}, Point: pt(x.Lo+0.3, b.h.Depth/2, b.plateZ(top)+0.2)})
	}
}

// layered builds the whole house in layers.
func (b *builder) layered() {
	y := b.outerY().grow(SidePanel)
	x := Span{b.endRows[0].Lo - SidePanel, b.endRows[1].Hi + SidePanel}
	b.add(Slab, 0, nil, Concrete, SheetZ(Span{-0.1, 0}, rectRing(x, y))).Thick = 0.1
	for k := range b.h.Storeys {
		b.layeredWalls(k)
		if k > 0 {
			for u := range b.h.Units {
				b.layeredFloor(u, k)
			}
		}
	}
	b.layeredRoof()
	for i := range b.seps {
		r := b.seps[i].rows
		area := (r[len(r)-1].Hi - r[0].Lo) * y.Len()
		for k := range b.h.Storeys {
			b.m.Truth.Voids = append(b.m.Truth.Voids, Void{Kind: "wall", Level: k, Units: []int{i, i + 1}, AreaM2: area, HeightM: b.h.WallHeight,
				Framing: "stud", Point: pt(b.seps[i].mid(), b.h.Depth/2, b.floorZ(k)+1)})
		}
	}
}
