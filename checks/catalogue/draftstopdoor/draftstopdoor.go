// Package draftstopdoor is the draftstop-door check.
package draftstopdoor

import (
	"context"
	"fmt"

	"voidcheck/checks"
	"voidcheck/checks/access"
	"voidcheck/checks/finding"
	"voidcheck/checks/place"
	"voidcheck/checks/unitline"
	"voidcheck/checks/void"
)

// Check is the draftstop-door check.
var Check = &checks.Check{
	Name:  "draftstop-door",
	Title: "doors in openings through draftstops",
	Doc: "An opening for access through a draftstop has a door or hatch that closes by itself and latches. Openings of 0.4 m and more both ways that no service passes count as " +
		"openings for access; what fills them, or doors and hatches that stand in the sheet, are read for their properties (self-closing, latch) and words. How the door is built is for the reviewer.",
	Topic: "openings for access through draftstops",
	Run:   run,
}

func run(ctx context.Context, p *checks.Pass) error {
	w := place.New(p.Building, p.Voids, p.Units)
	list := access.Find(p.Building)
	for _, o := range list {
		judge(p, w, o)
	}
	stops := 0
	for i := range p.Building.Input.Parts {
		if p.Building.Input.Parts[i].Role == void.RoleDraftstop {
			stops++
		}
	}
	if len(list) == 0 && stops > 0 {
		p.Report(checks.Report{
			Outcome: finding.Note, Evidence: finding.Modelled, Storey: -1, Place: "openings through draftstops", Cause: "none modelled",
			Message: "No opening for access through a draftstop is modelled. Each part of an attic that draftstops divide wants its own access or a door to the next.",
		})
	}
	return ctx.Err()
}

func judge(p *checks.Pass, w *place.Words, o access.Opening) {
	line := lineOf(p, o.Stop)
	r := checks.Report{Evidence: finding.Declared, Storey: w.StoreyAt(o.Point.Z, false), Point: o.Point, Elements: []int{o.Stop}, Units: w.UnitsNear(o.Point)}
	where := "draftstop"
	if n := w.Element(o.Stop); n != "" {
		where += " " + n
	}
	if line != nil {
		r.Storey, r.Units = line.Void.Storey, line.Void.Units
		where = unitline.Join(w.Void(line.Void), where)
		if line.Kind == void.LineSeparation {
			r.Units = w.UnitList(line.Separation)
		}
	}
	size := w.Length(o.WidthM) + " x " + w.Length(o.HeightM)
	if o.Door < 0 {
		r.Outcome, r.Evidence, r.Cause, r.Place = finding.Deficient, finding.Modelled, "no door", where+", opening"
		r.Message = fmt.Sprintf("An opening of %s through the draftstop has no door.", size)
		r.Remedy = "Close the opening, or put a door or hatch in it that closes by itself, latches, and is built as the draftstop is."
		if holes := holesAt(p, o); len(holes) > 0 { // the hole itself is told by draftstop-complete
			r.Openings, r.Spaces, r.Consequence = holes, place.Ends(holes), true
		}
		p.Report(r)
		return
	}
	r.Elements = append(r.Elements, o.Door)
	name := "door"
	if n := w.Element(o.Door); n != "" {
		name = n
	}
	r.Place = where + ", " + name
	var lacks, open []string
	for _, q := range []struct {
		answer access.Answer
		word   string
	}{{o.Closes, "closes by itself"}, {o.Latches, "latches"}} {
		switch q.answer {
		case access.No:
			lacks = append(lacks, q.word)
		case access.Unsaid:
			open = append(open, q.word)
		}
	}
	r.Remedy = "Say in the door schedule that it closes by itself and latches, and that it is built as the draftstop is."
	switch {
	case len(lacks) > 0:
		r.Outcome, r.Cause = finding.Deficient, "door does not close and latch"
		r.Message = fmt.Sprintf("The model says that %s, %s, in the draftstop is no door that %s.", name, size, place.List(lacks))
		r.Remedy = "Use a door or hatch that closes by itself and latches."
	case len(open) > 0:
		r.Outcome, r.Cause = finding.NotShown, "door not described"
		r.Message = fmt.Sprintf("The model does not say whether %s, %s, in the draftstop %s.", name, size, place.List(open))
	default:
		r.Outcome, r.Remedy = finding.Meets, ""
		r.Message = fmt.Sprintf("%s, %s, in the draftstop closes by itself and latches, as the model says.", name, size)
	}
	p.Report(r)
}

// lineOf returns the line in which a draftstop stands, nil when there is none.
func lineOf(p *checks.Pass, stop int) *void.Line {
	for _, l := range p.Voids.Lines {
		for _, e := range l.Elements {
			if e == stop && l.Void != nil {
				return l
			}
		}
	}
	return nil
}

// holesAt returns the solver's openings in the place of an access opening.
func holesAt(p *checks.Pass, o access.Opening) []*void.Opening {
	var out []*void.Opening
	for _, x := range p.Voids.Openings {
		if x.Line == nil || x.Kind == void.OpenRing {
			continue
		}
		if x.Point.Sub(o.Point).Len() <= max(o.WidthM, o.HeightM)/2+0.1 {
			out = append(out, x)
		}
	}
	return out
}
