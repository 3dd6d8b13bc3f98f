package lexicon

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// Fold returns the form in which names are matched: accents dropped, lower case, and
// `_-./:` and camelCase joints turned into single blanks.
func Fold(s string) string {
	plain := true
	for i := 0; i < len(s); i++ {
		if s[i] >= 0x80 {
			plain = false
			break
		}
	}
	if !plain {
		s = foldAccents(s)
	}
	if plain {
		return foldPlain(s)
	}
	var b strings.Builder
	b.Grow(len(s) + 8)
	rs := []rune(s)
	blank := true // swallow leading blanks
	put := func(r rune) {
		if r == ' ' {
			if !blank {
				b.WriteByte(' ')
			}
			blank = true
			return
		}
		b.WriteRune(r)
		blank = false
	}
	for i, r := range rs {
		switch {
		case unicode.IsSpace(r) || strings.ContainsRune("_-./:,;*()[]'\"+#&|\\", r):
			put(' ')
			continue
		case unicode.IsUpper(r) && i > 0:
			prev := rs[i-1]
			// "floorTruss" and the last capital of "OSBPlatte"
			if unicode.IsLower(prev) || unicode.IsUpper(prev) && i+1 < len(rs) && unicode.IsLower(rs[i+1]) {
				put(' ')
			}
		}
		put(unicode.ToLower(r))
	}
	return strings.TrimRight(b.String(), " ")
}

// letters that do not decompose into a base letter and a mark
var plainLetters = strings.NewReplacer("ß", "ss", "ẞ", "SS", "ø", "o", "Ø", "O", "æ", "ae", "Æ", "AE", "œ", "oe", "Œ", "OE", "đ", "d", "ł", "l", "’", "'")

func foldAccents(s string) string {
	s = plainLetters.Replace(norm.NFD.String(s))
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, s)
}
