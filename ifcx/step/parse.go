package step

import (
	"fmt"
	"strconv"
	"strings"

	"voidcheck/ifcx/express"
	"voidcheck/ifcx/graph"
)

// Limits of one instance, against files made to exhaust memory or stack. Real instances
// nest 4 lists deep; the longest lists are those of face sets.
const (
	maxDepth  = 100
	maxValues = 8 << 20
)

// parser reads the attribute values of one instance. Values of a list are gathered on one
// stack and copied out at their exact number.
type parser struct {
	text   string
	pos    int
	depth  int
	count  int
	stack  []graph.Value
	schema *express.Schema // for the names of typed values; may be nil
	faults []graph.Fault
	latin  bool // bytes that are not UTF-8 were met
}

func (p *parser) fault(off int, code, text string) {
	if len(p.faults) < 10 { // more of the same instance tell nothing new
		p.faults = append(p.faults, graph.Fault{Off: int64(off), Code: code, Text: text})
	}
}

// fatal records a fault that makes the instance unreadable.
func (p *parser) fatal(text string) bool {
	if p.pos >= len(p.text) {
		text = "the file ends inside the instance"
	}
	p.faults = append(p.faults, graph.Fault{Off: int64(p.pos), Code: "syntax", Text: text + "; the instance is left out"})
	return false
}

func (p *parser) blank() {
	for p.pos < len(p.text) {
		switch c := p.text[p.pos]; {
		case c <= ' ':
			p.pos++
		case c == '/' && p.pos+1 < len(p.text) && p.text[p.pos+1] == '*':
			k := strings.Index(p.text[p.pos+2:], "*/")
			if k < 0 {
				p.pos = len(p.text)
				return
			}
			p.pos += k + 4
		default:
			return
		}
	}
}

// at reports whether c is the next byte behind blanks.
func (p *parser) at(c byte) bool {
	p.blank()
	return p.pos < len(p.text) && p.text[p.pos] == c
}

// list reads "(a,b,...)" with the opening parenthesis next.
func (p *parser) list() ([]graph.Value, bool) {
	if !p.at('(') {
		return nil, p.fatal("( was expected")
	}
	if p.depth++; p.depth > maxDepth {
		return nil, p.fatal(fmt.Sprintf("lists nest deeper than %d", maxDepth))
	}
	p.pos++
	base := len(p.stack)
	for first := true; ; first = false {
		if first && p.at(')') {
			break
		}
		v, ok := p.value()
		if !ok {
			return nil, false
		}
		if p.count++; p.count > maxValues {
			return nil, p.fatal(fmt.Sprintf("the instance has more than %d values", maxValues))
		}
		p.stack = append(p.stack, v)
		if p.at(',') {
			p.pos++
			continue
		}
		if p.at(')') {
			break
		}
		return nil, p.fatal(", or ) was expected, found " + p.here())
	}
	p.pos++
	p.depth--
	vals := make([]graph.Value, len(p.stack)-base)
	copy(vals, p.stack[base:])
	clear(p.stack[base:])
	p.stack = p.stack[:base]
	return vals, true
}

// value reads one value; an empty place reads as Null and is reported.
func (p *parser) value() (graph.Value, bool) {
	p.blank()
	if p.pos >= len(p.text) {
		return graph.Value{}, p.fatal("")
	}
	switch c := p.text[p.pos]; {
	case c == '$':
		p.pos++
		return graph.Value{}, true
	case c == '*':
		p.pos++
		return graph.Value{Kind: graph.Derived}, true
	case c == '#':
		return p.ref()
	case c == '\'':
		return p.str()
	case c == '(':
		l, ok := p.list()
		return graph.Value{Kind: graph.List, List: l}, ok
	case c == '.' && !(p.pos+1 < len(p.text) && p.text[p.pos+1]-'0' <= 9):
		return p.enum()
	case c == '"':
		return p.binary()
	case c == '+' || c == '-' || c == '.' || c-'0' <= 9:
		return p.number()
	case isLetter(c) || c == '!':
		return p.typed()
	case c == ',' || c == ')':
		p.fault(p.pos, "missing-value", "a value is missing before "+string(c)+"; it reads as not given")
		return graph.Value{}, true
	}
	return graph.Value{}, p.fatal("a value was expected, found " + p.here())
}

// here quotes the next byte for a message.
func (p *parser) here() string {
	if p.pos >= len(p.text) {
		return "the end of the file"
	}
	return quoteByte(p.text[p.pos])
}

