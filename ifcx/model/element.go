package model

import (
	"strings"
	"sync"

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
	if p := e.props.Load(); p != nil {
		return *p
	}
	if e.from == nil {
		return nil
	}
	p := e.from.elementProps(e)
	if !e.props.CompareAndSwap(nil, &p) {
		return *e.props.Load()
	}
	return p
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
	b := e.body.Load()
	if b == nil {
		if f, given := e.from.(*functions); given || e.from == nil {
			return f.elementBody(e) // which keep it themselves
		}
		b = e.compute()
	}
	if b == noBody {
		return nil
	}
	return b
}

// computing keeps goroutines from computing the body of one element at the same time.
var computing [64]sync.Mutex

func (e *Element) compute() *shape.Body {
	l := &computing[uint(e.ID)%uint(len(computing))]
	l.Lock()
	defer l.Unlock()
	if b := e.body.Load(); b != nil {
		return b
	}
	b := e.from.elementBody(e)
	if b == nil {
		b = noBody
	}
	e.body.Store(b)
	return b
}

// SetProps gives the function that reads the property sets; readers of other syntaxes than
// the instance graph use it. It must be safe for several goroutines.
func (e *Element) SetProps(f func() PropSets) { e.given().props = f }

// SetBody gives the function that computes the geometry in the building frame; readers of
// other syntaxes than the instance graph use it. It must be safe for several goroutines and
// return the same body every time.
func (e *Element) SetBody(f func() *shape.Body) { e.given().body = f }

// functions is a maker of two functions, either of which may be nil.
type functions struct {
	props func() PropSets
	body  func() *shape.Body
}

func (f *functions) elementProps(*Element) PropSets {
	if f.props == nil {
		return nil
	}
	return f.props()
}

func (f *functions) elementBody(*Element) *shape.Body {
	if f == nil || f.body == nil {
		return nil
	}
	return f.body()
}

// given returns the element's functions, which take the place of any other maker.
func (e *Element) given() *functions {
	f, ok := e.from.(*functions)
	if !ok {
		f = &functions{}
		e.from = f
	}
	return f
}

// borrow gives the element the geometry of another that is the same thing.
func (e *Element) borrow(other *Element) {
	own := e.from
	f := &functions{body: other.Body}
	if own != nil {
		f.props = func() PropSets { return own.elementProps(e) }
	}
	e.from, e.HasShape, e.Placement = f, true, other.Placement
}

// SetMaterialProps gives the function that reads the property sets of the file's materials.
func (f *File) SetMaterialProps(read func() map[string]PropSets) { f.matProps = read }
