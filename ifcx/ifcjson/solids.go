package ifcjson

import (
	"bytes"
	"slices"
	"strings"
	"sync"

	"github.com/go-json-experiment/json/jsontext"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/model"
	"voidcheck/ifcx/shape"
	"voidcheck/ifcx/source"
)

// placed is a mesh with its transform into the building frame.
type placed struct {
	mesh *meshData
	at   geom.Mat
}

// helpers are children of an element that describe how its body was made, beside the body.
var helpers = []string{"axis", "directrix", "basis", "footprint", "box", "profile"}

// solids gathers the meshes of a node: its own and those of its descendants that are no
// elements or boundaries themselves. Invisible descendants are not matter. m is the node's
// own transform.
func (n *node) solids(m geom.Mat) []placed {
	var out []placed
	if a := n.attrs[meshAttr]; a.mesh != nil && len(a.mesh.tris) > 0 {
		out = append(out, placed{a.mesh, m})
	}
	hasBody := false
	for _, k := range n.children {
		hasBody = hasBody || strings.HasPrefix(strings.ToLower(k.name), "body")
	}
	for _, k := range n.children {
		if k.code() != "" || k.invisible() || k.has(boundaryAttr) || hasBody && isHelper(k.name) {
			continue
		}
		out = append(out, k.solids(k.transform(m))...)
	}
	return out
}

func isHelper(name string) bool {
	name = strings.ToLower(name)
	for _, h := range helpers {
		if strings.HasPrefix(name, h) {
			return true
		}
	}
	return false
}

// axisLine returns the points of a child "Axis", nil without one.
func (n *node) axisLine(m geom.Mat) []geom.Vec3 {
	for _, k := range n.children {
		a, ok := k.attrs[curvesAttr]
		if !ok || !strings.HasPrefix(strings.ToLower(k.name), "axis") {
			continue
		}
		at := k.transform(m)
		for _, x := range members(a.val) {
			if x.name != "points" {
				continue
			}
			pts, err := readPoints(jsontext.NewDecoder(bytes.NewReader(x.val)))
			if err != nil {
				return nil
			}
			for i := range pts {
				pts[i] = at.Point(pts[i])
			}
			return pts
		}
	}
	return nil
}

// body returns the function that makes a node's body once.
func (b *builder) body(n *node, parts []placed, axis func() []geom.Vec3) func() *shape.Body {
	return sync.OnceValue(func() *shape.Body {
		var line []geom.Vec3
		if axis != nil && len(parts) > 0 {
			line = axis()
		}
		out := body(parts, line)
		if out != nil && !model.Near(out) {
			b.problem(n, source.Skipped, "geometry-far", "its geometry reaches further than any building stands from it, or has no finite size; it is left out", "look at the element in the authoring tool and export it again")
			return nil
		}
		if out != nil && slices.ContainsFunc(out.Solids, func(s shape.Solid) bool { return s.Open }) {
			b.problem(n, source.Warning, "open-surface", "the faces of its mesh do not close, so it bounds no volume", "look at the element in the authoring tool and export it again")
		}
		return out
	})
}

// body makes solids of meshes. Faces that repeat their corners are welded, so that a closed
// mesh is known as closed; a mesh turned inside out is turned back.
func body(parts []placed, axis []geom.Vec3) *shape.Body {
	if len(parts) == 0 {
		return nil
	}
	b := &shape.Body{Box: geom.EmptyBox(), AxisLine: axis}
	for _, p := range parts {
		m := (&geom.Mesh{Verts: p.mesh.points, Tris: p.mesh.tris}).Transform(p.at).Welded(geom.Weld)
		if len(m.Tris) == 0 {
			continue
		}
		if m.Volume() < 0 {
			m = m.Flipped()
		}
		b.Solids = append(b.Solids, shape.Solid{Mesh: m, Kind: meshAttr, Open: !m.IsClosed()})
		b.Box = b.Box.Join(m.Box())
	}
	if len(b.Solids) == 0 {
		return nil
	}
	return b
}
