package paper

import (
	"io"
	"strconv"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"
)

// sheet sets a document on PDF pages. Every block becomes pieces that are never divided;
// pieces are put on pages first and drawn afterwards, so that each page knows their number.
type sheet struct {
	pdf           *fpdf.Fpdf
	d             *Document
	pr            *printable
	left, top     float64
	width, bottom float64
	size          float64 // of letters in points
}

// piece is what stays together.
type piece struct {
	h    float64
	draw func(y float64)
	next bool   // stays with the next piece
	head *piece // is set again when the piece begins a page
	page bool   // begins a page
}

const (
	point = 25.4 / 72
	lead  = 1.32 // line height by letter size
)

func writePDF(w io.Writer, d *Document) error {
	s, err := newSheet(d)
	if err != nil {
		return err
	}
	s.write(s.pages())
	if s.pdf.Error() != nil {
		return s.pdf.Error()
	}
	return s.pdf.Output(w)
}

// Pages is how many pages a document takes as PDF.
func Pages(d *Document) (int, error) {
	s, err := newSheet(d)
	if err != nil {
		return 0, err
	}
	return len(s.pages()), s.pdf.Error()
}

func newSheet(d *Document) (*sheet, error) {
	pr, err := newPrintable()
	if err != nil {
		return nil, err
	}
	pw, ph := d.page()
	pdf := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: pw, Ht: ph}})
	s := &sheet{pdf: pdf, d: d, pr: pr, left: (pw - Width) / 2, top: 15, width: Width, bottom: ph - 16, size: 9.8}
	if d.Tight {
		s.size, s.top, s.bottom = 7.3, 10, ph-11
	}
	at, err := time.Parse(time.RFC3339, d.At)
	if err != nil {
		at = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC) // findings by hand may have no time
	}
	pdf.SetCreationDate(at)
	pdf.SetModificationDate(at)
	pdf.SetCatalogSort(true)
	pdf.SetTitle(pr.text(join(": ", d.Title, d.Subject)), true)
	pdf.SetCreator("voidcheck", true)
	pdf.SetAutoPageBreak(false, 0)
	pdf.SetMargins(0, 0, 0)
	pdf.SetCellMargin(0)
	for style, data := range faces {
		pdf.AddUTF8FontFromBytes("go", style, data)
	}
	pdf.SetFont("go", "", s.size)
	return s, pdf.Error()
}

// all are the pieces of the document with its cautions, and the note on letters that the
// typeface lacks.
func (s *sheet) all() []piece {
	var ps []piece
	for _, b := range s.d.Blocks {
		ps = append(ps, s.pieces(b)...)
	}
	if len(s.d.Foot) > 0 {
		foot := []piece{s.gap(s.size * 0.3), s.words("Please note", "B", s.size*0.95, 0, 0x1a1a1a)}
		if s.d.Tight {
			foot = append(foot, s.words(strings.Join(s.d.Foot, " "), "", s.size*0.86, 0, 0x1a1a1a))
		} else {
			for _, f := range s.d.Foot {
				foot = append(foot, s.point(f, s.size*0.86))
			}
		}
		ps = append(ps, glue(foot, s.bottom-s.top)...)
	}
	if note := s.pr.note(); note != "" {
		ps = append(ps, s.gap(1), s.words(note, "", s.size*0.86, 0, 0x444444))
	}
	return ps
}

// glue keeps pieces on one page when they fit on one.
func glue(ps []piece, room float64) []piece {
	total := 0.0
	for _, p := range ps {
		total += p.h
	}
	if total > room {
		return ps
	}
	for i := range ps[:max(len(ps)-1, 0)] {
		ps[i].next = true
	}
	return ps
}

// put is a piece at its height on a page.
type put struct {
	p *piece
	y float64
}

// pages puts all pieces on pages.
func (s *sheet) pages() [][]put {
	ps := s.all()
	pages := [][]put{{}}
	y := s.top
	place := func(p *piece) {
		n := len(pages) - 1
		pages[n], y = append(pages[n], put{p, y}), y+p.h
	}
	turn := func(p *piece) { // to the next page, with the head of the table that goes on
		pages, y = append(pages, nil), s.top
		if p.head != nil {
			place(p.head)
		}
	}
	for i := 0; i < len(ps); {
		j, h := i, ps[i].h // a run of pieces that stay together
		for ps[j].next && j+1 < len(ps) {
			j++
			h += ps[j].h
		}
		if used := len(pages[len(pages)-1]) > 0; used && (ps[i].page || y+h > s.bottom) {
			turn(&ps[i])
		}
		for ; i <= j; i++ {
			if y+ps[i].h > s.bottom && len(pages[len(pages)-1]) > 1 { // a run too long for a page breaks all the same
				turn(&ps[i])
			}
			place(&ps[i])
		}
	}
	return pages
}

// write draws the pages.
func (s *sheet) write(pages [][]put) {
	for n, page := range pages {
		s.pdf.AddPage()
		for _, p := range page {
			if p.p.draw != nil {
				p.p.draw(p.y)
			}
		}
		s.running(n+1, len(pages))
	}
}

// running sets the line at the foot of a page.
func (s *sheet) running(n, of int) {
	size := s.size * 0.82
	y := s.bottom + 5
	s.ink(0x555555)
	s.font("", size)
	right := "page " + strconv.Itoa(n) + " of " + strconv.Itoa(of)
	left := s.wrap(join(", ", s.d.Title, s.d.Subject), "", size, s.width-s.pdf.GetStringWidth(right)-6)
	s.pdf.Text(s.left, y, left[0])
	s.pdf.Text(s.left+s.width-s.pdf.GetStringWidth(right), y, right)
}

func (s *sheet) ink(c uint32) { s.pdf.SetTextColor(int(c>>16), int(c>>8&255), int(c&255)) }

func (s *sheet) stroke(c uint32, width float64) {
	s.pdf.SetDrawColor(int(c>>16), int(c>>8&255), int(c&255))
	s.pdf.SetLineWidth(width)
}

func (s *sheet) paint(c uint32) { s.pdf.SetFillColor(int(c>>16), int(c>>8&255), int(c&255)) }

func (s *sheet) font(style string, size float64) { s.pdf.SetFont("go", style, size) }

// wrap breaks a text into lines of a width: at blanks, and inside a word that is longer.
// There is always a line.
func (s *sheet) wrap(text, style string, size, width float64) []string {
	s.font(style, size)
	var lines []string
	line := ""
	for _, word := range strings.Fields(s.pr.text(text)) {
		try := word
		if line != "" {
			try = line + " " + word
		}
		if s.pdf.GetStringWidth(try) <= width {
			line = try
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		line = ""
		for _, r := range word {
			if line != "" && s.pdf.GetStringWidth(line+string(r)) > width {
				lines = append(lines, line)
				line = ""
			}
			line += string(r)
		}
	}
	return append(lines, line)
}
