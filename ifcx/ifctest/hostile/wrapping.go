package hostile

import (
	"encoding/binary"
	"strings"
	"unicode/utf16"
)

// wrappings are files that are not what they seem, and sound ones in odd clothes.
func wrappings() []File {
	h := house
	return []File{
		{"empty.ifc", "no bytes at all", Refused, "the file is empty", text("")},
		{"blank.ifc", "blanks and line ends only", Refused, "nothing but blanks", text(strings.Repeat(" \r\n", 1000))},
		{"nul.ifc", "a megabyte of NUL bytes, as a failed copy leaves", Refused, "nothing but blanks", text(strings.Repeat("\x00", 1<<20))},
		{"mark.ifc", "a byte order mark and nothing else", Refused, "nothing but blanks", text("\xef\xbb\xbf")},
		{"pointer.ifc", "a Git LFS pointer", Refused, "Git LFS pointer", text("version https://git-lfs.github.com/spec/v1\noid sha256:00\nsize 3\n")},
		{"drawing.ifc", "a PDF document", Refused, "a PDF document", text("%PDF-1.7\n%....")},
		{"page.ifc", "a web page, as a failed download leaves", Refused, "not a building model", text("<!DOCTYPE html><html><body>404</body></html>")},
		{"words.ifc", "a letter", Refused, "not a building model", text("Dear Sir,\nplease find the model attached.\n")},
		{"other.ifc", "STEP of another trade", Refused, "no IFC schema", text("ISO-10303-21;HEADER;FILE_SCHEMA(('AUTOMOTIVE_DESIGN'));ENDSEC;DATA;\n#1=PRODUCT('a','b','',());\nENDSEC;END-ISO-10303-21;")},
		{"utf16.ifc", "STEP in UTF-16", Refused, "UTF-16", func() []byte { return wide(h()) }},
		{"utf32.ifc", "STEP in UTF-32, with a mark that begins as that of UTF-16", Refused, "UTF-32", func() []byte {
			b := []byte{0xff, 0xfe, 0, 0}
			for _, r := range h() {
				b = binary.LittleEndian.AppendUint32(b, uint32(r))
			}
			return b
		}},
		{"step.ifcx", "STEP named as IFC5", Read, "", func() []byte { return []byte(h()) }},
		{"step.xml", "STEP named as XML", Read, "", func() []byte { return []byte(h()) }},
		{"step.zip", "STEP named as a zip", Read, "", func() []byte { return []byte(h()) }},
		{"marked.ifc", "a byte order mark before sound STEP", Read, "", func() []byte { return []byte("\xef\xbb\xbf" + h()) }},
		{"crlf.ifc", "line ends of another system", Read, "", func() []byte { return []byte(strings.ReplaceAll(h(), "\n", "\r\n")) }},
		{"cr.ifc", "line ends of an old system", Read, "", func() []byte { return []byte(strings.ReplaceAll(h(), "\n", "\r")) }},
		{"oneline.ifc", "no line ends at all", Read, "", func() []byte { return []byte(strings.ReplaceAll(h(), "\n", "")) }},
		{"mixed.ifc", "line ends of three kinds in turn, tabs before them", Read, "", func() []byte {
			return []byte(inTurn(strings.Split(h(), "\n"), []string{"\n", "\r\n", "\r", "\n\n", "\t\n"}))
		}},
		{"mail.ifc", "a mail's head before the file", Named, "junk", func() []byte { return []byte("From: a\nSubject: model\n\n" + h()) }},
	}
}

// inTurn joins lines by the ends in turn.
func inTurn(lines, ends []string) string {
	var b strings.Builder
	for i, l := range lines {
		b.WriteString(l)
		b.WriteString(ends[i%len(ends)])
	}
	return b.String()
}

// wide encodes as UTF-16, low byte first, with its mark.
func wide(s string) []byte {
	out := []byte{0xff, 0xfe}
	for _, u := range utf16.Encode([]rune(s)) {
		out = append(out, byte(u), byte(u>>8))
	}
	return out
}
