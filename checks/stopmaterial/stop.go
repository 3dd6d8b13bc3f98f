// Package stopmaterial judges what draftstops and fireblocks are made of. The two checks
// share it, so that a board reads the same in both.
package stopmaterial

import (
	"fmt"
	"regexp"
	"sort"
	"sync"

	"voidcheck/checks"
	"voidcheck/checks/finding"
	"voidcheck/checks/lexicon"
	"voidcheck/checks/materials"
	"voidcheck/checks/place"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// stop is one element that is a stop, with what the list says of it.
type stop struct {
	element int
	parts   []*void.Part
	sample  materials.Sample
	verdict materials.Verdict
	where   spot
	mid     geom.Vec3
}

// spot is where a stop stands: in a line through a void, in the cavity of a wall, or on a
// storey.
type spot struct {
	line   *void.Line
	wall   int // index into Input.Walls, -1
	storey int
}

// collect gathers the elements of a role in the order of their indices.
func collect(p *checks.Pass, role void.Role) []*stop {
	in := &p.Building.Input
	by := map[int]*stop{}
	var list []*stop
	for i := range in.Parts {
		part := &in.Parts[i]
		if part.Role != role || part.Mesh == nil || len(part.Mesh.Tris) == 0 || isDoor(p, part.Element) {
			continue
		}
		s := by[part.Element]
		if s == nil || part.Element < 0 {
			s = &stop{element: part.Element}
			by[part.Element] = s
			list = append(list, s)
		}
		s.parts = append(s.parts, part)
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].element < list[j].element })
	for _, s := range list {
		s.sample = SampleOf(p.Building, s.parts)
		b := geom.EmptyBox()
		for _, part := range s.parts {
			b = b.Join(part.Mesh.Box())
		}
		s.mid = b.Center()
	}
	return list
}

// isDoor reports whether a part is the door of an access opening; draftstop-door judges it.
func isDoor(p *checks.Pass, element int) bool {
	if element < 0 || element >= len(p.Building.Things) {
		return false
	}
	e := p.Building.Things[element].Element
	return e != nil && (e.Is("IfcDoor") || e.Is("IfcWindow"))
}

// locate finds where the stops stand.
func locate(p *checks.Pass, w *place.Words, list []*stop) {
	lines := map[int]*void.Line{}
	for _, l := range p.Voids.Lines {
		if l.Void == nil {
			continue
		}
		for _, e := range l.Elements {
			if lines[e] == nil {
				lines[e] = l
			}
		}
	}
	walls := map[int]int{}
	note := func(es []int, wall int) {
		for _, e := range es {
			if _, ok := walls[e]; !ok {
				walls[e] = wall
			}
		}
	}
	for _, c := range p.Voids.Cavities {
		for i := range c.Levels {
			note(c.Levels[i].Elements, c.Wall)
		}
		for i := range c.Runs {
			note(c.Runs[i].Elements, c.Wall)
		}
	}
	for _, s := range list {
		s.where = spot{wall: -1, storey: w.StoreyAt(s.mid.Z, false)}
		if l := lines[s.element]; l != nil {
			s.where.line, s.where.storey = l, l.Void.Storey
		} else if i, ok := walls[s.element]; ok && i >= 0 && i < len(p.Building.Input.Walls) {
			s.where.wall, s.where.storey = i, p.Building.Input.Walls[i].Storey
		}
	}
}

// claim is what calls a piece a stop, in the languages of the lexicon.
var claim = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`fire|block|brand|schott|feu|fuego|brann|barri|sperre|sperr|stop|coupe|cavity|cavite|cavidad|draft|draught|smoke|rauch|rook|royk|kubb`)
})

// claimed parts the stops that the model calls so, or that close a line or a cavity, from
// pieces between members that are nogging, bridging or packing to all that the model says.
func claimed(p *checks.Pass, list []*stop) (stops, rest []*stop) {
	for _, s := range list {
		ok := s.where.line != nil || s.where.wall >= 0 || s.element < 0 || s.element >= len(p.Building.Things)
		if !ok {
			if e := p.Building.Things[s.element].Element; e == nil || claim().MatchString(lexicon.Fold(e.Name+" "+e.TypeName+" "+e.ObjectType+" "+e.Description)) {
				ok = true
			}
		}
		if ok {
			stops = append(stops, s)
		} else {
			rest = append(rest, s)
		}
	}
	return stops, rest
}

