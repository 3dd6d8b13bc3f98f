package paper

import (
	"fmt"
	"strconv"

	"github.com/beevik/etree"

	"voidcheck/cmd/internal/output/archive"
)

// grid begins a table with columns in millimetres, bordered below its rows or not at all.
func (k *word) grid(in *etree.Element, widths []float64, ruled bool) *etree.Element {
	t := in.CreateElement("w:tbl")
	pr := t.CreateElement("w:tblPr")
	total := 0.0
	for _, w := range widths {
		total += w
	}
	create(pr, "w:tblW", "w:w", twips(total), "w:type", "dxa")
	if ruled {
		b := pr.CreateElement("w:tblBorders")
		for _, side := range []string{"bottom", "insideH"} {
			create(b, "w:"+side, "w:val", "single", "w:sz", "4", "w:space", "0", "w:color", "9A9A9A")
		}
	}
	create(pr, "w:tblLayout", "w:type", "fixed")
	m := pr.CreateElement("w:tblCellMar")
	pad, side := 0.8, 1.4
	if k.d.Tight {
		pad = 0.3
	}
	if !ruled {
		pad, side = 0.2, 0
	}
	for _, x := range []struct {
		name string
		mm   float64
	}{{"top", pad}, {"left", side}, {"bottom", pad}, {"right", side}} {
		create(m, "w:"+x.name, "w:w", twips(x.mm), "w:type", "dxa")
	}
	g := t.CreateElement("w:tblGrid")
	for _, w := range widths {
		create(g, "w:gridCol", "w:w", twips(w))
	}
	return t
}

// row begins a row that is not divided.
func (k *word) row(t *etree.Element, head bool) *etree.Element {
	r := t.CreateElement("w:tr")
	pr := r.CreateElement("w:trPr")
	pr.CreateElement("w:cantSplit")
	if head {
		pr.CreateElement("w:tblHeader")
	}
	return r
}

func (k *word) cell(r *etree.Element, width float64) *etree.Element {
	c := r.CreateElement("w:tc")
	create(c.CreateElement("w:tcPr"), "w:tcW", "w:w", twips(width), "w:type", "dxa")
	return c
}

// after ends a table: two tables in a row would become one.
func (k *word) after(in *etree.Element) {
	p := in.CreateElement("w:p")
	create(p.CreateElement("w:pPr"), "w:spacing", "w:after", "0", "w:line", "120", "w:lineRule", "exact")
}

func (k *word) fields(in *etree.Element, list Fields) {
	widths := []float64{40, Width - 40}
	if k.d.Tight {
		widths = []float64{26, Width/2 - 26, 26, Width/2 - 26}
	}
	t := k.grid(in, widths, false)
	per := len(widths) / 2
	for i := 0; i < len(list); i += per {
		r := k.row(t, false)
		for j := range per {
			var f [2]string
			if i+j < len(list) {
				f = list[i+j]
			}
			k.para(k.cell(r, widths[2*j]), "Cell", f[0])
			k.para(k.cell(r, widths[2*j+1]), "Cell", f[1])
		}
	}
	k.after(in)
}

func (k *word) figure(in *etree.Element, f Figure) {
	p := in.CreateElement("w:p")
	p.CreateElement("w:pPr").CreateElement("w:keepNext")
	k.image(p, f)
	if f.Caption != "" {
		k.para(in, "Caption", f.Caption)
	}
}

func (k *word) figures(in *etree.Element, list Figures) {
	var widths []float64
	for _, f := range list {
		widths = append(widths, f.Picture.W+3)
	}
	r := k.row(k.grid(in, widths, false), false)
	for i, f := range list {
		c := k.cell(r, widths[i])
		create(c.SelectElement("w:tcPr"), "w:vAlign", "w:val", "bottom")
		k.image(c.CreateElement("w:p"), f)
		k.para(c, "Caption", f.Caption)
	}
	k.after(in)
}

func (k *word) columns(in *etree.Element, b Columns) {
	widths := []float64{Width/2 - 3, 6, Width/2 - 3}
	r := k.row(k.grid(in, widths, false), false)
	for i, side := range b {
		if i > 0 {
			k.para(k.cell(r, widths[1]), "Cell", "")
		}
		c := k.cell(r, widths[2*i])
		for _, x := range side {
			k.block(c, x)
		}
		if list := c.ChildElements(); list[len(list)-1].Tag != "p" { // a cell ends with a paragraph
			k.para(c, "Cell", "")
		}
	}
	k.after(in)
}

