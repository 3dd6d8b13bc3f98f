package ifcjson

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"

	"voidcheck/ifcx/source"
	"voidcheck/schema"
)

// document is one parsed layer.
type document struct {
	file    *source.File
	id      string // of the header
	version string
	tool    string
	imports []string
	nodes   []*entry
}

// entry is one item of data: what a layer says of a path.
type entry struct {
	doc      *document
	index    int   // in data
	off      int64 // byte offset
	path     string
	children []link
	inherits []link
	attrs    []attribute
}

// link is a named child or inheritance; to is "" when the layer removes it (null).
type link struct{ name, to string }

// attribute is one named value; val is null when the layer removes it.
type attribute struct {
	name string // normalised, see plainName
	raw  string // as written
	val  jsontext.Value
	off  int64
	mesh *meshData // of a mesh attribute that could be read
}

// parse reads a layer. Text that is no JSON, or whose structure is not that of the schema,
// is an error with line, column and path; a single attribute that is not as it should be
// is left out and goes to the log.
func parse(f *source.File, log *source.Log) (*document, error) {
	data := bytes.TrimPrefix(f.Data, []byte("\ufeff"))
	if off := tooDeep(data); off >= 0 {
		line, col := f.Position(int64(off + len(f.Data) - len(data)))
		return nil, fmt.Errorf("%s:%d:%d: lists and objects nest deeper than %d; this is not a building model", f.Name, line, col, maxNesting)
	}
	p := &parser{doc: &document{file: f}, dec: jsontext.NewDecoder(bytes.NewReader(data)), bare: bytes.Clone(data), log: log, shift: int64(len(f.Data) - len(data))}
	if err := p.document(); err != nil {
		// The schema's own parse says it in plain words and with a line.
		if l := schema.Validate("ifcx", data); len(l) > 0 {
			return nil, fmt.Errorf("%s:%s", f.Name, l[0])
		}
		return nil, fmt.Errorf("%s: not an IFC5 file: %w", f.Name, err)
	}
	if err := p.check(); err != nil {
		return nil, err
	}
	return p.doc, nil
}

// maxNesting is how deep lists and objects may stand in each other; models need about 10.
const maxNesting = 200

// tooDeep returns where a document nests deeper than is allowed, -1 when it does not. It is
// asked first: readers of deep nesting take time by the square of the depth.
func tooDeep(d []byte) int {
	depth, quoted := 0, false
	for i := 0; i < len(d); i++ {
		switch c := d[i]; {
		case quoted:
			if c == '\\' {
				i++
			} else if c == '"' {
				quoted = false
			}
		case c == '"':
			quoted = true
		case c == '[' || c == '{':
			if depth++; depth > maxNesting {
				return i
			}
		case c == ']' || c == '}':
			depth--
		}
	}
	return -1
}

// parser walks the tokens once. It blanks the numbers of meshes in a copy of the text, so
// that the schema check does not load them a second time and still sees every other byte in
// its place.
type parser struct {
	doc   *document
	dec   *jsontext.Decoder
	bare  []byte
	log   *source.Log
	shift int64
}

func (p *parser) document() error {
	return p.object(func(name string) error {
		switch name {
		case "header":
			return p.object(func(name string) error {
				v, err := p.dec.ReadValue()
				if err != nil || v.Kind() != '"' {
					return err
				}
				switch s := stringOf(v); name {
				case "id":
					p.doc.id = s
				case "ifcxVersion", "version":
					p.doc.version = s
				case "author":
					p.doc.tool = s
				}
				return nil
			})
		case "imports":
			return p.array(func() error {
				return p.object(func(name string) error {
					v, err := p.dec.ReadValue()
					if err == nil && name == "uri" && v.Kind() == '"' {
						p.doc.imports = append(p.doc.imports, stringOf(v))
					}
					return err
				})
			})
		case "data":
			return p.array(p.entry)
		}
		return p.dec.SkipValue()
	})
}

func (p *parser) entry() error {
	e := &entry{doc: p.doc, index: len(p.doc.nodes), off: p.offset()}
	p.doc.nodes = append(p.doc.nodes, e)
	return p.object(func(name string) error {
		switch name {
		case "path":
			v, err := p.dec.ReadValue()
			if err == nil && v.Kind() == '"' {
				e.path = stringOf(v)
			}
			return err
		case "children":
			return p.links(&e.children)
		case "inherits":
			return p.links(&e.inherits)
		case "attributes":
			return p.object(func(name string) error { return p.attribute(e, name) })
		}
		return p.dec.SkipValue()
	})
}

func (p *parser) links(to *[]link) error {
	return p.object(func(name string) error {
		v, err := p.dec.ReadValue()
		if err != nil {
			return err
		}
		l := link{name: name}
		if v.Kind() == '"' {
			l.to = stringOf(v)
		}
		*to = append(*to, l)
		return nil
	})
}

