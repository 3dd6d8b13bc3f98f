// Package measure reads quantities as people write them in adoption files ("1000 ft2",
// "1/2 in", "3'-4 1/2\"", "100 in2 per 100 ft2") into SI, and prints SI quantities in the
// unit system a reader chose. It knows no limits and imports nothing of the project.
//
// Conversions are the exact international ones (16 CFR 500.19): 1 in = 25.4 mm,
// 1 ft = 0.3048 m, 1 ft2 = 0.09290304 m2, 1 ft3 = 0.028316846592 m3. Reading is done in
// rational numbers, so that "1000 ft2" is the float nearest to 92.90304 m2.
package measure

import (
	"math/big"
	"strings"
)

// Dim is what a quantity measures.
type Dim uint8

// The dimensions.
const (
	Length  Dim = iota // metres
	Area               // square metres
	Density            // square metres per square metre
	Ratio              // plain number
	Count              // whole number
)

// String returns the word used in messages.
func (d Dim) String() string {
	return [...]string{"length", "area", "density", "ratio", "count"}[d]
}

// article returns the word with its article.
func (d Dim) article() string {
	if d == Area {
		return "an area"
	}
	return "a " + d.String()
}

// Exact factors to SI.
const (
	MetresPerInch = 0.0254
	MetresPerFoot = 0.3048
	M2PerFt2      = 0.09290304
	M2PerIn2      = 0.00064516
	M3PerFt3      = 0.028316846592
)

// unit is one unit with its exact factor to SI.
type unit struct {
	dim    Dim
	num    int64 // factor = num/den
	den    int64
	symbol string // as we write it
}

func (u unit) factor() *big.Rat { return big.NewRat(u.num, u.den) }

var (
	foot       = unit{Length, 3048, 10000, "ft"}
	inch       = unit{Length, 254, 10000, "in"}
	metre      = unit{Length, 1, 1, "m"}
	centimetre = unit{Length, 1, 100, "cm"}
	millimetre = unit{Length, 1, 1000, "mm"}
	ft2        = unit{Area, 9290304, 100000000, "ft2"}
	in2        = unit{Area, 64516, 100000000, "in2"}
	m2         = unit{Area, 1, 1, "m2"}
	cm2        = unit{Area, 1, 10000, "cm2"}
	mm2        = unit{Area, 1, 1000000, "mm2"}
)

// spellings maps every accepted spelling, lower case and without blanks or points.
var spellings = map[string]unit{
	"ft": foot, "foot": foot, "feet": foot, "'": foot,
	"in": inch, "inch": inch, "inches": inch, `"`: inch,
	"m": metre, "metre": metre, "metres": metre, "meter": metre, "meters": metre,
	"cm": centimetre, "centimetre": centimetre, "centimetres": centimetre, "centimeter": centimetre, "centimeters": centimetre,
	"mm": millimetre, "millimetre": millimetre, "millimetres": millimetre, "millimeter": millimetre, "millimeters": millimetre,
	"ft2": ft2, "ft^2": ft2, "sqft": ft2, "sf": ft2, "squarefeet": ft2, "squarefoot": ft2,
	"in2": in2, "in^2": in2, "sqin": in2, "squareinches": in2, "squareinch": in2,
	"m2": m2, "m^2": m2, "sqm": m2, "squaremetres": m2, "squaremeters": m2, "squaremetre": m2, "squaremeter": m2,
	"cm2": cm2, "cm^2": cm2, "sqcm": cm2,
	"mm2": mm2, "mm^2": mm2, "sqmm": mm2,
}

// plain rewrites the typographic forms of quotes, blanks, fractions and superscripts.
var plain = strings.NewReplacer(
	"′", "'", "’", "'", "‘", "'", "″", `"`, "”", `"`, "“", `"`, "''", `"`,
	"²", "2", "\u00a0", " ", "\u202f", " ", "\u2009", " ", "\t", " ",
	"½", " 1/2", "¼", " 1/4", "¾", " 3/4",
	"⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8",
	"⁄", "/", "–", "-", "—", "-", "−", "-", "‑", "-",
)
