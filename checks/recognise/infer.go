package recognise

import (
	"sort"

	"voidcheck/ifcx/geom"
)

// findRooms puts the rooms in order, spaces of the model and inferred ones, and measures the
// units with them.
func (r *reader) findRooms() {
	r.measureUnits()
	sort.SliceStable(r.rooms, func(i, j int) bool { return roomBefore(r.rooms[i], r.rooms[j]) })
}

// inferRooms makes rooms of the floor between the walls of each region, from deck to ceiling,
// for models without spaces. They follow walls, not doors: what walls enclose is one room.
func (r *reader) inferRooms(plans []*plan, unit [][]int) {
	for k, p := range plans {
		walls := r.wallsOf(p.storey)
		z := (p.z0 + p.z1) / 2
		nx, ny := len(p.xs)-1, len(p.ys)-1
		free := make([]bool, nx*ny)
		for j := 0; j < ny; j++ {
			for i := 0; i < nx; i++ {
				c := p.cell(i, j)
				free[c] = p.region[c] >= 0
				for _, w := range walls {
					if free[c] && w.z0 < z && w.z1 > z && w.under(p.mid(i, j), 0.001) {
						free[c] = false
					}
				}
			}
		}
		for _, m := range p.rectangles(free) {
			x0, y0, x1, y1 := p.xs[m[0]], p.ys[m[1]], p.xs[m[2]], p.ys[m[3]]
			if x1-x0 < 0.05 || y1-y0 < 0.05 {
				continue
			}
			u := unit[k][p.region[p.cell(m[0], m[1])]]
			r.addRoom(geom.Box{Min: geom.Vec3{X: x0, Y: y0, Z: p.z0}, Max: geom.Vec3{X: x1, Y: y1, Z: p.z1}}, u, p.storey)
		}
	}
}

// rectangles covers the free cells with rectangles of cells of one region, greedily by rows:
// {i0, j0, i1, j1}, the upper ones exclusive.
func (p *plan) rectangles(free []bool) [][4]int {
	nx, ny := len(p.xs)-1, len(p.ys)-1
	used := make([]bool, nx*ny)
	var out [][4]int
	for j := 0; j < ny; j++ {
		for i := 0; i < nx; i++ {
			c := p.cell(i, j)
			if !free[c] || used[c] {
				continue
			}
			ok := func(i, j int) bool {
				k := p.cell(i, j)
				return free[k] && !used[k] && p.region[k] == p.region[c]
			}
			i1 := i
			for i1 < nx && ok(i1, j) {
				i1++
			}
			j1 := j + 1
			for j1 < ny {
				row := true
				for x := i; x < i1 && row; x++ {
					row = ok(x, j1)
				}
				if !row {
					break
				}
				j1++
			}
			for y := j; y < j1; y++ {
				for x := i; x < i1; x++ {
					used[p.cell(x, y)] = true
				}
			}
			out = append(out, [4]int{i, j, i1, j1})
		}
	}
	return out
}

// addRoom makes an inferred room from a box of the turned frame.
func (r *reader) addRoom(b geom.Box, unit, storey int) {
	mesh := geom.BoxMesh(b)
	tris, area := planTriangles(mesh, turn{1, 0})
	for i, v := range mesh.Verts {
		mesh.Verts[i] = r.turn.out(v)
	}
	r.rooms = append(r.rooms, &room{meshes: []*geom.Mesh{mesh}, box: b, tris: tris, area: area, unit: unit, storey: storey,
		why: Reason{"geometry", "floor between walls; the model has no spaces"}})
}