func (p *parser) attribute(e *entry, name string) error {
	at := p.offset()
	v, err := p.dec.ReadValue()
	if err != nil {
		return err
	}
	a := attribute{name: plainName(name), raw: name, val: v.Clone(), off: at}
	if a.name == meshAttr && v.Kind() == '{' {
		end := p.dec.InputOffset()
		mesh, err := readMesh(a.val)
		switch {
		case err != nil:
			p.skipped(e, a, "its mesh cannot be read: "+err.Error())
			a.val = jsontext.Value("null")
		default:
			a.mesh = mesh
			a.val = nil
			blankNumbers(p.bare[end-int64(len(v)) : end])
		}
	}
	e.attrs = append(e.attrs, a)
	return nil
}

// blankNumbers empties the arrays in a mesh without moving anything.
func blankNumbers(b []byte) {
	depth := 0
	for i, c := range b {
		switch {
		case c == '[':
			if depth++; depth > 1 {
				b[i] = ' '
			}
		case c == ']':
			if depth--; depth > 0 {
				b[i] = ' '
			}
		case depth > 0 && c != '\n':
			b[i] = ' '
		}
	}
}

// object reads { name: value ... }; a value that is no object is passed over, the schema
// check names it.
func (p *parser) object(member func(name string) error) error {
	if p.dec.PeekKind() != '{' {
		return p.dec.SkipValue()
	}
	if _, err := p.dec.ReadToken(); err != nil {
		return err
	}
	for p.dec.PeekKind() == '"' {
		t, err := p.dec.ReadToken()
		if err != nil {
			return err
		}
		if err := member(t.String()); err != nil {
			return err
		}
	}
	_, err := p.dec.ReadToken()
	return err
}

func (p *parser) array(item func() error) error {
	if p.dec.PeekKind() != '[' {
		return p.dec.SkipValue()
	}
	if _, err := p.dec.ReadToken(); err != nil {
		return err
	}
	for k := p.dec.PeekKind(); k != ']' && k != 0; k = p.dec.PeekKind() {
		if err := item(); err != nil {
			return err
		}
	}
	_, err := p.dec.ReadToken()
	return err
}

// offset returns where the next value starts.
func (p *parser) offset() int64 {
	off := p.dec.InputOffset()
	for off < int64(len(p.bare)) && strings.IndexByte(" \t\r\n,:", p.bare[off]) >= 0 {
		off++
	}
	return off + p.shift
}

func (p *parser) skipped(e *entry, a attribute, text string) {
	line, col := p.doc.file.Position(a.off)
	p.log.Add(source.Problem{Severity: source.Skipped, File: p.doc.file.Name, Line: line, Col: col, Entity: e.path, Code: "attribute", Text: a.raw + " is left out: " + text,
		Fix: "export the model again"})
}

// attrPath finds attribute problems among the schema's: data[12].attributes.name...
var attrPath = regexp.MustCompile(`^data\[(\d+)\]\.attributes\.(.+)$`)

// check holds the blanked text against the schema.
func (p *parser) check() error {
	var bad []schema.Problem
	for _, x := range schema.Validate("ifcx", p.bare) {
		m := attrPath.FindStringSubmatch(x.Path)
		if m == nil {
			bad = append(bad, x)
			continue
		}
		i, _ := strconv.Atoi(m[1])
		e := p.doc.nodes[i]
		for k := range e.attrs {
			a := &e.attrs[k]
			if within(m[2], a.raw) && a.val.Kind() != 'n' {
				p.skipped(e, *a, x.Path+": "+x.Text)
				a.val, a.mesh = jsontext.Value("null"), nil
			}
		}
	}
	if len(bad) == 0 {
		return nil
	}
	return errors.New(strings.Join(schema.Lines(p.doc.file.Name, bad), "\n"))
}

// within reports whether a path below "attributes." leads into the attribute of that name.
func within(path, name string) bool {
	rest, ok := strings.CutPrefix(path, name)
	return ok && (rest == "" || rest[0] == '.' || rest[0] == '[')
}

// stringOf returns the text of a JSON string.
func stringOf(v jsontext.Value) string {
	s, err := jsontext.AppendUnquote(nil, v)
	if err != nil {
		return ""
	}
	return string(s)
}

// plainName takes version and schema parts out of an attribute's name, so that
// "bsi::ifc::v5a::schema::class" and "bsi::ifc::class" are one.
func plainName(name string) string {
	parts := strings.Split(name, "::")
	out := parts[:0]
	for i, s := range parts {
		if i > 0 && i < len(parts)-1 && (s == "schema" || versionPart.MatchString(s)) {
			continue
		}
		out = append(out, s)
	}
	s := strings.Join(out, "::")
	if strings.EqualFold(s, boundaryAttr) {
		return boundaryAttr
	}
	return s
}

var versionPart = regexp.MustCompile(`^v\d+[a-z]*$`)

// The attributes that are read by name.
const (
	classAttr      = "bsi::ifc::class"
	materialAttr   = "bsi::ifc::material"
	boundaryAttr   = "bsi::ifc::spaceBoundary"
	xformAttr      = "usd::xformop"
	meshAttr       = "usd::usdgeom::mesh"
	curvesAttr     = "usd::usdgeom::basiscurves"
	visibilityAttr = "usd::usdgeom::visibility"
)
