package propose

import (
	"math"
	"sort"

	"voidcheck/checks"
	"voidcheck/checks/finding"
	"voidcheck/checks/grade"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// blockM is the thickness of a block: nominal 2 in lumber, 1-1/2 in actual (HUD Residential
// Structural Design Guide).
const blockM = 0.0381

// run answers an item about a run along a wall cavity that is too long: blocks at studs that
// leave clear runs within the limit and about equal.
func (m *maker) run(it *finding.Item, r *checks.Report) *finding.Proposal {
	if len(r.Voids) != 1 || it.Limit == nil || it.Measured == nil || it.Limit.Value <= 0 {
		return nil
	}
	p := &finding.Proposal{Kind: "blocks"}
	for _, c := range m.Voids.Cavities {
		if c.Void != r.Voids[0] || c.Wall < 0 || c.Wall >= len(m.Building.Input.Walls) {
			continue
		}
		w := &m.Building.Input.Walls[c.Wall]
		for i := range c.Runs {
			u := &c.Runs[i]
			if !grade.Over(u.LengthM, it.Limit.Value) || it.Outcome == finding.Deficient && math.Abs(checks.Round(u.LengthM, 1e-6)-it.Measured.Value) > 1e-6 {
				continue
			}
			s, z := w.At((u.S0+u.S1)/2, 0), (u.Z0+u.Z1)/2
			if it.Outcome == finding.Deficient && (math.Abs(r.Point.Z-z) > 0.01 || math.Abs(r.Point.Plan().Sub(s).Dot(w.Dir)) > 0.01) {
				continue
			}
			p.Stops = append(p.Stops, m.blocks(w, c, u, it.Limit.Value)...)
		}
	}
	return p
}

// blocks are the blocks of one run.
func (m *maker) blocks(w *void.Wall, c *void.WallCavity, u *void.WallRun, limit float64) []finding.ProposedStop {
	across := w.Across
	if c.Cavity >= 0 && c.Cavity < len(w.Cavities) {
		across = w.Cavities[c.Cavity]
	}
	studs := m.studs(w, void.Span{Lo: u.S0, Hi: u.S1}, void.Span{Lo: u.Z0, Hi: u.Z1}, across)
	var out []finding.ProposedStop
	for _, s := range spaced(void.Span{Lo: u.S0, Hi: u.S1}, limit, studs) {
		a, b := w.At(s.at, across.Lo), w.At(s.at, across.Hi)
		out = append(out, finding.ProposedStop{
			Kind: "block", Line: [2][2]float64{m.plan(a), m.plan(b)}, LengthM: checks.Round(across.Hi-across.Lo, 1e-4),
			Z: m.heights(u.Z0, u.Z1), HeightM: checks.Round(u.Z1-u.Z0, 1e-4), Attach: m.id(s.element), AttachName: finding.Clean(m.w.Member(s.element)),
			Services: m.ids(m.through(a, b, void.Span{Lo: u.Z0, Hi: u.Z1})),
		})
	}
	return out
}

// stud is a place along a wall where studs stand; rows is how many stud rows have one there.
type stud struct {
	at      float64
	element int
	rows    int
}

// studs returns the places of studs along a stretch of wall.
func (m *maker) studs(w *void.Wall, s, z, across void.Span) []stud {
	in := &m.Building.Input
	a := axes{o: w.Origin, dir: w.Dir}
	type one struct {
		at, t   float64
		element int
	}
	var all []one
	for _, i := range m.uprights.In(upright(z, w.At(s.Lo, across.Lo), w.At(s.Lo, across.Hi), w.At(s.Hi, across.Lo), w.At(s.Hi, across.Hi))) {
		p := &in.Parts[i]
		if b := p.Mesh.Box(); b.Max.Z < z.Lo+0.3 || b.Min.Z > z.Hi-0.3 {
			continue
		}
		pts := make([]geom.Vec2, len(p.Mesh.Verts))
		for k, v := range p.Mesh.Verts {
			pts[k] = v.Plan()
		}
		x, y := extent(pts, a)
		if mid := (x.Lo + x.Hi) / 2; mid > s.Lo && mid < s.Hi && y.Hi > across.Lo && y.Lo < across.Hi {
			all = append(all, one{mid, (y.Lo + y.Hi) / 2, p.Element})
		}
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].at < all[j].at })
	var out []stud
	last := math.NaN()
	for _, x := range all {
		if n := len(out); n > 0 && x.at-out[n-1].at < 0.02 {
			if math.Abs(x.t-last) > 0.03 {
				out[n-1].rows++
			}
			last = x.t
			continue
		}
		out = append(out, stud{x.at, x.element, 1})
		last = x.t
	}
	return out
}

// spaced returns the fewest blocks that leave clear runs within the limit, nearest to equal
// spacing, each at a stud where studs stand; those with a stud in every row come first, so
// that the block closes the whole depth with them.
func spaced(run void.Span, limit float64, studs []stud) []stud {
	length := run.Hi - run.Lo
	rows := 0
	for _, s := range studs {
		rows = max(rows, s.rows)
	}
	var at []stud
	for _, s := range studs {
		if s.rows == rows {
			at = append(at, s)
		}
	}
	n := grade.Parts(length, limit)
	for more := 0; more < 4 && len(at) > 0; more++ {
		var out []stud
		clear, from := true, run.Lo
		for k := 1; k < n+more; k++ {
			want := run.Lo + length*float64(k)/float64(n+more)
			best := at[0]
			for _, s := range at {
				if math.Abs(s.at-want) < math.Abs(best.at-want)-1e-6 {
					best = s
				}
			}
			clear = clear && best.at > from && best.at-blockM/2-from <= limit
			from = best.at + blockM/2
			out = append(out, best)
		}
		if clear && run.Hi-from <= limit {
			return out
		}
	}
	var out []stud
	for k := 1; k < n; k++ {
		out = append(out, stud{at: run.Lo + length*float64(k)/float64(n), element: -1})
	}
	return out
}
