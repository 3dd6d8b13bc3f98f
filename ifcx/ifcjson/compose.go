package ifcjson

import (
	"fmt"
	"slices"
	"strings"

	"voidcheck/ifcx/source"
)

// Limits of composition: layers that instance each other in a doubling way would otherwise
// fill the memory.
const (
	maxNodes = 500_000
	maxDepth = 200
)

// node is one place in the composed tree.
type node struct {
	class    string // the path it was made from: identity of what stands here
	name     string // its name under the parent
	attrs    map[string]attribute
	origin   *document // the first layer that says something of it
	off      int64
	children []*node        // in order of first mention; removed ones are gone
	at       map[string]int // places of children by name, when there are more than a few
	types    []*node        // what it inherits from, composed
}

// few is how many children or attributes are searched one by one.
const few = 16

func (n *node) child(name string) (int, *node) {
	if len(n.children) <= few {
		for i, c := range n.children {
			if c.name == name {
				return i, c
			}
		}
		return -1, nil
	}
	if n.at == nil {
		n.at = make(map[string]int, 2*len(n.children))
		for i, c := range n.children {
			n.at[c.name] = i
		}
	}
	if i, ok := n.at[name]; ok {
		return i, n.children[i]
	}
	return -1, nil
}

func (n *node) set(a attribute) {
	if n.attrs == nil {
		n.attrs = map[string]attribute{}
	}
	n.attrs[a.name] = a
}

// put sets or replaces the child of a name, or removes it when c is nil. c has the name.
func (n *node) put(name string, c *node) {
	i, _ := n.child(name)
	switch {
	case c == nil && i >= 0:
		n.children = append(n.children[:i:i], n.children[i+1:]...)
		n.at = nil
	case c == nil:
	case i >= 0:
		n.children[i] = c
	default:
		n.children = append(n.children, c)
		if n.at != nil {
			n.at[name] = len(n.children) - 1
		}
	}
}

// layered is what all layers together say of one path: later layers win, null removes.
type layered struct {
	path     string
	place    int // among all paths
	first    *entry
	children links // to "" removes an inherited child
	inherits links
	attrs    []attribute
	at       map[string]int // places of attrs by name, when there are more than a few
}

// links are what a path names, each name once.
type links struct {
	list []link
	at   map[string]int // places by name, when there are more than a few
}

func (l *links) find(name string) int {
	if len(l.list) <= few {
		return slices.IndexFunc(l.list, func(x link) bool { return x.name == name })
	}
	if l.at == nil {
		l.at = make(map[string]int, 2*len(l.list))
		for i, x := range l.list {
			l.at[x.name] = i
		}
	}
	if i, ok := l.at[name]; ok {
		return i
	}
	return -1
}

// set gives a name its target.
func (l *links) set(x link) {
	if i := l.find(x.name); i >= 0 {
		l.list[i].to = x.to
		return
	}
	l.list = append(l.list, x)
	if l.at != nil {
		l.at[x.name] = len(l.list) - 1
	}
}

func (l *links) drop(name string) {
	if i := l.find(name); i >= 0 {
		l.list = slices.Delete(l.list, i, i+1)
		l.at = nil
	}
}

// composer builds trees out of layered paths. The rules are those of the composition in
// buildingSMART's IFC5 development examples: a node first takes children and attributes of
// what it inherits, in order; then its own children and attributes; then what layers say of
// paths below it ("node/child").
type composer struct {
	log      *source.Log
	paths    map[string]*layered
	order    []*layered
	deep     bool // some path has a slash
	active   map[string]bool
	reached  map[string]bool
	nodes    int
	full     bool
	reported map[string]bool
}

func newComposer(docs []*document, log *source.Log) *composer {
	c := &composer{log: log, paths: map[string]*layered{}, active: map[string]bool{}, reached: map[string]bool{}, reported: map[string]bool{}}
	for _, d := range docs {
		for _, e := range d.nodes {
			l := c.paths[e.path]
			if l == nil {
				l = &layered{path: e.path, place: len(c.order), first: e}
				c.paths[e.path] = l
				c.order = append(c.order, l)
				c.deep = c.deep || strings.Contains(e.path, "/")
			}
			l.add(e)
		}
	}
	return c
}

func (l *layered) add(e *entry) {
	for _, x := range e.children {
		l.children.set(x)
	}
	for _, x := range e.inherits {
		if x.to == "" {
			l.inherits.drop(x.name)
			continue
		}
		l.inherits.set(x)
	}
	for _, a := range e.attrs {
		if i := l.attr(a.name); i >= 0 {
			l.attrs[i] = a
			continue
		}
		l.attrs = append(l.attrs, a)
		if l.at != nil {
			l.at[a.name] = len(l.attrs) - 1
		}
	}
}

// attr returns the place of an attribute, -1 when there is none of the name.
func (l *layered) attr(name string) int {
	if len(l.attrs) <= few {
		return slices.IndexFunc(l.attrs, func(a attribute) bool { return a.name == name })
	}
	if l.at == nil {
		l.at = make(map[string]int, 2*len(l.attrs))
		for i, a := range l.attrs {
			l.at[a.name] = i
		}
	}
	if i, ok := l.at[name]; ok {
		return i
	}
	return -1
}

