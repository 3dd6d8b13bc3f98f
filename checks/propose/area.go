package propose

import (
	"cmp"
	"math"
	"slices"

	"voidcheck/checks"
	"voidcheck/checks/finding"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// beyond is how far a line over a wall goes on past the wall's ends, metres: to the rim or
// to the end of the attic over the eaves.
const beyond = 0.6

// area answers an item about a compartment that is too large, or lies over too many units.
func (m *maker) area(it *finding.Item, r *checks.Report) *finding.Proposal {
	if len(r.Spaces) != 1 || r.Spaces[0].Void == nil || it.Limit == nil {
		return nil
	}
	c := r.Spaces[0]
	d := m.divider(c)
	for _, other := range m.Reports { // the same space may pass several limits
		if len(other.Spaces) == 1 && other.Spaces[0] == c && other.Limit != nil && other.Outcome == r.Outcome && !other.Consequence {
			d.limits(other.Limit)
		}
	}
	d.limits(it.Limit)
	d.rest[0] = m.grown(c, d.rest[0])
	for _, l := range m.openLines(c) {
		d.over(l)
	}
	for _, part := range d.rest {
		d.split(part)
	}
	return d.proposal()
}

// divider collects the stops for one compartment.
type divider struct {
	m     *maker
	c     *void.Compartment
	limit float64 // m2 of outline
	units int     // 0: they do not count
	scale float64 // outline area over the solver's
	rest  []geom.Region
	stops []finding.ProposedStop
	parts []float64
	fail  bool
}

func (m *maker) divider(c *void.Compartment) *divider {
	d := &divider{m: m, c: c, limit: math.Inf(1), scale: 1}
	var g geom.Region
	for _, ring := range c.Outline {
		g = append(g, geom.Ring(ring))
	}
	if c.AreaM2 > 0 && g.Area() > 0 {
		d.scale = g.Area() / c.AreaM2
	}
	d.rest = []geom.Region{g}
	return d
}

// limits applies a limit of an item.
func (d *divider) limits(l *finding.Measure) {
	switch l.Unit {
	case "m2":
		d.limit = math.Min(d.limit, l.Value*d.scale*(1+1e-7))
	case "count":
		if n := int(l.Value); d.units == 0 || n < d.units {
			d.units = n
		}
	}
}

func rings(g geom.Region) [][]geom.Vec2 {
	out := make([][]geom.Vec2, len(g))
	for i := range g {
		out[i] = g[i]
	}
	return out
}

// openLines are the unit lines inside a compartment that items ask to be closed along their
// whole length: closing them divides it.
func (m *maker) openLines(c *void.Compartment) []*void.Line {
	asked := map[*void.Line]bool{}
	for i := range m.Items {
		it := &m.Items[i]
		if it.Check != "floor-draftstop-line" && it.Check != "attic-draftstop-line" || it.Outcome != finding.Deficient && it.Outcome != finding.NotShown {
			continue
		}
		for _, o := range m.Reports[it.Key].Openings {
			if o.Line != nil && o.Kind == void.OpenLine && o.A == c && o.B == c {
				asked[o.Line] = true
			}
		}
	}
	var out []*void.Line
	for _, l := range m.Voids.Lines {
		if asked[l] {
			out = append(out, l)
		}
	}
	return out
}

// over puts a stop in line with a unit separation and divides the areas there.
func (d *divider) over(l *void.Line) {
	a := axes{o: l.A, dir: l.B.Sub(l.A).Unit()}
	length := l.B.Sub(l.A).Len()
	strip := geom.Ring{a.out(-beyond, -1e-4), a.out(length+beyond, -1e-4), a.out(length+beyond, 1e-4), a.out(-beyond, 1e-4)}
	var next []geom.Region
	for _, g := range d.rest {
		r := newRegion(rings(g), a, []float64{0})
		found := false
		for _, p := range r.places([]face{{at: 0}}) {
			for _, x := range p.runs {
				if x.hi < 0 || x.lo > length {
					continue
				}
				found = true
				s := d.m.sheet(a.out(x.lo, 0), a.out(x.hi, 0), d.heights(), d.m.carrier(l))
				d.m.inLine(&s, l.Separation)
				d.stops = append(d.stops, s)
			}
		}
		if !found {
			next = append(next, g)
			continue
		}
		next = append(next, geom.Combine(g, []geom.Ring{strip}, geom.Difference).Parts()...)
	}
	d.rest = next
}

func (d *divider) heights() void.Span { return void.Span{Lo: d.c.Void.ZLo, Hi: d.c.Void.ZHi} }

// split divides one area.
func (d *divider) split(g geom.Region) {
	ms := d.m.members(d.c.Void, rings(g))
	dir, framed := direction(ms)
	origin := g[0][0]
	if !framed {
		dir = d.m.Building.Turn
		if dir == (geom.Vec2{}) {
			dir = geom.Vec2{X: 1}
		}
	}
	a := axes{origin, dir}
	var best *division
	var by axes
	across := false
	try := func(a axes, faces []face) {
		if v := d.solve(g, a, faces); v != nil && v.better(best) {
			best, by = v, a
		}
	}
	if framed {
		try(a, append(faces(ms, a), d.walls(a)...))
		if best == nil {
			across = true
			try(a.turned(), append(loose(rings(g), a.turned(), d.limit), d.walls(a.turned())...))
		}
	} else {
		for _, b := range []axes{a, a.turned()} {
			try(b, append(loose(rings(g), b, d.limit), d.walls(b)...))
		}
	}
	if best == nil {
		d.fail = true
		return
	}
	d.add(best, by, across)
}

// solve divides an area by lines.
func (d *divider) solve(g geom.Region, a axes, faces []face) *division {
	r := newRegion(rings(g), a, ats(faces))
	t := newTask(r, faces, d.limit)
	if d.units > 0 {
		t.units = d.units
		t.under = newFootprint(r, d.m.Building.Input.Rooms, d.c.Void.ZLo)
	}
	return t.solve()
}

// walls are lines above unit separations, where units count: a stop there stands on the wall.
func (d *divider) walls(a axes) []face {
	if d.units == 0 {
		return nil
	}
	var out []face
	in := &d.m.Building.Input
	for i := range in.Walls {
		w := &in.Walls[i]
		if w.Separation < 0 || w.Storey != d.c.Void.Storey || math.Abs(w.Dir.Cross(a.dir)) > parallel || len(w.Elements) == 0 {
			continue
		}
		mid := (w.Across.Lo + w.Across.Hi) / 2
		s, t := extent([]geom.Vec2{w.At(-beyond, mid), w.At(w.Length+beyond, mid)}, a)
		out = append(out, face{at: (t.Lo + t.Hi) / 2, spans: []span{{s.Lo, s.Hi, d.m.wall(i)}}})
	}
	return out
}

// add writes a division down.
func (d *divider) add(v *division, a axes, across bool) {
	d.parts = append(d.parts, v.parts...)
	p := v.r.cut(v.runs)
	for _, x := range v.runs {
		s := d.m.sheet(a.out(x.lo, x.at), a.out(x.hi, x.at), d.heights(), x.element)
		t := v.r.touches[x.line][x.touches[0]]
		s.AreasM2 = []float64{checks.Round(p.area[p.find(t.below)]/d.scale, 1e-4), checks.Round(p.area[p.find(t.above)]/d.scale, 1e-4)}
		s.Across = across
		d.m.inLine(&s, d.m.separationOf(x.element))
		d.stops = append(d.stops, s)
	}
}

// separationOf is the separation that an element is a wall of, -1 when none.
func (m *maker) separationOf(element int) int {
	for i := range m.Building.Input.Walls {
		w := &m.Building.Input.Walls[i]
		if element >= 0 && w.Separation >= 0 && slices.Contains(w.Elements, element) {
			return w.Separation
		}
	}
	return -1
}

func (d *divider) proposal() *finding.Proposal {
	if d.fail || len(d.stops) == 0 {
		return nil
	}
	// As one reads a plan: from left to right, then upwards.
	slices.SortStableFunc(d.stops, func(a, b finding.ProposedStop) int {
		for k := range a.Line[0] {
			if x, y := min(a.Line[0][k], a.Line[1][k]), min(b.Line[0][k], b.Line[1][k]); math.Abs(x-y) > 0.01 {
				return cmp.Compare(x, y)
			}
		}
		return 0
	})
	p := &finding.Proposal{Kind: "draftstops", Stops: d.stops}
	for _, a := range d.parts {
		p.PartsM2 = append(p.PartsM2, checks.Round(a/d.scale, 1e-4))
	}
	slices.SortFunc(p.PartsM2, func(a, b float64) int { return cmp.Compare(b, a) })
	return p
}
