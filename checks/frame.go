package checks

import (
	"iter"
	"math"
	"sort"

	"voidcheck/checks/finding"
	"voidcheck/checks/recognise"
	"voidcheck/ifcx/geom"
)

// frame is the building's own frame in plan: its main wall direction, the middle of its
// bounding rectangle, and a sense for each axis. It makes places comparable between two
// exports of one building that differ by a move, a turn or a mirror.
//
// The senses come from what lies where, most lasting things first: the dwelling units in the
// order of their names, the rooms in the order of theirs, the walls, then every solid. Where
// all of these balance, the frame keeps the sense open and the items themselves decide
// (see keys).
type frame struct {
	u, v   geom.Vec2 // unit vectors
	middle geom.Vec3 // of the building, on its lowest level
	// open are the senses that nothing decided: the sign of u, the sign of v, and which of
	// the two comes first.
	openU, openV, openSwap bool
}

// balance is the share of the largest possible moment below which things count as balanced;
// it must lie well above the noise of two exports (millimetres over tens of metres).
const balance = 2e-3

func newFrame(in *Input) *frame {
	dir := mainDirection(in)
	f := &frame{u: dir, v: geom.Vec2{X: -dir.Y, Y: dir.X}}
	pts := outlinePoints(in)
	lo, hi := geom.Vec2{X: math.Inf(1), Y: math.Inf(1)}, geom.Vec2{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, p := range pts {
		x, y := p.Dot(f.u), p.Dot(f.v)
		lo.X, lo.Y, hi.X, hi.Y = min(lo.X, x), min(lo.Y, y), max(hi.X, x), max(hi.Y, y)
	}
	if len(pts) == 0 {
		lo, hi = geom.Vec2{}, geom.Vec2{}
	}
	mid := f.u.Mul((lo.X + hi.X) / 2).Add(f.v.Mul((lo.Y + hi.Y) / 2))
	f.middle = geom.Vec3{X: mid.X, Y: mid.Y}
	if m := in.Building.Model; m != nil && len(m.Storeys) > 0 {
		f.middle.Z = m.Storeys[0].ElevationM
	}
	long, wide := hi.X-lo.X, hi.Y-lo.Y
	if wide > long {
		f.u, f.v = f.v, f.u
		long, wide = wide, long
	}
	f.openSwap = long-wide <= balance*long
	f.openU, f.openV = true, true
	for set := range anchors(in) {
		if !f.openU && !f.openV && !f.openSwap {
			break
		}
		var mu, mv, most float64
		for _, a := range set {
			d := a.at.Sub(mid)
			mu += a.weight * d.Dot(f.u)
			mv += a.weight * d.Dot(f.v)
			most += math.Abs(a.weight) * math.Max(long, 1e-9) / 2
		}
		if most == 0 {
			continue
		}
		if f.openSwap && math.Abs(math.Abs(mu)-math.Abs(mv)) > balance*most {
			if math.Abs(mv) > math.Abs(mu) {
				f.u, f.v, mu, mv = f.v, f.u, mv, mu
				f.openU, f.openV = f.openV, f.openU
			}
			f.openSwap = false
		}
		if f.openU && math.Abs(mu) > balance*most {
			f.openU = false
			if mu < 0 {
				f.u = f.u.Mul(-1)
			}
		}
		if f.openV && math.Abs(mv) > balance*most {
			f.openV = false
			if mv < 0 {
				f.v = f.v.Mul(-1)
			}
		}
	}
	return f
}

// local returns a point in the frame.
func (f *frame) local(p geom.Vec3) geom.Vec2 {
	d := p.Plan().Sub(f.middle.Plan())
	return geom.Vec2{X: d.Dot(f.u), Y: d.Dot(f.v)}
}

// variants returns the ways in which the open senses can be settled.
func (f *frame) variants() []func(geom.Vec2) geom.Vec2 {
	out := []func(geom.Vec2) geom.Vec2{func(p geom.Vec2) geom.Vec2 { return p }}
	twice := func(open bool, change func(geom.Vec2) geom.Vec2) {
		if !open {
			return
		}
		for _, g := range out[:len(out):len(out)] {
			out = append(out, func(p geom.Vec2) geom.Vec2 { return change(g(p)) })
		}
	}
	twice(f.openU, func(p geom.Vec2) geom.Vec2 { return geom.Vec2{X: -p.X, Y: p.Y} })
	twice(f.openV, func(p geom.Vec2) geom.Vec2 { return geom.Vec2{X: p.X, Y: -p.Y} })
	twice(f.openSwap, func(p geom.Vec2) geom.Vec2 { return geom.Vec2{X: p.Y, Y: p.X} })
	return out
}

// mainDirection is the direction, modulo a quarter turn, along which most wall runs.
func mainDirection(in *Input) geom.Vec2 {
	const bins = 180 // half a degree each over the quarter turn
	type edge struct{ angle, weight float64 }
	var edges []edge
	add := func(d geom.Vec2, w float64) {
		if w > 1e-6 {
			a := math.Mod(math.Atan2(d.Y, d.X)+4*math.Pi, math.Pi/2)
			edges = append(edges, edge{a, w})
		}
	}
	for i := range in.Building.Input.Walls {
		w := &in.Building.Input.Walls[i]
		add(w.Dir, w.Length)
	}
	if len(edges) == 0 {
		for _, c := range in.Voids.Compartments {
			for _, ring := range c.Outline {
				for i, p := range ring {
					d := ring[(i+1)%len(ring)].Sub(p)
					add(d, d.Len())
				}
			}
		}
	}
	var hist [bins]float64
	bin := func(a float64) int { return int(a/(math.Pi/2)*bins) % bins }
	for _, e := range edges {
		hist[bin(e.angle)] += e.weight
	}
	best, most := 0, -1.0
	for i := range hist {
		if w := hist[(i+bins-1)%bins] + hist[i] + hist[(i+1)%bins]; w > most*(1+1e-9) {
			best, most = i, w
		}
	}
	// The mean of four times the angle over the best bins has no seam at the quarter turn.
	var s, c float64
	for _, e := range edges {
		if d := (bin(e.angle) - best + bins) % bins; d <= 1 || d == bins-1 {
			s += e.weight * math.Sin(4*e.angle)
			c += e.weight * math.Cos(4*e.angle)
		}
	}
	a := math.Atan2(s, c) / 4
	return geom.Vec2{X: math.Cos(a), Y: math.Sin(a)}
}

// outlinePoints are the points whose bounding rectangle is the building's.
func outlinePoints(in *Input) []geom.Vec2 {
	var pts []geom.Vec2
	for i := range in.Building.Input.Walls {
		w := &in.Building.Input.Walls[i]
		for _, t := range []float64{w.Across.Lo, w.Across.Hi} {
			pts = append(pts, w.At(0, t), w.At(w.Length, t))
		}
	}
	for _, c := range in.Voids.Compartments {
		for _, ring := range c.Outline {
			pts = append(pts, ring...)
		}
	}
	return pts
}

// anchor is something whose place helps to tell the ends of a building apart.
type anchor struct {
	at     geom.Vec2
	weight float64
}

// anchors yields sets of anchors, most lasting first, each made when it is asked for.
func anchors(in *Input) iter.Seq[[]anchor] {
	return func(yield func([]anchor) bool) {
		b := in.Building
		units, rooms := roomAnchors(b)
		_ = yield(units) && yield(rooms) && yield(wallAnchors(b)) && yield(partAnchors(b))
	}
}

// roomAnchors are the dwelling units in the order of their names, and the rooms in theirs.
func roomAnchors(b *recognise.Building) (units, rooms []anchor) {
	unitAt := make([]anchor, len(b.Units))
	type room struct {
		name string
		at   geom.Vec2
	}
	var named []room
	for i := range b.Input.Rooms {
		r := &b.Input.Rooms[i]
		if r.Mesh == nil {
			continue
		}
		box := r.Mesh.Box()
		mid, size := box.Min.Add(box.Max).Mul(0.5).Plan(), box.Max.Sub(box.Min)
		if r.Unit >= 0 && r.Unit < len(unitAt) {
			a := size.X * size.Y * size.Z
			unitAt[r.Unit].at = unitAt[r.Unit].at.Add(mid.Mul(a))
			unitAt[r.Unit].weight += a
		}
		if b.Model != nil && r.Element >= 0 && r.Element < len(b.Model.Spaces) {
			e := b.Model.Spaces[r.Element]
			if n := e.LongName + e.Name; n != "" {
				named = append(named, room{n, mid})
			}
		}
	}
	var names []string
	at := map[string]geom.Vec2{}
	for i, u := range b.Units {
		if w := unitAt[i].weight; w > 0 && !u.Assumed {
			names = append(names, u.Name)
			at[u.Name] = unitAt[i].at.Mul(1 / w)
		}
	}
	sort.Slice(names, func(i, j int) bool { return finding.Natural(names[i], names[j]) < 0 })
	for i, n := range names {
		units = append(units, anchor{at[n], float64(i) - float64(len(names)-1)/2})
	}
	sort.SliceStable(named, func(i, j int) bool { return finding.Natural(named[i].name, named[j].name) < 0 })
	for i := 0; i < len(named); {
		k := i
		for k < len(named) && named[k].name == named[i].name {
			k++
		}
		for ; i < k; i++ {
			rooms = append(rooms, anchor{named[i].at, float64(k)}) // equal names weigh the same
		}
	}
	return units, rooms
}

func wallAnchors(b *recognise.Building) (walls []anchor) {
	for i := range b.Input.Walls {
		w := &b.Input.Walls[i]
		walls = append(walls, anchor{w.At(w.Length/2, (w.Across.Lo+w.Across.Hi)/2), w.Length * (w.Z1 - w.Z0)})
	}
	return walls
}

func partAnchors(b *recognise.Building) (parts []anchor) {
	for i := range b.Input.Parts {
		if m := b.Input.Parts[i].Mesh; m != nil {
			box := m.Box()
			d := box.Max.Sub(box.Min)
			parts = append(parts, anchor{box.Min.Add(box.Max).Mul(0.5).Plan(), d.Len() * float64(1+b.Input.Parts[i].Role)})
		}
	}
	return parts
}
