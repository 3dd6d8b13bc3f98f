package shape

import (
	"cmp"
	"math"
	"slices"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/graph"
)

// extrusion reads IfcExtrudedAreaSolid and, with a second profile, IfcExtrudedAreaSolidTapered.
func (e *eval) extrusion(id graph.ID) (*part, error) {
	frame, err := e.axesAt(id, "Position")
	if err != nil {
		return nil, err
	}
	area, err := e.need(id, "SweptArea")
	if err != nil {
		return nil, err
	}
	depth, err := e.size(id, "Depth")
	if err != nil {
		return nil, err
	}
	d, ok := e.direction(id, "ExtrudedDirection")
	if !ok {
		return nil, e.bad(id, "ExtrudedDirection is missing or has no length")
	}
	if math.Abs(d.Z) < 1e-6 {
		return nil, e.bad(id, "ExtrudedDirection lies in the plane of the profile")
	}
	if end := e.g.Ref(id, "EndSweptArea"); end != 0 {
		return e.tapered(id, frame, area, end, d.Mul(depth))
	}
	g, err := e.profile(area, 0)
	if err != nil {
		return nil, err
	}
	frame.Z = frame.Dir(d)
	return &part{item: id, kind: e.g.Type(id), prism: &prism{g, frame, depth}}, nil
}

// tapered joins two sections whose outlines have the same number of points.
func (e *eval) tapered(id graph.ID, frame geom.Mat, start, end graph.ID, by geom.Vec3) (*part, error) {
	chords := max(e.chords(start), e.chords(end))
	a, err := e.profile(start, chords)
	if err != nil {
		return nil, err
	}
	b, err := e.profile(end, chords)
	if err != nil {
		return nil, err
	}
	if a, b = alike(a, b); a == nil {
		return nil, e.bad(id, "the two profiles do not have the same number of outlines")
	}
	at := func(g geom.Region, o geom.Vec3) []geom.Vec3 {
		var out []geom.Vec3
		for _, r := range g {
			for _, q := range r {
				out = append(out, frame.Point(geom.Vec3{X: q.X, Y: q.Y}.Add(o)))
			}
		}
		return out
	}
	m := loft(a, [][]geom.Vec3{at(a, geom.Vec3{}), at(b, by)}, false)
	return &part{item: id, kind: e.g.Type(id), mesh: outward(m)}, nil
}

// chords returns the number of chords that the circle of a profile asks for, 0 for others.
func (e *eval) chords(id graph.ID) int {
	r := max(e.optional(id, "Radius"), e.optional(id, "SemiAxis1"), e.optional(id, "SemiAxis2"))
	if r <= 0 {
		return 0
	}
	return geom.CircleSegments(r)
}

// alike gives two sections outlines of equal numbers of points, by putting the points of each
// into the other at the same part of the way round; nil when that cannot be.
func alike(a, b geom.Region) (x, y geom.Region) {
	if len(a) != len(b) {
		return nil, nil
	}
	for i := range a {
		if len(a[i]) == len(b[i]) {
			x, y = append(x, a[i]), append(y, b[i])
			continue
		}
		ta, tb := way(a[i]), way(b[i])
		ts := slices.Concat(ta, tb)
		slices.SortFunc(ts, func(p, q float64) int { return cmp.Compare(p, q) })
		ts = slices.CompactFunc(ts, func(p, q float64) bool { return math.Abs(q-p) < 1e-6 })
		x, y = append(x, resample(a[i], ta, ts)), append(y, resample(b[i], tb, ts))
	}
	return x, y
}

// way returns how far round the ring each of its points is, from 0 to 1.
func way(r geom.Ring) []float64 {
	out, l := make([]float64, len(r)), 0.0
	for i := range r {
		out[i] = l
		l += r[(i+1)%len(r)].Sub(r[i]).Len()
	}
	for i := range out {
		out[i] /= l
	}
	return out
}

func resample(r geom.Ring, at, ts []float64) geom.Ring {
	out := make(geom.Ring, len(ts))
	for k, t := range ts {
		i, found := slices.BinarySearch(at, t)
		if !found {
			i--
		}
		end := 1.0
		if i+1 < len(at) {
			end = at[i+1]
		}
		p, q := r[i], r[(i+1)%len(r)]
		out[k] = p.Add(q.Sub(p).Mul((t - at[i]) / (end - at[i])))
	}
	return out
}
