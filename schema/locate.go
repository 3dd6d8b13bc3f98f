package schema

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/go-json-experiment/json/jsontext"
)

// Places knows where each value and each name of a document stands.
type Places struct {
	data   []byte           // without a byte order mark
	values map[string]int64 // by path with \x00 between the steps
	names  map[string]int64
	lines  []int64 // offsets of line ends, once they are asked for
}

// maxNesting is how deep lists and objects may stand in each other; what is read here needs
// about 10. The path of every value is looked for, which takes time by the square of the depth.
const maxNesting = 200

const step = "\x00"

// Locate parses a document strictly and notes the place of everything in it. The problem is
// nil when the document is one well-formed JSON value.
func Locate(data []byte) (*Places, *Problem) { return parse(data, true) }

// parse is Locate, with or without the places.
func parse(data []byte, note bool) (*Places, *Problem) {
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	p := &Places{data: data, values: map[string]int64{}, names: map[string]int64{}}
	if len(bytes.TrimSpace(data)) == 0 {
		return nil, &Problem{Line: 1, Col: 1, Text: "the file is empty; a JSON object is wanted"}
	}
	d := jsontext.NewDecoder(bytes.NewReader(data))
	for {
		start := p.skip(d.InputOffset())
		tok, err := d.ReadToken()
		if err == io.EOF {
			return p, nil
		}
		if err != nil {
			return nil, p.syntax(err)
		}
		if note {
			p.note(d, tok, start)
		}
		if d.StackDepth() > maxNesting {
			return nil, p.problem(start, "", fmt.Sprintf("lists and objects nest deeper than %d", maxNesting))
		}
		if d.StackDepth() == 0 {
			if rest := p.skip(d.InputOffset()); rest < int64(len(data)) {
				return nil, p.problem(rest, "", "there is more text after the end of the document; take it out")
			}
		}
	}
}

// note records the place of the token just read.
func (p *Places) note(d *jsontext.Decoder, tok jsontext.Token, start int64) {
	depth := d.StackDepth()
	path := pointerPath(string(d.StackPointer()))
	switch tok.Kind() {
	case '}', ']':
		return
	case '{', '[':
		// The stack already includes the new container; its pointer is the container's own.
		p.values[path] = start
		return
	}
	if kind, n := d.StackIndex(depth); kind == '{' && n%2 == 1 {
		p.names[path] = start
		return
	}
	p.values[path] = start
}

// skip moves over blanks, commas and colons.
func (p *Places) skip(off int64) int64 {
	for off < int64(len(p.data)) && strings.IndexByte(" \t\r\n,:", p.data[off]) >= 0 {
		off++
	}
	return off
}

// pointerPath turns "/checks/a~1b/0" into the inner path form.
func pointerPath(ptr string) string {
	parts := strings.Split(strings.TrimPrefix(ptr, "/"), "/")
	for i, s := range parts {
		parts[i] = strings.ReplaceAll(strings.ReplaceAll(s, "~1", "/"), "~0", "~")
	}
	return strings.Join(parts, step)
}

// Problem makes a problem at the value of a path given by its steps.
func (p *Places) Problem(text string, steps ...string) Problem {
	path := strings.Join(steps, step)
	off, ok := p.values[path]
	for !ok && len(steps) > 0 {
		steps = steps[:len(steps)-1]
		off, ok = p.values[strings.Join(steps, step)]
	}
	return *p.problem(off, path, text)
}

func (p *Places) problem(off int64, path, text string) *Problem {
	line, col := p.position(off)
	return &Problem{Line: line, Col: col, Path: printPath(path), Text: text}
}

// syntax puts a strict-parse error into plain words.
func (p *Places) syntax(err error) *Problem {
	var se *jsontext.SyntacticError
	if !errors.As(err, &se) {
		return &Problem{Line: 1, Col: 1, Text: err.Error()}
	}
	path := pointerPath(string(se.JSONPointer))
	off := p.skip(se.ByteOffset)
	text := strings.TrimPrefix(se.Err.Error(), "jsontext: ")
	switch {
	case errors.Is(se.Err, jsontext.ErrDuplicateName):
		name := path[strings.LastIndex(path, step)+1:]
		text = fmt.Sprintf("%q stands here twice; take one out", name)
	case errors.Is(se.Err, io.ErrUnexpectedEOF):
		off = int64(len(bytes.TrimRight(p.data, " \t\r\n")))
		text = "the file ends too early; a bracket, brace or quote is not closed"
	case !utf8.Valid(p.data):
		text = "the text is not UTF-8; save the file as UTF-8"
	case strings.Contains(text, `'\n' in string`):
		off, text = se.ByteOffset, "a text is not closed before the end of its line; add the missing quote"
	default:
		text = "not JSON: " + text
	}
	return p.problem(off, path, text)
}

// position returns the 1-based line and column of a byte offset.
func (p *Places) position(off int64) (line, col int) {
	off = min(max(off, 0), int64(len(p.data)))
	if p.lines == nil {
		p.lines = []int64{-1} // before the first line
		for i, c := range p.data {
			if c == '\n' {
				p.lines = append(p.lines, int64(i))
			}
		}
	}
	n, _ := slices.BinarySearch(p.lines, off) // line ends before off
	return n, int(off - p.lines[n-1])
}

// printPath prints an inner path as people read it: checks.x.exempt[0].when.
func printPath(path string) string {
	if path == "" {
		return ""
	}
	var b strings.Builder
	for i, s := range strings.Split(path, step) {
		if _, err := strconv.Atoi(s); err == nil && i > 0 {
			b.WriteString("[" + s + "]")
			continue
		}
		if i > 0 {
			b.WriteByte('.')
		}
		b.WriteString(s)
	}
	return b.String()
}
