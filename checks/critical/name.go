package critical

import (
	"math"

	"voidcheck/checks/void"
)

// namer names the places of stops.
type namer struct {
	m    *maker
	line map[int]*void.Line // by element that stands in it
	wall map[int]int        // by element that it is made of
	side map[*void.Line]string
}

func newNamer(m *maker) *namer {
	n := &namer{m: m, line: map[int]*void.Line{}, wall: map[int]int{}, side: map[*void.Line]string{}}
	for _, l := range m.Voids.Lines {
		for _, e := range l.Elements {
			if n.line[e] == nil {
				n.line[e] = l
			}
		}
	}
	for i := range m.Building.Input.Walls {
		for _, e := range m.Building.Input.Walls[i].Elements {
			if _, seen := n.wall[e]; !seen {
				n.wall[e] = i
			}
		}
	}
	return n
}

// name returns the place of a stop and its storey.
func (n *namer) name(s *stop) (place, storey string) {
	w := n.m.w
	if l := n.line[s.element]; l != nil && l.Void != nil && s.role != void.RolePlate {
		storey = w.Storey(l.Void.Storey)
		if l.Kind == void.LineSeparation {
			place = w.UnitLine(l.Separation)
			if l.Void.Kind == void.KindAttic {
				place += " in the attic"
			}
			side, known := n.side[l]
			if !known {
				side = w.Side(l) // looks through all rooms
				n.side[l] = side
			}
			if side != "" {
				place += ", " + side
			}
			return place, storey
		}
		if e := w.Element(s.element); e != "" {
			return e + ", " + w.Void(l.Void), storey
		}
		return w.Void(l.Void), storey
	}
	upright := math.Abs(s.normal.Z) < 0.5
	wall, ok := n.wall[s.element]
	if !ok {
		wall, ok = n.around(s)
	}
	z := s.box.Center().Z
	if !ok {
		return w.Element(s.element), w.Storey(w.StoreyAt(z, false))
	}
	x := &n.m.Building.Input.Walls[wall]
	storey = w.Storey(x.Storey)
	switch {
	case s.role == void.RolePlate && z > (x.Z0+x.Z1)/2:
		return "top plates of " + w.Wall(wall), storey
	case s.role == void.RolePlate:
		return "bottom plate of " + w.Wall(wall), storey
	case upright:
		return w.Cavity(wall) + ", blocks along it", storey
	case z > (x.Z0+x.Z1)/2:
		return w.Cavity(wall) + " at the ceiling level", storey
	}
	return w.Cavity(wall) + " at the floor level", storey
}

// around returns the wall in or under which a stop stands.
func (n *namer) around(s *stop) (int, bool) {
	c := s.box.Center()
	best, far := -1, math.Inf(1)
	for i := range n.m.Building.Input.Walls {
		w := &n.m.Building.Input.Walls[i]
		d := c.Plan().Sub(w.Origin)
		along, across := d.Dot(w.Dir), w.Dir.Cross(d)
		if along < -0.1 || along > w.Length+0.1 || across < w.Across.Lo-0.05 || across > w.Across.Hi+0.05 {
			continue
		}
		off := math.Max(0, math.Max(w.Z0-c.Z, c.Z-w.Z1))
		if off < far-1e-6 {
			best, far = i, off
		}
	}
	return best, best >= 0 && far < 0.6
}
