package model

import (
	"cmp"
	"encoding/binary"
	"slices"
	"strings"

	"voidcheck/ifcx/express"
	"voidcheck/ifcx/graph"
	"voidcheck/ifcx/source"
)

// view reads one graph in the few words this package needs. It is safe for several
// goroutines once built.
type view struct {
	g     *graph.Graph
	units *unitTable
}

// row is one instance; the zero row stands for nothing.
type row struct {
	id  graph.ID
	ent *express.Entity
	g   *graph.Graph
}

// row finds an instance; a damaged or absent one gives the zero row.
func (v *view) row(id graph.ID) row {
	if id == 0 || !v.g.Readable(id) {
		return row{}
	}
	return row{id, v.g.Entity(id), v.g}
}

// rows finds every instance of an entity and its subtypes, ordered by GlobalId and then
// number, so that the order of instances in the file does not matter.
func (v *view) rows(entity string) []row {
	ids := v.g.ByType(entity, true)
	keys := make([]sortable, 0, len(ids))
	for _, id := range ids {
		if r := v.row(id); r.ent != nil {
			keys = append(keys, sortableOf(r.str("GlobalId"), id))
		}
	}
	slices.SortFunc(keys, func(a, b sortable) int {
		if a.hi != b.hi {
			return cmp.Compare(a.hi, b.hi)
		}
		if a.lo != b.lo {
			return cmp.Compare(a.lo, b.lo)
		}
		if c := strings.Compare(v.g.Str(a.id, "GlobalId"), v.g.Str(b.id, "GlobalId")); c != 0 {
			return c
		}
		return cmp.Compare(a.id, b.id)
	})
	out := make([]row, len(keys))
	for i, k := range keys {
		out[i] = row{k.id, v.g.Entity(k.id), v.g}
	}
	return out
}

// sortable is an instance with the first sixteen bytes of its GlobalId as numbers.
type sortable struct {
	hi, lo uint64
	id     graph.ID
}

func sortableOf(gid string, id graph.ID) sortable {
	var b [16]byte
	copy(b[:], gid)
	return sortable{binary.BigEndian.Uint64(b[:8]), binary.BigEndian.Uint64(b[8:]), id}
}

// unordered finds every instance of an entity and its subtypes in file order.
func (v *view) unordered(entity string) []row {
	ids := v.g.ByType(entity, true)
	out := make([]row, 0, len(ids))
	for _, id := range ids {
		if r := v.row(id); r.ent != nil {
			out = append(out, r)
		}
	}
	return out
}

// vals returns all attribute values.
func (r row) vals() []graph.Value {
	if r.ent == nil {
		return nil
	}
	return r.g.Attrs(r.id)
}

// get returns the attribute, or Null when the entity has no such attribute.
func (r row) get(attr string) graph.Value {
	if r.ent == nil {
		return graph.Value{}
	}
	return r.g.Attr(r.id, attr)
}

func (r row) str(attr string) string {
	if r.ent == nil {
		return ""
	}
	return r.g.Str(r.id, attr)
}

func (r row) enum(attr string) string {
	if r.ent == nil {
		return ""
	}
	return r.g.Enum(r.id, attr)
}

func (r row) num(attr string) (float64, bool) {
	if r.ent == nil {
		return 0, false
	}
	return r.g.Float(r.id, attr)
}

func (r row) ref(attr string) graph.ID {
	if r.ent == nil {
		return 0
	}
	return r.g.Ref(r.id, attr)
}

// refs returns the references of an attribute; a single reference counts as a list of one.
func (r row) refs(attr string) []graph.ID {
	if r.ent == nil {
		return nil
	}
	return r.g.Refs(r.id, attr)
}

// warn logs a problem about an instance, or about the file when the row is empty.
func (v *view) warn(r row, code, text, fix string) { v.report(source.Warning, r, code, text, fix) }

// skip logs something that is left out.
func (v *view) skip(r row, code, text, fix string) { v.report(source.Skipped, r, code, text, fix) }

func (v *view) report(s source.Severity, r row, code, text, fix string) {
	if r.ent == nil {
		v.g.Log.Add(source.Problem{Severity: s, File: v.g.File.Name, Code: code, Text: text, Fix: fix})
		return
	}
	v.g.Report(s, r.id, code, text, fix)
}
