package model

import (
	"math"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/shape"
)

// Where layers lie. The reference frame depends on the element:
//
//   - AXIS1, AXIS2 (walls): the object placement; the reference line is the Axis
//     representation, usually y = 0 (IFC4 ADD2, IfcWallStandardCase).
//   - AXIS3 (slabs, roofs): the Position of the extruded solid; the reference plane is that of
//     the profile, and POSITIVE is the side to which it is extruded (implementation agreement
//     CV-2x3-100 of buildingSMART). Without an extrusion: the object placement.
//
// The set's base lies at OffsetFromReferenceLine along the positive axis whatever the sense;
// the sense only gives the direction in which the layers follow each other.

// LayerTolerance is the distance in metres within which the faces of a layer set and of its
// solid coincide.
const LayerTolerance = 0.005

// OverlapShare is the part of its thickness with which a solid must lie inside a layer set
// of another thickness for the set's declared place to be believed (project tolerance).
const OverlapShare = 0.9

// seat is one reading of where the reference line or plane lies.
type seat struct{ ref, axis geom.Vec3 }

// declareLayers places the set as the usage says, before any geometry is computed.
func (c *content) declareLayers(e *Element, u layerUsage) {
	if u.axis == 0 {
		return
	}
	s := c.seats(e, u, nil)[0]
	e.Layers.Placed = true
	e.Layers.seatAt(s, u)
}

func (l *LayerSet) seatAt(s seat, u layerUsage) {
	l.Axis = s.axis.Mul(u.sense)
	l.Base = s.ref.Add(s.axis.Mul(u.offset))
}

// seats lists the readings of the reference frame, the likeliest first.
func (c *content) seats(e *Element, u layerUsage, b *shape.Body) []seat {
	p := e.Placement()
	axis := [...]geom.Vec3{p.X, p.Y, p.Z}[u.axis-1].Unit()
	plain := seat{p.O, axis}
	if u.axis == 3 {
		var out []seat
		if pos, dir, ok := c.extrusion(c.v.row(e.ID).ref("Representation")); ok {
			f := p.Then(pos)
			z := f.Z.Unit()
			if dir < 0 {
				z = z.Mul(-1)
			}
			out = append(out, seat{f.O, z})
		}
		return append(out, plain)
	}
	if b != nil && u.axis == 2 {
		if a, dir, ok := straight(b.AxisLine); ok {
			n := p.Z.Unit().Cross(dir)
			if n.Dot(axis) < 0 {
				n = n.Mul(-1)
			}
			return []seat{{a, n.Unit()}, plain}
		}
	}
	return []seat{plain}
}

// straight returns a point and the direction of an axis line without bends.
func straight(line []geom.Vec3) (a, dir geom.Vec3, ok bool) {
	if len(line) < 2 {
		return a, dir, false
	}
	a = line[0]
	dir = line[len(line)-1].Sub(a).Unit()
	if dir.Len() == 0 {
		return a, dir, false
	}
	for _, p := range line[1:] {
		d := p.Sub(a)
		if d.Sub(dir.Mul(d.Dot(dir))).Len() > LayerTolerance {
			return a, dir, false
		}
	}
	return a, dir, true
}

// extrusion finds the Position of the body when it is one extruded solid, also under
// clippings, and the sign of the extrusion along the Position's z axis.
func (c *content) extrusion(rep graph.ID) (pos geom.Mat, dir float64, ok bool) {
	for _, id := range c.v.row(rep).refs("Representations") {
		r := c.v.row(id)
		if r.str("RepresentationIdentifier") != "Body" {
			continue
		}
		items := r.refs("Items")
		if len(items) != 1 {
			return pos, 0, false
		}
		it := c.v.row(items[0])
		for range 64 {
			if it.ent == nil || !it.ent.Is("IfcBooleanResult") {
				break
			}
			it = c.v.row(it.ref("FirstOperand"))
		}
		if it.ent == nil || !it.ent.Is("IfcExtrudedAreaSolid") {
			return pos, 0, false
		}
		dir = 1
		if d, isList := c.v.row(it.ref("ExtrudedDirection")).get("DirectionRatios").Floats(); isList && len(d) == 3 && d[2] < 0 {
			dir = -1
		}
		pos, ok = shape.Frame(c.v.g, it.ref("Position"), c.v.units.length().factor)
		return pos, dir, ok
	}
	return pos, 0, false
}

// settleLayers compares the declared place with the solid and corrects it where the solid
// leaves no doubt.
func (c *content) settleLayers(e *Element, u layerUsage, b *shape.Body) {
	l := e.Layers
	if l == nil || b == nil || len(b.Solids) == 0 {
		return
	}
	for _, s := range b.Solids {
		if s.Boxed {
			return
		}
	}
	total := l.Total()
	if !(total > 0) {
		l.Placed = false
		return
	}
	if u.axis == 0 {
		if axis, lo, ok := thinnest(b, e.Placement(), total); ok {
			l.Axis, l.Base = axis, lo
		}
		return
	}
	seats := c.seats(e, u, b)
	if u.axis == 2 && len(b.AxisLine) > 2 {
		if _, _, ok := straight(b.AxisLine); !ok {
			l.Placed = false
			c.v.warn(c.v.row(e.ID), "layers-curved", "its axis is not straight; its layers are not placed", "")
			return
		}
	}
	for _, s := range seats {
		l.seatAt(s, u)
		if lo, hi := extent(b, l.Base, l.Axis); coincide(lo, hi, total) {
			return
		}
	}
	l.seatAt(seats[0], u)
	c.correctLayers(e, b, total)
}

