// Package chimneyfireblock is the chimney-fireblock check.
package chimneyfireblock

import (
	"context"
	"fmt"
	"math"
	"slices"

	"voidcheck/checks"
	"voidcheck/checks/crossing"
	"voidcheck/checks/finding"
	"voidcheck/checks/grade"
	"voidcheck/checks/materials"
	"voidcheck/checks/place"
	"voidcheck/checks/stopmaterial"
	"voidcheck/checks/void"
)

// Check is the chimney-fireblock check.
var Check = &checks.Check{
	Name:  "chimney-fireblock",
	Title: "space round chimneys and fireplaces at floors and ceilings",
	Doc: "Where a chimney or fireplace passes a floor or a ceiling, the space between it and the framing is closed with noncombustible material about 1 in deep; wood does not satisfy it. " +
		"A modelled hole that stays open round the chimney is deficient; without a modelled hole and without any such filling in the submittal it is not shown. " +
		"Spacers and clearances of factory-built chimneys follow their listing, which is not evaluated.",
	Topic: "fireblocking of chimneys and fireplaces at floors and ceilings",
	Run:   run,
}

// fillings are what may close the space round a chimney.
var fillings = map[void.Role]bool{void.RoleSeal: true, void.RoleBlock: true, void.RoleInsulation: true, void.RoleSolid: true, void.RoleDraftstop: true}

// around is the building as the passages of chimneys are looked for: chimneys pass, floors
// and ceilings are passed, fillings seal.
func around(in *void.Input) (*void.Input, []int) {
	out := &void.Input{}
	var chimneys []int
	for _, p := range in.Parts {
		switch {
		case p.Role == void.RoleChimney:
			if len(chimneys) == 0 || chimneys[len(chimneys)-1] != p.Element {
				chimneys = append(chimneys, p.Element)
			}
			p.Role = void.RoleService
		case fillings[p.Role]:
			p.Role = void.RoleSeal
		case p.Role != void.RoleDeck && p.Role != void.RoleCeiling:
			continue
		}
		out.Parts = append(out.Parts, p)
	}
	return out, chimneys
}

func run(ctx context.Context, p *checks.Pass) error {
	w := place.New(p.Building, p.Voids, p.Units)
	in, chimneys := around(&p.Building.Input)
	if len(chimneys) == 0 {
		p.Report(checks.Report{Outcome: finding.Note, Evidence: finding.Modelled, Storey: -1, Place: "chimneys", Cause: "none modelled", Message: "No chimney or fireplace is modelled."})
		return nil
	}
	j := job{p, w}
	var untold []*crossing.Crossing
	list := crossing.Barriers(in, nil)
	shown := false
	for _, c := range list {
		c.Seals = slices.DeleteFunc(c.Seals, func(e int) bool { return !j.beside(c, e) })
		shown = shown || len(c.Seals) > 0
	}
	n := 0
	for _, c := range list {
		if err := ctx.Err(); err != nil {
			return err
		}
		if j.solid(c) {
			continue
		}
		n++
		switch {
		case len(c.Seals) > 0:
			j.filled(c)
		case c.Hole && c.RingM >= p.Building.Input.MaxGap*(1-1e-6) || shown:
			j.open(c)
		default:
			untold = append(untold, c)
		}
	}
	if len(untold) > 0 {
		j.untold(untold)
	}
	if n == 0 {
		p.Report(checks.Report{
			Outcome: finding.Note, Evidence: finding.Modelled, Storey: -1, Place: "chimneys", Cause: "no floor passed", Elements: chimneys,
			Message: "No modelled chimney passes a floor or ceiling of combustible construction: it stands beside them, or in a shaft.",
		})
	}
	return nil
}

type job struct {
	p *checks.Pass
	w *place.Words
}

// beside reports whether a part of an element lies round a passage. The boxes by which
// crossings look for seals are too large for boards and blocks that stand aslant.
func (j job) beside(c *crossing.Crossing, element int) bool {
	const play = 0.05 // metres
	for _, p := range j.parts(element) {
		b := p.Mesh.OBB()
		d := c.Point.Sub(b.Center)
		far := 0.0
		for k, axis := range b.Axes {
			if out := math.Abs(d.Dot(axis)) - b.Half[k]; out > 0 {
				far += out * out
			}
		}
		if math.Sqrt(far) <= c.WidthM/2*math.Sqrt2+math.Max(c.RingM, 0)+play {
			return true
		}
	}
	return false
}

