// Package plan draws plans and sections of a building from findings as line drawings on
// paper: shapes in millimetres with a few looks that stay apart in black and white. A
// picture is written as SVG or PNG here; the PDF writer draws its shapes itself.
package plan

// Point is a place on paper in millimetres, x to the right and y downwards.
type Point struct{ X, Y float64 }

// Picture is a drawing of a size. What lies outside is cut off.
type Picture struct {
	W, H   float64
	Title  string // what it shows, for readers and for screen readers
	Scale  float64
	Shapes []Shape
}

// Shape is a line, an area, a circle or a text.
type Shape struct {
	Look   Look
	Lines  [][]Point // open lines; rings when Closed
	Closed bool
	R      float64 // circle about At
	At     Point
	Text   string
	Size   float64 // height of the letters' line
	Anchor Anchor
	Bold   bool
}

// Anchor is which end of a text stands at its point.
type Anchor int

// The anchors.
const (
	Middle Anchor = iota
	Start
	End
)

// Look is how a shape looks.
type Look int

// The looks.
const (
	Ink         Look = iota // texts, frames, scale bar
	Hair                    // thin help lines
	Compartment             // extent of a void
	Other                   // extent of a void beside another
	Framing
	Wall
	Separation
	Stop     // block
	Sheet    // draftstop
	Proposed // stop that is proposed
	Service
	Ground // white under a text
	Fault  // mark of something to correct
	Unseen // mark of something not shown
	Check  // mark of something to look at
	Leader
	Cut  // what a section cuts
	Mass // boards, decks, roofs in a section
)

// Paint is how a look is drawn: widths and dashes in millimetres, colours as 0xRRGGBB.
type Paint struct {
	Width  float64 // of the stroke, 0 for none
	Stroke uint32
	Dash   []float64
	Fill   uint32
	Filled bool
}

// Paints are the looks. Fills are light, so that lines and letters on them stay readable in
// black and white; what must be told apart differs in form or width as well as in colour.
var Paints = map[Look]Paint{
	Ink:         {Width: 0.25, Stroke: 0x1a1a1a},
	Hair:        {Width: 0.1, Stroke: 0x8a8a8a},
	Compartment: {Width: 0.15, Stroke: 0x5b7a94, Fill: 0xe3edf5, Filled: true},
	Other:       {Width: 0.15, Stroke: 0x8c7a55, Fill: 0xf3ecdd, Filled: true},
	Framing:     {Width: 0.09, Stroke: 0x9aa3ab},
	Wall:        {Width: 0.1, Stroke: 0x6e6e6e, Fill: 0xd0d0d0, Filled: true},
	Separation:  {Width: 0.15, Stroke: 0x2b2b2b, Fill: 0x8f8f8f, Filled: true},
	Stop:        {Width: 0.15, Stroke: 0x111111, Fill: 0x111111, Filled: true},
	Sheet:       {Width: 0.5, Stroke: 0x111111, Fill: 0x111111, Filled: true},
	Proposed:    {Width: 0.6, Stroke: 0x0b5fa5, Dash: []float64{1.6, 0.8}},
	Service:     {Width: 0.2, Stroke: 0x6b3d8f, Fill: 0xe7dcf1, Filled: true},
	Ground:      {Fill: 0xffffff, Filled: true},
	Fault:       {Width: 0.3, Stroke: 0x8f1d00, Fill: 0x8f1d00, Filled: true},
	Unseen:      {Width: 0.4, Stroke: 0x8f1d00, Fill: 0xffffff, Filled: true, Dash: []float64{0.7, 0.5}},
	Check:       {Width: 0.35, Stroke: 0x1a1a1a, Fill: 0xffffff, Filled: true},
	Leader:      {Width: 0.15, Stroke: 0x1a1a1a},
	Cut:         {Width: 0.12, Stroke: 0x3a3a3a, Fill: 0xc9a86a, Filled: true},
	Mass:        {Width: 0.12, Stroke: 0x3a3a3a, Fill: 0x9c9c9c, Filled: true},
}

// Light reports whether letters on a look are to be white.
func (l Look) Light() bool { return l == Fault }

func (p *Picture) add(s Shape) { p.Shapes = append(p.Shapes, s) }

func (p *Picture) line(l Look, pts ...Point) {
	if p.sees(pts) {
		p.add(Shape{Look: l, Lines: [][]Point{pts}})
	}
}

// area adds rings filled by the even-odd rule.
func (p *Picture) area(l Look, rings ...[]Point) {
	for _, r := range rings {
		if p.sees(r) {
			p.add(Shape{Look: l, Lines: rings, Closed: true})
			return
		}
	}
}

func (p *Picture) text(at Point, size float64, a Anchor, bold bool, s string) {
	if s != "" {
		p.add(Shape{Look: Ink, At: at, Size: size, Anchor: a, Bold: bold, Text: s})
	}
}

// label is a text on white ground.
func (p *Picture) label(at Point, size float64, s string) {
	if s == "" || !p.sees([]Point{at}) {
		return
	}
	w := TextWidth(s, size)/2 + 0.4
	p.area(Ground, []Point{{at.X - w, at.Y - size*0.62}, {at.X + w, at.Y - size*0.62}, {at.X + w, at.Y + size*0.62}, {at.X - w, at.Y + size*0.62}})
	p.text(at, size, Middle, false, s)
}

// sees reports whether the box of points touches the picture.
func (p *Picture) sees(pts []Point) bool {
	if len(pts) == 0 {
		return false
	}
	lo, hi := pts[0], pts[0]
	for _, q := range pts[1:] {
		lo.X, lo.Y, hi.X, hi.Y = min(lo.X, q.X), min(lo.Y, q.Y), max(hi.X, q.X), max(hi.Y, q.Y)
	}
	return hi.X >= 0 && hi.Y >= 0 && lo.X <= p.W && lo.Y <= p.H
}

// TextWidth is about how wide a text is at a size; letters of a plain typeface are on
// average 0.56 of their size wide.
func TextWidth(s string, size float64) float64 {
	w := 0.0
	for _, r := range s {
		switch {
		case r == ' ' || r == '.' || r == ',' || r == 'i' || r == 'l' || r == '\'' || r == '/' || r == '-':
			w += 0.32
		case r >= 'A' && r <= 'Z' || r > 0x2000:
			w += 0.68
		default:
			w += 0.56
		}
	}
	return w * size
}
