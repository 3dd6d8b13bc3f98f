// Package unitline judges the lines along which a horizontal void must be stopped: above a
// unit separation, and at a draftstop. The checks of floor voids, attics and draftstops share
// it, so that a gap reads the same in all of them.
package unitline

import (
	"fmt"
	"slices"
	"strings"

	"voidcheck/checks"
	"voidcheck/checks/finding"
	"voidcheck/checks/grade"
	"voidcheck/checks/place"
	"voidcheck/checks/void"
)

// Judge reports every unit line of the voids of one kind: one item for each opening at
// least gap metres wide and high, or one for the line where the model is too coarse to
// show stops at all, and one `meets` for what is closed.
func Judge(p *checks.Pass, w *place.Words, kind void.Kind, gap float64) {
	for _, l := range p.Voids.Lines {
		if l.Kind != void.LineSeparation || l.Void == nil || l.Void.Kind != kind {
			continue
		}
		bad := slices.DeleteFunc(grade.Gaps(l.Openings, gap), func(o *void.Opening) bool { return besideWall(l, o) })
		j := line{p, w, l, gap, p.Detail().Stops(l.Elements)}
		outcome := p.Detail().LineAbsence(l)
		switch {
		case len(bad) == 0 && l.Lost:
			j.lost()
		case len(bad) == 0:
			j.meets("")
		case outcome == finding.NotShown && !j.stopped:
			j.notShown(bad)
		default:
			for _, o := range oneRing(bad) {
				j.open(o, bad)
			}
			if l.Bays > len(bad) && !l.Lost && !throughout(l, bad) {
				j.meets("other bays")
			}
		}
	}
}

// besideWall reports whether an opening lies beyond the end of a unit line, between spaces of one
// and the same unit: where a deeper unit runs on past its neighbour, its void is its own.
func besideWall(l *void.Line, o *void.Opening) bool {
	if o.A == nil || o.B == nil || len(o.A.Units) != 1 || !slices.Equal(o.A.Units, o.B.Units) {
		return false
	}
	along := l.B.Sub(l.A)
	s := o.Point.Plan().Sub(l.A).Dot(along.Unit())
	return s < 0 || s > along.Len()
}

// throughout reports whether gaps take next to the whole length of a line: then no bay is left
// that is stopped.
func throughout(l *void.Line, bad []*void.Opening) bool {
	open := 0.0
	for _, o := range bad {
		open += o.WidthM
	}
	return open > 0.8*l.B.Sub(l.A).Len()
}

// line is one line under judgement.
type line struct {
	p   *checks.Pass
	w   *place.Words
	l   *void.Line
	gap float64
	// stopped is true when a modelled stop stands in the line.
	stopped bool
}

// Where names a unit line, and its side when the wall is double.
func Where(w *place.Words, l *void.Line, more ...string) string {
	parts := []string{w.UnitLine(l.Separation)}
	parts = append(parts, more...)
	parts = append(parts, w.Side(l))
	return Join(parts...)
}

// Join joins the parts of a place, empty ones left out.
func Join(parts ...string) string {
	var r []string
	for _, s := range parts {
		if s != "" {
			r = append(r, s)
		}
	}
	return strings.Join(r, ", ")
}

// ceiling is the lower bound of a void and top the upper, as remedies name them.
func top(v *void.Void) string {
	if v != nil && v.Kind == void.KindAttic {
		return "the underside of the roof sheathing"
	}
	return "the underside of the deck"
}

func (j line) base() checks.Report {
	return checks.Report{
		Evidence: grade.Evidence(j.l.Void), Storey: j.l.Void.Storey, Units: j.w.UnitList(j.l.Separation),
		Limit: grade.Metres(j.gap),
	}
}

// plumb says how a gap under a roof is measured. The codes ask for no gap at all there and so for
// no way to measure one; all heights are plumb, and a plumb gap is never less than one square to
// the slope.
func plumb(v *void.Void) string {
	if v != nil && v.Kind == void.KindAttic {
		return ", measured plumb,"
	}
	return ""
}

