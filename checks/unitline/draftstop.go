package unitline

import (
	"slices"
	"strings"

	"voidcheck/checks"
	"voidcheck/checks/finding"
	"voidcheck/checks/grade"
	"voidcheck/checks/place"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// middle is the middle of a line, at mid height.
func middle(l *void.Line) geom.Vec3 {
	m := l.A.Add(l.B).Mul(0.5)
	return geom.Vec3{X: m.X, Y: m.Y, Z: (l.Z0 + l.Z1) / 2}
}

// JudgeDraftstop reports one modelled draftstop: an item for each gap at least gap metres
// wide and high, or one `meets`. A sheet above a unit separation is judged by its unit line
// first; what is found here is then a consequence.
func JudgeDraftstop(p *checks.Pass, w *place.Words, stops Stops, l *void.Line, gap float64) {
	base := checks.Report{Evidence: grade.Evidence(l.Void), Storey: l.Void.Storey, Units: l.Void.Units, Elements: l.Elements}
	if l.Kind == void.LineSeparation {
		base.Units, base.Consequence = w.UnitList(l.Separation), true
	}
	if base.Evidence == finding.Declared {
		base.Evidence = finding.Modelled // the sheet itself is modelled
	}
	bad := grade.Gaps(l.Openings, gap)
	if len(bad) == 0 {
		r := base
		r.Outcome, r.Consequence, r.Place, r.Point = finding.Meets, false, stops.name(w, l, nil), middle(l)
		r.Message = "The draftstop covers the full section of the " + place.Kind(l.Void.Kind) + "."
		p.Report(r)
		return
	}
	for _, o := range oneRing(bad) {
		r := base
		r.Outcome, r.Cause = finding.Deficient, place.Gap(o.Kind)
		where := stops.name(w, l, o)
		if us := ends(o); l.Kind == void.LineDraftstop && len(us) > 0 && !slices.Equal(us, r.Units) {
			// Sheets in one line through the floors of several units: this one is elsewhere.
			r.Units = us
			where = strings.Replace(where, w.Void(l.Void), place.Kind(l.Void.Kind)+" of "+w.Units(us), 1)
		}
		at := w.Opening(o)
		r.Place, r.At = Join(where, place.Gap(o.Kind), at), w.OpeningAt(o)
		if o.Kind == void.OpenBay {
			r.Place = Join(where, at)
		}
		r.Point, r.Spaces, r.Openings = o.Point, place.Ends([]*void.Opening{o}), []*void.Opening{o}
		r.Measured, r.Limit = grade.Metres(grade.Clear(o)), grade.Metres(gap)
		r.Message, r.Remedy = Text(w, l.Void, o, "in line with the draftstop")
		ring(w, &r, o, bad)
		p.Report(r)
	}
}

// ends are the units that the compartments on the two sides of an opening touch.
func ends(o *void.Opening) []int {
	var us []int
	for _, c := range []*void.Compartment{o.A, o.B} {
		if c != nil {
			us = append(us, c.Units...)
		}
	}
	slices.Sort(us)
	return slices.Compact(us)
}
