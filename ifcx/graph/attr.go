package graph

import (
	"fmt"
	"slices"
	"strings"

	"voidcheck/ifcx/source"
)

// Attrs returns the attribute values of an instance in STEP order, as many as its entity
// has; nil when there is no such instance or it is damaged (which has been logged).
// References to instances that are not in the file read as Null and are logged once.
func (g *Graph) Attrs(id ID) []Value {
	p, ok := g.pos.find(id)
	if !ok {
		return nil
	}
	return g.attrs(p)
}

// attrs reads through two caches of fixed size: a plain one, and one of few places for
// instances with long lists (coordinates, faces), so that they cannot fill the memory.
func (g *Graph) attrs(p int) []Value {
	slot, big := &g.small[p%len(g.small)], &g.large[p%len(g.large)]
	if c := slot.Load(); c != nil && c.pos == p {
		return c.vals
	}
	if c := big.Load(); c != nil && c.pos == p {
		return c.vals
	}
	vals, faults := g.reader.Attrs(p)
	if len(faults) > 0 && g.once(fact{factFaults, p, 0}) {
		for _, f := range faults {
			q := g.problem(p, f.Off, vals)
			q.Code, q.Text, q.Fix = f.Code, f.Text, f.Fix
			if vals == nil {
				q.Severity = source.Skipped
			}
			g.Log.Add(q)
		}
	}
	if vals != nil {
		vals = g.arity(p, vals)
		g.resolve(p, vals, vals)
	}
	if weight(vals, 0) > 64 {
		slot = big
	}
	slot.Store(&parsed{p, vals})
	return vals
}

func weight(vals []Value, n int) int {
	for i := range vals {
		if n++; n > 64 {
			break
		}
		n = weight(vals[i].List, n)
	}
	return n
}

// arity gives vals the length that the entity asks for.
func (g *Graph) arity(p int, vals []Value) []Value {
	e := g.in.Kinds[g.in.Kind[p]]
	want := len(e.Attrs)
	if len(vals) == want || e.Schema == nil {
		return vals
	}
	if (len(vals) != e.Short || e.Short == 0) && g.once(fact{factArity, p, 0}) {
		q := g.problem(p, -1, vals)
		if len(vals) < want {
			q.Code = "too-few-attributes"
			q.Text = fmt.Sprintf("%s attributes where %s has %d; %s and what follows read as not given",
				number(len(vals)), e.Schema.Name, want, e.Attrs[len(vals)].Name)
		} else {
			q.Code = "too-many-attributes"
			q.Text = fmt.Sprintf("%s attributes where %s has %d; those after %s are left out",
				number(len(vals)), e.Schema.Name, want, lastName(e.Attrs))
		}
		q.Fix = "check that the schema named in the file's header is the one it was written in"
		g.Log.Add(q)
	}
	if len(vals) > want {
		return vals[:want:want]
	}
	return append(vals[:len(vals):len(vals)], make([]Value, want-len(vals))...)
}

// resolve turns references to nothing into Null and logs each once with its holder.
func (g *Graph) resolve(p int, top, vals []Value) {
	for i := range vals {
		v := &vals[i]
		switch v.Kind {
		case Ref:
			if _, ok := g.pos.find(v.Ref); ok {
				continue
			}
			if g.once(fact{factDangling, p, v.Ref}) {
				q := g.problem(p, -1, top)
				q.Code = "dangling-reference"
				q.Text = fmt.Sprintf("#%d is not in the file; the reference is left out", v.Ref)
				g.Log.Add(q)
			}
			*v = Value{}
		case List, Typed:
			g.resolve(p, top, v.List)
		}
	}
}

// Attr returns an attribute by its name in the schema; Null when the entity has no such
// attribute (schemas differ), it is not given, or the instance is damaged or absent.
func (g *Graph) Attr(id ID, name string) Value {
	p, ok := g.pos.find(id)
	if !ok {
		return Value{}
	}
	i := g.in.Kinds[g.in.Kind[p]].Index(name)
	if i < 0 {
		return Value{}
	}
	if vals := g.attrs(p); i < len(vals) {
		return vals[i]
	}
	return Value{}
}

