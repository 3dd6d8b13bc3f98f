package recognise

import (
	"math"

	"voidcheck/ifcx/geom"
)

// turn is the plan rotation between the building frame and the frame of the dominant walls,
// in which nearly everything is parallel to the axes and boxes are exact.
type turn struct{ c, s float64 } // cosine and sine of the angle of the dominant direction

// in takes a point of the building frame into the turned frame.
func (t turn) in(p geom.Vec3) geom.Vec3 {
	return geom.Vec3{X: t.c*p.X + t.s*p.Y, Y: -t.s*p.X + t.c*p.Y, Z: p.Z}
}

// out2 takes a plan point or direction of the turned frame into the building frame.
func (t turn) out2(p geom.Vec2) geom.Vec2 {
	return geom.Vec2{X: t.c*p.X - t.s*p.Y, Y: t.s*p.X + t.c*p.Y}
}

// out takes a point of the turned frame into the building frame.
func (t turn) out(p geom.Vec3) geom.Vec3 {
	q := t.out2(p.Plan())
	return geom.Vec3{X: q.X, Y: q.Y, Z: p.Z}
}

// turnBins divides the quarter turn for finding the dominant direction.
const turnBins = 720

// uprightFaces calls f with the area and the angle modulo a quarter turn of the normals of the
// upright faces, in order. Most look along an axis, whose angles are worked out once.
func uprightFaces(meshes []*geom.Mesh, f func(angle, area float64)) {
	angle := func(n geom.Vec3) float64 { return math.Mod(math.Atan2(n.Y, n.X)+4*math.Pi, math.Pi/2) }
	var along [8]float64
	for i := range along {
		n := geom.Vec3{X: math.Copysign(float64(i&1), 1-float64(i&2)), Y: math.Copysign(float64(1-i&1), 1-float64(i>>1&2))}
		along[i] = angle(n)
	}
	sign := func(v float64) int {
		if math.Signbit(v) {
			return 1
		}
		return 0
	}
	for _, m := range meshes {
		for _, t := range m.Tris {
			n := m.Verts[t[1]].Sub(m.Verts[t[0]]).Cross(m.Verts[t[2]].Sub(m.Verts[t[0]]))
			l := n.Len()
			if l < 1e-4 || math.Abs(n.Z) > 1e-3*l { // faces below half a square centimetre say little
				continue
			}
			var a float64
			switch {
			case n.Y == 0:
				a = along[1+2*sign(n.X)+4*sign(n.Y)]
			case n.X == 0:
				a = along[2*sign(n.X)+4*sign(n.Y)]
			default:
				a = angle(n)
			}
			f(a, l/2)
		}
	}
}

// peaks returns the upright face area by bins of angle. Stretches of meshes are added up side
// by side and the sums in order, so that they are the same on any number of cores.
func peaks(meshes []*geom.Mesh) []float64 {
	const stretch = 4096
	sums := make([][turnBins]float64, (len(meshes)+stretch-1)/stretch)
	each(len(sums), func(k int) {
		uprightFaces(meshes[k*stretch:min((k+1)*stretch, len(meshes))], func(angle, area float64) {
			sums[k][int(angle/(math.Pi/2)*turnBins)%turnBins] += area
		})
	})
	bins := make([]float64, turnBins)
	for k := range sums {
		for i, v := range sums[k] {
			bins[i] += v
		}
	}
	return bins
}

// dominant returns the turn to the direction in which most upright face area lies. The
// angle is within 45 degrees either side of +x, so an unturned building stays as it is.
func dominant(meshes []*geom.Mesh) turn {
	bins := peaks(meshes)
	best, sum := 0, -1.0
	for i := range bins {
		v := bins[i] + bins[(i+1)%turnBins] + bins[(i+turnBins-1)%turnBins]
		if v > sum*(1+1e-9) {
			best, sum = i, v
		}
	}
	if sum <= 0 {
		return turn{1, 0}
	}
	// Mean of the faces near the peak, on the circle of the quarter turn.
	peak := (float64(best) + 0.5) / turnBins * math.Pi / 2
	var x, y float64
	last, cos, sin := math.NaN(), 0.0, 0.0
	uprightFaces(meshes, func(angle, area float64) {
		d := math.Remainder(angle-peak, math.Pi/2)
		if math.Abs(d) < 1.5*math.Pi/2/turnBins {
			if d != last {
				last, cos, sin = d, math.Cos(4*d), math.Sin(4*d)
			}
			x += area * cos
			y += area * sin
		}
	})
	a := peak + math.Atan2(y, x)/4
	a = math.Remainder(a, math.Pi/2)
	if math.Abs(a) < 1e-9 {
		a = 0
	}
	if a > math.Pi/4-1e-9 { // 45 degrees reads the same from either side
		a -= math.Pi / 2
	}
	return turn{math.Cos(a), math.Sin(a)}
}
