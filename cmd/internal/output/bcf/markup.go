package bcf

import (
	"strconv"
	"strings"

	"github.com/beevik/etree"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/output/archive"
)

// markup writes a topic's part.
func (t *topic) markup(r *finding.Report, v version) *etree.Document {
	doc := archive.Document()
	root := doc.CreateElement("Markup")
	header(root, r, v)
	e := root.CreateElement("Topic")
	e.CreateAttr("Guid", t.id)
	e.CreateAttr("TopicType", t.kind)
	e.CreateAttr("TopicStatus", t.status)
	e.CreateElement("Title").SetText(t.title)
	e.CreateElement("Priority").SetText(t.priority)
	e.CreateElement("Index").SetText(strconv.Itoa(t.number))
	if v == v30 {
		in := e.CreateElement("Labels")
		for _, l := range t.labels {
			in.CreateElement("Label").SetText(l)
		}
	} else {
		for _, l := range t.labels {
			e.CreateElement("Labels").SetText(l)
		}
	}
	e.CreateElement("CreationDate").SetText(r.Run.At)
	e.CreateElement("CreationAuthor").SetText(author)
	e.CreateElement("Stage").SetText(t.stage)
	e.CreateElement("Description").SetText(t.description)
	notes, views := root, root
	if v == v30 {
		notes, views = e.CreateElement("Comments"), e.CreateElement("Viewpoints")
	}
	for _, n := range t.notes {
		c := notes.CreateElement("Comment")
		c.CreateAttr("Guid", n.id)
		c.CreateElement("Date").SetText(r.Run.At)
		c.CreateElement("Author").SetText(author)
		c.CreateElement("Comment").SetText(n.text)
		c.CreateElement("Viewpoint").CreateAttr("Guid", n.view)
	}
	for i := range t.views {
		name := "ViewPoint"
		if v == v21 {
			name = "Viewpoints"
		}
		p := views.CreateElement(name)
		p.CreateAttr("Guid", t.views[i].id)
		p.CreateElement("Viewpoint").SetText(t.views[i].file)
		if i == 0 && t.snapshot != nil {
			p.CreateElement("Snapshot").SetText("snapshot.png")
		}
		p.CreateElement("Index").SetText(strconv.Itoa(i))
	}
	doc.Indent(1)
	return doc
}

// header names the model files.
func header(root *etree.Element, r *finding.Report, v version) {
	if len(r.Models) == 0 {
		return
	}
	in := root.CreateElement("Header")
	external := "isExternal"
	if v == v30 {
		in = in.CreateElement("Files")
		external = "IsExternal"
	}
	for _, m := range r.Models {
		f := in.CreateElement("File")
		f.CreateAttr(external, "true")
		f.CreateElement("Filename").SetText(text(m.File[strings.LastIndexAny(m.File, `/\\`)+1:]))
	}
}

// part writes a viewpoint.
func (w *view) part(v version) *etree.Document {
	doc := archive.Document()
	root := doc.CreateElement("VisualizationInfo")
	root.CreateAttr("Guid", w.id)
	w.components(root, v)
	c := root.CreateElement("PerspectiveCamera")
	vector(c, "CameraViewPoint", w.camera.at)
	vector(c, "CameraDirection", w.camera.look)
	vector(c, "CameraUpVector", w.camera.up)
	c.CreateElement("FieldOfView").SetText(number(fieldOfView))
	if v == v30 {
		c.CreateElement("AspectRatio").SetText(number(aspect))
	}
	if w.cut != nil {
		p := root.CreateElement("ClippingPlanes").CreateElement("ClippingPlane")
		vector(p, "Location", w.cut.at)
		vector(p, "Direction", w.cut.away)
	}
	doc.Indent(1)
	return doc
}

// components selects the elements; everything is visible but rooms and the like.
func (w *view) components(root *etree.Element, v version) {
	in := root.CreateElement("Components")
	hints := func(e *etree.Element) {
		h := e.CreateElement("ViewSetupHints")
		for _, a := range []string{"SpacesVisible", "SpaceBoundariesVisible", "OpeningsVisible"} {
			h.CreateAttr(a, "false")
		}
	}
	if v == v21 {
		hints(in)
	}
	if len(w.selected) > 0 {
		s := in.CreateElement("Selection")
		for _, id := range w.selected {
			c := s.CreateElement("Component")
			if isGlobalID(id) {
				c.CreateAttr("IfcGuid", id)
			} else { // an element of a format without GlobalIds goes by its own id
				c.CreateElement("AuthoringToolId").SetText(text(id))
			}
		}
	}
	seen := in.CreateElement("Visibility")
	seen.CreateAttr("DefaultVisibility", "true")
	if v == v30 {
		hints(seen)
	}
}

// isGlobalID reports whether an id has the form of an IFC GlobalId: 22 characters.
func isGlobalID(s string) bool {
	if len(s) != 22 {
		return false
	}
	for _, c := range []byte(s) {
		if !(c >= '0' && c <= '9' || c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' || c == '_' || c == '$') {
			return false
		}
	}
	return true
}

func vector(in *etree.Element, name string, v vec) {
	e := in.CreateElement(name)
	for i, axis := range []string{"X", "Y", "Z"} {
		e.CreateElement(axis).SetText(number(v[i]))
	}
}

// number prints with a tenth of a millimetre and no negative zero.
func number(f float64) string {
	s := strconv.FormatFloat(f, 'f', 4, 64)
	if s == "-0.0000" {
		return "0.0000"
	}
	return s
}

// name gives a viewpoint its id and file.
func (w *view) name(topic, key, file string) {
	w.id, w.file = guid("viewpoint", topic, key), file
}