// plainAttr returns the text of an attribute of a plain instance, "" when it has none; ok is
// false when the instance must be read by attrs.
func (g *Graph) plainAttr(id ID, name string) (text string, ok bool) {
	p, found := g.pos.find(id)
	if !found {
		return "", false
	}
	rec := g.record(p)
	if rec == "" {
		return "", false
	}
	if i := g.in.Kinds[g.in.Kind[p]].Index(name); i >= 0 {
		return field(rec, i), true
	}
	return "", true
}

// Str returns a text attribute, "" when it is none; typed values are unwrapped.
func (g *Graph) Str(id ID, name string) string {
	if text, ok := g.plainAttr(id, name); ok {
		return textOf(text)
	}
	return g.Attr(id, name).AsString()
}

// Float returns a number in the file's units, and whether there is one; typed values are unwrapped.
func (g *Graph) Float(id ID, name string) (float64, bool) {
	if text, ok := g.plainAttr(id, name); ok {
		return floatOf(text)
	}
	return g.Attr(id, name).AsFloat()
}

// Int returns a whole number, and whether there is one.
func (g *Graph) Int(id ID, name string) (int, bool) {
	f, ok := g.Float(id, name)
	return whole(f, ok)
}

// Bool returns a boolean; known is false when it is unknown (.U.) or not given.
func (g *Graph) Bool(id ID, name string) (value, known bool) { return truth(g.Enum(id, name)) }

// Enum returns an enumeration item ("FLOOR"), "" when it is none.
func (g *Graph) Enum(id ID, name string) string {
	if text, ok := g.plainAttr(id, name); ok {
		return enumOf(text)
	}
	return g.Attr(id, name).AsEnum()
}

// Ref returns the instance that the attribute names, 0 when there is none.
func (g *Graph) Ref(id ID, name string) ID {
	if text, ok := g.plainAttr(id, name); ok {
		return refOf(text)
	}
	return g.Attr(id, name).AsRef()
}

// Refs returns every instance that the attribute names, in lists of any depth, in order.
func (g *Graph) Refs(id ID, name string) []ID { return g.AppendRefs(nil, id, name) }

// AppendRefs is Refs into a slice that is there already.
func (g *Graph) AppendRefs(to []ID, id ID, name string) []ID {
	if text, ok := g.plainAttr(id, name); ok {
		if cap(to)-len(to) < 16 { // relationships name thousands: room is made once
			to = slices.Grow(to, strings.Count(text[:max(0, strings.IndexByte(text, ';'))], "#"))
		}
		return appendRefsOf(to, text)
	}
	if v := g.Attr(id, name); v.Kind == Ref {
		return append(to, v.Ref)
	} else if v.Kind == List || v.Kind == Typed {
		return appendRefs(to, v)
	}
	return to
}

// List returns the members of a list attribute, nil when it is none.
func (g *Graph) List(id ID, name string) []Value { return g.Attr(id, name).Items() }

// Floats returns a flat list of numbers, and whether the attribute is one.
func (g *Graph) Floats(id ID, name string) ([]float64, bool) {
	if text, ok := g.plainAttr(id, name); ok {
		l, ok := appendFloatsOf(make([]float64, 0, 3), text)
		if !ok {
			return nil, false
		}
		return l, true
	}
	return g.Attr(id, name).Floats()
}

// Triple is Floats for a point or direction, without a slice: n is how many numbers there
// are, at most three of them in x; false when the attribute is no flat list of numbers.
func (g *Graph) Triple(id ID, name string) (x [3]float64, n int, ok bool) {
	text, plain := g.plainAttr(id, name)
	if !plain {
		l, ok := g.Attr(id, name).Floats()
		return x, copy(x[:], l) + max(0, len(l)-3), ok
	}
	var room [8]float64
	l, ok := appendFloatsOf(room[:0], text)
	return x, copy(x[:], l) + max(0, len(l)-3), ok
}
