package step

import (
	"bytes"
	"fmt"
	"math"

	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/source"
)

// scanner makes the index pass: where every instance starts, its number and its type name.
// It looks at no attribute. Records end at a semicolon outside strings and comments, which
// is found with the byte searches of the standard library instead of byte by byte.
type scanner struct {
	data []byte
	pos  int
	file *source.File // whose data it is; nil when that is not to be given back
	past int          // up to where it has been
	stop int          // no record starts at or behind this offset

	ids   []graph.ID
	off   []uint32 // of the number sign
	kind  []uint16
	names []string // by kind: as written, in upper case; "(A B)" for complex instances
	byRaw map[string]uint16

	// What the plain reading learns; see plain.go.
	bySlot  [slots]uint16 // 1 + kind, by a hash of the name
	arities []arity       // by kind, of plain records
	defined []uint64      // a bit for every instance number up to 64 times their length
	refd    []uint64      // a bit for every number that a plain record refers to
	top     uint64        // the last of refd that was written to by a plain record
	wild    bool          // a plain record refers to a number beyond
	odd     []uint32      // positions of instances that are not plain

	headers  []int // offsets of header records: FILE_SCHEMA(...);
	sections []section
	ended    bool // END-ISO-10303-21 was seen
	faults   []fault
}

// section is a keyword record without arguments: "DATA", "ENDSEC".
type section struct {
	word string
	off  int
}

// fault is a problem of the index pass; id 0 is none.
type fault struct {
	off             int
	id              uint64
	severity        source.Severity
	code, text, fix string
	entity          string // its name, when known
}

// maxKinds bounds the number of different type names; the schemas have about 900.
const maxKinds = 1 << 15

// run scans records until the end of the data or the stop offset.
func (s *scanner) run() error {
	for {
		s.pos = skipBlank(s.data, s.pos)
		if s.pos >= len(s.data) || s.pos >= s.stop {
			return nil
		}
		switch c := s.data[s.pos]; {
		case c == '#':
			at := s.pos
			if s.plain(); s.pos > at {
				continue
			}
			if err := s.instance(); err != nil {
				return err
			}
		case isLetter(c):
			s.keyword()
		case c == ';':
			s.pos++
		default:
			s.junk(s.pos, "junk", fmt.Sprintf("%s where an instance or a section was expected; skipped up to the next instance", quoteByte(c)))
		}
	}
}

// instance reads "#12=IFCWALL(...);" or "#12=(A(...)B(...));".
func (s *scanner) instance() error {
	d, start := s.data, s.pos
	i, id := start+1, uint64(0)
	for i < len(d) && d[i]-'0' <= 9 {
		if id < math.MaxUint32 {
			id = id*10 + uint64(d[i]-'0')
		}
		i++
	}
	if i == start+1 || id == 0 || id > math.MaxUint32 {
		s.junk(start, "instance-number", "an instance number from 1 to 4294967295 was expected behind #; the instance is left out")
		return nil
	}
	i = skipBlank(d, i)
	if i >= len(d) || d[i] != '=' {
		s.damaged(start, i, id, "= was expected behind the instance number")
		return nil
	}
	i = skipBlank(d, i+1)
	name := i
	for i < len(d) && isWord(d[i]) {
		i++
	}
	var word []byte
	if word = d[name:i]; len(word) == 0 {
		ok := false
		if i < len(d) && d[i] == '(' {
			word, ok = complexName(d, i)
		}
		if !ok {
			s.damaged(start, i, id, "an entity name was expected behind =")
			return nil
		}
	}
	if i = skipBlank(d, i); i >= len(d) || d[i] != '(' {
		s.damaged(start, i, id, "( was expected behind the entity name")
		return nil
	}
	end, why := endOfRecord(d, i)
	if why != endFound {
		s.unfinished(start, end, id, why)
		return nil
	}
	k, ok := s.byRaw[string(word)]
	if !ok {
		var err error
		if k, err = s.newKind(word); err != nil {
			return err
		}
	}
	s.odd = append(s.odd, uint32(len(s.ids)))
	s.add(id, start, k)
	s.pos = end
	return nil
}

