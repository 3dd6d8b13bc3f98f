package stopmaterial

import (
	"math"
	"regexp"
	"slices"
	"strings"
	"sync"

	"voidcheck/checks/lexicon"
	"voidcheck/checks/materials"
	"voidcheck/checks/recognise"
	"voidcheck/checks/void"
	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/model"
)

// thinLayer is the thickness below which a layer is a foil or a paint, metres.
const thinLayer = 0.0005

// slop is how far a drawn thickness may lie from the one that the type's name declares,
// metres: members are drawn a little clear of each other. Beyond it the solid counts.
const slop = 0.003

// SampleOf takes a sample of the parts of one element: thickness across the largest of
// them, or the thickness of its layers; materials; height.
func SampleOf(b *recognise.Building, parts []*void.Part) materials.Sample {
	var s materials.Sample
	if len(parts) == 0 {
		return s
	}
	main, lo, hi := parts[0], math.Inf(1), math.Inf(-1)
	for _, p := range parts {
		box := p.Mesh.Box()
		lo, hi = math.Min(lo, box.Min.Z), math.Max(hi, box.Max.Z)
		if math.Abs(p.Mesh.Volume()) > math.Abs(main.Mesh.Volume())*(1+1e-9) {
			main = p
		}
	}
	s.HeightM = hi - lo
	thick, _ := through(b, main)
	e := element(b, main.Element)
	if e == nil {
		s.Plies = []materials.Ply{{ThicknessM: thick}}
		return s
	}
	s.Words = []string{e.TypeName, e.Name, e.ObjectType, e.Description}
	s.Test = test(e)
	if d, ok := materials.Default().Declared(s.Words...); ok && math.Abs(d-thick) <= slop {
		thick = d
	}
	switch {
	case e.Layers != nil && len(e.Layers.Layers) > 0:
		s.Plies = plies(e.Layers, main, thick)
	case len(e.Materials) == 0:
		s.Plies = []materials.Ply{{Material: propertyMaterial(e), ThicknessM: thick}}
	default:
		s.Mixed = len(e.Materials) > 1
		for _, m := range e.Materials {
			s.Plies = append(s.Plies, materials.Ply{Material: m, ThicknessM: thick})
		}
	}
	return s
}

// through is how thick a stop is in the direction in which it stops fire: across the unit
// line for a block that stands over a wall, since in a narrow last bay a block may be less
// long than thick; across its largest face for any other. told is false for a block whose
// wall is not known.
func through(b *recognise.Building, p *void.Part) (d float64, told bool) {
	const beside, deepest = 0.15, 0.2 // beyond the wall's faces; thicker than that is no block, metres
	if p.Role != void.RoleBlock {
		return p.Mesh.OBB().Size()[2], true
	}
	if d, ok := inGap(b, p); ok {
		return d, true
	}
	box := p.Mesh.Box()
	mid := box.Center().Plan()
	for i := range b.Input.Walls {
		w := &b.Input.Walls[i]
		d := mid.Sub(w.Origin)
		t := d.Dot(w.Norm())
		if z := w.Heights(t).Hi; box.Min.Z < z-0.06 || box.Min.Z > z+0.3 {
			continue
		}
		if d.Dot(w.Dir) < 0 || d.Dot(w.Dir) > w.Length || t < w.Across.Lo-beside || t > w.Across.Hi+beside {
			continue
		}
		if x := span(p.Mesh, w, w.Norm()); x.Hi-x.Lo < deepest {
			return x.Hi - x.Lo, true
		}
	}
	return p.Mesh.OBB().Size()[2], false
}

// inGap is how thick a strip is that stands or lies in the air between two stud rows, against
// one of them or both: along the wall when it is upright, in height when it lies. Across the
// wall it is as narrow as the air, or as what a liner leaves of it, whatever it is made of.
func inGap(b *recognise.Building, p *void.Part) (float64, bool) {
	const touch, deepest = 0.005, 0.2 // how far a face may lie from the row's; more is no strip, metres
	box := p.Mesh.Box()
	for i := range b.Input.Walls {
		w := &b.Input.Walls[i]
		if z := box.Center().Z; len(w.Gaps) == 0 || z < w.Z0 || z > w.Z1 {
			continue
		}
		s, t := span(p.Mesh, w, w.Dir), span(p.Mesh, w, w.Norm())
		if s.Hi < 0 || s.Lo > w.Length {
			continue
		}
		d := math.Min(s.Hi-s.Lo, box.Max.Z-box.Min.Z)
		for _, g := range w.Gaps {
			inside := t.Lo >= g.Lo-touch && t.Hi <= g.Hi+touch
			if inside && d < deepest && (t.Lo <= g.Lo+touch || t.Hi >= g.Hi-touch) {
				return d, true
			}
		}
	}
	return 0, false
}

