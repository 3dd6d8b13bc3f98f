package paper

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"io"
	"os/exec"
	"path"
	"regexp"
	"strings"
	"testing"
	"unicode"

	"pgregory.net/rapid"

	"voidcheck/cmd/internal/output/plan"
)

const hostile = "</td></w:t><script>alert(1)</script>\"'&<b>\x00\x1b[31m\u202e ]]> ÄÖü ½ ≤"

// all is a document with every kind of block, and a text in every place.
func all(s string) *Document {
	p := &plan.Picture{W: 60, H: 30, Title: s, Shapes: []plan.Shape{
		{Look: plan.Compartment, Closed: true, Lines: [][]plan.Point{{{X: 1, Y: 1}, {X: 40, Y: 1}, {X: 40, Y: 20}}}},
		{Look: plan.Proposed, Lines: [][]plan.Point{{{X: 1, Y: 1}, {X: 100, Y: 25}}}}, {Look: plan.Fault, At: plan.Point{X: 30, Y: 15}, R: 3},
		{Look: plan.Ink, At: plan.Point{X: 30, Y: 15}, Size: 3, Text: s},
	}}
	return &Document{Title: "Title " + s, Subject: s, At: "2026-01-31T10:00:00Z", Foot: []string{"Caution " + s}, Blocks: []Block{
		Heading{Level: 1, Text: "One " + s}, Para{Text: "Para " + s}, Para{Text: "Bold " + s, Bold: true}, Para{Text: "Small " + s, Small: true},
		Fields{{"Name " + s, "Value " + s}}, List{"Point " + s}, Figure{p, "Caption " + s}, Figures{{p, "Left " + s}, {p, "Right " + s}},
		Group{Heading{Level: 3, Text: "Three " + s}, Para{Text: "Kept " + s}}, Break{},
		Columns{{Para{Text: "West " + s}}, {List{"East " + s}}},
		&Table{Head: []string{"Head " + s, "B", "C", "D"}, Widths: []float64{4, 1, 1, 2}, Rows: []Row{{Span: "Span " + s}, {Cells: []Cell{{Text: "Cell " + s, Small: "Below " + s}, {Tick: true}, {Text: "Strong " + s, Bold: true}, {Lines: 2}}}}},
		Sign{"Sign " + s},
	}}
}

// firsts are the words that stand before each text.
var firsts = []string{"One", "Para", "Bold", "Small", "Name", "Value", "Point", "Caption", "Left", "Right", "Three", "Kept", "West", "East", "Head", "Span", "Cell", "Below", "Strong", "Sign", "Caution"}

func written(t testing.TB, d *Document, f Format) []byte {
	t.Helper()
	var b, again bytes.Buffer
	if err := Write(&b, d, f); err != nil {
		t.Fatal(err)
	}
	if err := Write(&again, d, f); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(b.Bytes(), again.Bytes()) {
		t.Errorf("%s: two writings differ", f)
	}
	return b.Bytes()
}

var tag = regexp.MustCompile(`<[/!]?([a-zA-Z0-9]+)`)

func TestHTML(t *testing.T) {
	text := string(written(t, all(hostile), HTML))
	known := " html head meta title style body h1 h2 h3 p dl div dt dd ul li figure figcaption svg path circle text table colgroup col thead tbody tr th td small input i section span doctype "
	for _, m := range tag.FindAllStringSubmatch(text, -1) {
		if !strings.Contains(known, " "+m[1]+" ") {
			t.Errorf("element %s", m[1])
		}
	}
	if strings.ContainsAny(text, "\x00\x1b\u202e") {
		t.Error("a control character got in")
	}
	for _, w := range firsts {
		if !strings.Contains(text, w+" &lt;/td&gt;&lt;/w:t&gt;") {
			t.Errorf("%q is missing", w)
		}
	}
	if strings.Contains(text, "http://") && strings.Count(text, "http://") != strings.Count(text, "http://www.w3.org/2000/svg") || !strings.Contains(text, "default-src 'none'") {
		t.Error("the page reaches outside")
	}
}

func TestDOCX(t *testing.T) {
	data := written(t, all(hostile), DOCX)
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	parts := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		b, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		parts[f.Name] = string(b)
	}
	texts := ""
	for name, body := range parts {
		if strings.HasSuffix(name, ".png") {
			continue
		}
		inText := false
		d := xml.NewDecoder(strings.NewReader(body))
		for {
			tok, err := d.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			switch e := tok.(type) {
			case xml.StartElement:
				inText = e.Name.Local == "t"
				if e.Name.Local == "script" || e.Name.Local == "b" && e.Name.Space != nsW {
					t.Errorf("%s: element %s", name, e.Name.Local)
				}
			case xml.CharData:
				if inText && name == "word/document.xml" {
					texts += string(e) + "\n"
				}
			case xml.EndElement:
				inText = false
			}
		}
	}
	want := "</td></w:t><script>alert(1)</script>\"'&<b>[31m ]]> ÄÖü ½ ≤"
	for _, w := range firsts {
		if !strings.Contains(texts, w+" "+want) {
			t.Errorf("%q is missing", w)
		}
	}
	// Every relation leads to a part, every part has a type.
	types := parts["[Content_Types].xml"]
	for _, rels := range []string{"_rels/.rels", "word/_rels/document.xml.rels"} {
		base := strings.TrimSuffix(path.Dir(rels), "_rels")
		for _, m := range regexp.MustCompile(`Target="([^"]*)"`).FindAllStringSubmatch(parts[rels], -1) {
			if _, ok := parts[path.Join(base, m[1])]; !ok {
				t.Errorf("%s: there is no part %s", rels, path.Join(base, m[1]))
			}
		}
	}
	for name := range parts {
		if !strings.Contains(types, `PartName="/`+name+`"`) && !strings.HasSuffix(name, ".rels") && !strings.HasSuffix(name, ".png") && name != "[Content_Types].xml" {
			t.Errorf("part %s has no type", name)
		}
	}
	if n := strings.Count(parts["word/document.xml"], "r:embed="); n != 3 || parts["word/media/image3.png"] == "" {
		t.Errorf("%d drawings", n)
	}
	if !strings.Contains(parts["word/document.xml"], "w14:checkbox") {
		t.Error("no box to tick")
	}
}

