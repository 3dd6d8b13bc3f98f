package source

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const stepText = "ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\nENDSEC;\nEND-ISO-10303-21;\n"

func TestDetect(t *testing.T) {
	for _, c := range []struct {
		data string
		want Kind
	}{
		{stepText, STEP}, {"\xef\xbb\xbf" + stepText, STEP}, {"  \r\n" + stepText, STEP}, {"Subject: x\n\n" + stepText, STEP},
		{"DATA;\n#1=A();", STEP}, {"#1=A();", STEP}, {"/* c */ ISO-10303-21;", STEP}, {"iso-10303-21;", STEP},
		{"<?xml version='1.0'?><ifcXML/>", IFCXML}, {"\xef\xbb\xbf<ifcXML/>", IFCXML}, {"\xff\xfe<\x00i\x00f\x00c\x00", IFCXML}, {"<html/>", Unknown}, {"<?xml version='1.0'?><Types/>", Unknown},
		{"{\"header\":{}}", IFC5}, {"\n {", IFC5}, {"PK\x03\x04xx", Zip}, {"version https://git-lfs.github.com/spec/v1\n", LFSPointer},
		{"\xff\xfeI\x00S\x00O\x00", UTF16}, {"\xfe\xff\x00I\x00S", UTF16}, {"I\x00S\x00O\x00-\x00", UTF16}, {"\x00I\x00S\x00O", UTF16},
		{"\xff\xfe\x00\x00I\x00\x00\x00", UTF32}, {"\x00\x00\xfe\xff\x00\x00\x00I", UTF32}, {"I\x00\x00\x00S\x00\x00\x00", UTF32}, {"\x00\x00\x00<\x00\x00\x00?", UTF32},
		{"", Unknown}, {"%PDF-1.7", Unknown}, {"hello", Unknown}, {"#hello", Unknown},
	} {
		if got := Detect([]byte(c.data)); got != c.want {
			t.Errorf("%q: got %s, want %s", c.data, got, c.want)
		}
	}
}

