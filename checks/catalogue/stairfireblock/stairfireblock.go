// Package stairfireblock is the stair-fireblock check.
package stairfireblock

import (
	"context"
	"fmt"

	"voidcheck/checks"
	"voidcheck/checks/finding"
	"voidcheck/checks/place"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// Check is the stair-fireblock check.
var Check = &checks.Check{
	Name:  "stair-fireblock",
	Title: "fireblocks between stair stringers",
	Doc: "Where stringers are modelled and a board closes the underside of the run, the spaces between them are closed by blocks at the top and at the bottom. " +
		"A stair modelled as one solid shows nothing inside; a run that is open below conceals nothing; stairs of concrete or metal are only noted.",
	Topic: "fireblocking between stair stringers",
	Run:   run,
}

func run(ctx context.Context, p *checks.Pass) error {
	w := place.New(p.Building, p.Voids, p.Units)
	var whole, solid []*stair
	in := newAround(&p.Building.Input)
	for _, s := range find(p) {
		switch {
		case s.solid:
			solid = append(solid, s)
		case len(s.stringers) < 2:
			whole = append(whole, s)
		default:
			judge(p, w, in, s)
		}
	}
	if len(whole) > 0 {
		r := together(whole)
		r.Outcome, r.Cause, r.Place = finding.NotShown, "stringers not shown", "stairs"
		r.Message = fmt.Sprintf("%s modelled without stringers: whether the spaces between them are concealed, and closed at the top and bottom of the run, cannot be told.", are(len(whole)))
		r.Remedy = "Show the stringers with the blocks at the top and bottom of the run, or a section of the stair that tells them."
		p.Report(r)
	}
	if len(solid) > 0 {
		r := together(solid)
		r.Outcome, r.Cause, r.Place = finding.Note, "solid stairs", "stairs of concrete or metal"
		r.Message = fmt.Sprintf("%s of concrete, masonry or metal and conceal no combustible space by themselves.", are(len(solid)))
		p.Report(r)
	}
	return ctx.Err()
}

func are(n int) string {
	if n == 1 {
		return "One stair is"
	}
	return fmt.Sprintf("%d stairs are", n)
}

// together is a report about several stairs.
func together(list []*stair) checks.Report {
	r := checks.Report{Evidence: finding.Modelled, Storey: -1}
	for _, s := range list {
		r.Elements = append(r.Elements, s.elements...)
	}
	if len(list) == 1 {
		r.Point = list[0].box.Center()
	}
	return r
}

// judge looks at a run with stringers.
func judge(p *checks.Pass, w *place.Words, in *around, s *stair) {
	base := checks.Report{Evidence: finding.Modelled, Storey: w.StoreyAt(s.box.Min.Z, false), Elements: s.elements, Point: s.box.Center(), Place: "stair"}
	base.Units, base.At = w.UnitsNear(s.box.Center()), w.Room(s.box.Center())
	for _, e := range s.elements {
		if n := w.Element(e); n != "" {
			base.Place = place.Named("stair", n)
			break
		}
	}
	if !s.closed(in) {
		r := base
		r.Outcome, r.Cause = finding.Note, "open below"
		r.Message = "No board closes the underside of this run, so that no space between its stringers is concealed."
		if !p.Detail().Shows(void.RoleCeiling, void.RoleSoffitBoard) {
			r.Outcome, r.Cause = finding.NotShown, "underside not shown"
			r.Message = "Neither ceilings nor boards under stairs are modelled: whether the spaces between these stringers are concealed cannot be told."
			r.Remedy = "Show what closes the underside of the stair, and the blocks at the top and bottom of the run."
		}
		p.Report(r)
		return
	}
	for _, end := range []struct {
		top  bool
		word string
	}{{false, "bottom"}, {true, "top"}} {
		r := base
		n, shut, blocks := s.bays(in, end.top)
		r.Place += ", " + end.word + " of the run"
		r.Elements = append(append([]int(nil), s.elements...), blocks...)
		r.Point = s.end(end.top)
		if shut == n {
			r.Outcome = finding.Meets
			r.Message = fmt.Sprintf("Blocks close the spaces between the stringers at the %s of the run.", end.word)
			p.Report(r)
			continue
		}
		r.Outcome, r.Cause = finding.Deficient, "no block at the "+end.word
		r.Message = fmt.Sprintf("%d of %d spaces between the stringers %s open at the %s of the run, and a board conceals them.", n-shut, n, isOrAre(n-shut), end.word)
		if n == 1 {
			r.Message = fmt.Sprintf("The space between the stringers is open at the %s of the run, and a board conceals it.", end.word)
		}
		r.Remedy = fmt.Sprintf("Block between the stringers at the %s with %s or as the local code accepts.", end.word, w.Block())
		p.Report(r)
	}
}

func isOrAre(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}

// end is the middle of one end of a run.
func (s *stair) end(top bool) geom.Vec3 {
	var m geom.Vec3
	for _, x := range s.stringers {
		if top {
			m = m.Add(x.high)
		} else {
			m = m.Add(x.low)
		}
	}
	return m.Mul(1 / float64(len(s.stringers)))
}