func (j line) meets(rest string) {
	r := j.base()
	r.Outcome, r.Limit = finding.Meets, nil
	r.Place = Where(j.w, j.l, rest)
	r.Point = middle(j.l)
	r.Elements = j.l.Elements
	what := place.Kind(j.l.Void.Kind)
	switch {
	case rest != "":
		r.Message = fmt.Sprintf("The other bays of this %s are stopped in line with the unit separation.", what)
	case j.l.Bounds:
		r.Message = fmt.Sprintf("The unit wall itself runs through the %s to %s.", what, top(j.l.Void))
		if j.short() { // the wall's own gap is told by the check of its continuity
			r.Message = fmt.Sprintf("The unit wall runs up into the %s; where it ends below %s, the framing against it closes what is left.", what, top(j.l.Void))
		}
		if j.l.BoardsAssumed {
			r.Evidence = finding.Assumed
			r.Message += " Its framing is modelled and no board of it is; the boards are taken for granted."
		}
	case j.l.Bays > 0:
		r.Message = fmt.Sprintf("The %s is stopped in line with the unit separation; %s looked at.", what, bays(j.l.Bays))
	default:
		r.Message = fmt.Sprintf("The %s is stopped in line with the unit separation.", what)
	}
	if !j.l.Bounds && j.l.Void.Framing == void.FramingI {
		r.Message += " I-joists count as closed from flange to flange: whether blocks leave slots beside the webs is for the reviewer."
	}
	j.p.Report(r)
}

// short reports whether the wall ends below the top of the void along some of its length.
func (j line) short() bool {
	return slices.ContainsFunc(j.l.Short, func(s void.Short) bool { return s.GapM >= j.gap })
}

func (j line) notShown(bad []*void.Opening) {
	r := j.base()
	r.Outcome, r.Cause = finding.NotShown, "stop not shown"
	r.Place = Where(j.w, j.l)
	r.Point = place.Middle(bad)
	r.Openings = bad
	r.Spaces = place.Ends(bad)
	if j.several() {
		r.At = j.w.Room(middle(j.l))
	}
	r.Message = fmt.Sprintf("The unit separation stops below the %s, and the model, which has no blocking and no draftstops anywhere, does not show what closes it there.", place.Kind(j.l.Void.Kind))
	r.Remedy = fmt.Sprintf("Show the blocking or draftstop above and in line with the separation, up to %s, or a detail of it.", top(j.l.Void))
	j.p.Report(r)
}

// lost reports a line of which an opening leads to where no concealed space was found.
func (j line) lost() {
	r := j.base()
	r.Outcome, r.Cause = finding.NotShown, "opening not followed"
	r.Place, r.Point, r.Elements = Where(j.w, j.l), middle(j.l), j.l.Elements
	r.Message = fmt.Sprintf("An opening of the %s in line with the unit separation leads to where no concealed space was found: whether it is closed cannot be told.", place.Kind(j.l.Void.Kind))
	r.Remedy = "Show what closes the void in line with the separation here, or a detail of it."
	j.p.Report(r)
}

func bays(n int) string {
	if n == 1 {
		return "one bay"
	}
	return fmt.Sprintf("%d bays", n)
}

// several reports whether the unit line has other stretches in voids of the same kind.
func (j line) several() bool {
	for _, l := range j.p.Voids.Lines {
		if l != j.l && l.Kind == j.l.Kind && l.Separation == j.l.Separation && l.Void != nil && l.Void.Kind == j.l.Void.Kind {
			return true
		}
	}
	return false
}

func (j line) open(o *void.Opening, all []*void.Opening) {
	r := j.base()
	r.Outcome, r.Cause = finding.Deficient, place.Gap(o.Kind)
	r.Evidence = j.found(o)
	at := j.w.Opening(o)
	r.At = j.w.OpeningAt(o)
	switch {
	case short(j.l.Void, o):
		at = Join("gap above the wall", at)
		r.Cause = "wall short of the top"
	case o.Kind != void.OpenBay:
		at = Join(place.Gap(o.Kind), at)
	}
	r.Place = Where(j.w, j.l, at)
	r.Point, r.Spaces, r.Openings = o.Point, place.Ends([]*void.Opening{o}), []*void.Opening{o}
	r.Elements = append(append([]int(nil), o.Members...), j.l.Elements...)
	if o.Kind == void.OpenBay || o.Kind == void.OpenLine {
		r.Elements = o.Members
	}
	r.Measured = grade.Metres(grade.Clear(o))
	r.Message, r.Remedy = Text(j.w, j.l.Void, o, "in line with the unit separation")
	ring(j.w, &r, o, all)
	j.p.Report(r)
}

