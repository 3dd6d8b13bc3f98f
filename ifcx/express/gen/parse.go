package main

import (
	"fmt"
	"slices"
	"strings"
)

// schema is what one EXPRESS file defines, in its order.
type schema struct {
	types    []typeDef
	entities []entity
}

// typeDef is a defined type: kind T (text is the type), N (items) or S (members).
type typeDef struct {
	kind       byte
	name, text string
}

// entity is one ENTITY block, its lists already in the table's notation.
type entity struct {
	name, parent string
	abstract     bool
	attrs        []string // "Name:Type", "Name?:Type" when optional; a redeclared one starts with "^"
	inverses     []string // "Name:Entity.Attr", "Name+:Entity.Attr" when it is an aggregate
	derived      []string // names of inherited attributes redeclared as derived
}

// parser walks the tokens of an EXPRESS file. EXPRESS has far more than is read here:
// functions, rules and constraints are passed over.
type parser struct {
	toks []string
	pos  int
}

func parse(src string) (*schema, error) {
	p := &parser{toks: tokens(src)}
	s := &schema{}
	for p.pos < len(p.toks) {
		switch p.next() {
		case "TYPE":
			t, err := p.typeDef()
			if err != nil {
				return nil, err
			}
			s.types = append(s.types, t)
		case "ENTITY":
			e, err := p.entity()
			if err != nil {
				return nil, err
			}
			s.entities = append(s.entities, e)
		case "FUNCTION":
			p.skipPast("END_FUNCTION")
		case "RULE":
			p.skipPast("END_RULE")
		}
	}
	if len(s.entities) == 0 {
		return nil, fmt.Errorf("no ENTITY found; expected an EXPRESS schema")
	}
	return s, nil
}

// tokens splits EXPRESS text into words, numbers, strings and single signs.
func tokens(src string) []string {
	var r []string
	for i := 0; i < len(src); {
		switch c := src[i]; {
		case strings.HasPrefix(src[i:], "(*"):
			i = after(src, i, "*)")
		case strings.HasPrefix(src[i:], "--"):
			i = after(src, i, "\n")
		case c == '\'':
			j := after(src, i+1, "'")
			r = append(r, src[i:j])
			i = j
		case isWord(c):
			j := i
			for j < len(src) && isWord(src[j]) {
				j++
			}
			r = append(r, src[i:j])
			i = j
		case c > ' ':
			r = append(r, src[i:i+1])
			i++
		default:
			i++
		}
	}
	return r
}

func after(src string, i int, end string) int {
	if j := strings.Index(src[i:], end); j >= 0 {
		return i + j + len(end)
	}
	return len(src)
}

func isWord(c byte) bool {
	return c == '_' || c >= '0' && c <= '9' || c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z'
}

func (p *parser) next() string {
	if p.pos >= len(p.toks) {
		return ""
	}
	p.pos++
	return p.toks[p.pos-1]
}

func (p *parser) peek() string {
	if p.pos >= len(p.toks) {
		return ""
	}
	return p.toks[p.pos]
}

func (p *parser) skipPast(word string) {
	for p.pos < len(p.toks) && p.next() != word {
	}
}

// until collects tokens up to one of the ends, which is consumed.
func (p *parser) until(ends ...string) []string {
	var r []string
	for p.pos < len(p.toks) {
		t := p.next()
		if slices.Contains(ends, t) {
			break
		}
		r = append(r, t)
	}
	return r
}

func (p *parser) typeDef() (typeDef, error) {
	name := p.next()
	if p.next() != "=" {
		return typeDef{}, fmt.Errorf("TYPE %s: expected =", name)
	}
	body := p.until(";")
	p.skipPast("END_TYPE")
	if len(body) == 0 {
		return typeDef{}, fmt.Errorf("TYPE %s has no definition", name)
	}
	kind := byte('T')
	switch body[0] {
	case "ENUMERATION":
		kind = 'N'
	case "SELECT":
		kind = 'S'
	}
	if kind == 'T' {
		return typeDef{kind, name, typeText(body)}, nil
	}
	open := slices.Index(body, "(")
	items := slices.DeleteFunc(body[open+1:], func(t string) bool { return t == "," || t == ")" })
	return typeDef{kind, name, strings.Join(items, ",")}, nil
}

// typeText writes a type as EXPRESS does: "LIST [1:?] OF UNIQUE IfcLabel".
func typeText(toks []string) string {
	var b strings.Builder
	for i, t := range toks {
		tight := i == 0 || strings.ContainsAny(t, ":])") || strings.ContainsAny(toks[i-1], "[:(") || t == "("
		if !tight {
			b.WriteByte(' ')
		}
		b.WriteString(t)
	}
	return b.String()
}

func (p *parser) entity() (entity, error) {
	e := entity{name: p.next()}
	var head []string
	switch p.peek() { // the published files leave out the semicolon where there is no head
	case ";", "ABSTRACT", "SUPERTYPE", "SUBTYPE":
		head = p.until(";")
	}
	for i, t := range head {
		if t == "ABSTRACT" {
			e.abstract = true
		}
		if t == "SUBTYPE" && i+3 < len(head) {
			e.parent = head[i+3] // SUBTYPE OF ( name
		}
	}
	section := ""
	for {
		t := p.peek()
		switch t {
		case "":
			return e, fmt.Errorf("ENTITY %s is not closed", e.name)
		case "END_ENTITY":
			p.next()
			return e, nil
		case "INVERSE", "DERIVE", "UNIQUE", "WHERE":
			section = p.next()
			continue
		}
		e.member(section, p.until(";"))
	}
}

// member reads one declaration of an entity's section.
func (e *entity) member(section string, body []string) {
	colon := slices.Index(body, ":")
	if colon < 0 {
		return
	}
	names, rest := body[:colon], body[colon+1:]
	redeclared := names[0] == "SELF"
	name := names[len(names)-1]
	switch section {
	case "":
		mark := ""
		if rest[0] == "OPTIONAL" {
			mark, rest = "?", rest[1:]
		}
		if redeclared {
			e.attrs = append(e.attrs, "^"+name+mark+":"+typeText(rest))
			return
		}
		for _, n := range names {
			if n != "," {
				e.attrs = append(e.attrs, n+mark+":"+typeText(rest))
			}
		}
	case "DERIVE":
		if redeclared {
			e.derived = append(e.derived, name)
		}
	case "INVERSE":
		f := slices.Index(rest, "FOR")
		if f < 1 || f+1 >= len(rest) {
			return
		}
		mark := ""
		if f > 1 {
			mark = "+"
		}
		e.inverses = append(e.inverses, name+mark+":"+rest[f-1]+"."+rest[f+1])
	}
}
