package ids

import (
	"regexp/syntax"
	"strconv"
	"strings"

	"voidcheck/checks/lexicon"
)

// namePattern turns the words by which a lexicon knows something into one pattern of XML
// Schema over names as they are written. That language has no word borders, no anchors and
// no folding of case and accents, so letters become classes, blanks any joint between words,
// and borders nothing: the pattern accepts every name that the lexicon knows, and some more.
// Empty when the lexicon knows no words.
func namePattern(list []lexicon.Matcher) string {
	var alternatives []string
	for _, m := range list {
		if m.Name == "" || m.Entity != "" || m.Predefined != "" || m.Property != nil || m.Classification != nil || m.Material != "" {
			continue
		}
		re, err := syntax.Parse(m.Name, syntax.Perl)
		if err != nil {
			continue // the lexicon compiled it before
		}
		var b strings.Builder
		xsd(&b, re)
		alternatives = append(alternatives, b.String())
	}
	if len(alternatives) == 0 {
		return ""
	}
	return ".*(" + strings.Join(alternatives, "|") + ").*"
}

// xsd writes a pattern in the language of XML Schema.
func xsd(b *strings.Builder, re *syntax.Regexp) {
	switch re.Op {
	case syntax.OpLiteral:
		for _, r := range re.Rune {
			letter(b, r)
		}
	case syntax.OpCharClass:
		class(b, re.Rune)
	case syntax.OpAnyChar, syntax.OpAnyCharNotNL:
		b.WriteByte('.')
	case syntax.OpCapture:
		xsd(b, re.Sub[0])
	case syntax.OpConcat:
		for _, s := range re.Sub {
			group(b, s, s.Op == syntax.OpAlternate)
		}
	case syntax.OpAlternate:
		b.WriteByte('(')
		for i, s := range re.Sub {
			if i > 0 {
				b.WriteByte('|')
			}
			xsd(b, s)
		}
		b.WriteByte(')')
	case syntax.OpStar, syntax.OpPlus, syntax.OpQuest, syntax.OpRepeat:
		if blank(re.Sub[0]) {
			joint(b)
			return
		}
		group(b, re.Sub[0], true)
		b.WriteString(times(re))
	}
	// What is left are borders, anchors and the empty pattern: nothing.
}

func group(b *strings.Builder, re *syntax.Regexp, brackets bool) {
	if brackets && re.Op != syntax.OpAlternate { // alternatives have theirs
		b.WriteByte('(')
		xsd(b, re)
		b.WriteByte(')')
		return
	}
	xsd(b, re)
}

func times(re *syntax.Regexp) string {
	switch re.Op {
	case syntax.OpStar:
		return "*"
	case syntax.OpPlus:
		return "+"
	case syntax.OpQuest:
		return "?"
	}
	if re.Max < 0 {
		return "{" + strconv.Itoa(re.Min) + ",}"
	}
	return "{" + strconv.Itoa(re.Min) + "," + strconv.Itoa(re.Max) + "}"
}

func blank(re *syntax.Regexp) bool {
	return re.Op == syntax.OpLiteral && len(re.Rune) == 1 && re.Rune[0] == ' '
}

// joint is what may stand between two words: nothing where the next begins with a capital.
func joint(b *strings.Builder) { b.WriteString(`[ _\-./]*`) }

// accented are the letters that lose an accent when a name is folded.
var accented = map[rune]string{
	'a': "À-Åà-å", 'c': "Çç", 'e': "È-Ëè-ë", 'i': "Ì-Ïì-ï", 'n': "Ññ", 'o': "Ò-Öò-ö", 'u': "Ù-Üù-ü", 'y': "Ýýÿ",
}

func letter(b *strings.Builder, r rune) {
	switch {
	case r == ' ':
		joint(b)
	case r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z':
		low := r | 0x20
		b.WriteByte('[')
		b.WriteRune(low &^ 0x20)
		b.WriteRune(low)
		b.WriteString(accented[low])
		b.WriteByte(']')
	case strings.ContainsRune(`\|.?*+(){}[]^-`, r):
		b.WriteByte('\\')
		b.WriteRune(r)
	default:
		b.WriteRune(r)
	}
}

// class writes a class of characters, letters in both cases.
func class(b *strings.Builder, ranges []rune) {
	b.WriteByte('[')
	end := func(r rune) {
		if strings.ContainsRune(`\[]^-`, r) {
			b.WriteByte('\\')
		}
		b.WriteRune(r)
	}
	for i := 0; i+1 < len(ranges); i += 2 {
		lo, hi := ranges[i], min(ranges[i+1], 0xfffd)
		lo = max(lo, ' ') // XML holds nothing below
		if lo > hi {
			continue
		}
		pairs := [][2]rune{{lo, hi}}
		if lo >= 'a' && hi <= 'z' {
			pairs = append(pairs, [2]rune{lo &^ 0x20, hi &^ 0x20})
		}
		for _, p := range pairs {
			end(p[0])
			if p[1] > p[0] {
				b.WriteByte('-')
				end(p[1])
			}
		}
	}
	b.WriteByte(']')
}
