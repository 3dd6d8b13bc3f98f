package bcf

import (
	"math"
	"strings"

	"voidcheck/checks/finding"
)

// scene knows where things are.
type scene struct {
	r         *finding.Report
	along     vec // the building's long direction in plan
	across    vec
	centre    vec
	all       []vec // corners of everything concealed
	heights   map[string][2]float64
	direction map[string]vec    // of openings
	boxes     map[string][2]vec // of elements, by id
}

func newScene(r *finding.Report) *scene {
	s := &scene{r: r, along: vec{1, 0, 0}, heights: map[string][2]float64{}, direction: map[string]vec{}, boxes: map[string][2]vec{}}
	d := r.Drawing
	if d == nil {
		d = &finding.Drawing{}
	}
	if a := (vec{d.Axis[0], d.Axis[1], 0}).unit(); a.len() > 0.5 {
		s.along = a
	}
	for _, v := range d.Voids {
		s.heights[v.ID] = v.Z
		for _, c := range v.Compartments {
			s.heights[c.ID] = c.Z
		}
	}
	for _, o := range d.Openings {
		s.direction[o.ID] = vec{o.Along[0], o.Along[1], 0}.unit()
	}
	for _, e := range d.Elements {
		s.boxes[e.ID] = [2]vec{e.Box[0], e.Box[1]}
	}
	for i := range r.Spaces {
		s.all = append(s.all, s.corners(r.Spaces[i].ID)...)
	}
	for i := range d.Walls {
		w := &d.Walls[i]
		for _, at := range []float64{0, w.LengthM} {
			for _, z := range w.Z {
				s.all = append(s.all, vec{w.Origin[0] + at*w.Dir[0], w.Origin[1] + at*w.Dir[1], z})
			}
		}
	}
	if len(s.all) == 0 {
		for i := range r.Items {
			if p := vec(r.Items[i].Point); p != (vec{}) {
				s.all = append(s.all, around(p, 3)...)
			}
		}
	}
	if len(s.all) == 0 {
		s.all = around(vec{}, 10)
	}
	s.across = vec{-s.along[1], s.along[0], 0}
	lo, hi := s.extent(s.all)
	if hi[1]-lo[1] > hi[0]-lo[0] {
		s.along, s.across = s.across, s.along.mul(-1)
		lo, hi = s.extent(s.all)
	}
	m := lo.add(hi).mul(0.5)
	s.centre = s.along.mul(m[0]).add(s.across.mul(m[1])).add(vec{0, 0, m[2]})
	return s
}

// extent is the box of points in the building's own directions.
func (s *scene) extent(pts []vec) (lo, hi vec) {
	lo, hi = vec{math.Inf(1), math.Inf(1), math.Inf(1)}, vec{math.Inf(-1), math.Inf(-1), math.Inf(-1)}
	for _, p := range pts {
		q := vec{p.dot(s.along), p.dot(s.across), p[2]}
		for i := range q {
			lo[i], hi[i] = min(lo[i], q[i]), max(hi[i], q[i])
		}
	}
	return lo, hi
}

// corners are the outlines of a void or compartment at its foot and its top.
func (s *scene) corners(id string) []vec {
	void, _, part := strings.Cut(id, ".")
	var out []vec
	for i := range s.r.Spaces {
		v := &s.r.Spaces[i]
		if v.ID != void {
			continue
		}
		z, known := s.heights[id]
		if !known {
			z = s.storey(v)
		}
		for _, c := range v.Compartments {
			if part && c.ID != id {
				continue
			}
			for _, ring := range c.Outline {
				for _, p := range ring {
					out = append(out, vec{p[0], p[1], z[0]}, vec{p[0], p[1], z[1]})
				}
			}
		}
	}
	return out
}

// storey guesses the heights of a void from its level, for findings without a drawing.
func (s *scene) storey(v *finding.Space) [2]float64 {
	for _, st := range s.r.Building.Storeys {
		if st.Name == v.Storey {
			switch v.Kind {
			case "floor":
				return [2]float64{st.ElevationM - v.HeightMaxM, st.ElevationM}
			case "attic":
				return [2]float64{st.ElevationM + 2.5, st.ElevationM + 2.5 + v.HeightMaxM}
			}
			return [2]float64{st.ElevationM, st.ElevationM + v.HeightMaxM}
		}
	}
	return [2]float64{0, v.HeightMaxM}
}

