// Package graph is the instance graph of one model file, whatever its syntax: typed
// attribute reads by name, references, and inverse look-ups. The syntax packages (step,
// ifcxml, ifcjson) build it; everything above reads it.
//
// A reader that knows only where instances lie is enough: attributes are parsed when they
// are asked for, and a small part of them is kept. Everything here may be used by several
// goroutines at once. Slices that are handed out are shared: do not change them.
package graph

import (
	"fmt"
	"slices"
	"sync"
	"sync/atomic"

	"voidcheck/ifcx/express"
	"voidcheck/ifcx/source"
)

// ID is an instance number: the #number of STEP, or one given while reading other syntaxes.
// 0 is no instance.
type ID uint32

// Reader supplies parsed instances; each syntax implements it. Instances are named by their
// position in file order. It must be safe for use by several goroutines.
type Reader interface {
	// Attrs parses the attribute values of one instance, in STEP order. vals is nil when
	// the instance is too damaged to be read; then a fault says why. The graph logs faults,
	// and owns and changes vals.
	Attrs(pos int) (vals []Value, faults []Fault)
	// Place returns how the file itself names the instance ("#12", an XML id) and its byte
	// offset, -1 when it has none.
	Place(pos int) (label string, off int64)
}

// Fault is something wrong inside one instance.
type Fault struct {
	Off  int64 // byte offset in the file, -1 for that of the instance
	Code string
	Text string
	Fix  string
}

