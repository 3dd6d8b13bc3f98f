package ifcxml

import (
	"bytes"
	"encoding/xml"
	"io"
	"unsafe"
)

// tokens cuts XML text into tokens. What models are made of, tags with quoted attributes and
// text without entities, is read here without copying; whatever else begins (declarations,
// comments, CDATA, entities, faults) is read by encoding/xml from that place on, one token at
// a time, so that its rules hold everywhere.
type tokens struct {
	data  []byte
	text  string // the same
	pos   int
	attrs []xml.Attr
	open  xml.Name // of an element that ends where it begins
	ends  bool
}

// token is the token at hand; names, values and text are parts of the file's text, and attrs
// hold until the next token is read.
type token struct {
	kind  tokenKind
	name  xml.Name
	attrs []xml.Attr
	text  string
}

type tokenKind uint8

const (
	startTag tokenKind = iota
	endTag
	charData
	directive
	other // comments and processing instructions
)

func newTokens(d []byte) *tokens {
	t := &tokens{data: d}
	if len(d) > 0 {
		t.text = unsafe.String(&d[0], len(d))
	}
	return t
}

// next returns the next token; io.EOF at the end, an error of encoding/xml where the text is
// not well-formed.
func (t *tokens) next() (token, error) {
	if t.ends {
		t.ends = false
		return token{kind: endTag, name: t.open}, nil
	}
	if t.pos >= len(t.data) {
		return token{}, io.EOF
	}
	if t.data[t.pos] != '<' {
		return t.chars()
	}
	if t.pos+1 < len(t.data) && t.data[t.pos+1] == '/' {
		return t.endTag()
	}
	return t.startTag()
}

// nameByte reports whether a name may hold c; names with bytes beyond ASCII are left to
// encoding/xml.
var nameByte = func() (t [256]bool) {
	for c := range t {
		t[c] = c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '_' || c == '-' || c == '.' || c == ':'
	}
	return t
}()

// name reads a name at i and returns the offset behind it, 0 when it is not a plain one.
func (t *tokens) name(i int) (xml.Name, int) {
	from, colon := i, -1
	for i < len(t.data) && nameByte[t.data[i]] {
		if t.data[i] == ':' {
			if colon >= 0 {
				return xml.Name{}, 0
			}
			colon = i
		}
		i++
	}
	if i == from || i >= len(t.data) || t.data[i] >= 0x80 || colon == from || colon == i-1 {
		return xml.Name{}, 0
	}
	if c := t.data[from]; c-'0' <= 9 || c == '-' || c == '.' {
		return xml.Name{}, 0
	}
	if colon < 0 {
		return xml.Name{Local: t.text[from:i]}, i
	}
	if c := t.data[colon+1]; c-'0' <= 9 || c == '-' || c == '.' {
		return xml.Name{}, 0
	}
	return xml.Name{Space: t.text[from:colon], Local: t.text[colon+1 : i]}, i
}

func (t *tokens) blank(i int) int {
	for i < len(t.data) && (t.data[i] == ' ' || t.data[i] == '\n' || t.data[i] == '\r' || t.data[i] == '\t') {
		i++
	}
	return i
}

func (t *tokens) startTag() (token, error) {
	name, i := t.name(t.pos + 1)
	if i == 0 {
		return t.careful()
	}
	t.attrs = t.attrs[:0]
	for {
		i = t.blank(i)
		if i >= len(t.data) {
			return t.careful()
		}
		switch t.data[i] {
		case '>':
			t.pos = i + 1
			return token{kind: startTag, name: name, attrs: t.attrs}, nil
		case '/':
			if i+1 >= len(t.data) || t.data[i+1] != '>' {
				return t.careful()
			}
			t.pos, t.open, t.ends = i+2, name, true
			return token{kind: startTag, name: name, attrs: t.attrs}, nil
		}
		var a xml.Attr
		if a.Name, i = t.name(i); i == 0 {
			return t.careful()
		}
		if i = t.blank(i); i >= len(t.data) || t.data[i] != '=' {
			return t.careful()
		}
		if i = t.blank(i + 1); i >= len(t.data) || t.data[i] != '"' && t.data[i] != '\'' {
			return t.careful()
		}
		n := bytes.IndexByte(t.data[i+1:], t.data[i])
		if n < 0 || !plain(t.data[i+1:i+1+n]) {
			return t.careful()
		}
		a.Value = t.text[i+1 : i+1+n]
		t.attrs = append(t.attrs, a)
		i += n + 2
	}
}

func (t *tokens) endTag() (token, error) {
	name, i := t.name(t.pos + 2)
	if i == 0 {
		return t.careful()
	}
	if i = t.blank(i); i >= len(t.data) || t.data[i] != '>' {
		return t.careful()
	}
	t.pos = i + 1
	return token{kind: endTag, name: name}, nil
}

func (t *tokens) chars() (token, error) {
	n := bytes.IndexByte(t.data[t.pos:], '<')
	if n < 0 || !plain(t.data[t.pos:t.pos+n]) {
		return t.careful()
	}
	text := t.text[t.pos : t.pos+n]
	t.pos += n
	return token{kind: charData, text: text}, nil
}

// odd marks the bytes that text and values may not hold to be taken as they are: what opens
// entities and tags, the end of CDATA, control characters, the line ends of other systems, and
// the first byte of the characters that XML does not allow.
var odd = func() (t [256]bool) {
	for c := range t {
		t[c] = c < ' ' && c != '\n' && c != '\t' || c == '&' || c == '<' || c == ']' || c == 0xef
	}
	return t
}()

func plain(d []byte) bool {
	for _, c := range d {
		if odd[c] {
			return false
		}
	}
	return true
}

// careful reads the next token by encoding/xml.
func (t *tokens) careful() (token, error) {
	d := xml.NewDecoder(bytes.NewReader(t.data[t.pos:]))
	d.CharsetReader = func(_ string, r io.Reader) (io.Reader, error) { return r, nil } // decoded already
	tok, err := d.RawToken()
	at := t.pos
	t.pos += int(d.InputOffset())
	if err != nil {
		if err == io.EOF && at < len(t.data) {
			err = io.ErrUnexpectedEOF
		}
		return token{}, err
	}
	switch x := tok.(type) {
	case xml.StartElement:
		if t.pos-at > 1 && t.data[t.pos-2] == '/' {
			t.open, t.ends = x.Name, true
		}
		return token{kind: startTag, name: x.Name, attrs: x.Attr}, nil
	case xml.EndElement:
		return token{kind: endTag, name: x.Name}, nil
	case xml.CharData:
		return token{kind: charData, text: string(x)}, nil
	case xml.Directive:
		return token{kind: directive}, nil
	}
	return token{kind: other}, nil
}
