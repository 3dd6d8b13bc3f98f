package model

import (
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/shape"
)

// The geometry of a graph. TODO until package shape has it.
type bodyBuilder struct{}

func newBuilder(*graph.Graph) *bodyBuilder { return &bodyBuilder{} }

func (*bodyBuilder) Body(graph.ID, geom.Mat) *shape.Body { return nil }

func placementOf(g *graph.Graph, unit float64, id graph.ID) geom.Mat {
	m := geom.Identity()
	for i := 0; i < 64 && id != 0; i++ {
		m = axisPlacement(g, unit, g.Ref(id, "RelativePlacement")).Then(m)
		id = g.Ref(id, "PlacementRelTo")
	}
	return m
}

func axisPlacement(g *graph.Graph, k float64, id graph.ID) geom.Mat {
	m := geom.Identity()
	if id == 0 {
		return m
	}
	vec := func(id graph.ID, attr string, v geom.Vec3) geom.Vec3 {
		f, ok := g.Floats(id, attr)
		if !ok || len(f) < 2 {
			return v
		}
		f = append(f, 0)
		return geom.Vec3{X: f[0], Y: f[1], Z: f[2]}
	}
	m.O = vec(g.Ref(id, "Location"), "Coordinates", geom.Vec3{}).Mul(k)
	z := vec(g.Ref(id, "Axis"), "DirectionRatios", geom.Vec3{Z: 1}).Unit()
	x := vec(g.Ref(id, "RefDirection"), "DirectionRatios", geom.Vec3{X: 1})
	x = x.Sub(z.Mul(x.Dot(z))).Unit()
	m.X, m.Y, m.Z = x, z.Cross(x), z
	return m
}
