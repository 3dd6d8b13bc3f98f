package draftstopcomplete

import (
	"math"

	"voidcheck/checks"
	"voidcheck/checks/finding"
	"voidcheck/checks/grade"
	"voidcheck/checks/place"
	"voidcheck/checks/unitline"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// orientation notes a draftstop in a floor that runs across the framing members: it has to
// be cut round every chord and web, and the codes want it parallel to the members unless the
// building official approves otherwise (parallel: seen in 24 CFR 3280.216; the approval is
// from memory, so that this is a note).
func orientation(p *checks.Pass, w *place.Words, l *void.Line) {
	along := l.B.Sub(l.A)
	if along.Len() < 0.3 {
		return
	}
	n, across := 0, 0
	reach := geom.EmptyBox().Extend(geom.Vec3{X: l.A.X, Y: l.A.Y, Z: l.Z0}).Extend(geom.Vec3{X: l.B.X, Y: l.B.Y, Z: l.Z1}).Grow(0.05)
	for i := range p.Building.Input.Parts {
		part := &p.Building.Input.Parts[i]
		if part.Mesh == nil || part.Role != void.RoleChord && part.Role != void.RoleJoist || !part.Mesh.Box().Overlaps(reach) {
			continue
		}
		b := part.Mesh.OBB()
		d := b.Axes[0].Plan()
		if d.Len() < 0.9 || b.Size()[0] < 1 { // members, not their pieces
			continue
		}
		n++
		if math.Abs(d.Unit().Cross(along.Unit())) > 0.5 {
			across++
		}
	}
	if across < 2 || 2*across <= n {
		return
	}
	where := w.Void(l.Void)
	for _, e := range l.Elements {
		if name := w.Element(e); name != "" {
			where = "draftstop " + name + ", " + where
			break
		}
	}
	mid := l.A.Add(l.B).Mul(0.5)
	p.Report(checks.Report{
		Outcome: finding.Note, Evidence: grade.Weaker(finding.Modelled, grade.Evidence(l.Void)), Storey: l.Void.Storey, Units: l.Void.Units,
		Place: unitline.Join(where, "across the framing"), Point: geom.Vec3{X: mid.X, Y: mid.Y, Z: (l.Z0 + l.Z1) / 2}, Elements: l.Elements, Cause: "across the framing", Aspect: "orientation",
		Message: "This draftstop runs across the framing members and has to close round every chord and web; the codes want it parallel to the members unless the building official approves otherwise.",
	})
}
