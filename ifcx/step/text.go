package step

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"

	"voidcheck/ifcx/graph"
)

// str reads 'text' with the quote next. Text without directives, doubled quotes or odd
// bytes is a part of the file itself, not a copy.
func (p *parser) str() (graph.Value, bool) {
	start := p.pos + 1
	i, plain := start, true
	for {
		if i >= len(p.text) {
			p.pos = i
			return graph.Value{}, p.fatal("")
		}
		c := p.text[i]
		if c == '\'' {
			if i+1 < len(p.text) && p.text[i+1] == '\'' {
				i, plain = i+2, false
				continue
			}
			break
		}
		if c == '\\' {
			plain = false
			i += directiveLen(p.text[i:])
			continue
		}
		if c >= utf8.RuneSelf {
			plain = false
		}
		i++
	}
	raw := p.text[start:i]
	p.pos = i + 1
	if plain {
		return graph.Value{Kind: graph.String, Text: raw}, true
	}
	return graph.Value{Kind: graph.String, Text: p.decode(raw, start)}, true
}

// directiveLen returns how many bytes to pass over at a reverse solidus so that a quote
// taken by \S\ is not seen as the end of the string.
func directiveLen(s string) int {
	switch {
	case strings.HasPrefix(s, `\\`):
		return 2
	case strings.HasPrefix(s, `\S\`) && len(s) > 3:
		return 4
	}
	return 1
}

// pages are the code pages of \PA\ to \PI\: ISO 8859 parts 1 to 9.
var pages = [...]*charmap.Charmap{charmap.ISO8859_1, charmap.ISO8859_2, charmap.ISO8859_3, charmap.ISO8859_4,
	charmap.ISO8859_5, charmap.ISO8859_6, charmap.ISO8859_7, charmap.ISO8859_8, charmap.ISO8859_9}

// decode resolves doubled quotes and the directives of ISO 10303-21, 6.4.3. A reverse
// solidus that opens none (a Windows path, say) stands for itself and is reported. off is
// the place of raw in the file.
func (p *parser) decode(raw string, off int) string {
	var b strings.Builder
	b.Grow(len(raw) + 8)
	page := pages[0]
	for i := 0; i < len(raw); {
		c := raw[i]
		switch {
		case c == '\'':
			b.WriteByte(c)
			i += 2 // doubled, str saw to that
		case c == '\\':
			n, text, next := directive(raw[i:], page)
			if n == 0 {
				p.fault(off+i, "string-directive", fmt.Sprintf("%q is no string directive; the reverse solidus stands for itself", clip(raw[i:min(len(raw), i+6)])))
				b.WriteByte(c)
				i++
				continue
			}
			page = next
			b.WriteString(text)
			i += n
		case c < utf8.RuneSelf:
			b.WriteByte(c)
			i++
		default:
			r, n := utf8.DecodeRuneInString(raw[i:])
			if r == utf8.RuneError && n <= 1 {
				p.latin = true
				r, n = charmap.Windows1252.DecodeByte(c), 1
			}
			b.WriteRune(r)
			i += n
		}
	}
	return b.String()
}

// directive resolves the directive that s begins with: its length, its text, and the code
// page that holds afterwards. Length 0 means that it is none.
func directive(s string, page *charmap.Charmap) (int, string, *charmap.Charmap) {
	if len(s) < 2 {
		return 0, "", page
	}
	switch s[1] {
	case '\\':
		return 2, `\`, page
	case 'S':
		if len(s) > 3 && s[2] == '\\' && s[3] < utf8.RuneSelf {
			return 4, string(page.DecodeByte(s[3] | 0x80)), page
		}
	case 'P':
		if len(s) > 3 && s[3] == '\\' && s[2] >= 'A' && s[2] <= 'I' {
			return 4, "", pages[s[2]-'A']
		}
	case 'X':
		n, text := hexDirective(s)
		return n, text, page
	}
	return 0, "", page
}

// hexDirective resolves \X\hh, \X2\hhhh...\X0\ and \X4\hhhhhhhh...\X0\.
func hexDirective(s string) (int, string) {
	if len(s) >= 5 && s[2] == '\\' {
		n, err := strconv.ParseUint(s[3:5], 16, 8)
		if err != nil {
			return 0, ""
		}
		return 5, string(rune(n))
	}
	if len(s) < 4 || s[3] != '\\' || s[2] != '2' && s[2] != '4' {
		return 0, ""
	}
	size := 4
	if s[2] == '4' {
		size = 8
	}
	end := strings.Index(s[4:], `\`)
	if end < 0 || end%size != 0 {
		return 0, ""
	}
	var units []uint16
	var b strings.Builder
	for hex := s[4 : 4+end]; len(hex) > 0; hex = hex[size:] {
		n, err := strconv.ParseUint(hex[:size], 16, 32)
		if err != nil {
			return 0, ""
		}
		if size == 4 {
			units = append(units, uint16(n))
		} else {
			b.WriteRune(rune(min(n, utf8.MaxRune+1))) // beyond Unicode: the replacement character
		}
	}
	for _, r := range utf16.Decode(units) {
		b.WriteRune(r)
	}
	n := 4 + end
	if strings.HasPrefix(s[n:], `\X0\`) {
		n += 4
	}
	return n, b.String()
}
