package critical

import (
	"math"

	"voidcheck/checks/spread"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// stop is one modelled stop with what lies on its two sides.
type stop struct {
	part    int // index into void.Input.Parts
	element int
	role    void.Role
	box     geom.Box // building frame
	normal  geom.Vec3
	pairs   []spread.Barrier
}

// beside is the distance from a face at which its neighbour is looked for, metres: past a
// clearance, and not past another stop that stands against it.
const beside = 0.012

// stops finds the blocks, draftstops and plates that have two different compartments on two
// opposite sides. Of plates that lie on each other neither does by itself.
func stops(in *void.Input, r *void.Result) []stop {
	l := newLocator(r.Compartments)
	var out []stop
	for i := range in.Parts {
		p := &in.Parts[i]
		switch p.Role {
		case void.RoleBlock, void.RoleDraftstop, void.RolePlate:
		default:
			continue
		}
		if p.Mesh == nil || len(p.Mesh.Verts) == 0 || p.Layered {
			continue
		}
		if s, ok := l.sides(p); ok {
			s.part = i
			out = append(out, s)
		}
	}
	return out
}

// sides looks past the faces of a part, across its thinnest way first, and takes the first
// way that has different compartments before and behind it.
func (l *locator) sides(p *void.Part) (stop, bool) {
	b := p.Mesh.OBB()
	s := stop{element: p.Element, role: p.Role, box: p.Mesh.Box()}
	for k := 2; k >= 0; k-- {
		u, v := b.Axes[(k+1)%3].Mul(0.8*b.Half[(k+1)%3]), b.Axes[(k+2)%3].Mul(0.8*b.Half[(k+2)%3])
		seen := map[spread.Barrier]bool{}
		for _, fu := range []float64{0, -1, 1} {
			for _, fv := range []float64{0, -1, 1} {
				at := b.Center.Add(u.Mul(fu)).Add(v.Mul(fv))
				x, y := l.off(at, b.Axes[k], -b.Half[k]), l.off(at, b.Axes[k], b.Half[k])
				if x == nil || y == nil || x == y {
					continue
				}
				if x.Index > y.Index {
					x, y = y, x
				}
				if q := (spread.Barrier{A: x, B: y}); !seen[q] {
					seen[q] = true
					s.pairs = append(s.pairs, q)
				}
			}
		}
		if len(s.pairs) > 0 {
			s.normal = b.Axes[k]
			return s, true
		}
	}
	return s, false
}

// off returns the compartment just off the face at a distance along an axis.
func (l *locator) off(at, axis geom.Vec3, face float64) *void.Compartment {
	return l.find(at.Add(axis.Mul(face + math.Copysign(beside, face))))
}
