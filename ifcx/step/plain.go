package step

import (
	"encoding/binary"
	"math"
	"math/bits"

	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/source"
)

// The index pass reads every byte once. A record that is written plainly is also checked in
// that pass, so that its attributes can later be read without any check, and nobody needs to
// parse it to know that nothing is wrong with it. Plain is: one entity name, then lists,
// numbers, references, enumerations, typed values and text without directives, quotes or
// bytes beyond ASCII, between blanks and commas. Everything else is left to the careful
// reading of scan.go and marked as odd.

// class sorts bytes by what they can begin.
var class = func() (t [256]uint8) {
	for c := range t {
		switch {
		case c >= '0' && c <= '9':
			t[c] = isDigit
		case c >= 'A' && c <= 'Z', c == '_':
			t[c] = isUpper
		case c == ' ', c == '\n', c == '\r', c == '\t':
			t[c] = isBlank
		}
	}
	return t
}()

const (
	isDigit = 1 << iota
	isUpper
	isBlank
)

// maxPlainDepth is how deep lists and typed values of a plain record nest.
const maxPlainDepth = 30

// slots is the size of the table of entity names, a power of two.
const slots = 1 << 12

// arity is the least and greatest number of attributes that plain records of a kind have.
type arity struct{ least, most uint16 }

// room makes room for one more instance.
func (s *scanner) room() {
	if len(s.ids) < cap(s.ids) {
		return
	}
	n := len(s.ids) + len(s.ids)/4 + 1024
	s.ids = append(make([]graph.ID, 0, n), s.ids...)
	s.off = append(make([]uint32, 0, n), s.off...)
	s.kind = append(make([]uint16, 0, n), s.kind...)
}

// plain reads records from the current place on for as long as they are written plainly.
func (s *scanner) plain() {
	d := s.data[:s.stop]
	i := s.pos
	for {
		for i < len(d) && class[d[i]] == isBlank {
			i++
		}
		if i >= len(d) || d[i] != '#' {
			break
		}
		s.room()
		end := s.record(d, i)
		if end == 0 {
			break
		}
		if i = end; i-s.past > source.Stride && s.file != nil {
			s.file.Passed(s.past, i)
			s.past = i
		}
	}
	s.pos = i
}

// record reads one plain record whose number sign is at start and returns the offset behind
// its semicolon; 0 when it is not plain, and then nothing is recorded.
func (s *scanner) record(d []byte, start int) int {
	i, id := start+1, uint64(0)
	for i < len(d) && d[i]-'0' <= 9 {
		id = id*10 + uint64(d[i]-'0')
		i++
	}
	if n := i - start - 1; n == 0 || n > 10 || id == 0 || id > math.MaxUint32 {
		return 0
	}
	for i < len(d) && d[i] == ' ' {
		i++
	}
	if i >= len(d) || d[i] != '=' {
		return 0
	}
	for i++; i < len(d) && d[i] == ' '; i++ {
	}
	name := i
	if i = parenthesis(d, i); i-name < 4 || i-name > maxName {
		return 0
	}
	k, ok := s.kindOf(d[name:i])
	if !ok {
		return 0
	}
	end, n := s.attributes(d, i+1)
	if end == 0 {
		return 0
	}
	for end < len(d) && class[d[end]] == isBlank {
		end++
	}
	if end >= len(d) || d[end] != ';' {
		return 0
	}
	a := &s.arities[k]
	a.least, a.most = min(a.least, n), max(a.most, n)
	s.add(id, start, k)
	return end + 1
}

// add records an instance.
func (s *scanner) add(id uint64, start int, k uint16) {
	s.ids = append(s.ids, graph.ID(id))
	s.off = append(s.off, uint32(start))
	s.kind = append(s.kind, k)
	if w := id >> 6; w < uint64(len(s.defined)) {
		s.defined[w] |= 1 << (id & 63)
	}
}

// maxName is how long the entity names of plain records are at most.
const maxName = 100

const ones, tops = 0x0101010101010101, 0x8080808080808080 // every byte, and its top bit

// parenthesis returns the offset of the first opening parenthesis at or behind i, 0 when
// there is none near.
func parenthesis(d []byte, i int) int {
	for end := i + maxName; i+8 <= len(d) && i < end; i += 8 {
		w := binary.LittleEndian.Uint64(d[i:]) ^ ones*'('
		if hit := (w - ones) &^ w & tops; hit != 0 {
			return i + bits.TrailingZeros64(hit)/8
		}
	}
	return 0
}

// kindOf finds the kind of an upper-case name; false when there are too many kinds.
func (s *scanner) kindOf(name []byte) (uint16, bool) {
	h := binary.LittleEndian.Uint32(name)*0x9E3779B1 ^ binary.LittleEndian.Uint32(name[len(name)-4:])*0x85EBCA6B ^ uint32(len(name))*0xC2B2AE35
	h ^= h >> 15
	slot := &s.bySlot[h%slots]
	if k := *slot; k > 0 && s.names[k-1] == string(name) {
		return k - 1, true
	}
	k, ok := s.byRaw[string(name)]
	if !ok {
		for _, c := range name {
			if class[c]&(isUpper|isDigit) == 0 {
				return 0, false
			}
		}
		var err error
		if k, err = s.newKind(name); err != nil {
			return 0, false
		}
	}
	*slot = k + 1
	return k, true
}

