package recognise

import (
	"math"

	"voidcheck/ifcx/geom"
)

// corridorSide stands for a corridor at the side of a wall, where a unit has its index.
const corridorSide = -2

// findCorridors marks the corridors: enclosed common space that is called so and has rooms of
// two units and more beside its walls. A hallway inside a unit that its zone leaves out has
// one unit beside it. Units that were themselves told by walls tell no corridor.
func (r *reader) findCorridors() {
	var list []int
	for i, m := range r.rooms {
		if m.unit >= 0 || m.outside || m.space == nil || len(m.tris) == 0 {
			continue
		}
		if _, ok := r.lex.Space("corridor", spaceSubject(m.space)); ok {
			list = append(list, i)
		}
	}
	for _, u := range r.b.Units {
		if u.Assumed {
			return
		}
	}
	if len(list) == 0 || len(r.b.Units) < 2 {
		return
	}
	beside := map[int]map[int]bool{}
	grid := r.roomGrid()
	for _, w := range r.walls {
		rooms := grid.In(w.box().Grow(besideReach + 0.01))
		lo, hi := w.edges()
		n := int(math.Max(3, math.Ceil((w.s1-w.s0)/0.5)))
		for i := range n {
			s := w.s0 + (float64(i)+0.5)*(w.s1-w.s0)/float64(n)
			a, b := r.roomBeside(w, s, lo, -1, rooms), r.roomBeside(w, s, hi, 1, rooms)
			for range 2 {
				if a >= 0 && b >= 0 && r.rooms[a].unit < 0 && r.rooms[b].unit >= 0 {
					if beside[a] == nil {
						beside[a] = map[int]bool{}
					}
					beside[a][r.rooms[b].unit] = true
				}
				a, b = b, a
			}
		}
	}
	for _, i := range list {
		units := map[int]bool{}
		for _, k := range r.reached(i, list) {
			for u := range beside[k] {
				units[u] = true
			}
		}
		r.rooms[i].corridor = len(units) > 1
	}
}

// reached are the corridor rooms that a corridor room goes on into: a corridor may be modelled
// in pieces.
func (r *reader) reached(from int, list []int) []int {
	out := []int{from}
	seen := map[int]bool{from: true}
	for k := 0; k < len(out); k++ {
		near := r.rooms[out[k]].box.Grow(0.3)
		for _, i := range list {
			if !seen[i] && r.rooms[i].box.Overlaps(near) && r.rooms[i].storey == r.rooms[from].storey {
				seen[i] = true
				out = append(out, i)
			}
		}
	}
	return out
}

// roomBeside returns the index of the room at one side of a wall, -1 when there is none.
func (r *reader) roomBeside(w *wall, s, t, sign float64, rooms []int) int {
	for _, d := range []float64{0.05, 0.2, besideReach} {
		p := w.dir.Mul(s).Add(w.norm.Mul(t + sign*d))
		at := geom.Vec3{X: p.X, Y: p.Y, Z: (w.z0 + w.z1) / 2}
		for _, i := range rooms {
			if m := r.rooms[i]; !m.outside && m.holds(at) {
				return i
			}
		}
	}
	return -1
}

// sideAt returns what is at the side of a wall at a point: the index of a unit, corridorSide,
// or -1 for other rooms of no unit; and whether a room is there.
func (r *reader) sideAt(p geom.Vec3, rooms []int) (side int, found bool) {
	for _, i := range rooms {
		if m := r.rooms[i]; !m.outside && m.holds(p) {
			if m.corridor {
				return corridorSide, true
			}
			return m.unit, true
		}
	}
	return -1, false
}
