// Package express holds the entity, attribute and inheritance tables of the IFC schemas,
// generated from the EXPRESS files published by buildingSMART International.
package express

// Schema is one EXPRESS schema (IFC2X3, IFC4, IFC4X3).
type Schema struct {
	Name     string // "IFC2X3", "IFC4", "IFC4X3"
	entities map[string]*Entity
}

// Entity is one entity type.
type Entity struct {
	Name     string // "IfcWall"
	Parent   *Entity
	Abstract bool
	Attrs    []Attr // all explicit attributes in STEP order, inherited ones first
}

// Attr is one explicit attribute.
type Attr struct {
	Name     string
	Optional bool
	Type     string // as written in EXPRESS: "IfcLabel", "SET [1:?] OF IfcObject"
	Derived  bool   // redeclared as derived: written as * in STEP
}

// Entity returns the entity of that name in any case, or nil.
func (s *Schema) Entity(name string) *Entity { return s.entities[name] }

// Is reports whether e is the named entity ("IfcWall", exact case) or a subtype of it.
func (e *Entity) Is(name string) bool {
	for ; e != nil; e = e.Parent {
		if e.Name == name {
			return true
		}
	}
	return false
}

// Index returns the position of the attribute in STEP order, or -1.
func (e *Entity) Index(attr string) int {
	for i := range e.Attrs {
		if e.Attrs[i].Name == attr {
			return i
		}
	}
	return -1
}
