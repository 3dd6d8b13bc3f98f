package paper

import (
	"slices"
	"strings"
	"sync"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"

	"voidcheck/checks/finding"
)

// The typeface is the Go project's; its licence allows to embed it.
var faces = map[string][]byte{"": goregular.TTF, "B": gobold.TTF}

var parseFace = sync.OnceValues(func() (*sfnt.Font, error) { return sfnt.Parse(goregular.TTF) })

// printable makes a text fit for the typeface: what it has no letter for becomes a box and
// is remembered, so that the document can say so.
type printable struct {
	face    *sfnt.Font
	buf     sfnt.Buffer
	known   map[rune]bool
	missing []rune
}

// nothing stands for a letter that the typeface lacks; it has this one.
const nothing = '\u25a1'

func newPrintable() (*printable, error) {
	face, err := parseFace()
	return &printable{face: face, known: map[rune]bool{}}, err
}

func (p *printable) text(s string) string {
	return strings.Map(func(r rune) rune {
		if r < 0x7f {
			return r
		}
		ok, seen := p.known[r]
		if !seen {
			i, err := p.face.GlyphIndex(&p.buf, r)
			ok = err == nil && i != 0 && r <= 0xffff
			p.known[r] = ok
			if !ok {
				p.missing = append(p.missing, r)
			}
		}
		if !ok {
			return nothing
		}
		return r
	}, finding.Clean(s))
}

// note says which letters are missing.
func (p *printable) note() string {
	if len(p.missing) == 0 {
		return ""
	}
	slices.Sort(p.missing)
	return "The typeface of this document lacks some letters of the names in the model; " + string(nothing) + " stands for each. The HTML and DOCX forms show them."
}
