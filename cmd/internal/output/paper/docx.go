package paper

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/beevik/etree"

	"voidcheck/cmd/internal/output/archive"
)

// word writes a document as the parts of a DOCX file (Office Open XML, ECMA-376,
// WordprocessingML).
type word struct {
	d      *Document
	body   *etree.Element
	images [][]byte
	err    error
}

const (
	nsW = "http://schemas.openxmlformats.org/wordprocessingml/2006/main"
	nsR = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
)

// dots is the resolution of drawings in DOCX, dots an inch.
const dots = 200

func writeDOCX(w io.Writer, d *Document) error {
	doc := archive.Document()
	root := doc.CreateElement("w:document")
	for _, ns := range [][2]string{
		{"w", nsW}, {"r", nsR}, {"wp", "http://schemas.openxmlformats.org/drawingml/2006/wordprocessingDrawing"},
		{"a", "http://schemas.openxmlformats.org/drawingml/2006/main"}, {"pic", "http://schemas.openxmlformats.org/drawingml/2006/picture"},
		{"w14", "http://schemas.microsoft.com/office/word/2010/wordml"}, {"mc", "http://schemas.openxmlformats.org/markup-compatibility/2006"},
	} {
		root.CreateAttr("xmlns:"+ns[0], ns[1])
	}
	root.CreateAttr("mc:Ignorable", "w14")
	k := &word{d: d, body: root.CreateElement("w:body")}
	for _, b := range d.Blocks {
		k.block(k.body, b)
	}
	if len(d.Foot) > 0 {
		k.para(k.body, "NoteHeading", "Please note")
		if d.Tight {
			k.para(k.body, "Small", strings.Join(d.Foot, " "))
		} else {
			for _, f := range d.Foot {
				k.para(k.body, "NotePoint", "•\t"+f)
			}
		}
	}
	k.section()
	if k.err != nil {
		return k.err
	}
	a := archive.New(w)
	a.XML("[Content_Types].xml", k.contentTypes())
	a.XML("_rels/.rels", relations([][3]string{
		{"rId1", nsR + "/officeDocument", "word/document.xml"},
		{"rId2", "http://schemas.openxmlformats.org/package/2006/relationships/metadata/core-properties", "docProps/core.xml"},
	}))
	a.XML("docProps/core.xml", k.core())
	a.XML("word/document.xml", doc)
	a.XML("word/styles.xml", k.styles())
	a.XML("word/footer1.xml", k.footer())
	rels := [][3]string{{"rId1", nsR + "/styles", "styles.xml"}, {"rId2", nsR + "/footer", "footer1.xml"}}
	for i := range k.images {
		rels = append(rels, [3]string{fmt.Sprintf("rIdImage%d", i+1), nsR + "/image", fmt.Sprintf("media/image%d.png", i+1)})
	}
	a.XML("word/_rels/document.xml.rels", relations(rels))
	for i, img := range k.images {
		a.Part(fmt.Sprintf("word/media/image%d.png", i+1), img)
	}
	return a.Close()
}

// twips are twentieths of a point.
func twips(mm float64) string { return strconv.Itoa(int(math.Round(mm * 1440 / 25.4))) }

// emu are English Metric Units, of which 36,000 are a millimetre.
func emu(mm float64) string { return strconv.Itoa(int(math.Round(mm * 36000))) }

// make creates nested elements with attributes given as name, value, name, value.
func create(in *etree.Element, name string, attrs ...string) *etree.Element {
	e := in.CreateElement(name)
	for i := 0; i+1 < len(attrs); i += 2 {
		e.CreateAttr(attrs[i], attrs[i+1])
	}
	return e
}

// para adds a paragraph in a style; a tab in the text is a tab.
func (k *word) para(in *etree.Element, style, text string) *etree.Element {
	p := in.CreateElement("w:p")
	if style != "" {
		create(p.CreateElement("w:pPr"), "w:pStyle", "w:val", style)
	}
	k.run(p, text, false)
	return p
}

func (k *word) run(p *etree.Element, text string, bold bool) {
	r := p.CreateElement("w:r")
	if bold {
		r.CreateElement("w:rPr").CreateElement("w:b")
	}
	if rest, ok := strings.CutPrefix(text, "•\t"); ok {
		create(r, "w:t").SetText("•")
		r.CreateElement("w:tab")
		text = rest
	}
	t := create(r, "w:t", "xml:space", "preserve")
	t.SetText(archive.Text(text))
}

