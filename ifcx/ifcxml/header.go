package ifcxml

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"voidcheck/ifcx/express"
	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/source"
)

// headerField takes one field of the header, whose names are those of STEP headers.
func (b *builder) headerField(name, s string) {
	if s == "" {
		return
	}
	h := &b.head
	switch name[strings.LastIndexByte(name, ':')+1:] {
	case "name":
		h.Name = s
	case "time_stamp":
		h.TimeStamp = s
	case "author":
		h.Author = append(h.Author, s)
	case "organization":
		h.Organization = append(h.Organization, s)
	case "preprocessor_version":
		h.Preprocessor = s
	case "originating_system":
		h.Originating = s
	case "documentation":
		h.Description = append(h.Description, s)
	}
}

// schemaGuess gathers what the elements around the instances say of the schema.
type schemaGuess struct {
	named string // <express schema_name="...">
	space string // the default name space nearest to the instances
	other string // any other name space or setting
}

// look reads the attributes of an outer element.
func (g *schemaGuess) look(t token) {
	for _, a := range t.attrs {
		id := schemaIn(a.Value)
		switch {
		case id == "":
		case a.Name.Local == "schema_name":
			g.named = id
		case a.Name.Local == "xmlns" && a.Name.Space == "":
			g.space = id
		case g.other == "" || a.Name.Local == "configuration":
			g.other = id
		}
	}
}

// schemaIn finds a schema identifier in a name space, a location or a name.
func schemaIn(s string) string {
	s = strings.ToUpper(s)
	for _, id := range [...]string{"IFC4X3", "IFC4_3", "IFC4X2", "IFC4X1", "IFC4", "IFC2X3", "IFC2X2", "IFC2X"} {
		if strings.Contains(s, id) {
			return strings.Replace(id, "_", "X", 1)
		}
	}
	return ""
}

// settleSchema decides on the schema when the first instance comes.
func (b *builder) settleSchema() {
	if b.schema != nil {
		return
	}
	for _, id := range [...]string{b.guess.named, b.guess.space, b.guess.other} {
		if b.schema = express.ForName(id); b.schema != nil {
			b.head.Schema = id
			if id != b.schema.Name {
				b.log.Add(b.problem(source.Warning, -1, "schema", id+" is read by the definitions of "+b.schema.Name, ""))
			}
			return
		}
	}
	id := "IFC4"
	if strings.HasSuffix(b.root, "iso_10303_28") || strings.HasSuffix(b.root, "uos") {
		id = "IFC2X3"
	}
	b.schema = express.ForName(id)
	b.log.Add(b.problem(source.Warning, -1, "no-schema", "no schema is named; by its outermost element the file is read as "+id, "export the file again"))
}

// decoded returns the file in UTF-8: itself, or a copy when it is written otherwise.
func decoded(f *source.File, log *source.Log) (*source.File, error) {
	d := f.Data
	if len(bytes.TrimSpace(d)) == 0 {
		return nil, fmt.Errorf("%s: the file is empty; export or copy it again", f.Name)
	}
	var from encoding.Encoding
	switch name := declared(d); {
	case bytes.HasPrefix(d, []byte("\xff\xfe")), bytes.HasPrefix(d, []byte("<\x00?\x00")):
		from = unicode.UTF16(unicode.LittleEndian, unicode.UseBOM)
	case bytes.HasPrefix(d, []byte("\xfe\xff")), bytes.HasPrefix(d, []byte("\x00<\x00?")):
		from = unicode.UTF16(unicode.BigEndian, unicode.UseBOM)
	case name == "" || name == "utf-8" || name == "us-ascii" || name == "utf8" || name == "ascii":
	case charsets[name] != nil:
		from = charsets[name]
	default:
		return nil, fmt.Errorf("%s: the encoding %q is not read; save the file as UTF-8", f.Name, clip(name))
	}
	if from == nil && utf8.Valid(d) {
		return f, nil
	}
	if from == nil {
		from = charmap.Windows1252
		log.Add(source.Problem{File: f.Name, Code: "not-utf8", Text: "text holds bytes that are not UTF-8; they are read as Windows-1252 and may come out wrong", Fix: "export the file again"})
		return &source.File{Name: f.Name, Kind: f.Kind, Original: f.Original, Data: mend(d)}, nil
	}
	out, err := from.NewDecoder().Bytes(d)
	if err != nil && bytes.Contains(d[:4], []byte{0}) { // UTF-16 without its mark
		order := unicode.LittleEndian
		if d[0] == 0 {
			order = unicode.BigEndian
		}
		out, err = unicode.UTF16(order, unicode.IgnoreBOM).NewDecoder().Bytes(d)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: the text cannot be decoded (%v); save the file as UTF-8", f.Name, err)
	}
	return &source.File{Name: f.Name, Kind: f.Kind, Original: f.Original, Data: out}, nil
}

// mend keeps what is UTF-8 and reads every other byte as Windows-1252.
func mend(d []byte) []byte {
	out := make([]byte, 0, len(d)+len(d)/8)
	for len(d) > 0 {
		r, n := utf8.DecodeRune(d)
		if r == utf8.RuneError && n == 1 {
			r = charmap.Windows1252.DecodeByte(d[0])
		}
		out = utf8.AppendRune(out, r)
		d = d[n:]
	}
	return out
}

// declared returns the encoding named in the XML declaration, in lower case.
func declared(d []byte) string {
	head := string(d[:min(len(d), 200)])
	if end := strings.Index(head, "?>"); end >= 0 {
		head = head[:end]
	} else {
		return ""
	}
	_, rest, ok := strings.Cut(head, "encoding")
	if !ok {
		return ""
	}
	rest = strings.TrimLeft(rest, " =\t\r\n")
	if len(rest) < 2 {
		return ""
	}
	name, _, _ := strings.Cut(rest[1:], rest[:1])
	return strings.ToLower(name)
}

// charsets are the single-byte encodings that exports of Western and Eastern Europe use.
var charsets = map[string]encoding.Encoding{
	"iso-8859-1": charmap.ISO8859_1, "latin1": charmap.ISO8859_1, "iso-8859-2": charmap.ISO8859_2, "iso-8859-3": charmap.ISO8859_3,
	"iso-8859-4": charmap.ISO8859_4, "iso-8859-5": charmap.ISO8859_5, "iso-8859-7": charmap.ISO8859_7, "iso-8859-9": charmap.ISO8859_9,
	"iso-8859-15": charmap.ISO8859_15, "windows-1250": charmap.Windows1250, "windows-1251": charmap.Windows1251, "windows-1252": charmap.Windows1252,
	"windows-1253": charmap.Windows1253, "windows-1254": charmap.Windows1254, "windows-1257": charmap.Windows1257,
}

var _ graph.Reader = (*builder)(nil)
