package graph

import (
	"math"
	"strconv"
	"strings"

	"voidcheck/ifcx/express"
)

// maxRecordDepth is how deep lists and typed values of a plain record nest.
const maxRecordDepth = 30

// AppendRecord appends the attributes of an instance as the text that a PlainReader gives:
// from behind the opening parenthesis to the semicolon. ok is false when they cannot be
// written plainly; then nothing is appended. Readers of other syntaxes hold instances so, for
// text takes a tenth of the memory of values. Types of typed values must be of the schema.
func AppendRecord(to []byte, vals []Value, s *express.Schema) (text []byte, ok bool) {
	before := len(to)
	if to, ok = appendValues(to, vals, s, 1); !ok {
		return to[:before], false
	}
	return append(to, ')', ';'), true
}

func appendValues(to []byte, vals []Value, s *express.Schema, depth int) ([]byte, bool) {
	if depth > maxRecordDepth {
		return to, false
	}
	ok := true
	for i := range vals {
		if i > 0 {
			to = append(to, ',')
		}
		if to, ok = appendValue(to, &vals[i], s, depth); !ok {
			return to, false
		}
	}
	return to, true
}

func appendValue(to []byte, v *Value, s *express.Schema, depth int) ([]byte, bool) {
	switch v.Kind {
	case Null:
		return append(to, '$'), true
	case Derived:
		return append(to, '*'), true
	case Integer:
		if v.Num != math.Trunc(v.Num) || math.Abs(v.Num) > 1e15 {
			return to, false
		}
		return strconv.AppendInt(to, int64(v.Num), 10), v.Num != 0 || !math.Signbit(v.Num)
	case Real:
		from := len(to)
		to = strconv.AppendFloat(to, v.Num, 'G', -1, 64)
		for _, c := range to[from:] {
			if c == '.' || c == 'E' {
				return to, true
			}
		}
		return append(to, '.'), !math.IsInf(v.Num, 0) && !math.IsNaN(v.Num)
	case String:
		for i := 0; i < len(v.Text); i++ {
			if c := v.Text[i]; c < ' ' || c >= 0x80 || c == '\'' || c == '\\' {
				return to, false
			}
		}
		to = append(append(to, '\''), v.Text...)
		return append(to, '\''), true
	case Enum:
		for i := 0; i < len(v.Text); i++ {
			if c := v.Text[i]; (c < 'A' || c > 'Z') && c != '_' && (c-'0' > 9 || i == 0) {
				return to, false
			}
		}
		to = append(append(to, '.'), v.Text...)
		return append(to, '.'), v.Text != ""
	case Ref:
		return strconv.AppendUint(append(to, '#'), uint64(v.Ref), 10), v.Ref != 0
	case List:
		to, ok := appendValues(append(to, '('), v.List, s, depth+1)
		return append(to, ')'), ok
	case Typed:
		if t := s.Type(v.Type); len(v.List) != 1 || t == nil || t.Name != v.Type {
			return to, false
		}
		to, ok := appendValues(append(append(to, strings.ToUpper(v.Type)...), '('), v.List, s, depth+1)
		return append(to, ')'), ok
	}
	return to, false // binaries are rare
}

// ParseRecord makes the values of a plain record.
func ParseRecord(text string, s *express.Schema) []Value {
	vals, _ := parseValues(text, 0, s)
	return vals
}

// parseValues reads values from behind an opening parenthesis and returns the offset behind
// the closing one. The list is never nil.
func parseValues(s string, i int, schema *express.Schema) ([]Value, int) {
	vals := make([]Value, 0, 4)
	for {
		switch c := s[i]; {
		case c == ')':
			return vals, i + 1
		case c <= ' ' || c == ',':
			i++
		default:
			var v Value
			v, i = parseValue(s, i, schema)
			vals = append(vals, v)
		}
	}
}

func parseValue(s string, i int, schema *express.Schema) (Value, int) {
	switch c := s[i]; {
	case c == '*':
		return Value{Kind: Derived}, i + 1
	case c == '#':
		id, end := refAt(s, i)
		return Value{Kind: Ref, Ref: id}, end
	case c == '\'':
		n := strings.IndexByte(s[i+1:], '\'')
		return Value{Kind: String, Text: s[i+1 : i+1+n]}, i + n + 2
	case c == '(':
		l, end := parseValues(s, i+1, schema)
		return Value{Kind: List, List: l}, end
	case c == '.':
		n := strings.IndexByte(s[i+1:], '.')
		return Value{Kind: Enum, Text: s[i+1 : i+1+n]}, i + n + 2
	case c == '-' || c-'0' <= 9:
		f, end := floatAt(s, i)
		if strings.ContainsAny(s[i:end], ".E") {
			return Value{Kind: Real, Num: f}, end
		}
		return Value{Kind: Integer, Num: f}, end
	case c >= 'A' && c <= 'Z':
		n := strings.IndexByte(s[i:], '(')
		name := s[i : i+n]
		if t := schema.Type(name); t != nil {
			name = t.Name
		} else if e := schema.Entity(name); e != nil {
			name = e.Name
		}
		l, end := parseValues(s, i+n+1, schema)
		return Value{Kind: Typed, Type: name, List: l}, end
	}
	return Value{}, i + 1
}