// roots returns the trees that nothing else names, in the order of the layers. What only a
// ring of nodes leads to, which name each other, hangs from the first node of that ring.
func (c *composer) roots() []*node {
	namedBy := map[string]string{} // a path that names a path
	for _, l := range c.order {
		for _, links := range [...][]link{l.children.list, l.inherits.list} {
			for _, x := range links {
				if _, known := namedBy[head(x.to)]; !known {
					namedBy[head(x.to)] = head(l.path)
				}
			}
		}
	}
	var out []*node
	add := func(path string) {
		if n := c.expand(path); n != nil {
			out = append(out, n)
		}
	}
	for _, l := range c.order {
		if _, named := namedBy[l.path]; !named && !strings.Contains(l.path, "/") {
			add(l.path)
		}
	}
	for _, l := range c.order {
		if !c.reached[l.path] && !strings.Contains(l.path, "/") && !c.full {
			add(c.ringAbove(l.path, namedBy))
		}
	}
	return out
}

// ringAbove goes up from a path to the ring of nodes that it hangs from, and returns the one of
// them that stands first in the layers. Where it hangs below a path that nobody describes, it
// returns the uppermost that is described.
func (c *composer) ringAbove(path string, namedBy map[string]string) string {
	seen := map[string]bool{}
	for !seen[path] {
		seen[path] = true
		if c.paths[namedBy[path]] == nil {
			return path
		}
		path = namedBy[path]
	}
	first := path
	for at := namedBy[path]; at != path; at = namedBy[at] {
		if c.paths[at].place < c.paths[first].place {
			first = at
		}
	}
	return first
}

// expand composes the node of a path without slash, fresh each time it is named.
func (c *composer) expand(path string) *node {
	if c.active[path] {
		return nil
	}
	c.active[path], c.reached[path] = true, true
	defer delete(c.active, path)
	n := &node{class: path}
	c.fill(path, n, len(c.active))
	return n
}

// fill adds what the layers say of a path to a node, and then of the paths below it.
func (c *composer) fill(path string, n *node, depth int) {
	if c.nodes++; c.nodes > maxNodes || depth > maxDepth {
		c.full = true
		return
	}
	if l := c.paths[path]; l != nil {
		if n.origin == nil {
			n.origin, n.off = l.first.doc, l.first.off
		}
		c.inherit(l, n)
		for _, x := range l.children.list {
			if x.to == "" {
				n.put(x.name, nil)
				continue
			}
			sub := c.find(l, x)
			if sub == nil && c.paths[head(x.to)] == nil { // a path that no layer describes is an empty node
				sub = &node{class: x.to}
			}
			if sub != nil {
				sub.name = x.name
				n.put(x.name, sub)
			}
		}
		for _, a := range l.attrs {
			n.set(a)
		}
	}
	if c.deep {
		for _, k := range n.children {
			c.fill(path+"/"+k.name, k, depth+1)
		}
	}
}

func (c *composer) inherit(l *layered, n *node) {
	for _, x := range l.inherits.list {
		from := c.find(l, x)
		if from == nil {
			continue
		}
		n.types = append(n.types, from)
		for _, k := range from.children {
			n.put(k.name, k)
		}
		for _, a := range from.attrs {
			n.set(a)
		}
	}
}

// find composes what a link names: a path, or a node below a path.
func (c *composer) find(l *layered, x link) *node {
	if c.full {
		return nil
	}
	first, rest, _ := strings.Cut(x.to, "/")
	if c.active[first] {
		c.report(l, "cycle", fmt.Sprintf("%q leads back to %s, which it is part of; this link is left out", clip(x.name), clip(first)), "remove the circular reference")
		return nil
	}
	if c.paths[first] == nil {
		c.report(l, "unresolved-path", fmt.Sprintf("%q names %s, which none of the files describes; what it should bring is missing", clip(x.name), clip(x.to)), "give the file that has it along with this one")
		return nil
	}
	n := c.expand(first)
	for rest != "" && n != nil {
		var name string
		name, rest, _ = strings.Cut(rest, "/")
		_, n = n.child(name)
	}
	if n == nil {
		c.report(l, "unresolved-path", fmt.Sprintf("%q names %s, which is not below %s; this link is left out", clip(x.name), clip(x.to), clip(first)), "")
		return nil
	}
	return n
}

func (c *composer) report(l *layered, code, text, fix string) {
	if key := l.path + text; !c.reported[key] {
		c.reported[key] = true
		d := l.first.doc
		line, col := d.file.Position(l.first.off)
		c.log.Add(source.Problem{Severity: source.Skipped, File: d.file.Name, Line: line, Col: col, Entity: l.path, Code: code, Text: text, Fix: fix})
	}
}

func clip(s string) string {
	if len(s) > 60 {
		return s[:60] + "..."
	}
	return s
}

func head(path string) string {
	h, _, _ := strings.Cut(path, "/")
	return h
}
