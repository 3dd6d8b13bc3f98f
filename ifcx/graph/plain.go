package graph

import (
	"math"
	"strconv"
	"strings"
)

// PlainReader is a Reader that knows of most instances, without parsing them, that nothing is
// wrong with them, and gives their text. Attributes of such instances are read straight from
// the text, one at a time, without making values of the others.
type PlainReader interface {
	Reader
	// Odd reports whether an instance must be read by Attrs: what is not odd has no fault, as
	// many attributes as its entity (or its Short number), no reference to nothing, no text
	// with a directive, a doubled quote or a byte that is not printable ASCII, and no comment.
	Odd(pos int) bool
	// Record returns the text behind the opening parenthesis of an instance that is not odd;
	// it may go on beyond the instance's end.
	Record(pos int) string
}

// record returns the text of a plain instance, "" when it must be read by attrs.
func (g *Graph) record(p int) string {
	if g.plain == nil || g.plain.Odd(p) {
		return ""
	}
	return g.plain.Record(p)
}

// field returns the text of a plain record from attribute i on; "" when there are fewer.
func field(rec string, i int) string {
	depth := 0
	for k := 0; i > 0; k++ {
		switch rec[k] {
		case '\'':
			k += 1 + strings.IndexByte(rec[k+1:], '\'')
		case '(':
			depth++
		case ')':
			if depth--; depth < 0 {
				return ""
			}
		case ',':
			if depth == 0 {
				if i--; i == 0 {
					rec = rec[k+1:]
				}
			}
		}
	}
	return trim(rec)
}

// trim takes blanks off the front.
func trim(s string) string {
	for len(s) > 0 && s[0] <= ' ' {
		s = s[1:]
	}
	return s
}

// unwrap returns the text of the value inside a typed one, and every other text as it is.
func unwrap(s string) string {
	for len(s) > 0 && s[0] >= 'A' && s[0] <= 'Z' {
		s = trim(s[strings.IndexByte(s, '(')+1:])
	}
	return s
}

// textOf reads text, "" for everything else.
func textOf(s string) string {
	if s = unwrap(s); len(s) > 1 && s[0] == '\'' {
		return s[1 : 1+strings.IndexByte(s[1:], '\'')]
	}
	return ""
}

// enumOf reads an enumeration item, "" for everything else.
func enumOf(s string) string {
	if s = unwrap(s); len(s) > 1 && s[0] == '.' {
		return s[1 : 1+strings.IndexByte(s[1:], '.')]
	}
	return ""
}

// refOf reads a reference, 0 for everything else.
func refOf(s string) ID {
	if s = unwrap(s); len(s) > 0 && s[0] == '#' {
		id, _ := refAt(s, 0)
		return id
	}
	return 0
}

// refAt reads the reference whose number sign is at i and returns the offset behind it.
func refAt(s string, i int) (ID, int) {
	id := ID(0)
	for i++; i < len(s) && s[i]-'0' <= 9; i++ {
		id = id*10 + ID(s[i]-'0')
	}
	return id, i
}

// appendRefsOf appends every reference in a value, those in lists included, in order.
func appendRefsOf(to []ID, s string) []ID {
	depth := 0
	for i := 0; i < len(s); {
		switch s[i] {
		case '#':
			var id ID
			id, i = refAt(s, i)
			to = append(to, id)
			continue
		case '\'':
			i += 1 + strings.IndexByte(s[i+1:], '\'')
		case '(':
			depth++
		case ')':
			depth--
		}
		if i++; depth < 0 || depth == 0 && (s[i-1] == ',' || s[i-1] == ')') {
			break
		}
	}
	return to
}

// floatOf reads a number; false for everything else.
func floatOf(s string) (float64, bool) {
	s = unwrap(s)
	if len(s) == 0 || s[0] != '-' && s[0]-'0' > 9 {
		return 0, false
	}
	f, _ := floatAt(s, 0)
	return f, true
}

// exact are the powers of ten that a float64 holds exactly.
var exact = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// floatAt reads the number at i and returns the offset behind it. A number of up to 15 digits
// times or by a power of ten up to 22 is exact in one operation (Clinger, How to Read
// Floating Point Numbers Accurately, 1990); others are left to the standard library.
func floatAt(s string, i int) (float64, int) {
	from := i
	if s[i] == '-' {
		i++
	}
	m, digits, scale := uint64(0), i, 0
	for ; i < len(s) && s[i]-'0' <= 9; i++ {
		m = m*10 + uint64(s[i]-'0')
	}
	if i < len(s) && s[i] == '.' {
		point := i
		for i++; i < len(s) && s[i]-'0' <= 9; i++ {
			m = m*10 + uint64(s[i]-'0')
		}
		scale = point + 1 - i
		digits++
	}
	digits = i - digits
	if i < len(s) && (s[i] == 'E' || s[i] == 'e') {
		e, sign := 0, 1
		if i++; s[i] == '-' || s[i] == '+' {
			if s[i] == '-' {
				sign = -1
			}
			i++
		}
		for ; i < len(s) && s[i]-'0' <= 9; i++ {
			e = e*10 + int(s[i]-'0')
		}
		scale += sign * e
	}
	if digits > 15 || scale < -22 || scale > 22 {
		f, err := strconv.ParseFloat(s[from:i], 64)
		if err != nil {
			return math.NaN(), i // cannot be: a plain number is in range
		}
		return f, i
	}
	f := float64(m)
	if scale < 0 {
		f /= exact[-scale]
	} else if scale > 0 {
		f *= exact[scale]
	}
	if s[from] == '-' {
		f = -f
	}
	return f, i
}

// appendFloatsOf appends the members of a flat list of numbers; false when it is none.
func appendFloatsOf(to []float64, s string) ([]float64, bool) {
	s = unwrap(s)
	if len(s) == 0 || s[0] != '(' {
		return to, false
	}
	for i := 1; ; {
		switch c := s[i]; {
		case c == ')':
			return to, true
		case c <= ' ' || c == ',':
			i++
		case c == '-' || c-'0' <= 9:
			var f float64
			f, i = floatAt(s, i)
			to = append(to, f)
		case c >= 'A' && c <= 'Z': // a typed number
			i += strings.IndexByte(s[i:], '(') + 1
			f, ok := floatOf(trim(s[i:]))
			if !ok {
				return to, false
			}
			to = append(to, f)
			for depth := 1; depth > 0; i++ {
				switch s[i] {
				case '(':
					depth++
				case ')':
					depth--
				}
			}
		default:
			return to, false
		}
	}
}

// Text is the text of one attribute of a plain record.
type Text string

// Str returns text, "" when the attribute is none; typed values are unwrapped.
func (t Text) Str() string { return textOf(string(t)) }

// Enum returns an enumeration item, "" when the attribute is none.
func (t Text) Enum() string { return enumOf(string(t)) }

// Ref returns a reference, 0 when the attribute is none.
func (t Text) Ref() ID { return refOf(string(t)) }

// Split appends the texts of all attributes of the instance at a place; false when it must
// be read by Attrs.
func (g *Graph) Split(to []Text, place int) ([]Text, bool) {
	rec := g.record(place)
	if rec == "" {
		return to, false
	}
	depth, from := 0, 0
	for k := 0; ; k++ {
		switch rec[k] {
		case '\'':
			k += 1 + strings.IndexByte(rec[k+1:], '\'')
		case '(':
			depth++
		case ')':
			if depth--; depth < 0 {
				return append(to, Text(trim(rec[from:k]))), true
			}
		case ',':
			if depth == 0 {
				to = append(to, Text(trim(rec[from:k])))
				from = k + 1
			}
		}
	}
}
