package step

import (
	"strings"

	"voidcheck/ifcx/graph"
)

// header reads the header records; what is missing stays empty.
func (r *reader) header(s *scanner) graph.Header {
	var h graph.Header
	for _, off := range s.headers {
		end := off
		for end < len(r.text) && isWord(r.text[end]) {
			end++
		}
		p := parser{text: r.text, pos: end}
		vals, ok := p.list()
		if !ok {
			s.faults = append(s.faults, fault{off: off, code: "header", text: "this header record cannot be read: " + p.faults[len(p.faults)-1].Text})
			continue
		}
		text := func(i int) string { return strings.Join(texts(vals, i), ", ") }
		switch strings.ToUpper(r.text[off:end]) {
		case "FILE_DESCRIPTION":
			h.Description = texts(vals, 0)
		case "FILE_NAME":
			h.Name, h.TimeStamp, h.Preprocessor, h.Originating = text(0), text(1), text(4), text(5)
			h.Author, h.Organization = texts(vals, 2), texts(vals, 3)
		case "FILE_SCHEMA":
			h.Schema = text(0)
		}
	}
	return h
}

// texts returns the non-empty strings of a header field, which may be one or a list.
func texts(vals []graph.Value, i int) []string {
	if i >= len(vals) {
		return nil
	}
	l := vals[i].List
	if vals[i].Kind == graph.String {
		l = vals[i : i+1]
	}
	var r []string
	for _, v := range l {
		if v.Kind == graph.String && v.Text != "" {
			r = append(r, v.Text)
		}
	}
	return r
}
