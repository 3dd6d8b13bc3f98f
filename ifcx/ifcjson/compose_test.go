package ifcjson

import (
	"fmt"
	"strings"
	"testing"

	"voidcheck/ifcx/source"
)

// layers parses documents given as the contents of their data arrays.
func layers(t testing.TB, log *source.Log, data ...string) []*document {
	t.Helper()
	var docs []*document
	for i, d := range data {
		text := `{"header": {"id": "t"}, "data": [` + d + `]}`
		doc, err := parse(&source.File{Name: fmt.Sprintf("layer%d.ifcx", i+1), Data: []byte(text)}, log)
		if err != nil {
			t.Fatal(err)
		}
		docs = append(docs, doc)
	}
	return docs
}

// show prints a tree: name{attr=value ...}[children].
func show(n *node) string {
	var attrs []string
	for _, name := range []string{"a", "b"} {
		if n.has(name) {
			attrs = append(attrs, name+"="+string(n.attrs[name].val))
		}
	}
	s := n.name
	if len(attrs) > 0 {
		s += "{" + strings.Join(attrs, " ") + "}"
	}
	if len(n.children) > 0 {
		var kids []string
		for _, k := range n.children {
			kids = append(kids, show(k))
		}
		s += "[" + strings.Join(kids, " ") + "]"
	}
	return s
}

// The rules are those that buildingSMART's IFC5 development repository tests its composition
// with ("composition expansion"); the cases are our own.
func TestComposition(t *testing.T) {
	for _, tc := range []struct {
		name string
		data []string
		want string
	}{
		{"child", []string{`{"path":"r","children":{"x":"c"}},{"path":"c","attributes":{"a":1}}`}, "[x{a=1}]"},
		{"later layer wins", []string{`{"path":"r","attributes":{"a":1,"b":1}}`, `{"path":"r","attributes":{"a":2}}`}, "{a=2 b=1}"},
		{"later entry of one layer wins", []string{`{"path":"r","attributes":{"a":1}},{"path":"r","attributes":{"a":2}}`}, "{a=2}"},
		{"null removes an attribute", []string{`{"path":"r","attributes":{"a":1,"b":1}}`, `{"path":"r","attributes":{"a":null}}`}, "{b=1}"},
		{"and a value brings it back", []string{`{"path":"r","attributes":{"a":null}},{"path":"r","attributes":{"a":3}}`}, "{a=3}"},
		{"null removes a child", []string{`{"path":"r","children":{"x":"c","y":"c"}},{"path":"c","attributes":{"a":1}}`, `{"path":"r","children":{"x":null}}`}, "[y{a=1}]"},
		{"null removes an inheritance", []string{`{"path":"r","inherits":{"i":"t"}},{"path":"t","attributes":{"a":1}}`, `{"path":"r","inherits":{"i":null}}`}, ""},
		{"inherited attributes and children", []string{`{"path":"r","inherits":{"i":"t"}},{"path":"t","attributes":{"a":1},"children":{"x":"c"}},{"path":"c","attributes":{"b":2}}`}, "{a=1}[x{b=2}]"},
		{"own attribute over inherited", []string{`{"path":"r","inherits":{"i":"t"},"attributes":{"a":2}},{"path":"t","attributes":{"a":1}}`}, "{a=2}"},
		{"null over inherited", []string{`{"path":"r","inherits":{"i":"t"},"attributes":{"a":null}},{"path":"t","attributes":{"a":1,"b":1}}`}, "{b=1}"},
		{"inherited child removed", []string{`{"path":"r","inherits":{"i":"t"},"children":{"x":null}},{"path":"t","children":{"x":"c","y":"c"}},{"path":"c"}`}, "[y]"},
		{"inheritance of inheritance", []string{`{"path":"r","inherits":{"i":"t"}},{"path":"t","inherits":{"i":"u"}},{"path":"u","attributes":{"a":1}}`}, "{a=1}"},
		{"path below a child", []string{`{"path":"r","children":{"x":"c"}},{"path":"c","attributes":{"a":1}},{"path":"r/x","attributes":{"b":2}}`}, "[x{a=1 b=2}]"},
		{"path below a class reaches every instance", []string{`{"path":"r","children":{"x":"c","y":"c"}},{"path":"c","children":{"z":"d"}},{"path":"c/z","attributes":{"b":2}},{"path":"d","attributes":{"a":1}},{"path":"r/y/z","attributes":{"a":9}}`},
			"[x[z{a=1 b=2}] y[z{a=9 b=2}]]"},
		{"child of a deep path", []string{`{"path":"r","children":{"x":"c/z"}},{"path":"c","children":{"z":"d"}},{"path":"d","attributes":{"a":1}}`}, "[x{a=1}]"},
		{"inherits a deep path", []string{`{"path":"r","inherits":{"i":"c/z"}},{"path":"c","children":{"z":"d"}},{"path":"d","attributes":{"a":1},"children":{"k":"e"}},{"path":"e"}`}, "{a=1}[k]"},
		{"overlay of another file on one path", []string{`{"path":"r","children":{"x":"c"}},{"path":"c","attributes":{"a":1}}`, `{"path":"c","attributes":{"b":"60"}}`}, `[x{a=1 b="60"}]`},
	} {
		t.Run(tc.name, func(t *testing.T) {
			log := &source.Log{}
			c := newComposer(layers(t, log, tc.data...), log)
			n := c.expand("r")
			if got := show(n); got != tc.want {
				t.Errorf("got %s, want %s", got, tc.want)
			}
			if l := log.All(); len(l) > 0 {
				t.Errorf("unexpected problems: %v", l)
			}
		})
	}
}