// correctLayers tries the reverse, then a shift, then another axis.
func (c *content) correctLayers(e *Element, b *shape.Body, total float64) {
	l, r := e.Layers, c.v.row(e.ID)
	warn := func(code, text, fix string) {
		if len(l.Layers) > 1 { // the order of one layer cannot be wrong
			c.v.warn(r, code, text, fix)
		}
	}
	const fix = "export the layer set's direction and offset as they are in the solid"
	lo, hi := extent(b, l.Base, l.Axis)
	// A floor or roof is listed from the top down or from the bottom up, and that order is
	// kept; where its solid begins is what exporters disagree on. A wall is the other way round.
	level := math.Abs(l.Axis.Z) > 0.5
	switch {
	case !level && coincide(-hi, -lo, total):
		l.Axis = l.Axis.Mul(-1)
		warn("layers-reversed", "its layers run out of the solid in the declared sense; they are taken in the opposite sense", fix)
	case math.Abs(hi-lo-total) <= LayerTolerance:
		l.Base = l.Base.Add(l.Axis.Mul(lo))
		warn("layers-shifted", "its layer set lies "+metres(math.Abs(lo))+" beside the solid; it is moved into it", fix)
	default:
		if axis, base, ok := thinnest(b, e.Placement(), total); ok {
			if axis.Dot(l.Axis) < 0 {
				_, end := extent(b, base, axis)
				base = base.Add(axis.Mul(end))
				axis = axis.Mul(-1)
			}
			l.Placed = axis.Dot(l.Axis) > 0.5 // square to the declared axis, the order is unknown
			l.Axis, l.Base = axis, base
			warn("layers-turned", "its layers do not lie along the declared axis; the direction in which the solid is "+metres(total)+" thick is taken", fix)
			return
		}
		c.partlyPlaced(e, lo, hi, total)
	}
}

// partlyPlaced keeps the declared place when the solid and the set overlap in most of their
// thickness: a wall whose outer layers are cut away leaves part of the set outside, and a
// solid with joined or wrapped ends is thicker than its layers.
func (c *content) partlyPlaced(e *Element, lo, hi, total float64) {
	inside := math.Min(hi, total) - math.Max(lo, 0)
	e.Layers.Placed = inside >= OverlapShare*math.Min(hi-lo, total)
	text := "its layers add up to " + metres(total) + " but the solid is " + metres(hi-lo) + " thick along them"
	if e.Layers.Placed {
		text += " (from " + metres(lo) + " to " + metres(hi) + " of the set); the layers stay where they are declared"
	} else {
		text += "; the layers are not placed"
	}
	c.v.warn(c.v.row(e.ID), "layers-thickness", text, "make the layer set and the solid agree")
}

func coincide(lo, hi, total float64) bool {
	return math.Abs(lo) <= LayerTolerance && math.Abs(hi-total) <= LayerTolerance
}

// extent measures the body along a unit vector from a point.
func extent(b *shape.Body, from, axis geom.Vec3) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, s := range b.Solids {
		for _, p := range s.Mesh.Verts {
			d := p.Sub(from).Dot(axis)
			lo, hi = math.Min(lo, d), math.Max(hi, d)
		}
	}
	return lo, hi
}

// thinnest looks for the direction in which the body is total thick: among the placement's
// axes and the directions of its faces, the one with the largest faces. It returns the axis,
// turned towards the placement's positive axes, and a point on the face where it starts.
func thinnest(b *shape.Body, place geom.Mat, total float64) (axis, base geom.Vec3, ok bool) {
	type facing struct {
		n    geom.Vec3
		area float64
	}
	dirs := []facing{{place.Y.Unit(), 0}, {place.Z.Unit(), 0}, {place.X.Unit(), 0}}
	for _, s := range b.Solids {
		for _, t := range s.Mesh.Tris {
			a := s.Mesh.Verts[t[0]]
			n := s.Mesh.Verts[t[1]].Sub(a).Cross(s.Mesh.Verts[t[2]].Sub(a))
			area := n.Len() / 2
			if area == 0 {
				continue
			}
			n = n.Unit()
			found := false
			for i := range dirs {
				if math.Abs(dirs[i].n.Dot(n)) > 1-1e-6 {
					dirs[i].area += area
					found = true
					break
				}
			}
			if !found && len(dirs) < 64 {
				dirs = append(dirs, facing{n, area})
			}
		}
	}
	best := 0.0
	for i, d := range dirs {
		lo, hi := extent(b, geom.Vec3{}, d.n)
		if math.Abs(hi-lo-total) > LayerTolerance || d.area <= best {
			continue
		}
		best, ok = d.area, true
		if i >= 3 && !forward(d.n, place) {
			d.n = d.n.Mul(-1)
			lo = -hi
		}
		axis = d.n
		base = b.Box.Center()
		base = base.Add(axis.Mul(lo - base.Dot(axis)))
	}
	return axis, base, ok
}

// forward reports whether a direction points to the positive side of the first of the
// placement's z, y and x axes that it is not square to.
func forward(n geom.Vec3, place geom.Mat) bool {
	for _, a := range []geom.Vec3{place.Z, place.Y, place.X} {
		if d := n.Dot(a.Unit()); math.Abs(d) > 0.1 {
			return d > 0
		}
	}
	return true
}