// attributes reads a plain list of attributes from behind its opening parenthesis. It returns
// the offset behind the closing one and how many attributes there are; 0 when it is not plain.
func (s *scanner) attributes(d []byte, i int) (end int, n uint16) {
	depth, typed := 1, uint32(0) // bit 0 of typed: the innermost parentheses hold the value of a typed one
	refd, top := s.refd, s.top
	if i < len(d) && d[i] == ')' {
		return i + 1, 0
	}
	n = 1
	for i < len(d) {
		// A value.
		switch c := d[i]; {
		case class[c] == isDigit || c == '-':
			if i = number(d, i); i == 0 {
				return 0, 0
			}
		case c == '#':
			ref, from := uint64(0), i
			for i++; i < len(d) && d[i]-'0' <= 9; i++ {
				ref = ref*10 + uint64(d[i]-'0')
			}
			if i-from > 11 || ref == 0 {
				return 0, 0
			}
			if w := ref >> 6; w < uint64(len(refd)) {
				refd[w] |= 1 << (ref & 63)
				top = max(top, w)
			} else {
				s.wild = true
			}
		case c == '$' || c == '*':
			i++
		case c == '\'':
			if i = plainText(d, i+1); i == 0 {
				return 0, 0
			}
		case c == '(':
			if depth++; depth > maxPlainDepth {
				return 0, 0
			}
			typed <<= 1
			i++
			if i < len(d) && d[i] == ')' {
				break // an empty list
			}
			continue
		case c == '.':
			from := i + 1
			for i++; i < len(d) && class[d[i]]&(isUpper|isDigit) != 0; i++ {
			}
			if i == from || i >= len(d) || d[i] != '.' || class[d[from]] == isDigit {
				return 0, 0
			}
			i++
		case class[c] == isUpper:
			for i++; i < len(d) && class[d[i]]&(isUpper|isDigit) != 0; i++ {
			}
			if depth++; depth > maxPlainDepth || i+1 >= len(d) || d[i] != '(' || d[i+1] == ')' {
				return 0, 0
			}
			typed = typed<<1 | 1
			i++
			continue
		case class[c] == isBlank:
			i++
			continue
		default:
			return 0, 0
		}
		// What follows a value.
	behind:
		if i >= len(d) {
			return 0, 0
		}
		switch c := d[i]; {
		case c == ',':
			if typed&1 != 0 {
				return 0, 0 // two values in a typed one
			}
			if i++; depth == 1 {
				if n++; n == math.MaxUint16 {
					return 0, 0
				}
			}
		case c == ')':
			i++
			if depth--; depth == 0 {
				s.top = top
				return i, n
			}
			typed >>= 1
			goto behind
		case class[c] == isBlank:
			i++
			goto behind
		default:
			return 0, 0
		}
	}
	return 0, 0
}

// number passes over a number that any reader takes: sign, digits, point, digits and an
// exponent of at most two digits; 0 when it is written in another way.
func number(d []byte, i int) int {
	if d[i] == '-' {
		i++
	}
	from := i
	for i < len(d) && d[i]-'0' <= 9 {
		i++
	}
	if i == from || i-from > 200 {
		return 0
	}
	if i < len(d) && d[i] == '.' {
		for i++; i < len(d) && d[i]-'0' <= 9; i++ {
		}
	}
	if i < len(d) && d[i] == 'E' {
		if i++; i < len(d) && (d[i] == '-' || d[i] == '+') {
			i++
		}
		from = i
		for i < len(d) && d[i]-'0' <= 9 {
			i++
		}
		if i == from || i-from > 2 {
			return 0
		}
	}
	return i
}

// plainText passes over text and its closing quote; 0 when the text holds a directive, a
// doubled quote, a control character or a byte beyond ASCII.
func plainText(d []byte, i int) int {
	for ; i+8 <= len(d); i += 8 {
		w := binary.LittleEndian.Uint64(d[i:])
		quote, slash := w^(ones*'\''), w^(ones*'\\')
		// The top bit of every byte that is a quote, a reverse solidus, below a blank or
		// beyond ASCII; borrows can only mark bytes behind a marked one.
		hit := ((quote - ones) &^ quote) | ((slash - ones) &^ slash) | ((w - ones*' ') &^ w) | w
		if hit &= tops; hit != 0 {
			i += bits.TrailingZeros64(hit) / 8
			if d[i] != '\'' || i+1 < len(d) && d[i+1] == '\'' {
				return 0
			}
			return i + 1
		}
	}
	for ; i < len(d); i++ {
		switch c := d[i]; {
		case c == '\'':
			if i+1 < len(d) && d[i+1] == '\'' {
				return 0
			}
			return i + 1
		case c == '\\' || c < ' ' || c >= 0x80:
			return 0
		}
	}
	return 0
}
