package model

import (
	"math"
	"strings"
	"sync"

	"voidcheck/ifcx/geom"
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
	if e.Kind == nil || e.from == nil {
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
		if e.Kind == nil {
			return nil
		}
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
	if e.Kind != nil {
		if f, ok := e.from.(*functions); ok {
			return f
		}
	}
	f := &functions{}
	e.setMaker(f)
	return f
}

// setMaker gives the element a maker of its own.
func (e *Element) setMaker(f maker) {
	var own Kind
	if e.Kind != nil {
		own = *e.Kind
	}
	own.from = f
	e.Kind = &own
}

// borrow gives the element the geometry of another that is the same thing.
func (e *Element) borrow(other *Element) {
	own := e.from
	f := &functions{body: other.Body}
	if own != nil {
		f.props = func() PropSets { return own.elementProps(e) }
	}
	e.setMaker(f)
	e.HasShape, e.axes, e.at = true, other.axes, other.at
}

// Placement returns the object placement in the building frame.
func (e *Element) Placement() geom.Mat {
	m := geom.Identity()
	if a := e.axes; a != nil {
		m.X, m.Y, m.Z = a[0], a[1], a[2]
	}
	m.O = e.at
	return m
}

// SetPlacement gives the object placement in the building frame.
func (e *Element) SetPlacement(m geom.Mat) {
	e.at = m.O
	if e.axes = nil; !upright(m) {
		e.axes = &[3]geom.Vec3{m.X, m.Y, m.Z}
	}
}

// upright reports whether the axes of a placement are those of the building, to the sign of
// noughts, which a product with them keeps.
func upright(m geom.Mat) bool {
	m.O = geom.Vec3{}
	if m != geom.Identity() {
		return false
	}
	for _, v := range [...]float64{m.X.Y, m.X.Z, m.Y.X, m.Y.Z, m.Z.X, m.Z.Y} {
		if math.Signbit(v) {
			return false
		}
	}
	return true
}

// SetMaterialProps gives the function that reads the property sets of the file's materials.
func (f *File) SetMaterialProps(read func() map[string]PropSets) { f.matProps = read }