// pack makes a zip of name, content pairs.
func pack(t testing.TB, parts ...string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for i := 0; i < len(parts); i += 2 {
		w, err := z.Create(parts[i])
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write([]byte(parts[i+1])); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestFromBytes(t *testing.T) {
	files, err := FromBytes("a.ifczip", pack(t, "sub/", "", "sub/m.ifc", stepText, "b.ifcxml", "<ifcXML/>", "read me.txt", "hello", "settings.json", "{}", "[Content_Types].xml", "<Types/>", "__MACOSX/m.ifc", "junk"))
	if err != nil || len(files) != 2 {
		t.Fatalf("got %v, %v, want two files", files, err)
	}
	if files[0].Name != "a.ifczip/sub/m.ifc" || files[0].Kind != STEP || files[1].Name != "a.ifczip/b.ifcxml" || files[1].Kind != IFCXML || string(files[0].Data) != stepText {
		t.Errorf("got %s %s, %s %s", files[0].Name, files[0].Kind, files[1].Name, files[1].Kind)
	}
	files, err = FromBytes("abc.ifc", []byte("DATA;"))
	// by the command: printf 'DATA;' | sha256sum
	if want := "3dc0e40e96bed477c82b6f6b13f33b332d0c6f0139bf7cb1f0f672f2a87506c4"; err != nil || files[0].SHA256() != want {
		t.Errorf("got %v, %v, want SHA-256 %s", files, err, want)
	}
}

func TestRefusals(t *testing.T) {
	cut := pack(t, "m.ifc", strings.Repeat(stepText, 50))
	damaged := pack(t, "m.ifc", strings.Repeat(stepText, 50))
	copy(damaged[60:], "xxxxxxxx")
	locked := pack(t, "m.ifc", stepText)
	locked[6] |= 1
	binary.LittleEndian.PutUint16(locked[bytes.LastIndex(locked, []byte("PK\x01\x02"))+8:], 1)
	many := []string{}
	for i := range maxMembers + 1 {
		many = append(many, fmt.Sprint(i, ".ifc"), "")
	}
	for _, c := range []struct {
		name string
		data []byte
		want string
	}{
		{"empty", nil, "x: the file is empty (0 bytes); export or copy it again"},
		{"NUL bytes", make([]byte, 4096), "x: the file holds nothing but blanks or NUL bytes; export or copy it again"},
		{"pointer", []byte("version https://git-lfs.github.com/spec/v1\noid sha256:5c\nsize 524740\n"),
			"x: this is a Git LFS pointer and not the model itself (69 bytes); run git lfs pull in its repository, or download the file itself"},
		{"UTF-16", []byte("\xff\xfeI\x00S\x00O\x00"), "x: the text is UTF-16, which model files never are but for XML; save it as UTF-8, or export it again"},
		{"UTF-32", []byte("\xff\xfe\x00\x00I\x00\x00\x00"), "x: the text is UTF-32, which model files never are; save it as UTF-8, or export it again"},
		{"PDF", []byte("%PDF-1.7 ..."), "x: not a building model: it begins with %PDF (a PDF document); expected IFC (STEP), ifcXML, IFC5 JSON or a zip of these"},
		{"text", []byte("Dear all"), `x: not a building model: it begins with "Dear all"; expected IFC (STEP), ifcXML, IFC5 JSON or a zip of these`},
		{"cut zip", cut[:len(cut)-30], "x: the zip cannot be opened (zip: not a valid zip file); it may have been cut off: copy it again"},
		{"damaged zip", damaged, "x/m.ifc: cannot be unpacked ("},
		{"encrypted zip", locked, "x/m.ifc: it is encrypted; pack it again without a password"},
		{"zip without models", pack(t, "a.txt", "hello", "b.pdf", "%PDF"), "x: the zip holds no model (it holds a.txt, b.pdf); expected a .ifc, .ifcxml or .ifcx file in it"},
		{"empty zip", pack(t), "x: the zip holds no model (it holds nothing); expected a .ifc, .ifcxml or .ifcx file in it"},
		{"zip in zip", pack(t, "m.ifc", string(pack(t, "m.ifc", stepText))), "x/m.ifc: a zip inside a zip is not opened; unpack it first"},
		{"model in zip is no model", pack(t, "m.ifc", "hello"), `x/m.ifc: not a building model: it begins with "hello"; expected IFC (STEP), ifcXML, IFC5 JSON or a zip of these`},
		{"zip bomb", pack(t, "m.ifc", stepText+strings.Repeat("\x00", 50<<20)), "x/m.ifc: archive unpacks to more than is allowed: more than 250 times its packed size, which no model does"},
		{"many members", pack(t, many...), "x: archive unpacks to more than is allowed: 1001 members, 1000 at most; pack the models alone"},
	} {
		files, err := FromBytes("x", c.data)
		if err == nil {
			t.Errorf("%s: got %d files, want an error", c.name, len(files))
		} else if got := err.Error(); got != c.want && (c.name != "damaged zip" || !strings.HasPrefix(got, c.want)) {
			t.Errorf("%s: got %s\nwant %s", c.name, got, c.want)
		}
	}
	if _, err := FromBytes("x", pack(t, many...)); !errors.Is(err, ErrZipLimit) {
		t.Errorf("got %v, want ErrZipLimit", err)
	}
}

func TestLoad(t *testing.T) {
	dir := t.TempDir()
	m := filepath.Join(dir, "m.ifc")
	if err := os.WriteFile(m, []byte(stepText), 0o600); err != nil {
		t.Fatal(err)
	}
	files, err := Load(m)
	if err != nil || len(files) != 1 || files[0].Name != m || files[0].Kind != STEP {
		t.Errorf("got %v, %v", files, err)
	}
	if _, err := Load(dir); err == nil || err.Error() != dir+": is a folder; name the model files in it" {
		t.Errorf("folder: got %v", err)
	}
	if _, err := Load(m + "x"); err == nil || err.Error() != m+"x: there is no such file; check the name and the folder" {
		t.Errorf("absent: got %v", err)
	}
	if _, err := Load(os.DevNull); err == nil || err.Error() != os.DevNull+": is a device and no file; name a model file" {
		t.Errorf("device: got %v", err)
	}
	if _, err := ReadSmall(os.DevNull); err == nil || err.Error() != os.DevNull+": is a device and no file; name a file" {
		t.Errorf("small device: got %v", err)
	}
	if d, err := ReadSmall(m); err != nil || string(d) != stepText {
		t.Errorf("small: got %q, %v", d, err)
	}
	if _, err := ReadSmall(dir); err == nil || err.Error() != dir+": is a folder; name a file" {
		t.Errorf("small folder: got %v", err)
	}
	if _, err := ReadSmall(m + "x"); !errors.Is(err, fs.ErrNotExist) || err.Error() != m+"x: there is no such file; check the name and the folder" {
		t.Errorf("small absent: got %v", err)
	}
	if os.Geteuid() != 0 {
		os.Chmod(m, 0)
		if _, err := Load(m); err == nil || err.Error() != m+": no permission to read it; ask its owner for access" {
			t.Errorf("not readable: got %v", err)
		}
	}
}

// FuzzUnzip: nothing may panic, and what comes out stays within the limits.
func FuzzUnzip(f *testing.F) {
	f.Add(pack(f, "m.ifc", stepText))
	f.Add(pack(f, "sub/b.ifcxml", "<ifcXML/>", "a.txt", "hello"))
	f.Add(pack(f, "m.ifc", strings.Repeat("\x00", 3<<20)))
	f.Fuzz(func(t *testing.T, d []byte) {
		if len(d) < 4 {
			return
		}
		copy(d, "PK\x03\x04")
		files, err := FromBytes("x", d)
		if err != nil {
			if !strings.HasPrefix(err.Error(), "x") {
				t.Errorf("error without the file's name: %v", err)
			}
			return
		}
		for _, x := range files {
			if len(x.Data) > ratioFree+maxRatio*len(d) || x.Kind == Zip || x.Kind == Unknown {
				t.Errorf("%s: %s of %d bytes from %d", x.Name, x.Kind, len(x.Data), len(d))
			}
		}
	})
}
