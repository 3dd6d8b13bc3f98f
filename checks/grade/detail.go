package grade

import (
	"slices"

	"voidcheck/checks/finding"
	"voidcheck/checks/void"
)

// Detail says how far a model goes: what it shows at all, and so what it means where
// something is not there. Looked up for every line and opening, it is worked out once.
type Detail struct {
	r      *void.Result
	shown  map[void.Role]bool
	stops  map[int]bool               // elements that are blocks or draftstops
	blocks bool                       // some wall cavity is closed by a block
	closed map[void.Kind][]*void.Line // closed unit lines; no more than two, in different places
	ends   bool                       // some line of a void known by its layers has a stop in it
}

// DetailOf works out the detail of a model and the voids found in it.
func DetailOf(in *void.Input, r *void.Result) *Detail {
	d := &Detail{r: r, shown: map[void.Role]bool{}, stops: map[int]bool{}, closed: map[void.Kind][]*void.Line{}}
	block := map[int]bool{}
	for i := range in.Parts {
		p := &in.Parts[i]
		d.shown[p.Role] = true
		if p.Role == void.RoleBlock || p.Role == void.RoleDraftstop {
			d.stops[p.Element] = true
		}
		if p.Role == void.RoleBlock && p.Element >= 0 {
			block[p.Element] = true
		}
	}
	any := func(elements []int) bool { return slices.ContainsFunc(elements, func(e int) bool { return block[e] }) }
	for _, c := range r.Cavities {
		d.blocks = d.blocks || slices.ContainsFunc(c.Levels, func(l void.WallLevel) bool { return any(l.Elements) }) ||
			slices.ContainsFunc(c.Runs, func(u void.WallRun) bool { return any(u.Elements) })
	}
	for _, l := range r.Lines {
		d.ends = d.ends || l.Void != nil && l.Void.Layered && d.Stops(l.Elements)
		if l.Kind != void.LineSeparation || l.Void == nil || len(l.Openings) > 0 {
			continue
		}
		if list := d.closed[l.Void.Kind]; len(list) == 0 || len(list) == 1 && elsewhere(list[0], l) {
			d.closed[l.Void.Kind] = append(list, l)
		}
	}
	return d
}

// elsewhere reports whether a unit line is of another separation or storey than another.
func elsewhere(a, b *void.Line) bool {
	return a.Separation != b.Separation || a.Void.Storey != b.Void.Storey
}

// Shows reports whether the model shows any part of the roles.
func (d *Detail) Shows(roles ...void.Role) bool {
	return slices.ContainsFunc(roles, func(r void.Role) bool { return d.shown[r] })
}

// Stops reports whether any of the elements is a modelled block or draftstop.
func (d *Detail) Stops(elements []int) bool {
	return slices.ContainsFunc(elements, func(e int) bool { return d.stops[e] })
}

// Absence grades a stop that is not there. It is deficient where the model is detailed
// enough to have shown it: the void is framed member by member, or stops of the roles are
// modelled elsewhere in the submittal. In a void known only by its layers, or by the boards
// round it without any framing, in a model without such stops, it is merely not shown.
func (d *Detail) Absence(v *void.Void, roles ...void.Role) finding.Outcome {
	if v == nil || !v.Layered && v.Framing != void.FramingUnknown || d.Shows(roles...) {
		return finding.Deficient
	}
	return finding.NotShown
}

// LineAbsence is Absence for a unit line. A model of layers that closes other unit lines of
// the same kind of void, by walls that run through or by stops, shows the difference: there an
// open line is a defect. Where all of them are open, the model leaves such things out: floors and roofs
// drawn as solids with layers end at their edges without the rims and blocks that stand there, whether two
// of them meet over a wall or end on either side of its gap. Blocks inside walls, and stops in voids that another
// model frames member by member, tell nothing of those ends.
func (d *Detail) LineAbsence(l *void.Line) finding.Outcome {
	if l.Bounds { // the wall itself stands in the void, and is seen to end short
		return finding.Deficient
	}
	if l.Void == nil || !l.Void.Layered || d.ends {
		return finding.Deficient
	}
	if l.Kind == void.LineSeparation && slices.ContainsFunc(d.closed[l.Void.Kind], func(o *void.Line) bool { return elsewhere(o, l) }) {
		return finding.Deficient
	}
	return finding.NotShown
}

// Untold returns the openings of the unit lines of a void that the model leaves untold, and
// how many separations they belong to: with stops there the void would end at them.
func (d *Detail) Untold(v *void.Void) ([]*void.Opening, int) {
	var open []*void.Opening
	seps := map[int]bool{}
	for _, l := range d.r.Lines {
		if l.Void == v && l.Kind == void.LineSeparation && len(l.Openings) > 0 && d.LineAbsence(l) == finding.NotShown {
			open = append(open, l.Openings...)
			seps[l.Separation] = true
		}
	}
	return open, len(seps)
}

// CavityAbsence is Absence for what should close a wall cavity. Stops of the kind are blocks
// in wall cavities: what stands above a unit line or across a floor void says nothing about
// how far the model goes into its walls. untold is true where nothing is modelled that tells.
func (d *Detail) CavityAbsence(v *void.Void, untold bool) finding.Outcome {
	if v != nil && (v.Layered || untold) && !d.blocks {
		return finding.NotShown
	}
	return finding.Deficient
}