// pdfText is what poppler reads out of a PDF.
func pdfText(t *testing.T, data []byte) string {
	t.Helper()
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("pdftotext (Debian: poppler-utils) is not here")
	}
	c := exec.Command(tool, "-raw", "-", "-")
	c.Stdin = bytes.NewReader(data)
	out, err := c.Output()
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

func TestPDF(t *testing.T) {
	text := pdfText(t, written(t, all(hostile), PDF))
	flat := strings.Join(strings.Fields(text), "")
	for _, w := range firsts {
		if !strings.Contains(flat, w+"</td>") {
			t.Errorf("%q is missing", w)
		}
	}
	if !strings.Contains(flat, "ÄÖü½≤") {
		t.Error("letters with accents and signs are lost")
	}
	if strings.Contains(text, "lacks some letters") {
		t.Error("the note on missing letters stands without a cause")
	}
	if n := strings.Count(text, "\f"); n != 2 {
		t.Errorf("%d pages, want 2: the break begins one", n)
	}
	if !strings.Contains(text, "page 2 of 2") {
		t.Error("pages are not numbered")
	}
}

// Letters that the typeface lacks are told, and do no harm.
func TestPDFMissingLetters(t *testing.T) {
	text := pdfText(t, written(t, all("屋根 🏠 x"), PDF))
	if !strings.Contains(text, "lacks some letters") || !strings.Contains(text, "□□ □ x") {
		t.Errorf("missing letters are not told: %s", text)
	}
}

// Wrapping loses no letter and keeps to the width, whatever the text.
func TestWrap(t *testing.T) {
	s, err := newSheet(all(""))
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOf(rapid.RuneFrom(nil, unicode.Latin, unicode.Digit, unicode.Space, unicode.Po, unicode.Han)).Draw(t, "text")
		width := rapid.Float64Range(8, 150).Draw(t, "width")
		lines := s.wrap(text, "", 10, width)
		if got, want := strings.Join(strings.Fields(strings.Join(lines, "")), ""), strings.Join(strings.Fields(s.pr.text(text)), ""); got != want {
			t.Fatalf("lines hold %q, want %q", got, want)
		}
		for _, l := range lines {
			if w := s.pdf.GetStringWidth(l); w > width+1e-6 && len([]rune(l)) > 1 {
				t.Fatalf("%q is %g wide, want at most %g", l, w, width)
			}
		}
	})
}

// No piece runs over the foot of a page, and a row that is longer than a page is divided.
func TestPages(t *testing.T) {
	d := all("x")
	tbl := &Table{Head: []string{"No.", "Text"}, Widths: []float64{1, 5}}
	for range 90 {
		tbl.Rows = append(tbl.Rows, Row{Cells: []Cell{{Text: "1"}, {Text: "some words", Small: "and more below"}}})
	}
	tbl.Rows = append(tbl.Rows, Row{Cells: []Cell{{Text: "2"}, {Text: strings.Repeat("long ", 6000)}}})
	d.Blocks = append(d.Blocks, tbl)
	s, err := newSheet(d)
	if err != nil {
		t.Fatal(err)
	}
	pages := s.pages()
	if len(pages) < 6 {
		t.Fatalf("%d pages", len(pages))
	}
	for n, page := range pages {
		end := s.top
		for _, p := range page {
			if p.y < end-1e-9 {
				t.Errorf("page %d: a piece at %g begins above the end of the one before, %g", n+1, p.y, end)
			}
			if end = p.y + p.p.h; end > s.bottom+1e-9 {
				t.Errorf("page %d: a piece ends at %g, the page at %g", n+1, end, s.bottom)
			}
		}
	}
	text := pdfText(t, written(t, d, PDF))
	if n := strings.Count(text, "long"); n != 6000 {
		t.Errorf("%d of 6000 words are set", n)
	}
	if n := strings.Count(text, "No."); n < 5 {
		t.Errorf("the head of the table is set %d times", n)
	}
}

func TestUnknownFormat(t *testing.T) {
	if err := Write(io.Discard, all(""), "odt"); err == nil || !strings.Contains(err.Error(), "html, pdf and docx") {
		t.Errorf("error %v", err)
	}
}