// image adds a drawing as a picture of dots; Word shows no SVG without one.
func (k *word) image(p *etree.Element, f Figure) {
	data, err := f.Picture.PNG(dots)
	if err != nil {
		if k.err == nil {
			k.err = fmt.Errorf("%s: %w", f.Picture.Title, err)
		}
		return
	}
	k.images = append(k.images, data)
	n := strconv.Itoa(len(k.images))
	w, h := emu(f.Picture.W), emu(f.Picture.H)
	in := create(p.CreateElement("w:r").CreateElement("w:drawing"), "wp:inline", "distT", "0", "distB", "0", "distL", "0", "distR", "0")
	create(in, "wp:extent", "cx", w, "cy", h)
	create(in, "wp:docPr", "id", n, "name", "Drawing "+n, "descr", archive.Text(f.Picture.Title))
	g := create(create(in, "a:graphic"), "a:graphicData", "uri", "http://schemas.openxmlformats.org/drawingml/2006/picture")
	pic := g.CreateElement("pic:pic")
	nv := pic.CreateElement("pic:nvPicPr")
	create(nv, "pic:cNvPr", "id", n, "name", "Drawing "+n)
	nv.CreateElement("pic:cNvPicPr")
	fill := pic.CreateElement("pic:blipFill")
	create(fill, "a:blip", "r:embed", "rIdImage"+n)
	fill.CreateElement("a:stretch").CreateElement("a:fillRect")
	sp := pic.CreateElement("pic:spPr")
	x := sp.CreateElement("a:xfrm")
	create(x, "a:off", "x", "0", "y", "0")
	create(x, "a:ext", "cx", w, "cy", h)
	create(sp, "a:prstGeom", "prst", "rect").CreateElement("a:avLst")
}

func (k *word) table(in *etree.Element, t *Table) {
	total := 0.0
	for _, w := range t.Widths {
		total += w
	}
	widths := make([]float64, len(t.Widths))
	for i, w := range t.Widths {
		widths[i] = w / total * Width
	}
	g := k.grid(in, widths, true)
	if len(t.Head) > 0 {
		r := k.row(g, true)
		for i, h := range t.Head {
			c := k.cell(r, widths[i])
			create(c.SelectElement("w:tcPr").CreateElement("w:tcBorders"), "w:bottom", "w:val", "single", "w:sz", "10", "w:space", "0", "w:color", "1A1A1A")
			k.para(c, "CellHead", h)
		}
	}
	for _, row := range t.Rows {
		r := k.row(g, false)
		if row.Span != "" {
			c := k.cell(r, Width)
			pr := c.SelectElement("w:tcPr")
			create(pr, "w:gridSpan", "w:val", strconv.Itoa(len(widths)))
			create(pr, "w:shd", "w:val", "clear", "w:color", "auto", "w:fill", "ECECEC")
			k.para(c, "CellHead", row.Span)
			continue
		}
		for i := range widths {
			var c Cell
			if i < len(row.Cells) {
				c = row.Cells[i]
			}
			k.fill(k.cell(r, widths[i]), c)
		}
	}
	k.after(in)
}

func (k *word) fill(tc *etree.Element, c Cell) {
	switch {
	case c.Tick:
		k.tick(tc)
		return
	case c.Lines > 0:
		for range c.Lines {
			k.para(tc, "Cell", "")
		}
		return
	}
	p := tc.CreateElement("w:p")
	create(p.CreateElement("w:pPr"), "w:pStyle", "w:val", "Cell")
	k.run(p, c.Text, c.Bold)
	if c.Small != "" {
		k.para(tc, "CellSmall", c.Small)
	}
}

// tick is a box that can be ticked on a screen and printed empty.
func (k *word) tick(tc *etree.Element) {
	p := tc.CreateElement("w:p")
	create(p.CreateElement("w:pPr"), "w:pStyle", "w:val", "Cell")
	s := p.CreateElement("w:sdt")
	box := s.CreateElement("w:sdtPr").CreateElement("w14:checkbox")
	create(box, "w14:checked", "w14:val", "0")
	create(box, "w14:checkedState", "w14:val", "2612", "w14:font", "MS Gothic")
	create(box, "w14:uncheckedState", "w14:val", "2610", "w14:font", "MS Gothic")
	r := s.CreateElement("w:sdtContent").CreateElement("w:r")
	pr := r.CreateElement("w:rPr")
	create(pr, "w:rFonts", "w:ascii", "MS Gothic", "w:hAnsi", "MS Gothic", "w:eastAsia", "MS Gothic")
	create(pr, "w:sz", "w:val", "28")
	r.CreateElement("w:t").SetText("☐")
}

func (k *word) sign(in *etree.Element, names Sign) {
	gap := in.CreateElement("w:p")
	create(gap.CreateElement("w:pPr"), "w:spacing", "w:before", twips(10))
	var widths []float64
	each := (Width - 8*float64(len(names)-1)) / float64(len(names))
	for i := range names {
		if i > 0 {
			widths = append(widths, 8)
		}
		widths = append(widths, each)
	}
	r := k.row(k.grid(in, widths, false), false)
	for i, n := range names {
		if i > 0 {
			k.para(k.cell(r, 8), "CellSmall", "")
		}
		c := k.cell(r, each)
		create(c.SelectElement("w:tcPr").CreateElement("w:tcBorders"), "w:top", "w:val", "single", "w:sz", "6", "w:space", "0", "w:color", "1A1A1A")
		k.para(c, "CellSmall", n)
	}
	k.after(in)
}