// short reports whether an opening along a line is the rest above a wall that rises into the
// void, rather than the whole height of it.
func short(v *void.Void, o *void.Opening) bool {
	if v == nil || v.Kind == void.KindAttic && o.Line != nil && !o.Line.Bounds {
		return false // no wall rises there: under a gable half of the ridge's height is all there is
	}
	return o.Kind == void.OpenLine && v.HeightMaxM > 0 && o.HeightM < v.HeightMaxM/2
}

// oneRing leaves one opening of each service's ring, which may be found in pieces.
func oneRing(os []*void.Opening) []*void.Opening {
	seen := map[int]bool{}
	var r []*void.Opening
	for _, o := range os {
		if o.Kind == void.OpenRing && o.Service >= 0 {
			if seen[o.Service] {
				continue
			}
			seen[o.Service] = true
		}
		r = append(r, o)
	}
	return r
}

// ring makes a report about a service's ring name all its pieces, and follow from the check
// of services, which measures the ring and asks for its seal.
func ring(w *place.Words, r *checks.Report, o *void.Opening, all []*void.Opening) {
	if o.Kind != void.OpenRing || o.Service < 0 {
		return
	}
	r.Openings, r.Consequence, r.Measured, r.Limit = nil, true, nil, nil
	r.Elements = append(r.Elements, o.Service)
	for _, x := range all {
		if x.Kind == void.OpenRing && x.Service == o.Service {
			r.Openings = append(r.Openings, x)
		}
	}
	what := w.Element(o.Service)
	if what == "" {
		what = "a service"
	}
	r.Message = fmt.Sprintf("The stop is open round %s, which passes through it.", what)
}

// found grades the evidence of an opening: what is seen between modelled members or beside a
// modelled stop is modelled even where the rest of the void is known by its layers.
func (j line) found(o *void.Opening) finding.Evidence {
	e := grade.Evidence(j.l.Void)
	if e == finding.Declared && (j.stopped || len(o.Members) > 0) {
		return finding.Modelled
	}
	return e
}

// Text is the message and the remedy for an opening in a line through a void; where says
// what the line is in line with.
func Text(w *place.Words, v *void.Void, o *void.Opening, where string) (message, remedy string) {
	what := "floor void"
	if v != nil {
		what = place.Kind(v.Kind)
	}
	size := w.Size(o) + " clear"
	if short(v, o) {
		return fmt.Sprintf("The wall ends short of %s and leaves %s open above it%s over a width of %s.", top(v), w.Length(o.HeightM), plumb(v), w.Length(o.WidthM)),
			fmt.Sprintf("Carry the wall, or a draftstop of %s on it, tight up to %s.", w.Board(), top(v))
	}
	switch o.Kind {
	case void.OpenBay:
		message = fmt.Sprintf("No block closes this bay of the %s %s: %s.", what, where, size)
		remedy = fmt.Sprintf("Block the bay with %s or as the local code accepts, tight to the framing and up to %s.", w.Block(), top(v))
	case void.OpenLine:
		message = fmt.Sprintf("Nothing stops the %s %s: %s open.", what, where, w.Size(o))
		remedy = fmt.Sprintf("Carry the wall up, or put a draftstop of %s or as the local code accepts, in line with it, up to %s.", w.Board(), top(v))
	case void.OpenTop:
		message = fmt.Sprintf("The stop ends %s below %s%s over a width of %s.", w.Length(o.HeightM), strings.TrimPrefix(top(v), "the underside of "), plumb(v), w.Length(o.WidthM))
		remedy = fmt.Sprintf("Carry it up tight to %s.", top(v))
	case void.OpenBottom:
		message = fmt.Sprintf("The stop leaves %s open below it over a width of %s.", w.Length(o.HeightM), w.Length(o.WidthM))
		remedy = "Carry it down tight to the ceiling or the plate."
	case void.OpenEdge:
		message = fmt.Sprintf("The stop leaves %s open at its end, %s high.", w.Length(o.WidthM), w.Length(o.HeightM))
		remedy = "Carry it tight to the wall, rim or stop beside it."
	case void.OpenHole:
		message = fmt.Sprintf("A hole goes through the stop: %s.", size)
		remedy = "Close the hole, or seal round what passes through it as the local code accepts."
	case void.OpenRing:
		message = fmt.Sprintf("A ring of %s stays open round the service that passes through the stop.", w.Length(grade.Clear(o)))
		remedy = "Seal the ring with a material that the local code accepts."
	default:
		message = fmt.Sprintf("The %s is open %s: %s.", what, where, size)
		remedy = fmt.Sprintf("Close it with %s or as the local code accepts.", w.Block())
	}
	return message, remedy
}
