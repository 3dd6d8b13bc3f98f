package model

import (
	"strings"

	"voidcheck/ifcx/shape"
)

// Is reports whether the element is of the named entity or a subtype of it.
func (e *Element) Is(entity string) bool {
	if e.Entity == entity {
		return true
	}
	for _, p := range e.Parents {
		if p == entity {
			return true
		}
	}
	return false
}

// Props returns all property sets and quantities, read on first use.
func (e *Element) Props() PropSets {
	if e.props == nil {
		return nil
	}
	return e.props()
}

// FlatSet is the set that holds the properties of IFC5 models, which know no property sets:
// the attribute namespace.
const FlatSet = "bsi::ifc::prop"

// Prop returns one property value; set "" looks in every set in name order. A set of the
// standard (Pset_..., Qto_...) is looked for in FlatSet as well.
func (e *Element) Prop(set, name string) (PropValue, bool) {
	ps := e.Props()
	if set != "" {
		v, ok := ps[set][name]
		if !ok && (strings.HasPrefix(set, "Pset_") || strings.HasPrefix(set, "Qto_")) {
			v, ok = ps[FlatSet][name]
		}
		return v, ok
	}
	best := ""
	for s, m := range ps {
		if _, ok := m[name]; ok && (best == "" || s < best) {
			best = s
		}
	}
	if best == "" {
		return PropValue{}, false
	}
	return ps[best][name], true
}

// Body returns the geometry in the building frame, computed on first use and kept; nil
// when the element has none. Safe for several goroutines.
func (e *Element) Body() *shape.Body {
	if e.body == nil {
		return nil
	}
	return e.body()
}

// SetProps gives the function that reads the property sets; readers of other syntaxes than
// the instance graph use it. It must be safe for several goroutines.
func (e *Element) SetProps(f func() PropSets) { e.props = f }

// SetBody gives the function that computes the geometry in the building frame; readers of
// other syntaxes than the instance graph use it. It must be safe for several goroutines and
// return the same body every time.
func (e *Element) SetBody(f func() *shape.Body) { e.body = f }

// SetMaterialProps gives the function that reads the property sets of the file's materials.
func (f *File) SetMaterialProps(read func() map[string]PropSets) { f.matProps = read }
