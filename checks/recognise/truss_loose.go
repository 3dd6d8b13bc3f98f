package recognise

import (
	"math"
	"sort"

	"voidcheck/ifcx/geom"
)

// looseTrusses finds trusses among members that no assembly holds together. Inclined members
// give the planes; the level members that at least two of them meet are chords; uprights
// between the chords belong as well.
func (r *reader) looseTrusses() {
	for _, pl := range r.planes() {
		for _, ps := range r.frames(pl) {
			for _, one := range splitEnds(ps) {
				if !isTruss(one) {
					continue
				}
				t := &trussLook{ps: one, why: Reason{"geometry", "loose members: chords and webs in one plane"}}
				t.look()
				r.addTruss(r.element(longest(one)), t)
			}
		}
	}
}

func longest(ps []*piece) *piece {
	best := ps[0]
	for _, p := range ps {
		if p.size[0] > best.size[0]+geomTol {
			best = p
		}
	}
	return best
}

// plane is a plumb plane with the inclined members that lie in it.
type plane struct {
	leaf   *leaf
	t0, t1 float64
	ps     []*piece
}

// isLoose reports whether a piece may be a member of a loose truss.
func (r *reader) isLoose(p *piece) bool {
	if p.known() || p.skip || p.layered || p.truss >= 0 || p.round || r.hints[p.elem].out || r.element(p).Is("IfcDistributionElement") {
		return false
	}
	if p.form == slab || p.form == board && p.size[2] < 0.015 || p.size[2] > 0.13 || p.size[1] > 0.35 {
		return false
	}
	_, stair := r.hint(p).says("stair")
	return !stair && p.size[0] > 2*p.size[2]
}

// planes groups the inclined loose members by plumb plane.
func (r *reader) planes() []*plane {
	type seed struct {
		p      *piece
		leaf   *leaf
		t0, t1 float64
	}
	var seeds []seed
	inclined := func(p *piece) bool {
		z := math.Abs(p.axes[0].Z)
		return z >= 0.026 && z <= 0.98 && r.isLoose(p)
	}
	for _, p := range r.which(inclined) {
		d := p.axes[0].Plan()
		l := emptyLeaf(geom.Vec2{X: -d.Y, Y: d.X})
		_, _, t0, t1 := l.span(p)
		if t1-t0 < 0.13 {
			seeds = append(seeds, seed{p, l, t0, t1})
		}
	}
	sort.SliceStable(seeds, func(i, j int) bool {
		a, b := seeds[i], seeds[j]
		if !a.leaf.parallel(b.leaf) {
			return math.Atan2(a.leaf.dir.Y, a.leaf.dir.X) < math.Atan2(b.leaf.dir.Y, b.leaf.dir.X)
		}
		return a.t0+a.t1 < b.t0+b.t1-1e-6
	})
	var out []*plane
	for _, s := range seeds {
		if n := len(out); n > 0 {
			p := out[n-1]
			if p.leaf.parallel(s.leaf) && math.Abs((p.t0+p.t1)-(s.t0+s.t1)) < 0.03 {
				p.ps = append(p.ps, s.p)
				continue
			}
		}
		out = append(out, &plane{s.leaf, s.t0, s.t1, []*piece{s.p}})
	}
	return out
}

// frames returns the connected sets of members of a plane.
func (r *reader) frames(pl *plane) [][]*piece {
	if len(pl.ps) < 2 {
		return nil
	}
	l := pl.leaf
	box := geom.EmptyBox()
	for _, p := range pl.ps {
		box = box.Join(p.box)
	}
	all := append([]*piece(nil), pl.ps...)
	n := len(all)
	for _, i := range r.near.In(box.Grow(0.05)) {
		p := r.ps[i]
		z := math.Abs(p.axes[0].Z)
		if !r.isLoose(p) || z >= 0.026 && z <= 0.98 {
			continue
		}
		if z < 0.026 && math.Abs(p.axes[0].Plan().Dot(l.dir)) < 0.9999 {
			continue
		}
		_, _, t0, t1 := l.span(p)
		if math.Abs(t0+t1-pl.t0-pl.t1) < 0.03 && t1-t0 < 1.6*(pl.t1-pl.t0)+0.01 {
			all = append(all, p)
		}
	}
	g := newGroups(len(all))
	met := make([]int, len(all))
	for i := 0; i < n; i++ {
		for j := range all {
			if j != i && meet(all[i], all[j], l) {
				met[j]++
			}
		}
	}
	for i := 0; i < n; i++ {
		for j := range all {
			level := math.Abs(all[j].axes[0].Z) < 0.026
			if j != i && (j < n || level && met[j] >= 2) && meet(all[i], all[j], l) {
				g.join(i, j)
			}
		}
	}
	// Uprights join a frame when they stand within its height and meet it at both ends.
	for j := n; j < len(all); j++ {
		if math.Abs(all[j].axes[0].Z) <= 0.98 {
			continue
		}
		for i := range all {
			if i != j && (i < n || g.find(i) < n && math.Abs(all[i].axes[0].Z) < 0.026) && meet(all[j], all[i], l) {
				g.join(i, j)
			}
		}
	}
	var out [][]*piece
	for _, set := range g.sets() {
		if len(set) < 4 || set[0] >= n {
			continue
		}
		var ps []*piece
		for _, i := range set {
			ps = append(ps, all[i])
		}
		out = append(out, trimUprights(ps))
	}
	return out
}

