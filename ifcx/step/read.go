// Package step reads ISO 10303-21 files (IFC-SPF). Reading makes an index of the instances
// only; attributes are parsed when the graph asks for them, text being taken from the
// file's bytes without copying where it can be.
package step

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
	"unsafe"

	"voidcheck/ifcx/express"
	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/source"
)

// Read makes the graph of a STEP file. What is wrong inside the file goes to the log; an
// error means that nothing in it can be used, and says what to do. The file's data must
// not change afterwards.
func Read(f *source.File, log *source.Log) (*graph.Graph, error) {
	if err := refuse(f); err != nil {
		return nil, err
	}
	s, err := scan(f)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", f.Name, err)
	}
	if len(s.ids) == 0 && !s.has("DATA") {
		return nil, fmt.Errorf("%s: no DATA section and no instance found; it is not a STEP file, or it was cut off in its header: export it again as IFC", f.Name)
	}
	r := &reader{file: f, log: log, text: textOf(f.Data), off: s.off}
	h := r.header(s)
	s.structure()
	if err := r.chooseSchema(s, &h); err != nil {
		return nil, err
	}
	in := graph.Instances{IDs: s.ids, Kind: s.kind, Kinds: r.resolve(s)}
	r.in = in
	r.findOdd(s)
	for _, x := range s.faults {
		p := source.Problem{Severity: x.severity, File: f.Name, Code: x.code, Text: x.text, Fix: x.fix}
		p.Line, p.Col = f.Position(int64(x.off))
		if x.id != 0 {
			p.Entity, p.EntityType = fmt.Sprintf("#%d", x.id), x.entity
		}
		log.Add(p)
	}
	g := graph.New(f, r.schema, h, log, r, in)
	r.findDangling(s, g.Has)
	return g, nil
}

// refuse names the kinds of file that are no STEP at all.
func refuse(f *source.File) error {
	d := f.Data
	wide := source.Detect(d)
	switch {
	case len(bytes.TrimSpace(d)) == 0:
		return fmt.Errorf("%s: the file is empty; export or copy it again", f.Name)
	case bytes.HasPrefix(d, []byte("version https://git-lfs")):
		return fmt.Errorf("%s: this is a Git LFS pointer, not the model; run git lfs pull in its repository, or download the file itself", f.Name)
	case wide == source.UTF16 || wide == source.UTF32:
		return fmt.Errorf("%s: the text is %s, which STEP files never are; save it as UTF-8 or plain ASCII", f.Name, wide)
	case int64(len(d)) > math.MaxUint32:
		return fmt.Errorf("%s: larger than 4 GiB; split the model", f.Name)
	}
	return nil
}

func newScanner(d []byte) *scanner {
	s := &scanner{data: d, stop: len(d), byRaw: map[string]uint16{}}
	if bytes.HasPrefix(d, []byte("\xef\xbb\xbf")) {
		s.pos = 3 // a byte order mark: not in the standard, harmless
	}
	// Some mail and web systems put text before the file.
	if k := bytes.Index(d[:min(len(d), 1<<16)], []byte("\nISO-10303-21;")) + 1; k > s.pos && !bytes.Contains(d[:k], []byte("DATA;")) {
		s.faults = append(s.faults, fault{off: s.pos, code: "junk", text: fmt.Sprintf("%d bytes before ISO-10303-21; are passed over", k-s.pos)})
		s.pos = k
	}
	s.defined, s.refd = make([]uint64, len(d)/128+16), make([]uint64, len(d)/128+16)
	n := len(d)/64 + 16 // most instances are longer
	s.ids, s.off, s.kind = make([]graph.ID, 0, n), make([]uint32, 0, n), make([]uint16, 0, n)
	return s
}

func (s *scanner) has(word string) bool {
	return slices.ContainsFunc(s.sections, func(x section) bool { return x.word == word })
}

