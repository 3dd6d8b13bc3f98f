// Package floormembrane is the floor-membrane check.
package floormembrane

import (
	"context"
	"fmt"
	"slices"

	"voidcheck/checks"
	"voidcheck/checks/adoption"
	"voidcheck/checks/equipment"
	"voidcheck/checks/finding"
	"voidcheck/checks/grade"
	"voidcheck/checks/materials"
	"voidcheck/checks/place"
	"voidcheck/checks/spread"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// Check is the floor-membrane check.
var Check = &checks.Check{
	Name:  "floor-membrane",
	Title: "protection of the underside of light floor framing",
	Doc: "The underside of floor framing carries 1/2 in gypsum board, 5/8 in wood structural panel or the like. Taken instead: solid joists of at least 2x10 nominal; a crawl space below " +
		"without fuel-fired equipment; unprotected portions that sum up to no more than the exempt area on a storey of a dwelling and are closed at their edges. Open-web trusses and I-joists never qualify by their depth. " +
		"Sprinklers below are an exception of the adoption file. Strips under 0.12 m wide, over walls and between boards, do not count as unprotected.",
	Topic: "membrane protection of floor framing",
	Params: []adoption.Param{{
		Name: "exempt-area", Kind: adoption.Area, Default: "80 ft2",
		Doc:    "largest sum of unprotected portions on one storey of a dwelling",
		Source: "IRC R302.13 exception 3 (seen in SBCA floor-protection page and Philadelphia B-711.3.3)",
	}},
	Run: run,
}

// job is one run of the check.
type job struct {
	p        *checks.Pass
	w        *place.Words
	x        *index
	limit    float64
	limited  bool
	ceilings bool // some ceiling is modelled in the submittal
	untold   map[string]*boardsAlike
}

// floor is the storey of one dwelling with its unprotected portions.
type floor struct {
	storey int
	units  []int
	open   []portion
}

func run(ctx context.Context, p *checks.Pass) error {
	j := &job{p: p, w: place.New(p.Building, p.Voids, p.Units), x: newIndex(&p.Building.Input), ceilings: p.Detail().Shows(void.RoleCeiling), untold: map[string]*boardsAlike{}}
	j.limit, j.limited = p.Limits.Get("exempt-area")
	var floors []*floor
	var bare []*void.Void // no ceilings are modelled anywhere
	opens, err := j.x.portionsOf(ctx, p.Voids.Voids)
	if err != nil {
		return err
	}
	for i, v := range p.Voids.Voids {
		if !looksAt(v) {
			continue
		}
		open, boards := opens[i], j.x.verdicts(p, v)
		j.boards(v, boards)
		switch {
		case len(open) == 0 && j.protected(v, boards):
		case j.excused(v, len(open) > 0):
		case len(open) == 0: // its boards are told
		case !j.ceilings:
			bare = append(bare, v)
		default:
			i := slices.IndexFunc(floors, func(f *floor) bool { return f.storey == v.Storey && slices.Equal(f.units, v.Units) })
			if i < 0 {
				floors, i = append(floors, &floor{storey: v.Storey, units: v.Units}), len(floors)
			}
			floors[i].open = append(floors[i].open, open...)
		}
	}
	for _, f := range floors {
		j.floor(f)
	}
	if len(bare) > 0 {
		j.bare(bare)
	}
	j.tellUntold()
	return nil
}

func (j *job) base(v *void.Void) checks.Report {
	r := checks.Report{Evidence: grade.Evidence(v), Storey: v.Storey, Units: v.Units, Place: j.w.Void(v) + ", underside", Voids: []*void.Void{v}}
	if len(v.Compartments) > 0 {
		r.Point = v.Compartments[0].Point
	}
	return r
}

// protected reports a void whose underside is covered with accepted boards, and whether it is.
func (j *job) protected(v *void.Void, boards map[string]*boardsAlike) bool {
	for _, x := range boards {
		if x.verdict.Outcome != finding.Meets {
			return false
		}
	}
	r := j.base(v)
	r.Outcome = finding.Meets
	r.Evidence = grade.Weaker(finding.Declared, r.Evidence)
	r.Message = "Boards of an accepted material and thickness cover the underside of this floor framing."
	j.p.Report(r)
	return true
}

// boards reports boards that are too thin or of no accepted material, and collects those
// whose material is not told.
func (j *job) boards(v *void.Void, list map[string]*boardsAlike) {
	var keys []string
	for k := range list {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	for _, k := range keys {
		x := list[k]
		switch x.verdict.Outcome {
		case finding.Deficient:
			if kind, _, _ := j.x.joistsOf(v); kind == large || kind == deepLayer {
				continue // the joists need none
			}
			r := j.base(v)
			r.Outcome, r.Evidence, r.Cause, r.Elements = finding.Deficient, grade.Weaker(finding.Declared, r.Evidence), "board "+x.verdict.Reason, x.elements
			r.Place += ", " + x.verdict.Material
			r.Message = fmt.Sprintf("The board under this floor framing is of %s, which is %s.", x.verdict.Material, x.verdict.Reason)
			if x.verdict.Reason == materials.ReasonThin {
				r.Measured, r.Limit = grade.Metres(x.verdict.GotM), grade.Metres(x.verdict.Entry.ThicknessM)
				got, least := j.w.Pair(x.verdict.GotM, x.verdict.Entry.ThicknessM, "m")
				r.Message = fmt.Sprintf("The board under this floor framing is of %s, %s thick; at least %s is wanted.", x.verdict.Material, got, least)
			}
			r.Remedy = "Use 1/2 in (12.7 mm) gypsum board, 5/8 in (15.9 mm) wood structural panel or an equivalent that the local code accepts."
			j.p.Report(r)
		case finding.NotShown:
			if j.untold[k] == nil {
				j.untold[k] = &boardsAlike{verdict: x.verdict}
			}
			for _, e := range x.elements {
				if !slices.Contains(j.untold[k].elements, e) {
					j.untold[k].elements = append(j.untold[k].elements, e)
				}
			}
		}
	}
}

// tellUntold reports ceilings whose material is not told, one item for each cause.
func (j *job) tellUntold() {
	var keys []string
	for k := range j.untold {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	for _, k := range keys {
		x := j.untold[k]
		name := x.verdict.Material
		if name == "" {
			name = "an unnamed material"
		}
		r := checks.Report{Outcome: finding.NotShown, Evidence: finding.Declared, Storey: -1, Place: "ceilings of " + name, Cause: x.verdict.Reason, Elements: x.elements}
		show := x.verdict.Show
		if show == "" {
			show = "the product and its thickness, or its approval"
		}
		r.Message = fmt.Sprintf("%d ceilings below floor framing are of %s: %s.", len(x.elements), name, x.verdict.Reason)
		if len(x.elements) == 1 {
			r.Message = fmt.Sprintf("A ceiling below floor framing is of %s: %s.", name, x.verdict.Reason)
		}
		if x.verdict.Reason == materials.ReasonNear {
			r.Measured, r.Limit = grade.Metres(x.verdict.GotM), grade.Metres(x.verdict.Entry.ThicknessM)
		}
		r.Remedy = "Show " + show + "."
		j.p.Report(r)
	}
}

// excused reports a void that needs no membrane, and whether it does. bare is set where its
// underside is not covered: only then does it matter that nothing tells the framing.
func (j *job) excused(v *void.Void, bare bool) bool {
	r := j.base(v)
	r.Outcome = finding.Exempt
	kind, width, depth := j.x.joistsOf(v)
	_, _, nominal := materials.Default().Joist()
	switch {
	case kind == large:
		r.Evidence = finding.Modelled // the joists are, whatever is known of the ceiling
		r.Cause = "joists of at least " + nominal
		r.Message = fmt.Sprintf("The floor is of solid joists of %s x %s, at least %s nominal; its underside needs no membrane.", j.w.Length(width), j.w.Length(depth), nominal)
	case kind == deepLayer:
		r.Cause, r.Evidence = "joists of at least "+nominal, grade.Weaker(finding.Declared, r.Evidence)
		r.Message = fmt.Sprintf("The floor's layer of solid joists is %s deep, as joists of at least %s nominal are; their width is not shown. Its underside needs no membrane.", j.w.Length(depth), nominal)
	case v.Kind == void.KindCrawl && !j.fuel(v):
		r.Cause = "crawl space below"
		r.Message = "Below is a crawl space; where it is not meant for storage or fuel-fired appliances, the framing above it needs no membrane."
	case bare && v.Framing == void.FramingUnknown && v.Layered:
		r.Outcome, r.Cause = finding.NotShown, "floor framing not shown"
		r.Message = fmt.Sprintf("The underside of this floor has no board, and its framing is not shown: solid joists of at least %s nominal would need none.", nominal)
		r.Remedy = "Show the floor framing with its sizes, or the membrane below it."
		j.p.Report(r)
		return true
	default:
		return false
	}
	r.Exemption = r.Cause
	j.p.Report(r)
	return true
}

// fuel reports whether a machine stands in a void.
func (j *job) fuel(v *void.Void) bool {
	return slices.ContainsFunc(v.Services, func(e int) bool { return equipment.Of(j.p.Building, e) == equipment.Machine })
}

// floor judges the unprotected portions of one storey of a dwelling.
func (j *job) floor(f *floor) {
	sum, closed := 0.0, true
	r := checks.Report{Storey: f.storey, Units: f.units, Place: "floor framing, underside"}
	if len(f.units) > 0 {
		r.Place = "floor framing of " + j.w.Units(f.units) + ", underside"
	}
	var at geom.Vec3
	for i := range f.open {
		o := &f.open[i]
		sum += o.area
		closed = closed && o.whole && !j.leads(o.comp)
		at = at.Add(o.point.Mul(o.area))
		r.Evidence = grade.Weaker(r.Evidence, grade.Evidence(o.void))
		if !slices.Contains(r.Voids, o.void) {
			r.Voids = append(r.Voids, o.void)
		}
	}
	r.Point = at.Mul(1 / sum)
	r.Measured = grade.SquareMetres(sum)
	count, portions, sums := fmt.Sprintf("%d portions", len(f.open)), fmt.Sprintf("%d portions", len(f.open)), "sum up to"
	if len(f.open) == 1 {
		count, portions, sums = "One portion", "one portion", "measures"
	}
	board := "Cover the underside with 1/2 in (12.7 mm) gypsum board, 5/8 in (15.9 mm) wood structural panel or an equivalent that the local code accepts, or show the exception that applies."
	switch {
	case !j.limited || grade.Over(sum, j.limit):
		r.Outcome, r.Cause, r.Remedy = finding.Deficient, "underside not protected", board
		r.Message = fmt.Sprintf("The underside of this floor framing (%s) has no board over %s.", place.Framing(f.open[0].void.Framing), j.w.Area(sum))
		if j.limited {
			r.Limit = grade.SquareMetres(j.limit)
			area, most := j.w.Pair(sum, j.limit, "m2")
			r.Message = fmt.Sprintf("The underside of this floor framing (%s) has no board over %s in %s; up to %s on a storey may be left without.", place.Framing(f.open[0].void.Framing), area, portions, most)
		}
	case closed:
		area, most := j.w.Pair(sum, j.limit, "m2")
		r.Outcome, r.Cause, r.Limit = finding.Exempt, "small portions", grade.SquareMetres(j.limit)
		r.Exemption = "unprotected portions of up to " + most + " on a storey, closed at their edges"
		r.Message = fmt.Sprintf("%s of the underside without a board %s %s, no more than %s, and the void is closed at the edges.", count, sums, area, most)
	default:
		area, most := j.w.Pair(sum, j.limit, "m2")
		r.Outcome, r.Cause, r.Limit = j.p.Detail().Absence(f.open[0].void, void.RoleBlock, void.RoleDraftstop), "edges of unprotected portions open", grade.SquareMetres(j.limit)
		r.Message = fmt.Sprintf("%s of the underside without a board %s %s, no more than %s, but the void is not closed along the edges.", count, sums, area, most)
		r.Remedy = fmt.Sprintf("Block the floor void along the edges of the unprotected portions with %s or as the local code accepts, or cover them.", j.w.Block())
	}
	j.p.Report(r)
}

// leads reports whether an opening leads from a compartment into another horizontal void.
func (j *job) leads(c *void.Compartment) bool {
	for _, o := range j.p.Voids.Openings {
		if (o.A == c || o.B == c) && o.A != nil && o.B != nil && o.A != o.B && spread.Passes(o, j.p.Building.Input.MaxGap) {
			other := o.A
			if other == c {
				other = o.B
			}
			if other.Void != nil && (other.Void.Kind == void.KindFloor || other.Void.Kind == void.KindCrawl) {
				return true
			}
		}
	}
	return false
}

// bare reports the floors of a submittal without any ceiling as one item.
func (j *job) bare(list []*void.Void) {
	r := checks.Report{Outcome: finding.NotShown, Evidence: finding.Modelled, Storey: -1, Place: "floor framing, underside", Cause: "ceilings not shown", Voids: list}
	if len(list) > 0 && len(list[0].Compartments) > 0 {
		r.Point = list[0].Compartments[0].Point
	}
	r.Message = "The submittal models no ceilings at all: whether the underside of the floor framing is protected cannot be told."
	r.Remedy = "Show the boards under the floor framing with material and thickness, or the exception that applies to each floor."
	j.p.Report(r)
}
