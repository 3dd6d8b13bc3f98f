package place

import (
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

const (
	beyondFace = 0.3 // metres from a wall's face at which its neighbours are looked for
	offLevel   = 0.5 // metres below or above a void at which its rooms are looked for
)

// Side returns "U1 side" for a line that is one side of a double wall, "" for others and
// where the unit is not known; "common side" for that of a corridor.
func (w *Words) Side(l *void.Line) string {
	if l.Side == 0 {
		return ""
	}
	if u := w.SideUnit(l); u >= 0 {
		return w.Unit(u) + " side"
	}
	if sep := w.SeparationUnits(l.Separation); sep[0] >= 0 && sep[1] < 0 && l.Separation >= 0 {
		return "common side" // of a corridor's wall
	}
	return ""
}

// SideUnit returns the unit whose rooms lie on the side of the wall where a line stands, -1
// when it cannot be told. Rooms below the void come first, rooms above it second, the
// units of the void itself last.
func (w *Words) SideUnit(l *void.Line) int {
	sep := w.SeparationUnits(l.Separation)
	belongs := func(u int) bool { return u >= 0 && (u == sep[0] || u == sep[1]) }
	if l.Wall >= 0 && l.Wall < len(w.Building.Input.Walls) && l.Side != 0 {
		wall := &w.Building.Input.Walls[l.Wall]
		t := wall.Across.Lo - beyondFace
		if l.Side > 0 {
			t = wall.Across.Hi + beyondFace
		}
		for _, z := range []float64{l.Z0 - offLevel, l.Z1 + offLevel} {
			votes := map[int]int{}
			best := -1
			for i := 1; i <= 9; i += 2 {
				p := l.A.Add(l.B.Sub(l.A).Mul(float64(i) / 10))
				s := p.Sub(wall.Origin).Dot(wall.Dir)
				u := w.unitAt(wall.At(s, t), z)
				if !belongs(u) {
					continue
				}
				votes[u]++
				if best < 0 || votes[u] > votes[best] {
					best = u
				}
			}
			if best >= 0 {
				return best
			}
		}
	}
	if l.Void == nil {
		return -1
	}
	found := -1
	for _, u := range l.Void.Units {
		if belongs(u) {
			if found >= 0 {
				return -1 // the void lies over both
			}
			found = u
		}
	}
	return found
}

// unitAt returns the unit of the room at a point, -1 when there is none.
func (w *Words) unitAt(p geom.Vec2, z float64) int {
	at := geom.Vec3{X: p.X, Y: p.Y, Z: z}
	for _, i := range w.unitRoom().In(geom.Box{Min: at, Max: at}) {
		if r := &w.Building.Input.Rooms[i]; r.Mesh.Covers(p) {
			return r.Unit
		}
	}
	return -1
}

// StoreyAt returns the index of the storey to which a height belongs: for a ceiling the
// storey below it, for a floor the storey whose floor it is; -1 without storeys.
func (w *Words) StoreyAt(z float64, ceiling bool) int {
	levels := w.Building.Input.Levels
	if m := w.Building.Model; m != nil && len(m.Storeys) > 0 {
		levels = nil
		for _, s := range m.Storeys {
			levels = append(levels, s.ElevationM)
		}
	}
	best := -1
	for i, l := range levels {
		if ceiling && l <= z || !ceiling && l <= z+offLevel {
			best = i
		}
	}
	if best < 0 && len(levels) > 0 {
		best = 0
	}
	return best
}

// UnitsNear returns the unit of the room just below or above a point, none when there is none.
func (w *Words) UnitsNear(p geom.Vec3) []int {
	for _, dz := range []float64{0, -offLevel, offLevel, -2 * offLevel, 2 * offLevel} {
		if u := w.unitAt(p.Plan(), p.Z+dz); u >= 0 {
			return []int{u}
		}
	}
	return nil
}
