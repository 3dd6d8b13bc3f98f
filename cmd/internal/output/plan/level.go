package plan

import (
	"math"

	"voidcheck/checks/finding"
	"voidcheck/checks/measure"
)

// Mark is a number at a place of the building.
type Mark struct {
	Point [3]float64 // metres, in the first model's coordinates
	Text  string
	Look  Look // Fault, Unseen or Check
}

// Options say how a level is drawn.
type Options struct {
	Width float64 // of the picture, mm
	Tall  float64 // greatest height, 0 for any
	// Coarsest is the largest scale number; longer buildings are drawn in several pictures.
	Coarsest float64
	Marks    []Mark
	Proposed bool // draw proposed stops
	Framing  bool
	Bare     bool           // no scale bar and no north
	OneBar   bool           // of several pictures the last alone has scale bar and north
	Window   *[2][2]float64 // part of the building, turned, in metres; nil for all
}

const (
	border  = 3.0  // round the building, mm
	closest = 60.0 // no drawing is larger than 1:60
)

// Foot is what the scale bar takes below a plan, in millimetres.
const Foot = 8.0

// Level draws a layer of a level, in several pictures from left to right where one would be
// too coarse.
func (s *Site) Level(storey string, l Layer, o Options) []*Picture {
	lo, hi := s.lo, s.hi
	if o.Window != nil {
		lo, hi = o.Window[0], o.Window[1]
	}
	inner := o.Width - 2*border
	n := 1
	if o.Coarsest > 0 {
		n = max(1, int(math.Ceil((hi[0]-lo[0])*1000/o.Coarsest/inner-1e-6)))
	}
	part := (hi[0] - lo[0]) / float64(n)
	low := Foot
	if o.Bare {
		low = 0
	}
	scale := max(part*1000/inner, closest)
	if o.Tall > 0 {
		scale = max(scale, (hi[1]-lo[1])*1000/(o.Tall-2*border-low))
	}
	var out []*Picture
	for i := range n {
		from := lo[0] + float64(i)*part
		low, o := low, o
		if o.OneBar && i < n-1 {
			low, o.Bare = 0, true
		}
		v := &view{s: s, scale: scale, x0: from, y1: hi[1], low: low}
		v.p = &Picture{W: o.Width, H: (hi[1]-lo[1])*1000/scale + 2*border + low, Title: l.Title(storey), Scale: scale}
		v.left = border + (inner-part*1000/scale)/2
		v.level(storey, l, o)
		out = append(out, v.p)
	}
	return out
}

// view draws on one picture.
type view struct {
	s      *Site
	p      *Picture
	scale  float64
	x0, y1 float64 // metres at the left and the upper edge of what is drawn
	left   float64
	low    float64 // below the plan, mm
	labels []box   // what marks must not cover
}

// at is where a point of the model's plan lies on paper.
func (v *view) at(q [2]float64) Point {
	t := v.s.turn(q)
	return Point{v.left + (t[0]-v.x0)*1000/v.scale, border + (v.y1-t[1])*1000/v.scale}
}

func (v *view) ring(r [][2]float64) []Point {
	out := make([]Point, len(r))
	for i, q := range r {
		out[i] = v.at(q)
	}
	return out
}

func (v *view) rings(list [][][2]float64) [][]Point {
	var out [][]Point
	for _, r := range list {
		out = append(out, v.ring(r))
	}
	return out
}

func (v *view) level(storey string, l Layer, o Options) {
	on := storey
	storey = v.s.lender(storey, l)
	z, ok := v.s.heights(storey, l)
	if ok {
		v.voids(storey, l)
		v.walls(v.s.below(on, l))
		if o.Framing {
			v.framing(l, z)
		}
		v.parts(v.s.d.Services, z, func(string) Look { return Service })
		v.parts(v.s.d.Stops, z, func(kind string) Look {
			if kind == "draftstop" {
				return Sheet
			}
			return Stop
		})
	}
	v.grid()
	if o.Proposed {
		v.proposed(on, l)
	}
	if ok {
		v.names(storey, l)
	}
	v.marks(o.Marks)
	if !o.Bare {
		y := v.p.H - Foot + 1 // a part of a building goes on below: the bar needs a clear ground
		v.p.area(Ground, []Point{{0, y}, {v.p.W, y}, {v.p.W, v.p.H}, {0, v.p.H}})
		v.bar()
		v.north()
	}
}

// voids fills the compartments of a layer, neighbours in two tints.
func (v *view) voids(storey string, l Layer) {
	n := 0
	for i := range v.s.b.R.Spaces {
		sp := &v.s.b.R.Spaces[i]
		if sp.Storey != storey || !onLayer(sp.Kind, l) {
			continue
		}
		for _, c := range sp.Compartments {
			look := Compartment
			if n%2 == 1 {
				look = Other
			}
			v.p.area(look, v.rings(c.Outline)...)
			n++
		}
	}
}

func onLayer(kind string, l Layer) bool {
	switch kind {
	case "floor", "crawl":
		return l == Floor
	case "attic":
		return l == Attic
	case "wall":
		return false
	}
	return l == Walls
}

func (v *view) walls(storey string) {
	for _, separation := range []bool{false, true} {
		for i := range v.s.d.Walls {
			w := &v.s.d.Walls[i]
			if w.Storey != storey || (w.Separation != "") != separation {
				continue
			}
			switch {
			case !separation:
				v.p.area(Wall, v.ring(strip(w, w.Across)))
			case len(w.Rows) == 0:
				v.p.area(Separation, v.ring(strip(w, w.Across)))
			default:
				for _, row := range w.Rows {
					v.p.area(Separation, v.ring(strip(w, row)))
				}
			}
		}
	}
}

