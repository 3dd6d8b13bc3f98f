package floormembrane

import (
	"context"
	"math"
	"runtime"
	"slices"

	"golang.org/x/sync/errgroup"

	"voidcheck/checks/materials"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// Lengths, metres.
const (
	underVoid  = 0.35 // how far below the bottom of a void its ceiling may hang
	narrow     = 0.12 // strips no wider lie over walls or are the play between boards
	wallReach  = 0.15 // how far below a void the top of a wall that closes it may lie
	underDeck  = 0.10 // how far below the deck the top of what bears it may lie: furring of a ceiling lies lower
	sameHeight = 0.03 // a board whose top lies this far above the bottom of a void is inside it
)

// portion is a part of a void's underside without a board.
type portion struct {
	void  *void.Void
	comp  *void.Compartment
	area  float64
	point geom.Vec3
	whole bool // all of its compartment: what bounds the compartment closes its edge
}

// index holds what the check looks for in the building by place.
type index struct {
	in       *void.Input
	ceilings *void.PartIndex
	joists   *void.PartIndex
	passing  *void.PartIndex // services and chimneys
	walls    *geom.BoxIndex
}

func newIndex(in *void.Input) *index {
	walls := make([]geom.Box, len(in.Walls))
	for i := range in.Walls {
		walls[i] = in.Walls[i].Box()
	}
	return &index{
		in: in, walls: geom.NewBoxIndex(walls),
		ceilings: in.PartsOf(void.RoleCeiling, void.RoleSoffitBoard),
		joists:   in.PartsOf(void.RoleJoist, void.RoleFraming),
		passing:  in.PartsOf(void.RoleService, void.RoleChimney),
	}
}

// boards are the ceiling parts under a void, by element.
func (x *index) boards(v *void.Void) map[int][]*void.Part {
	out := map[int][]*void.Part{}
	for _, i := range x.ceilings.In(bounds(v)) {
		p := &x.in.Parts[i]
		if top := p.Mesh.Box().Max.Z; top <= v.ZLo+sameHeight && top >= v.ZLo-underVoid && liesUnder(p.Mesh, v) {
			out[p.Element] = append(out[p.Element], p)
		}
	}
	return out
}

// liesUnder reports whether a board lies under a void and not only within its bounds: those of a
// building askew to the axes reach under its neighbours.
func liesUnder(board *geom.Mesh, v *void.Void) bool {
	const least = 0.01 // square metres
	faces := upward(board)
	for _, c := range v.Compartments {
		var outline []geom.Ring
		for _, ring := range c.Outline {
			outline = append(outline, geom.Ring(ring))
		}
		if geom.Combine(faces, outline, geom.Intersection).Area() > least {
			return true
		}
	}
	return false
}

// bounds is the box over and under a void, of all heights.
func bounds(v *void.Void) geom.Box {
	b := geom.EmptyBox()
	for _, c := range v.Compartments {
		for _, ring := range c.Outline {
			for _, p := range ring {
				b = b.Extend(geom.Vec3{X: p.X, Y: p.Y, Z: math.Inf(-1)}).Extend(geom.Vec3{X: p.X, Y: p.Y, Z: math.Inf(1)})
			}
		}
	}
	return b
}

// covered is what boards and the walls that end at the void cover of its underside.
func (x *index) covered(v *void.Void) geom.Region {
	var rings []geom.Ring
	for _, ps := range x.boards(v) {
		for _, p := range ps {
			rings = append(rings, upward(p.Mesh)...)
		}
	}
	for _, i := range x.walls.In(bounds(v)) {
		w := &x.in.Walls[i]
		if w.Z1 < v.ZLo-underVoid-wallReach || w.Z0 > v.ZLo {
			continue
		}
		rings = append(rings, geom.Ring{w.At(0, w.Across.Lo), w.At(w.Length, w.Across.Lo), w.At(w.Length, w.Across.Hi), w.At(0, w.Across.Hi)})
	}
	slices.SortStableFunc(rings, func(a, b geom.Ring) int { // the map's order must not show
		switch {
		case a[0].X != b[0].X:
			return int(math.Copysign(1, a[0].X-b[0].X))
		case a[0].Y != b[0].Y:
			return int(math.Copysign(1, a[0].Y-b[0].Y))
		}
		return 0
	})
	return geom.UnionOf(rings...)
}

// upward returns the faces of a mesh that look up, in plan.
func upward(m *geom.Mesh) []geom.Ring {
	var out []geom.Ring
	for _, t := range m.Tris {
		r := geom.Ring{m.Verts[t[0]].Plan(), m.Verts[t[1]].Plan(), m.Verts[t[2]].Plan()}
		if r.Area() > 1e-6 {
			out = append(out, r)
		}
	}
	return out
}

// looksAt reports whether the rule is about the underside of a void.
func looksAt(v *void.Void) bool { return v.Kind == void.KindFloor || v.Kind == void.KindCrawl }

// portionsOf returns the portions of each void, by its index, worked out side by side: joining
// boards and walls to one outline is what takes the time of this check.
func (x *index) portionsOf(ctx context.Context, voids []*void.Void) ([][]portion, error) {
	out := make([][]portion, len(voids))
	g, ctx := errgroup.WithContext(ctx)
	g.SetLimit(runtime.GOMAXPROCS(0))
	for i, v := range voids {
		if !looksAt(v) {
			continue
		}
		g.Go(func() error {
			out[i] = x.portions(v)
			return ctx.Err()
		})
	}
	return out, g.Wait()
}

// portions returns the parts of a void's underside without a board, strips left out.
func (x *index) portions(v *void.Void) []portion {
	cover := x.covered(v)
	var out []portion
	for _, c := range v.Compartments {
		var outline []geom.Ring
		for _, ring := range c.Outline {
			outline = append(outline, geom.Ring(ring))
		}
		rest := geom.Combine(outline, cover, geom.Difference)
		n := len(out)
		total := 0.0
		for _, part := range rest.Parts() {
			around := 0.0
			for _, r := range part {
				around += r.Length()
			}
			a := part.Area()
			if around == 0 || 2*a/around < narrow {
				continue
			}
			if x.holeFor(part, v.ZLo) {
				continue
			}
			total += a
			m := centre(part)
			out = append(out, portion{void: v, comp: c, area: a, point: geom.Vec3{X: m.X, Y: m.Y, Z: v.ZLo}})
		}
		if total > 0.97*c.AreaM2 {
			for i := range out[n:] {
				out[n+i].whole = true
			}
		}
	}
	return out
}

// holeFor reports whether a portion is the hole that a service or a chimney passes a
// membrane by: such openings are allowed in it (code-facts.md 1.3, FP-2), and whether they are
// sealed is asked elsewhere.
func (x *index) holeFor(g geom.Region, z float64) bool {
	const side = 1.2 // metres; a larger opening is no hole for a pipe, duct or chimney
	b := geom.EmptyBox()
	for _, r := range g {
		for _, p := range r {
			b = b.Extend(geom.Vec3{X: p.X, Y: p.Y, Z: z})
		}
	}
	if d := b.Size(); d.X > side || d.Y > side {
		return false
	}
	return len(x.passing.In(b.Grow(0.001))) > 0
}

// centre is a point of a region: the centre of area of its first ring.
func centre(g geom.Region) geom.Vec2 {
	var m geom.Vec2
	var area float64
	r := g[0]
	for i, p := range r {
		q := r[(i+1)%len(r)]
		x := p.Sub(r[0]).Cross(q.Sub(r[0]))
		m, area = m.Add(p.Add(q).Add(r[0]).Mul(x/3)), area+x
	}
	if math.Abs(area) < 1e-9 {
		return r[0]
	}
	return m.Mul(1 / area)
}

// joists says what the model shows of the size of a void's solid joists.
type joists int

const (
	noJoists  joists = iota // not of solid joists, or not shown
	smaller                 // smaller than the least size
	large                   // at least the least size
	deepLayer               // a layer of that depth; the width is not shown
)

// joistsOf measures the joists of a void and returns the smallest section, width by depth.
func (x *index) joistsOf(v *void.Void) (joists, float64, float64) {
	if v.Framing != void.FramingSolid {
		return noJoists, 0, 0
	}
	width, depth, _ := materials.Default().Joist()
	tol := materials.Default().AllowanceM
	minW, minD := math.Inf(1), math.Inf(1)
	layer := math.Inf(1)
	for _, i := range x.joists.In(bounds(v)) {
		p := &x.in.Parts[i]
		box := p.Mesh.Box()
		if box.Max.Z < v.ZHi-underDeck || box.Min.Z > v.ZHi-0.02 {
			continue
		}
		size := box.Size()
		if p.Role == void.RoleFraming {
			if p.Framing == void.FramingSolid && size.Z < 1.2 {
				layer = math.Min(layer, size.Z)
			}
			continue
		}
		if p.Framing != "" && p.Framing != void.FramingSolid {
			continue
		}
		if o := p.Mesh.OBB().Size(); o[0] > 0.9 { // a joist, no block
			minW, minD = math.Min(minW, o[2]), math.Min(minD, o[1])
		}
	}
	switch {
	case !math.IsInf(minD, 1):
		if minW >= width-slop && minD >= depth-slop {
			return large, minW, minD
		}
		return smaller, minW, minD
	case math.IsInf(layer, 1):
		return noJoists, 0, 0
	case layer >= depth-tol:
		return deepLayer, 0, layer
	}
	return smaller, 0, layer
}

// slop is how much smaller than its size a joist may be drawn, metres: members are modelled
// a little clear of each other. The next smaller nominal size is 2 in less.
const slop = 0.003