// Instances lists what a reader found, in file order.
type Instances struct {
	IDs   []ID              // one per instance; a later one of the same number is not used
	Kind  []uint16          // one per instance: index into Kinds
	Kinds []*express.Entity // the entities that occur
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

// Graph is one file's instances.
type Graph struct {
	File   *source.File
	Schema *express.Schema
	Header Header
	Log    *source.Log

	reader Reader
	plain  PlainReader // reader when it is one, else nil
	in     Instances
	pos    positions
	double map[int]bool // positions that repeat an earlier instance's number
	order  []ID         // in file order, without doubles

	small [4096]atomic.Pointer[parsed] // recently parsed, by position; see attrs
	large [16]atomic.Pointer[parsed]

	mu       sync.Mutex
	told     map[fact]bool // what has been logged already
	byType   map[typeKey]func() []ID
	inverses map[inverseKey]func() map[ID][]ID
	counts   func() []Count
	byKind   func() *kinds
	roots    func() *Ranks
}

type parsed struct {
	pos  int
	vals []Value // nil when damaged
}

// New makes the graph of a file from what its reader found. Instances that repeat a number
// are reported and left out; the first one stands.
func New(f *source.File, s *express.Schema, h Header, log *source.Log, r Reader, in Instances) *Graph {
	g := &Graph{File: f, Schema: s, Header: h, Log: log, reader: r, in: in,
		told: map[fact]bool{}, byType: map[typeKey]func() []ID{}, inverses: map[inverseKey]func() map[ID][]ID{}}
	g.counts, g.byKind = sync.OnceValue(g.count), sync.OnceValue(g.readKinds)
	g.roots = sync.OnceValue(g.readRoots)
	g.plain, _ = r.(PlainReader)
	var doubles []int
	g.pos, doubles = newPositions(in.IDs)
	g.order = in.IDs
	if len(doubles) == 0 {
		return g
	}
	g.double = make(map[int]bool, len(doubles))
	for _, p := range doubles {
		g.double[p] = true
		first, _ := g.pos.find(in.IDs[p])
		_, off := r.Place(first)
		line, _ := f.Position(off)
		q := g.placed(p, -1)
		q.Severity, q.Code = source.Skipped, "duplicate-id"
		q.Text = fmt.Sprintf("this number is already used on line %d; the first instance is kept and this one is left out", line)
		q.Fix = "export the file again, or give one of them another number"
		if in.IDs[p] == 0 {
			q.Code, q.Text, q.Fix = "instance-number", "an instance cannot have the number 0; it is left out", ""
		}
		log.Add(q)
	}
	g.order = make([]ID, 0, len(in.IDs)-len(doubles))
	for p, id := range in.IDs {
		if !g.double[p] {
			g.order = append(g.order, id)
		}
	}
	return g
}

// Len returns the number of instances.
func (g *Graph) Len() int { return len(g.order) }

// All returns every instance in file order.
func (g *Graph) All() []ID { return g.order }

// Has reports whether the file holds the instance.
func (g *Graph) Has(id ID) bool {
	_, ok := g.pos.find(id)
	return ok
}

// Places returns how many places the instances have, those of doubles included.
func (g *Graph) Places() int { return len(g.in.IDs) }

// Roots are the places of what can be related: instances of IfcRoot and its subtypes.
func (g *Graph) Roots() *Ranks { return g.roots() }

func (g *Graph) readRoots() *Ranks {
	r := newRanks(len(g.in.IDs))
	root := make([]bool, len(g.in.Kinds))
	for i, e := range g.in.Kinds {
		root[i] = e.Is("IfcRoot")
	}
	for p, kind := range g.in.Kind {
		if root[kind] {
			r.add(p)
		}
	}
	r.count()
	return r
}

// Find returns the place of an instance in file order, from 0.
func (g *Graph) Find(id ID) (place int, ok bool) { return g.pos.find(id) }

// At returns the instance at a place.
func (g *Graph) At(place int) ID { return g.in.IDs[place] }

// StrAt is Str for the instance at a place.
func (g *Graph) StrAt(place int, name string) string {
	e := g.in.Kinds[g.in.Kind[place]]
	if rec := g.record(place); rec != "" {
		if i := e.Index(name); i >= 0 {
			return textOf(field(rec, i))
		}
		return ""
	}
	return g.Str(g.in.IDs[place], name)
}

// ReadableAt is Readable for the instance at a place.
func (g *Graph) ReadableAt(place int) bool {
	return g.plain != nil && !g.plain.Odd(place) || g.attrs(place) != nil
}

// Readable reports whether there is such an instance and it is not so damaged that it has no
// attributes (which has been logged).
func (g *Graph) Readable(id ID) bool {
	p, ok := g.pos.find(id)
	return ok && g.ReadableAt(p)
}

// Entity returns the entity type of an instance, nil when there is no such instance. A type
// that no schema knows has its name as written, no supertype and no attributes.
func (g *Graph) Entity(id ID) *express.Entity {
	if p, ok := g.pos.find(id); ok {
		return g.in.Kinds[g.in.Kind[p]]
	}
	return nil
}

// Type returns the entity name of an instance ("IfcWall"), "" when there is none.
func (g *Graph) Type(id ID) string {
	if e := g.Entity(id); e != nil {
		return e.Name
	}
	return ""
}

// Is reports whether the instance is of the named entity ("IfcWall", exact case) or a
// subtype of it.
func (g *Graph) Is(id ID, entity string) bool { return g.Entity(id).Is(entity) }

// Label returns how the file names an instance: "#12", or its id in other syntaxes.
func (g *Graph) Label(id ID) string {
	if p, ok := g.pos.find(id); ok {
		label, _ := g.reader.Place(p)
		return label
	}
	return fmt.Sprintf("#%d", id)
}

type typeKey struct {
	name string
	subs bool
}

// ByType returns the instances of an entity ("IfcWall", exact case), with those of its
// subtypes when asked, in file order.
func (g *Graph) ByType(entity string, subtypes bool) []ID {
	k := typeKey{entity, subtypes}
	g.mu.Lock()
	f := g.byType[k]
	if f == nil {
		f = sync.OnceValue(func() []ID { return g.collect(k) })
		g.byType[k] = f
	}
	g.mu.Unlock()
	return f()
}

func (g *Graph) collect(k typeKey) []ID {
	want, kinds, n, rare := make([]bool, len(g.in.Kinds)), g.byKind(), 0, true
	for i, e := range g.in.Kinds {
		want[i] = e.Name == k.name || k.subs && e.Is(k.name)
		if want[i] {
			n += kinds.n[i]
			rare = rare && kinds.places[i] != nil
		}
	}
	if n == 0 {
		return nil
	}
	r := make([]ID, 0, n)
	if rare {
		var places []uint32
		for i, w := range want {
			if w {
				places = append(places, kinds.places[i]...)
			}
		}
		slices.Sort(places)
		for _, p := range places {
			if !g.double[int(p)] {
				r = append(r, g.in.IDs[p])
			}
		}
		return slices.Clip(r)
	}
	for p, kind := range g.in.Kind {
		if want[kind] && !g.double[p] {
			r = append(r, g.in.IDs[p])
		}
	}
	return slices.Clip(r)
}

// Kinds returns the entities that occur; do not change it.
func (g *Graph) Kinds() []*express.Entity { return g.in.Kinds }

// Walk calls f for every instance whose entity is wanted, by its index in Kinds, with its
// place, in file order.
func (g *Graph) Walk(wanted []bool, f func(place, kind int)) {
	past := int64(0)
	for p, kind := range g.in.Kind {
		if p&(1<<16-1) == 1<<16-1 {
			if _, off := g.reader.Place(p); off > past {
				g.File.Passed(int(past), int(off))
				past = off
			}
		}
		if wanted[kind] && (g.double == nil || !g.double[p]) {
			f(p, int(kind))
		}
	}
}

// kinds has, by kind, how many instances there are, doubles included, and their places where
// they are few.
type kinds struct {
	n      []int
	places [][]uint32
}

func (g *Graph) readKinds() *kinds {
	k := &kinds{n: make([]int, len(g.in.Kinds)), places: make([][]uint32, len(g.in.Kinds))}
	for _, kind := range g.in.Kind {
		k.n[kind]++
	}
	few := make([]bool, len(k.n))
	for i, n := range k.n {
		if few[i] = n <= len(g.in.Kind)/16+16; few[i] {
			k.places[i] = make([]uint32, 0, n)
		}
	}
	for p, kind := range g.in.Kind {
		if few[kind] {
			k.places[kind] = append(k.places[kind], uint32(p))
		}
	}
	return k
}

// CountOf returns how many instances have a wanted entity, doubles included.
func (g *Graph) CountOf(want func(*express.Entity) bool) int {
	n := 0
	for i, e := range g.in.Kinds {
		if want(e) {
			n += g.byKind().n[i]
		}
	}
	return n
}

// Count is how often an entity occurs.
type Count struct {
	Entity *express.Entity
	N      int
}

// Counts returns the entities that occur, by name; do not change it.
func (g *Graph) Counts() []Count { return g.counts() }

func (g *Graph) count() []Count {
	r := make([]Count, len(g.in.Kinds))
	for i, e := range g.in.Kinds {
		r[i].Entity = e
	}
	for p, kind := range g.in.Kind {
		if !g.double[p] {
			r[kind].N++
		}
	}
	r = slices.DeleteFunc(r, func(c Count) bool { return c.N == 0 })
	slices.SortFunc(r, func(a, b Count) int {
		switch {
		case a.Entity.Name < b.Entity.Name:
			return -1
		case a.Entity.Name > b.Entity.Name:
			return 1
		}
		return 0
	})
	return r
}

type inverseKey struct{ relation, attr string }

// Inverse returns the instances of a relation (or a subtype of it) that name id in the
// attribute, directly or in a list, in file order: Inverse(wall, "IfcRelVoidsElement",
// "RelatingBuildingElement"). The table is made on the first call for a relation and
// attribute, from every instance of that relation.
func (g *Graph) Inverse(id ID, relation, attr string) []ID {
	k := inverseKey{relation, attr}
	g.mu.Lock()
	f := g.inverses[k]
	if f == nil {
		f = sync.OnceValue(func() map[ID][]ID { return g.invert(k) })
		g.inverses[k] = f
	}
	g.mu.Unlock()
	return f()[id]
}

func (g *Graph) invert(k inverseKey) map[ID][]ID {
	r := map[ID][]ID{}
	for _, rel := range g.ByType(k.relation, true) {
		for _, to := range g.Refs(rel, k.attr) {
			if l := r[to]; len(l) == 0 || l[len(l)-1] != rel { // named twice in one list counts once
				r[to] = append(l, rel)
			}
		}
	}
	return r
}
