package stopmaterial

import (
	"fmt"
	"strings"

	"voidcheck/checks"
	"voidcheck/checks/finding"
	"voidcheck/checks/grade"
	"voidcheck/checks/materials"
	"voidcheck/checks/place"
	"voidcheck/checks/unitline"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// judge is one run of a check.
type judge struct {
	p    *checks.Pass
	w    *place.Words
	d    *materials.Data
	use  materials.Use
	list materials.List
	rest string // a sentence on pieces that are not judged; said once
}

// tell reports an item, the first one with the sentence on what is not judged.
func (j *judge) tell(r checks.Report) {
	r.Message += j.rest
	j.rest = ""
	j.p.Report(r)
}

// none reports that the model holds no such stop to look at.
func (j *judge) none() {
	j.tell(checks.Report{
		Outcome: finding.Note, Evidence: finding.Modelled, Storey: -1, Place: string(j.use) + "s", Cause: "none modelled",
		Message: fmt.Sprintf("No %s is modelled, so no material of one could be looked at; where they are missing is told by the checks of the voids.", j.use),
	})
}

// name is a group in words: "12 fireblocks", "draftstop DS-2".
func (j *judge) name(g *group) string {
	if len(g.stops) > 1 {
		return fmt.Sprintf("%d %ss", len(g.stops), j.use)
	}
	if n := j.w.Element(g.stops[0].element); strings.Contains(strings.ToLower(n), string(j.use)) {
		return n
	} else if n != "" {
		return fmt.Sprintf("%s %s", j.use, n)
	}
	return string(j.use)
}

// where names the place of a group: unit line and side, void, or wall.
func (j *judge) where(s spot) string {
	switch {
	case s.line != nil && s.line.Kind == void.LineSeparation:
		return unitline.Where(j.w, s.line, place.Kind(s.line.Void.Kind))
	case s.line != nil:
		return j.w.Void(s.line.Void)
	case s.wall >= 0:
		return j.w.Cavity(s.wall)
	}
	return ""
}

// units are the dwelling units of a place.
func (j *judge) units(s spot) []int {
	switch {
	case s.line != nil && s.line.Kind == void.LineSeparation:
		return j.w.UnitList(s.line.Separation)
	case s.line != nil:
		return s.line.Void.Units
	case s.wall >= 0 && j.p.Building.Input.Walls[s.wall].Separation >= 0:
		return j.w.UnitList(j.p.Building.Input.Walls[s.wall].Separation)
	}
	return nil
}

func (j *judge) report(g *group) {
	v := g.stops[0].verdict
	r := checks.Report{Outcome: v.Outcome, Evidence: finding.Declared, Storey: -1, Cause: v.Reason}
	for _, s := range g.stops {
		if s.element >= 0 {
			r.Elements = append(r.Elements, s.element)
		}
	}
	switch v.Outcome {
	case finding.Deficient:
		r.Storey, r.Units = g.where.storey, j.units(g.where)
		r.Place = unitline.Join(j.where(g.where), j.name(g))
		for _, s := range g.stops {
			r.Point = r.Point.Add(s.mid)
		}
		r.Point = r.Point.Mul(1 / float64(len(g.stops)))
	default:
		r.Place = fmt.Sprintf("%ss of %s", j.use, material(v))
		if len(g.stops) == 1 {
			r.Place, r.Point, r.Storey = unitline.Join(j.where(g.stops[0].where), j.name(g)), g.stops[0].mid, g.stops[0].where.storey
			r.Units = j.units(g.stops[0].where)
		} else if g.mm > 0 {
			r.Place += ", " + j.w.Length(v.GotM)
		}
	}
	if r.Point == (geom.Vec3{}) && len(g.stops) == 1 {
		r.Point = g.stops[0].mid
	}
	if v.GotM > 0 && (v.Reason == materials.ReasonThin || v.Reason == materials.ReasonNear || v.Reason == materials.ReasonLow) {
		least := v.Entry.ThicknessM
		if v.Reason == materials.ReasonLow || v.Entry.HeightM > 0 && v.GotM == g.stops[0].sample.HeightM {
			least = v.Entry.HeightM
		}
		r.Measured, r.Limit = grade.Metres(v.GotM), grade.Metres(least)
	}
	j.words(&r, g, v)
	j.tell(r)
}

// material names what a stop is made of as the model does, "unnamed material" when it does not.
func material(v materials.Verdict) string {
	if v.Material == "" {
		return "unnamed material"
	}
	return v.Material
}

// words gives a report its message and remedy.
func (j *judge) words(r *checks.Report, g *group, v materials.Verdict) {
	is := "is"
	subject := "The " + string(j.use)
	if n := len(g.stops); n > 1 {
		is = "are"
		subject = fmt.Sprintf("%d %ss", n, j.use)
	}
	of := material(v)
	if v.ByWords {
		of += " (told by the name, no material is given)"
	}
	size := ""
	if v.GotM > 0 && (len(g.stops) == 1 || g.mm > 0) { // others of the group may be of other sizes
		size = ", " + j.w.Length(v.GotM)
	}
	accepted := j.d.Says(j.use, v.Entry)
	r.Remedy = fmt.Sprintf("Use a material of the adopted list (%s).", place.Short(j.accepted(), 4))
	switch v.Reason {
	case "":
		r.Message = fmt.Sprintf("%s %s of %s%s; accepted is %s.", subject, is, of, size, accepted)
		r.Remedy = ""
	case materials.ReasonThin:
		got, least := j.w.Pair(v.GotM, v.Entry.ThicknessM, "m")
		r.Message = fmt.Sprintf("%s %s of %s, %s thick; as %s at least %s is wanted.", subject, is, of, got, v.Class, least)
		if v.Entry.Layers > 1 {
			r.Message = fmt.Sprintf("%s %s of %s, %s thick; accepted is %s.", subject, is, of, got, accepted)
		}
		r.Remedy = fmt.Sprintf("Make it thick enough (%s) or use another material of the adopted list.", accepted)
	case materials.ReasonLow:
		got, least := j.w.Pair(v.GotM, v.Entry.HeightM, "m")
		r.Message = fmt.Sprintf("%s %s of %s, %s high; %s has to fill the cavity over at least %s.", subject, is, of, got, v.Class, least)
		r.Remedy = fmt.Sprintf("Fill the full section over %s, packed round pipes and conduit, or use another material of the adopted list.", least)
	case materials.ReasonOff:
		r.Message = fmt.Sprintf("%s %s of %s (%s), which is not on the list of accepted materials.", subject, is, of, v.Class)
		r.Remedy = fmt.Sprintf("Use a material of the adopted list (%s), or show a test or approval for this use.", place.Short(j.accepted(), 4))
	case materials.ReasonNear:
		got, least := j.w.Pair(r.Measured.Value, r.Limit.Value, "m")
		r.Message = fmt.Sprintf("%s %s of %s, %s for %s: nominal equivalent, reviewer decides.", subject, is, of, got, least)
		r.Remedy = "Show the product and its thickness, or the approval of the metric size."
	case materials.ReasonTest:
		r.Message = fmt.Sprintf("%s %s of %s (%s), accepted only as tested for this use", subject, is, of, v.Class)
		if t := g.stops[0].sample.Test; t != "" {
			r.Message += fmt.Sprintf("; the model names %s, which is not evaluated", t)
		}
		r.Message += "."
		r.Remedy = "Show the test report or listing for this material in this use."
	case materials.ReasonApproval:
		r.Message = fmt.Sprintf("%s %s of %s%s: %s.", subject, is, of, size, accepted)
		r.Remedy = "Show the building official's approval, or use a material that the adopted list takes outright."
	default:
		r.Message = fmt.Sprintf("%s %s of %s: whether the list of accepted materials takes it cannot be told (%s).", subject, is, of, v.Reason)
		r.Remedy = fmt.Sprintf("Show %s.", v.Show)
	}
	if j.use == materials.Fireblock && v.Outcome == finding.Deficient && g.where.line != nil && g.where.line.Kind == void.LineSeparation {
		if o := j.d.Judge(g.stops[0].sample, j.d.List(materials.Draftstop)); o.Outcome == finding.Meets {
			r.Message += " It would do for a draftstop, where the local code takes one on this line."
		}
	}
}

// accepted lists what the adopted list takes outright.
func (j *judge) accepted() []string {
	var s []string
	for _, e := range j.list {
		if e.If == "" {
			s = append(s, e.Text)
		}
	}
	if len(s) == 0 {
		for _, e := range j.list {
			s = append(s, e.Text)
		}
	}
	return s
}

// ListProblem is the grammar of the parameter that replaces a list.
func ListProblem(entries []string) error {
	_, err := materials.Default().Parse(entries)
	return err
}