// solid reports whether what a chimney passes is of concrete.
func (j job) solid(c *crossing.Crossing) bool {
	for _, e := range c.Barriers {
		if e < 0 || e >= len(j.p.Building.Things) || j.p.Building.Things[e].Element == nil {
			return false
		}
		masonry := false
		for _, m := range j.p.Building.Things[e].Element.Materials {
			r, ok := materials.Default().Class(m)
			masonry = masonry || ok && r.Class == "masonry"
		}
		if !masonry {
			return false
		}
	}
	return len(c.Barriers) > 0
}

// base is what all reports about one passage share.
func (j job) base(c *crossing.Crossing) (r checks.Report, what, through string) {
	name, what := j.w.Called("chimney", c.Services)
	through = "floor"
	if !c.Has(void.RoleDeck) {
		through = "ceiling"
	}
	return checks.Report{
		Evidence: finding.Modelled, Storey: j.w.StoreyAt(c.Point.Z, through == "ceiling"), Units: j.w.UnitsNear(c.Point), Point: c.Point,
		Place: name + " through the " + through, At: j.w.Spot(c.Point), Elements: append(append([]int(nil), c.Services...), c.Barriers...),
	}, what, through
}

const remedy = "Close the space round it with noncombustible material at least 1 in (25.4 mm) deep, or the listed spacer of a factory-built chimney, and show it."

// open reports a passage that nothing closes.
func (j job) open(c *crossing.Crossing) {
	r, what, through := j.base(c)
	r.Outcome, r.Cause, r.Remedy = finding.Deficient, "space round the chimney open", remedy
	r.Message = fmt.Sprintf("Nothing closes the space round %s where it passes the %s; others in this submittal are closed.", what, through)
	if c.Hole {
		r.Measured = grade.Metres(c.RingM)
		r.Message = fmt.Sprintf("The opening for %s through the %s leaves %s.", what, through, j.w.Ring(c.NarrowM, c.RingM))
	}
	j.p.Report(r)
}

// filled judges what closes a passage.
func (j job) filled(c *crossing.Crossing) {
	r, what, through := j.base(c)
	d := materials.Default()
	var best materials.Verdict
	for _, e := range c.Seals {
		v := d.Judge(stopmaterial.SampleOf(j.p.Building, j.parts(e)), d.List(materials.Chimney))
		if best.Outcome == "" || v.Outcome == finding.Meets || best.Outcome == finding.Deficient && v.Outcome == finding.NotShown {
			best = v
		}
	}
	r.Outcome, r.Evidence, r.Elements = best.Outcome, finding.Declared, append(r.Elements, c.Seals...)
	name := best.Material
	if name == "" {
		name = "an unnamed material"
	}
	switch best.Outcome {
	case finding.Meets:
		r.Message = fmt.Sprintf("The space round %s through the %s is closed with %s.", what, through, name)
	case finding.Deficient:
		r.Cause, r.Remedy = "combustible or too shallow", remedy
		r.Message = fmt.Sprintf("The space round %s through the %s is closed with %s, which is no noncombustible filling.", what, through, name)
		if best.Reason == materials.ReasonLow {
			r.Measured, r.Limit = grade.Metres(best.GotM), grade.Metres(best.Entry.HeightM)
			r.Message = fmt.Sprintf("The space round %s through the %s is closed with %s only %s deep.", what, through, name, j.w.Length(best.GotM))
		}
	default:
		r.Cause, r.Remedy = "filling not told", "Name its material and depth, or the listing that asks for it."
		r.Message = fmt.Sprintf("The space round %s through the %s is closed with %s; whether that is accepted cannot be told.", what, through, name)
	}
	j.p.Report(r)
}

func (j job) parts(element int) []*void.Part {
	var out []*void.Part
	for i := range j.p.Building.Input.Parts {
		if p := &j.p.Building.Input.Parts[i]; p.Element == element && p.Mesh != nil && fillings[p.Role] {
			out = append(out, p)
		}
	}
	return out
}

// untold reports passages for which the model shows neither hole nor filling, as one item.
func (j job) untold(list []*crossing.Crossing) {
	r, _, _ := j.base(list[0])
	if len(list) > 1 {
		r = checks.Report{Evidence: finding.Modelled, Storey: -1, Place: "chimneys through floors and ceilings"}
		for _, c := range list {
			r.Elements = append(append(r.Elements, c.Services...), c.Barriers...)
		}
	}
	r.Outcome, r.Cause = finding.NotShown, "fireblocking not shown"
	r.Message = fmt.Sprintf("Chimneys pass floors or ceilings at %d places; the model does not show what closes the space round them there.", len(list))
	if len(list) == 1 {
		r.Message = "A chimney passes a floor or ceiling; the model does not show what closes the space round it there."
	}
	r.Remedy = "Show the noncombustible filling round chimneys at each floor and ceiling, or a detail of it with its depth."
	j.p.Report(r)
}
