package hostile

import (
	"bytes"
	"fmt"
	"strings"

	"voidcheck/ifcx/ifctest"
)

// nodes is an IFC5 file with the caller's nodes below a project "p" and a storey "s".
func nodes(list ...string) func() []byte {
	return text(`{"header":{"id":"x","ifcxVersion":"ifcx_alpha"},"imports":[],"schemas":{},"data":[
{"path":"p","children":{"s":"s"},"attributes":{"bsi::ifc::class":{"code":"IfcProject"}}},
{"path":"s","attributes":{"bsi::ifc::class":{"code":"IfcBuildingStorey"}}}` + strings.Join(append([]string{""}, list...), ",\n") + "\n]}")
}

// mesh is a wall below the storey with a mesh of the caller's.
func mesh(points, indices string) func() []byte {
	return nodes(`{"path":"s","children":{"w":"w"}}`, `{"path":"w","attributes":{"bsi::ifc::class":{"code":"IfcWall"},"usd::usdgeom::mesh":{"points":[`+points+`],"faceVertexIndices":[`+indices+`]}}}`)
}

// layers are hostile IFC5 files.
func layers() []File {
	sound := func() string {
		m, err := ifctest.Row(1).Build()
		if err != nil {
			panic(err) // the row is a constant
		}
		var b bytes.Buffer
		if err := m.WriteIFC5(&b, ifctest.Disguise{}); err != nil {
			panic(err)
		}
		return b.String()
	}
	chain := func(n int, link string) string {
		return repeat(n, ",\n", func(i int) string { return fmt.Sprintf(`{"path":"n%d","%s":{"x":"n%d"}}`, i, link, i+1) })
	}
	return []File{
		{"cut.ifcx", "cut off after two thirds", Refused, "ends too early", func() []byte { s := sound(); return []byte(s[:len(s)*2/3]) }},
		{"marked.ifcx", "a byte order mark and other line ends", Read, "", func() []byte { return []byte("\xef\xbb\xbf" + strings.ReplaceAll(sound(), "\n", "\r\n")) }},
		{"layer.ifc", "IFC5 named as STEP", Read, "", func() []byte { return []byte(sound()) }},
		{"other.ifcx", "JSON that is no model", Refused, "is missing", text(`{"a":[1,2,3]}`)},
		{"list.ifcx", "a list instead of a model", Refused, "not a building model", text(`[1,2,3]`)},
		{"nothing.ifcx", "nulls in every place", Refused, "an object is wanted", text(`{"header":null,"imports":null,"schemas":null,"data":[null]}`)},
		{"twice.ifcx", "a name twice in one object", Refused, "stands here twice", text(`{"header":{},"header":{},"data":[]}`)},
		{"after.ifcx", "text behind the document", Refused, "more text after the end", text(string(nodes()()) + "{}")},
		{"deep.ifcx", "an attribute nested a million deep", Refused, "nest deeper", nodes(`{"path":"s","attributes":{"a":` + strings.Repeat("[", 1e6) + strings.Repeat("]", 1e6) + `}}`)},
		{"deep-objects.ifcx", "an attribute of objects nested nine thousand deep", Refused, "nest deeper", nodes(`{"path":"s","attributes":{"a":` + strings.Repeat(`{"a":`, 9000) + "1" + strings.Repeat("}", 9000) + `}}`)},
		{"inherit-self.ifcx", "a node that inherits from itself", Named, "cycle", nodes(`{"path":"s","inherits":{"a":"s"}}`)},
		{"inherit-ring.ifcx", "nodes that inherit from each other", Named, "cycle", nodes(`{"path":"s","inherits":{"a":"b"}}`, `{"path":"b","inherits":{"a":"s"}}`)},
		{"inherit-chain.ifcx", "a hundred thousand nodes, each inheriting from the next", Refused, "instanced without end", nodes(`{"path":"s","inherits":{"x":"n0"}}`, chain(1e5, "inherits"))},
		{"child-ring.ifcx", "a node that is its own child, and one that is its child's child", Named, "cycle", nodes(`{"path":"s","children":{"a":"s","b":"t"}}`, `{"path":"t","children":{"c":"s"}}`)},
		{"project-ring.ifcx", "a project that is a child of its own storey", Named, "cycle", nodes(`{"path":"s","children":{"a":"p"}}`)},
		{"child-chain.ifcx", "a hundred thousand nodes, each in the one before", Refused, "instanced without end", nodes(`{"path":"s","children":{"x":"n0"}}`, chain(1e5, "children"))},
		{"doubling.ifcx", "nodes that name the next one twice, forty times", Refused, "instanced without end", nodes(`{"path":"s","children":{"x":"n0"}}`, repeat(40, ",", func(i int) string {
			return fmt.Sprintf(`{"path":"n%d","children":{"a":"n%d","b":"n%d"}}`, i, i+1, i+1)
		}))},
		{"inherit-doubling.ifcx", "nodes that inherit the next one twice, forty times", Refused, "instanced without end", nodes(`{"path":"s","inherits":{"x":"n0"}}`, repeat(40, ",", func(i int) string {
			return fmt.Sprintf(`{"path":"n%d","inherits":{"a":"n%d","b":"n%d"}}`, i, i+1, i+1)
		}))},
		{"many-children.ifcx", "a storey of a hundred thousand children", Named, "unresolved-path", nodes(`{"path":"s","children":{` + repeat(1e5, ",", func(i int) string { return fmt.Sprintf(`"c%d":"w%d"`, i, i) }) + `}}`)},
		{"many-layers.ifcx", "one path described a hundred thousand times, each time with a new attribute", Read, "", nodes(repeat(1e5, ",\n", func(i int) string { return fmt.Sprintf(`{"path":"s","attributes":{"a%d":%d}}`, i, i) }))},
		{"slashes.ifcx", "paths of ten thousand parts", Named, "unresolved-path", nodes(`{"path":"s`+strings.Repeat("/a", 1e4)+`","attributes":{"a":1}}`, `{"path":"p","children":{"z":"s`+strings.Repeat("/s", 1e4)+`"}}`)},
		{"gone.ifcx", "children and types that nobody describes", Named, "unresolved-path", nodes(`{"path":"s","children":{"a":"gone/b"},"inherits":{"b":"away"}}`)},
		{"imports.ifcx", "imports by address and by file name", Named, "import-unresolved", text(strings.Replace(string(nodes()()), `"imports":[]`, `"imports":[{"uri":"https://example.invalid/a.ifcx"},{"uri":"file:///etc/hostname"},{"uri":"../../b.ifcx"}]`, 1))},
		{"no-project.ifcx", "no project", Read, "", text(`{"header":{},"data":[{"path":"a","children":{"b":"c"}},{"path":"c","attributes":{"bsi::ifc::class":{"code":"IfcWall"}}}]}`)},
		{"index-wrong.ifcx", "face indices beyond the points", Named, "attribute", mesh("[0,0,0],[1,0,0],[0,1,0]", "0,1,3")},
		{"index-huge.ifcx", "face indices of -1, 0.5 and 1E300", Named, "attribute", mesh("[0,0,0],[1,0,0],[0,1,0]", "-1,0.5,1e300")},
		{"points-huge.ifcx", "points at 1E308 and 1E999", Named, "attribute", mesh("[1e308,0,0],[-1e308,1e308,0],[0,1,1e999]", "0,1,2")},
		{"nan.ifcx", "NaN where a number belongs", Refused, "invalid character", mesh("[NaN,0,0],[1,0,0],[0,1,0]", "0,1,2")},
		{"faces-many.ifcx", "two hundred thousand faces over three points", Named, "open-surface", mesh("[0,0,0],[1,0,0],[0,1,0]", repeat(2e5, ",", func(int) string { return "0,1,2" }))},
		{"flat.ifcx", "a transform of noughts, and one that grows by 1E200 at each of five levels", Named, "geometry-far", nodes(`{"path":"s","children":{"a":"a"}}`, repeat(5, ",", func(i int) string {
			return fmt.Sprintf(`{"path":"%c","children":{"x":"%c"},"attributes":{"bsi::ifc::class":{"code":"IfcWall"},"usd::xformop":{"transform":[[1e200,0,0,0],[0,1e200,0,0],[0,0,0,0],[1e200,0,0,1]]},"usd::usdgeom::mesh":{"points":[[0,0,0],[1,0,0],[0,1,0],[0,0,1]],"faceVertexIndices":[0,2,1,0,1,3,0,3,2,1,2,3]}}}`, 'a'+i, 'b'+i)
		}))},
	}
}
