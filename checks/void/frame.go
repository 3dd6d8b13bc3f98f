package void

import (
	"math"

	"voidcheck/ifcx/geom"
)

// Tolerances of the solver, in metres unless said otherwise.
const (
	// mergeTol: faces closer than this are one grid line; half a millimetre of modelling
	// noise on each side of a joint.
	mergeTol = 1e-3
	// noiseTol: coordinates closer than this differ by rounding alone, at any distance from
	// the origin that a model may have.
	noiseTol = 1e-6
	// crossTol: a crossing of two plan edges nearer than this to a line adds no line.
	crossTol = 5e-5
	// openTol is taken off MaxGap so that a gap of exactly the limit, measured with float
	// noise, counts as open.
	openTol = 1e-4
	// defaultMaxGap is 1/2 in, used when the input names none.
	defaultMaxGap = 0.0127
)

// frame is a turned plan: u along dir, v to the left of it, from origin o.
type frame struct{ o, dir geom.Vec2 }

func (f frame) in(p geom.Vec2) geom.Vec2 {
	d := p.Sub(f.o)
	return geom.Vec2{X: d.Dot(f.dir), Y: f.dir.Cross(d)}
}

// at turns a point of the building into the frame.
func (f frame) at(p geom.Vec3) geom.Vec3 {
	q := f.in(p.Plan())
	return geom.Vec3{X: q.X, Y: q.Y, Z: p.Z}
}

func (f frame) out(q geom.Vec2) geom.Vec2 {
	return geom.Vec2{
		X: f.o.X + q.X*f.dir.X - q.Y*f.dir.Y,
		Y: f.o.Y + q.X*f.dir.Y + q.Y*f.dir.X,
	}
}

// dominantDirection returns the unit direction that most of the vertical face area follows,
// modulo 90 degrees, and lets the longer side of the building run along it.
func dominantDirection(parts []Part, cores int) geom.Vec2 {
	const bins = 180 // half-degree bins over 90 degrees
	pieces := uprightFaces(parts, cores)
	hist := make([]float64, bins)
	some := false
	for _, faces := range pieces {
		for _, f := range faces {
			hist[int(f.angle/(math.Pi/2)*bins)%bins] += f.area
		}
		some = some || len(faces) > 0
	}
	if !some {
		return geom.Vec2{X: 1}
	}
	best := 0
	for i := range hist {
		w := hist[i] + hist[(i+1)%bins] + hist[(i+bins-1)%bins]
		v := hist[best] + hist[(best+1)%bins] + hist[(best+bins-1)%bins]
		if w > v*(1+1e-9) {
			best = i
		}
	}
	center := (float64(best) + 0.5) * math.Pi / 2 / bins
	sum, wsum := 0.0, 0.0
	for _, faces := range pieces {
		for _, f := range faces {
			d := math.Mod(f.angle-center+3*math.Pi/4, math.Pi/2) - math.Pi/4
			if math.Abs(d) < 1.5*math.Pi/2/bins {
				sum += d * f.area
				wsum += f.area
			}
		}
	}
	a := center
	if wsum > 0 {
		a += sum / wsum
	}
	dir := geom.Vec2{X: math.Cos(a), Y: math.Sin(a)}
	f := frame{dir: dir}
	lo, hi := geom.Vec2{X: math.Inf(1), Y: math.Inf(1)}, geom.Vec2{X: math.Inf(-1), Y: math.Inf(-1)}
	for i := range parts {
		for _, v := range parts[i].Mesh.Verts {
			q := f.in(v.Plan())
			lo = geom.Vec2{X: min(lo.X, q.X), Y: min(lo.Y, q.Y)}
			hi = geom.Vec2{X: max(hi.X, q.X), Y: max(hi.Y, q.Y)}
		}
	}
	if hi.Y-lo.Y > hi.X-lo.X {
		dir = geom.Vec2{X: -dir.Y, Y: dir.X}
	}
	return dir
}

// uprightFace is a vertical triangle: the direction it looks in, modulo 90 degrees, and twice
// its area.
type uprightFace struct{ angle, area float64 }

// uprightFaces returns the vertical triangles of all parts, in order, in several pieces.
func uprightFaces(parts []Part, cores int) [][]uprightFace {
	out := make([][]uprightFace, cores)
	inPieces(cores, len(parts), func(piece, from, to int) {
		n := 0
		for i := from; i < to; i++ {
			n += len(parts[i].Mesh.Tris)
		}
		faces := make([]uprightFace, 0, n)
		for i := from; i < to; i++ {
			m := parts[i].Mesh
			for _, t := range m.Tris {
				a, b, c := m.Verts[t[0]], m.Verts[t[1]], m.Verts[t[2]]
				n := b.Sub(a).Cross(c.Sub(a))
				l := n.Len()
				if h := math.Hypot(n.X, n.Y); l >= 1e-9 && h >= 0.999*l {
					faces = append(faces, uprightFace{math.Mod(math.Atan2(n.Y, n.X)+4*math.Pi, math.Pi/2), l})
				}
			}
		}
		out[piece] = faces
	})
	return out
}
