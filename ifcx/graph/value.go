package graph

import "math"

// Kind is what a Value holds.
type Kind uint8

// The kinds of value.
const (
	Null    Kind = iota // $ or absent
	Derived             // *
	Integer
	Real
	String // decoded text
	Enum   // without dots; .T. .F. .U. are Enum "T" "F" "U"
	Binary
	Ref
	List
	Typed // IFCLABEL('x'): Type is "IfcLabel", List[0] the value
)

// Value is one attribute value.
type Value struct {
	Kind Kind
	Ref  ID
	Num  float64 // Integer and Real
	Text string  // String, Enum, Binary
	Type string  // Typed: canonical type name
	List []Value
}

// IsNull reports whether there is no value: $, * or absent.
func (v Value) IsNull() bool { return v.Kind == Null || v.Kind == Derived }

// Unwrap returns the value inside a typed one, and every other value as it is.
func (v Value) Unwrap() Value {
	for v.Kind == Typed && len(v.List) == 1 {
		v = v.List[0]
	}
	return v
}

// AsFloat returns a number, also from inside a typed value.
func (v Value) AsFloat() (float64, bool) {
	v = v.Unwrap()
	return v.Num, v.Kind == Real || v.Kind == Integer
}

// AsInt returns a whole number, also when it is written as a real.
func (v Value) AsInt() (int, bool) {
	return whole(v.AsFloat())
}

func whole(f float64, ok bool) (int, bool) {
	if !ok || f != math.Trunc(f) || math.Abs(f) > 1<<53 {
		return 0, false
	}
	return int(f), true
}

// AsString returns text, "" for everything else.
func (v Value) AsString() string {
	if v = v.Unwrap(); v.Kind == String {
		return v.Text
	}
	return ""
}

// AsEnum returns an enumeration item without its dots, "" for everything else.
func (v Value) AsEnum() string {
	if v = v.Unwrap(); v.Kind == Enum {
		return v.Text
	}
	return ""
}

// AsBool returns a boolean; known is false for unknown (.U.) and for everything else.
func (v Value) AsBool() (value, known bool) {
	return truth(v.AsEnum())
}

func truth(item string) (value, known bool) {
	switch item {
	case "T":
		return true, true
	case "F":
		return false, true
	}
	return false, false
}

// AsRef returns a reference, 0 for everything else.
func (v Value) AsRef() ID {
	if v = v.Unwrap(); v.Kind == Ref {
		return v.Ref
	}
	return 0
}

// Refs returns every reference in v, nested lists included, in order.
func (v Value) Refs() []ID {
	switch v.Kind {
	case Ref:
		return []ID{v.Ref}
	case List, Typed:
		return appendRefs(make([]ID, 0, len(v.List)), v)
	}
	return nil
}

func appendRefs(r []ID, v Value) []ID {
	for _, x := range v.List {
		if x.Kind == Ref {
			r = append(r, x.Ref)
		} else {
			r = appendRefs(r, x)
		}
	}
	return r
}

// Items returns the members of a list, also of one inside a typed value; nil otherwise.
func (v Value) Items() []Value {
	if v = v.Unwrap(); v.Kind == List {
		return v.List
	}
	return nil
}

// Floats returns a flat list of numbers; false when a member is not a number.
func (v Value) Floats() ([]float64, bool) {
	if v = v.Unwrap(); v.Kind != List {
		return nil, false
	}
	r := make([]float64, len(v.List))
	for i, x := range v.List {
		f, ok := x.AsFloat()
		if !ok {
			return nil, false
		}
		r[i] = f
	}
	return r, true
}
