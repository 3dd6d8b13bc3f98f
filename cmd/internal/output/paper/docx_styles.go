package paper

import (
	"strconv"

	"github.com/beevik/etree"

	"voidcheck/cmd/internal/output/archive"
)

// style is a paragraph style; sizes in points, gaps in millimetres.
type style struct {
	id, name      string
	size          float64
	bold, ruled   bool
	ink           string
	before, after float64
	next          bool // stays with the next paragraph
	hang          float64
	level         int // of a heading
}

func (k *word) styles() *etree.Document {
	s := 10.0
	gap := 1.0
	if k.d.Tight {
		s, gap = 7.3, 0.4
	}
	list := []style{
		{id: "Heading1", name: "heading 1", size: s * 1.65, bold: true, after: 2.5 * gap, next: true, level: 1},
		{id: "Heading2", name: "heading 2", size: s * 1.2, bold: true, ruled: true, before: 5 * gap, after: 2 * gap, next: true, level: 2},
		{id: "Heading3", name: "heading 3", size: s, bold: true, before: 3 * gap, after: 0.6 * gap, next: true, level: 3},
		{id: "Strong", name: "Strong Line", size: s, bold: true, after: 1.5 * gap},
		{id: "Small", name: "Small", size: s * 0.84, ink: "444444", after: gap},
		{id: "Caption", name: "caption", size: s * 0.84, ink: "444444", after: 2 * gap},
		{id: "Point", name: "Point", size: s, after: 0.5 * gap, hang: 4},
		{id: "Cell", name: "Cell", size: s},
		{id: "CellSmall", name: "Cell Small", size: s * 0.84, ink: "444444"},
		{id: "CellHead", name: "Cell Head", size: s * 0.86, bold: true, next: true},
		{id: "NoteHeading", name: "Note Heading", size: s * 0.95, bold: true, before: 4 * gap, next: true},
		{id: "NotePoint", name: "Note Point", size: s * 0.86, hang: 4},
	}
	doc := archive.Document()
	root := create(&doc.Element, "w:styles", "xmlns:w", nsW)
	pr := root.CreateElement("w:docDefaults").CreateElement("w:rPrDefault").CreateElement("w:rPr")
	create(pr, "w:rFonts", "w:ascii", "Arial", "w:hAnsi", "Arial", "w:cs", "Arial")
	create(pr, "w:sz", "w:val", half(s))
	create(pr, "w:lang", "w:val", "en-US")
	n := create(root, "w:style", "w:type", "paragraph", "w:default", "1", "w:styleId", "Normal")
	create(n, "w:name", "w:val", "Normal")
	create(n.CreateElement("w:pPr"), "w:spacing", "w:after", twips(1.8*gap))
	for _, st := range list {
		st.write(root)
	}
	run := create(root, "w:style", "w:type", "paragraph", "w:styleId", "Running")
	create(run, "w:name", "w:val", "footer")
	p := run.CreateElement("w:pPr")
	create(p.CreateElement("w:tabs"), "w:tab", "w:val", "right", "w:pos", twips(Width))
	r := run.CreateElement("w:rPr")
	create(r, "w:color", "w:val", "555555")
	create(r, "w:sz", "w:val", half(8))
	return doc
}

// half prints a size in half points.
func half(pt float64) string { return strconv.Itoa(int(pt*2 + 0.5)) }

func (st *style) write(root *etree.Element) {
	e := create(root, "w:style", "w:type", "paragraph", "w:styleId", st.id)
	create(e, "w:name", "w:val", st.name)
	create(e, "w:basedOn", "w:val", "Normal")
	p := e.CreateElement("w:pPr")
	if st.next {
		p.CreateElement("w:keepNext")
	}
	if st.ruled {
		create(p.CreateElement("w:pBdr"), "w:bottom", "w:val", "single", "w:sz", "6", "w:space", "1", "w:color", "1A1A1A")
	}
	if st.hang > 0 {
		create(p.CreateElement("w:tabs"), "w:tab", "w:val", "left", "w:pos", twips(st.hang))
	}
	create(p, "w:spacing", "w:before", twips(st.before), "w:after", twips(st.after))
	if st.hang > 0 {
		create(p, "w:ind", "w:left", twips(st.hang), "w:hanging", twips(st.hang))
	}
	if st.level > 0 {
		create(p, "w:outlineLvl", "w:val", strconv.Itoa(st.level-1))
	}
	r := e.CreateElement("w:rPr")
	if st.bold {
		r.CreateElement("w:b")
	}
	if st.ink != "" {
		create(r, "w:color", "w:val", st.ink)
	}
	create(r, "w:sz", "w:val", half(st.size))
}