func (p *parser) ref() (graph.Value, bool) {
	start := p.pos
	n := uint64(0)
	for p.pos++; p.pos < len(p.text) && p.text[p.pos]-'0' <= 9; p.pos++ {
		if n < 1<<32 {
			n = n*10 + uint64(p.text[p.pos]-'0')
		}
	}
	if p.pos == start+1 {
		return graph.Value{}, p.fatal("a number was expected behind #")
	}
	if n == 0 || n >= 1<<32 {
		p.fault(start, "dangling-reference", p.text[start:min(p.pos, start+24)]+" is no possible instance number; the reference is left out")
		return graph.Value{}, true
	}
	return graph.Value{Kind: graph.Ref, Ref: graph.ID(n)}, true
}

func (p *parser) enum() (graph.Value, bool) {
	start := p.pos + 1
	i := start
	for i < len(p.text) && isWord(p.text[i]) {
		i++
	}
	if i >= len(p.text) || p.text[i] != '.' || i == start {
		p.pos = i
		return graph.Value{}, p.fatal("an enumeration item between dots was expected")
	}
	p.pos = i + 1
	return graph.Value{Kind: graph.Enum, Text: upper(p.text[start:i])}, true
}

// binary reads "0F..."; the text is kept as it is, its first digit is the number of unused bits.
func (p *parser) binary() (graph.Value, bool) {
	start := p.pos + 1
	i := start
	for i < len(p.text) && (p.text[i]-'0' <= 9 || p.text[i]|0x20 >= 'a' && p.text[i]|0x20 <= 'f' || p.text[i] <= ' ') {
		i++
	}
	if i >= len(p.text) || p.text[i] != '"' {
		p.pos = i
		return graph.Value{}, p.fatal("hexadecimal digits and \" were expected")
	}
	p.pos = i + 1
	return graph.Value{Kind: graph.Binary, Text: p.text[start:i]}, true
}

// number reads an integer or a real. Letters that make it no number (1.#QNAN, INF) are
// taken in, so that the value alone is lost.
func (p *parser) number() (graph.Value, bool) {
	start, real, odd := p.pos, false, false
loop:
	for ; p.pos < len(p.text); p.pos++ {
		switch c := p.text[p.pos]; {
		case c-'0' <= 9 || c == '+' || c == '-':
		case c == '.' || c == 'E' || c == 'e':
			real = true
		case isLetter(c) || c == '#' || c == '_':
			odd = true
		default:
			break loop
		}
	}
	word := p.text[start:p.pos]
	if !real && !odd && len(word) < 18 {
		if n, err := strconv.Atoi(word); err == nil {
			return graph.Value{Kind: graph.Integer, Num: float64(n)}, true
		}
	}
	f, err := strconv.ParseFloat(word, 64)
	if err != nil || odd {
		p.fault(start, "not-a-number", fmt.Sprintf("%s is not a number; it reads as not given", clip(word)))
		return graph.Value{}, true
	}
	if !real {
		return graph.Value{Kind: graph.Integer, Num: f}, true
	}
	return graph.Value{Kind: graph.Real, Num: f}, true
}

// typed reads IFCLABEL('x'). A bare word (NAN, INF, TRUE) is reported and reads as Null.
func (p *parser) typed() (graph.Value, bool) {
	start := p.pos
	for p.pos < len(p.text) && isWord(p.text[p.pos]) {
		p.pos++
	}
	word := p.text[start:p.pos]
	if !p.at('(') {
		what := "is no value"
		switch upper(word) {
		case "NAN", "INF", "INFINITY":
			what = "is not a number"
		}
		p.fault(start, "not-a-value", fmt.Sprintf("%s %s; it reads as not given", clip(word), what))
		return graph.Value{}, true
	}
	l, ok := p.list()
	if !ok {
		return graph.Value{}, false
	}
	if len(l) != 1 {
		p.fault(start, "typed-value", fmt.Sprintf("%s holds %d values where 1 was expected; it reads as not given", clip(word), len(l)))
		return graph.Value{}, true
	}
	return graph.Value{Kind: graph.Typed, Type: p.typeName(word), List: l}, true
}

// typeName gives a type name the case that the schema has for it.
func (p *parser) typeName(word string) string {
	if t := p.schema.Type(word); t != nil {
		return t.Name
	}
	if e := p.schema.Entity(word); e != nil {
		return e.Name
	}
	return word
}

// upper is strings.ToUpper for names, without work where nothing is to do.
func upper(s string) string {
	for i := 0; i < len(s); i++ {
		if c := s[i]; c >= 'a' && c <= 'z' {
			return strings.ToUpper(s)
		}
	}
	return s
}
