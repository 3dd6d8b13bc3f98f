package checks

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"voidcheck/checks/adoption"
	"voidcheck/checks/finding"
	"voidcheck/checks/spread"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// draft is an item on its way, with the report it came from.
type draft struct {
	item   finding.Item
	report *Report
}

// draft turns a report into an item: names for indices, the section, exemptions and what
// the openings join. Key, consequences and comment come later.
func (in *Input) draft(c *Check, r *Report, groups map[int]*joined) draft {
	it := finding.Item{
		Check: c.Name, Outcome: r.Outcome, Evidence: r.Evidence, Place: r.Place, At: r.At,
		Storey: in.storeyName(r.Storey), Units: in.unitIDs(r.Units), Elements: in.globalIDs(r.Elements),
		Measured: rounded(r.Measured), Limit: r.Limit, Message: r.Message, Remedy: r.Remedy, Cause: r.Cause, Exemption: r.Exemption,
	}
	if it.Evidence == "" {
		it.Evidence = finding.Modelled
	}
	if it.Message == "" {
		it.Message = c.Title
	}
	for _, sp := range r.Spaces {
		it.Spaces = append(it.Spaces, compartmentID(sp))
	}
	for _, v := range r.Voids {
		it.Spaces = append(it.Spaces, finding.VoidID(v.Index))
	}
	rule := in.Adoption.Rule(c.Name)
	it.Section = rule.Section
	if a := r.amended; a != nil {
		if a.Section != "" {
			it.Section = a.Section
		}
		if it.Outcome != finding.Note && r.Limit != nil {
			it.Message += " The limit is an amended one: " + strings.TrimSuffix(a.Because, ".") + "."
		}
	}
	it.Undecided = r.undecided
	if it.Section == "" {
		it.Section, it.SectionIsPlaceholder = "[local section: "+c.Topic+"]", true
	}
	in.exempt(rule, r, &it)
	if it.Outcome != finding.Meets && it.Outcome != finding.Note {
		it.Joins = joins(groups, r.Openings)
	}
	return draft{it, r}
}

func compartmentID(c *void.Compartment) string {
	if c.Void == nil {
		return ""
	}
	return finding.CompartmentID(c.Void.Index, c.Number)
}

func (in *Input) storeyName(i int) string {
	if in.Building.Model == nil {
		return ""
	}
	return in.Building.Model.StoreyName(i)
}

func (in *Input) unitIDs(units []int) []string {
	var ids []string
	for _, u := range units {
		if u >= 0 && u < len(in.Building.Units) {
			ids = append(ids, in.Building.Units[u].ID)
		}
	}
	return ids
}

func (in *Input) globalIDs(elements []int) []string {
	var ids []string
	seen := make(map[string]bool, len(elements))
	for _, e := range elements {
		if e < 0 || e >= len(in.Building.Model.Elements) {
			continue
		}
		if id := in.Building.Model.Elements[e].GlobalID; id != "" && !seen[id] {
			ids, seen[id] = append(ids, id), true
		}
	}
	return ids
}

// rounded takes off the digits below a micrometre, which differ between two exports of the
// same model.
func rounded(m *finding.Measure) *finding.Measure {
	if m == nil {
		return nil
	}
	return &finding.Measure{Value: Round(m.Value, 1e-6), Unit: m.Unit}
}

// Round rounds to a multiple of the step, which is a power of ten below 1, and never gives
// a negative zero.
func Round(v, step float64) float64 {
	n := math.Round(1 / step)
	r := math.Round(v*n) / n
	if r == 0 || math.IsNaN(r) || math.IsInf(r, 0) {
		return 0
	}
	return r
}

// exempt applies the adoption's exceptions to an item that asks for something.
func (in *Input) exempt(rule *adoption.Rule, r *Report, it *finding.Item) {
	if it.Outcome != finding.Deficient && it.Outcome != finding.NotShown {
		return
	}
	s := in.subject(r)
	var open, doubtful []string // exceptions that what is not known leaves open, by who can decide them
	var facts []string
	for i := range rule.Exempt {
		e := &rule.Exempt[i]
		switch answer, unknown := e.Decide(s); answer {
		case adoption.Yes:
			it.Outcome, it.Exemption, it.Undecided = finding.Exempt, e.Because, ""
			return
		case adoption.Unknown:
			text := fmt.Sprintf("an exception may apply (%s: %s); what would decide: %s", e.When, e.Because, strings.Join(unknown, ", "))
			if slices.Contains(unknown, adoption.AdoptedText) {
				doubtful = append(doubtful, text)
			} else {
				open = append(open, text)
			}
			for _, f := range unknown {
				if !slices.Contains(facts, f) {
					facts = append(facts, f)
				}
			}
		}
	}
	open = append(open, doubtful...)
	switch n := len(open) - 1; {
	case n < 0 || it.Undecided != "":
	case n == 0:
		it.Undecided = open[0]
	default:
		more := "1 more exception is"
		if n > 1 {
			more = fmt.Sprintf("%d more exceptions are", n)
		}
		it.Undecided = fmt.Sprintf("%s; %s left open, and these decide all: %s", open[0], more, strings.Join(facts, ", "))
	}
}

