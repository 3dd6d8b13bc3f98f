package separationservice

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"voidcheck/checks"
	"voidcheck/checks/equipment"
	"voidcheck/checks/finding"
	"voidcheck/checks/place"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
)

// named are the kinds of service that an adoption may keep out of a wall.
var named = []equipment.Kind{equipment.Pipe, equipment.Duct, equipment.Machine, equipment.Appliance, equipment.Cable, equipment.Box, equipment.Light}

// kinds is the grammar of clear-cavity.
func kinds(entries []string) error {
	var known []string
	for _, k := range named {
		known = append(known, string(k))
	}
	for _, e := range entries {
		if !slices.Contains(known, e) {
			return fmt.Errorf("%q is no kind of service; known: %s", e, strings.Join(known, ", "))
		}
	}
	return nil
}

// run inside the cavity: this much along the wall or up it, metres; what is shorter passes
// through it and is a penetration.
const inside = 0.3

// cavities reports the services of some kinds that run in the cavity of a unit separation.
func cavities(ctx context.Context, p *checks.Pass, w *place.Words, out []string) error {
	if len(out) == 0 {
		return nil
	}
	in := &p.Building.Input
	for i := range in.Walls {
		if err := ctx.Err(); err != nil {
			return err
		}
		wall := &in.Walls[i]
		if wall.Separation < 0 || len(wall.Cavities) == 0 {
			continue
		}
		var elements []int
		var at geom.Vec3
		for k := range in.Parts {
			part := &in.Parts[k]
			if part.Role != void.RoleService || part.Mesh == nil || part.Element < 0 || part.Element >= len(p.Building.Things) || slices.Contains(elements, part.Element) {
				continue
			}
			if p.Building.Things[part.Element].Concept == recognise.Sprinkler || !slices.Contains(out, string(equipment.Of(p.Building, part.Element))) {
				continue
			}
			if m, ok := runsIn(wall, part.Mesh); ok {
				elements, at = append(elements, part.Element), at.Add(m)
			}
		}
		if len(elements) > 0 {
			inCavity(p, w, i, elements, at.Mul(1/float64(len(elements))))
		}
	}
	return nil
}

// runsIn reports whether a service lies within the cavity of a wall over some length, and its
// middle.
func runsIn(w *void.Wall, m *geom.Mesh) (geom.Vec3, bool) {
	lo, hi := w.Cavities[0].Lo-0.003, w.Cavities[len(w.Cavities)-1].Hi+0.003
	b := geom.EmptyBox() // along the wall, across it, up
	for _, v := range m.Verts {
		d := v.Plan().Sub(w.Origin)
		b = b.Extend(geom.Vec3{X: d.Dot(w.Dir), Y: d.Dot(w.Norm()), Z: v.Z})
	}
	if b.Min.Y < lo || b.Max.Y > hi {
		return geom.Vec3{}, false
	}
	along := math.Min(b.Max.X, w.Length) - math.Max(b.Min.X, 0)
	up := math.Min(b.Max.Z, w.Z1) - math.Max(b.Min.Z, w.Z0)
	if along <= 0 || up <= 0 || math.Max(along, up) < inside {
		return geom.Vec3{}, false
	}
	return m.Box().Center(), true
}

func inCavity(p *checks.Pass, w *place.Words, wall int, elements []int, at geom.Vec3) {
	x := &p.Building.Input.Walls[wall]
	var names []string
	for _, e := range elements {
		if n := w.Element(e); n != "" {
			names = append(names, n)
		}
	}
	r := checks.Report{
		Outcome: finding.Deficient, Evidence: finding.Modelled, Storey: x.Storey, Units: w.UnitList(x.Separation), Point: at, Aspect: "cavity",
		Place: w.Cavity(wall) + ", services in it", Elements: elements, Cause: "services in the cavity",
		Message: fmt.Sprintf("%s in the cavity of the unit separation (%s); the cavity of a common wall is kept clear of such services.", run1(len(elements)), place.Short(names, 5)),
		Remedy:  "Take these services out of the separation: into a furred wall in front of it, or another wall.",
	}
	if len(names) == 0 {
		r.Message = fmt.Sprintf("%s in the cavity of the unit separation; the cavity of a common wall is kept clear of such services.", run1(len(elements)))
	}
	switch x.Kind {
	case void.WallDouble, void.WallLiner:
		r.Outcome, r.Cause = finding.NotShown, "services between two rows of studs"
		r.Message += " Whether the two rows of studs are one common wall, or two walls that each unit has for itself, the model does not tell."
		r.Remedy = "Say whether this is a common wall; if it is, take these services out of it."
	}
	p.Report(r)
}

func run1(n int) string {
	if n == 1 {
		return "One service runs"
	}
	return fmt.Sprintf("%d services run", n)
}
