package ifctest

import "voidcheck/ifcx/geom"

// This file builds houses of which one part is known by its layers and the other framed member
// by member: walls of a panel maker under an architect's floors, and the floors of a truss maker over
// an architect's walls. Walls bear the floors, which lie over them out to the gap of a double
// separation; rims and blocks close their ends, unless the model leaves those out.

// layersWalls and layersFloors tell which parts of a house are solids with layers.
func (h *House) layersWalls() bool  { return h.Layered && h.LayerPlan.Framed != "walls" }
func (h *House) layersFloors() bool { return h.Layered && h.LayerPlan.Framed != "floors" }

// mixed builds the whole house.
func (b *builder) mixed() {
	y := b.outerY().grow(SidePanel)
	x := Span{b.endRows[0].Lo - SidePanel, b.endRows[1].Hi + SidePanel}
	b.add(Slab, 0, nil, Concrete, SheetZ(Span{-0.1, 0}, rectRing(x, y))).Thick = 0.1
	for k := range b.h.Storeys {
		if b.h.layersWalls() {
			b.bearingWalls(k)
		} else {
			b.storeyWalls(k)
		}
		if k > 0 {
			for u := range b.h.Units {
				if b.h.layersFloors() {
					b.floorOverWalls(u, k)
				} else {
					b.floorFraming(u, k)
					b.draftstops(u, k)
					b.sheathingBand(u, k)
				}
			}
			b.blocking(k)
		}
		for u := range b.h.Units {
			if k == b.h.Storeys-1 || !b.h.layersFloors() || b.h.LayerPlan.CeilingApart {
				b.ceilings(u, k)
			}
		}
	}
	b.cavityStops()
	b.attic()
	b.floorTruth()
}

// floorOverWalls builds the layered floor of level k in unit u over the plates of its walls.
// Where the ceiling is its lowest layer, that runs over the walls too.
func (b *builder) floorOverWalls(u, k int) {
	f := b.h.Floor
	x, y := b.platform(u), b.outerY()
	bottom := b.plateZ(k - 1)
	layers := []Layer{{Material: WoodTruss, Thickness: f.Depth}, {Material: OSB, Thickness: f.Deck}}
	if !b.h.LayerPlan.CeilingApart {
		layers[0].Thickness -= f.Ceiling
		layers = append([]Layer{{Material: GypsumBd, Thickness: f.Ceiling}}, layers...)
	}
	b.layeredSlab(k, x, y, bottom, layers).Mark = unitMark(u)
	if !b.h.LayerPlan.NoEnds {
		b.rims(u, k, b.depthSpan(k))
		x, y = b.voids[u], b.depthY()
	}
	b.layeredStops(u, k, x, y)
}

// sheathingBand sheathes the edge of the floor of level k in unit u between the layered walls below and above it.
func (b *builder) sheathingBand(u, k int) {
	x, y, z := b.sheathX(u), b.outerY(), Span{b.plateZ(k - 1), b.floorZ(k)}
	add := func(x, y Span) { b.add(Sheathing, k, nil, OSB, Box(x, y, z, Z)).Thick = SidePanel }
	add(x, Span{y.Lo - SidePanel, y.Lo})
	add(x, Span{y.Hi, y.Hi + SidePanel})
	if u == 0 {
		add(Span{x.Lo, x.Lo + SidePanel}, y)
	}
	if u == len(b.seps) {
		add(Span{x.Hi - SidePanel, x.Hi}, y)
	}
}

// layeredSlab adds a floor of layers, lowest first.
func (b *builder) layeredSlab(k int, x, y Span, bottom float64, layers []Layer) *Part {
	p := b.add(FloorWhole, k, nil, OSB, SheetZ(Span{bottom, bottom + thickness(layers)}, rectRing(x, y)))
	at := geom.Identity()
	at.O = pt(x.Lo, y.Lo, bottom)
	p.LayerSet = LayerUse{Axis: 3}
	if b.h.LayerPlan.NegSense { // from the top face down
		layers = reversedLayers(layers)
		p.LayerSet.Neg, p.LayerSet.Offset = true, thickness(layers)
	}
	p.Frame, p.Layers = &at, layers
	return p
}

// bearingWalls builds the layered walls of storey k, which end under the floor above them.
func (b *builder) bearingWalls(k int) {
	top := k == b.h.Storeys-1
	z := Span{b.floorZ(k), b.plateZ(k)}
	yo := b.outerY().grow(SidePanel)
	ext := b.wallLayers(WallExt)
	for j, x := range []Span{{b.endRows[0].Lo - SidePanel, b.endRows[0].Hi + HalfGypsum}, {b.endRows[1].Lo - HalfGypsum, b.endRows[1].Hi + SidePanel}} {
		solid, layers := Box(x, yo, z, Z), ext
		if top {
			solid = SheetX(x, b.roofOutline(yo, z.Lo, 0))
		}
		if j == 1 {
			layers = reversedLayers(ext)
		}
		b.layeredWall(WallExt, k, []string{"left", "right"}[j], x, yo, Y, layers, solid)
	}
	for i := range b.seps {
		x, solid := b.sepStrip(i), Box(b.sepStrip(i), yo, z, Z)
		if top && b.atticClosed(i) == "wall" {
			solid = b.layeredTop(i, x, yo, z.Lo)
		}
		b.layeredWall(WallSep, k, unitLine(i), x, yo, Y, b.wallLayers(WallSep), solid)
	}
	for u := range b.h.Units {
		x := b.unitClear(u)
		_, y := b.clearRoom(u, frame{x: b.frameX(u), y: b.frameY()})
		b.layeredWall(WallExt, k, "front "+unitMark(u), x, Span{yo.Lo, y.Lo}, X, ext, Box(x, Span{yo.Lo, y.Lo}, z, Z))
		b.layeredWall(WallExt, k, "back "+unitMark(u), x, Span{y.Hi, yo.Hi}, X, reversedLayers(ext), Box(x, Span{y.Hi, yo.Hi}, z, Z))
		if px, py, ok := b.partition(u); ok {
			along := Y
			if b.h.Floor.Along == "x" {
				px, py = px.grow(HalfGypsum), y
			} else {
				px, py, along = x, py.grow(HalfGypsum), X
			}
			b.layeredWall(WallPart, k, "bearing "+unitMark(u), px, py, along, b.wallLayers(WallPart), Box(px, py, z, Z))
		}
	}
}
