package shape

import (
	"math"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/source"
)

var (
	axisX = geom.Vec3{X: 1}
	axisY = geom.Vec3{Y: 1}
	axisZ = geom.Vec3{Z: 1}
)

// axesFrom makes a right-handed frame from a Z axis and a direction in its XZ plane, which
// is replaced when it runs along Z.
func axesFrom(o, z, ref geom.Vec3) geom.Mat {
	z = z.Unit()
	x := ref.Sub(z.Mul(ref.Dot(z)))
	if x.Len() < 1e-9 {
		if ref = axisX; math.Abs(z.X) > 0.9 {
			ref = axisY
		}
		x = ref.Sub(z.Mul(ref.Dot(z)))
	}
	x = x.Unit()
	return geom.Mat{X: x, Y: z.Cross(x), Z: z, O: o}
}

// axes reads an IfcAxis2Placement3D, IfcAxis2Placement2D or IfcAxis1Placement; 0 is the
// identity. Of an IfcAxis1Placement, Z is the axis.
func (e *eval) axes(id graph.ID) (geom.Mat, error) {
	if id == 0 {
		return geom.Identity(), nil
	}
	o, err := e.pointAt(id, "Location")
	if err != nil {
		return geom.Mat{}, err
	}
	z, x := axisZ, axisX
	turned := e.along(id, "RefDirection", &x)
	switch {
	case e.g.Is(id, "IfcAxis2Placement2D"):
		x.Z = 0
	case e.g.Is(id, "IfcAxis2Placement3D"), e.g.Is(id, "IfcAxis1Placement"):
		e.along(id, "Axis", &z)
	default:
		return geom.Mat{}, e.bad(id, "an axis placement is expected here")
	}
	if turned && x.Cross(z).Len() < 1e-9 {
		e.odd(id, "RefDirection and Axis run the same way")
	}
	return axesFrom(o, z, x), nil
}

// along reads a direction that may be left out, when *d stays as it is; it reports one that is
// given and has no length.
func (e *eval) along(id graph.ID, attr string, d *geom.Vec3) bool {
	r := e.g.Ref(id, attr)
	if r == 0 {
		return false
	}
	v, ok := e.ratios(r)
	if !ok {
		e.odd(id, attr+" is no direction with a length")
		return false
	}
	*d = v
	return true
}

// odd reports a placement that is read as if it were turned by default.
func (e *eval) odd(id graph.ID, text string) {
	e.g.Report(source.Warning, id, "direction", text+"; the direction that the schema gives where none is written is taken", "look at where the elements placed by it stand, and export the model again")
}

// axesAt reads the placement that an attribute names; not given is the identity.
func (e *eval) axesAt(id graph.ID, attr string) (geom.Mat, error) {
	return e.axes(e.g.Ref(id, attr))
}

// operator reads an IfcCartesianTransformationOperator of two or three dimensions, uniform
// or not; mirrors come out as left-handed transforms. (The functions IfcBaseAxis,
// IfcFirstProjAxis and IfcSecondProjAxis of the schemas.)
func (e *eval) operator(id graph.ID) (geom.Mat, error) {
	o, err := e.pointAt(id, "LocalOrigin")
	if err != nil {
		return geom.Mat{}, err
	}
	scale := func(attr string, otherwise float64) (float64, error) {
		f, ok := e.g.Float(id, attr)
		if !ok {
			return otherwise, nil
		}
		if !(math.Abs(f) > 1e-12) || math.IsInf(f, 0) {
			return 0, e.bad(id, "%s is %g, a number other than zero is expected", attr, f)
		}
		return f, nil
	}
	s, err := scale("Scale", 1)
	if err != nil {
		return geom.Mat{}, err
	}
	s2, err := scale("Scale2", s)
	if err != nil {
		return geom.Mat{}, err
	}
	s3, err := scale("Scale3", s)
	if err != nil {
		return geom.Mat{}, err
	}
	m := e.operatorAxes(id)
	return geom.Mat{X: m.X.Mul(s), Y: m.Y.Mul(s2), Z: m.Z.Mul(s3), O: o}, nil
}

func (e *eval) operatorAxes(id graph.ID) geom.Mat {
	a1, ok1 := e.direction(id, "Axis1")
	a2, ok2 := e.direction(id, "Axis2")
	if e.g.Is(id, "IfcCartesianTransformationOperator2D") {
		if !ok1 && ok2 { // the second axis alone fixes the first
			a1 = geom.Vec3{X: a2.Y, Y: -a2.X}
			ok1 = true
		}
		if !ok1 {
			a1 = axisX
		}
		m := axesFrom(geom.Vec3{}, axisZ, a1)
		if ok2 && m.Y.Dot(a2) < 0 {
			m.Y = m.Y.Mul(-1)
		}
		return m
	}
	z, ok3 := e.direction(id, "Axis3")
	if !ok3 {
		if z = axisZ; ok1 && ok2 {
			if c := a1.Cross(a2); c.Len() > 1e-9 && math.Abs(a1.Z)+math.Abs(a2.Z) > 1e-9 {
				z = c.Unit()
			}
		}
	}
	if !ok1 {
		a1 = axisX
	}
	m := axesFrom(geom.Vec3{}, z, a1)
	if ok2 && m.Y.Dot(a2) < 0 {
		m.Y = m.Y.Mul(-1)
	}
	return m
}