// trimUprights drops uprights that stick out of the height of the other members: studs of a
// wall in the same plane.
func trimUprights(ps []*piece) []*piece {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range ps {
		if math.Abs(p.axes[0].Z) <= 0.98 {
			lo, hi = math.Min(lo, p.z0()), math.Max(hi, p.z1())
		}
	}
	out := ps[:0]
	for _, p := range ps {
		if math.Abs(p.axes[0].Z) <= 0.98 || p.z0() > lo-touchGap && p.z1() < hi+touchGap {
			out = append(out, p)
		}
	}
	return out
}

// meet reports whether an end of p comes to q, in the plane of the strip.
func meet(p, q *piece, l *leaf) bool {
	if !p.box.Grow(touchGap).Overlaps(q.box) {
		return false
	}
	for _, end := range []float64{-0.5, 0.5} {
		for _, side := range []float64{-0.5, 0, 0.5} {
			w := inPlaneAxis(p, l)
			c := p.mid.Add(p.axes[0].Mul(end * p.size[0])).Add(p.axes[w].Mul(side * p.size[w]))
			if distTo(q, c, l) <= touchGap {
				return true
			}
		}
	}
	return false
}

// inPlaneAxis returns the cross axis of a member that lies in the plane of the strip.
func inPlaneAxis(p *piece, l *leaf) int {
	n := geom.Vec3{X: l.norm.X, Y: l.norm.Y}
	if math.Abs(p.axes[1].Dot(n)) < math.Abs(p.axes[2].Dot(n)) {
		return 1
	}
	return 2
}

// distTo returns the distance of a point from a member, in the plane of the strip.
func distTo(q *piece, c geom.Vec3, l *leaf) float64 {
	w := inPlaneAxis(q, l)
	d := c.Sub(q.mid)
	a := math.Abs(d.Dot(q.axes[0])) - q.size[0]/2
	b := math.Abs(d.Dot(q.axes[w])) - q.size[w]/2
	return math.Max(a, b)
}

// splitEnds cuts a set of members where no member runs through: trusses that stand end to
// end over a bearing.
func splitEnds(ps []*piece) [][]*piece {
	f, ok := lookAt(ps)
	if !ok {
		return nil
	}
	type run struct{ lo, hi float64 }
	runs := make([]run, len(ps))
	for i, p := range ps {
		runs[i].lo, runs[i].hi, _, _ = f.leaf.span(p)
	}
	const lap = 0.06 // members of one truss that meet at a line lap it by more
	var cuts []float64
	for _, c := range runs {
		for _, s := range []float64{c.lo, c.hi} {
			through := s < f.leaf.s0+0.3 || s > f.leaf.s1-0.3
			for _, q := range runs {
				through = through || q.lo < s-lap && q.hi > s+lap
			}
			if !through {
				cuts = append(cuts, s)
			}
		}
	}
	if len(cuts) == 0 {
		return [][]*piece{ps}
	}
	sort.Float64s(cuts)
	merged := cuts[:1]
	for _, c := range cuts[1:] {
		if c-merged[len(merged)-1] > 0.15 {
			merged = append(merged, c)
		}
	}
	out := make([][]*piece, len(merged)+1)
	for i, p := range ps {
		k := sort.SearchFloat64s(merged, (runs[i].lo+runs[i].hi)/2)
		out[k] = append(out[k], p)
	}
	return out
}
