package model

import (
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
)

// readGrids reads the axes of every IfcGrid as straight lines in plan.
func (c *content) readGrids() {
	for _, r := range c.v.rows("IfcGrid") {
		g := &Grid{Name: r.str("Name")}
		place := c.moved(c.place(r.id))
		for _, dir := range []string{"UAxes", "VAxes", "WAxes"} {
			for _, id := range r.refs(dir) {
				a := c.v.row(id)
				p, q, ok := c.line(a.ref("AxisCurve"))
				if !ok {
					if a.ent != nil {
						c.v.skip(r, "grid-axis", "its axis "+quote(a.str("AxisTag"))+" is no line and is left out", "")
					}
					continue
				}
				if same, known := a.get("SameSense").AsBool(); known && !same {
					p, q = q, p
				}
				g.Axes = append(g.Axes, GridAxis{Tag: a.str("AxisTag"), A: place.Point(p).Plan(), B: place.Point(q).Plan()})
			}
		}
		c.part.Grids = append(c.part.Grids, g)
	}
}

// line returns the ends of a curve: polylines by their end points, lines by one step of their
// vector, trimmed lines by their trims.
func (c *content) line(id graph.ID) (p, q geom.Vec3, ok bool) {
	r := c.v.row(id)
	if r.ent == nil {
		return p, q, false
	}
	switch r.ent.Name {
	case "IfcPolyline":
		pts := r.refs("Points")
		if len(pts) < 2 {
			return p, q, false
		}
		p, ok1 := c.point(pts[0])
		q, ok2 := c.point(pts[len(pts)-1])
		return p, q, ok1 && ok2
	case "IfcLine":
		p, ok1 := c.point(r.ref("Pnt"))
		vec := c.v.row(r.ref("Dir"))
		d, ok2 := c.v.g.Floats(vec.ref("Orientation"), "DirectionRatios")
		n, ok3 := vec.num("Magnitude")
		if !ok1 || !ok2 || !ok3 || len(d) < 2 {
			return p, q, false
		}
		dir := geom.Vec3{X: d[0], Y: d[1]}.Unit()
		return p, p.Add(dir.Mul(n * c.v.units.length().factor)), true
	case "IfcTrimmedCurve":
		return c.trimmedLine(r)
	case "IfcIndexedPolyCurve":
		l := c.v.row(r.ref("Points")).get("CoordList").Items()
		if len(l) < 2 {
			return p, q, false
		}
		a, ok1 := l[0].Floats()
		b, ok2 := l[len(l)-1].Floats()
		p, ok3 := c.scaled(a)
		q, ok4 := c.scaled(b)
		return p, q, ok1 && ok2 && ok3 && ok4
	}
	return p, q, false
}

// trimmedLine cuts a line at parameters or points.
func (c *content) trimmedLine(r row) (p, q geom.Vec3, ok bool) {
	if c.v.g.Type(r.ref("BasisCurve")) != "IfcLine" {
		return p, q, false
	}
	a, b, ok := c.line(r.ref("BasisCurve"))
	trim := func(attr string) (geom.Vec3, bool) {
		for _, v := range r.get(attr).Items() {
			if t, isNum := v.AsFloat(); isNum {
				return a.Add(b.Sub(a).Mul(t)), true
			}
			if x, isPoint := c.point(v.AsRef()); isPoint {
				return x, true
			}
		}
		return geom.Vec3{}, false
	}
	p, ok1 := trim("Trim1")
	q, ok2 := trim("Trim2")
	return p, q, ok && ok1 && ok2
}

// point reads an IfcCartesianPoint in metres.
func (c *content) point(id graph.ID) (geom.Vec3, bool) {
	x, ok := c.v.g.Floats(id, "Coordinates")
	if !ok {
		return geom.Vec3{}, false
	}
	return c.scaled(x)
}

// scaled makes a point of two or three numbers in the file's length unit.
func (c *content) scaled(x []float64) (geom.Vec3, bool) {
	k := c.v.units.length().factor
	switch len(x) {
	case 2:
		return geom.Vec3{X: x[0] * k, Y: x[1] * k}, true
	case 3:
		return geom.Vec3{X: x[0] * k, Y: x[1] * k, Z: x[2] * k}, true
	}
	return geom.Vec3{}, false
}
