package model

import (
	"sort"

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

// row is one instance with its attribute values; the zero row stands for nothing.
type row struct {
	id   graph.ID
	ent  *express.Entity
	vals []graph.Value
}

// row reads an instance; a damaged or absent one gives the zero row.
func (v *view) row(id graph.ID) row {
	if id == 0 {
		return row{}
	}
	vals := v.g.Attrs(id)
	if vals == nil {
		return row{}
	}
	return row{id, v.g.Entity(id), vals}
}

// rows reads every instance of an entity and its subtypes, ordered by GlobalId and then
// number, so that the order of instances in the file does not matter.
func (v *view) rows(entity string) []row {
	ids := v.g.ByType(entity, true)
	out := make([]row, 0, len(ids))
	keys := make(map[graph.ID]string, len(ids))
	for _, id := range ids {
		if r := v.row(id); r.ent != nil {
			out = append(out, r)
			keys[id] = r.str("GlobalId")
		}
	}
	sort.SliceStable(out, func(i, j int) bool {
		a, b := keys[out[i].id], keys[out[j].id]
		if a != b {
			return a < b
		}
		return out[i].id < out[j].id
	})
	return out
}

// get returns the attribute, or Null when the entity has no such attribute.
func (r row) get(attr string) graph.Value {
	if r.ent == nil {
		return graph.Value{}
	}
	i := r.ent.Index(attr)
	if i < 0 || i >= len(r.vals) {
		return graph.Value{}
	}
	return r.vals[i]
}

func (r row) str(attr string) string          { return r.get(attr).AsString() }
func (r row) enum(attr string) string         { return r.get(attr).AsEnum() }
func (r row) num(attr string) (float64, bool) { return r.get(attr).AsFloat() }
func (r row) ref(attr string) graph.ID        { return r.get(attr).AsRef() }

// refs returns the references of an attribute; a single reference counts as a list of one.
func (r row) refs(attr string) []graph.ID { return r.get(attr).Refs() }

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