func TestCompositionCycles(t *testing.T) {
	for name, data := range map[string]string{
		"inherits itself":    `{"path":"r","inherits":{"i":"r"}}`,
		"inherits in a ring": `{"path":"r","inherits":{"i":"s"}},{"path":"s","inherits":{"i":"r"}}`,
		"child of itself":    `{"path":"r","children":{"x":"s"}},{"path":"s","children":{"y":"r"}}`,
	} {
		t.Run(name, func(t *testing.T) {
			log := &source.Log{}
			c := newComposer(layers(t, log, data), log)
			c.expand("r")
			l := log.All()
			if len(l) != 1 || l[0].Code != "cycle" || l[0].Line != 1 || l[0].Severity != source.Skipped {
				t.Errorf("want one report of the cycle with its place, got %v", l)
			}
		})
	}
}

// Every level names the next one twice: 2^40 nodes.
// Nodes in a ring, which name each other so that none of them is an end, are composed from the
// first described on; what hangs from them comes once.
func TestCompositionRings(t *testing.T) {
	for _, tc := range []struct{ data, want string }{
		{`{"path":"leaf","attributes":{"a":1}},{"path":"p","children":{"s":"s"}},{"path":"s","children":{"x":"leaf","up":"p"}}`, "[s[x{a=1}]]"},
		{`{"path":"p","children":{"own":"p","x":"leaf"}},{"path":"leaf","attributes":{"a":1}}`, "[x{a=1}]"},
		{`{"path":"r","children":{"x":"leaf"}},{"path":"leaf","attributes":{"a":1}},{"path":"q","inherits":{"a":"w"}},{"path":"w","inherits":{"a":"q"},"attributes":{"b":2}}`, "[x{a=1}] {b=2}"},
		{`{"path":"gone/below","children":{"x":"leaf"}},{"path":"leaf","attributes":{"a":1}}`, "{a=1}"},
	} {
		log := &source.Log{}
		var got []string
		for _, n := range newComposer(layers(t, log, tc.data), log).roots() {
			got = append(got, show(n))
		}
		if s := strings.Join(got, " "); s != tc.want {
			t.Errorf("%s: got %s, want %s", tc.data, s, tc.want)
		}
	}
}

func TestCompositionDoubling(t *testing.T) {
	var b strings.Builder
	for i := range 40 {
		fmt.Fprintf(&b, `{"path":"n%d","children":{"x":"n%d","y":"n%d"}},`, i, i+1, i+1)
	}
	b.WriteString(`{"path":"n40","attributes":{"a":1}}`)
	text := `{"header":{},"data":[` + b.String() + `]}`
	_, err := Read([]*source.File{{Name: "doubling.ifcx", Data: []byte(text)}}, &source.Log{})
	if err == nil || !strings.Contains(err.Error(), "instanced without end") {
		t.Errorf("want an error, got %v", err)
	}
}

func TestUnresolvedPath(t *testing.T) {
	log := &source.Log{}
	c := newComposer(layers(t, log, `{"path":"r","inherits":{"material":"gone"},"children":{"x":"gone2"}}`), log)
	if got := show(c.expand("r")); got != "[x]" {
		t.Errorf("got %s", got)
	}
	l := log.All()
	if len(l) != 2 || l[0].Code != "unresolved-path" || !strings.Contains(l[0].Text, "gone") {
		t.Errorf("want both missing paths named, got %v", l)
	}
}
