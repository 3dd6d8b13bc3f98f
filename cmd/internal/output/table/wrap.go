package table

import (
	"bytes"
	"regexp"
	"strings"
	"sync"

	"github.com/olekukonko/tablewriter/pkg/twwidth"

	"voidcheck/checks/finding"
)

// quantity is a blank inside a quantity: 1'-8 1/2", 1,421 ft2, 12.7 mm.
var quantity = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`(\d) (\d+/\d+"|ft[23]?\b|in2?\b|mm\b|m[23]?\b)`) })

// glue stands for a blank at which a line must not end.
const glue = "\x00"

// Wrap breaks a text into lines of at most width columns: at blanks but those inside a
// quantity, else inside a word that is wider than a line. No character but the blank at a
// break is lost.
func Wrap(s string, width int) []string {
	words := strings.Split(quantity().ReplaceAllString(strings.ReplaceAll(s, glue, ""), "$1"+glue+"$2"), " ")
	for i, w := range words {
		if columns(w) > width {
			words[i] = strings.ReplaceAll(w, glue, " ") // better at the blank than inside
		}
	}
	s = strings.Join(words, " ")
	lines := wrap(s, width)
	for i := range lines {
		lines[i] = strings.ReplaceAll(lines[i], glue, " ")
	}
	return lines
}

// columns is the width of a text on a terminal.
func columns(s string) int { return twwidth.Width(strings.ReplaceAll(s, glue, " ")) }

func wrap(s string, width int) []string {
	var lines []string
	var line strings.Builder
	used := 0
	flush := func() {
		lines = append(lines, line.String())
		line.Reset()
		used = 0
	}
	for _, word := range strings.Split(s, " ") {
		w := columns(word)
		switch {
		case used > 0 && used+1+w <= width:
			line.WriteByte(' ')
			line.WriteString(word)
			used += 1 + w
			continue
		case used > 0 || line.Len() > 0:
			flush()
		}
		for w > width {
			head, tail := cut(word, width)
			line.WriteString(head)
			flush()
			word, w = tail, columns(tail)
		}
		line.WriteString(word)
		used = w
	}
	if line.Len() > 0 || len(lines) == 0 {
		flush()
	}
	return lines
}

// cut splits a word after as many characters as fit, at least one.
func cut(word string, width int) (head, tail string) {
	end := 0
	for i := range word {
		if i > 0 && columns(word[:i]) > width {
			break
		}
		end = i
	}
	if end == 0 {
		for i := range word {
			if i > 0 {
				return word[:i], word[i:]
			}
		}
		return word, ""
	}
	return word[:end], word[end:]
}

// hanging wraps a text and indents the lines after the first.
func hanging(first, s, indent string, width int) []string {
	lines := Wrap(s, width-len(indent))
	for i := range lines {
		if i == 0 {
			lines[i] = first + lines[i]
		} else {
			lines[i] = indent + lines[i]
		}
	}
	return lines
}

// WriteHanging writes a text as Hanging breaks it, without what would move the terminal's
// cursor and without blanks at the ends of lines.
func WriteHanging(b *bytes.Buffer, s, indent string) {
	for _, l := range Hanging(finding.Clean(s), indent) {
		b.WriteString(strings.TrimRight(l, " ") + "\n")
	}
}

// Hanging wraps a line to the width of the page; lines after the first are indented.
func Hanging(s, indent string) []string {
	body := strings.TrimLeft(s, " ")
	return hanging(s[:len(s)-len(body)], body, indent, width)
}