// structure reports what is missing around the instances.
func (s *scanner) structure() {
	warn := func(off int, code, text, fix string) {
		s.faults = append(s.faults, fault{off: off, code: code, text: text, fix: fix})
	}
	if !s.has("DATA") {
		warn(0, "no-data-section", "no DATA; line before the instances; they are read all the same", "")
	}
	if !s.has("HEADER") && len(s.headers) == 0 {
		warn(0, "no-header", "the file has no header; authoring tool and schema are not known", "export the file again")
	}
	if s.ended {
		return
	}
	text, fix := "the file ends without END-ISO-10303-21; and may have been cut off", "compare its size with the original, or export it again"
	if open := bytes.LastIndex(s.data, []byte("/*")); open > bytes.LastIndex(s.data, []byte("*/")) {
		warn(open, "open-comment", "a comment is not closed; what follows cannot be read", "close the comment with */")
		return
	}
	warn(len(s.data), "truncated", text, fix)
}

// reader parses instances for the graph.
type reader struct {
	file   *source.File
	log    *source.Log
	text   string // the file's bytes
	schema *express.Schema
	off    []uint32
	in     graph.Instances
	odd    odds
	latin  sync.Once
}

// stacks lends parsers their stack of values.
var stacks = sync.Pool{New: func() any { s := make([]graph.Value, 0, 256); return &s }}

// Place implements graph.Reader.
func (r *reader) Place(pos int) (string, int64) {
	return fmt.Sprintf("#%d", r.in.IDs[pos]), int64(r.off[pos])
}

// Attrs implements graph.Reader.
func (r *reader) Attrs(pos int) ([]graph.Value, []graph.Fault) {
	stack := stacks.Get().(*[]graph.Value)
	p := parser{text: r.text, pos: int(r.off[pos]) + 1, schema: r.schema, stack: (*stack)[:0]}
	for p.pos < len(p.text) && p.text[p.pos]-'0' <= 9 {
		p.pos++
	}
	p.at('=') // the index pass saw it
	p.pos++
	vals, ok := p.record(r.in.Kinds[r.in.Kind[pos]])
	clear(p.stack)
	*stack = p.stack[:0]
	stacks.Put(stack)
	if p.latin {
		r.latin.Do(func() {
			r.log.Add(source.Problem{File: r.file.Name, Code: "not-utf8", Text: "text holds bytes that are not UTF-8; they are read as Windows-1252 and may come out wrong",
				Fix: "export the file with standard string encoding"})
		})
	}
	if !ok {
		vals = nil
	}
	return vals, p.faults
}

// textOf views bytes as a string, so that parts of it can be handed out without copying.
func textOf(d []byte) string {
	if len(d) == 0 {
		return ""
	}
	return unsafe.String(&d[0], len(d))
}

// chooseSchema finds the schema named in the header, or the best for what the file holds.
func (r *reader) chooseSchema(s *scanner, h *graph.Header) error {
	if h.Schema != "" {
		for id := range strings.SplitSeq(h.Schema, ", ") {
			if r.schema = express.ForName(id); r.schema != nil {
				break
			}
		}
		if r.schema == nil {
			return fmt.Errorf("%s: the schema is %s, which is no IFC schema; expected IFC2X3, IFC4 or IFC4X3: export the model as IFC", r.file.Name, clip(h.Schema))
		}
		if n := strings.ToUpper(h.Schema); !strings.HasPrefix(n, "IFC2X3") && strings.HasPrefix(n, "IFC2") || n == "IFC4X1" || n == "IFC4X2" {
			s.faults = append(s.faults, fault{off: 0, code: "schema", text: h.Schema + " is read by the definitions of " + r.schema.Name})
		}
		return nil
	}
	r.schema = s.guess()
	if r.schema == nil {
		return fmt.Errorf("%s: %w", r.file.Name, errors.New("no schema is named in the header and no instance has an IFC type; expected FILE_SCHEMA(('IFC4')); or the like"))
	}
	s.faults = append(s.faults, fault{off: 0, code: "no-schema",
		text: "no schema is named; by its contents the file is read as " + r.schema.Name, fix: "add FILE_SCHEMA(('" + r.schema.Name + "')); to the header, or export the file again"})
	return nil
}