func (v *view) framing(l Layer, z [2]float64) {
	for i := range v.s.d.Framing {
		f := &v.s.d.Framing[i]
		roof := f.Kind == "roof-truss" || f.Kind == "rafter"
		if roof != (l == Attic) || l == Walls || overlap(f.Z, z) < 0.1 {
			continue
		}
		v.p.line(Framing, v.at(f.Line[0]), v.at(f.Line[1]))
	}
}

// parts draws what stands in a layer with a good part of its height.
func (v *view) parts(list []finding.DrawnPart, z [2]float64, look func(kind string) Look) {
	for i := range list {
		d := &list[i]
		if overlap(d.Z, z) >= min(0.05, (d.Z[1]-d.Z[0])/2) {
			v.p.area(look(d.Kind), v.ring(d.Outline))
		}
	}
}

func overlap(a, b [2]float64) float64 { return min(a[1], b[1]) - max(a[0], b[0]) }

// names writes units and areas into compartments, or the names of rooms.
func (v *view) names(storey string, l Layer) {
	const size = 2.3
	if l == Walls {
		for i := range v.s.d.Rooms {
			r := &v.s.d.Rooms[i]
			if r.Storey == storey && r.Name != "" && len(r.Outline) > 0 {
				v.label(v.at(middle(r.Outline[0])), 2.0, fit(r.Name, 24))
			}
		}
		return
	}
	inside := map[string][3]float64{}
	for _, d := range v.s.d.Voids {
		for _, c := range d.Compartments {
			inside[c.ID] = c.Point
		}
	}
	for i := range v.s.b.R.Spaces {
		sp := &v.s.b.R.Spaces[i]
		if sp.Storey != storey || !onLayer(sp.Kind, l) {
			continue
		}
		for _, c := range sp.Compartments {
			if c.AreaM2 < 4 {
				continue
			}
			q, ok := inside[c.ID]
			if !ok && len(c.Outline) > 0 {
				m := middle(c.Outline[0])
				q = [3]float64{m[0], m[1], 0}
			}
			units := c.Units
			if len(units) == 0 {
				units = sp.Units
			}
			units = v.s.b.UnitList(units)
			at := v.at([2]float64{q[0], q[1]})
			id, in, area := c.ID, "", measure.FormatArea(c.AreaM2, v.s.b.Sys)
			if len(units) > 0 {
				in = " (" + fit(join(units), 18) + ")"
			}
			wide := v.wide(c.Outline)
			switch {
			case TextWidth(id+in, size) < wide && TextWidth(area, size) < wide:
				v.label(at, size, id+in)
				v.label(Point{at.X, at.Y + size*1.25}, size, area)
			case len(units) > 0 && TextWidth(fit(join(units), 9), size) < wide: // as much as there is room for
				v.label(at, size, fit(join(units), 9))
			case TextWidth(id, size) < wide:
				v.label(at, size, id)
			}
		}
	}
}

// wide is how wide an outline is on paper.
func (v *view) wide(rings [][][2]float64) float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, r := range rings {
		for _, q := range r {
			x := v.at(q).X
			lo, hi = min(lo, x), max(hi, x)
		}
	}
	return hi - lo
}

func join(list []string) string {
	s := ""
	for i, x := range list {
		if i > 0 {
			s += ", "
		}
		s += x
	}
	return s
}

// fit shortens a text to a number of letters.
func fit(s string, n int) string {
	r := []rune(finding.Clean(s))
	if len(r) <= n {
		return string(r)
	}
	return string(r[:n-1]) + "…"
}

func middle(r [][2]float64) [2]float64 {
	lo, hi := r[0], r[0]
	for _, p := range r {
		for i := range p {
			lo[i], hi[i] = min(lo[i], p[i]), max(hi[i], p[i])
		}
	}
	return [2]float64{(lo[0] + hi[0]) / 2, (lo[1] + hi[1]) / 2}
}

// proposed draws stops that the findings propose on a layer.
func (v *view) proposed(storey string, l Layer) {
	for _, p := range v.s.b.R.Proposals {
		it := v.s.b.Items[p.For]
		if it == nil || it.Storey != storey || v.s.LayerOf(it) != l {
			continue
		}
		for _, st := range p.Stops {
			v.p.line(Proposed, v.at(st.Line[0]), v.at(st.Line[1]))
		}
	}
}

// Around is the part of the building round points of the model, for Options.Window: at least
// the given size in metres, and no more than there is to see.
func (s *Site) Around(pts [][3]float64, margin, wide, tall float64) *[2][2]float64 {
	w := [2][2]float64{{math.Inf(1), math.Inf(1)}, {math.Inf(-1), math.Inf(-1)}}
	for _, p := range pts {
		q := s.turn([2]float64{p[0], p[1]})
		for i := range q {
			w[0][i], w[1][i] = min(w[0][i], q[i]-margin), max(w[1][i], q[i]+margin)
		}
	}
	for i, least := range [2]float64{wide, tall} {
		if more := least - (w[1][i] - w[0][i]); more > 0 {
			w[0][i], w[1][i] = w[0][i]-more/2, w[1][i]+more/2
		}
		// Moved back over the building, then cut off where it ends.
		const edge = 0.5
		lo, hi := s.lo[i]-edge, s.hi[i]+edge
		if d := lo - w[0][i]; d > 0 {
			w[0][i], w[1][i] = w[0][i]+d, w[1][i]+d
		}
		if d := w[1][i] - hi; d > 0 {
			w[0][i], w[1][i] = w[0][i]-d, w[1][i]-d
		}
		w[0][i], w[1][i] = max(w[0][i], lo), min(w[1][i], hi)
	}
	return &w
}
