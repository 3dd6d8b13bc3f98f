package finding

import (
	"strings"
	"unicode"
)

// Clean takes out of a text from a model what could act on a terminal or turn the reading
// direction: control characters and invisible format characters. Line ends and tabs become
// blanks.
func Clean(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t' || r == '\r' || r == '\u2028' || r == '\u2029':
			return ' '
		case unicode.IsControl(r), r >= '\u202a' && r <= '\u202e', r >= '\u2066' && r <= '\u2069', r == '\u200e', r == '\u200f', r == '\ufeff':
			return -1
		case r == unicode.ReplacementChar:
			return '?'
		}
		return r
	}, s)
}
