// Package bcf writes comments as topics of the BIM Collaboration Format, versions 3.0 and
// 2.1: each topic with its places, viewpoints whose camera frames them, and the elements by
// GlobalId. The same findings give the same bytes, and a comment keeps its id from round to
// round. Source: the format's schemas and documentation, buildingSMART.
package bcf

import (
	"io"

	"github.com/beevik/etree"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/output/archive"
)

// version is a version of the format.
type version int

const (
	v21 version = iota
	v30
)

// Write writes version 3.0.
func Write(w io.Writer, r *finding.Report) error { return write(w, r, v30) }

// Write21 writes version 2.1.
func Write21(w io.Writer, r *finding.Report) error { return write(w, r, v21) }

func write(w io.Writer, r *finding.Report, v version) error {
	a := archive.New(w)
	a.XML("bcf.version", versionPart(v))
	topics, err := topicsOf(r)
	if err != nil {
		return err
	}
	lists := listsOf(topics)
	a.XML("project.bcfp", projectPart(r, v))
	if v == v30 {
		a.XML("extensions.xml", lists.part30())
	} else {
		a.XML("extensions.xsd", lists.part21())
	}
	for _, t := range topics {
		a.Folder(t.id + "/")
		a.XML(t.id+"/markup.bcf", t.markup(r, v))
		for i := range t.views {
			a.XML(t.id+"/"+t.views[i].file, t.views[i].part(v))
		}
		if t.snapshot != nil {
			a.Part(t.id+"/snapshot.png", t.snapshot)
		}
	}
	return a.Close()
}

func versionPart(v version) *etree.Document {
	doc := archive.Document()
	e := doc.CreateElement("Version")
	if v == v30 {
		e.CreateAttr("VersionId", "3.0")
	} else {
		e.CreateAttr("VersionId", "2.1")
		e.CreateElement("DetailedVersion").SetText("2.1")
	}
	doc.Indent(1)
	return doc
}

func projectPart(r *finding.Report, v version) *etree.Document {
	doc := archive.Document()
	root, name := "ProjectInfo", "Building model"
	if v == v21 {
		root = "ProjectExtension"
	}
	if n := projectName(r); n != "" {
		name = n
	}
	e := doc.CreateElement(root)
	p := e.CreateElement("Project")
	p.CreateAttr("ProjectId", guid("project", identity(r)))
	p.CreateElement("Name").SetText(text(name))
	if v == v21 {
		e.CreateElement("ExtensionSchema").SetText("extensions.xsd")
	}
	doc.Indent(1)
	return doc
}

// lists are the words that topics use, as the format wants them declared.
type lists struct {
	types, statuses, priorities, labels, stages []string
}

func listsOf(topics []*topic) lists {
	var l lists
	for _, t := range topics {
		l.types = put(l.types, t.kind)
		l.statuses = put(l.statuses, t.status)
		l.priorities = put(l.priorities, t.priority)
		l.stages = put(l.stages, t.stage)
		for _, s := range t.labels {
			l.labels = put(l.labels, s)
		}
	}
	return l
}

func put(list []string, s string) []string {
	for _, have := range list {
		if have == s {
			return list
		}
	}
	return append(list, s)
}

func (l lists) part30() *etree.Document {
	doc := archive.Document()
	e := doc.CreateElement("Extensions")
	for _, g := range []struct {
		group, one string
		words      []string
	}{
		{"TopicTypes", "TopicType", l.types}, {"TopicStatuses", "TopicStatus", l.statuses}, {"Priorities", "Priority", l.priorities},
		{"TopicLabels", "TopicLabel", l.labels}, {"Users", "User", []string{author}}, {"Stages", "Stage", l.stages},
	} {
		if len(g.words) == 0 {
			continue
		}
		in := e.CreateElement(g.group)
		for _, w := range g.words {
			in.CreateElement(g.one).SetText(w)
		}
	}
	doc.Indent(1)
	return doc
}

// part21 narrows the types of the markup schema to the words in use.
func (l lists) part21() *etree.Document {
	doc := archive.Document()
	e := doc.CreateElement("xs:schema")
	e.CreateAttr("xmlns:xs", "http://www.w3.org/2001/XMLSchema")
	re := e.CreateElement("xs:redefine")
	re.CreateAttr("schemaLocation", "markup.xsd")
	for _, g := range []struct {
		name  string
		words []string
	}{
		{"TopicType", l.types}, {"TopicStatus", l.statuses}, {"TopicLabel", l.labels}, {"Priority", l.priorities},
		{"UserIdType", []string{author}}, {"Stage", l.stages},
	} {
		st := re.CreateElement("xs:simpleType")
		st.CreateAttr("name", g.name)
		in := st.CreateElement("xs:restriction")
		in.CreateAttr("base", g.name)
		for _, w := range g.words {
			in.CreateElement("xs:enumeration").CreateAttr("value", w)
		}
	}
	doc.Indent(1)
	return doc
}
