// Package ifcjson reads IFC5 models (.ifcx): JSON layers whose nodes are composed over each
// other into one tree, from which the same building content is made as from the other
// syntaxes. Lengths are metres, as everywhere in IFC5. Files that a layer imports by address
// are never fetched; the log lists them.
package ifcjson

import (
	"crypto/sha1"
	"encoding/hex"
	"errors"
	"fmt"
	"path"
	"strings"
	"sync"

	"voidcheck/ifcx/geom"
	"voidcheck/ifcx/model"
	"voidcheck/ifcx/source"
)

// Read composes the layers in the order given: later ones win. Files that do not speak of
// the same project are models of their own, and each project is one content. The error names
// every file that is no IFC5 model, with line, column and JSON path.
func Read(files []*source.File, log *source.Log) ([]model.Content, error) {
	c := &content{log: log, files: map[*document]*layerFile{}}
	var errs []error
	for _, f := range files {
		d, err := parse(f, log)
		if err != nil {
			errs = append(errs, err)
			continue
		}
		c.docs = append(c.docs, d)
		c.files[d] = newLayerFile(d)
	}
	if len(errs) > 0 {
		return nil, errors.Join(errs...)
	}
	c.reportImports()
	comp := newComposer(c.docs, log)
	c.roots = comp.roots()
	if comp.full {
		return nil, fmt.Errorf("%s: composing its nodes gives more than %d of them or a depth of more than %d; a node is instanced without end", files[0].Name, maxNodes, maxDepth)
	}
	if !c.pickRoots() {
		return []model.Content{c}, nil
	}
	return c.split(), nil
}

// content is a composed model.
type content struct {
	log   *source.Log
	docs  []*document // the layers that it brings to the building
	roots []*node
	files map[*document]*layerFile // of all layers
	guest bool                     // its only layer was brought by another content
}

// layerFile is a layer as a file of the building. The material properties in it are gathered
// by every content that uses it.
type layerFile struct {
	*model.File
	mu   sync.Mutex
	mats map[string]model.PropSets
}

func newLayerFile(d *document) *layerFile {
	f := &layerFile{mats: map[string]model.PropSets{}}
	f.File = &model.File{Name: d.file.Name, SHA256: d.file.SHA256(), Schema: "IFC5", Tool: d.tool, Entities: len(d.nodes), LengthUnitM: 1, LengthUnit: "metre"}
	f.SetMaterialProps(func() map[string]model.PropSets { return f.mats })
	return f
}

// split makes one content of every tree. A layer belongs to the first that it says something
// of; one that says nothing of any belongs to the first.
func (c *content) split() []model.Content {
	says := map[string][]*document{} // path -> layers
	for _, d := range c.docs {
		for _, e := range d.nodes {
			if p := head(e.path); len(says[p]) == 0 || says[p][len(says[p])-1] != d {
				says[p] = append(says[p], d)
			}
		}
	}
	owner := map[*document]int{}
	guests := map[int]*document{}
	for i, r := range c.roots {
		seen := map[string]bool{}
		r.each(map[*node]bool{}, func(n *node) {
			p := head(n.class)
			if seen[p] {
				return
			}
			seen[p] = true
			for _, d := range says[p] {
				if _, ok := owner[d]; !ok {
					owner[d] = i
				}
				if guests[i] == nil {
					guests[i] = d
				}
			}
		})
	}
	out := make([]model.Content, len(c.roots))
	for i, r := range c.roots {
		own := &content{log: c.log, files: c.files, roots: []*node{r}}
		for _, d := range c.docs {
			if owner[d] == i { // layers that say nothing have owner 0
				own.docs = append(own.docs, d)
			}
		}
		if len(own.docs) == 0 {
			own.docs, own.guest = []*document{guests[i]}, true
		}
		out[i] = own
	}
	return out
}

// each visits a tree and what its nodes inherit from, every node once.
func (n *node) each(seen map[*node]bool, visit func(*node)) {
	if seen[n] {
		return
	}
	seen[n] = true
	visit(n)
	for _, t := range n.types {
		t.each(seen, visit)
	}
	for _, k := range n.children {
		k.each(seen, visit)
	}
}

