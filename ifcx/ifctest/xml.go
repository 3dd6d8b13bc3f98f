package ifctest

import (
	"bufio"
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
	"strings"

	"voidcheck/ifcx/express"
)

// WriteXML writes the model as ifcXML under the disguise: in the manner of ISO 10303-28
// edition 1 when its schema is IFC2X3, in that of the IFC4 schemas otherwise. The instances
// are those of WriteSTEP.
func (m *Model) WriteXML(w io.Writer, d Disguise) error {
	s, err := m.Step(d)
	if err != nil {
		return err
	}
	return s.WriteXML(w)
}

// WriteXML writes the instances as ifcXML, in the dialect of the file's schema.
func (s *Step) WriteXML(w io.Writer) error {
	x := &xmlWriter{s: s, schema: express.ForName(s.Schema), w: bufio.NewWriterSize(w, 1<<16), at: map[Ref]*stepInst{}, begun: map[Ref]bool{}}
	if x.schema == nil {
		return fmt.Errorf("ifctest: no schema %q", s.Schema)
	}
	for i := range s.insts {
		x.at[s.insts[i].ref] = &s.insts[i]
	}
	x.put(`<?xml version="1.0" encoding="UTF-8"?>` + "\n")
	if s.Schema == "IFC2X3" {
		x.edition1()
	} else {
		x.ifc4()
	}
	return x.w.Flush()
}

// xmlWriter writes the instances of a Step as XML.
type xmlWriter struct {
	s      *Step
	schema *express.Schema
	w      *bufio.Writer
	at     map[Ref]*stepInst
	begun  map[Ref]bool         // instances whose element has been opened
	nested map[Ref][]nestedInst // relations by the object that they stand in
	inside map[Ref]bool         // relations that stand in an object
}

func (x *xmlWriter) put(t string) { x.w.WriteString(t) } // the writer keeps its error for Flush

// entity returns the definition and canonical name of an instance.
func (x *xmlWriter) entity(i *stepInst) *express.Entity {
	e := x.schema.Entity(i.entity)
	if e == nil || len(e.Attrs) < len(i.args) {
		panic(fmt.Sprintf("ifctest: %s with %d attributes is not in %s", i.entity, len(i.args), x.schema.Name))
	}
	return e
}

// header writes the fields of the file's header.
func (x *xmlWriter) header(prefix string) {
	for _, f := range [][2]string{{"name", x.s.FileName}, {"time_stamp", timeStamp}, {"author", ""}, {"organization", ""},
		{"preprocessor_version", x.s.Tool}, {"originating_system", x.s.Tool}, {"authorization", ""}, {"documentation", x.s.View}} {
		x.put("<" + prefix + f[0] + ">" + escaped(f[1]) + "</" + prefix + f[0] + ">\n")
	}
}

// absent reports values for which nothing is written.
func absent(v any) bool {
	r, isRef := v.(Ref)
	return v == nil || v == any(Star) || isRef && r == 0
}

// xmlText is a simple value, or a list of numbers, as text.
func xmlText(v any) string {
	switch v := v.(type) {
	case string:
		return escaped(v)
	case float64:
		if v == 0 {
			return "0" // also for minus zero
		}
		return strconv.FormatFloat(v, 'g', -1, 64)
	case int:
		return strconv.Itoa(v)
	case bool:
		return strconv.FormatBool(v)
	case Enum:
		switch v {
		case "T":
			return "true"
		case "F":
			return "false"
		}
		return strings.ToLower(string(v))
	case Dir:
		return words(v, func(f float64) string { return xmlText(round(f, 1e-13)) })
	case []float64:
		return words(v, func(f float64) string { return xmlText(f) })
	case []int:
		return words(v, func(n int) string { return xmlText(n) })
	case [][]float64:
		return words(v, func(l []float64) string { return xmlText(l) })
	}
	panic(fmt.Sprintf("ifctest: cannot write a %T as XML text", v))
}

func words[T any](l []T, one func(T) string) string {
	w := make([]string, len(l))
	for i, v := range l {
		w[i] = one(v)
	}
	return strings.Join(w, " ")
}

func escaped(s string) string {
	var b strings.Builder
	if err := xml.EscapeText(&b, []byte(s)); err != nil {
		panic(err)
	}
	return b.String()
}

// edition1 writes the dialect of ISO 10303-28 edition 1: every attribute an element, every
// instance by itself, references by ref.
func (x *xmlWriter) edition1() {
	x.put(`<doc:iso_10303_28 xmlns:exp="urn:oid:1.0.10303.28.2.1.1" xmlns:doc="urn:oid:1.0.10303.28.2.1.3" ` +
		`xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance" version="2.0">` + "\n<doc:iso_10303_28_header>\n")
	x.header("doc:")
	x.put("</doc:iso_10303_28_header>\n" + `<uos id="uos_1" description="" configuration="i-ifc2x3" edo="" xmlns="http://www.iai-tech.org/ifcXML/IFC2x3/FINAL">` + "\n")
	for i := range x.s.insts {
		in := &x.s.insts[i]
		e := x.entity(in)
		x.put(fmt.Sprintf("<%s id=\"i%d\">\n", e.Name, in.ref))
		for k, v := range in.args {
			if absent(v) {
				continue
			}
			a := e.Attrs[k]
			x.put("<" + a.Name)
			if kind, _, ok := strings.Cut(a.Type, " ["); ok {
				x.put(` exp:cType="` + strings.ToLower(kind) + `"`)
			}
			x.put(">")
			x.value1(v)
			x.put("</" + a.Name + ">\n")
		}
		x.put("</" + e.Name + ">\n")
	}
	x.put("</uos>\n</doc:iso_10303_28>\n")
}

func (x *xmlWriter) value1(v any) {
	switch v := v.(type) {
	case Ref:
		x.put(fmt.Sprintf(`<%s xsi:nil="true" ref="i%d"/>`, x.entity(x.at[v]).Name, v))
	case Typed:
		x.put("<" + v.Type + ">" + xmlText(v.Value) + "</" + v.Type + ">")
	case []Ref:
		for _, r := range v {
			x.value1(r)
		}
	case []any:
		for _, r := range v {
			x.value1(r)
		}
	default:
		x.put(xmlText(v))
	}
}
