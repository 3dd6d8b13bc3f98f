// Package shown tells whether the model shows a thing at the place of an item, for the
// conditions of adoption files that no fact of the project decides. It judges nothing.
package shown

import (
	"maps"
	"math"
	"slices"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/materials"
	"voidcheck/checks/recognise"
	"voidcheck/checks/spread"
	"voidcheck/checks/void"
)

// looks are the things by the names that adoption files use.
var looks = map[string]func(*model, *checks.Report) adoption.Answer{
	"attic-draftstop-in-line":     (*model).draftstopInLine,
	"ceiling-type-x":              (*model).ceilingTypeX,
	"ceiling-framing-covered":     (*model).framingCovered,
	"corridor-other-side-stopped": (*model).otherSideStopped,
}

// Things returns the names of what can be looked for, sorted.
func Things() []string { return slices.Sorted(maps.Keys(looks)) }

// model is what is looked at.
type model struct {
	b *recognise.Building
	r *void.Result
}

// In returns the function that the driver asks.
func In(b *recognise.Building, r *void.Result) func(thing string, rep *checks.Report) adoption.Answer {
	m := &model{b, r}
	return func(thing string, rep *checks.Report) adoption.Answer {
		if look := looks[thing]; look != nil {
			return look(m, rep)
		}
		return adoption.Unknown
	}
}

// lines are the unit lines that a report is about: those of its openings, and those of the
// walls among its elements.
func (m *model) lines(rep *checks.Report) []*void.Line {
	var out []*void.Line
	seen := map[*void.Line]bool{}
	add := func(l *void.Line) {
		if l != nil && l.Kind == void.LineSeparation && !seen[l] {
			seen[l] = true
			out = append(out, l)
		}
	}
	for _, o := range rep.Openings {
		add(o.Line)
	}
	of := map[int]bool{}
	for _, e := range rep.Elements {
		of[e] = true
	}
	for _, l := range m.r.Lines {
		if l.Wall < 0 || l.Wall >= len(m.b.Input.Walls) {
			continue
		}
		for _, e := range m.b.Input.Walls[l.Wall].Elements {
			if of[e] {
				add(l)
			}
		}
	}
	return out
}

// attics are the unit lines of a report in attics.
func (m *model) attics(rep *checks.Report) []*void.Line {
	var out []*void.Line
	for _, l := range m.lines(rep) {
		if l.Void != nil && l.Void.Kind == void.KindAttic {
			out = append(out, l)
		}
	}
	return out
}

// open reports whether an opening of a line lets fire pass.
func (m *model) open(l *void.Line) bool {
	for _, o := range l.Openings {
		if spread.Passes(o, m.b.Input.MaxGap) {
			return true
		}
	}
	return false
}

// draftstopInLine: a draftstop stands above and along the wall, and leaves nothing open.
func (m *model) draftstopInLine(rep *checks.Report) adoption.Answer {
	list := m.attics(rep)
	if len(list) == 0 {
		return adoption.Unknown
	}
	for _, l := range list {
		if m.open(l) || !m.has(l.Elements, void.RoleDraftstop) {
			return adoption.No
		}
	}
	return adoption.Yes
}

// has reports whether one of the elements plays a role.
func (m *model) has(elements []int, role void.Role) bool {
	for i := range m.b.Input.Parts {
		p := &m.b.Input.Parts[i]
		if p.Role != role {
			continue
		}
		for _, e := range elements {
			if p.Element == e {
				return true
			}
		}
	}
	return false
}

// ceilingTypeX: the ceilings below the attic are of Type X gypsum board thick enough.
func (m *model) ceilingTypeX(rep *checks.Report) adoption.Answer {
	list := m.attics(rep)
	if len(list) == 0 {
		return adoption.Unknown
	}
	v := list[0].Void
	ceiling, _ := materials.Default().TwoFamilyAttic()
	return m.boards(void.RoleCeiling, v.ZLo-0.1, v.ZLo+0.05, ceiling, true, nil)
}

// Widths of corridors, metres.
const (
	corridorMin = 0.8
	corridorMax = 5.0
)

// otherSideStopped: the wall stands between a unit and common space, and the void is stopped
// in line with the wall on the other side of that space.
func (m *model) otherSideStopped(rep *checks.Report) adoption.Answer {
	list := m.lines(rep)
	if len(list) == 0 {
		return adoption.Unknown
	}
	for _, l := range list {
		if !m.corridor(l) || !m.faced(l) {
			return adoption.No
		}
	}
	return adoption.Yes
}

// corridor reports whether a unit line lies between a unit and common space.
func (m *model) corridor(l *void.Line) bool {
	if l.Separation < 0 || l.Separation >= len(m.b.Input.Separations) {
		return false
	}
	u := m.b.Input.Separations[l.Separation].Units
	return (u[0] < 0) != (u[1] < 0)
}

// faced reports whether another corridor wall runs along a line on the other side of the
// corridor, with the void above it stopped.
func (m *model) faced(l *void.Line) bool {
	dir := l.B.Sub(l.A)
	if dir.Len() == 0 {
		return false
	}
	u := dir.Unit()
	for _, o := range m.r.Lines {
		if o == l || o.Kind != void.LineSeparation || o.Separation == l.Separation || !m.corridor(o) || m.open(o) || o.Void == nil || l.Void == nil || o.Void.Kind != l.Void.Kind {
			continue
		}
		if d := o.B.Sub(o.A); d.Len() == 0 || math.Abs(d.Unit().Dot(u)) < 0.99 {
			continue
		}
		far := math.Abs(u.Cross(o.A.Sub(l.A)))
		s0, s1 := o.A.Sub(l.A).Dot(u), o.B.Sub(l.A).Dot(u)
		common := math.Min(math.Max(s0, s1), dir.Len()) - math.Max(math.Min(s0, s1), 0)
		if far >= corridorMin && far <= corridorMax && common > 0.8*dir.Len() {
			return true
		}
	}
	return false
}
