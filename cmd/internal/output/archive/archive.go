// Package archive writes zip files whose parts are XML or other data: BCF, DOCX and XLSX
// files are such. The same parts give the same bytes: no part carries the time of day.
package archive

import (
	"archive/zip"
	"fmt"
	"io"
	"strings"

	"github.com/beevik/etree"

	"voidcheck/checks/finding"
)

// Writer writes parts in the order in which they come.
type Writer struct {
	z   *zip.Writer
	err error
}

// New starts an archive on w.
func New(w io.Writer) *Writer { return &Writer{z: zip.NewWriter(w)} }

// dosDate is 1 January 1980, the first day that a zip file can tell.
const dosDate = 1<<5 | 1

// Folder writes an entry for a folder; its name ends with a slash.
func (a *Writer) Folder(name string) {
	a.create(&zip.FileHeader{Name: name, Method: zip.Store})
}

// Part writes a part with any content.
func (a *Writer) Part(name string, data []byte) {
	if w := a.create(&zip.FileHeader{Name: name, Method: zip.Deflate}); w != nil {
		_, a.err = w.Write(data)
	}
}

// XML writes a part from a document.
func (a *Writer) XML(name string, doc *etree.Document) {
	data, err := doc.WriteToBytes()
	if err != nil && a.err == nil {
		a.err = fmt.Errorf("%s: %w", name, err)
	}
	a.Part(name, data)
}

// create starts a part; nil after an error.
func (a *Writer) create(h *zip.FileHeader) io.Writer {
	if a.err != nil {
		return nil
	}
	// The fields of old, and not Modified, which would add the time zone's.
	//lint:ignore SA1019 see above
	h.ModifiedDate = dosDate
	h.SetMode(0o644)
	w, err := a.z.CreateHeader(h)
	if err != nil {
		a.err = fmt.Errorf("%s: %w", h.Name, err)
		return nil
	}
	return w
}

// Close ends the archive and returns the first error of any part.
func (a *Writer) Close() error {
	if err := a.z.Close(); a.err == nil {
		a.err = err
	}
	return a.err
}

// Document is an empty XML document with its declaration.
func Document() *etree.Document {
	doc := etree.NewDocument()
	doc.CreateProcInst("xml", `version="1.0" encoding="UTF-8"`)
	// What stands at the ends of lines and in tabs of an attribute must come back as written.
	doc.WriteSettings.CanonicalAttrVal = true
	return doc
}

// Text makes a text fit for XML 1.0: without control characters and what turns the reading
// direction, and without the code points that XML cannot hold.
func Text(s string) string {
	return strings.Map(func(r rune) rune {
		if r == 0xfffe || r == 0xffff {
			return -1
		}
		return r
	}, finding.Clean(s))
}
