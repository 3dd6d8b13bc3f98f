package xlsx

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf16"

	"voidcheck/cmd/internal/output/archive"
)

// sheet is a table: a head and rows under it.
type sheet struct {
	name string
	cols []column
	rows [][]any // string, float64, int or nil for an empty cell
}

// column is a column's head and width in letters.
type column struct {
	head  string
	width float64
	style int // of numbers
}

// The styles of cells, by their place in the styles part.
const (
	plain = iota
	head
	quoted // text that a spreadsheet could take for a formula when somebody edits it
	number
	whole
)

// mostLetters is how much a cell holds (the limit of the format, counted in UTF-16 units).
const mostLetters = 32767

// mostRows is how many rows a sheet holds.
const mostRows = 1 << 20

// part writes the sheet's part (SpreadsheetML, ECMA-376 part 1, 18.3): frozen head, filter
// over everything, text as text.
func (s *sheet) part(first bool) ([]byte, error) {
	if len(s.rows) >= mostRows {
		return nil, fmt.Errorf("sheet %s: %d rows are more than a spreadsheet holds; use --format csv or json", s.name, len(s.rows))
	}
	var b bytes.Buffer
	b.WriteString(xml.Header)
	b.WriteString(`<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">`)
	fmt.Fprintf(&b, `<dimension ref="A1:%s"/>`, s.corner())
	b.WriteString(`<sheetViews><sheetView workbookViewId="0"`)
	if first {
		b.WriteString(` tabSelected="1"`)
	}
	b.WriteString(`><pane ySplit="1" topLeftCell="A2" activePane="bottomLeft" state="frozen"/><selection pane="bottomLeft" activeCell="A2" sqref="A2"/></sheetView></sheetViews><cols>`)
	for i, c := range s.cols {
		fmt.Fprintf(&b, `<col min="%d" max="%d" width="%s" customWidth="1"/>`, i+1, i+1, strconv.FormatFloat(c.width, 'f', -1, 64))
	}
	b.WriteString(`</cols><sheetData><row r="1">`)
	for i, c := range s.cols {
		cell(&b, i, 1, c.head, head)
	}
	b.WriteString(`</row>`)
	for n, r := range s.rows {
		fmt.Fprintf(&b, `<row r="%d">`, n+2)
		for i, v := range r {
			cell(&b, i, n+2, v, s.cols[i].style)
		}
		b.WriteString(`</row>`)
	}
	fmt.Fprintf(&b, `</sheetData><autoFilter ref="A1:%s"/><pageMargins left="0.4" right="0.4" top="0.5" bottom="0.5" header="0.3" footer="0.3"/><pageSetup orientation="landscape" fitToHeight="0"/></worksheet>`, s.corner())
	return b.Bytes(), nil
}

// corner is the last cell.
func (s *sheet) corner() string { return name(len(s.cols)-1) + strconv.Itoa(len(s.rows)+1) }

// name is a column's letters: A, B, ... Z, AA.
func name(i int) string {
	s := ""
	for i++; i > 0; i = (i - 1) / 26 {
		s = string(rune('A'+(i-1)%26)) + s
	}
	return s
}

func cell(b *bytes.Buffer, col, row int, v any, style int) {
	ref := name(col) + strconv.Itoa(row)
	switch v := v.(type) {
	case string:
		if v == "" {
			return
		}
		text := fit(archive.Text(v))
		if style != head {
			style = plain
			if risky(text) {
				style = quoted
			}
		}
		fmt.Fprintf(b, `<c r="%s" s="%d" t="inlineStr"><is><t xml:space="preserve">`, ref, style)
		// A buffer takes every write.
		_ = xml.EscapeText(b, []byte(escaped(text)))
		b.WriteString(`</t></is></c>`)
	case float64:
		fmt.Fprintf(b, `<c r="%s" s="%d"><v>%s</v></c>`, ref, style, strconv.FormatFloat(v, 'g', -1, 64))
	case int:
		fmt.Fprintf(b, `<c r="%s" s="%d"><v>%d</v></c>`, ref, style, v)
	}
}

// fit cuts a text that is longer than a cell holds, and says so.
func fit(s string) string {
	if len(s) <= mostLetters || len(utf16.Encode([]rune(s))) <= mostLetters {
		return s
	}
	const note = " ... (cut here: longer than a cell holds; the JSON form has all)"
	r := utf16.Encode([]rune(s))[:mostLetters-len(note)]
	return strings.TrimRight(string(utf16.Decode(r)), "\ufffd") + note
}

// coded is what a spreadsheet reads as the code of a letter (ECMA-376 part 1, 22.9.2.19).
var coded = regexp.MustCompile(`_x[0-9A-Fa-f]{4}_`)

// escaped keeps such a text as it is.
func escaped(s string) string {
	if !strings.Contains(s, "_x") {
		return s
	}
	return coded.ReplaceAllStringFunc(s, func(m string) string { return "_x005F" + m })
}

// risky reports whether a text would become a formula if somebody typed it.
func risky(s string) bool {
	t := strings.TrimLeft(s, " \u00a0")
	for _, start := range []string{"=", "+", "-", "@", "\uff1d", "\uff0b", "\uff0d", "\uff20"} {
		if strings.HasPrefix(t, start) {
			return true
		}
	}
	return false
}
