package graph

import (
	"strconv"

	"voidcheck/ifcx/express"
	"voidcheck/ifcx/source"
)

// Report logs a problem of one instance with its place, type, name and GlobalId.
func (g *Graph) Report(sev source.Severity, id ID, code, text, fix string) {
	p, ok := g.pos.find(id)
	if !ok {
		g.Log.Add(source.Problem{Severity: sev, File: g.File.Name, Entity: g.Label(id), Code: code, Text: text, Fix: fix})
		return
	}
	q := g.problem(p, -1, g.attrs(p))
	q.Severity, q.Code, q.Text, q.Fix = sev, code, text, fix
	g.Log.Add(q)
}

// Verify parses every instance that is not known to be in order, so that whatever is wrong
// with any of them is logged, also of those that nobody asks for.
func (g *Graph) Verify() {
	for p := range g.in.IDs {
		if g.plain != nil && !g.plain.Odd(p) {
			continue
		}
		if !g.double[p] {
			g.attrs(p)
		}
	}
}

// placed returns a problem with the place of an instance; off -1 is that of the instance.
func (g *Graph) placed(p int, off int64) source.Problem {
	label, at := g.reader.Place(p)
	if off < 0 {
		off = at
	}
	q := source.Problem{File: g.File.Name, Entity: label, EntityType: g.in.Kinds[g.in.Kind[p]].Name}
	if off >= 0 {
		q.Line, q.Col = g.File.Position(off)
	}
	return q
}

// problem is placed with the name and GlobalId that an element has in vals.
func (g *Graph) problem(p int, off int64, vals []Value) source.Problem {
	q := g.placed(p, off)
	e := g.in.Kinds[g.in.Kind[p]]
	if !e.Is("IfcRoot") {
		return q
	}
	if i := e.Index("GlobalId"); i >= 0 && i < len(vals) {
		q.GlobalID = vals[i].AsString()
	}
	if i := e.Index("Name"); i >= 0 && i < len(vals) {
		q.Name = vals[i].AsString()
	}
	return q
}

// fact is one thing that is logged only once.
type fact struct {
	kind uint8
	pos  int
	ref  ID
}

const (
	factFaults uint8 = iota
	factArity
	factDangling
)

// once reports whether this is the first call for the fact.
func (g *Graph) once(key fact) bool {
	g.mu.Lock()
	defer g.mu.Unlock()
	if g.told[key] {
		return false
	}
	g.told[key] = true
	return true
}

func number(n int) string {
	if n == 0 {
		return "no"
	}
	return strconv.Itoa(n)
}

func lastName(a []express.Attr) string {
	if len(a) == 0 {
		return "none"
	}
	return a[len(a)-1].Name
}
