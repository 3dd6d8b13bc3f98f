package floormembrane

import (
	"cmp"
	"math"
	"slices"

	"voidcheck/checks"
	"voidcheck/checks/materials"
	"voidcheck/checks/stopmaterial"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// boardsAlike are boards with one verdict.
type boardsAlike struct {
	verdict  materials.Verdict // of the thinnest
	elements []int             // the thinnest first, then by place
}

// judged is one board under a void with what it is judged to be.
type judged struct {
	element int
	verdict materials.Verdict
	off     float64 // from the middle of the void
	at      geom.Vec3
}

// verdicts judges the boards under a void: by verdict, with the elements. Which board an item
// measures and names first depends on thickness and place and not on the order of the file.
func (x *index) verdicts(p *checks.Pass, v *void.Void) map[string]*boardsAlike {
	d := materials.Default()
	var list []judged
	for e, parts := range x.boards(v) {
		b := judged{element: e, verdict: d.Judge(stopmaterial.SampleOf(p.Building, parts), d.List(materials.Membrane))}
		box := geom.EmptyBox()
		for _, part := range parts {
			box = box.Join(part.Mesh.Box())
		}
		b.at = box.Center()
		if len(v.Compartments) > 0 {
			b.off = b.at.Sub(v.Compartments[0].Point).Len()
		}
		list = append(list, b)
	}
	slices.SortFunc(list, func(a, b judged) int {
		return cmp.Or(step(a.verdict.GotM, b.verdict.GotM, 1e-4), step(a.off, b.off, 1e-3),
			step(a.at.Z, b.at.Z, 1e-3), step(a.at.X, b.at.X, 1e-3), step(a.at.Y, b.at.Y, 1e-3), a.element-b.element)
	})
	out := map[string]*boardsAlike{}
	for i := range list {
		b := &list[i]
		k := string(b.verdict.Outcome) + "|" + b.verdict.Reason + "|" + b.verdict.Material
		if out[k] == nil {
			out[k] = &boardsAlike{verdict: b.verdict}
		}
		out[k].elements = append(out[k].elements, b.element)
	}
	return out
}

// step compares two figures in steps, so that rounding does not decide.
func step(a, b, by float64) int { return cmp.Compare(math.Round(a/by), math.Round(b/by)) }