// around are the corners of a cube about a point.
func around(p vec, half float64) []vec {
	var out []vec
	for i := range 8 {
		d := vec{-half, -half, -half}
		for k := range d {
			if i>>k&1 == 1 {
				d[k] = half
			}
		}
		out = append(out, p.add(d))
	}
	return out
}

// spot is what a viewpoint of an item shows: points to be framed, the direction to look in,
// and the cut that frees the view.
type spot struct {
	pts  []vec
	look vec
	cut  *cut
}

// near is how much is shown round a point, half of it, in metres.
const near = 0.9

// spot finds where to look for an item.
func (s *scene) spot(it *finding.Item) spot {
	p := vec(it.Point)
	kind := s.kind(it)
	switch {
	case s.isBuilding(it):
		if pts := s.bounds(it); len(pts) > 0 {
			return spot{pts: pts, look: s.down(mean(pts), 35)}
		}
		return spot{pts: s.all, look: s.down(s.centre, 35)}
	case s.isWhole(it):
		var pts []vec
		for _, id := range it.Spaces {
			pts = append(pts, s.corners(id)...)
		}
		if len(pts) > 0 {
			return spot{pts: pts, look: s.down(mean(pts), 50), cut: s.lid(pts, kind)}
		}
	}
	sp := spot{pts: around(p, near)}
	sp.pts = append(sp.pts, s.route(it)...)
	dir, found := s.line(it)
	if m := it.Measured; found && m != nil && m.Unit == "m" && kind == "wall" {
		half := min(m.Value/2, 15)
		sp.pts = append(sp.pts, p.add(dir.mul(half)), p.sub(dir.mul(half)))
	}
	if found && (kind == "attic" || kind == "wall") {
		sp.look, sp.cut = s.upright(p, dir, kind)
		return sp
	}
	sp.look = s.down(p, 50)
	z := p[2] + 0.15
	if h, ok := s.top(it); ok && h > p[2] {
		z = h - 0.005
	}
	sp.cut = &cut{at: vec{p[0], p[1], z}, away: vec{0, 0, 1}}
	return sp
}

// kind is the kind of void that an item is about: of its spaces the one that is no wall.
func (s *scene) kind(it *finding.Item) string {
	kind := ""
	for _, id := range it.Spaces {
		void, _, _ := strings.Cut(id, ".")
		for i := range s.r.Spaces {
			if s.r.Spaces[i].ID == void && (kind == "" || kind == "wall") {
				kind = s.r.Spaces[i].Kind
			}
		}
	}
	return kind
}

// isBuilding reports whether an item speaks of the submittal or the building and has no place.
func (s *scene) isBuilding(it *finding.Item) bool {
	return it.Check == "model-content" || len(it.Spaces) == 0 && (it.Storey == "" || vec(it.Point) == (vec{}))
}

// bounds are the corners of the elements that items name, where they are known.
func (s *scene) bounds(items ...*finding.Item) []vec {
	var out []vec
	for _, id := range elements(items...) {
		if b, ok := s.boxes[id]; ok {
			for i := range 8 {
				p := b[0]
				for k := range p {
					if i>>k&1 == 1 {
						p[k] = b[1][k]
					}
				}
				out = append(out, p)
			}
		}
	}
	return out
}

// isWhole reports whether an item is about voids as a whole and not about a place in them.
func (s *scene) isWhole(it *finding.Item) bool {
	return it.Measured != nil && (it.Measured.Unit == "m2" || it.Measured.Unit == "ratio") || it.Check == "void-summary"
}

// top is the underside of what covers the horizontal void of an item.
func (s *scene) top(it *finding.Item) (float64, bool) {
	for _, id := range it.Spaces {
		void, _, _ := strings.Cut(id, ".")
		for i := range s.r.Spaces {
			if v := &s.r.Spaces[i]; v.ID == void && v.Kind != "wall" && v.Kind != "attic" {
				h, ok := s.heights[void]
				return h[1], ok
			}
		}
	}
	return 0, false
}

// route are the places of what an item follows from, and of the openings between its spaces.
func (s *scene) route(it *finding.Item) []vec {
	var out []vec
	for _, key := range it.ConsequenceOf {
		for i := range s.r.Items {
			if s.r.Items[i].Key == key {
				out = append(out, around(s.r.Items[i].Point, near/2)...)
			}
		}
	}
	return out
}

// mean is the middle of points.
func mean(pts []vec) vec {
	var m vec
	for _, p := range pts {
		m = m.add(p)
	}
	return m.mul(1 / float64(len(pts)))
}
