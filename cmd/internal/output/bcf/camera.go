package bcf

import "math"

// vec is a point or a direction in metres in the first model's coordinates.
type vec [3]float64

func (a vec) add(b vec) vec     { return vec{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }
func (a vec) sub(b vec) vec     { return vec{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }
func (a vec) mul(k float64) vec { return vec{a[0] * k, a[1] * k, a[2] * k} }
func (a vec) dot(b vec) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
func (a vec) len() float64      { return math.Sqrt(a.dot(a)) }
func (a vec) cross(b vec) vec {
	return vec{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

func (a vec) unit() vec {
	l := a.len()
	if l == 0 {
		return vec{}
	}
	return a.mul(1 / l)
}

const (
	// fieldOfView is the camera's upright angle in degrees; version 2.1 allows 45 to 60.
	fieldOfView = 50.0
	// aspect is width by height of the picture. Places are framed within its middle square,
	// so that a viewer with another window shows them too.
	aspect = 4.0 / 3
	// used is the part of the picture's half height that places may fill.
	used = 0.8
)

// camera is a perspective camera.
type camera struct{ at, look, up vec }

// frame puts a camera that looks in a direction so far away that all points are in the
// picture, no farther, with the points in its middle. The direction must not be upright.
//
// In the camera's own axes (u to the right, v up, w ahead) a point is in the picture when
// |u - u0| and |v - v0| are at most t (w - w0), t being the tangent of half the angle. Each
// point so gives four half-spaces for the camera's place; the nearest corner is the answer.
func frame(pts []vec, look vec) camera {
	look = look.unit()
	right := look.cross(vec{0, 0, 1}).unit()
	up := right.cross(look)
	t := used * math.Tan(fieldOfView/2*math.Pi/180)
	inf := math.Inf(-1)
	a := [4]float64{inf, inf, inf, inf} // right, left, up, down
	for _, p := range pts {
		u, v, w := p.dot(right), p.dot(up), p.dot(look)
		for i, x := range []float64{u, -u, v, -v} {
			a[i] = max(a[i], x-t*w)
		}
	}
	w0 := -max(a[0]+a[1], a[2]+a[3]) / (2 * t)
	u0, v0 := (a[0]-a[1])/2, (a[2]-a[3])/2
	return camera{at: right.mul(u0).add(up.mul(v0)).add(look.mul(w0)), look: look, up: up}
}

// holds reports whether a point is in the middle square of the picture.
func (c camera) holds(p vec) bool {
	d := p.sub(c.at)
	ahead, t := d.dot(c.look), math.Tan(fieldOfView/2*math.Pi/180)
	return ahead > 0 && math.Abs(d.dot(c.look.cross(c.up))) <= t*ahead && math.Abs(d.dot(c.up)) <= t*ahead
}

// touches reports whether some of a box is in the picture: points of it no farther apart than
// a step are tried.
func (c camera) touches(b [2]vec) bool {
	const step, most = 0.2, 80
	var n [3]int
	for k := range n {
		n[k] = 1 + min(most, int(math.Ceil((b[1][k]-b[0][k])/step)))
	}
	for i := range n[0] + 1 {
		for j := range n[1] + 1 {
			for k := range n[2] + 1 {
				f := vec{float64(i) / float64(n[0]), float64(j) / float64(n[1]), float64(k) / float64(n[2])}
				if c.holds(vec{b[0][0] + f[0]*(b[1][0]-b[0][0]), b[0][1] + f[1]*(b[1][1]-b[0][1]), b[0][2] + f[2]*(b[1][2]-b[0][2])}) {
					return true
				}
			}
		}
	}
	return false
}

// view is a viewpoint.
type view struct {
	id, file string
	camera   camera
	cut      *cut
	selected []string
}

// cut takes away what stands before a plane: the direction points to what goes, as the
// format's documentation says.
type cut struct{ at, away vec }
