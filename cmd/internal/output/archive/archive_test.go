package archive

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"testing"

	"github.com/beevik/etree"
)

func write(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	a := New(&b)
	a.Folder("a/")
	doc := Document()
	e := doc.CreateElement("r")
	e.CreateAttr("v", "a\"<&>\tb\nc")
	e.SetText(Text("x<y>&\x01\x1b[31m\u202e\ufffe\uffff\xffz]]>"))
	a.XML("a/r.xml", doc)
	a.Part("b", []byte("bytes"))
	if err := a.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestWriter(t *testing.T) {
	data := write(t)
	if !bytes.Equal(data, write(t)) {
		t.Error("two writings differ")
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, f := range z.File {
		names = append(names, f.Name)
		if y := f.Modified.Year(); y != 1980 {
			t.Errorf("%s was modified in %d, want 1980", f.Name, y)
		}
	}
	if len(names) != 3 || names[0] != "a/" || names[1] != "a/r.xml" || names[2] != "b" {
		t.Errorf("parts %q", names)
	}
	r, err := z.Open("a/r.xml")
	if err != nil {
		t.Fatal(err)
	}
	text, err := io.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	var back struct {
		V string `xml:"v,attr"`
		T string `xml:",chardata"`
	}
	if err := xml.Unmarshal(text, &back); err != nil {
		t.Fatalf("%v in %s", err, text)
	}
	if want := "a\"<&>\tb\nc"; back.V != want {
		t.Errorf("attribute %q, want %q in %s", back.V, want, text)
	}
	if want := "x<y>&[31m?z]]>"; back.T != want {
		t.Errorf("text %q, want %q", back.T, want)
	}
}

type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, errors.New("disk full") }

func TestErrorIsKept(t *testing.T) {
	a := New(broken{})
	a.Part("a", make([]byte, 1<<20))
	a.XML("b", etree.NewDocument())
	if err := a.Close(); err == nil {
		t.Error("no error from a writer that cannot write")
	}
}
