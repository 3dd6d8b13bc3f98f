package ifcxml

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

// reference reads all tokens by encoding/xml alone.
func reference(d []byte) (out []string) {
	x := xml.NewDecoder(bytes.NewReader(d))
	x.CharsetReader = func(_ string, r io.Reader) (io.Reader, error) { return r, nil }
	for {
		tok, err := x.RawToken()
		if err != nil {
			if err != io.EOF {
				out = append(out, "error")
			}
			return out
		}
		switch t := tok.(type) {
		case xml.StartElement:
			out = append(out, fmt.Sprintf("<%s:%s %q", t.Name.Space, t.Name.Local, t.Attr))
		case xml.EndElement:
			out = append(out, fmt.Sprintf("</%s:%s", t.Name.Space, t.Name.Local))
		case xml.CharData:
			out = append(out, fmt.Sprintf("text %q", string(t)))
		case xml.Directive:
			out = append(out, "directive")
		default:
			out = append(out, "other")
		}
	}
}

func ours(d []byte) (out []string) {
	x := newTokens(d)
	for {
		t, err := x.next()
		if err != nil {
			if err != io.EOF {
				out = append(out, "error")
			}
			return out
		}
		switch t.kind {
		case startTag:
			out = append(out, fmt.Sprintf("<%s:%s %q", t.name.Space, t.name.Local, slices.Clone(t.attrs)))
		case endTag:
			out = append(out, fmt.Sprintf("</%s:%s", t.name.Space, t.name.Local))
		case charData:
			out = append(out, fmt.Sprintf("text %q", t.text))
		case directive:
			out = append(out, "directive")
		default:
			out = append(out, "other")
		}
	}
}

// The tokens are those of encoding/xml, whatever the text.
func FuzzTokens(f *testing.F) {
	for _, s := range []string{
		`<?xml version="1.0"?><a b="1" c='2'><d/>text<e x:y="z"></e></a>`, "<a>\r\n b ]]> </a>", `<a b="&lt;&#228;">&amp;<![CDATA[<x>]]></a>`,
		`<!DOCTYPE a [<!ENTITY b "c">]><a>&b;</a>`, "<a:b:c/><:a/><a:/><1/>", `<a b=1/>`, `<a b="1"c="2"/>`, "<a", "<a b='", "</a", "<a>\x00</a>", "<\u00e4 \u00f6='\uffef'/>", "<a/ >", "text", "<a  b = '1' / >",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if !utf8.ValidString(s) || strings.Contains(s, "encoding") {
			return // decoded sees to both
		}
		got, want := ours([]byte(s)), reference([]byte(s))
		if !slices.Equal(got, want) {
			t.Errorf("%q:\ngot  %v\nwant %v", s, got, want)
		}
	})
}

func BenchmarkTokens(b *testing.B) {
	d := []byte("<a>" + strings.Repeat(`<IfcSite id="i17" GlobalId="2xdPxXWNJj$ZqS82Uoc5f$" Name="Site"><ObjectPlacement href="i15"/></IfcSite>`+"\n", 10000) + "</a>")
	b.SetBytes(int64(len(d)))
	for b.Loop() {
		for x := newTokens(d); ; {
			if _, err := x.next(); err != nil {
				break
			}
		}
	}
}
