package ifcxml

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"voidcheck/ifcx/express"
	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/source"
)

// kind is how the text or the elements of a type are read.
type kind uint8

const (
	unknown kind = iota
	aggregate
	entity
	choice // SELECT
	enum
	text
	number
	integer
	logical
	binary
)

// typ is an EXPRESS type, read from its text.
type typ struct {
	kind kind
	name string // of an entity, select, enumeration or defined type
	elem *typ   // aggregate
	size int    // aggregate of fixed length, else 0
	ent  *express.Entity
}

// typeOf reads an EXPRESS type: "IfcLabel", "LIST [3:3] OF IfcLengthMeasure", "REAL".
func (b *builder) typeOf(s string) *typ {
	if t := b.types[s]; t != nil {
		return t
	}
	t := &typ{name: s}
	b.types[s] = t // before descending: a type that named itself would not end otherwise
	if head, elem, ok := strings.Cut(s, " OF "); ok && isAggregate(head) {
		t.kind, t.elem, t.size = aggregate, b.typeOf(strings.TrimPrefix(elem, "UNIQUE ")), fixedSize(head)
		return t
	}
	switch word, _, _ := strings.Cut(s, "("); strings.TrimSpace(word) {
	case "STRING":
		t.kind = text
	case "REAL", "NUMBER":
		t.kind = number
	case "INTEGER":
		t.kind = integer
	case "BOOLEAN", "LOGICAL":
		t.kind = logical
	case "BINARY":
		t.kind = binary
	default:
		b.named(t)
	}
	return t
}

func isAggregate(head string) bool {
	word, _, _ := strings.Cut(head, " ")
	return word == "LIST" || word == "SET" || word == "BAG" || word == "ARRAY"
}

// fixedSize returns n for "LIST [n:n]" and "ARRAY [1:n]", else 0.
func fixedSize(head string) int {
	_, r, ok := strings.Cut(head, "[")
	lo, hi, ok2 := strings.Cut(strings.TrimSuffix(r, "]"), ":")
	a, err1 := strconv.Atoi(lo)
	z, err2 := strconv.Atoi(hi)
	switch {
	case !ok || !ok2 || err1 != nil || err2 != nil:
		return 0
	case strings.HasPrefix(head, "ARRAY"):
		return z - a + 1
	case a == z:
		return z
	}
	return 0
}

// named fills in what a name of the schema stands for.
func (b *builder) named(t *typ) {
	if t.ent = b.schema.Entity(t.name); t.ent != nil {
		t.kind = entity
		return
	}
	x := b.schema.Type(t.name)
	switch {
	case x == nil:
		return
	case x.Kind == express.Enumeration:
		t.kind = enum
	case x.Kind == express.Select:
		t.kind = choice
	default:
		u := b.typeOf(x.Under)
		t.kind, t.elem, t.size = u.kind, u.elem, u.size
	}
	t.name = x.Name
}

// value reads text by its type. sizes are the lengths of nested lists, outermost first,
// where the file gives them. Text that is no value of the type is reported and reads as Null.
func (b *builder) value(t *typ, s string, pos int, sizes []int) graph.Value {
	if t.kind == text {
		return graph.Value{Kind: graph.String, Text: s}
	}
	s = strings.TrimSpace(s)
	switch t.kind {
	case aggregate:
		return b.list(t, s, pos, sizes)
	case entity:
		if s == "" {
			return graph.Value{}
		}
		return b.mentioned(strings.TrimPrefix(s, "#"), pos)
	case enum:
		if s == "" {
			return graph.Value{}
		}
		return graph.Value{Kind: graph.Enum, Text: strings.ToUpper(s)}
	case logical:
		switch strings.ToLower(s) {
		case "true", "1":
			return graph.Value{Kind: graph.Enum, Text: "T"}
		case "false", "0":
			return graph.Value{Kind: graph.Enum, Text: "F"}
		case "unknown":
			return graph.Value{Kind: graph.Enum, Text: "U"}
		}
		return b.refuse(pos, "not-a-value", s, "true, false or unknown")
	case binary:
		return graph.Value{Kind: graph.Binary, Text: s}
	case number, integer:
		f, err := strconv.ParseFloat(s, 64)
		if whole, part, ok := strings.Cut(s, ","); ok && err != nil {
			// Seen from programs that write in the user's locale. XML has no thousands separator.
			if f, err = strconv.ParseFloat(whole+"."+part, 64); err == nil {
				b.log.Add(b.problem(source.Warning, pos, "comma", fmt.Sprintf("%q has a comma where XML has a point; it is read as %g", clip(s), f), ""))
				s = whole + "." + part
			}
		}
		if err != nil || math.IsNaN(f) || math.IsInf(f, 0) || strings.ContainsAny(s, "xX_") {
			return b.refuse(pos, "not-a-number", s, "a number")
		}
		k := graph.Real
		if t.kind == integer {
			k = graph.Integer
		}
		return graph.Value{Kind: k, Num: f}
	}
	if s == "" {
		return graph.Value{}
	}
	b.log.Add(b.problem(source.Warning, pos, "untyped-value", fmt.Sprintf("%q stands for %s without saying its type; it is kept as text", clip(s), t.name), ""))
	return graph.Value{Kind: graph.String, Text: s}
}

func (b *builder) refuse(pos int, code, s, want string) graph.Value {
	what := strconv.Quote(clip(s)) + " is not " + want
	if s == "" {
		what = "nothing where " + want + " was expected"
	}
	b.log.Add(b.problem(source.Warning, pos, code, what+"; it reads as not given", ""))
	return graph.Value{}
}

// list reads words parted by blanks. Lists in lists are written flat; the length of the
// inner ones comes from the schema or from the file.
func (b *builder) list(t *typ, s string, pos int, sizes []int) graph.Value {
	words := strings.Fields(s)
	v := graph.Value{Kind: graph.List, List: make([]graph.Value, 0, len(words))}
	if t.elem.kind != aggregate {
		for _, w := range words {
			v.List = append(v.List, b.value(t.elem, w, pos, nil))
		}
		return v
	}
	n := t.elem.size
	if n == 0 && len(sizes) > 1 {
		n = sizes[len(sizes)-1]
	}
	if n <= 0 || len(words)%n != 0 {
		if len(words) > 0 {
			return b.refuse(pos, "list-length", s, "a list of lists of known length")
		}
		return v
	}
	for ; len(words) > 0; words = words[n:] {
		v.List = append(v.List, b.value(t.elem, strings.Join(words[:n], " "), pos, nil))
	}
	return v
}