// span is the extent of a solid along a direction in plan, from a wall's origin.
func span(m *geom.Mesh, w *void.Wall, dir geom.Vec2) void.Span {
	x := void.Span{Lo: math.Inf(1), Hi: math.Inf(-1)}
	for _, v := range m.Verts {
		d := v.Plan().Sub(w.Origin).Dot(dir)
		x.Lo, x.Hi = math.Min(x.Lo, d), math.Max(x.Hi, d)
	}
	return x
}

func element(b *recognise.Building, i int) *model.Element {
	if i < 0 || i >= len(b.Things) {
		return nil
	}
	return b.Things[i].Element
}

// plies returns the layers that a part is made of: all of a stop's own, those within the
// part where it was cut out of a layered floor. A single layer is as thick as the solid.
func plies(l *model.LayerSet, p *void.Part, thick float64) []materials.Ply {
	lo, hi := math.Inf(-1), math.Inf(1)
	if p.Layered && l.Axis.Len() > 0 {
		lo, hi = math.Inf(1), math.Inf(-1)
		for _, v := range p.Mesh.Verts {
			d := v.Sub(l.Base).Dot(l.Axis)
			lo, hi = math.Min(lo, d), math.Max(hi, d)
		}
	}
	var out []materials.Ply
	at := 0.0
	for _, x := range l.Layers {
		mid := at + x.ThicknessM/2
		at += x.ThicknessM
		if x.ThicknessM < thinLayer || mid < lo || mid > hi {
			continue
		}
		name := x.Material
		if name == "" {
			name = x.Name
		}
		out = append(out, materials.Ply{Material: name, ThicknessM: x.ThicknessM})
	}
	if len(out) == 1 && thick < out[0].ThicknessM {
		out[0].ThicknessM = thick
	}
	return out
}

// reference is how tests, listings and approvals are cited.
var reference = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`(?i)\b(ASTM ?E ?-?\d{2,4}|UL ?-?\d{3,4}|ESR ?-?\d{3,5}|CAN/ULC-?S ?\d+|(?:DIN )?EN ?\d{4,5}(?:-\d+)?|ETA ?-?\d+/\d+)\b`)
})

// test returns the test or listing that an element names, "" for none.
func test(e *model.Element) string {
	for _, s := range []string{e.Name, e.TypeName, e.ObjectType, e.Description} {
		if m := reference().FindString(s); m != "" {
			return m
		}
	}
	var found []string
	for _, set := range e.Props() {
		for _, v := range set {
			if m := reference().FindString(v.Text); m != "" {
				found = append(found, m)
			}
		}
	}
	if len(found) == 0 {
		return ""
	}
	return slices.Min(found)
}

// materialProperty is what a property that names the material of an element is called: many
// exports write it as a property alone.
var materialProperty = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^((structural |main )?materials?( name)?|(haupt ?|bau ?)?material(name|bezeichnung)?|werkstoff|baustoff|materiau( structurel)?|material (estructural|principal)|(constructie ?)?materiaal|(konstruksjons ?)?materiale)$`)
})

// propertyMaterial is the material of an element as its properties alone name it, "" when none
// does or when they differ.
func propertyMaterial(e *model.Element) string {
	one := ""
	for _, set := range e.Props() {
		for name, v := range set {
			text := strings.TrimSpace(v.Text)
			if text == "" || v.IsNum || v.Bool != nil || len(v.List) > 0 || !materialProperty().MatchString(lexicon.Fold(name)) {
				continue
			}
			if one != "" && lexicon.Fold(one) != lexicon.Fold(text) {
				return ""
			}
			if one == "" || text < one {
				one = text
			}
		}
	}
	return one
}

// Against reports whether two boards lie face to face, so that they are layers of one stop.
func Against(a, b *geom.Mesh) bool {
	const touch = 0.002 // how far apart or into each other the faces may lie, metres
	x, y := a.OBB(), b.OBB()
	n := x.Axes[2]
	if math.Abs(n.Dot(y.Axes[2])) < 0.999 {
		return false
	}
	d := y.Center.Sub(x.Center)
	if math.Abs(math.Abs(d.Dot(n))-x.Half[2]-y.Half[2]) > touch {
		return false
	}
	for i := range 2 {
		u := x.Axes[i]
		half := 0.0 // of y along u
		for k := range y.Axes {
			half += math.Abs(y.Axes[k].Dot(u)) * y.Half[k]
		}
		common := x.Half[i] + half - math.Abs(d.Dot(u))
		if common < 1.6*math.Min(x.Half[i], half) { // four fifths of the smaller
			return false
		}
	}
	return true
}