// newKind registers a spelling of an entity name that was not seen before.
func (s *scanner) newKind(word []byte) (uint16, error) {
	upper := string(bytes.ToUpper(word))
	k, ok := s.byRaw[upper]
	if !ok {
		if len(s.names) >= maxKinds {
			return 0, fmt.Errorf("more than %d different entity names; this is not a building model", maxKinds)
		}
		k = uint16(len(s.names))
		s.names = append(s.names, upper)
		s.arities = append(s.arities, arity{least: math.MaxUint16})
		s.byRaw[upper] = k
	}
	if len(s.byRaw) < 4*maxKinds {
		s.byRaw[string(word)] = k
	}
	return k, nil
}

// unfinished reports a record whose end is not there and goes on behind it.
func (s *scanner) unfinished(start, next int, id uint64, why endReason) {
	f := fault{off: start, id: id, severity: source.Skipped}
	switch why {
	case endOfFile:
		f.code, f.text = "truncated", "the file ends inside this instance; it is left out"
		f.fix = "the file was cut off: export or copy it again"
		s.ended = true // one message is enough
	case endInString:
		f.code, f.text = "open-string", "a string in this instance is not closed; the instance is left out"
		f.fix = "export the file again"
	case endInComment:
		f.code, f.text = "open-comment", "a comment that begins in this instance is not closed; the rest of the file cannot be read"
		f.fix = "close the comment with */"
		s.ended = true
	case endMissing:
		f.code, f.text = "no-semicolon", "no ; at the end of this instance; it is left out"
		f.fix = "export the file again"
	}
	s.faults = append(s.faults, f)
	s.pos = next
}

// damaged reports an instance that cannot be indexed and goes on at the next one.
func (s *scanner) damaged(start, at int, id uint64, text string) {
	text += "; the instance is left out"
	code, fix := "syntax", "export the file again"
	if at >= len(s.data) {
		code, text, fix = "truncated", "the file ends inside this instance; it is left out", "the file was cut off: export or copy it again"
		s.ended = true
	}
	s.faults = append(s.faults, fault{off: start, id: id, severity: source.Skipped, code: code, text: text, fix: fix})
	s.pos = nextInstance(s.data, max(at, start+1))
}

// junk reports text that belongs to nothing and goes on at the next instance.
func (s *scanner) junk(at int, code, text string) {
	s.faults = append(s.faults, fault{off: at, severity: source.Skipped, code: code, text: text, fix: "export the file again"})
	s.pos = nextInstance(s.data, at+1)
}

// keyword reads "DATA;", "ENDSEC;", "FILE_NAME(...);" and the like.
func (s *scanner) keyword() {
	d, start := s.data, s.pos
	i := start
	for i < len(d) && (isWord(d[i]) || d[i] == '-') {
		i++
	}
	word := string(bytes.ToUpper(d[start:i]))
	i = skipBlank(d, i)
	if i < len(d) && d[i] == '(' && word != "DATA" {
		end, why := endOfRecord(d, i)
		if why != endFound {
			s.faults = append(s.faults, fault{off: start, severity: source.Skipped, code: "open-record",
				text: fmt.Sprintf("%s has no end; it is left out", word), fix: "export the file again"})
			s.pos = max(end, start+1)
			return
		}
		s.headers = append(s.headers, start)
		s.pos = end
		return
	}
	switch {
	case i < len(d) && d[i] == '(': // DATA('name',('schema'));
		i, _ = endOfRecord(d, i)
	case i < len(d) && d[i] == ';':
		i++
	case !sectionWords[word]:
		s.junk(start, "junk", fmt.Sprintf("%q belongs to nothing; skipped up to the next instance", clip(word)))
		return
	default:
		s.faults = append(s.faults, fault{off: start, code: "no-semicolon", text: "; was expected behind " + word})
	}
	s.pos = i
	if word == "END-ISO-10303-21" {
		s.ended = true
		return
	}
	s.sections = append(s.sections, section{word, start})
	if word == "ANCHOR" || word == "REFERENCE" || word == "SIGNATURE" { // edition 3
		s.faults = append(s.faults, fault{off: start, code: "section", text: "the " + word + " section is not read"})
		if k := bytes.Index(d[i:], []byte("ENDSEC")); k >= 0 {
			s.pos = i + k
		}
	}
}

// sectionWords are the keywords that open and close sections.
var sectionWords = map[string]bool{"ISO-10303-21": true, "HEADER": true, "DATA": true, "ENDSEC": true, "END-ISO-10303-21": true}