// layered adds the boards that lie against a stop of one thin board: they are its layers.
func layered(list []*stop, l materials.List) {
	several := map[string]bool{}
	for _, e := range l {
		several[e.Class] = several[e.Class] || e.Layers > 1
	}
	for _, s := range list {
		if s.verdict.Reason != materials.ReasonThin || !several[s.verdict.Class] {
			continue
		}
		for _, o := range list {
			if o == s || o.verdict.Class != s.verdict.Class || o.mid.Sub(s.mid).Len() > 0.5 {
				continue
			}
			if Against(s.parts[0].Mesh, o.parts[0].Mesh) {
				s.sample.Plies = append(s.sample.Plies, o.sample.Plies...)
			}
		}
	}
}

// Judge reports the stops of a role against a list: one item for each place with stops that
// fail alike, one for each cause that leaves it open, one for each material that meets.
func Judge(p *checks.Pass, role void.Role, use materials.Use) error {
	d := materials.Default()
	list, err := d.Parse(p.Limits.List["materials"])
	if err != nil || len(list) == 0 {
		return err
	}
	stops := collect(p, role)
	w := place.New(p.Building, p.Voids, p.Units)
	locate(p, w, stops)
	var rest []*stop
	if use == materials.Fireblock { // a sheet across a void is a draftstop whatever it is called
		stops, rest = claimed(p, stops)
	}
	j := &judge{p: p, w: w, d: d, use: use, list: list}
	if n := len(rest); n > 0 {
		j.rest = fmt.Sprintf(" Pieces between members that nothing calls %ss and that close no line or cavity: %d; their material is not judged.", use, n)
	}
	if len(stops) == 0 {
		j.none()
		return nil
	}
	for _, s := range stops {
		s.verdict = d.Judge(s.sample, list)
	}
	layered(stops, list)
	for _, s := range stops {
		s.verdict = d.Judge(s.sample, list)
		s.eitherWay(p, d, list)
	}
	for _, g := range groups(stops) {
		j.report(g)
	}
	return nil
}

// eitherWay leaves a stick open that is too thin in one direction and thick enough in the
// other, where the model shows no cavity that says which way it stops fire: a strip between
// two rows of studs is as narrow as the air between them.
func (s *stop) eitherWay(p *checks.Pass, d *materials.Data, list materials.List) {
	const stick = 0.1 // wider pieces are sheets, metres
	if s.verdict.Reason != materials.ReasonThin || s.where.line != nil || s.where.wall >= 0 || len(s.parts) != 1 || len(s.sample.Plies) != 1 {
		return
	}
	wide := s.parts[0].Mesh.OBB().Size()[1]
	if _, told := through(p.Building, s.parts[0]); told || wide > stick {
		return
	}
	turned := s.sample
	turned.Plies = []materials.Ply{{Material: turned.Plies[0].Material, ThicknessM: wide}}
	if v := d.Judge(turned, list); v.Outcome == finding.Meets {
		s.verdict = materials.Verdict{Outcome: finding.NotShown, Reason: materials.ReasonWay, Class: v.Class, Material: v.Material, ByWords: v.ByWords, Entry: v.Entry, GotM: s.verdict.GotM, Show: "the wall or the void that it closes"}
	}
}

// group is stops that read alike.
type group struct {
	stops []*stop
	verdict
}

type verdict struct {
	outcome  finding.Outcome
	reason   string
	material string
	mm       int // half millimetres
	where    spot
}

// groups sorts stops into items, in the order of their first stop.
func groups(list []*stop) []*group {
	by := map[verdict]*group{}
	var out []*group
	for _, s := range list {
		v := verdict{s.verdict.Outcome, s.verdict.Reason, s.verdict.Material, int(s.verdict.GotM*2e3 + 0.5), spot{wall: -1, storey: -1}}
		switch {
		case v.outcome == finding.Deficient:
			v.where = s.where
		case v.reason == materials.ReasonNone, v.reason == materials.ReasonUnknown, s.verdict.Entry.ThicknessM == 0:
			v.mm = 0
		}
		g := by[v]
		if g == nil {
			g = &group{verdict: v}
			by[v] = g
			out = append(out, g)
		}
		g.stops = append(g.stops, s)
	}
	return out
}