// unitCount is the number of dwelling units that the submittal or the model names; a count
// inferred from walls decides nothing, and neither do two that contradict each other.
func (in *Input) unitCount() int {
	listed, named := len(in.Facts.Units), len(in.Building.Units)
	for _, u := range in.Building.Units {
		if u.Assumed {
			named = 0
		}
	}
	switch {
	case listed > 0 && named > 0 && listed != named:
		return 0
	case listed > 0:
		return listed
	}
	return named
}

// framings lists the framings of the voids that a report is about; wall cavities count only
// when there is nothing else.
func framings(r *Report) []string {
	var flat, walls []string
	for _, v := range about(r) {
		switch {
		case v.Kind == void.KindWall:
			walls = append(walls, string(v.Framing))
		default:
			flat = append(flat, string(v.Framing))
		}
	}
	if len(flat) == 0 {
		flat = walls
	}
	slices.Sort(flat)
	return slices.Compact(flat)
}

// kinds lists the kinds of the voids that a report is about.
func kinds(r *Report) []string {
	var out []string
	for _, v := range about(r) {
		out = append(out, string(v.Kind))
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// about are the voids that a report is about, those at its openings among them.
func about(r *Report) []*void.Void {
	var vs []*void.Void
	for _, c := range r.Spaces {
		vs = append(vs, c.Void)
	}
	vs = append(vs, r.Voids...)
	for _, o := range r.Openings {
		for _, c := range []*void.Compartment{o.A, o.B} {
			if c != nil {
				vs = append(vs, c.Void)
			}
		}
	}
	return slices.DeleteFunc(vs, func(v *void.Void) bool { return v == nil })
}

// joined is what openings join of one group of compartments.
type joined struct {
	units       map[int]bool
	flat, walls float64 // square metres of floor voids, attics and the like, and of cavities
}

// joinedGroups works out what openings join, by Compartment.Joined.
func joinedGroups(r *void.Result) map[int]*joined {
	out := map[int]*joined{}
	for _, c := range r.Compartments {
		j := out[c.Joined]
		if j == nil {
			j = &joined{units: map[int]bool{}}
			out[c.Joined] = j
		}
		for _, u := range spread.Units(c) {
			if u >= 0 {
				j.units[u] = true
			}
		}
		if c.Void != nil && (c.Void.Kind == void.KindWall || c.Void.Kind == void.KindChase) {
			j.walls += c.AreaM2
		} else {
			j.flat += c.AreaM2
		}
	}
	return out
}

// joins works out what openings join: the dwelling units and the area of every compartment
// that fire can reach through concealed spaces from either side. The area counts floor
// voids, attics and the like; that of wall cavities only where there is nothing else.
func joins(groups map[int]*joined, openings []*void.Opening) *finding.Joins {
	var in []int
	for _, o := range openings {
		if o.A != nil && o.B != nil && o.A.Joined == o.B.Joined && !slices.Contains(in, o.A.Joined) {
			in = append(in, o.A.Joined)
		}
	}
	if len(in) == 0 {
		return nil
	}
	slices.Sort(in)
	units := map[int]bool{}
	var flat, walls float64
	for _, k := range in {
		if g := groups[k]; g != nil {
			maps.Copy(units, g.units)
			flat, walls = flat+g.flat, walls+g.walls
		}
	}
	if flat == 0 {
		flat = walls
	}
	return &finding.Joins{Units: len(units), AreaM2: Round(flat, 1e-4)}
}

// finish gives every draft its point, key and consequences, and puts them in order.
func (in *Input) finish(drafts []draft) {
	f := newFrame(in)
	keys(in, f, drafts)
	causes := map[*void.Opening][]string{}
	for i := range drafts {
		d := &drafts[i]
		d.item.Point = in.modelPoint(d.report.Point, f)
		if d.report.Consequence || d.item.Outcome == finding.Meets || d.item.Outcome == finding.Note {
			continue
		}
		for _, o := range d.report.Openings {
			causes[o] = append(causes[o], d.item.Key)
		}
	}
	for i := range drafts {
		d := &drafts[i]
		if !d.report.Consequence {
			continue
		}
		for _, o := range d.report.Openings {
			for _, k := range causes[o] {
				if k != d.item.Key && !slices.Contains(d.item.ConsequenceOf, k) {
					d.item.ConsequenceOf = append(d.item.ConsequenceOf, k)
				}
			}
		}
	}
	for i := range drafts {
		slices.Sort(drafts[i].item.ConsequenceOf)
	}
	slices.SortStableFunc(drafts, func(a, b draft) int {
		return cmp.Or(
			cmp.Compare(a.report.Storey, b.report.Storey),
			finding.Natural(a.item.Place, b.item.Place),
			cmp.Compare(a.item.Key, b.item.Key),
		)
	})
}

// modelPoint is a point in the first model's coordinates; a report without one gets the
// middle of the building.
func (in *Input) modelPoint(p geom.Vec3, f *frame) [3]float64 {
	if p == (geom.Vec3{}) {
		p = f.middle
	}
	if in.Building.Model != nil {
		p = p.Add(in.Building.Model.Origin)
	}
	return [3]float64{Round(p.X, 1e-4), Round(p.Y, 1e-4), Round(p.Z, 1e-4)}
}