// reportImports lists imports that no given file resolves.
func (c *content) reportImports() {
	given := map[string]bool{}
	for _, d := range c.docs {
		given[d.id] = d.id != ""
		given[path.Base(d.file.Name)] = true
	}
	for _, d := range c.docs {
		var open []string
		for _, uri := range d.imports {
			if !given[uri] && !given[path.Base(uri)] {
				open = append(open, uri)
			}
		}
		if len(open) > 0 {
			c.log.Add(source.Problem{File: d.file.Name, Code: "import-unresolved",
				Text: fmt.Sprintf("%d imports were not resolved (addresses are never fetched): %s", len(open), strings.Join(open, ", ")),
				Fix:  "if they hold model content, give those files along with this one"})
		}
	}
}

// pickRoots keeps the trees that hold a project, when there are any: what hangs nowhere else
// is a library of types and materials. Elements left out that way are named. It returns false
// when there is no project.
func (c *content) pickRoots() bool {
	var with, without []*node
	for _, r := range c.roots {
		if r.holds("IfcProject") {
			with = append(with, r)
		} else {
			without = append(without, r)
		}
	}
	if len(with) == 0 {
		return false
	}
	c.roots = with
	for _, r := range without {
		if n := r.countClassed(); n > 0 && len(r.children) > 0 {
			line, col := r.origin.file.Position(r.off)
			c.log.Add(source.Problem{Severity: source.Skipped, File: r.origin.file.Name, Line: line, Col: col, Entity: r.class, Code: "outside-project",
				Text: fmt.Sprintf("the node and %d others with a class hang under no project and are left out", n-1), Fix: "make it a child of a storey, or of another part of the project"})
		}
	}
	return true
}

func (n *node) holds(class string) bool {
	if n.code() == class {
		return true
	}
	for _, k := range n.children {
		if k.holds(class) {
			return true
		}
	}
	return false
}

func (n *node) countClassed() int {
	s := 0
	if n.code() != "" {
		s = 1
	}
	for _, k := range n.children {
		s += k.countClassed()
	}
	return s
}

// globalID makes an IFC GlobalId of a path: the usual 22 characters of a UUID, and of a hash
// of any other path. Instances of one node after the first are told apart by their place.
func globalID(p string) string {
	var b [16]byte
	if !parseUUID(p, &b) {
		h := sha1.Sum([]byte("ifcx path " + p)) // a name-based UUID, version 5 (RFC 9562)
		copy(b[:], h[:])
		b[6] = b[6]&0x0f | 0x50
		b[8] = b[8]&0x3f | 0x80
	}
	const digits = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz_$"
	out := make([]byte, 22)
	out[0], out[1] = digits[b[0]>>6], digits[b[0]&63]
	for i := range 5 {
		n := uint32(b[1+3*i])<<16 | uint32(b[2+3*i])<<8 | uint32(b[3+3*i])
		for k := range 4 {
			out[2+4*i+k] = digits[n>>(18-6*k)&63]
		}
	}
	return string(out)
}

// parseUUID reads 8-4-4-4-12 hexadecimal digits.
func parseUUID(s string, b *[16]byte) bool {
	if len(s) != 36 || s[8] != '-' || s[13] != '-' || s[18] != '-' || s[23] != '-' {
		return false
	}
	raw, err := hex.DecodeString(strings.ReplaceAll(s, "-", ""))
	if err != nil || len(raw) != 16 {
		return false
	}
	copy(b[:], raw)
	return true
}

// Anchor implements model.Content.
func (c *content) Anchor() (geom.Vec3, bool) {
	var pts []geom.Vec3
	for _, r := range c.roots {
		r.walk(geom.Identity(), func(n *node, m geom.Mat) {
			if a, ok := n.attrs[meshAttr]; ok && a.mesh != nil && len(a.mesh.points) > 0 {
				pts = append(pts, m.Point(a.mesh.points[0]))
			}
		})
	}
	return model.AnchorOf(pts)
}

// walk visits a tree with the transform of each node, parents first.
func (n *node) walk(parent geom.Mat, visit func(*node, geom.Mat)) {
	m := n.transform(parent)
	visit(n, m)
	for _, k := range n.children {
		k.walk(m, visit)
	}
}
