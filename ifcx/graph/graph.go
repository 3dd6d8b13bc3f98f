// Package graph is the instance graph of one model file, whatever its syntax: typed
// attribute reads by name, references, and inverse look-ups. The syntax packages (step,
// ifcxml, ifcjson) build it; everything above reads it.
package graph

import (
	"voidcheck/ifcx/express"
	"voidcheck/ifcx/source"
)

// ID is an instance number: the #number of STEP, or one given while reading other syntaxes.
// 0 is no instance.
type ID uint32

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
	Num  float64 // Integer and Real
	Text string  // String, Enum, Binary
	Ref  ID
	Type string // Typed: canonical type name
	List []Value
}

// Reader supplies parsed instances; each syntax implements it. Attributes come in STEP order.
// It must be safe for use by several goroutines.
type Reader interface {
	// Attrs returns the attribute values of an instance; nil and false when the instance
	// is damaged (the reader has logged it) or absent.
	Attrs(id ID) ([]Value, bool)
}

// Graph is one file's instances.
type Graph struct {
	File   *source.File
	Schema *express.Schema
	Header Header
	Log    *source.Log

	reader Reader
	ids    []ID // in file order
	types  map[ID]*express.Entity
	byType map[string][]ID // exact canonical name -> ids in file order
	// inverse look-ups are built on first use
}

// Header is what a file says of itself.
type Header struct {
	Schema       string   // as written
	Description  []string // view definition and such
	Name         string
	TimeStamp    string
	Author       []string
	Organization []string
	Preprocessor string
	Originating  string // authoring tool
}
