// Package xlsx writes findings as a spreadsheet of the open format (Office Open XML,
// ECMA-376): sheets of items, comments, voids and openings, each with a frozen head and a
// filter, and one on what was read. Texts are written as texts and never as formulas.
package xlsx

import (
	"fmt"
	"io"

	"github.com/beevik/etree"

	"voidcheck/checks/finding"
	"voidcheck/cmd/internal/output/archive"
	"voidcheck/cmd/internal/output/words"
)

// Write writes the workbook; the same findings give the same bytes.
func Write(w io.Writer, r *finding.Report) error {
	b := words.New(r)
	sheets := []*sheet{items(b), comments(b), voids(b), openings(b), about(b)}
	a := archive.New(w)
	a.XML("[Content_Types].xml", contentTypes(sheets))
	a.XML("_rels/.rels", relations([][3]string{{"rId1", "officeDocument", "xl/workbook.xml"}}))
	a.XML("xl/workbook.xml", workbook(sheets))
	var rels [][3]string
	for i := range sheets {
		rels = append(rels, [3]string{fmt.Sprintf("rId%d", i+1), "worksheet", fmt.Sprintf("worksheets/sheet%d.xml", i+1)})
	}
	a.XML("xl/_rels/workbook.xml.rels", relations(append(rels, [3]string{"rIdStyles", "styles", "styles.xml"})))
	a.XML("xl/styles.xml", styles())
	for i, s := range sheets {
		data, err := s.part(i == 0)
		if err != nil {
			return err
		}
		a.Part(fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1), data)
	}
	return a.Close()
}

const (
	main  = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
	links = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
)

func create(in *etree.Element, name string, attrs ...string) *etree.Element {
	e := in.CreateElement(name)
	for i := 0; i+1 < len(attrs); i += 2 {
		e.CreateAttr(attrs[i], attrs[i+1])
	}
	return e
}

func workbook(sheets []*sheet) *etree.Document {
	doc := archive.Document()
	w := create(&doc.Element, "workbook", "xmlns", main, "xmlns:r", links)
	create(w.CreateElement("bookViews"), "workbookView", "activeTab", "0")
	list := w.CreateElement("sheets")
	names := w.CreateElement("definedNames")
	for i, s := range sheets {
		create(list, "sheet", "name", s.name, "sheetId", fmt.Sprint(i+1), "r:id", fmt.Sprintf("rId%d", i+1))
		// Programs keep the range of a filter under this name as well.
		create(names, "definedName", "name", "_xlnm._FilterDatabase", "localSheetId", fmt.Sprint(i), "hidden", "1").
			SetText(fmt.Sprintf("%s!$A$1:$%s$%d", s.name, name(len(s.cols)-1), len(s.rows)+1))
		create(names, "definedName", "name", "_xlnm.Print_Titles", "localSheetId", fmt.Sprint(i)).SetText(s.name + "!$1:$1")
	}
	return doc
}

// styles are the cells' looks, in the order of the style constants.
func styles() *etree.Document {
	doc := archive.Document()
	s := create(&doc.Element, "styleSheet", "xmlns", main)
	f := create(s, "fonts", "count", "2")
	for _, bold := range []bool{false, true} {
		font := f.CreateElement("font")
		if bold {
			font.CreateElement("b")
		}
		create(font, "sz", "val", "10")
		create(font, "name", "val", "Arial")
	}
	fills := create(s, "fills", "count", "3")
	for _, kind := range []string{"none", "gray125"} { // the format wants these two first
		create(fills.CreateElement("fill"), "patternFill", "patternType", kind)
	}
	create(create(fills.CreateElement("fill"), "patternFill", "patternType", "solid"), "fgColor", "rgb", "FFE4E4E4")
	border := create(s, "borders", "count", "1").CreateElement("border")
	for _, side := range []string{"left", "right", "top", "bottom", "diagonal"} {
		border.CreateElement(side)
	}
	create(create(s, "cellStyleXfs", "count", "1"), "xf", "numFmtId", "0", "fontId", "0", "fillId", "0", "borderId", "0")
	x := create(s, "cellXfs", "count", "5")
	add := func(format, font, fill string, more ...string) {
		e := create(x, "xf", append([]string{"numFmtId", format, "fontId", font, "fillId", fill, "borderId", "0", "xfId", "0", "applyAlignment", "1"}, more...)...)
		create(e, "alignment", "vertical", "top", "wrapText", "1")
	}
	add("0", "0", "0")
	add("0", "1", "2", "applyFont", "1", "applyFill", "1")
	add("0", "0", "0", "quotePrefix", "1")
	add("4", "0", "0", "applyNumberFormat", "1") // #,##0.00
	add("3", "0", "0", "applyNumberFormat", "1") // #,##0
	create(create(s, "cellStyles", "count", "1"), "cellStyle", "name", "Normal", "xfId", "0", "builtinId", "0")
	return doc
}

func contentTypes(sheets []*sheet) *etree.Document {
	doc := archive.Document()
	t := create(&doc.Element, "Types", "xmlns", "http://schemas.openxmlformats.org/package/2006/content-types")
	create(t, "Default", "Extension", "rels", "ContentType", "application/vnd.openxmlformats-package.relationships+xml")
	create(t, "Default", "Extension", "xml", "ContentType", "application/xml")
	const kind = "application/vnd.openxmlformats-officedocument.spreadsheetml."
	create(t, "Override", "PartName", "/xl/workbook.xml", "ContentType", kind+"sheet.main+xml")
	create(t, "Override", "PartName", "/xl/styles.xml", "ContentType", kind+"styles+xml")
	for i := range sheets {
		create(t, "Override", "PartName", fmt.Sprintf("/xl/worksheets/sheet%d.xml", i+1), "ContentType", kind+"worksheet+xml")
	}
	return doc
}

func relations(list [][3]string) *etree.Document {
	doc := archive.Document()
	r := create(&doc.Element, "Relationships", "xmlns", "http://schemas.openxmlformats.org/package/2006/relationships")
	for _, x := range list {
		create(r, "Relationship", "Id", x[0], "Type", links+"/"+x[1], "Target", x[2])
	}
	return doc
}
