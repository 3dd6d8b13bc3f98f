// Package paper sets documents that a department sends or takes along: headings, texts,
// fields, tables with boxes to tick, drawings. A document is written as HTML, PDF or DOCX
// from the same blocks. It knows no findings.
package paper

import (
	"fmt"
	"io"

	"voidcheck/cmd/internal/output/plan"
)

// Document is what is set.
type Document struct {
	Title   string
	Subject string // what it is about: the project, for the running line
	At      string // RFC 3339; the only time in the document
	Letter  bool   // US Letter, else A4
	Tight   bool   // smaller letters and gaps, for what must fit on one page
	Blocks  []Block
	Foot    []string // cautions, set at the end
}

// Block is a part of a document, set from top to bottom.
type Block any

// Heading begins a part; level 1 is the document's title, 2 and 3 are below.
type Heading struct {
	Level int
	Text  string
}

// Para is a paragraph.
type Para struct {
	Text  string
	Bold  bool
	Small bool
}

// Fields are names with values, one a line.
type Fields [][2]string

// List is a list of points.
type List []string

// Figure is a drawing with its caption.
type Figure struct {
	Picture *plan.Picture
	Caption string
}

// Figures are drawings side by side.
type Figures []Figure

// Table is a table; the head is set again on every page.
type Table struct {
	Head   []string
	Widths []float64 // parts of the line
	Rows   []Row
}

// Row is a row of a table. A row with Span set is one text over the whole line.
type Row struct {
	Cells []Cell
	Span  string
}

// Cell is a cell of a table.
type Cell struct {
	Text  string
	Bold  bool
	Small string // a second text below, in smaller letters
	Tick  bool   // a box to tick instead of a text
	Lines int    // empty lines to write on
}

// Sign is a line to sign on.
type Sign []string

// Break begins a new page.
type Break struct{}

// Group is kept on one page when it fits on one.
type Group []Block

// Columns are two lists of blocks side by side, kept on one page.
type Columns [2][]Block

// Format is how a document is written.
type Format string

// The formats.
const (
	HTML Format = "html"
	PDF  Format = "pdf"
	DOCX Format = "docx"
)

// Write writes a document in a format.
func Write(w io.Writer, d *Document, f Format) error {
	switch f {
	case HTML:
		return writeHTML(w, d)
	case PDF:
		return writePDF(w, d)
	case DOCX:
		return writeDOCX(w, d)
	}
	return fmt.Errorf("%q is no format of documents; there are html, pdf and docx", f)
}

// Text is a cell with a text.
func Text(s string) Cell { return Cell{Text: s} }

// Width is how wide the lines of a document are in millimetres.
const Width = 178.0

// page is the size of the paper.
func (d *Document) page() (w, h float64) {
	if d.Letter {
		return 215.9, 279.4
	}
	return 210, 297
}
