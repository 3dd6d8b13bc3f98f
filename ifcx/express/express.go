// Package express holds the entity, attribute and inheritance tables of the IFC schemas,
// generated from the EXPRESS files published by buildingSMART International. A schema's
// table is read on first use.
package express

//go:generate go run ./gen

import (
	"strings"
	"sync"
)

// Schema is one EXPRESS schema (IFC2X3, IFC4, IFC4X3).
type Schema struct {
	Name  string            // "IFC2X3", "IFC4", "IFC4X3"
	lines map[string]string // of the table, by upper-case name
	order []string          // names of the entities

	mu       sync.RWMutex
	entities map[string]*Entity // those asked for so far, by name in upper case and as it is
	types    map[string]*Type

	once    sync.Once
	ordered []*Entity // all, once somebody wants all
}

// Entity is one entity type.
type Entity struct {
	Name     string // "IfcWall"
	Parent   *Entity
	Abstract bool
	Attrs    []Attr    // all explicit attributes in STEP order, inherited ones first
	Inverses []Inverse // all inverse attributes, inherited ones first
	Schema   *Schema   // nil for an entity that no schema knows
	// Short is a smaller number of attributes that instances may have too, because another
	// publication of the schema under the same name lacks the last ones; 0 when there is none.
	Short    int
	subtypes []*Entity
}

// Attr is one explicit attribute.
type Attr struct {
	Name     string
	Optional bool
	Type     string // as written in EXPRESS: "IfcLabel", "SET [1:?] OF IfcObject"
	Derived  bool   // redeclared as derived: written as * in STEP
}

// Inverse is one inverse attribute: the entities of type Entity whose attribute Attr names
// the holder.
type Inverse struct {
	Name      string
	Entity    string // "IfcRelAggregates"
	Attr      string // "RelatingObject"
	Aggregate bool   // SET or BAG, not a single one
}

// TypeKind tells the kinds of defined type apart.
type TypeKind uint8

// The kinds of defined type.
const (
	Defined TypeKind = iota // TYPE IfcLabel = STRING
	Enumeration
	Select
)

// Type is one defined type, enumeration or select.
type Type struct {
	Name  string
	Kind  TypeKind
	Under string   // Defined: as written, "REAL", "IfcLabel", "LIST [3:4] OF INTEGER"
	Items []string // Enumeration: items in upper case; Select: names of types and entities
}

// Entity returns the entity of that name in any case, or nil.
func (s *Schema) Entity(name string) *Entity {
	if s == nil {
		return nil
	}
	s.mu.RLock()
	e := s.entities[name]
	s.mu.RUnlock()
	if e != nil {
		return e
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.entity(strings.ToUpper(name))
}

// Type returns the defined type, enumeration or select of that name in any case, or nil.
func (s *Schema) Type(name string) *Type {
	if s == nil {
		return nil
	}
	s.mu.RLock()
	t := s.types[name]
	s.mu.RUnlock()
	if t != nil {
		return t
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.typ(strings.ToUpper(name))
}

// Entities returns every entity in the order of the EXPRESS file; do not change it.
func (s *Schema) Entities() []*Entity {
	s.whole()
	return s.ordered
}

// Subtypes returns the direct subtypes in the order of the EXPRESS file; do not change it.
func (e *Entity) Subtypes() []*Entity {
	if e.Schema == nil {
		return nil
	}
	e.Schema.whole()
	return e.subtypes
}

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

// Inverse returns the inverse attribute of that name, or nil. A subtype's own declaration
// wins over an inherited one.
func (e *Entity) Inverse(name string) *Inverse {
	for i := len(e.Inverses) - 1; i >= 0; i-- {
		if e.Inverses[i].Name == name {
			return &e.Inverses[i]
		}
	}
	return nil
}

// Underlying follows defined types down to what they are made of: "REAL", "STRING",
// "BOOLEAN", "LIST [3:4] OF INTEGER" or the name of an enumeration, select or entity.
// Length limits, as in STRING(255), are left out.
func (s *Schema) Underlying(name string) string {
	for range 20 { // longest chain in the schemas is 3
		t := s.Type(name)
		if t == nil || t.Kind != Defined {
			break
		}
		name = t.Under
	}
	for _, w := range [...]string{"STRING", "BINARY"} {
		if strings.HasPrefix(name, w) {
			return w
		}
	}
	return name
}
