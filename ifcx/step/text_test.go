package step

import (
	"strings"
	"testing"
	"unicode/utf8"

	"voidcheck/ifcx/graph"
)

// The directives are those of ISO 10303-21:2016, 6.4.3; cases marked "table 1" are the
// examples of that table, as quoted in the sample solidus-escape-apostrophe.ifc.
func TestStrings(t *testing.T) {
	for _, c := range []struct{ name, in, want, fault string }{
		{"empty", `''`, "", ""},
		{"plain", `'Wall 1'`, "Wall 1", ""},
		{"doubled quote, table 1", `'Don''t'`, "Don't", ""},
		{"only a quote, table 1", `''''`, "'", ""},
		{"shift, table 1", `'\S\Drger'`, "Ärger", ""},
		{"shift, table 1", `'h\S\ttel'`, "hôtel", ""},
		{"shift takes the quote", `'ends with \S\''`, "ends with §", ""},
		{"shift takes a quote, then a doubled one", `'\S\''''`, "§'", ""},
		{"doubled solidus", `'C:\\temp\\S\\'`, `C:\temp\S\`, ""},
		{"doubled solidus before the end", `'a\\'`, `a\`, ""},
		{"code page Cyrillic", `'\PE\\S\T\S\X'`, "ди", ""}, // ISO 8859-5: D4 д, D8 и
		{"code page back to Latin 1", `'\PE\\S\T\PA\\S\T'`, "дÔ", ""},
		{"code page Greek", `'\PG\\S\a'`, "α", ""}, // ISO 8859-7: E1
		{"unknown code page", `'\PZ\x'`, `\PZ\x`, `"\\PZ\\x" is no string directive; the reverse solidus stands for itself`},
		{"one byte", `'Geb\X\E4ude'`, "Gebäude", ""},
		{"two bytes", `'\X2\04100440043D043E\X0\!'`, "Арно!", ""},
		{"surrogate pair", `'\X2\D83DDE00\X0\'`, "😀", ""},
		{"lone surrogate", `'\X2\D83D\X0\'`, "\uFFFD", ""},
		{"four bytes", `'\X4\0001F600000000E9\X0\'`, "😀é", ""},
		{"four bytes beyond Unicode", `'\X4\7FFFFFFF\X0\'`, "\uFFFD", ""},
		{"no end of hex", `'\X2\00E9'`, `\X2\00E9`, `"\\X2\\00" is no string directive; the reverse solidus stands for itself`},
		{"uneven hex", `'\X2\00E\X0\'`, `\X2\00E\X0\`, `"\\X2\\00" is no string directive; the reverse solidus stands for itself`},
		{"bad byte", `'\X\G1'`, `\X\G1`, `"\\X\\G1" is no string directive; the reverse solidus stands for itself`},
		{"raw path", `'C:\new'`, `C:\new`, `"\\new" is no string directive; the reverse solidus stands for itself`},
		{"raw path up to the quote", `'C:\'`, `C:\`, `"\\" is no string directive; the reverse solidus stands for itself`},
		{"raw UTF-8", `'Gebäude 階'`, "Gebäude 階", ""},
		{"raw Latin 1", "'Geb\xe4ude'", "Gebäude", ""},
		{"raw Shift-JIS", "'\x8a\x4b\x91\x77'", "ŠK‘w", ""},
		{"Shift-JIS with a solidus inside", "'\x83\x5c''\x95\x5c'", "ƒ\\'•\\", `"\\''\x95\\" is no string directive; the reverse solidus stands for itself`},
		{"line break", "'a\r\nb'", "a\r\nb", ""},
		{"semicolon and comment signs", `'a;b/*c*/'`, "a;b/*c*/", ""},
	} {
		p := parser{text: c.in + ","}
		v, ok := p.value()
		if !ok || v.Kind != graph.String || v.Text != c.want {
			t.Errorf("%s: %s: got %v %q, want %q", c.name, c.in, v.Kind, v.Text, c.want)
		}
		if p.pos != len(c.in) {
			t.Errorf("%s: %s: stopped at %d, want %d", c.name, c.in, p.pos, len(c.in))
		}
		if !utf8.ValidString(v.Text) {
			t.Errorf("%s: %q is not UTF-8", c.name, v.Text)
		}
		fault := ""
		if len(p.faults) > 0 {
			fault = p.faults[0].Text
		}
		if fault != c.fault {
			t.Errorf("%s: fault %s, want %s", c.name, fault, c.fault)
		}
		if end, closed := skipString([]byte(p.text), 0); !strings.Contains(c.in, "''") && (!closed || end != len(c.in)) {
			t.Errorf("%s: the index pass ends the string at %d, want %d", c.name, end, len(c.in))
		}
	}
}

func TestPlainTextIsNotCopied(t *testing.T) {
	p := parser{text: "'a long enough name of an element'"}
	if n := testing.AllocsPerRun(100, func() { p.pos = 0; p.value() }); n != 0 {
		t.Errorf("reading plain text allocates %v times", n)
	}
}