func (k *word) block(in *etree.Element, b Block) {
	switch b := b.(type) {
	case Heading:
		k.para(in, "Heading"+strconv.Itoa(b.Level), b.Text)
	case Para:
		style := ""
		switch {
		case b.Small:
			style = "Small"
		case b.Bold:
			style = "Strong"
		}
		k.para(in, style, b.Text)
	case Fields:
		k.fields(in, b)
	case List:
		for _, t := range b {
			k.para(in, "Point", "•\t"+t)
		}
	case Figure:
		k.figure(in, b)
	case Figures:
		k.figures(in, b)
	case *Table:
		k.table(in, b)
	case Columns:
		k.columns(in, b)
	case Sign:
		k.sign(in, b)
	case Break:
		create(create(in.CreateElement("w:p"), "w:r"), "w:br", "w:type", "page")
	case Group:
		from := len(in.ChildElements())
		for _, x := range b {
			k.block(in, x)
		}
		keep(in.ChildElements()[from:])
	}
}

// keep holds paragraphs with what follows, but the last.
func keep(list []*etree.Element) {
	for i, e := range list {
		if e.Tag != "p" || i == len(list)-1 {
			continue
		}
		pr := e.SelectElement("w:pPr")
		if pr == nil {
			pr = etree.NewElement("w:pPr")
			e.InsertChildAt(0, pr)
		}
		// keepNext stands right after the style, as the schema orders it.
		at := 0
		if pr.SelectElement("w:pStyle") != nil {
			at = 1
		}
		pr.InsertChildAt(at, etree.NewElement("w:keepNext"))
	}
}

// section ends the body with the page: size, margins, the running line.
func (k *word) section() {
	w, h := k.d.page()
	top, bottom := 15.0, 18.0
	if k.d.Tight {
		top, bottom = 11, 13
	}
	s := k.body.CreateElement("w:sectPr")
	create(s, "w:footerReference", "w:type", "default", "r:id", "rId2")
	create(s, "w:pgSz", "w:w", twips(w), "w:h", twips(h))
	side := twips((w - Width) / 2)
	create(s, "w:pgMar", "w:top", twips(top), "w:right", side, "w:bottom", twips(bottom), "w:left", side, "w:header", "400", "w:footer", twips(8), "w:gutter", "0")
}

func (k *word) footer() *etree.Document {
	doc := archive.Document()
	f := create(doc.CreateElement("w:ftr"), "w:p")
	doc.Root().CreateAttr("xmlns:w", nsW)
	create(f.CreateElement("w:pPr"), "w:pStyle", "w:val", "Running")
	k.run(f, join(", ", k.d.Title, k.d.Subject), false)
	f.CreateElement("w:r").CreateElement("w:tab")
	k.run(f, "page ", false)
	field := func(code string) {
		s := create(f, "w:fldSimple", "w:instr", code)
		k.run(s, "1", false)
	}
	field("PAGE")
	k.run(f, " of ", false)
	field("NUMPAGES")
	return doc
}

func (k *word) core() *etree.Document {
	doc := archive.Document()
	c := create(&doc.Element, "cp:coreProperties", "xmlns:cp", "http://schemas.openxmlformats.org/package/2006/metadata/core-properties",
		"xmlns:dc", "http://purl.org/dc/elements/1.1/", "xmlns:dcterms", "http://purl.org/dc/terms/", "xmlns:xsi", "http://www.w3.org/2001/XMLSchema-instance")
	c.CreateElement("dc:title").SetText(archive.Text(join(": ", k.d.Title, k.d.Subject)))
	c.CreateElement("dc:creator").SetText("voidcheck")
	if k.d.At != "" {
		create(c, "dcterms:created", "xsi:type", "dcterms:W3CDTF").SetText(archive.Text(k.d.At))
	}
	return doc
}

func (k *word) contentTypes() *etree.Document {
	doc := archive.Document()
	t := create(&doc.Element, "Types", "xmlns", "http://schemas.openxmlformats.org/package/2006/content-types")
	create(t, "Default", "Extension", "rels", "ContentType", "application/vnd.openxmlformats-package.relationships+xml")
	create(t, "Default", "Extension", "xml", "ContentType", "application/xml")
	create(t, "Default", "Extension", "png", "ContentType", "image/png")
	const w = "application/vnd.openxmlformats-officedocument.wordprocessingml."
	for _, o := range [][2]string{{"/word/document.xml", w + "document.main+xml"}, {"/word/styles.xml", w + "styles+xml"}, {"/word/footer1.xml", w + "footer+xml"},
		{"/docProps/core.xml", "application/vnd.openxmlformats-package.core-properties+xml"}} {
		create(t, "Override", "PartName", o[0], "ContentType", o[1])
	}
	return doc
}

func relations(list [][3]string) *etree.Document {
	doc := archive.Document()
	r := create(&doc.Element, "Relationships", "xmlns", "http://schemas.openxmlformats.org/package/2006/relationships")
	for _, x := range list {
		create(r, "Relationship", "Id", x[0], "Type", x[1], "Target", x[2])
	}
	return doc
}
